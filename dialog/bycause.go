package dialog

// byCause is what every turn asks of a cause and the articles alone decide.
type byCause struct {
	system     int  // in Engine.systems
	electrical bool // see electrical
	circuits   int  // that have it
}

// compileCauses gathers that of every cause. The circuits must be there.
func (e *Engine) compileCauses() {
	e.systems = map[string]int{}
	e.causes = make([]byCause, len(e.base.Causes))
	for i, c := range e.base.Causes {
		if _, ok := e.systems[c.System]; !ok {
			e.systems[c.System] = len(e.systems)
		}
		part, mode := e.base.Part(c.Part), e.base.Mode(c.Mode)
		e.causes[i] = byCause{
			system:     e.systems[c.System],
			electrical: mode != nil && mode.Electrical || part != nil && (len(part.FedBy) > 0 || len(part.EarthedAt) > 0 || part.Shares["fuse"] != ""),
		}
		for _, w := range e.circuits {
			if _, mine := w.of[i]; mine {
				e.causes[i].circuits++
			}
		}
	}
}

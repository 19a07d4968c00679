package plan

// opened is the set of accesses that are open, by number.
type opened []bool

// openNow is what is open at the start.
func (p *Problem) openNow() opened {
	o := make(opened, len(p.Accesses))
	for i, a := range p.Accesses {
		o[i] = a.Open
	}
	return o
}

// open opens the accesses and all they lie inside and returns what that costs.
func (p *Problem) open(o opened, need []int) float64 {
	var cost float64
	for _, a := range need {
		for ; a >= 0 && !o[a]; a = p.Accesses[a].Inside {
			o[a] = true
			cost += p.Accesses[a].Cost
		}
	}
	return cost
}

// depth counts the accesses to open before one is through a, itself included.
func (p *Problem) depth(o opened, a int) int {
	n := 0
	for ; a >= 0 && !o[a]; a = p.Accesses[a].Inside {
		n++
	}
	return n
}

// home returns the deepest unopened access of the list, or -1, and the cost of
// those that lie on other branches. Ties go to the lower number. rest is
// memory, returned for the next call.
func (p *Problem) home(o opened, access []int, rest opened) (home int, extra float64, _ opened) {
	home = -1
	deepest := 0
	for _, a := range access {
		if d := p.depth(o, a); d > deepest || d == deepest && d > 0 && a < home {
			home, deepest = a, d
		}
	}
	if home < 0 || len(access) == 1 {
		return home, 0, rest
	}
	rest = append(rest[:0], o...)
	for a := home; a >= 0 && !rest[a]; a = p.Accesses[a].Inside {
		rest[a] = true
	}
	return home, p.open(rest, access), rest
}

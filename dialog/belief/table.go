package belief

// Table is what a finding shows under single causes, laid out flat for those
// who weigh many findings against each other. It is shared: nobody may change
// it.
type Table struct {
	// Causes are those that speak of the finding, ascending; a cause that does
	// not shows Base.
	Causes []int
	// Rows holds len(Base) figures for each of Causes, as Shows gives them.
	Rows []float64
	Base []float64
}

// Row returns what the cause at place i of Causes shows.
func (t *Table) Row(i int) []float64 {
	k := len(t.Base)
	return t.Rows[i*k : (i+1)*k : (i+1)*k]
}

// Table returns the finding's table, made once if the finding is prepared.
func (m *Model) Table(f *Finding) *Table {
	if f.kinds != nil && !m.NoClamp {
		return f.kinds.table
	}
	return f.lay(!m.NoClamp)
}

func (f *Finding) lay(clamped bool) *Table {
	k := len(f.Base)
	all := make([]float64, k*(len(f.Rows)+1))
	t := &Table{Causes: make([]int, len(f.Rows)), Rows: all[k:], Base: all[:k:k]}
	copy(t.Base, f.Base)
	for i := range f.Rows {
		t.Causes[i] = f.Rows[i].Cause
		copy(t.Row(i), f.Rows[i].P)
	}
	if clamped {
		for i := 0; i < len(all); i += k {
			clamp(all[i : i+k])
		}
	}
	return t
}

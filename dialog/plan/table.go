package plan

import "ruleout/dialog/belief"

// table is what a finding shows under each hypothesis, one row of outcomes
// after another. Causes that do not speak of it show base.
type table struct {
	causes     []int // ascending
	rows       []float64
	base, none []float64
	// share is the least none/base of an outcome, 1 at most.
	share float64
}

// tables keeps the tables of one model. A finding never changes once it is
// prepared, so they serve every case of the model.
type tables struct {
	model *belief.Model
	of    map[*belief.Finding]*table
}

// mostTables bounds the memory if a caller makes its findings anew each time.
const mostTables = 1 << 14

func (t *tables) use(m *belief.Model) {
	if t.model != m || len(t.of) > mostTables {
		t.model, t.of = m, map[*belief.Finding]*table{}
	}
}

func (t *tables) get(f *belief.Finding) *table {
	if x := t.of[f]; x != nil {
		return x
	}
	k := len(f.Base)
	x := &table{
		causes: make([]int, len(f.Rows)),
		rows:   make([]float64, len(f.Rows)*k),
		base:   t.model.Shows(nil, f),
		none:   t.model.ShowsNone(nil, f),
	}
	x.share = 1
	for o, base := range x.base {
		if base > 0 {
			x.share = min(x.share, x.none[o]/base)
		}
	}
	for i := range f.Rows {
		x.causes[i] = f.Rows[i].Cause
		t.model.Shows(x.rows[i*k:i*k:(i+1)*k], f, f.Rows[i].Cause)
	}
	t.of[f] = x
	return x
}

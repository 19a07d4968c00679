package plan

import "ruleout/dialog/belief"

// table is what a finding shows under each hypothesis of this problem.
type table struct {
	*belief.Table
	none []float64 // empty until filled
}

// tables holds the tables of a problem's checks, one check after another: those
// of check i are all[from[i]:from[i+1]]. The likelihoods are the findings' own;
// what none shows depends on the weights of the causes and is found for the few
// checks that are valued.
type tables struct {
	p    *Problem
	all  []table
	from []int
	// left is, by check as it is valued, a part of "none of these" that it surely leaves,
	// against what it leaves of a hypothesis that it does not speak of; least is
	// the least of them.
	left  []float64
	least float64
}

func (t *tables) take(p *Problem) {
	m := p.Belief.Model
	t.p = p
	n := 0
	t.from, t.left, t.least = append(t.from[:0], 0), t.left[:0], 1
	for i := range p.Checks {
		left, used := 1.0, 0
		for _, f := range p.Checks[i].Findings {
			if n == len(t.all) {
				t.all = append(t.all, table{})
			}
			t.all[n].Table, t.all[n].none = m.Table(f), t.all[n].none[:0]
			n++
			if !f.NoneIsBase && used < mostUsed {
				used++
				// The least that clamping leaves of NoneBase times the baseline.
				left *= m.NoneBase / (1 + 1e-4*float64(len(f.Base)))
			}
		}
		t.left = append(t.left, left)
		t.least = min(t.least, left)
		t.from = append(t.from, n)
	}
}

// mostUsed is the most findings by which a look-round is valued.
const mostUsed = 5 // 2^5 = JointLimit

// of returns the tables of a check, one a finding.
func (t *tables) of(check int) []table { return t.all[t.from[check]:t.from[check+1]] }

// fill completes the tables of a check.
func (t *tables) fill(check int) {
	for i, f := range t.p.Checks[check].Findings {
		if x := &t.of(check)[i]; len(x.none) == 0 {
			x.none = t.p.Belief.Model.ShowsNone(x.none, f)
		}
	}
}

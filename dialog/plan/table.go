package plan

import "ruleout/dialog/belief"

// table is what a finding shows under each hypothesis of this problem.
type table struct {
	*belief.Table
	none []float64
	// share is the least none/base of an outcome, 1 at most.
	share float64
}

// tables holds the tables of a problem's checks, one check after another: those
// of check i are all[from[i]:from[i+1]]. The likelihoods are the findings' own;
// none depends on the weights of the causes.
type tables struct {
	all  []table
	from []int
	none []float64
	// share is the least product of shares of a check.
	share float64
}

func (t *tables) take(p *Problem) {
	m := p.Belief.Model
	t.all, t.from, t.none, t.share = t.all[:0], append(t.from[:0], 0), t.none[:0], 1
	figures := 0
	for i := range p.Checks {
		for _, f := range p.Checks[i].Findings {
			figures += len(f.Base)
		}
	}
	t.none = resize(t.none, figures)
	at := 0
	for i := range p.Checks {
		left := 1.0
		for _, f := range p.Checks[i].Findings {
			k := len(f.Base)
			x := table{Table: m.Table(f), none: m.ShowsNone(t.none[at:at:at+k], f), share: 1}
			at += k
			for o, base := range x.Base {
				if x.none[o] < base {
					x.share = min(x.share, x.none[o]/base)
				}
			}
			left *= x.share
			t.all = append(t.all, x)
		}
		t.share = min(t.share, left)
		t.from = append(t.from, len(t.all))
	}
}

// of returns the tables of a check, one a finding.
func (t *tables) of(check int) []table { return t.all[t.from[check]:t.from[check+1]] }

// noneShare is the least part of "none of these" that the check leaves.
func (t *tables) noneShare(check int) float64 {
	share := 1.0
	for i := range t.of(check) {
		share *= t.of(check)[i].share
	}
	return share
}

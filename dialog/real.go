package dialog

import "slices"

// When a sign that tells whether an indication is real is looked for before
// anything else. Basis: memory.
const (
	doubtFrom   = 0.02 // the indication is wrong, at least this likely
	realMinutes = 5.0
)

// doubt is how likely it is that the complaint is only an indication that is
// wrong.
func (e *Engine) doubt(s *State, j *judged) float64 {
	p := 0.0
	for i, c := range e.base.Causes {
		if j.post.Singles[i] > 0 && e.base.Indicates(s.Chief, c) {
			p += j.post.Singles[i]
		}
	}
	return p
}

// realFirst is the sign that tells whether what the gauge, lamp, code or meter
// says is real, when the complaint is no guess, the sign costs little and nothing
// beside the indication was told yet: it comes before money is spent. It is -1 otherwise.
func (e *Engine) realFirst(s *State, j *judged) int {
	x := e.base.IndicationOf(s.Chief)
	if x == nil || x.Itself != "" || s.Asked >= lookRoundAfter || s.doubtful(s.Chief) {
		return -1
	}
	for _, other := range s.Also {
		if e.base.IndicationOf(other) == nil {
			return -1 // something felt, seen or heard speaks for it
		}
	}
	for i := range x.Signs {
		if s.known(x.FindingOf(&x.Signs[i])) {
			return -1
		}
	}
	if e.doubt(s, j) < doubtFrom {
		return -1
	}
	for i := range x.Signs {
		g := &x.Signs[i]
		id := x.FindingOf(g)
		if at := slices.IndexFunc(j.checks, func(c candidate) bool { return c.finding != nil && c.finding.ID == id }); at >= 0 {
			minutes := g.Minutes
			if t := j.checks[at].test; t != nil {
				minutes = s.Takes(t)
			}
			if minutes <= realMinutes {
				return at
			}
		}
	}
	return -1
}

package dialog

import (
	"maps"
	"slices"
)

// care is what a case keeps beyond its findings: the trial of a cure, checks
// prepared for the moment of trouble, a part on order. It is a value; what it
// points to is never changed.
type care struct {
	trial *Trial
	// gap is how often it did it, once that was told: it holds for the next
	// trial too.
	gap span
	// sometimes is set once the person said that it comes and goes, quiet while
	// it is not doing it: what is tried now says nothing of such a fault.
	sometimes bool
	quiet     bool
	armed     []ArmedCheck
	// waiting is the repair job whose part is on order, arrived the one whose
	// part has come.
	waiting string
	arrived string
	// back holds, by the finding of a repair, how a trouble came back after it.
	back map[string]comeback
	// shown is set while it is asked whether the cure can have shown by now.
	shown bool
	// rate is what a minute of the person's own time counts, 0 for the setting.
	rate float64
}

func (c care) clone() care {
	c.armed = slices.Clone(c.armed)
	c.back = cloned(c.back)
	return c
}

// same reports whether two hold the same; a trial is compared by what it says.
func (c care) same(d care) bool {
	trial := c.trial == d.trial || c.trial != nil && d.trial != nil && *c.trial == *d.trial
	return trial && c.gap == d.gap && c.sometimes == d.sometimes && c.quiet == d.quiet && c.waiting == d.waiting && c.arrived == d.arrived && c.shown == d.shown && c.rate == d.rate &&
		maps.Equal(c.back, d.back) && slices.EqualFunc(c.armed, d.armed, func(a, b ArmedCheck) bool { return a.ID == b.ID })
}

// carry carries out the requests about a case's cure, trial, armed checks and
// parts; it reports false for any other.
func (e *Engine) carry(s *State, kind, about string, h *heard) bool {
	switch kind {
	case "keep":
		e.keepSupposed(s, h)
	case "gap":
		e.tellGap(s, about, h)
	case "clean":
		e.tellClean(s, about, h)
	case "came-back":
		e.cameBack(s, about, h)
	case "too-early":
		e.tooEarly(s, h)
	case "unproven":
		e.closeUnproven(s, h)
	case "sometimes":
		e.comesAndGoes(s, about, h)
	case "arm":
		e.arm(s, about, h)
	case "split":
		e.split(s, about, h)
	case "waiting":
		e.wait(s, about, h)
	case "arrived":
		e.arrive(s, h)
	case "rate":
		e.setRate(s, about, h)
	default:
		return false
	}
	return true
}

// fillCare adds to the reply what the case keeps beyond its findings, and what
// was asked about it.
func (e *Engine) fillCare(s *State, r *Reply, h *heard, j *judged) {
	r.Trial, r.Armed = s.care.trial, s.care.armed
	for _, q := range h.requests {
		switch q.Kind {
		case "recap":
			r.Recap = e.recap(s, j)
		case "decide":
			r.Decision = e.decide(s, j)
		}
	}
}

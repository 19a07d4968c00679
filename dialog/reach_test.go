package dialog

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"ruleout/kb"
)

// patient answers as a car with one cause would: with the likeliest outcome
// of what is asked.
type patient struct {
	e     *Engine
	cause *kb.Cause
}

// likeliest is the outcome that the cause makes likeliest.
func (p patient) likeliest(id string) string {
	f, t := p.e.finding(id, "")
	if f == nil {
		return "unknown"
	}
	dist := f.Base
	for _, r := range t.Rows {
		if r.Cause == p.e.number[p.cause.ID] {
			dist = r.P
		}
	}
	best := 0
	for i, v := range dist {
		if v > dist[best] {
			best = i
		}
	}
	return f.Outcomes[best].ID
}

// opening is the complaint that speaks most clearly for the cause: what the
// symptom stands for, all of it likely under the cause.
func (p patient) opening() map[string]string {
	var best map[string]string
	ratio := 0.0
	for _, s := range p.e.base.Symptoms {
		of := s.Of
		if len(of) == 0 {
			of = map[string]string{s.ID: "present"}
		}
		r := 1.0
		for id, outcome := range of {
			f := p.e.base.Finding(id)
			l, ok := p.e.base.Likelihood(p.cause, f)
			o := f.OutcomeIndex(outcome)
			if !ok || l[o] < 0.3 {
				r = 0
				break
			}
			r *= l[o] / f.Base[o]
		}
		if r > ratio {
			best, ratio = of, r
		}
	}
	return best
}

// reply answers one step with a tap; done means that the case is closed.
func (p patient) reply(n *Next) (Tap, bool) {
	switch n.Kind {
	case "none":
		return Tap{}, true
	case "which", "context":
		return Tap{Choice: 1}, false
	case "proof":
		return Tap{Request: "proven"}, false
	case "repair":
		outcome := "same"
		for _, a := range p.e.actions {
			if a.id == n.ID && slices.Contains(a.causes, p.e.number[p.cause.ID]) {
				outcome = "cured"
			}
		}
		return Tap{Finding: "repair:" + n.ID, Outcome: outcome}, false
	case "look-round":
		var ticks []TickAnswer
		for _, t := range n.Ticks {
			ticks = append(ticks, TickAnswer{t.Finding, p.likeliest(t.Finding)})
		}
		return Tap{Ticks: ticks}, false
	case "question", "test", "look", "condition":
		for _, q := range n.Quick {
			if q.Tap.Finding != "" {
				id := q.Tap.Finding
				if v, ok := strings.CutPrefix(id, vehiclePrefix); ok && len(p.cause.Applies.Vehicle[v]) > 0 {
					return Tap{Finding: id, Outcome: p.cause.Applies.Vehicle[v][0]}, false
				}
				return Tap{Finding: id, Outcome: p.likeliest(id)}, false
			}
		}
		return Tap{Request: "skip"}, false
	}
	return Tap{Request: "skip"}, true
}

// TestEveryCauseIsReached lets a car with each authored cause answer what is
// asked: most must be found, in few steps. The table is printed.
func TestEveryCauseIsReached(t *testing.T) {
	if testing.Short() {
		t.Skip("plays a case for every cause")
	}
	b, _ := kb.Embedded()
	e, err := New(b, nil, DefaultSettings)
	if err != nil {
		t.Fatal(err)
	}
	const most = 30
	type row struct{ causes, cured, steps int }
	rows := map[string]*row{}
	var missed []string
	for _, c := range b.Causes {
		if c.Derived {
			continue
		}
		p := patient{e, c}
		first := p.opening()
		if first == nil {
			t.Errorf("%s: no symptom says it in most cars", c.ID)
			continue
		}
		r := rows[c.System]
		if r == nil {
			r = &row{}
			rows[c.System] = r
		}
		r.causes++
		s, reply := e.Start()
		for _, id := range sortedKeys(first) {
			s, reply = e.Step(s, Turn{Tap: &Tap{Finding: id, Outcome: first[id]}})
		}
		steps := 0
		for ; steps < most && reply.Closed == ""; steps++ {
			tap, done := p.reply(reply.Next)
			if done {
				break
			}
			s, reply = e.Step(s, Turn{Tap: &tap})
		}
		// What only a shop should mend ends with the hand-over, named.
		named := reply.Next.Kind == "hand-over" && reply.Suspects[0].ID == c.ID
		if reply.Closed != "" || named {
			r.cured++
			r.steps += steps
		} else {
			missed = append(missed, fmt.Sprintf("%s (from %v) after %d: %s, leading %s", c.ID, first, steps, reply.Next.Kind, reply.Suspects[0].ID))
		}
	}
	all := row{}
	for _, sys := range sortedKeys(rows) {
		r := rows[sys]
		t.Logf("%-16s %3d of %3d found, %4.1f steps", sys, r.cured, r.causes, float64(r.steps)/float64(max(r.cured, 1)))
		all.causes += r.causes
		all.cured += r.cured
	}
	t.Logf("missed:\n%s", strings.Join(missed, "\n"))
	if all.cured*10 < all.causes*9 {
		t.Errorf("only %d of %d causes are found", all.cured, all.causes)
	}
}

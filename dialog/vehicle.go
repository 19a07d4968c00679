package dialog

import (
	"slices"
	"strings"

	"ruleout/dialog/belief"
	"ruleout/kb"
)

// vehiclePrefix begins the ids of findings about the vehicle itself.
const vehiclePrefix = "vehicle:"

// vehicleFinding is "which fuel has it": a cause that applies to some vehicles
// only shows their values, in proportion to their shares.
func (e *Engine) vehicleFinding(id string) (*kb.Finding, *belief.Finding) {
	for i := range e.base.Lists.Vehicle {
		a := &e.base.Lists.Vehicle[i]
		if vehiclePrefix+a.ID != id {
			continue
		}
		f := &kb.Finding{ID: id, Kind: kb.FindingQuestion, Title: lowerFirst(a.Title), Ask: a.Ask, Why: "it decides which causes can apply", Order: "what"}
		for _, v := range a.Values {
			f.Outcomes = append(f.Outcomes, kb.Outcome{ID: v.ID, Title: v.Title})
			f.Base = append(f.Base, v.Share)
		}
		t := &belief.Finding{ID: id, Base: f.Base, NoneIsBase: true}
		for k, c := range e.base.Causes {
			allowed := c.Applies.Vehicle[a.ID]
			if len(allowed) == 0 {
				continue
			}
			p, sum := make([]float64, len(a.Values)), 0.0
			for o, v := range a.Values {
				if slices.Contains(allowed, v.ID) {
					p[o] = v.Share
					sum += v.Share
				}
			}
			if sum <= 0 {
				continue
			}
			for o := range p {
				p[o] /= sum
			}
			t.Rows = append(t.Rows, belief.Row{Cause: k, P: p})
		}
		if err := t.Prepare(); err != nil {
			return nil, nil
		}
		return f, t
	}
	return nil, nil
}

// goesWithoutSaying is how sure a fact about the vehicle must be, by all that is
// known, not to be asked: nobody asks whether there is an alternator. Basis:
// memory.
const goesWithoutSaying = 0.97

// vehicleQuestions are the candidates that ask about the vehicle.
func (e *Engine) vehicleQuestions(s *State, post *belief.Posterior) []candidate {
	var out []candidate
	for _, id := range sortedKeys(e.vehicle) {
		_, told := s.Vehicle[strings.TrimPrefix(id, vehiclePrefix)]
		_, passed := s.Passed[id]
		if told || passed {
			continue
		}
		if slices.Max(post.Predict(e.vehicle[id].table)) > goesWithoutSaying {
			continue
		}
		for _, r := range e.vehicle[id].table.Rows {
			if post.Singles[r.Cause] > 0.01 {
				out = append(out, candidate{id: id, kind: "question", finding: e.vehicle[id].finding})
				break
			}
		}
	}
	return out
}

// answerable is the chance that the person can answer a check, 0 for the
// usual one.
func (e *Engine) answerable(s *State, c candidate) float64 {
	if c.test != nil {
		// A look down the carburettor waits until it is known that there is one.
		if share := e.applies(s, c.test.Applies); share < 1 {
			return doneAsRule * max(share, 1e-3)
		}
	}
	for _, a := range e.base.Lists.Vehicle {
		if vehiclePrefix+a.ID == c.id {
			return a.Known
		}
	}
	return 0
}

// doneAsRule is how often a test that applies is done when it is put. Basis:
// memory; the plan takes the same where nothing is said.
const doneAsRule = 0.9

// asked is a finding with its table.
type asked struct {
	finding *kb.Finding
	table   *belief.Finding
}

package dialog

import (
	"math"
	"strings"

	"ruleout/dialog/belief"
	"ruleout/kb"
)

// What a trouble code points to is weak evidence: it moves the causes in the
// circuit that it names by two decibans, several codes together by no more than
// pointedMost such. It orders the suspects where nothing better was understood
// and never outweighs a finding. So with the symptoms and outcomes that a turn
// may be a telling of.
const (
	pointedID   = "codes"
	pointedMost = 4.0
	pointedBase = 0.05 // any: only ratios to it matter
	// tellingWords is how many words of four letters or more a turn must have.
	tellingWords = 3
	// A symptom that the words are surely a telling of, if of any, is 1 +
	// pointedFaint times as likely told when it is there; turns add up to
	// pointedFaintMost.
	pointedSymptoms  = 5
	pointedFaint     = 8.0
	pointedFaintMost = 12.0
)

// tells reports whether a turn is long enough to point anywhere: "no", "don't
// know" and the like answer a question and say nothing of the car.
func tells(words string) bool {
	n := 0
	for _, w := range strings.Fields(words) {
		if len(w) >= 4 {
			n++
		}
	}
	return n >= tellingWords
}

// pointOutcomes keeps the symptoms and outcomes that the words may be a telling
// of: each is a faint witness that it is so.
func (e *Engine) pointOutcomes(s *State, likely []Likely) {
	for _, l := range likely[:min(len(likely), pointedSymptoms)] {
		of := map[string]string{l.Finding: l.Outcome}
		if sym := e.base.Symptom(l.Finding); sym != nil {
			of = e.standsFor(sym)
		}
		for _, f := range sortedKeys(of) {
			k := faintKey(f, of[f])
			s.Faint[k] = math.Min(s.Faint[k]+pointedFaint*l.P, pointedFaintMost)
		}
	}
}

// faintKey names an outcome of a finding in State.Faint.
func faintKey(finding, outcome string) string { return finding + "=" + outcome }

// faint is the evidence for what was only pointed at.
func (e *Engine) faint(s *State) []belief.Evidence {
	var out []belief.Evidence
	for _, k := range sortedKeys(s.Faint) {
		id, outcome, _ := strings.Cut(k, "=")
		f := e.base.Finding(id)
		if f == nil || s.known(id) {
			continue
		}
		lambda := make([]float64, len(f.Outcomes))
		for i, o := range f.Outcomes {
			lambda[i] = 1
			if o.ID == outcome {
				lambda[i] += s.Faint[k]
			}
		}
		if n := len(out); n > 0 && out[n-1].Label == id {
			for i := range lambda {
				out[n-1].Lambda[i] *= lambda[i]
			}
			continue
		}
		out = append(out, belief.Evidence{Finding: e.findings[id], Lambda: lambda, Label: id})
	}
	return out
}

// pointed is the evidence of all trouble codes, or nil.
func (e *Engine) pointed(s *State) *belief.Evidence {
	if len(s.Pointed) == 0 {
		return nil
	}
	t := &belief.Finding{ID: pointedID, Base: []float64{pointedBase, 1 - pointedBase}, NoneIsBase: true}
	for c := range e.base.Causes {
		if w := s.Pointed[c]; w > 0 {
			p := pointedBase * math.Pow(10, w*e.base.Lists.Derived.LimitMentioned/10)
			t.Rows = append(t.Rows, belief.Row{Cause: c, P: []float64{p, 1 - p}})
		}
	}
	return &belief.Evidence{Finding: t, Lambda: []float64{1, 0}, Label: pointedID}
}

// pointedFinding names that evidence in explanations.
func pointedFinding() *kb.Finding {
	return &kb.Finding{ID: pointedID, Kind: kb.FindingPart, Title: "the trouble codes", Outcomes: []kb.Outcome{{ID: "near", Title: "of its circuit"}, {ID: "far", Title: "of another"}}, Base: []float64{pointedBase, 1 - pointedBase}}
}

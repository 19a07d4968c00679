package dialog

import (
	"math"

	"ruleout/dialog/belief"
	"ruleout/kb"
)

// What the words of a telling point to, by the index alone, is weak evidence:
// a part that is merely mentioned moves a cause by two decibans in one turn, and by
// no more than pointedMost turns together. It orders the suspects where nothing
// better was understood and never outweighs a finding.
const (
	pointedID   = "words"
	pointedHits = 12
	pointedMost = 4.0
	pointedBase = 0.05 // any: only ratios to it matter
)

// point adds what the index makes of a turn's words.
func (e *Engine) point(s *State, words string) {
	if e.matcher == nil {
		return
	}
	hits, err := e.matcher.Match(words, pointedHits, string(kb.KindCause))
	if err != nil || len(hits) == 0 || hits[0].Score <= 0 {
		return
	}
	for _, h := range hits {
		c, ok := e.number[h.ID]
		if !ok || len(h.Why) < wordsLeast {
			continue
		}
		s.Pointed[c] = math.Min(s.Pointed[c]+h.Score/hits[0].Score, pointedMost)
	}
}

// pointed is the evidence of all turns' words, or nil.
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
	return &kb.Finding{ID: pointedID, Kind: kb.FindingPart, Title: "the words you used", Outcomes: []kb.Outcome{{ID: "near", Title: "near to it"}, {ID: "far", Title: "not near"}}, Base: []float64{pointedBase, 1 - pointedBase}}
}

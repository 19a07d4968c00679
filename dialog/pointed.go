package dialog

import (
	"math"
	"strings"

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
	// pointedWords is how many words of four letters or more a turn must have.
	pointedWords = 3
	pointedMost  = 4.0
	pointedBase  = 0.05 // any: only ratios to it matter
	// A symptom pointed at with all its words is 1 + pointedFaint times as
	// likely told when it is there; turns add up to pointedFaintMost.
	pointedSymptoms  = 5
	pointedFaint     = 8.0
	pointedFaintMost = 12.0
)

// point adds what the index makes of a turn's words, and returns the symptoms
// nearest to them.
func (e *Engine) point(s *State, words string) []Candidate {
	if e.matcher == nil || !tells(words) {
		return nil
	}
	hits := e.pointsTo(words, pointedHits, kb.KindCause)
	for _, h := range hits {
		c, ok := e.number[h.ID]
		if !ok || len(h.Why) < wordsLeast {
			continue
		}
		s.Pointed[c] = math.Min(s.Pointed[c]+h.Score/hits[0].Score, pointedMost)
	}
	return e.pointsTo(words, aboutHits, kb.KindSymptom)
}

// pointsTo returns the articles of one kind that the words point to; none if
// the index is in trouble, for these are only hints.
func (e *Engine) pointsTo(words string, limit int, kind kb.Kind) []Candidate {
	hits, err := e.matcher.Match(words, limit, string(kind))
	if err != nil || len(hits) == 0 || hits[0].Score <= 0 {
		return nil
	}
	return hits
}

// tells reports whether a turn is long enough to point anywhere: "no", "don't
// know" and the like answer a question and say nothing of the car.
func tells(words string) bool {
	n := 0
	for _, w := range strings.Fields(words) {
		if len(w) >= 4 {
			n++
		}
	}
	return n >= pointedWords
}

// pointSymptoms does the same for symptoms: that one may be meant is a faint
// witness of its presence, the fainter the less of the words it has.
func (e *Engine) pointSymptoms(s *State, hits []Candidate) {
	for _, h := range hits[:min(len(hits), pointedSymptoms)] {
		if len(h.Why) < wordsLeast || e.findings[h.ID] == nil {
			continue
		}
		a := pointedFaint * h.Cover * h.Score / hits[0].Score
		s.Faint[h.ID] = math.Min(s.Faint[h.ID]+a, pointedFaintMost)
	}
}

// faint is the evidence for symptoms that were only pointed at.
func (e *Engine) faint(s *State) []belief.Evidence {
	var out []belief.Evidence
	for _, id := range sortedKeys(s.Faint) {
		if !s.known(id) {
			out = append(out, belief.Evidence{Finding: e.findings[id], Lambda: []float64{1 + s.Faint[id], 1}, Label: id})
		}
	}
	return out
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

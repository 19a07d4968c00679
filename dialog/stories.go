package dialog

import (
	"math"
	"slices"

	"ruleout/dialog/belief"
	"ruleout/kb"
)

// A trouble told at length is told as others told it whose car had the same
// cause: what led up to it, what was tried, what was seen and not understood.
// Most of that is no finding, and what of it is one is missed where the words
// are new. So the whole of what was told is likened to the stories of each cause,
// and the causes whose stories it is most like are raised. It rules nothing out.
// Basis of the figures: memory, checked by the case tables: with them the first
// suspect was right a little more often than it was said to be.
const (
	storyID = "story"
	// storyTrust is how much of the sum of the words' logarithms counts: the
	// words of a story depend on each other.
	storyTrust = 0.15
	// storyUsual is the share of the causes that are all taken as no more like it
	// than "none of these"; only those above them are raised.
	storyUsual = 0.9
	storyMost  = 28.0 // decibans that a story raises a cause by at most
	storyBase  = 0.001
	storyStep  = 0.5 // decibans to which it is rounded
)

// hearStory adds a turn to the story and likens it. What answered a question or
// a check is left out: that is known better, and counts once.
func (e *Engine) hearStory(s *State, words string, h *heard) {
	if e.matcher == nil || !tells(words) {
		return
	}
	left := []byte(words)
	for _, number := range h.notes {
		n := &s.Notes[number-1]
		if f, _ := e.finding(n.Finding, n.means); f == nil || f.Kind != kb.FindingTest && f.Kind != kb.FindingQuestion || !n.Weighs || n.Certainty < complaintFrom || n.Turn != len(s.Turns) {
			continue
		}
		for i := n.Start; i < min(n.End, len(left)); i++ {
			left[i] = ' '
		}
	}
	s.Story += string(left) + "\n"
	like, err := e.matcher.Histories(s.Story)
	if err != nil || len(like) != len(e.base.Causes) {
		return // the index is in trouble: these are only hints
	}
	s.Like = like
}

// storyEvidence weighs how like the story is to those of each cause, or nil.
func (e *Engine) storyEvidence(s *State) *belief.Evidence {
	if len(s.Like) == 0 {
		return nil
	}
	ranked := slices.Sorted(slices.Values(s.Like))
	usual := ranked[int(storyUsual*float64(len(ranked)-1))]
	mended := map[int]bool{}
	for _, a := range e.actions {
		if s.Tried[a.id] != "" {
			for _, c := range a.causes {
				mended[c] = true
			}
		}
	}
	t := &belief.Finding{ID: storyID, Base: []float64{storyBase, 1 - storyBase}, NoneIsBase: true, Hint: true}
	for c, x := range s.Like {
		if mended[c] {
			continue // it weighs by what mending it changed
		}
		db := math.Round(math.Min(storyMost, storyTrust*(x-usual)*10/math.Ln10)/storyStep) * storyStep
		if db > 0 {
			p := storyBase * math.Pow(10, db/10)
			t.Rows = append(t.Rows, belief.Row{Cause: c, P: []float64{p, 1 - p}})
		}
	}
	return &belief.Evidence{Finding: t, Lambda: []float64{1, 0}, Label: storyID}
}

// storyFinding names that evidence in explanations.
func storyFinding() *kb.Finding {
	return &kb.Finding{ID: storyID, Kind: kb.FindingPart, Title: "your story as a whole", Outcomes: []kb.Outcome{{ID: "like", Title: "like those of owners who had it"}, {ID: "unlike", Title: "unlike them"}}, Base: []float64{storyBase, 1 - storyBase}}
}

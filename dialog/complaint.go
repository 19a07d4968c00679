package dialog

import (
	"cmp"
	"slices"
	"strings"

	"ruleout/kb"
)

// storyFrom is the number of words from which a turn is a story, in which the
// complaint may come after its background. Basis: memory.
const storyFrom = 40

// byComplaint orders the notes of a turn so that the symptom of which most is
// told comes first: in a long story that is the complaint, whatever was
// mentioned before it. What was so before the trouble, and what others say,
// comes last. A short turn keeps its order.
func (e *Engine) byComplaint(s *State, h *heard) []int {
	if len(s.Turns) == 0 || len(strings.Fields(s.Turns[len(s.Turns)-1].Text)) < storyFrom {
		return h.notes
	}
	told := map[string]int{}
	for _, num := range h.notes {
		n := &s.Notes[num-1]
		f := e.base.Finding(n.Finding)
		switch {
		case f != nil && f.Kind == kb.FindingSymptom && (n.Era == "before" || n.Source == "told" || n.Source == "shop"):
			told[n.Finding] -= 2
		case f != nil && f.Kind == kb.FindingSymptom:
			told[n.Finding]++
		case f != nil && f.Kind == kb.FindingQuestion && n.Weighs:
			told[f.Article]++
		case strings.HasPrefix(n.Finding, "cond:"):
			told[strings.Split(n.Finding, ":")[1]]++
		}
	}
	out := slices.Clone(h.notes)
	slices.SortStableFunc(out, func(a, b int) int {
		return cmp.Compare(told[s.Notes[b-1].Finding], told[s.Notes[a-1].Finding])
	})
	return out
}

package dialog

import (
	"slices"
	"strings"

	"ruleout/kb"
)

// putLately is how many of the checks put last may still be answered by name.
const putLately = 3

// answersPut takes an answer that is, word for word, one that a check put
// shortly before can have and the open question can't: somebody was busy with
// that check while the talk went on. It reports whether it was one.
func (e *Engine) answersPut(s *State, text string, h *heard) bool {
	words := strings.ToLower(strings.TrimSpace(text))
	if s.Open == nil || len(words) < 3 || e.outcomeCalled(s.Open.finding, words) != "" {
		return false
	}
	for _, id := range s.Put[:min(len(s.Put), putLately)] {
		if t := e.base.Test(id); t != nil && t.Of != "" {
			id = t.Of
		}
		if outcome := e.outcomeCalled(id, words); id != s.Open.finding && outcome != "" && !s.known(id) {
			e.told(s, id, outcome, text, h)
			return true
		}
	}
	return false
}

// outcomeCalled is the outcome of the finding with that title, or "".
func (e *Engine) outcomeCalled(finding, words string) string {
	f, _ := e.finding(finding, "")
	if f == nil {
		return ""
	}
	i := slices.IndexFunc(f.Outcomes, func(o kb.Outcome) bool { return strings.ToLower(o.Title) == words })
	if i < 0 {
		return ""
	}
	return f.Outcomes[i].ID
}

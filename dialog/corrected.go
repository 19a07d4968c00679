package dialog

import (
	"strings"

	"ruleout/dialog/plainwords"
)

// correctItem changes which one the last observation of its kind spoke of, as
// a correction says: "sorry, i meant the left one".
func (e *Engine) correctItem(s *State, acct plainwords.Account, h *heard) {
	for _, q := range acct.Requests {
		if q.Kind != "change" || q.Item == "" {
			continue
		}
		at := -1
		for i := range s.Notes {
			n := &s.Notes[i]
			if n.struck || n.Turn >= len(s.Turns) || n.Item == q.Item {
				continue
			}
			if n.Item != "" || at < 0 && (strings.HasPrefix(n.Finding, "part:") || e.base.Symptom(n.Finding) != nil) {
				at = i
			}
		}
		if at < 0 {
			continue
		}
		n := &s.Notes[at]
		n.Item = q.Item
		h.say("Changed: %s is the %s one.", n.Title, strings.ReplaceAll(q.Item, "-", " "))
		h.corrected = true
	}
}

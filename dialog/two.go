package dialog

import (
	"fmt"
	"slices"
	"strings"
)

// apart is a symptom told in this turn that has nothing in common with the
// complaint, or "": neither path, feed, signal nor era. Then they are offered
// as two cases.
func (e *Engine) apart(s *State) string {
	if s.prev == nil || len(s.Also) == 0 || len(s.Also) == len(s.prev.Also) && s.Chief == s.prev.Chief || e.eventTold(s) ||
		s.told(e.base.Derived.Together.Question.ID, "also") {
		return ""
	}
	chief := e.cameFor(s)
	if chief == nil || s.doubtful(s.Chief) {
		return ""
	}
	for _, id := range s.Also {
		if sym := e.base.Symptom(id); sym != nil && !slices.Contains(s.prev.Also, id) && !s.doubtful(id) && e.base.Unlike(chief, sym) {
			return id
		}
	}
	return ""
}

// apartWords offers to keep two unlike troubles in two cases.
func (e *Engine) apartWords(s *State, id string) string {
	return fmt.Sprintf(" Is this one trouble or two? “%s” and “%s” share no path, feed, earth, signal or fluid that I know of: as a rule they are two cases.",
		lowerFirst(e.cameFor(s).Title), lowerFirst(e.title(id)))
}

func (e *Engine) apartQuick(id string) Quick {
	return Quick{Text: "two troubles: leave out “" + lowerFirst(e.title(id)) + "”", Tap: Tap{Request: "split", About: id}}
}

// split leaves a symptom to a case of its own: it weighs here no more.
func (e *Engine) split(s *State, id string, h *heard) {
	if !slices.Contains(s.Also, id) {
		h.say("There is no second trouble of that name in this case.")
		return
	}
	s.Also = slices.DeleteFunc(slices.Clone(s.Also), func(x string) bool { return x == id })
	words := lowerFirst(e.title(id))
	for i := range s.Notes {
		n := &s.Notes[i]
		if !n.struck && (n.Finding == id || strings.HasPrefix(n.Finding, "cond:"+id+":")) {
			n.Weighs, n.Note = false, "left to a case of its own"
			if n.Words != "" && n.Finding == id {
				words = n.Words
			}
		}
	}
	s.mark("split", "left to a case of its own: "+lowerFirst(e.title(id)))
	h.say("Left out here. Begin a case of its own with it: “%s”.", words)
}

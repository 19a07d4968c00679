package dialog

import (
	"slices"
	"strings"

	"ruleout/dialog/plainwords"
)

var (
	goneSaid    = guard(`\b(gone|disappeared|went away|vanished|no more)\b`)
	goneNot     = guard(`\b(not|isn't|isnt|hasn't|hasnt|still|never|nearly|almost|partly)\b`)
	clauseBreak = guard(`[.,;!?\n]+|\bbut\b|\band\b|\bthough\b|\bonly\b`)
	aWord       = guard(`[a-z]+`)
)

// goneAt is a clause that says of a symptom of the case that it is gone.
type goneAt struct {
	symptom    string
	start, end int
}

// goneInWords finds "the squeal has gone": a clause that says gone and shares
// a word with how owners say a symptom of this case, and with no other of it.
func (e *Engine) goneInWords(s *State, text string) []goneAt {
	if s.era() == 0 {
		return nil
	}
	var present []string
	for _, id := range append([]string{s.Chief}, s.Also...) {
		if id != "" && s.told(id, "present") {
			present = append(present, id)
		}
	}
	lower := strings.ToLower(text)
	if len(lower) != len(text) {
		return nil // folding moved the letters
	}
	var out []goneAt
	at := 0
	for _, b := range append(clauseBreak.FindAllStringIndex(lower, -1), []int{len(lower), len(lower)}) {
		clause, from := lower[at:b[0]], at
		at = b[1]
		if !goneSaid.MatchString(clause) || goneNot.MatchString(clause) {
			continue
		}
		if id := e.spokenOf(clause, present); id != "" {
			out = append(out, goneAt{id, from, b[0]})
		}
	}
	return out
}

// spokenOf is the one symptom whose own words share the most with the clause.
func (e *Engine) spokenOf(clause string, ids []string) string {
	best, most, tie := "", 0, false
	for _, id := range ids {
		sym := e.base.Symptom(id)
		if sym == nil {
			continue
		}
		own := aWord.FindAllString(strings.ToLower(sym.Title+" "+strings.Join(sym.Said, " ")), -1)
		n := 0
		for _, w := range aWord.FindAllString(clause, -1) {
			if len(w) >= 4 && !goneSaid.MatchString(w) && slices.ContainsFunc(own, func(o string) bool { return sameStem(w, o) }) {
				n++
			}
		}
		if n > most {
			best, most, tie = id, n, false
		} else if n == most && n > 0 {
			tie = true
		}
	}
	if tie {
		return ""
	}
	return best
}

// sameStem compares words by their first letters, so that "squeal" is found
// in "squealing".
func sameStem(a, b string) bool {
	n := min(len(a), len(b), 6)
	return n >= 4 && a[:n] == b[:n]
}

// hearGone notes what a turn says is gone and its words as read.
func (e *Engine) hearGone(s *State, text string, h *heard) {
	for _, g := range e.goneInWords(s, text) {
		if slices.ContainsFunc(h.notes, func(k int) bool { return s.Notes[k-1].Finding == g.symptom }) {
			continue
		}
		e.note(s, plainwords.Observation{Finding: g.symptom, Outcome: "absent", Source: "seen", Hedge: "plain", Certainty: e.base.Lists.Derived.Sources["seen"], Start: g.start, End: g.end}, text, h)
		h.unread = slices.DeleteFunc(h.unread, func(w Words) bool { return w.Start >= g.start && w.End <= g.end })
	}
}

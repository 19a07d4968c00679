package plainwords

import (
	"strings"

	"ruleout/kb"
)

// lastWords say that what an action did held only for a time.
var lastWords = [][]string{{"for", "a", "while"}, {"for", "a", "bit"}, {"for", "a", "day"}, {"for", "a", "few"}, {"for", "a", "mile"}, {"for", "a", "minute"}, {"for", "ten", "minutes"}, {"for", "a", "week"}, {"temporarily"}, {"comes", "back"}, {"came", "back"}, {"then", "it", "starts", "again"}, {"then", "it", "does", "it", "again"}, {"until", "next", "time"}, {"till", "next", "time"}}

// lasting is "goes", or "while" where the sentence of the action says that it
// came back.
func (t *turn) lasting(from int) string {
	if t.forAWhile(from, from) {
		return "while"
	}
	sent := t.toks[from].sent
	for k := from; k < len(t.toks) && t.toks[k].sent == sent && k < from+30; k++ {
		for _, w := range lastWords {
			if t.wordsAt(k, w) {
				t.useTokens(k, k+len(w)-1)
				return "while"
			}
		}
	}
	return "goes"
}

// bringsOnAt reports whether "makes it stall" or "it stalls" stands at the
// token.
func (t *turn) bringsOnAt(k int) bool {
	w := t.toks[k].norm
	if k > 1 && beginning[t.toks[k-1].norm] && strings.HasSuffix(w, "ing") && !t.toks[k].under && t.badDoing(w) {
		return true // "and it started missing"
	}
	if t.lx.badVerbs[w] && k > 1 && (t.toks[k-1].norm == "it" || t.toks[k-1].norm == "engine") && !t.toks[k].under {
		return true
	}
	if w != "makes" && w != "made" {
		return false
	}
	for i := k + 1; i < len(t.toks) && i <= k+3; i++ {
		if t.lx.badVerbs[t.toks[i].norm] {
			return true
		}
	}
	return false
}

// findMoves reads what was done to the car as a whole, or to no part that was
// named, and what that did to the trouble: "key off and on clears it".
func (t *turn) findMoves() {
	done := map[string]bool{}
	for _, i := range t.looks {
		m := &t.matches[i]
		if m.phrase.target.kind != targetComeGo || done[m.phrase.target.id] || !t.solidMove(m) {
			continue
		}
		clause := t.us[m.first].clause
		if t.voices[clause].question || t.wished[clause] != "" || t.future(t.us[m.first].first) {
			continue
		}
		outcome := t.comeGo(m)
		if outcome == "" {
			continue
		}
		o := Observation{Finding: "go:" + m.phrase.target.id, Outcome: outcome, Source: "tried", Means: m.phrase.target.id}
		o.Start, o.End = t.span(m)
		done[m.phrase.target.id] = true
		t.use(m)
		t.observe(o, clause)
	}
}

// solidMove asks of the words of an action that they all be there, side by
// side, and that nothing else has used them.
func (t *turn) solidMove(m *match) bool {
	if !t.solid(m) || m.flipped && m.phrase.denies || !t.toTheLetter(m) || t.asked != nil && t.asked.kind == kb.FindingTest && t.answered(t.asked) {
		return false
	}
	for _, u := range m.units {
		if t.usedUnit[u] {
			return false
		}
	}
	return len(m.units) > 1
}

// beginning are the verbs after which a trouble sets in.
var beginning = set(`started starts began begins`)

// badDoing reports whether a word in -ing is the doing of a trouble.
func (t *turn) badDoing(w string) bool {
	for _, verb := range []string{strings.TrimSuffix(w, "ing"), strings.TrimSuffix(w, "ing") + "e", strings.TrimSuffix(w, "ing") + "s", strings.TrimSuffix(w, "ing") + "es"} {
		if t.lx.badVerbs[verb] {
			return true
		}
	}
	return w == "missing" || w == "cutting" || w == "spluttering" || w == "coughing"
}

// isDoing reports whether a word in -ing is what the engine does and no look of a
// part: "started missing", "missing and banging out of the exhaust".
func (t *turn) isDoing(k int) bool {
	doing := func(k int) bool { return strings.HasSuffix(t.word(k, 0), "ing") && t.toks[k].kind == tokenWord }
	if !doing(k) || !t.badDoing(t.toks[k].norm) {
		return false
	}
	switch {
	case beginning[t.word(k, -1)]:
		return true
	case t.word(k, 1) == "and":
		return doing(k + 2)
	case t.word(k, -1) == "and":
		return doing(k - 2)
	}
	return false
}

package dialog

import (
	"fmt"

	"ruleout/kb"
)

// wantedCheck takes a check that the person has in mind ("can I tap it?",
// "what if I jump it?") as the next one, when the index knows it by those
// words and it can be done here.
func (e *Engine) wantedCheck(s *State, about string) {
	s.wanted = "none"
	if e.matcher == nil {
		return
	}
	hits, err := e.matcher.Match(about, 3, string(kb.KindTest))
	if err != nil {
		return
	}
	for _, h := range hits {
		if (len(h.Why) >= wordsLeast || h.Cover >= coverOne) && e.nearTrouble(s, h.ID) {
			s.wanted = h.ID
			return
		}
	}
}

// nearFromSystem is how likely the trouble must lie in a system for a check of it
// to be what was meant. Basis: memory.
const nearFromSystem = 0.1

// nearTrouble reports whether a check is of the system complained of or of one in
// which the trouble may well lie: power at the rear window is not looked for at
// the radiator fan.
func (e *Engine) nearTrouble(s *State, test string) bool {
	t, sym := e.base.Test(test), e.base.Symptom(s.Chief)
	if t == nil || sym == nil || t.System == sym.System {
		return true
	}
	sum, post := 0.0, e.judgeOnly(s)
	for i, c := range e.base.Causes {
		if c.System == t.System {
			sum += post.Singles[i]
		}
	}
	return sum >= nearFromSystem
}

// mayI answers whether something can be tried. Harm in a circuit is judged
// with the circuits; here it is said whether a written check covers it.
func (e *Engine) mayI(s *State, j *judged) (string, []string) {
	t := e.base.Test(s.wanted)
	switch {
	case t == nil:
		return "I have no check written for that, so I can't say what it would tell. Bridge, feed or open nothing that no check names, and never brakes, steering or airbags.", nil
	case e.wantedNext(s, j) != nil:
		return "", nil // it follows as the next check
	case !e.canDo(s, t):
		return fmt.Sprintf("That is [%s](article:%s); it can't be done here as things are: it needs %s.", lowerFirst(t.Title), t.ID, e.wants(s, t)), []string{t.ID}
	case s.known(t.ID) || s.Passed[t.ID] != "":
		return fmt.Sprintf("That is [%s](article:%s), and it is done already.", lowerFirst(t.Title), t.ID), []string{t.ID}
	}
	return fmt.Sprintf("That is [%s](article:%s). It would tell nothing about what is in play here.", lowerFirst(t.Title), t.ID), []string{t.ID}
}

// wants names what a test needs that is not there.
func (e *Engine) wants(s *State, t *kb.Test) string {
	for _, id := range t.Needs {
		if !e.haveAll(s, []string{id}) {
			return list(e.toolTitles([]string{id}))
		}
	}
	if t.Difficulty == "shop" {
		return "a shop's equipment"
	}
	return "a car that can be brought into the state for it"
}

// wantedNext is the check asked for, if it is among those that can be done.
func (e *Engine) wantedNext(s *State, j *judged) *Next {
	if s.wanted == "" {
		return nil
	}
	for i := range j.checks {
		if c := &j.checks[i]; c.id == s.wanted && c.kind == "test" {
			n := e.checkNext(s, j, i)
			n.Why = "you asked for it. " + upperFirst(n.Why)
			return n
		}
	}
	return nil
}

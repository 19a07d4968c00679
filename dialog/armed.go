package dialog

import (
	"fmt"
	"slices"
	"strings"

	"ruleout/dialog/plan"
	"ruleout/kb"
)

// armedMinutes is the longest check worth preparing for the moment of trouble.
// Basis: memory.
const armedMinutes = 15.0

// ArmedCheck is a check prepared now and done when the trouble next shows: a
// card of three lines with the cautions that stand before them.
type ArmedCheck struct {
	ID       string   `json:"id"`
	Title    string   `json:"title"`
	Cautions []string `json:"cautions"`
	// Lines are what to do, where to look, and what it means.
	Lines []string `json:"lines"`
}

// comesAndGoes takes "it only does it sometimes": from then on what is tried
// while the trouble is away says nothing, and the best check is prepared for
// the moment it shows.
func (e *Engine) comesAndGoes(s *State, about string, h *heard) {
	s.care.sometimes = true
	if about == "quiet" || s.Chief != "" && len(h.notes) == 0 {
		s.care.quiet = true
	}
	if s.Chief == "" || len(h.notes) > 0 || s.Closed != "" || s.Proving != "" {
		return
	}
	h.say("Then what is tried while it is well says little.")
	e.arm(s, "", h)
}

// arm prepares a check for the moment the trouble shows: the one named, the
// one on the table, or the best there is.
func (e *Engine) arm(s *State, about string, h *heard) {
	if slices.ContainsFunc(s.care.armed, func(x ArmedCheck) bool { return x.ID == about }) {
		h.say("That one is armed already.")
		return
	}
	j := e.layOut(s)
	i := e.armable(s, j, about)
	if i < 0 {
		h.say("I have no check that tells more while it is doing it. Note when it shows, what it does then, and what was just before.")
		return
	}
	a := e.card(s, j, i)
	s.care.armed = append(s.care.armed, a)
	s.Passed[a.ID] = "armed for when it shows"
	if s.Open != nil && s.Open.id == a.ID {
		s.Open = nil
	}
	s.mark("armed", lowerFirst(a.Title))
	h.cards = append(h.cards, a)
}

// armable is the number of the check to prepare, or -1: a test by hand, eye or
// meter that is soon done where the car stands. The one asked for goes first,
// then the one on the table, then the one of greatest worth.
func (e *Engine) armable(s *State, j *judged, about string) int {
	fits := func(i int) bool {
		c := j.checks[i]
		return c.kind == "test" && c.test != nil && passing(c.test)
	}
	for _, id := range []string{about, openID(s)} {
		for i, c := range j.checks {
			if id != "" && (c.id == id || c.finding != nil && c.finding.ID == id) && c.test != nil {
				return i
			}
		}
	}
	scratch := e.scratch.Get().(*plan.Scratch)
	defer e.scratch.Put(scratch)
	best, _ := plan.MostWorth(j.problem, scratch, j.decision, 0, fits)
	return best
}

// passing reports whether a test reads something that is there only while the
// trouble is, and can be done there and then: a reading other than of a part's
// own, or something to be seen with the key on or the engine running.
func passing(t *kb.Test) bool {
	if len(t.Access) > 0 || len(t.Settles) > 0 || t.Minutes > armedMinutes || contains(t.Hazards, "jacking") || contains(t.Requires, "engine-cold") {
		return false
	}
	if r := t.Reading; r != nil {
		return !contains([]string{"resistance", "length"}, r.Quantity)
	}
	return slices.ContainsFunc(t.Requires, func(id string) bool { return contains(liveStates, id) })
}

// liveStates are the states of the car in which a passing trouble can be seen.
var liveStates = []string{"key-on", "engine-running", "engine-warm", "lights-on"}

func openID(s *State) string {
	if s.Open == nil || s.Open.kind != "test" {
		return ""
	}
	return s.Open.id
}

// card words the check in three lines.
func (e *Engine) card(s *State, j *judged, i int) ArmedCheck {
	c := j.checks[i]
	n := e.checkNext(s, j, i)
	a := ArmedCheck{ID: c.id, Title: c.test.Title, Cautions: append([]string{}, n.Cautions...)}
	do := "When it shows: stop in a safe place, then: " + lowerFirst(strings.TrimSuffix(c.test.Title, "."))
	if len(n.Needs) > 0 {
		do += "; have ready: " + list(n.Needs)
	}
	look := "Look: " + lowerFirst(c.test.Ask)
	if r := c.test.Reading; r != nil {
		look = fmt.Sprintf("Look: %s; leads: %s; sound is %s (a phone may film the meter)", r.Meter, r.Terminals, strings.TrimSuffix(r.Expect, "."))
	}
	a.Lines = []string{sentence(do), sentence(look), "It means: " + sentence(e.meansWords(c.finding, n))}
	return a
}

// meansWords says what the two likeliest outcomes point to.
func (e *Engine) meansWords(f *kb.Finding, n *Next) string {
	var out []string
	for _, sp := range n.Splits {
		if len(sp.Leaves) > 0 && sp.Probability >= 0.02 && len(out) < 3 {
			out = append(out, fmt.Sprintf("“%s”: %s (%s)", lowerFirst(sp.Outcome), lowerFirst(brief(sp.Leaves[0].System)), plain(sp.Leaves[0].Probability)))
		}
	}
	if len(out) == 0 {
		return lowerFirst(f.Title)
	}
	return strings.Join(out, "; ")
}

// cardText is a card in words.
func cardText(a ArmedCheck) string {
	var b strings.Builder
	fmt.Fprintf(&b, "**Armed: %s** ([steps](article:%s)). Never by the driver on the move.", lowerFirst(a.Title), a.ID)
	for _, c := range a.Cautions {
		b.WriteString("\n⚠ " + sentence(c))
	}
	for k, l := range a.Lines {
		fmt.Fprintf(&b, "\n%d. %s", k+1, l)
	}
	return b.String()
}

// cardsText is the cards made in this turn.
func cardsText(cards []ArmedCheck) (string, []string) {
	var texts, cites []string
	for _, a := range cards {
		texts = append(texts, cardText(a))
		cites = append(cites, a.ID)
	}
	return strings.Join(texts, "\n\n"), cites
}

// disarm takes an armed check whose result was told: it was done while the
// trouble was there.
func (e *Engine) disarm(s *State, n *observed) {
	if n.cure() && s.cameBackAfter(n) { // the job was done once more
		s.care.back = cloned(s.care.back)
		delete(s.care.back, n.Finding)
	}
	for k, a := range s.care.armed {
		t := e.base.Test(a.ID)
		if t == nil || a.ID != n.Finding && t.Of != n.Finding || !n.Weighs {
			continue
		}
		if n.present == "" {
			n.present = "yes"
		}
		s.care.armed = slices.Delete(slices.Clone(s.care.armed), k, k+1)
		delete(s.Passed, a.ID)
		return
	}
	if n.present == "" && s.care.quiet && (n.Source == "tried" || n.Source == "measured") {
		n.present = "no"
	}
}

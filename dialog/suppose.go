package dialog

import (
	"fmt"
	"slices"
	"strings"

	"ruleout/dialog/plainwords"
)

// Supposing is what the case is seen under for now: "what if it had read
// 0 V?". It is kept or dropped; until then nothing is changed for good.
type Supposing struct {
	What string `json:"what"`
	// Since is the number of the turn that supposed it.
	Since int `json:"since"`
}

// supposition is a fork of the case: base is the state it branched from.
type supposition struct {
	Supposing
	base  *State
	outer *supposition
}

// whatIf is the beginning of a turn that supposes something.
var whatIf = guard(`(?i)^\s*(?:(?:so|and|ok|okay|but|well|hm+),?\s+)?(?:what\s+(?:would\s+it\s+mean\s+|would\s+you\s+say\s+|does\s+it\s+mean\s+)?if|suppose|supposing|say\s+that|let'?s\s+say|imagine|assume|assuming)\s+(?:(?:it|that|this|the\s+(?:meter|reading))\s+(?:had\s+|would\s+have\s+|has\s+)?(?:read|reads|shown?|showed|shows|been|was|were|is|said|says)\s+)?`)

// supposes reads "what if ..." as a fork of the case. It reports false, and
// leaves the state alone, when the rest names nothing that can be known of the
// car: then the turn is read as any other.
func (e *Engine) supposes(s *State, text string, h *heard) bool {
	head := whatIf.FindString(text)
	if head == "" || len(text) > readAtMost {
		return false
	}
	// The same length keeps the places of the words.
	rest := strings.Repeat(" ", len(head)) + strings.NewReplacer("?", ".").Replace(text[len(head):])
	fork, hh := s.clone(), &heard{}
	fork.prev, fork.Pending = s.prev, nil
	if o := e.lastAnswered(s); o != nil {
		fork.Open, fork.Put = o, append([]string{o.id}, fork.Put...)
	}
	e.read(fork, rest, hh)
	var new []int
	for _, n := range hh.notes {
		switch o := &fork.Notes[n-1]; {
		case o.struck:
		case o.Weighs:
			new = append(new, n)
		default: // what would have to be asked about first is not supposed
			o.struck, o.Note = true, "not supposed"
		}
	}
	fork.Pending = nil
	if len(new) == 0 && len(hh.facts) == 0 {
		return false
	}
	hh.requests, hh.lines = nil, nil
	*s, *h = *fork, *hh
	h.spans = wholeSpan(text)
	e.fork(s, new, h)
	return true
}

// lastAnswered is the test or question answered last with a reading or, if
// none was, at all: what "it" stands for in "what if it had read 0 V".
func (e *Engine) lastAnswered(s *State) *open {
	var last *open
	for i := len(s.Notes) - 1; i >= 0; i-- {
		n := &s.Notes[i]
		f := e.base.Finding(n.Finding)
		if n.struck || f == nil {
			continue
		}
		if f.Reading != nil {
			return &open{kind: "test", id: f.ID, finding: f.ID}
		}
		if last == nil {
			last = &open{kind: "question", id: f.ID, finding: f.ID}
		}
	}
	if s.Open != nil && s.Open.finding != "" {
		return s.Open
	}
	return last
}

// supposeTap takes a fork asked for with a tap: a finding with an outcome or a
// reading, or an observation (Strike) that is left out or seen otherwise.
func (e *Engine) supposeTap(s *State, t Turn, h *heard) {
	before := len(s.Notes)
	tap := *t.Tap
	tap.Request = ""
	if tap.Finding == "" && tap.Strike == 0 {
		h.say("Suppose what? Name a finding with an outcome or a reading.")
		return
	}
	said := len(h.lines)
	e.tap(s, Turn{Text: t.Text, Tap: &tap}, h)
	var new []int
	for n := before + 1; n <= len(s.Notes); n++ {
		new = append(new, n)
	}
	if len(new) == 0 && tap.Strike == 0 || tap.Strike > before {
		return // said why
	}
	h.lines = h.lines[:said]
	if tap.Strike > 0 {
		new = []int{tap.Strike}
	}
	e.fork(s, new, h)
}

// fork marks the state as supposed: what the new observations contradict does
// not count in it.
func (e *Engine) fork(s *State, new []int, h *heard) {
	var what []string
	for _, k := range new {
		n := &s.Notes[k-1]
		for i := range s.Notes {
			p := &s.Notes[i]
			if p.Number < n.Number && !p.struck && p.Finding == n.Finding && p.Item == n.Item {
				p.struck, p.Note = true, "supposed otherwise"
			}
		}
		if n.struck {
			what = append(what, "without “"+n.describe()+"”")
		} else {
			what = append(what, n.describe())
		}
	}
	for _, f := range h.facts {
		what = append(what, f.Title+" "+f.OutcomeTitle)
	}
	s.supposed = &supposition{Supposing: Supposing{What: list(what), Since: len(s.Turns)}, base: s.prev, outer: s.supposed}
	s.mark("supposed", s.supposed.What)
	h.say("Supposing %s. %sNothing is changed for good: keep it or drop it.", s.supposed.What, e.shift(s.prev, s))
}

// shift says what a supposition does to the leading suspect.
func (e *Engine) shift(old, s *State) string {
	if !anyWeighs(s) {
		return ""
	}
	was, now := e.judgeOnly(old.clone()), e.judgeOnly(s)
	c := byProbability(now)[0]
	title := lowerFirst(brief(e.base.Causes[c].Title))
	switch {
	case plain(now.Singles[c]) == plain(was.Singles[c]):
		return fmt.Sprintf("That would not change who leads: %s, %s. ", title, plain(now.Singles[c]))
	case !anyWeighs(old):
		return ""
	}
	return fmt.Sprintf("Then it would be %s: %s, as things stand %s. ", title, plain(now.Singles[c]), plain(was.Singles[c]))
}

// keepSupposed makes what was supposed part of the case.
func (e *Engine) keepSupposed(s *State, h *heard) {
	if s.supposed == nil {
		h.say("Nothing is being supposed.")
		return
	}
	h.say("Kept: %s.", s.supposed.What)
	s.mark("kept", s.supposed.What)
	s.supposed = s.supposed.outer
}

// supposedQuick are the answers that keep or drop a supposition.
func supposedQuick() []Quick {
	return []Quick{
		{Text: "keep what was supposed", Tap: Tap{Request: "keep"}},
		{Text: "drop what was supposed", Tap: Tap{Request: "drop"}},
	}
}

// supposedNow is what the reply says of the supposition, if there is one.
func (s *State) supposedNow() *Supposing {
	if s.supposed == nil {
		return nil
	}
	out := s.supposed.Supposing
	return &out
}

// keepOrDrop reads "keep it" and "drop it" while something is supposed.
func (s *State) keepOrDrop(text string) *plainwords.Request {
	if s.supposed == nil {
		return nil
	}
	words := strings.FieldsFunc(strings.ToLower(text), func(r rune) bool { return r != '\'' && (r < 'a' || r > 'z') })
	if len(words) == 0 || len(words) > 5 {
		return nil
	}
	kind := map[string]string{"keep": "keep", "drop": "drop", "discard": "drop", "forget": "drop", "dismiss": "drop"}[words[0]]
	for _, w := range words[1:] {
		if !slices.Contains([]string{"it", "that", "this", "the", "what", "was", "supposed", "supposition", "if", "fork", "then", "please", "about"}, w) {
			return nil
		}
	}
	if kind == "" {
		return nil
	}
	q := request(kind, "")
	return &q
}

package dialog

import (
	"fmt"
	"math"
	"strings"

	"ruleout/dialog/plainwords"
	"ruleout/kb"
)

func request(kind, about string) plainwords.Request {
	return plainwords.Request{Kind: kind, About: about}
}

// tap takes a turn whose meaning is exact.
func (e *Engine) tap(s *State, t Turn, h *heard) {
	tap := t.Tap
	switch {
	case tap.Strike != 0:
		e.strike(s, tap, h)
	case tap.Choice != 0:
		if len(s.Pending) == 0 {
			h.say("There is no question open to choose for.")
			return
		}
		p := s.Pending[0]
		s.Pending = s.Pending[1:]
		if tap.Choice > len(p.choices) {
			h.say("There are only %d answers to choose from.", len(p.choices))
			return
		}
		c := choice{drop: true}
		if tap.Choice > 0 {
			c = p.choices[tap.Choice-1]
		}
		e.resolve(s, p, c, h)
	case len(tap.Ticks) > 0:
		for _, a := range tap.Ticks {
			e.told(s, a.Finding, a.Outcome, t.Text, h)
		}
		e.closeOpen(s)
	case tap.Finding != "" && tap.Value != nil:
		f, _ := e.finding(tap.Finding, "")
		if f == nil {
			h.say("There is no finding “%s” in the articles.", tap.Finding)
			return
		}
		if f.Reading == nil {
			h.say("%s is not read off a meter; choose an answer instead.", f.Title)
			return
		}
		if math.IsNaN(*tap.Value) || math.IsInf(*tap.Value, 0) || math.Abs(*tap.Value) > 1e12 {
			h.say("%g is not a reading that a meter can show.", *tap.Value)
			return
		}
		unit := tap.Unit
		if unit == "" && f.Reading != nil {
			unit = f.Reading.Unit
		}
		q := quantityOf(*tap.Value, unit)
		q.Written, q.UnitGiven = fmt.Sprintf("%g %s", *tap.Value, unit), tap.Unit != ""
		e.note(s, plainwords.Observation{Finding: tap.Finding, Reading: q, Source: "measured", Hedge: "plain", Certainty: e.base.Lists.Derived.Sources["measured"], Start: 0, End: len(t.Text), Answer: true}, t.Text, h)
		e.closeOpen(s)
	case tap.Finding != "":
		e.told(s, tap.Finding, tap.Outcome, t.Text, h)
		e.closeOpen(s)
	default:
		h.say("That tap says nothing: it needs a finding, a choice, a strike or a request.")
	}
}

func (e *Engine) closeOpen(s *State) { s.Open = nil }

// told notes an outcome that was tapped; "unknown" means "don't know".
func (e *Engine) told(s *State, finding, outcome, text string, h *heard) {
	if e.setFact(s, finding, outcome, text, h) {
		return
	}
	f, _ := e.finding(finding, "")
	switch {
	case f == nil:
		h.say("There is no finding “%s” in the articles.", finding)
		return
	case outcome == "unknown":
		s.Passed[finding] = dontKnow
		return
	case f.OutcomeIndex(outcome) < 0:
		h.say("“%s” is not an outcome of %s.", outcome, f.Title)
		return
	}
	source := "seen"
	if f.Kind == kb.FindingTest {
		source = "tried"
	}
	if strings.HasPrefix(finding, "repair:") {
		e.repaired(s, finding, outcome, text, h)
		return
	}
	e.note(s, plainwords.Observation{Finding: finding, Outcome: outcome, Source: source, Hedge: "plain", Certainty: e.base.Lists.Derived.Sources[source], Start: 0, End: len(text), Answer: true}, text, h)
	e.chooseChief(s, h)
	e.eraChange(s, h)
}

// strike drops an observation or changes it to another outcome.
func (e *Engine) strike(s *State, tap *Tap, h *heard) {
	n := tap.Strike
	if n < 1 || n > len(s.Notes) {
		h.say("There is no observation number %d; there are %d.", n, len(s.Notes))
		return
	}
	o := &s.Notes[n-1]
	if tap.Outcome == "" {
		o.struck, o.Note = true, "struck"
		h.say("Struck: %s.", o.describe())
		s.mark("struck", o.describe())
		e.untried(s, o)
		e.rechief(s, h)
		return
	}
	finding := tap.Finding
	if finding == "" {
		finding = o.Finding
	}
	f, _ := e.finding(finding, o.means)
	if f == nil || f.OutcomeIndex(tap.Outcome) < 0 {
		h.say("“%s” is not an outcome of that observation.", tap.Outcome)
		return
	}
	was := o.describe()
	o.Finding, o.Title, o.Outcome, o.quantity, o.Weighs, o.Note = finding, f.Title, tap.Outcome, nil, true, "changed"
	o.OutcomeTitle = f.Outcomes[f.OutcomeIndex(tap.Outcome)].Title
	o.Value, o.Unit = nil, ""
	h.say("Changed: %s, now “%s”.", was, o.OutcomeTitle)
	s.mark("changed", was+", now "+o.OutcomeTitle)
	e.rechief(s, h)
}

// rechief chooses the chief complaint anew when its observation is gone.
func (e *Engine) rechief(s *State, h *heard) {
	if s.Chief == "" || s.told(s.Chief, "present") {
		return
	}
	s.Chief, s.Also = "", nil
	all := &heard{}
	for i := range s.Notes {
		if !s.Notes[i].struck {
			all.notes = append(all.notes, s.Notes[i].Number)
		}
	}
	e.chooseChief(s, all)
}

// answersPending lets a plain answer ("the second", "yes", "no") settle the
// question about what was said.
func (e *Engine) answersPending(s *State, text string, h *heard) bool {
	if len(s.Pending) == 0 || len(s.Pending[0].choices) == 0 {
		return false
	}
	p := s.Pending[0]
	word := strings.Trim(strings.ToLower(strings.TrimSpace(text)), ".,!? ")
	pick := -1
	for i, c := range p.choices {
		if word == strings.ToLower(c.text) || word == fmt.Sprint(i+1) {
			pick = i
		}
	}
	ordinals := map[string]int{"first": 0, "the first": 0, "the first one": 0, "first one": 0, "second": 1, "the second": 1, "the second one": 1, "second one": 1, "third": 2, "the third": 2, "the third one": 2, "last": len(p.choices) - 1,
		"neither": len(p.choices) - 1, "none": len(p.choices) - 1, "none of them": len(p.choices) - 1, "none of these": len(p.choices) - 1}
	if i, ok := ordinals[word]; ok && pick < 0 && i < len(p.choices) {
		pick = i
	}
	if pick < 0 {
		first := map[string]string{"yes": "yes", "yeah": "yes", "yep": "yes", "yup": "yes", "aye": "yes", "no": "no", "nope": "no", "nah": "no", "dunno": "don't know", "not sure": "don't know", "no idea": "don't know", "dont know": "don't know"}
		for i, c := range p.choices {
			if first[word] != "" && strings.EqualFold(c.text, first[word]) {
				pick = i
			}
		}
	}
	switch {
	case pick < 0 && p.kind == "circuit":
		pick = e.circuitChosen(p, text)
	case pick < 0 && p.kind == "point":
		pick = pointChosen(p, text)
	}
	if pick < 0 {
		return false
	}
	s.Pending = s.Pending[1:]
	e.resolve(s, p, p.choices[pick], h)
	return true
}

// chosenCertain is the certainty of what was chosen from a list. Basis: memory.
const chosenCertain = 0.95

// otherWords asks who was not understood to say it again.
const otherWords = "Then say it in other words: where it is, what it sounds, looks or smells like, and when it is there."

// resolve applies the answer to a question about what was said.
func (e *Engine) resolve(s *State, p pending, c choice, h *heard) {
	s.Settled[p.words] = c.text
	if p.kind == "which" && (s.OneOf || c.drop) {
		s.About, s.OneOf = nil, false
	}
	if p.kind == "circuit" {
		if !c.drop {
			e.unwired(s, c.finding, "")
			text, _ := e.unwiredWords(s)
			h.say("%s", text)
		}
		return
	}
	switch {
	case c.none:
		return
	case c.symptom != "":
		e.newSince(s, c, h)
		return
	}
	if p.note == 0 {
		if c.drop && s.Chief == "" {
			h.say("%s", otherWords)
			return
		}
		if c.drop {
			h.say("Then I have no article that fits “%s”.", short(p.words))
			return
		}
		if e.base.Symptom(c.finding) != nil {
			e.noteSymptom(s, c.finding, chosenCertain, plainwords.Unplaced{Text: p.words}, h)
		} else {
			e.told(s, c.finding, c.outcome, p.words, h)
		}
		return
	}
	n := &s.Notes[p.note-1]
	if c.drop {
		n.Note = "not used: " + p.ask
		if p.kind == "which" {
			n.struck = true
		}
		h.say("Not used: %s.", n.describe())
		if n.struck && n.Finding == s.Chief {
			if e.rechief(s, h); s.Chief == "" {
				h.say("%s", otherWords)
			}
		}
		return
	}
	if sym := e.base.Symptom(c.finding); sym != nil && (len(sym.Of) > 0 || c.finding != n.Finding) {
		// Another symptom than the one taken for now.
		n.struck, n.Note = true, "changed"
		e.rechief(s, h)
		e.noteSymptom(s, c.finding, chosenCertain, plainwords.Unplaced{Text: p.words}, h)
		return
	}
	if c.finding != "" {
		if c.finding == n.Finding {
			n.Certainty = chosenCertain
		}
		f, _ := e.finding(c.finding, n.means)
		if f == nil || f.OutcomeIndex(c.outcome) < 0 {
			return
		}
		n.Finding, n.Title, n.Outcome = c.finding, f.Title, c.outcome
		n.OutcomeTitle = f.Outcomes[f.OutcomeIndex(c.outcome)].Title
	}
	n.Weighs, n.Note = true, ""
	h.notes = append(h.notes, n.Number)
	if strings.HasSuffix(n.Finding, ":replaced") {
		e.acted(s, n.Title, n.Number, h)
	}
	e.chooseChief(s, h)
}

// describe says an observation in words.
func (n *observed) describe() string {
	out := lowerFirst(n.Title)
	switch {
	case n.quantity != nil:
		out += " " + readingWords(n)
	case n.Outcome == "present":
	case n.Outcome == "absent":
		out = "not: " + out
	case n.OutcomeTitle != "":
		out += ": " + n.OutcomeTitle
	}
	if n.Item != "" {
		out += " (" + n.Item + ")"
	}
	return out
}

// readingWords is a reading with its unit.
func readingWords(n *observed) string {
	if n.Value == nil {
		return "open (no end)"
	}
	v, unit := *n.Value, unitSign(n.Unit)
	switch {
	case unit == "Ω" && v >= 1e6:
		v, unit = v/1e6, "MΩ"
	case unit == "Ω" && v >= 1e4:
		v, unit = v/1e3, "kΩ"
	}
	return strings.TrimSpace(fmt.Sprintf("%g %s", v, unit))
}

func unitSign(u string) string {
	if s, ok := map[string]string{"ohm": "Ω", "degC": "°C"}[u]; ok {
		return s
	}
	return u
}

// untried takes back what a struck observation of a repair had brought about.
func (e *Engine) untried(s *State, o *observed) {
	action, ok := strings.CutPrefix(o.Finding, "repair:")
	if !ok {
		return
	}
	delete(s.Tried, action)
	if k, ok := e.number[s.Proving]; ok && e.base.Causes[k] != nil && e.actions[e.actionOf(k)].id == action {
		s.Proving = ""
	}
}

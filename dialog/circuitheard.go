package dialog

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"ruleout/dialog/circuit"
	"ruleout/dialog/plainwords"
)

// inPlayFrom is the probability of a circuit's faults together from which it
// is in play by itself. Basis: memory.
const inPlayFrom = 0.25

// speaking returns the circuits that a turn may be about, likeliest first:
// those named, then the one talked about, then those whose faults are likely.
func (e *Engine) speaking(s *State, text string) []*wiring {
	type rated struct {
		w *wiring
		x float64
	}
	var all []rated
	have := wordsOf(text)
	for _, w := range e.circuits {
		x := 0.0
		for word := range w.words {
			if have[word] {
				x++
			}
		}
		if w.article.ID == s.Circuit {
			x += 0.9
		}
		p := s.likely(w, e)
		if p >= inPlayFrom {
			x += p
		}
		if x >= inPlayFrom {
			all = append(all, rated{w, x})
		}
	}
	slices.SortStableFunc(all, func(a, b rated) int {
		switch {
		case a.x > b.x:
			return -1
		case a.x < b.x:
			return 1
		}
		return strings.Compare(a.w.article.ID, b.w.article.ID)
	})
	var out []*wiring
	for _, r := range all {
		out = append(out, r.w)
	}
	return out
}

// likely is the probability, by the last reply, that the trouble is a fault
// of the circuit.
func (s *State) likely(w *wiring, e *Engine) float64 {
	if s.last == nil {
		return 0
	}
	p := 0.0
	for _, x := range s.last.Suspects {
		if n, ok := e.number[x.ID]; ok {
			if _, mine := w.of[n]; mine {
				p += x.Probability
			}
		}
	}
	return p
}

// circuitWords reads what a turn says of a circuit. Observations go into the
// account in place of what the general reader made of the same words; what is
// asked becomes a request.
func (e *Engine) circuitWords(s *State, text string, acct *plainwords.Account) {
	var w *wiring
	var said []statement
	now, known := e.stateNow(s)
	if o, ok := e.answersCheck(s, text); ok && len(acct.Requests) == 0 {
		acct.Observations = []plainwords.Observation{o}
		acct.Spans = []plainwords.Span{{Start: 0, End: len(text), Kind: plainwords.SpanUsed}}
		acct.Unplaced, acct.Numbers = nil, nil
		return
	}
	for _, c := range e.speaking(s, text) {
		k := known && now.w == c
		if t := c.statements(text, now.setup, k); len(t) > 0 {
			w, said = c, t
			break
		}
	}
	if w == nil {
		return
	}
	for i := range said {
		t := &said[i]
		switch {
		case t.harm, t.asks:
			acct.Requests = slices.DeleteFunc(acct.Requests, func(r plainwords.Request) bool { return r.Start < t.end && r.End > t.start })
			acct.Observations = e.without(acct.Observations, t, true)
			kind := askCircuit
			if t.harm {
				kind = mayCircuit
			}
			acct.Requests = append(acct.Requests, plainwords.Request{Kind: kind, About: w.checkID(t.check), Start: t.start, End: t.end})
		case t.check.What == "":
			// Done, and nothing said of what came of it: only harm is judged.
			acct.Requests = append(acct.Requests, plainwords.Request{Kind: didCircuit, About: w.checkID(circuit.Check{Setup: t.check.Setup, What: circuit.Works, Element: w.mainLoad(t.check.Setup)}), Start: t.start, End: t.end})
		default:
			if e.saidAlready(w, acct.Observations, t) {
				if t.done {
					acct.Requests = append(acct.Requests, plainwords.Request{Kind: didCircuit, About: w.checkID(t.check), Start: t.start, End: t.end})
				}
				continue
			}
			o, ok := e.observe(s, w, t)
			if !ok {
				continue
			}
			acct.Observations = append(e.without(acct.Observations, t, false), o)
			acct.Requests = slices.DeleteFunc(acct.Requests, func(r plainwords.Request) bool { return r.Start < t.end && r.End > t.start })
			if t.done {
				acct.Requests = append(acct.Requests, plainwords.Request{Kind: didCircuit, About: o.Finding, Start: t.start, End: t.end})
			}
		}
		s.Circuit = w.article.ID
		for k := range acct.Spans {
			if sp := &acct.Spans[k]; sp.Kind == plainwords.SpanUnread && sp.Start < t.end && sp.End > t.start {
				sp.Kind = plainwords.SpanUsed
			}
		}
		acct.Unplaced = slices.DeleteFunc(acct.Unplaced, func(u plainwords.Unplaced) bool { return u.Start < t.end && u.End > t.start })
		acct.Numbers = slices.DeleteFunc(acct.Numbers, func(n plainwords.Number) bool { return n.Start < t.end && n.End > t.start })
	}
}

// saidAlready reports whether the general reader took the same words for a
// test that the circuit knows: one reading is enough.
func (e *Engine) saidAlready(w *wiring, all []plainwords.Observation, t *statement) bool {
	return slices.ContainsFunc(all, func(o plainwords.Observation) bool {
		m, ok := e.mapped[o.Finding]
		return ok && m.w == w && o.Start < t.end && o.End > t.start && (t.effect || o.Reading != nil || t.quantity() == nil)
	})
}

// without drops what the general reader made of the words of a statement; what
// a person came for stays.
func (e *Engine) without(all []plainwords.Observation, t *statement, question bool) []plainwords.Observation {
	return slices.DeleteFunc(all, func(o plainwords.Observation) bool {
		if o.Start >= t.end || o.End <= t.start {
			return false
		}
		sym := e.base.Symptom(o.Finding)
		return question || sym == nil || sym.Derived
	})
}

// observe makes the observation of a statement.
func (e *Engine) observe(s *State, w *wiring, t *statement) (plainwords.Observation, bool) {
	o := plainwords.Observation{Finding: w.checkID(t.check), Source: "measured", Hedge: "plain", Start: t.start, End: t.end}
	if q := t.quantity(); q != nil {
		q.Written = strings.TrimSpace(fmt.Sprintf("%g %s", q.Value, q.Unit))
		o.Reading = q
	} else {
		o.Source = "seen"
		o.Outcome = bandID(t.check.What, int(t.value))
	}
	o.Certainty = e.base.Lists.Derived.Sources[o.Source]
	x := e.sight(o.Finding)
	if x == nil {
		return o, false
	}
	if o.Reading == nil && x.finding.OutcomeIndex(o.Outcome) < 0 {
		return o, false
	}
	return o, true
}

// statedNow is the state in which a circuit is being looked at.
type stateNow struct {
	w     *wiring
	setup circuit.Setup
}

// stateNow is the state that the open check asks for, or else that of the last
// thing seen of the circuit that is talked about.
func (e *Engine) stateNow(s *State) (stateNow, bool) {
	if s.Open != nil {
		if w, ch, ok := e.parseCheck(s.Open.finding); ok {
			return stateNow{w, ch.Setup}, true
		}
	}
	for i := len(s.Notes) - 1; i >= 0; i-- {
		n := &s.Notes[i]
		if n.struck || !strings.HasPrefix(n.Finding, circuitPrefix+s.Circuit+":") {
			continue
		}
		if w, ch, ok := e.parseCheck(n.Finding); ok && ch.What != circuit.Bench && ch.What != circuit.Ohms {
			return stateNow{w, ch.Setup}, true
		}
	}
	return stateNow{}, false
}

// unstated asks in which state a reading was taken, where nothing said so and
// it matters: the first control's settings are offered.
func (e *Engine) unstated(s *State, n *observed) (pending, bool) {
	w, ch, ok := e.parseCheck(n.Finding)
	if !ok || ch.What == circuit.Ohms || ch.What == circuit.Bench {
		return pending{}, false
	}
	for _, c := range w.article.Controls {
		if len(c.Settings) < 2 {
			continue
		}
		if _, set := ch.Setup.Set[c.ID]; set || w.setup(ch.Setup.ID) != nil {
			return pending{}, false
		}
		p := pending{kind: "which", note: n.Number, words: n.Words, ask: fmt.Sprintf("How was the %s for that?", c.Title)}
		if c.ID == "key" {
			p.ask = "Was the key on for that?"
		}
		differs := false
		base := e.sight(n.Finding)
		for _, v := range c.Settings {
			other := ch
			other.Setup.Set = map[string]string{c.ID: v}
			id := w.checkID(other)
			x := e.sight(id)
			if x == nil || base == nil {
				continue
			}
			for k := range x.x {
				differs = differs || math.Abs(x.x[k]-base.x[k]) > 0.5
			}
			p.choices = append(p.choices, choice{text: w.settingWords(&c, v), finding: id, outcome: n.Outcome, keep: true})
		}
		p.choices = append(p.choices, choice{text: "don't know", drop: true})
		return p, differs
	}
	return pending{}, false
}

// answersCheck takes a short turn as the answer to the open check of a
// circuit: a bare number, or what the part does.
func (e *Engine) answersCheck(s *State, text string) (plainwords.Observation, bool) {
	if s.Open == nil || !strings.HasPrefix(s.Open.finding, circuitPrefix) {
		return plainwords.Observation{}, false
	}
	w, ch, ok := e.parseCheck(s.Open.finding)
	p := strings.TrimSpace(asciiLower(text))
	if !ok || len(strings.Fields(p)) > 8 || strings.HasSuffix(p, "?") || len(w.placesIn(p, -1)) > 0 && unitOf(ch.What) == "" {
		return plainwords.Observation{}, false
	}
	t := statement{w: w, check: ch, end: len(text)}
	if unitOf(ch.What) != "" {
		value, unit, _, has := w.numberIn("reads " + p)
		switch {
		case has && (unit == "" || unit == unitOf(ch.What)):
			t.value = value
		case !has && openWords.MatchString(p) && unitOf(ch.What) == "ohm":
			t.value = circuit.OpenOhms
		case !has && (p == "nothing" || p == "none" || p == "zero" || p == "nought" || zeroWords.MatchString(p)) && unitOf(ch.What) != "ohm":
			t.value = 0
		case !has && fullWords.MatchString(p) && unitOf(ch.What) == "V":
			t.low, t.high = 11, 15
		default:
			return plainwords.Observation{}, false
		}
		return e.observe(s, w, &t)
	}
	_, effect, ok := w.effectIn(p)
	switch first, _, _ := strings.Cut(strings.Trim(p, ".,!"), " "); {
	case ok:
	case first == "yes" || first == "yeah" || first == "yep":
		effect = circuit.Full
	case first == "no" || first == "nope" || p == "nothing":
		effect = circuit.Nothing
	default:
		return plainwords.Observation{}, false
	}
	t.effect, t.value = true, float64(effect)
	return e.observe(s, w, &t)
}

package dialog

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"ruleout/dialog/circuit"
	"ruleout/dialog/plainwords"
	"ruleout/kb"
)

// drawWords ask for the drawing of a circuit.
var drawWords = guard(`\b(?:draw (?:it|me|the)|show (?:me )?(?:the|a) (?:circuit|wiring|schematic|diagram)|(?:a|the|see the) (?:schematic|circuit diagram|wiring diagram|drawing))\b`)

// unwiredWords say that nobody knows how it is wired.
var unwiredWords = guard(`\b(?:(?:don'?t|do not|dont) (?:know|understand)|no idea|not sure|unsure|dunno|can'?t tell|find out|work out|wonder)\b[^.?!]*\bhow\b[^.?!]*\bwired\b|\bhow (?:is|are) (?:the |my |this |it )[^.?!]*\bwired\b|\b(?:no|without a|don'?t have a|haven'?t got a) (?:wiring |circuit )?diagram\b`)

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
		if e.complaintNames(s, w) {
			p += 0.5 // less than naming it now, more than a shared suspect
		}
		if s.looked(w, e) {
			p += 0.5
		}
		if p >= inPlayFrom {
			x += min(p, 0.95) // less than being named now
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
				p += x.Probability / float64(e.circuitsWith(n))
			}
		}
	}
	return p
}

// circuitsWith counts the circuits that have the cause: a burnt fuse or a
// corroded earth speaks for none of them above the others.
func (e *Engine) circuitsWith(cause int) int { return e.causes[cause].circuits }

// complaintNames reports whether the complaint is about what this circuit
// runs, by the words of its title.
func (e *Engine) complaintNames(s *State, w *wiring) bool {
	sym := e.base.Symptom(s.Chief)
	if sym == nil {
		return false
	}
	for word := range wordsOf(sym.Title) {
		if w.words[word] {
			return true
		}
	}
	return false
}

// looked reports whether something that is seen of the circuit was told.
func (s *State) looked(w *wiring, e *Engine) bool {
	for i := range s.Notes {
		n := &s.Notes[i]
		if !n.struck && (e.mapped[n.Finding].w == w || strings.HasPrefix(n.Finding, circuitPrefix+w.article.ID+":")) {
			return true
		}
	}
	return false
}

// circuitWords reads what a turn says of a circuit. Observations go into the
// account in place of what the general reader made of the same words; what is
// asked becomes a request.
func (e *Engine) circuitWords(s *State, text string, acct *plainwords.Account) {
	var w *wiring
	var said []statement
	now, known := e.stateNow(s)
	if e.unnamed(s, text, acct) {
		return
	}
	lower := asciiLower(text)
	if o, ok := e.lacking(s, lower); ok {
		acct.Observations = append(e.without(acct.Observations, &statement{start: o.Start, end: o.End}, false), o)
		acct.Remarks = slices.DeleteFunc(acct.Remarks, func(r plainwords.Remark) bool { return r.Start < o.End && r.End > o.Start })
		useSpan(acct, o.Start, o.End)
		return
	}
	if o, ok := e.answersCheck(s, text); ok && len(acct.Requests) == 0 {
		acct.Observations = []plainwords.Observation{o}
		acct.Spans = []plainwords.Span{{Start: 0, End: len(text), Kind: plainwords.SpanUsed}}
		acct.Unplaced, acct.Numbers, acct.Remarks = nil, nil, nil
		return
	}
	if m := unwiredWords.FindStringIndex(lower); m != nil {
		acct.Requests = slices.DeleteFunc(acct.Requests, func(r plainwords.Request) bool {
			return r.Kind == "unwired" || r.Start < m[1] && r.End > m[0]
		})
		acct.Requests = append(acct.Requests, plainwords.Request{Kind: "unwired", Start: m[0], End: m[1]})
		useSpan(acct, m[0], m[1])
		return
	}
	draw := drawWords.FindStringIndex(lower)
	for _, c := range e.speaking(s, text) {
		if m := draw; m != nil && !strings.Contains(lower, "no ") {
			acct.Requests = []plainwords.Request{{Kind: drawCircuit, About: c.article.ID, Start: m[0], End: m[1]}}
			s.Circuit = c.article.ID
			acct.Observations = nil
			useSpan(acct, 0, len(text))
			return
		}
		k := known && now.w == c
		if t := c.statements(text, now.setup, k); len(t) > 0 {
			w, said = c, t
			break
		}
	}
	if w == nil {
		e.somewhere(s, text, acct)
		return
	}
	for i := range said {
		t := &said[i]
		acct.Remarks = slices.DeleteFunc(acct.Remarks, func(r plainwords.Remark) bool { return r.Start < t.end && r.End > t.start })
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
			if e.saidAlready(w, acct.Observations, t) {
				continue // a test that is written up: the circuit itself is not talked about
			}
		default:
			if t.check.What == circuit.Clicks && !t.done && !strings.Contains(lower, "relay") && e.overlaps(s, w, acct.Observations, t) {
				continue // the click was of something else: the starter's, say
			}
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
		useSpan(acct, t.start, t.end)
	}
}

// useSpan marks the words of a stretch as used.
func useSpan(acct *plainwords.Account, start, end int) {
	for k := range acct.Spans {
		if sp := &acct.Spans[k]; sp.Kind == plainwords.SpanUnread && sp.Start < end && sp.End > start {
			sp.Kind = plainwords.SpanUsed
		}
	}
	acct.Unplaced = slices.DeleteFunc(acct.Unplaced, func(u plainwords.Unplaced) bool { return u.Start < end && u.End > start })
	acct.Numbers = slices.DeleteFunc(acct.Numbers, func(n plainwords.Number) bool { return n.Start < end && n.End > start })
}

// saidAlready reports whether the general reader took the same words for a
// test that the circuit knows: what a part did is told once. A number is taken
// here, where "between 30 and 87" is two places and no range.
func (e *Engine) saidAlready(w *wiring, all []plainwords.Observation, t *statement) bool {
	return slices.ContainsFunc(all, func(o plainwords.Observation) bool {
		m, ok := e.mapped[o.Finding]
		return ok && m.w == w && o.Start < t.end && o.End > t.start && t.quantity() == nil
	})
}

// overlaps reports whether something of the circuit's own system was observed
// in the words of a statement, other than what the person came for.
func (e *Engine) overlaps(s *State, w *wiring, all []plainwords.Observation, t *statement) bool {
	return slices.ContainsFunc(all, func(o plainwords.Observation) bool {
		f := e.base.Finding(o.Finding)
		return o.Start < t.end && o.End > t.start && f != nil && f.System == w.article.System && o.Finding != s.Chief
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
		if w, ch, ok := e.parseCheck(s.Open.finding); ok && ch.What != circuit.Bench && ch.What != circuit.Ohms {
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

// unstatedMost is the most states that are offered to choose from.
const unstatedMost = 4

// unstated asks in which state a reading was taken, where nothing said so and
// it matters: the settings of the controls left unsaid are offered.
func (e *Engine) unstated(s *State, n *observed) (pending, bool) {
	w, ch, ok := e.parseCheck(n.Finding)
	if !ok || ch.What == circuit.Bench || s.Open != nil && s.Open.finding == n.Finding || s.askedOf.check == n.Finding {
		return pending{}, false
	}
	if ch.What == circuit.Ohms {
		return pending{}, false // the supply is off, and cold is what is measured
	}
	base := e.sight(n.Finding)
	if base == nil {
		return pending{}, false
	}
	sets := []map[string]string{{}}
	for k := range w.article.Controls {
		c := &w.article.Controls[k]
		if len(c.Said) == 0 {
			continue // nobody says it: it stands as it does by default
		}
		settings := c.Settings
		if len(settings) == 0 {
			settings = sortedKeys(c.Said)
		}
		if _, set := ch.Setup.Set[c.ID]; set || w.setup(ch.Setup.ID) != nil && len(w.setup(ch.Setup.ID).Pulled)+len(w.setup(ch.Setup.ID).Earthed)+len(w.setup(ch.Setup.ID).Fed)+len(w.setup(ch.Setup.ID).Swapped) > 0 {
			continue
		}
		var more []map[string]string
		matters := false
		for _, set := range sets {
			for _, v := range settings {
				next := cloned(set)
				next[c.ID] = v
				more = append(more, next)
				matters = matters || e.differs(w, ch, next, base)
			}
		}
		if matters && len(more) <= unstatedMost+1 {
			sets = more
		}
	}
	// States in which it can't be seen are not asked for.
	sets = slices.DeleteFunc(sets, func(set map[string]string) bool {
		other := ch
		other.Setup = withSet(ch.Setup, set)
		return !e.canShow(w.checkID(other), n.Outcome)
	})
	if len(sets) == 1 && len(sets[0]) > 0 {
		ch.Setup = withSet(ch.Setup, sets[0])
		if x := e.sight(w.checkID(ch)); x != nil {
			n.Finding, n.Title = x.finding.ID, x.finding.Title
		}
	}
	if len(sets) < 2 {
		return pending{}, false
	}
	p := pending{kind: "which", note: n.Number, words: n.Words, ask: "In which state was that?"}
	for _, set := range sets {
		other := ch
		other.Setup = withSet(ch.Setup, set)
		var said []string
		for k := range w.article.Controls {
			if c := &w.article.Controls[k]; set[c.ID] != "" {
				said = append(said, w.settingWords(c, set[c.ID]))
			}
		}
		p.choices = append(p.choices, choice{text: strings.Join(said, ", "), finding: w.checkID(other), outcome: n.Outcome, keep: true})
	}
	p.choices = append(p.choices, choice{text: "don't know", drop: true})
	return p, true
}

// canShow reports whether a check shows an outcome in some wiring, sound or
// with some fault.
func (e *Engine) canShow(id, outcome string) bool {
	x := e.sight(id)
	if x == nil {
		return false
	}
	o := x.finding.OutcomeIndex(outcome)
	return o >= 0 && slices.ContainsFunc(x.shows, func(row []float64) bool { return row[o] >= 0.5 })
}

// withSet is a setup with more controls set.
func withSet(s circuit.Setup, set map[string]string) circuit.Setup {
	s.ID = ""
	s.Set = cloned(s.Set)
	for _, k := range sortedKeys(set) {
		s.Set[k] = set[k]
	}
	return s
}

// differs reports whether a check would show something else, where it is to be
// seen at all, with controls set so.
func (e *Engine) differs(w *wiring, ch circuit.Check, set map[string]string, base *sight) bool {
	ch.Setup = withSet(ch.Setup, set)
	x := e.sight(w.checkID(ch))
	if x == nil {
		return false
	}
	for k := range x.x {
		if math.Abs(x.x[k]-base.x[k]) > 0.5 {
			return true
		}
	}
	return false
}

// atHand is the circuit that is being worked out or measured, else the one that
// was talked about; nil if none is. Now says that it is the first.
func (e *Engine) atHand(s *State) (w *wiring, now bool) {
	if w := e.wiringOf(s.Unwired); w != nil {
		return w, true
	}
	if s.Open != nil {
		if w, _, ok := e.parseCheck(s.Open.finding); ok {
			return w, true
		}
	}
	return e.wiringOf(s.Circuit), false
}

// noPart says that there is no part of a kind: "it has no relay".
var noPart = guard(`\b(?:no|without(?: an?)?|(?:has|have|is|does|do)n'?t (?:got|have|see|find|a|an|any)(?: an?| any)?|can'?t (?:find|see) (?:an?|any)) ((?:[a-z'-]+ ){0,3}?(?:relay|resistor|module|sensor|fuse|switch|timer))(?: (?:at all|on it|in it|there|here|anywhere|fitted))?\s*(?:$|[.,;!])`)

// lacking reads that the car has not a part by whose absence ways of wiring
// are told apart.
func (e *Engine) lacking(s *State, lower string) (plainwords.Observation, bool) {
	w, _ := e.atHand(s)
	if w == nil {
		return plainwords.Observation{}, false
	}
	m := noPart.FindStringSubmatchIndex(lower)
	if m == nil {
		return plainwords.Observation{}, false
	}
	best, most := "", 0.0
	for _, ch := range w.c.Checks() {
		id := w.checkID(ch)
		x := e.sight(id)
		if x == nil {
			continue
		}
		i := x.finding.OutcomeIndex(absent)
		if i < 0 {
			continue
		}
		part, names := strings.CutPrefix(x.finding.Outcomes[i].Title, "it has no ")
		if n := likeness(part, lower[m[2]:m[3]], nil); names && n > most {
			best, most = id, n
		}
	}
	o := plainwords.Observation{Finding: best, Outcome: absent, Source: "seen", Hedge: "plain", Certainty: e.base.Lists.Derived.Sources["seen"], Start: m[0], End: m[3]}
	return o, best != ""
}

// names reports whether a piece has a part's name.
func (w *wiring) names(element, p string) bool {
	el := w.element(element)
	if el == nil {
		return false
	}
	names := loadNames(el)
	if el.Type == "relay" {
		names = []string{names[0], "relay"} // "fan" is not the fan relay
	}
	return slices.ContainsFunc(names, func(n string) bool { return hasPhrase(p, n) })
}

// plainNo answers no, and is not the beginning of what there is none of.
var plainNo = guard(`^(?:no|nope|nah)(?:[.,!]|$| (?:it|not|nothing|the) )`)

// pointsMost is the most points that are offered to choose from.
const pointsMost = 8

// saidWhere is a place at which something was read, however it is called.
var saidWhere = guard(`\b(?:at|on|in|across|from|to)\s+(?:the|my|its|that|this|one|each|both|a)\b|\b(?:wires?|leads?|terminals?|pins?|sides?|ends?|ones?|it)\b.{0,12}\bdead\b|\bdead\b.{0,12}\b(?:wires?|leads?|terminals?|pins?|sides?|ends?|ones?)\b`)

// somewhere asks at which point volts were read, where a circuit is at hand and
// the place has no name that it knows: "12.4 on the fat red one".
func (e *Engine) somewhere(s *State, text string, acct *plainwords.Account) {
	w, now := e.atHand(s)
	lower := asciiLower(text)
	if w == nil || len(acct.Requests) > 0 || strings.HasSuffix(strings.TrimSpace(lower), "?") {
		return
	}
	if !now && slices.ContainsFunc(acct.Observations, func(o plainwords.Observation) bool { return o.Reading != nil }) {
		return // told of something else
	}
	asked := false
	for _, p := range aside.Split(lower, -1) {
		if value, ok := w.voltsIn(p); ok && saidWhere.MatchString(p) {
			asked = e.askWhere(s, w, p, value) || asked
		}
	}
	if asked {
		acct.Remarks, acct.Observations = nil, e.without(acct.Observations, &statement{end: len(text)}, false)
		useSpan(acct, 0, len(text))
	}
}

// aside parts what was read at one place from what was read at the next.
var aside = guard(`[,;]\s+|\.\s+|\s(?:but|and)\s`)

// voltsIn are the volts that a piece tells, in a number or in words.
func (w *wiring) voltsIn(p string) (float64, bool) {
	value, unit, _, has := w.numberIn("reads " + p)
	switch {
	case has:
		return value, unit == "V" || unit == ""
	case zeroWords.MatchString(p) || deadWire.MatchString(p):
		return 0, true
	case fullWords.MatchString(p):
		return 12.4, true
	}
	return 0, false
}

// askWhere asks for the point, those first that the words may mean.
func (e *Engine) askWhere(s *State, w *wiring, p string, value float64) bool {
	state, stated := w.stateSaid(p)
	if now, ok := e.stateNow(s); !stated && ok && now.w == w {
		state = now.setup
	}
	q := quantityOf(value, "V")
	ask := pending{kind: "point", words: p, ask: fmt.Sprintf("“%s”: at which point was that?", strings.TrimSpace(p))}
	points := slices.Clone(w.article.Points)
	slices.SortStableFunc(points, func(a, b kb.CircuitPoint) int {
		return cmp.Compare(likeness(b.Title, p, pointNoise), likeness(a.Title, p, pointNoise))
	})
	for i := range points {
		x := &points[i]
		if x.Reach == "none" || len(ask.choices) == pointsMost {
			continue
		}
		id := w.checkID(circuit.Check{Setup: state, What: circuit.Volts, A: x.Node, B: w.article.Ground})
		if c := e.sight(id); c != nil && c.finding.Reading != nil {
			if o := bandOf(c.finding.Reading, q); c.finding.OutcomeIndex(o) >= 0 {
				ask.choices = append(ask.choices, choice{text: w.place(x.Node), finding: id, outcome: o, keep: true})
			}
		}
	}
	if len(ask.choices) == 0 {
		return false
	}
	ask.choices = append(ask.choices, choice{text: "somewhere else", none: true})
	s.ask(ask)
	return true
}

// somePlug is a plug that is pulled and not named.
var somePlug = guard(`^ (?:the |a |that |its |one |it )*(?:plugs?|connectors?|wires?|leads?|off|out|one)\b`)

// unnamed asks which plug was pulled when a part did something: "it clicks when
// i pull the plug".
func (e *Engine) unnamed(s *State, text string, acct *plainwords.Account) bool {
	w, _ := e.atHand(s)
	p := asciiLower(text)
	if w == nil || len(w.article.Pulls) == 0 || strings.HasSuffix(strings.TrimSpace(p), "?") {
		return false
	}
	m := pullWords.FindStringIndex(p)
	if m == nil || !somePlug.MatchString(p[m[1]:]) || w.pullIn(partEnd.Split(p[m[1]:], 2)[0]) != "" {
		return false
	}
	el, effect, ok := w.effectIn(p)
	if !ok {
		return false
	}
	if el == "" {
		el = w.mainLoad(circuit.Setup{})
	}
	state, stated := w.stateSaid(p)
	if now, ok := e.stateNow(s); !stated && ok && now.w == w {
		state.Set = now.setup.Set
	}
	ask := pending{kind: "point", words: text, ask: "Which plug or part was that?"}
	for _, x := range w.article.Pulls {
		if len(ask.choices) == pointsMost {
			break
		}
		state.ID, state.Pulled = "", []string{x.ID}
		id := w.checkID(circuit.Check{Setup: state, What: w.watchOf(el), Element: el})
		o := bandID(w.watchOf(el), int(effect))
		if c := e.sight(id); c != nil && c.finding.OutcomeIndex(o) >= 0 {
			ask.choices = append(ask.choices, choice{text: strings.TrimPrefix(w.pulledWords(x.ID), "the "), finding: id, outcome: o, keep: true})
		}
	}
	if len(ask.choices) == 0 {
		return false
	}
	ask.choices = append(ask.choices, choice{text: "another", none: true})
	s.ask(ask)
	acct.Remarks, acct.Observations, acct.Requests = nil, e.without(acct.Observations, &statement{end: len(text)}, false), nil
	useSpan(acct, 0, len(text))
	return true
}

// deadWire says of a wire or pin that it carries nothing.
var deadWire = guard(`\bdead\b`)

// pointNoise are words of points' names that tell none of them from another.
var pointNoise = wordSet("the of a at to on lead side wire plug terminal battery own or")

var absentWords = guard(`\b(?:no such|there(?:'s| is| are)? (?:no|none|isn'?t)|hasn'?t got|(?:does|do)n'?t have|can'?t find (?:one|a|any)|without one)\b`)

// askedOf is the check of which it was asked what it should show, and the turn
// in which.
type askedOf struct {
	check string
	turn  int
}

// elsewhere reports whether places are named that are not those of the check.
func (w *wiring) elsewhere(ch circuit.Check, places []string) bool {
	same := func(a, b string) bool {
		for i := range w.article.Arrangements {
			x, okX := w.nodeIn(i, a)
			if y, okY := w.nodeIn(i, b); okX && okY && x == y {
				return true
			}
		}
		return a == b
	}
	return slices.ContainsFunc(places, func(p string) bool { return !same(p, ch.A) && !same(p, ch.B) })
}

// nodeIn is the node of a place in an arrangement, by its number: the place
// itself, or the one at which a part's terminal ends.
func (w *wiring) nodeIn(arrangement int, place string) (string, bool) {
	el, terminal, ok := strings.Cut(place, ".")
	if !ok {
		return place, true
	}
	joins := w.c.Arrangements[arrangement].Joins[el]
	n, ok := joins[terminal]
	if !ok && terminal == "87" {
		n, ok = joins["87a"]
	}
	return n, ok
}

// otherPlace is a number that is said to have been read somewhere.
var otherPlace = guard(`\d\s*(?:[a-zω]+\s+)?(?:at|on|across|between|from)\s+(?:the|my|its|that|one|each|both|pin|terminal)\b`)

// answersCheck takes a short turn as the answer to the open check of a
// circuit: a bare number, or what the part does.
func (e *Engine) answersCheck(s *State, text string) (plainwords.Observation, bool) {
	open := ""
	if s.Open != nil {
		open = s.Open.finding
	}
	if s.askedOf.turn == len(s.Turns)-1 && s.askedOf.check != "" {
		open = s.askedOf.check // a reading told right after it was asked what it should be
	}
	if !strings.HasPrefix(open, circuitPrefix) {
		return plainwords.Observation{}, false
	}
	w, ch, ok := e.parseCheck(open)
	p := strings.TrimSpace(asciiLower(text))
	if !ok || len(strings.Fields(p)) > 8 || strings.HasSuffix(p, "?") || len(w.placesIn(p, -1)) > 0 && unitOf(ch.What) == "" {
		return plainwords.Observation{}, false
	}
	if state, _ := w.stateSaid(p); w.otherState(ch.Setup, state) {
		return plainwords.Observation{}, false
	}
	t := statement{w: w, check: ch, end: len(text)}
	if absentWords.MatchString(p) {
		o := plainwords.Observation{Finding: open, Outcome: absent, Source: "seen", Hedge: "plain", Certainty: e.base.Lists.Derived.Sources["seen"], End: len(text), Answer: true}
		x := e.sight(o.Finding)
		return o, x != nil && x.finding.OutcomeIndex(absent) >= 0
	}
	if unitOf(ch.What) != "" {
		value, unit, at, has := w.numberIn("reads " + p)
		places := w.placesIn("reads "+p, at)
		if w.elsewhere(ch, places) || len(places) == 0 && otherPlace.MatchString(p) {
			return plainwords.Observation{}, false
		}
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
	el, effect, ok := w.effectIn(p)
	if ok && el != "" && el != ch.Element && !w.names(ch.Element, p) {
		return plainwords.Observation{}, false // of another part
	}
	switch first, _, _ := strings.Cut(strings.Trim(p, ".,!"), " "); {
	case ok:
	case first == "yes" || first == "yeah" || first == "yep":
		effect = circuit.Full
	case plainNo.MatchString(p) || p == "nothing":
		effect = circuit.Nothing
	default:
		return plainwords.Observation{}, false
	}
	t.effect, t.value = true, float64(effect)
	return e.observe(s, w, &t)
}

// otherState reports whether a control is said to be set otherwise than in the
// setup.
func (w *wiring) otherState(in, said circuit.Setup) bool {
	for i := range w.article.Controls {
		c := &w.article.Controls[i]
		set, ok := in.Set[c.ID]
		if !ok {
			set = c.Default
		}
		if v, told := said.Set[c.ID]; told && v != set {
			return true
		}
	}
	return false
}

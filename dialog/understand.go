package dialog

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"ruleout/dialog/plainwords"
	"ruleout/kb"
)

// Weight of the statistics' word: a complaint goes to the likeliest symptom when
// that is takeRatio times as likely as the second, and is asked about when at
// least askRatio of the best. Basis: memory; checked by the case table.
const (
	takeRatio     = 1.5
	askRatio      = 0.4
	takeFrom      = 0.4 // a complaint less likely than that is only asked about
	matchCertain  = 0.7 // certainty of a symptom recognised by the index alone
	matchUnsure   = 0.5 // the same with a second about as near
	coverOne      = 0.3 // with a single word in common
	wordsLeast    = 2
	usual         = 0.4 // an outcome with this baseline or more is no complaint
	readAtMost    = 16 << 10
	unplacedLimit = 6
	mayTell       = 0.5 // how likely a clause must tell what the person is asked about
)

// heard is what one turn brought, for the reply.
type heard struct {
	notes     []int
	corrected bool    // a correction was carried out
	remarks   []int   // noted without weight (remarks.go)
	facts     []Noted // about the vehicle and the tools
	requests  []plainwords.Request
	mends     []plainwords.Mend // put right, see mended.go
	unread    []Words
	spans     []SpanOut
	reads     []ExplainRead
	lines     []string // said before everything else
	near      []string // articles near to words that were not used
	act       bool     // something was done to the car
	cards     []ArmedCheck
	restraint *restraint // done or proposed at an airbag's wiring
	deed      *harmful   // done or proposed to the electrics, and harmful
}

func (h *heard) say(format string, args ...any) {
	h.lines = append(h.lines, fmt.Sprintf(format, args...))
}

// read takes the words of a turn into the state.
func (e *Engine) read(s *State, text string, h *heard) {
	words := text
	if len(words) > readAtMost {
		cut := readAtMost
		for cut > 0 && text[cut]&0xC0 == 0x80 { // not inside a letter
			cut--
		}
		words = text[:cut]
		h.unread = append(h.unread, Words{Words: "(everything after the first " + fmt.Sprint(cut) + " bytes)", Start: cut, End: len(text)})
		h.say("That was long: I read the first part only. Tell me the rest in smaller pieces.")
	}
	acct := e.reader.Read(words, e.context(s))
	e.circuitWords(s, words, &acct)
	e.pathWords(s, words, &acct)
	if h.restraint != nil {
		restraintWords(h.restraint, &acct)
	}
	if h.deed != nil {
		deedWords(h.deed, &acct)
	}
	byStart := map[int]int{}
	for _, f := range acct.Vehicle {
		if s.Vehicle[f.Attribute] != f.Value {
			h.facts = append(h.facts, e.fact("vehicle:"+f.Attribute, f.Attribute, f.Value, words, f.Start, f.End, len(s.Turns)))
		}
		e.learn(s, f.Attribute, f.Value)
	}
	for _, t := range acct.Tools {
		s.Tools[t.Tool] = t.Have
		h.facts = append(h.facts, e.fact(toolPrefix+t.Tool, t.Tool, haveWord(t.Have), words, t.Start, t.End, len(s.Turns)))
	}
	e.learnFromParts(s, acct, words, h)
	wasOpen := s.Open
	for _, o := range acct.Observations {
		if e.saidBetter(o, acct.Observations) || alsoPresent(o, acct.Observations) || onOrder(o, acct.Requests) {
			continue
		}
		n := e.note(s, o, words, h)
		if n > 0 {
			byStart[o.Start] = n
		}
	}
	e.noteBeside(s, acct, words, h)
	s.Part = acct.Part
	e.correctItem(s, acct, h)
	h.requests, h.mends = acct.Requests, acct.Mends
	if h.corrected {
		h.requests = slices.DeleteFunc(slices.Clone(h.requests), func(q plainwords.Request) bool { return q.Kind == "change" })
	}
	first := s.Chief == "" && len(s.About) == 0
	var likely []Likely
	if acct.Describes || h.restraint != nil {
		e.chooseChief(s, h) // what the car is, or what was touched, is no trouble
	} else {
		likely = e.weighWords(s, withoutDeeds(words, acct.Observations), first, h)
	}
	placed := e.unplaced(s, acct, likely, h)
	for _, sp := range acct.Spans {
		out := SpanOut{Start: sp.Start, End: sp.End, Kind: string(sp.Kind), Noted: byStart[sp.Start]}
		for _, p := range placed {
			if sp.Kind == plainwords.SpanUnread && sp.Start >= p.Start && sp.End <= p.End {
				out.Kind, out.Noted = string(plainwords.SpanUsed), p.noted
			}
		}
		h.spans = append(h.spans, out)
		if out.Kind == string(plainwords.SpanUnread) {
			if w := strings.TrimSpace(words[sp.Start:sp.End]); w != "" {
				h.unread = append(h.unread, Words{Words: w, Start: sp.Start, End: sp.End})
			}
		}
	}
	e.hearStory(s, words, h)
	e.hearGone(s, words, h)
	e.eraChange(s, h)
	if len(words) < len(text) {
		h.spans = append(h.spans, SpanOut{Start: len(words), End: len(text), Kind: string(plainwords.SpanUnread)})
	}
	if wasOpen != nil && strings.HasPrefix(wasOpen.finding, vehiclePrefix) && s.Vehicle[strings.TrimPrefix(wasOpen.finding, vehiclePrefix)] != "" {
		s.Open = nil
	}
	if wasOpen != nil && wasOpen.kind == "before" && (len(h.requests) == 0 || passes(h)) && len(h.notes)+len(h.facts) == 0 && len(h.unread) == 0 {
		if !passes(h) { // else it is passed over in a moment
			s.Open = nil
		}
		h.say("Nothing before it began, as far as you know.")
	}
	e.hearTogether(s, wasOpen, acct.Observations, words, h)
	// An answer to the open question closes it.
	if wasOpen != nil && s.Open == wasOpen && (wasOpen.finding == "" && len(h.notes) > 0 || s.known(wasOpen.finding)) {
		s.Open = nil
	}
}

// saidBetter reports whether the same words gave an authored finding: then
// the long tail has nothing to add to them.
func (e *Engine) saidBetter(o plainwords.Observation, all []plainwords.Observation) bool {
	sym := e.base.Symptom(o.Finding)
	if sym == nil || !sym.Derived {
		return false
	}
	return slices.ContainsFunc(all, func(x plainwords.Observation) bool {
		f := e.base.Finding(x.Finding)
		if f == nil || x.Start >= o.End || o.Start >= x.End || x.Certainty < o.Certainty {
			return false
		}
		by := e.base.Symptom(f.Article)
		return by == nil || !by.Derived
	})
}

// alsoPresent reports whether a symptom that was denied is told in the same turn:
// "can't get reverse without a crunch" denies no crunch.
func alsoPresent(o plainwords.Observation, all []plainwords.Observation) bool {
	return o.Outcome == "absent" && slices.ContainsFunc(all, func(x plainwords.Observation) bool {
		return x.Finding == o.Finding && x.Item == o.Item && x.Era == o.Era && x.Outcome == "present"
	})
}

// context tells the reader what was asked.
func (e *Engine) context(s *State) plainwords.Context {
	ctx := plainwords.Context{Chief: s.Chief, Part: s.Part, Earlier: s.Put, Talk: s.talk, Has: func(part string) bool {
		p := e.base.Part(part)
		return p == nil || e.applies(s, p.Applies) > 0
	}}
	if len(s.Pending) > 0 {
		a := &plainwords.Asked{}
		for _, c := range s.Pending[0].choices {
			a.Choices = append(a.Choices, plainwords.Meaning{Finding: c.finding, Outcome: c.outcome})
		}
		if len(a.Choices) > 0 {
			ctx.Asked = a
			return ctx
		}
	}
	if s.Open != nil {
		a := &plainwords.Asked{Finding: s.Open.finding}
		if t := e.base.Test(s.Open.id); t != nil {
			a.Settles = t.Settles
		}
		if s.Open.kind == "repair" || s.Open.kind == "proof" {
			a.Repair = s.Open.id
		}
		ctx.Asked = a
	}
	return ctx
}

// fact words what was told of the vehicle or the tools as something noted.
func (e *Engine) fact(id, name, value, text string, start, end, turn int) Noted {
	n := Noted{Finding: id, Title: name, Outcome: value, OutcomeTitle: value, Turn: turn, Certainty: 1,
		Source: "told", Words: cut(text, start, end), Start: start, End: end, Weighs: true}
	if t := factTitles[name]; t != "" {
		n.Title = t
	}
	for _, a := range e.base.Lists.Vehicle {
		if a.ID != name {
			continue
		}
		n.Title = lowerFirst(a.Title)
		for _, v := range a.Values {
			if v.ID == value {
				n.OutcomeTitle = v.Title
			}
		}
	}
	for _, t := range e.base.Lists.Tools {
		if t.ID == name {
			n.Title = t.Title
		}
	}
	return n
}

// learn keeps a fact about the vehicle and what it implies.
func (e *Engine) learn(s *State, attribute, value string) {
	if value == "" {
		return
	}
	if was := s.Vehicle[attribute]; was != "" && was != value {
		e.unlearn(s, attribute)
	}
	s.Vehicle[attribute] = value
	for _, a := range e.base.Lists.Vehicle {
		if a.ID != attribute {
			continue
		}
		for _, v := range a.Values {
			if v.ID != value {
				continue
			}
			for _, k := range sortedKeys(v.Implies) {
				if _, told := s.Vehicle[k]; !told {
					s.Vehicle[k] = v.Implies[k]
				}
			}
		}
	}
}

// note adds one observation and returns its number, 0 when it names nothing.
func (e *Engine) note(s *State, o plainwords.Observation, text string, h *heard) int {
	o = e.place(s, o)
	if spare := e.spareOf(o.Finding, text); spare != "" {
		o.Means = spare
	}
	f, _ := e.finding(o.Finding, o.Means)
	if f == nil {
		return 0
	}
	n := observed{
		Noted: Noted{
			Number: len(s.Notes) + 1, Turn: len(s.Turns), Finding: o.Finding, Title: f.Title,
			Outcome: o.Outcome, Item: o.Item, Era: o.Era, Source: o.Source, Certainty: round3(o.Certainty),
			Words: cut(text, o.Start, o.End), Start: o.Start, End: o.End, Weighs: o.Certainty > 0,
		},
		quantity: o.Reading, present: o.Present, means: o.Means, era: s.era(),
	}
	switch o.Source {
	case "opinion", "deduction", "excuse":
		n.Weighs, n.Note = false, "an "+o.Source+" weighs nothing by itself"
		if o.Source == "deduction" {
			n.Note = "a deduction weighs nothing by itself"
		}
	}
	if o.Reading != nil {
		e.takeReading(s, f, &n, o, h)
	} else if f.OutcomeIndex(o.Outcome) < 0 {
		if f.Kind != kb.FindingPart || o.Outcome != "" {
			return 0
		}
		n.Weighs, n.Note = false, "waits for what it changed"
		s.ask(e.effectOf(f, n.Number))
	}
	if i := f.OutcomeIndex(n.Outcome); i >= 0 {
		n.OutcomeTitle = f.Outcomes[i].Title
	}
	if p, ask := e.unstated(s, &n); ask && n.Weighs {
		n.Weighs, n.Note = false, "waits for the state it was read in"
		s.ask(p)
	}
	// Who was asked for it means it.
	asked := s.Open != nil && (s.Open.finding == n.Finding || s.Open.id == n.Finding)
	if len(o.Others) > 0 && n.Weighs && !asked && s.Settled[n.Words] == "" {
		if !e.meansOneOf(s, &n, o.Others) {
			n.Weighs, n.Note = false, waitsForWhich
		}
		s.ask(e.whichMeant(s, f, &n, o.Others))
	}
	e.disarm(s, &n)
	// The same item told again in this era replaces the earlier word.
	for i := range s.Notes {
		p := &s.Notes[i]
		if !p.struck && p.Finding == n.Finding && p.Item == n.Item && p.Era == n.Era && p.era == n.era &&
			p.Source == n.Source && p.Turn < n.Turn && p.Outcome != n.Outcome && n.Weighs && p.Weighs {
			p.struck = true
			p.Note = "changed"
			h.say("Changed: %s, from “%s” to “%s”.", f.Title, p.OutcomeTitle, n.OutcomeTitle)
		}
	}
	s.Notes = append(s.Notes, n)
	h.notes = append(h.notes, n.Number)
	if e.changesCar(f) && n.Era == "" && n.Weighs {
		e.acted(s, f.Title, n.Number, h)
	}
	return n.Number
}

// place resolves what only the conversation knows: which symptom a condition
// belongs to, and which authored question it answers.
func (e *Engine) place(s *State, o plainwords.Observation) plainwords.Observation {
	parts := strings.Split(o.Finding, ":")
	switch {
	case len(parts) == 4 && parts[0] == "cond":
		if parts[1] == "*" && s.Chief != "" {
			parts[1] = s.Chief
		}
		for _, sym := range []string{parts[1], s.Chief} {
			if q, out := e.conditionQuestion(sym, parts[2], parts[3], o.Outcome); q != "" {
				o.Finding, o.Outcome = q, out
				return o
			}
		}
		parts[2], parts[3], o.Outcome = e.turned(parts[2], parts[3], o.Outcome)
		o.Finding = strings.Join(parts, ":")
	case len(parts) == 3 && parts[0] == "part" && parts[2] == "replaced" && o.Era == "before":
		// Fitted before the trouble began: an event, not a part state.
		o.Finding, o.Outcome = "event:work-on:"+parts[1], "before"
	case len(parts) == 3 && parts[0] == "part" && parts[2] == "replaced" && len(o.Others) > 0 && s.Open != nil && s.Open.kind == "before":
		// Asked what was done before it began, work without a word of its
		// effect is the answer.
		o.Finding, o.Outcome, o.Others, o.Hedge = "event:work-on:"+parts[1], "before", nil, "plain"
	}
	return o
}

// conditionQuestion finds the question of a symptom that a condition
// statement answers.
func (e *Engine) conditionQuestion(symptom, axis, value, relation string) (string, string) {
	for _, id := range e.questionsOf[symptom] {
		f := e.base.Finding(id)
		if f == nil || f.Axis != axis {
			continue
		}
		// "Only" and "worse", "never" and "better" are one thing said more or
		// less sharply: the exact word first.
		for _, r := range []string{relation, sharper[relation]} {
			for _, out := range f.Outcomes {
				if r != "" && slices.Contains(out.Is, value+" "+r) {
					return id, out.ID
				}
			}
		}
	}
	return "", ""
}

var sharper = map[string]string{"only": "worse", "worse": "only", "never": "better", "better": "never"}

// turned states "never at B" as "only at A" where A and B are opposites, so
// that both ways of saying it weigh the same.
func (e *Engine) turned(axis, value, relation string) (string, string, string) {
	turn := map[string]string{"never": "only", "better": "worse"}
	to, ok := turn[relation]
	if !ok {
		return axis, value, relation
	}
	for _, a := range e.base.Lists.Axes {
		if a.ID != axis {
			continue
		}
		for _, v := range a.Values {
			if v.ID == value && v.Opposite != "" {
				return axis, v.Opposite, to
			}
		}
	}
	return axis, value, relation
}

// takeReading checks a number against what its test can show.
func (e *Engine) takeReading(s *State, f *kb.Finding, n *observed, o plainwords.Observation, h *heard) {
	q := o.Reading
	n.Unit = q.Unit
	if v := round6(q.Value); !q.Infinite && !math.IsInf(v, 0) && !math.IsNaN(v) {
		n.Value = &v
	}
	r := f.Reading
	if r == nil {
		return
	}
	if q.Unit != "" && q.Unit != r.Unit && !q.Infinite {
		n.Weighs, n.Note = false, "the unit does not fit"
		s.ask(pending{kind: "unit", note: n.Number, words: n.Words,
			ask: fmt.Sprintf("%s is read in %s, you wrote “%s”. What did the meter show, in %s?", f.Title, r.Unit, q.Written, r.Unit)})
		return
	}
	n.Unit = r.Unit
	if !q.Infinite && (q.Value < r.Possible[0] || q.Value > r.Possible[1]) {
		n.Weighs, n.Note = false, "outside what can be read there"
		s.ask(pending{kind: "surprise", note: n.Number, words: n.Words,
			ask: fmt.Sprintf("%s can't read %s: between %g and %g %s is possible. What does the meter show?", f.Title, q.Written, r.Possible[0], r.Possible[1], r.Unit)})
		return
	}
	n.Outcome = bandOf(r, q)
	// A reading asked for a moment ago was taken by its steps; one told in
	// passing may lack what gives it its meaning.
	asked := s.Open != nil && s.Open.finding == f.ID
	if asked {
		return
	}
	lower := strings.ToLower(strings.Join(turnsText(s), " "))
	for _, c := range r.Context {
		if o.Ready || saysAny(lower, c.Said) {
			continue
		}
		if saysAny(lower, c.Against) {
			n.Weighs, n.Note = false, "not taken as the reading needs: "+c.Ask
			return
		}
		n.Weighs, n.Note = false, "waits: "+c.Ask
		s.ask(pending{kind: "context", note: n.Number, ask: c.Ask, words: n.Words, choices: []choice{
			{text: "yes", keep: true}, {text: "no", drop: true}, {text: "don't know", drop: true}}})
		return
	}
}

// turnsText is the words of the last turn.
func turnsText(s *State) []string {
	if len(s.Turns) == 0 {
		return nil
	}
	return []string{s.Turns[len(s.Turns)-1].Text}
}

func saysAny(text string, phrases []string) bool {
	for _, p := range phrases {
		if strings.Contains(text, strings.ToLower(p)) {
			return true
		}
	}
	return false
}

// bandOf returns the outcome whose band holds the reading, or "".
func bandOf(r *kb.Reading, q *plainwords.Quantity) string {
	x := q.Value
	if q.Infinite {
		x = r.Possible[1]
	}
	for _, b := range r.Bands {
		if (b.From == nil || x >= *b.From) && (b.To == nil || x < *b.To || q.Infinite && x <= *b.To) {
			return b.Outcome
		}
	}
	return ""
}

// ask adds a question about what was said, unless it is already open.
func (s *State) ask(p pending) {
	for _, q := range s.Pending {
		if q.kind == p.kind && q.words == p.words {
			return
		}
	}
	s.Pending = append(s.Pending, p)
}

func (e *Engine) effectOf(f *kb.Finding, note int) pending {
	p := pending{kind: "effect", note: note, ask: f.Ask, words: f.Title}
	for _, o := range f.Outcomes {
		p.choices = append(p.choices, choice{text: o.Title, finding: f.ID, outcome: o.ID, keep: true})
	}
	return p
}

// waitsForWhich notes that it was asked which of several things was meant.
const waitsForWhich = "waits for which was meant"

func (e *Engine) whichMeant(s *State, f *kb.Finding, n *observed, others []plainwords.Meaning) pending {
	if strings.HasSuffix(f.ID, ":replaced") {
		return e.beforeOrSince(f, n)
	}
	p := pending{kind: "which", note: n.Number, words: n.Words,
		ask: fmt.Sprintf("By “%s”, do you mean", n.Words)}
	add := func(f *kb.Finding, outcome string) {
		if i := f.OutcomeIndex(outcome); i >= 0 {
			p.choices = append(p.choices, choice{text: f.Title + ": " + f.Outcomes[i].Title, finding: f.ID, outcome: outcome, keep: true})
		}
	}
	add(f, n.Outcome)
	for _, o := range others {
		if of, _ := e.finding(o.Finding, ""); of != nil && len(p.choices) < 3 {
			add(of, o.Outcome)
		}
	}
	p.choices = append(p.choices, choice{text: "neither", drop: true})
	return p
}

// beforeOrSince asks what a new part changed, or whether it was fitted before
// the trouble began: then it is not a cure that failed but an event.
func (e *Engine) beforeOrSince(f *kb.Finding, n *observed) pending {
	p := pending{kind: "which", note: n.Number, words: n.Words,
		ask: fmt.Sprintf("%s: what did it change, or was it done before the trouble began?", upperFirst(f.Title))}
	for _, o := range f.Outcomes {
		p.choices = append(p.choices, choice{text: o.Title, finding: f.ID, outcome: o.ID, keep: true})
	}
	part := strings.Split(f.ID, ":")[1]
	p.choices = append(p.choices, choice{text: "done before it began", finding: "event:work-on:" + part, outcome: "before", keep: true})
	return p
}

// acted opens a new era: something was done to the car.
func (e *Engine) acted(s *State, what string, note int, h *heard) {
	s.Eras = append(s.Eras, Era{Number: len(s.Eras) + 1, Began: what, Turn: len(s.Turns)})
	s.Notes[note-1].era = s.era()
	s.mark("era", what)
	h.act = true
	s.Asked = 0
}

// chooseChief follows the first symptom told, in a story the one of which most
// is told; the others are kept beside it.
func (e *Engine) chooseChief(s *State, h *heard) {
	for _, num := range e.byComplaint(s, h) {
		n := &s.Notes[num-1]
		f := e.base.Finding(n.Finding)
		if f == nil || f.Kind != kb.FindingSymptom || n.Outcome != "present" || !n.Weighs {
			continue
		}
		switch {
		case s.Chief == "":
			s.Chief = n.Finding
		case n.Finding != s.Chief && n.Certainty >= complaintFrom && s.doubtful(s.Chief):
			// What was taken for the complaint gives way to what is clearly one.
			s.Also = append(s.Also, s.Chief)
			s.Chief = n.Finding
		case n.Finding != s.Chief && !slices.Contains(s.Also, n.Finding):
			s.Also = append(s.Also, n.Finding)
		}
	}
	if s.Chief == "" {
		s.Chief = e.symptomBehind(s, h)
	}
	if s.Chief == "" {
		return
	}
	// Conditions told before the complaint belong to it now.
	for i := range s.Notes {
		n := &s.Notes[i]
		if !strings.HasPrefix(n.Finding, "cond:*:") {
			continue
		}
		o := e.place(s, plainwords.Observation{Finding: n.Finding, Outcome: n.Outcome})
		if f, _ := e.finding(o.Finding, ""); f != nil && f.OutcomeIndex(o.Outcome) >= 0 {
			n.Finding, n.Outcome, n.Title = o.Finding, o.Outcome, f.Title
			n.OutcomeTitle = f.Outcomes[f.OutcomeIndex(o.Outcome)].Title
		}
	}
}

// doubtful reports whether a symptom was only guessed at.
func (s *State) doubtful(symptom string) bool {
	guessed := false
	for i := range s.Notes {
		n := &s.Notes[i]
		if n.struck || n.Finding != symptom {
			continue
		}
		if n.Certainty >= complaintFrom {
			return false
		}
		guessed = true
	}
	return guessed
}

// symptomBehind is the symptom whose question was answered unasked in an
// unusual way: "hardly any heat" is a complaint even where the symptom's own
// name was not said.
func (e *Engine) symptomBehind(s *State, h *heard) string {
	for _, num := range h.notes {
		n := &s.Notes[num-1]
		f := e.base.Finding(n.Finding)
		if f == nil || f.Kind != kb.FindingQuestion || !n.Weighs {
			continue
		}
		if i := f.OutcomeIndex(n.Outcome); i >= 0 && f.Base[i] < usual && e.base.Symptom(f.Article) != nil {
			return f.Article
		}
	}
	return ""
}

// placedBy is a clause that the index placed.
type placedBy struct {
	plainwords.Unplaced
	noted int
}

// unplaced asks the statistics about clauses that the reader could not place.
// While there is no complaint yet, the symptom that all of them together most
// likely tell is taken, and where a second is about as likely the person is asked
// which; later what a clause most likely tells is only shown.
func (e *Engine) unplaced(s *State, acct plainwords.Account, likely []Likely, h *heard) []placedBy {
	if e.matcher == nil || acct.Describes || h.restraint != nil {
		return nil
	}
	if s.Chief == "" {
		if e.asksWhichSymptom(s) {
			return nil
		}
		return e.complaintByTelling(s, acct, likely, h)
	}
	for i, c := range acct.Unplaced {
		if i == unplacedLimit {
			break
		}
		if near := e.nearest(s, c.Text, h); near != "" && !contains(h.near, near) {
			h.near = append(h.near, near)
		}
	}
	return nil
}

// nearest is the article of what a clause most likely tells, "" if it is not
// likely enough or known already.
func (e *Engine) nearest(s *State, words string, h *heard) string {
	likely := e.likely(words, false)
	if e.settings.Explain && len(likely) > 0 {
		h.reads = append(h.reads, ExplainRead{Words: words, Likely: likely})
	}
	if len(likely) == 0 || likely[0].P < mayTell {
		return ""
	}
	f := likely[0].Finding
	switch known := e.base.Finding(f); {
	case s.known(f):
		return ""
	case e.base.Symptom(f) != nil || known == nil || known.Article == "":
		return f
	default:
		return known.Article
	}
}

// complaintByTelling takes the symptom that the turn is most likely a telling
// of, if anything was left of it.
func (e *Engine) complaintByTelling(s *State, acct plainwords.Account, likely []Likely, h *heard) []placedBy {
	clauses := acct.Unplaced
	var all []string
	for _, c := range clauses {
		all = append(all, c.Text)
	}
	if len(clauses) == 0 {
		// No clause is wholly strange, but words were left over: the complaint
		// may be in them and what stands round them.
		left := len(acct.Remarks)
		if tellsDeed(acct.Observations) {
			left = 0 // the remarks are of what was done
		}
		for _, sp := range acct.Spans {
			if sp.Kind == plainwords.SpanUnread {
				left++
			}
		}
		if left == 0 || left < len(acct.Vehicle) {
			return nil
		}
		clauses = []plainwords.Unplaced{{Text: acct.Text, Start: 0, End: len(acct.Text)}}
		all = []string{acct.Text}
	}
	if len(likely) == 0 {
		return nil
	}
	words := strings.Join(all, " ")
	if likely[0].P < takeFrom {
		s.ask(e.whichOf(likely, pending{kind: "which", words: words, ask: "I am not sure what it does. Is it one of these?"}))
		return nil
	}
	clear := len(likely) == 1 || likely[0].P >= takeRatio*likely[1].P
	certainty := matchCertain
	if !clear {
		certainty = matchUnsure
	}
	var placed []placedBy
	notes := e.noteSymptom(s, likely[0].Finding, certainty, plainwords.Unplaced{Text: words, Start: clauses[0].Start, End: clauses[len(clauses)-1].End}, h)
	for _, n := range notes {
		for _, c := range clauses {
			placed = append(placed, placedBy{c, n})
		}
	}
	if !clear && len(notes) > 0 {
		s.ask(e.whichOf(likely, pending{kind: "which", note: notes[0], words: words, ask: "I take it as the first of these for now. Which is it?"}))
	}
	return placed
}

// whichOf puts the likeliest symptoms to the person.
func (e *Engine) whichOf(likely []Likely, p pending) pending {
	for _, l := range likely {
		if l.P >= askRatio*likely[0].P && len(p.choices) < 3 {
			p.choices = append(p.choices, choice{text: e.base.Symptom(l.Finding).Title, finding: l.Finding, outcome: "present", keep: true})
		}
	}
	p.choices = append(p.choices, choice{text: "none of these", drop: true})
	return p
}

// toldSymptom reports whether a symptom was read beyond doubt in this turn: then
// its words hint at no other.
func (e *Engine) toldSymptom(s *State) bool {
	return slices.ContainsFunc(s.Notes, func(n observed) bool {
		return n.Turn == len(s.Turns) && !n.struck && n.Weighs && n.Certainty >= complaintFrom && e.base.Symptom(n.Finding) != nil
	})
}

// asksWhichSymptom reports whether this turn told one of two symptoms, of which
// the person is asked: then the index has no say.
func (e *Engine) asksWhichSymptom(s *State) bool {
	return slices.ContainsFunc(s.Notes, func(n observed) bool {
		return n.Turn == len(s.Turns) && !n.struck && n.Outcome == "present" && e.base.Symptom(n.Finding) != nil
	})
}

// noteSymptom notes a symptom that the index or a choice named, by way of the
// findings it stands for, and returns the numbers of the notes.
func (e *Engine) noteSymptom(s *State, id string, certainty float64, c plainwords.Unplaced, h *heard) []int {
	sym := e.base.Symptom(id)
	if sym == nil {
		return nil
	}
	of := e.standsFor(sym)
	var out []int
	for _, f := range sortedKeys(of) {
		o := plainwords.Observation{Finding: f, Outcome: of[f], Source: "remembered", Hedge: "think", Certainty: certainty, Start: 0, End: 0}
		n := e.note(s, o, "", h)
		if n > 0 {
			s.Notes[n-1].Words, s.Notes[n-1].Start, s.Notes[n-1].End = c.Text, c.Start, c.End
			out = append(out, n)
		}
	}
	e.chooseChief(s, h)
	return out
}

func cut(text string, start, end int) string {
	start, end = max(0, min(start, len(text))), max(0, min(end, len(text)))
	if end <= start {
		return ""
	}
	return strings.TrimSpace(text[start:end])
}

// quantityOf is a plain reading.
func quantityOf(x float64, unit string) *plainwords.Quantity {
	return &plainwords.Quantity{Value: x, Unit: unit, Low: x, High: x}
}

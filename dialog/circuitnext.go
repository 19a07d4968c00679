package dialog

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"ruleout/dialog/circuit"
	"ruleout/kb"
)

// Limits of the checks that a circuit proposes. Basis: memory.
const (
	circuitsMost    = 2    // circuits in play at once
	circuitChecks   = 6    // checks of each that are weighed
	circuitTells    = 0.02 // bits that a check must tell to be weighed
	circuitHas      = 0.5  // of the arrangements must have the point
	setupMinutes    = 3.0  // of a setup that does not say
	riskOfBridging  = 3.0
	arrangementSure = 0.9 // from here on the wiring counts as known
	wiringTells     = 0.05
)

// circuitCandidates are the checks that the circuits in play propose: those
// that tell most about what is left, as things stand.
func (e *Engine) circuitCandidates(s *State, j *judged) []candidate {
	type playing struct {
		w *wiring
		p float64
	}
	var play []playing
	for _, w := range e.circuits {
		p, followed := 0.0, s.followed(w, j)
		for _, n := range w.causes() {
			// Causes that are written up have tests of their own, which come
			// first until the circuit itself is talked about.
			if e.isDerived[n] || followed {
				p += j.post.Singles[n] / float64(e.circuitsWith(n))
			}
		}
		if followed {
			p++
		}
		if p >= inPlayFrom {
			play = append(play, playing{w, p})
		}
	}
	slices.SortStableFunc(play, func(a, b playing) int {
		switch x, y := round9(a.p), round9(b.p); {
		case x > y:
			return -1
		case x < y:
			return 1
		}
		return strings.Compare(a.w.article.ID, b.w.article.ID)
	})
	var out []candidate
	for _, x := range play[:min(len(play), circuitsMost)] {
		st := e.standingFor(s, j, x.w)
		for _, c := range e.tellingChecks(s, st, (*standing).causeBits, circuitTells, circuitChecks, false) {
			out = append(out, candidate{id: c.finding.ID, kind: "circuit", finding: c.finding, table: e.tableSeen(s, c, st)})
		}
	}
	return out
}

// tellingChecks lists the checks of a circuit that can be made now and tell
// most by the measure given, best first. Gentle ones bridge and feed nothing.
func (e *Engine) tellingChecks(s *State, st *standing, bits func(*standing, *sight) float64, least float64, most int, gentle bool) []*sight {
	w := st.w
	meter := e.haveAll(s, []string{"multimeter"})
	mapped := map[string]bool{}
	for i := range w.article.Observed {
		if x := e.sight(w.article.Observed[i].Finding); x != nil {
			mapped[x.key] = true
		}
	}
	type rated struct {
		x    *sight
		bits float64
	}
	var all []rated
	seenKey := map[string]bool{}
	for _, ch := range w.c.Checks() {
		acts := len(ch.Setup.Bridged)+len(ch.Setup.Fed)+len(ch.Setup.Earthed) > 0
		if unitOf(ch.What) != "" && !meter || gentle && acts {
			continue
		}
		id := w.checkID(ch)
		if _, passed := s.Passed[id]; passed {
			continue
		}
		x := e.sight(id)
		if x == nil || st.keys[x.key] || seenKey[x.key] || mapped[x.key] && !gentle || st.present(x) < circuitHas && !gentle {
			continue
		}
		seenKey[x.key] = true
		if b := bits(st, x); b >= least {
			all = append(all, rated{x, b})
		}
	}
	slices.SortStableFunc(all, func(a, b rated) int {
		switch p, q := round6(a.bits/w.minutes(a.x.check)), round6(b.bits/w.minutes(b.x.check)); {
		case p > q:
			return -1
		case p < q:
			return 1
		}
		return strings.Compare(a.x.finding.ID, b.x.finding.ID)
	})
	var out []*sight
	for _, r := range all {
		if len(out) == most {
			break
		}
		if at, _ := w.c.AtRestraint(r.x.check); at == "" && !e.stopped(st, r.x.check.Setup) {
			out = append(out, r.x)
		}
	}
	return out
}

// minutes is what a check takes.
func (w *wiring) minutes(ch circuit.Check) float64 {
	if m := ch.Setup.Minutes; m > 0 {
		return m
	}
	return setupMinutes
}

// present is the probability that the car has what the check needs.
func (st *standing) present(x *sight) float64 {
	p, all := 0.0, 0.0
	for v, q := range st.vars {
		q *= st.hypothesis[st.w.c.HypothesisOf(v)]
		all += q
		if !math.IsNaN(x.x[v]) {
			p += q
		}
	}
	if all == 0 {
		return 0
	}
	return p / all
}

// causeBits is what a check is expected to tell about the causes, in bits.
func (st *standing) causeBits(x *sight) float64 {
	return st.bits(x, len(st.hypothesis), st.w.c.HypothesisOf)
}

// wiringBits is what a check is expected to tell about the arrangement.
func (st *standing) wiringBits(x *sight) float64 {
	return st.bits(x, len(st.arrangement), st.w.c.ArrangementAt)
}

func (st *standing) bits(x *sight, n int, of func(variant int) int) float64 {
	k := len(x.finding.Outcomes)
	joint := make([]float64, k*n)
	whole := make([]float64, n)
	for v, p := range st.vars {
		p *= st.hypothesis[st.w.c.HypothesisOf(v)]
		if p == 0 {
			continue
		}
		i := of(v)
		whole[i] += p
		for o, q := range x.shows[v] {
			joint[o*n+i] += float64(p * q)
		}
	}
	gain := entropy(whole)
	for o := 0; o < k; o++ {
		gain -= entropy(joint[o*n : (o+1)*n])
	}
	return gain
}

// entropy is the sum of the weights times the entropy of their shares, bits.
func entropy(w []float64) float64 {
	sum, s := 0.0, 0.0
	for _, x := range w {
		sum += x
	}
	for _, x := range w {
		if x > 0 {
			s -= float64(x * math.Log2(x/sum))
		}
	}
	return s
}

// circuitCost is what a check of a circuit costs: its minutes, and the risk of
// leads and moving parts.
func (e *Engine) circuitCost(x *sight) float64 {
	w := x.w
	cost := w.minutes(x.check) * e.settings.MinuteCost
	if su := w.setup(x.check.Setup.ID); su != nil && len(su.Cautions) > 0 {
		cost += riskOfHazard
	}
	if ch := x.check; len(ch.Setup.Bridged)+len(ch.Setup.Fed)+len(ch.Setup.Earthed) > 0 {
		cost += riskOfBridging
	}
	return cost
}

// circuitNext words a check of a circuit.
func (e *Engine) circuitNext(s *State, j *judged, x *sight, n *Next) *Next {
	w, ch := x.w, x.check
	st := e.standingFor(s, j, w)
	n.Kind, n.ID, n.Article, n.Minutes = "test", x.finding.ID, w.article.ID, w.minutes(ch)
	n.Title = upperFirst(w.doTitle(ch))
	n.Steps = w.steps(ch)
	if su := w.setup(ch.Setup.ID); su != nil && ch.What != circuit.Bench {
		n.Cautions = slices.Clone(su.Cautions)
	}
	n.Cautions = append(n.Cautions, e.leadCautions(st, ch)...)
	if unitOf(ch.What) != "" {
		n.Needs = e.toolTitles([]string{"multimeter"})
		r := x.finding.Reading
		n.Reading = &ReadingAsked{Quantity: r.Quantity, Unit: r.Unit, Meter: r.Meter, Terminals: r.Terminals, Expect: e.soundWords(st, x), Possible: r.Possible}
	}
	if len(ch.Setup.Bridged)+len(ch.Setup.Fed)+len(ch.Setup.Earthed) > 0 {
		n.Needs = append(n.Needs, e.toolTitles([]string{"jumper-lead"})...)
	}
	t := e.tableOf(x, st)
	expected := j.post.Predict(t)
	for o, p := range expected {
		if p >= 0.02 && len(n.Quick) < quickMost {
			out := x.finding.Outcomes[o]
			n.Quick = append(n.Quick, Quick{Text: out.Title, Tap: Tap{Finding: x.finding.ID, Outcome: out.ID}})
		}
	}
	n.Quick = append(n.Quick, Quick{Text: "can't do that", Tap: Tap{Request: "cannot"}})
	if n.Why == "" {
		n.Why = e.splitWords(n)
	}
	return n
}

// doTitle is a check as a job.
func (w *wiring) doTitle(ch circuit.Check) string {
	state := w.stateWords(ch.Setup)
	switch ch.What {
	case circuit.Volts:
		if ch.B == w.article.Ground {
			return "measure the volts at " + w.place(ch.A) + ", " + state
		}
		return "measure the volts between " + w.place(ch.A) + " and " + w.place(ch.B) + ", " + state
	case circuit.Ohms:
		return "measure the ohms between " + w.place(ch.A) + " and " + w.place(ch.B)
	case circuit.Bench:
		return fmt.Sprintf("take out the %s and measure %s", w.elementTitle(ch.Element), ends(ch))
	case circuit.Amps:
		return "measure the current through the " + w.elementTitle(ch.Element) + ", " + state
	case circuit.Clicks:
		return "feel whether the " + w.elementTitle(ch.Element) + " clicks, " + state
	}
	return "watch the " + w.elementTitle(ch.Element) + ", " + state
}

// steps are those of a check, in order.
func (w *wiring) steps(ch circuit.Check) []string {
	var out []string
	do := func(format string, args ...any) { out = append(out, fmt.Sprintf(format, args...)+".") }
	s := ch.Setup
	if ch.What == circuit.Bench {
		do("Key out; pull the %s and note how it sat", w.elementTitle(ch.Element))
		do("Meter on 200 Ω, leads touched together first; then %s", ends(ch))
		return out
	}
	// A click is felt for at the moment of the action.
	felt := ch.What == circuit.Clicks && s.Acts()
	state := w.stateWords(circuit.Setup{Set: s.Set})
	if felt {
		if state != "" {
			do("Bring it about: %s", state)
		}
		do("A finger on the %s for what follows: one click, none, or a buzz?", w.elementTitle(ch.Element))
	}
	for _, id := range s.Pulled {
		do("%s", upperFirst(w.pull(id).Title))
	}
	for _, id := range s.Swapped {
		do("Change the %s for one that is known to be good", w.elementTitle(id))
	}
	meter := unitOf(ch.What)
	if meter == "ohm" {
		do("Key out. Meter on 200 Ω; touch the leads together first and remember what they show")
	}
	if meter == "V" {
		do("Meter on 20 V DC, %s", w.leads(ch))
	}
	if meter == "A" {
		do("Meter %s", w.leads(ch))
	}
	for _, b := range s.Bridged {
		do("Join %s and %s with the fused lead", w.place(b[0]), w.place(b[1]))
	}
	if su := w.setup(s.ID); su != nil && !s.Acts() && len(s.Swapped) == 0 {
		state = su.Title
	}
	if state != "" && meter != "ohm" && !felt {
		do("Bring it about: %s", state)
	}
	for _, f := range s.Fed {
		do("Feed %s from the battery's positive post with the fused lead", w.place(f))
	}
	for _, g := range s.Earthed {
		do("Join %s to clean earth with the fused lead", w.place(g))
	}
	switch ch.What {
	case circuit.Ohms:
		do("Leads on %s; a reading that creeps or changes with the leads swapped is voltage left in it", w.leads(ch))
	case circuit.Works:
		do("Watch and listen: what %s the %s do?", does(w.elementTitle(ch.Element)), w.elementTitle(ch.Element))
	case circuit.Clicks:
		if !felt {
			do("A finger on the %s: one click, none, or a buzz?", w.elementTitle(ch.Element))
		}
	default:
		do("Read when it is steady")
	}
	for i := range out {
		out[i] = strings.Replace(out[i], "?.", "?", 1)
	}
	return out
}

// leadCautions are what any lead and probe asks for, then what the circuit
// itself would suffer.
func (e *Engine) leadCautions(st *standing, ch circuit.Check) []string {
	var own []string
	var hazards []string
	if len(ch.Setup.Bridged)+len(ch.Setup.Fed)+len(ch.Setup.Earthed) > 0 {
		hazards = append(hazards, "bridging")
	}
	seen := map[string]bool{}
	for _, h := range e.harms(st, ch.Setup) {
		if t := sentence(upperFirst(h.Text)); !h.Stop && !seen[t] {
			seen[t] = true
			own = append(own, t)
		}
	}
	return e.cautions(hazards, nil, own)
}

// soundWords is what a check shows if nothing is wrong, by arrangement.
func (e *Engine) soundWords(st *standing, x *sight) string {
	if x.x == nil {
		return ""
	}
	ch, all := x.check, st.w.c.ExpectOf(x.x, "")
	type line struct{ text, titles string }
	var lines []line
	for _, a := range st.arranged() {
		arr := &st.w.article.Arrangements[a]
		for _, x := range all {
			if x.Arrangement != arr.ID || x.Cause != "" || x.Missing {
				continue
			}
			text := x.Words(ch.What)
			k := slices.IndexFunc(lines, func(l line) bool { return l.text == text })
			if k < 0 {
				lines = append(lines, line{text, arr.Title})
			} else {
				lines[k].titles += " or " + arr.Title
			}
		}
	}
	if len(lines) == 0 {
		return ""
	}
	if len(lines) == 1 {
		return lines[0].text + " if nothing is wrong"
	}
	var parts []string
	for _, l := range lines {
		parts = append(parts, l.text+" with "+l.titles)
	}
	return "if nothing is wrong, " + strings.Join(parts, "; ")
}

// bestOfWiring is the check that tells most about how a circuit is wired, or
// nil when nothing gentle is left that tells.
func (e *Engine) bestOfWiring(s *State, st *standing) *sight {
	if _, p := st.likeliest(); p >= arrangementSure {
		return nil
	}
	best := e.tellingChecks(s, st, (*standing).wiringBits, wiringTells, 1, true)
	if len(best) == 0 {
		return nil
	}
	return best[0]
}

// wiringNext is the next step of working out how a circuit is wired.
func (e *Engine) wiringNext(s *State, j *judged) *Next {
	w := e.wiringOf(s.Unwired)
	if w == nil {
		return nil
	}
	st := e.standingFor(s, j, w)
	x := e.bestOfWiring(s, st)
	if x == nil {
		return nil
	}
	if n := e.wiringFact(s, st); n != nil {
		return n
	}
	n := &Next{Why: e.wiringWhy(st, x)}
	return e.circuitNext(s, j, x, n)
}

// Limits of going on with a circuit whose wiring was worked out. Basis: memory.
const (
	workedFrom  = 0.25 // probability that the trouble lies in it
	workedUntil = 0.8  // of one cause, from which the rest is as in any case
	workedTells = 0.1  // bits that a check of it must tell
)

// workedNext goes on with the circuit that was just worked out: whoever stands
// at it with a meter is led along it to the fault before other things are asked.
func (e *Engine) workedNext(s *State, j *judged) *Next {
	w := e.wiringOf(s.worked)
	if w == nil {
		return nil
	}
	st := e.standingFor(s, j, w)
	mine, most := 0.0, 0.0
	for h, n := range w.cause {
		if n >= 0 {
			mine += st.hypothesis[h]
			most = max(most, st.hypothesis[h])
		}
	}
	if mine < workedFrom || most >= workedUntil {
		return nil
	}
	best := e.tellingChecks(s, st, (*standing).causeBits, workedTells, 1, false)
	if len(best) == 0 {
		return nil
	}
	return e.circuitNext(s, j, best[0], &Next{})
}

// wiringFact asks for what every owner knows of the vehicle where the ways in
// which it may be wired hang on it: nobody measures whether it is a diesel.
func (e *Engine) wiringFact(s *State, st *standing) *Next {
	for _, a := range e.base.Lists.Vehicle {
		id := vehiclePrefix + a.ID
		_, told := s.Vehicle[a.ID]
		_, passed := s.Passed[id]
		if told || passed || a.Known > 0 {
			continue
		}
		if !slices.ContainsFunc(st.arranged(), func(k int) bool { return len(st.w.article.Arrangements[k].Applies.Vehicle[a.ID]) > 0 }) {
			continue
		}
		f, _ := e.vehicleFinding(id)
		if f == nil {
			continue
		}
		n := &Next{Kind: "question", ID: id, Title: f.Ask, Why: "how it is wired hangs on it", Quick: quickAnswers(f), Article: st.w.article.ID}
		n.Quick = append(n.Quick, Quick{Text: "don't know", Tap: Tap{Finding: id, Outcome: "unknown"}})
		return n
	}
	return nil
}

// wiringWhy says which arrangement each outcome would speak for.
func (e *Engine) wiringWhy(st *standing, x *sight) string {
	w := st.w
	k, n := len(x.finding.Outcomes), len(st.arrangement)
	joint := make([]float64, k*n)
	for v, p := range st.vars {
		p *= st.hypothesis[w.c.HypothesisOf(v)]
		for o, q := range x.shows[v] {
			joint[o*n+w.c.ArrangementAt(v)] += float64(p * q)
		}
	}
	var parts []string
	said := map[string]bool{}
	for o := 0; o < k; o++ {
		row := joint[o*n : (o+1)*n]
		sum, best := 0.0, 0
		for a, p := range row {
			sum += p
			if p > row[best] {
				best = a
			}
		}
		title := w.article.Arrangements[best].Title
		if sum < 0.02 || said[title] || len(parts) == 3 {
			continue
		}
		said[title] = true
		parts = append(parts, fmt.Sprintf("“%s” speaks for %s", lowerFirst(x.finding.Outcomes[o].Title), title))
	}
	if len(parts) < 2 {
		return "it tells most about how this is wired"
	}
	return strings.Join(parts, ", ")
}

// unwired begins to work out how a circuit is wired: the one named, the one
// talked about, or the one in play; else it is asked which.
func (e *Engine) unwired(s *State, about, text string) {
	if e.wiringOf(about) != nil {
		s.Unwired, s.Circuit = about, about
		return
	}
	all := e.speaking(s, text)
	if named := e.namedBefore(s); named != nil && (len(all) == 0 || !all[0].named(text) && !slices.ContainsFunc(s.InForce, func(n int) bool { return all[0].named(s.Turns[n-1].Text) })) {
		all = []*wiring{named}
	}
	if len(all) > 0 {
		s.Unwired, s.Circuit = all[0].article.ID, all[0].article.ID
		return
	}
	p := pending{kind: "circuit", words: text, ask: "Which circuit shall we work out?"}
	mine := ""
	if sym := e.base.Symptom(s.Chief); sym != nil {
		mine = sym.System
	}
	for _, first := range []bool{true, false} {
		for _, w := range e.circuits {
			if (w.article.System == mine) == first {
				p.choices = append(p.choices, choice{text: w.article.Title, finding: w.article.ID, keep: true})
			}
		}
	}
	p.choices = append(p.choices, choice{text: "none of these", drop: true})
	s.ask(p)
}

// named reports whether a text names the circuit.
func (w *wiring) named(text string) bool {
	have := wordsOf(text)
	for word := range w.words {
		if have[word] {
			return true
		}
	}
	return false
}

// namedBefore is the circuit that the person's words named first, by a word that
// no other has, in the first turn that names any: the complaint, as a rule. Nil
// if none does.
func (e *Engine) namedBefore(s *State) *wiring {
	for _, n := range s.InForce {
		text := asciiLower(s.Turns[n-1].Text)
		var first *wiring
		where := len(text)
		for _, w := range e.circuits {
			for word := range w.words {
				if at := indexWords(text, word); at >= 0 && at < where && !slices.ContainsFunc(e.circuits, func(o *wiring) bool { return o != w && o.words[word] }) {
					first, where = w, at
				}
			}
		}
		if first != nil {
			return first
		}
	}
	return nil
}

// unwiredWords says that it is worked out how a circuit is wired, with the
// articles that they name.
func (e *Engine) unwiredWords(s *State) (string, []string) {
	if w := e.wiringOf(s.Unwired); w != nil {
		return fmt.Sprintf("Then we work out how the [%s](article:%s) is wired from what can be seen and measured safely, one thing at a time.", lowerFirst(w.article.Title), w.article.ID), []string{w.article.ID}
	}
	return "Then we work it out from what can be seen and measured safely, one thing at a time.", nil
}

// circuitChosen is the choice whose circuit the words name best, -1 if they
// name none above the others.
func (e *Engine) circuitChosen(p pending, text string) int {
	best, most, twice := -1, 0.0, false
	have := wordsOf(text)
	for i, c := range p.choices {
		w := e.wiringOf(c.finding)
		if w == nil {
			continue
		}
		n := likeness(w.article.Title, text, wordSet("circuit the with and of"))
		for word := range w.words {
			if have[word] {
				n++
			}
		}
		if n > 0 && n == most {
			twice = true
		}
		if n > most {
			best, most, twice = i, n, false
		}
	}
	if twice {
		return -1
	}
	return best
}

// pointChosen is the choice whose point is meant: the only one that has all
// words of the answer which name anything; -1 if there is none. A new reading
// is no answer.
func pointChosen(p pending, text string) int {
	best := -1
	for i, c := range p.choices {
		if !hasAll(wordsOf(c.text), text) {
			continue
		}
		if best >= 0 {
			return -1
		}
		best = i
	}
	return best
}

// hasAll reports whether all words of a text that name anything, one at least,
// are among those of a name.
func hasAll(name map[string]bool, text string) bool {
	any := false
	for w := range wordsOf(text) {
		if pointNoise[w] || answerNoise[w] {
			continue
		}
		if !name[w] && !name[strings.TrimSuffix(w, "s")] {
			return false
		}
		any = true
	}
	return any
}

// answerNoise are the words around a place that tell nothing of it.
var answerNoise = wordSet("it was is that one my i think from behind there just by and")

// wiredNow says how the circuit is wired once that is worked out, or that no
// more can be told.
func (e *Engine) wiredNow(s *State, j *judged) (string, []string) {
	w := e.wiringOf(s.Unwired)
	if w == nil || len(s.Pending) > 0 {
		return "", nil
	}
	st := e.standingFor(s, j, w)
	if e.bestOfWiring(s, st) != nil {
		return "", nil
	}
	s.Unwired, s.drawn, s.worked = "", w.article.ID, w.article.ID
	a, p := st.likeliest()
	arr := &w.article.Arrangements[a]
	if len(w.article.Arrangements) == 1 {
		return fmt.Sprintf("I know one way in which the %s is wired: %s. %s", lowerFirst(w.article.Title), arr.Title, sentence(arr.Tells)), []string{w.article.ID}
	}
	text := fmt.Sprintf("**It is wired like this: %s** (%s). %s", arr.Title, plain(p), sentence(arr.Tells))
	if p < arrangementSure {
		var other []string
		for _, b := range st.arranged() {
			if b != a {
				other = append(other, fmt.Sprintf("%s (%s)", w.article.Arrangements[b].Title, plain(st.arrangement[b])))
			}
		}
		text = fmt.Sprintf("Nothing more that is safe to do tells it better: most likely it is wired like this: %s (%s). %s", arr.Title, plain(p), sentence(arr.Tells))
		if len(other) > 0 {
			text += " Possible too: " + list(other) + "."
		}
	}
	return text + " I keep that for this vehicle.", []string{w.article.ID}
}

// Arranged is how a circuit of the vehicle is wired, as far as is known.
type Arranged struct {
	Arrangement string  `json:"arrangement"`
	Title       string  `json:"title"`
	Probability float64 `json:"probability"`
}

// Drawing asks for the drawing of a circuit.
type Drawing struct {
	Circuit     string `json:"circuit"`
	Arrangement string `json:"arrangement"`
	// Setup names a state of the article, Cause the fault that is drawn; both
	// may be empty.
	Setup string `json:"setup,omitempty"`
	Cause string `json:"cause,omitempty"`
	Title string `json:"title"`
}

// fillCircuits adds what is known of circuits to the reply.
func (e *Engine) fillCircuits(s *State, r *Reply, j *judged) {
	for _, id := range sortedKeys(s.Wired) {
		if w := e.wiringOf(id); w != nil {
			st := e.standingFor(s, j, w)
			r.arranged(st)
		}
	}
	for _, st := range j.standings {
		if len(st.w.article.Arrangements) > 1 {
			r.arranged(st)
		}
	}
	if s.drawn != "" {
		if w := e.wiringOf(s.drawn); w != nil {
			r.Drawing = e.drawing(s, j, w)
			// What follows from facts of the vehicle alone is known too.
			if st := e.standingFor(s, j, w); len(w.article.Arrangements) > 1 {
				if _, p := st.likeliest(); p >= arrangementSure {
					r.arranged(st)
				}
			}
		}
	}
}

func (r *Reply) arranged(st *standing) {
	if r.Arrangements == nil {
		r.Arrangements = map[string]Arranged{}
	}
	a, p := st.likeliest()
	arr := &st.w.article.Arrangements[a]
	r.Arrangements[st.w.article.ID] = Arranged{arr.ID, arr.Title, round9(p)}
}

// drawing is the circuit as it most likely is, in the state looked at last,
// with the fault that leads if it is more likely than not.
func (e *Engine) drawing(s *State, j *judged, w *wiring) *Drawing {
	st := e.standingFor(s, j, w)
	a, p := st.likeliest()
	arr := &w.article.Arrangements[a]
	d := &Drawing{Circuit: w.article.ID, Arrangement: arr.ID, Title: fmt.Sprintf("%s, wired like this: %s (%s)", w.article.Title, arr.Title, plain(p))}
	if now, ok := e.stateNow(s); ok && now.w == w && w.setup(now.setup.ID) != nil {
		d.Setup = now.setup.ID
		d.Title += ", " + w.setup(now.setup.ID).Title
	}
	for _, h := range e.suspected(st, 0.5, 1) {
		d.Cause = w.c.Hypotheses()[h].Cause
		d.Title += ", with " + lowerFirst(brief(e.base.Causes[w.cause[h]].Title))
	}
	return d
}

// Known is what an earlier case found about the vehicle.
type Known struct {
	// Arrangements says by circuit how it is wired.
	Arrangements map[string]Arranged
}

// StartOn is Start for a vehicle of which something is known.
func (e *Engine) StartOn(k Known) (*State, *Reply) {
	s, r := e.Start()
	for _, id := range sortedKeys(k.Arrangements) {
		a := k.Arrangements[id]
		w := e.wiringOf(id)
		if w == nil || !slices.ContainsFunc(w.article.Arrangements, func(x kb.CircuitArrangement) bool { return x.ID == a.Arrangement }) || !(a.Probability > 0 && a.Probability < 1) {
			continue // an article that has changed since
		}
		s.Wired[id] = wired{a.Arrangement, a.Probability}
	}
	if len(s.Wired) > 0 {
		r = e.answer(s, &heard{})
		s.last = r
	}
	return s, r
}

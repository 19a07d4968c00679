package dialog

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"ruleout/dialog/circuit"
	"ruleout/dialog/plainwords"
	"ruleout/kb"
)

// What people say of a circuit is a small language of its own: a state of the
// car ("with the key on"), things done ("unplugged the sender", "bridged 30
// and 87"), and what was then read ("11.8 at 87") or seen ("and it came on").
// It is read only while a circuit is talked about, over that circuit's points,
// plugs and switches.

// statement is what a piece of a turn says of a circuit.
type statement struct {
	w     *wiring
	check circuit.Check
	// value is what was read or the number of the effect; low and high a
	// range in place of it.
	value, low, high float64
	effect           bool
	asks             bool // it is a question: what should be read or done
	harm             bool // it is asked whether something may be done
	done             bool // something was done to the circuit
	stateSaid        bool
	start, end       int
}

var (
	pieceEnd   = guard(`[;!?\n]+|\.(?:\s|$)|,? but |,? then `)
	numberWord = guard(`(?:^|[^a-z0-9.])(-?\d+(?:[.,]\d+)?)\s*(kohms?|kω|k|megohms?|mv|millivolts?|ma|milliamps?|volts?|v|ohms?|ω|amps?|amperes?|a)?(?:[^a-z0-9]|$)`)
	asking     = guard(`\b(?:what|which|how (?:much|many))\b.*\b(?:should|would|do|will|must|ought)\b.*\b(?:read|see|get|measure|expect|show|find|have|be)\b|\bwhat(?:'s| is) (?:the )?(?:right|correct|normal|expected) (?:reading|voltage|resistance)\b|\bwhat voltage\b.*\bshould\b|\bshould (?:the|it|there|i)\b|` +
		`\b(?:is|are|does|do|was|what)\b.*\b(?:meant|supposed|expected|need|needs|ought) to\b|\bwhat(?:'?s| is| are| would be)\b.*\b(?:right|correct|normal|good|typical|sound|healthy)\b|\bwhat (?:does|do|would) (?:a |an |the )?(?:good|sound|healthy|working)\b|` +
		`\bhow (?:many|much) (?:volts?|voltage|ohms?|amps?|current|power)\b|\bwhat (?:volts?|voltage|resistance|current|ohms|amps)\b|\b(?:is|are) \d+[a-z]? always\b|\bhow (?:low|high|far)\b.*\b(?:may|can|should|drop|fall|go)\b`)
	mayI = guard(`\b(?:can|may|could|dare) i\b|\bis it (?:safe|ok|okay|all right|alright) to\b|\bwhat (?:happens|will happen|would happen) (?:if|when) i\b`)
)

var (
	pullWords   = guard(`\b(?:unplug(?:ged|ging)?|disconnect(?:ed|ing)?|pull(?:ed|ing)?(?: the (?:wire|plug|lead)s? (?:off|from))?|remov(?:e|ed|ing)|took (?:out|off)|take (?:out|off)|taking (?:out|off))\b`)
	pulledAfter = guard(`\b(?:unplugged|disconnected|removed|pulled|out|off its plug)\b`)
	bridgeWords = guard(`\b(?:bridg(?:e|ed|ing)|jump(?:ed|er|ered|ing)?|short(?:ed|ing)?|join(?:ed|ing)?|link(?:ed|ing)?|connect(?:ed|ing)?|(?:wire|lead|jumper|clip) (?:across|between))\b`)
	feedWords   = guard(`\b(?:fed|feeding|powered|i feed|(?:put|gave|giving|putting|give|run|ran) (?:it )?(?:12|twelve|battery|a feed|a live|power)(?: ?v| volts?| voltage| power)? (?:straight |directly |direct )?(?:on|to|into|across)(?:to)?|wired (?:it )?(?:straight|directly|direct) to)\b`)
	batteryFed  = guard(`\b(?:run|ran|running|jump(?:ed|ing)?|wir(?:e|ed|ing)|hook(?:ed|ing)?(?: up)?|connect(?:ed|ing)?|power(?:ed|ing)?|feed|fed|feeding) (.{2,40}?) (?:up )?(?:straight |directly |direct |right )*(?:off|from|to|on|onto|with) (?:the |a |my )?battery\b`)
	earthWords  = guard(`\b(?:earth(?:ed|ing)|ground(?:ed|ing)|(?:i|to|and|just|me|you|we|could|should) (?:earth|ground)|^(?:earth|ground) (?:the|it|my|its|that|pin|terminal)|touched to (?:earth|ground))\b`)
	partEnd     = guard(`,| and | with | when | while | then | if `)
	swapWords   = guard(`\b(?:swap(?:ped|ping)?|chang(?:ed|ing)) (?:the |its |over )*`)

	effectWords = []struct {
		re guarded
		e  circuit.Effect
	}{
		{guard(`\b(?:stop(?:s|ped)|went off|goes off|stays? (?:off|dark|still|silent)|stayed (?:off|dark|still|silent)|still (?:nothing|off|dead)|(?:does|did) nothing|nothing (?:happens|happened)|and nothing|no click|(?:it|that) (?:does|did)n'?t$|(?:does|did)n'?t (?:click|run|start|come on|light|work|move|do anything)|not? (?:running|working|lit|light|move(?:ment)?)|won'?t (?:run|start|come on|light)|is dead|dead)\b`), circuit.Nothing},
		{guard(`\b(?:slow(?:ly)?|dim(?:ly)?|weak(?:ly)?|faint(?:ly)?|crawls|barely)\b`), circuit.Weak},
		{guard(`\b(?:buzz(?:es|ed|ing)|chatter(?:s|ed|ing)|on and off by itself)\b`), circuit.Buzzes},
		{guard(`\b(?:c[oa]mes? on|came on|start(?:s|ed)|runs?|ran|running|keeps? (?:going|running)|kept (?:going|running)|goes on|went on|works?|worked|spins?|spun|turns?|lights?|lit|glows?|clicks?|clicked|hums?|sounds?|sounded|cranks?|cranked|moves|moved|honks?|honked|beeps|beeped|bright|is on|full)\b`), circuit.Full},
	}
	// oughtTo ends what stands before a thing that should be and is not said to
	// be.
	oughtTo = guard(`\b(?:ought to|should|supposed to|meant to|would|expected? (?:it )?to)(?: have)?\s*$`)
	// partNoun after a word makes it the name of a part: a light fuse, the run
	// relay.
	partNoun   = guard(`^ (?:fuses?|switch(?:es)?|relays?|bulbs?|circuit|wires?|plugs?|lead|motor|lamps?|unit|terminal)\b`)
	noClick    = guard(`\b(?:no|not|never|without(?: a)?|n't|doesnt|didnt) (?:even |a |any )?click|n't (?:even )?click`)
	clickWords = guard(`\bclick(?:s|ed|ing)?\b`)
	groundWord = guard(`^(?:the |a |good |bare |clean )*(?:ground|earth|chassis|body|31|negative(?: post)?|minus(?: post)?|battery (?:negative|minus)|engine block)\b`)
	zeroWords  = guard(`\b(?:no|zero) (?:volts?|voltage|power|feed|juice|current)\b|\b(?:nothing|dead) (?:at|on|there)\b|\bis dead there\b`)
	fullWords  = guard(`\b(?:battery (?:voltage|volts)|full (?:voltage|volts)|(?:has|got|have|get|getting) (?:power|voltage|feed|juice)|there(?:'s| is) (?:power|voltage|feed|juice)|(?:power|voltage|feed|juice|live) (?:at|on)|is live)\b`)
	openWords  = guard(`\b(?:open circuit|reads? open|is open|are open|infinite|infinity|ol|o\.l|no continuity|not joined|not connected)\b`)
	shutWords  = guard(`\b(?:continuity|joined|connected|are closed|is closed|dead short|beeps?)\b`)
	ohmWords   = guard(`\bohms?\b|ω|\bresistance\b|\bcontinuity\b|\bat rest\b`)
	terminalRe = guard(`(?:^|[^a-z0-9.])(?:pin |terminal |term |pins |terminals )?(87a|87|86|85|30|15|50|54|56a|56b|56|58|61|53a|53|31b|b\+|d\+)(?:[^a-z0-9.%]|$)`)
)

// statements reads a turn over one circuit.
func (w *wiring) statements(text string, now circuit.Setup, known bool) []statement {
	lower := asciiLower(text)
	var out []statement
	for from := 0; from < len(lower); {
		to, next := len(lower), len(lower)
		if m := pieceEnd.FindStringIndex(lower[from:]); m != nil {
			to, next = from+m[0], from+m[1]
		}
		t, ok := w.statement(lower[from:to], now, known)
		if k := len(out); !ok && k > 0 && out[k-1].done {
			// What came of the last thing done, told in a piece of its own.
			t, ok = w.outcome(lower[from:to], out[k-1].check.Setup)
		}
		if ok {
			t.start, t.end = t.start+from, t.end+from
			if strings.HasPrefix(lower[to:], "?") || t.asks || t.harm {
				t.asks = t.asks || !t.harm
			}
			out = append(out, t)
		}
		from = max(next, from+1)
	}
	return out
}

// outcome reads a piece that says what a part did in a state told before.
func (w *wiring) outcome(p string, s circuit.Setup) (statement, bool) {
	el, e, ok := w.effectIn(p)
	if !ok || el == "" {
		return statement{}, false
	}
	return statement{w: w, check: circuit.Check{Setup: s, What: w.watchOf(el), Element: el}, effect: true, value: float64(e), stateSaid: true, end: len(p)}, true
}

// asciiLower lowers ASCII letters only, so that offsets stay.
func asciiLower(s string) string {
	b := []byte(s)
	for i, c := range b {
		if 'A' <= c && c <= 'Z' {
			b[i] = c + 'a' - 'A'
		}
	}
	return strings.ReplaceAll(string(b), "Ω", "ω")
}

// statement reads one piece.
func (w *wiring) statement(p string, now circuit.Setup, known bool) (statement, bool) {
	t := statement{w: w, end: len(p)}
	t.harm = mayI.MatchString(p)
	t.asks = asking.MatchString(p) && !t.harm
	state, said := w.stateSaid(p)
	did := w.doings(p, &state)
	t.done = did
	t.stateSaid = said || len(state.Set) > 0
	if did && !said {
		// An action that an article's setup has too is done in its state.
		if x := w.doneIn(state); x != nil {
			state, t.stateSaid, known = *x, true, false
		}
	}
	if !t.stateSaid && known {
		state.Set = now.Set
		if !did {
			state = now
		}
		t.stateSaid = true
	}
	t.check.Setup = state
	// A number, or words for one, at a place.
	value, unit, numAt, has := w.numberIn(p)
	if t.asks && unit == "" {
		has, numAt = false, -1 // "is 30 always live" is no reading
	}
	if has && len(state.Fed) > 0 {
		has, unit = false, "" // the volts are what was fed
	}
	places := w.placesIn(p, numAt)
	ohms := unit == "ohm" || unit == "" && ohmWords.MatchString(p)
	if len(places) == 0 && !ohms && (has || zeroWords.MatchString(p) || fullWords.MatchString(p) || t.asks && voltsAsked.MatchString(p)) {
		if t.asks {
			places = w.placeLike(p)
		} else {
			places = w.placeMeant(p)
		}
		if len(places) == 0 {
			places = w.atLoad(p)
		}
	}
	switch {
	case has:
		t.value = value
	case !t.asks && zeroWords.MatchString(p):
		has, t.low, t.high = true, -0.25, 0.25
	case !t.asks && fullWords.MatchString(p):
		has, t.low, t.high = true, 11, 15
	case !t.asks && openWords.MatchString(p) && (len(places) == 2 || len(places) == 0 && ohms && w.partAcross(p) != ""):
		has, ohms, t.value = true, true, circuit.OpenOhms
	case !t.asks && shutWords.MatchString(p) && len(places) == 2 && !did:
		has, ohms, t.low, t.high = true, true, 0, 3
	}
	if el := w.ammeter(); el != "" && unit == "" && len(places) == 0 && (has && did && len(state.Pulled) > 0 || t.asks && drawAsked.MatchString(p)) {
		t.check.What, t.check.Element = circuit.Amps, el
		if x := w.setupWith(el, state); x != nil {
			t.check.Setup = *x
		}
		return t, true
	}
	switch {
	case unit == "A" && has:
		el := w.ammeter()
		if el == "" {
			return t, false
		}
		t.check.What, t.check.Element = circuit.Amps, el
		return t, true
	case len(places) > 0 && !t.harm && (has && !did || t.asks && !effectAsked(p) || has && did && len(places) > 0):
		if has && did && len(state.Bridged)+len(state.Earthed) > 0 {
			break // the places are those that were joined
		}
		a, b := places[0], w.article.Ground
		if len(places) > 1 {
			b = places[1]
		}
		if ohms {
			t.check.What = circuit.Ohms
			// Both ends on one relay: its own contacts, taken out.
			ea, ta, okA := strings.Cut(a, ".")
			eb, tb, okB := strings.Cut(b, ".")
			if okA && okB && ea == eb && !strings.Contains(p, "socket") {
				t.check = circuit.Check{Setup: circuit.Setup{Set: state.Set}, What: circuit.Bench, Element: ea, A: ta, B: tb}
				return t, true
			}
			t.check.A, t.check.B = a, b
			// Nobody measures ohms with the supply on.
			t.check.Setup.ID, t.check.Setup.Set = "", w.unpowered(state.Set)
			return t, true
		}
		t.check.What, t.check.A, t.check.B = circuit.Volts, a, b
		if t.asks && !always.MatchString(p) {
			if x := w.meantBy(a, state); x != nil {
				t.check.Setup = *x
			}
		}
		return t, true
	}
	if t.asks && !did && len(places) == 0 && drawAsked.MatchString(p) && !strings.Contains(p, "parked") {
		el, _ := w.loadIn(p)
		if el == "" {
			el = w.mainLoad(state)
		}
		if el != "" {
			t.check.What, t.check.Element = circuit.Amps, el
			if x := w.watchedIn(el); x != nil && !said {
				t.check.Setup = *x
			}
			return t, true
		}
	}
	if t.asks && ohms && !did && len(places) == 0 {
		if el, _ := w.loadIn(p); el != "" {
			ends := circuit.Terminals(circuit.Kind(w.element(el).Type))
			t.check = circuit.Check{Setup: circuit.Setup{Set: w.unpowered(state.Set)}, What: circuit.Bench, Element: el, A: ends[0], B: ends[1]}
			return t, true
		}
	}
	if el := w.partAcross(p); ohms && has && !did && el != "" {
		ends := circuit.Terminals(circuit.Kind(w.element(el).Type))
		t.check = circuit.Check{Setup: circuit.Setup{Set: w.unpowered(state.Set)}, What: circuit.Bench, Element: el, A: ends[0], B: ends[1]}
		return t, true
	}
	if !did && !t.harm && !t.asks {
		// A relay that clicks is told of with nothing done, in a state that is
		// said.
		el := w.relayIn(p)
		if el == "" || !t.stateSaid || !clickWords.MatchString(p) || !strings.Contains(p, "relay") && !known {
			return t, false
		}
		e := circuit.Full
		if noClick.MatchString(p) {
			e = circuit.Nothing
		}
		t.check.What, t.check.Element, t.effect, t.value = circuit.Clicks, el, true, float64(e)
		return t, true
	}
	// Something was done, and perhaps it is said what came of it.
	el, e, ok := w.effectIn(p)
	if t.asks || t.harm {
		if el == "" {
			el = w.mainLoad(state)
		}
		t.check.Element = el
		t.check.What = w.watchOf(el)
		return t, el != "" && (did || t.asks && (t.stateSaid || ok))
	}
	if !ok {
		t.check.Element = ""
		return t, true // done, nothing said of it
	}
	if el == "" {
		el = w.mainLoad(state)
	}
	if el == "" {
		return t, false
	}
	t.check.What, t.check.Element, t.effect, t.value = w.watchOf(el), el, true, float64(e)
	return t, true
}

// voltsAsked asks for a reading, not for what a part does.
var voltsAsked = guard(`\b(?:volts?|voltage|read|reading|see|get|measure|power|live|juice)\b`)

// atPart stands before a part at which something is read.
var atPart = guard(`\b(?:at|on|to|reach(?:es|ing)?) (?:the |my |its )?$`)

// atLoad is the feed terminal of the load that stands after "at": volts at the
// horn are those of its terminal.
func (w *wiring) atLoad(p string) []string {
	el, at := w.loadIn(p)
	if el == "" || !atPart.MatchString(p[:at]) || partNoun.MatchString(strings.TrimLeft(p[at:], "abcdefghijklmnopqrstuvwxyz")) {
		return nil
	}
	return []string{w.pointOf(el + "." + circuit.Terminals(circuit.Kind(w.element(el).Type))[0])}
}

// placeAsked is what stands after "at", up to what is said of the state.
var placeAsked = guard(`\b(?:at|on|in|of|to) (?:the |my |its )?(.+?)(?:\s(?:with|when|while|if|once|having)\b|[,?]|$)`)

// placeLike is the point whose name is most like what stands after "at", in a
// question, where a wrong guess is seen in the answer.
func (w *wiring) placeLike(p string) []string {
	for from := 0; from < len(p); {
		m := placeAsked.FindStringSubmatchIndex(p[from:])
		if m == nil {
			return nil
		}
		best, most := "", 0.3
		for i := range w.article.Points {
			x := &w.article.Points[i]
			for _, name := range append([]string{x.Title}, x.Said...) {
				if n := likeness(name, p[from+m[2]:from+m[3]], pointNoise); n > most {
					best, most = x.Node, n
				}
			}
		}
		if best != "" {
			return []string{best}
		}
		from += m[2]
	}
	return nil
}

// placeMeant is the only point whose name has all the words that stand after
// "at": the fuse, where one point is at a fuse.
func (w *wiring) placeMeant(p string) []string {
	for i := range w.article.Controls {
		for _, all := range w.article.Controls[i].Said {
			for _, phrase := range all {
				if hasPhrase(p, phrase) {
					p = strings.Replace(p, phrase, " ", 1) // a state, no place
				}
			}
		}
	}
	for from := 0; from < len(p); {
		m := placeAsked.FindStringSubmatchIndex(p[from:])
		if m == nil {
			return nil
		}
		var found []string
		for i := range w.article.Points {
			x := &w.article.Points[i]
			if slices.ContainsFunc(append([]string{x.Title}, x.Said...), func(name string) bool { return hasAll(wordsOf(name), p[from+m[2]:from+m[3]]) }) {
				found = append(found, x.Node)
			}
		}
		if len(found) == 1 {
			return found
		}
		from += m[2]
	}
	return nil
}

// always asks about the state of rest.
var always = guard(`\b(?:always|all the time|permanent(?:ly)?|at rest|constant(?:ly)?|off)\b`)

// meantBy is the authored setup that whoever asks for a reading at a point has
// in mind: one in which it is read there, with all that was said set so and
// something more; nil if none.
func (w *wiring) meantBy(node string, said circuit.Setup) *circuit.Setup {
	if said.Acts() || len(said.Swapped) > 0 {
		return nil
	}
	node = w.pointOf(node)
	for i := range w.c.Setups {
		x := &w.c.Setups[i]
		if x.Acts() || len(x.Set) <= len(said.Set) || !slices.Contains(x.Volts, node) {
			continue
		}
		if fits(x.Set, said.Set) && (len(said.Set) == 0 || len(x.Set) > len(said.Set)) {
			if _, keyed := said.Set["key"]; !keyed {
				return x
			}
		}
	}
	return nil
}

// fits reports whether everything said is set so.
func fits(set, said map[string]string) bool {
	for k, v := range said {
		if set[k] != v {
			return false
		}
	}
	return true
}

// isLoad reports whether an element does what the circuit is for.
func isLoad(el *kb.CircuitElement) bool {
	return el.Type == "motor" || el.Type == "lamp" || el.Type == "heater"
}

// loadIn is the load that a piece names, the longest name first, and where.
func (w *wiring) loadIn(p string) (string, int) {
	best, where, most := "", -1, 0
	for i := range w.article.Elements {
		el := &w.article.Elements[i]
		if !isLoad(el) {
			continue
		}
		for _, name := range loadNames(el) {
			if at := indexWords(p, name); at >= 0 && len(name) > most {
				best, where, most = el.ID, at, len(name)
			}
		}
	}
	return best, where
}

// watchedIn is the first authored setup in which a part is watched with
// something switched on.
func (w *wiring) watchedIn(element string) *circuit.Setup {
	for i := range w.c.Setups {
		if x := &w.c.Setups[i]; slices.Contains(x.Watch, element) && !x.Acts() && len(x.Set) > 0 {
			return x
		}
	}
	return nil
}

// drawAsked asks for a current.
var drawAsked = guard(`\b(?:draw|draws|drawing|amps?|amperes?|milliamps?|current)\b`)

// setupWith is the authored setup in which the current through an element is
// read with the same things done.
func (w *wiring) setupWith(element string, s circuit.Setup) *circuit.Setup {
	for i := range w.c.Setups {
		x := &w.c.Setups[i]
		if slices.Contains(x.Amps, element) && slices.Equal(x.Pulled, s.Pulled) {
			return x
		}
	}
	return nil
}

// doneIn is the authored setup in which the same things are done.
func (w *wiring) doneIn(s circuit.Setup) *circuit.Setup {
	bare := s
	bare.Set = nil
	for i := range w.c.Setups {
		x := w.c.Setups[i]
		x.Set = nil
		if w.rawState(x) == w.rawState(bare) {
			return &w.c.Setups[i]
		}
	}
	return nil
}

var effectAskedRe = guard(`\b(?:should|does|will|would) (?:the |it |that )`)

func effectAsked(p string) bool {
	return effectAskedRe.MatchString(p) && !strings.Contains(p, "read") && !strings.Contains(p, "volt") && !strings.Contains(p, "between")
}

func (w *wiring) watchOf(el string) circuit.What {
	if x := w.element(el); x != nil && x.Type == "relay" {
		return circuit.Clicks
	}
	return circuit.Works
}

// unpowered leaves out what only a supply makes sense of.
func (w *wiring) unpowered(set map[string]string) map[string]string {
	out := map[string]string{}
	for _, k := range sortedKeys(set) {
		if k != "key" && k != "engine" {
			out[k] = set[k]
		}
	}
	return out
}

// stateSaid finds what the controls are said to be set to.
func (w *wiring) stateSaid(p string) (circuit.Setup, bool) {
	s := circuit.Setup{Set: map[string]string{}}
	said := false
	for i := range w.article.Controls {
		c := &w.article.Controls[i]
		best := 0
		for _, v := range sortedKeys(c.Said) {
			for _, phrase := range c.Said[v] {
				if len(phrase) > best && hasPhrase(p, phrase) {
					best = len(phrase)
					s.Set[c.ID] = v
					said = true
				}
			}
		}
	}
	return s, said
}

// hasPhrase reports whether words stand in the piece as words.
func hasPhrase(p, phrase string) bool {
	for from := 0; ; {
		i := strings.Index(p[from:], phrase)
		if i < 0 {
			return false
		}
		i += from
		end := i + len(phrase)
		if (i == 0 || !letter(p[i-1])) && (end == len(p) || !letter(p[end])) {
			return true
		}
		from = i + 1
	}
}

func letter(c byte) bool { return 'a' <= c && c <= 'z' || '0' <= c && c <= '9' }

// doings finds what was pulled, bridged, fed, earthed or swapped.
func (w *wiring) doings(p string, s *circuit.Setup) bool {
	did := false
	if m := pullWords.FindStringIndex(p); m != nil {
		if id := w.pullIn(partEnd.Split(p[m[1]:], 2)[0]); id != "" {
			s.Pulled, did = append(s.Pulled, id), true
		}
	}
	if m := pulledAfter.FindStringIndex(p); m != nil && !did {
		before := partEnd.Split(p[:m[0]], -1)
		if id := w.pullIn(before[len(before)-1]); id != "" {
			s.Pulled, did = append(s.Pulled, id), true
		}
	}
	if m := batteryFed.FindStringSubmatchIndex(p); m != nil {
		if w.fedPart(p[m[2]:m[3]], s) {
			return true
		}
	}
	if m := bridgeWords.FindStringIndex(p); m != nil {
		places := w.placesIn(p[m[1]:], -1)
		switch {
		case len(places) >= 2 && places[1] == w.article.Ground:
			s.Earthed, did = append(s.Earthed, places[0]), true
		case len(places) >= 2 && !strings.Contains(p[:m[0]], "are ") && !strings.Contains(p, "at rest"):
			s.Bridged, did = append(s.Bridged, [2]string{places[0], places[1]}), true
			w.relayOut(places, s)
		case len(places) == 0:
			if id := w.switchIn(partEnd.Split(p[m[1]:], 2)[0]); id != "" {
				s.Bridged, did = append(s.Bridged, [2]string{id + ".a", id + ".b"}), true
			} else if r := w.relayNamed(partEnd.Split(p[m[1]:], 2)[0]); r != "" {
				// Whoever bridges a relay joins its contacts, with the relay out.
				s.Bridged, did = append(s.Bridged, [2]string{r + ".30", r + ".87"}), true
				w.relayOut([]string{r + ".30", r + ".87"}, s)
			} else if r := w.pulledRelay(s); r != "" && someSlots.MatchString(p[m[1]:]) {
				// Whoever pulls a relay and joins two of its slots joins the contacts.
				s.Bridged, did = append(s.Bridged, [2]string{r + ".30", r + ".87"}), true
			} else if did {
				*s = circuit.Setup{Set: s.Set} // what was joined is not known: nothing follows
				return false
			}
		}
	}
	if m := feedWords.FindStringIndex(p); m != nil && !did {
		places := w.placesIn(p[m[1]:], -1)
		if w.loadFed(p[m[1]:], s) {
			did = true
		} else if len(places) > 0 && places[0] != w.article.Ground {
			s.Fed, did = append(s.Fed, places[0]), true
		} else {
			did = w.fedPart(p[m[1]:], s)
		}
	}
	if m := earthWords.FindStringIndex(p); m != nil && !did {
		places := w.placesIn(p[m[1]:], -1)
		if len(places) == 0 {
			places = w.placeLike("at " + strings.TrimLeft(p[m[1]:], " "))
		}
		if len(places) > 0 && places[0] != w.article.Ground {
			s.Earthed, did = append(s.Earthed, places[0]), true
		}
	}
	if m := swapWords.FindStringIndex(p); m != nil && !did {
		for i := range w.article.Elements {
			el := &w.article.Elements[i]
			if strings.HasPrefix(p[m[1]:], el.Title) || el.Type == "relay" && strings.HasPrefix(p[m[1]:], "relay") {
				s.Swapped, did = append(s.Swapped, el.ID), true
				break
			}
		}
	}
	return did
}

var acrossPart = guard(`\b(?:across|through|ohms? (?:of|on)|resistance of) (?:the |my |its )?`)

// partAcross is the part over which ohms were read.
func (w *wiring) partAcross(p string) string {
	m := acrossPart.FindStringIndex(p)
	if m == nil {
		return ""
	}
	best, most := "", 0.0
	for i := range w.article.Elements {
		el := &w.article.Elements[i]
		switch el.Type {
		case "resistor", "heater", "fuse", "motor", "sender", "lamp":
		default:
			continue
		}
		if n := likeness(el.Title, partEnd.Split(p[m[1]:], 2)[0], wordSet("the of a motor fuse reads")); n > most {
			best, most = el.ID, n
		}
	}
	return best
}

var someSlots = guard(`\b(?:slots?|pins?|terminals?|holes?|contacts?|sockets?|it out)\b`)

// pulledRelay is the relay that is pulled in a setup, or "".
func (w *wiring) pulledRelay(s *circuit.Setup) string {
	for _, id := range s.Pulled {
		if p := w.pull(id); p != nil {
			for _, el := range p.Elements {
				if x := w.element(el); x != nil && x.Type == "relay" {
					return el
				}
			}
		}
	}
	return ""
}

// switchIn is the switch or fuse that a piece names: what is bridged by name is
// bridged from its one terminal to the other.
func (w *wiring) switchIn(p string) string {
	best, most := "", 0.0
	for i := range w.article.Elements {
		el := &w.article.Elements[i]
		if el.Type != "switch" && el.Type != "fuse" || !hasPhrase(p, el.Type) {
			continue // the fan is not its fuse
		}
		if n := likeness(el.Title, p, wordSet("switch fuse the of a pedal safety")); n > most {
			best, most = el.ID, n
		}
	}
	return best
}

// feeding is the setup that feeds the part named: where its leads go.
func (w *wiring) feeding(p string) *kb.CircuitSetup {
	for i := range w.article.Setups {
		x := &w.article.Setups[i]
		if len(x.Fed) == 0 {
			continue
		}
		for _, id := range x.Watch {
			if el := w.element(id); el != nil && hasPhrase(p, loadNames(el)[1]) {
				return x
			}
		}
	}
	return nil
}

// loadFed feeds the part that is named itself, not its plug or one of its
// terminals; false if none is.
func (w *wiring) loadFed(p string, s *circuit.Setup) bool {
	el, at := w.loadIn(partEnd.Split(p, 2)[0])
	if el == "" || terminalRe.MatchString(p) {
		return false
	}
	name := asciiLower(w.elementTitle(el))
	return hasPhrase(p, name) && !partNoun.MatchString(p[at+min(len(name), len(p)-at):]) && w.fedPart(name, s)
}

// fedPart lays the leads by which the part named is fed from the battery, as an
// article does it or else at both its ends; false if no part is named.
func (w *wiring) fedPart(p string, s *circuit.Setup) bool {
	if x := w.feeding(p); x != nil {
		s.Pulled, s.Fed, s.Earthed = append(s.Pulled, x.Pulled...), append(s.Fed, x.Fed...), append(s.Earthed, x.Earthed...)
		return true
	}
	plus, minus := w.loadEnds(p)
	if plus != "" {
		s.Fed, s.Earthed = append(s.Fed, plus), append(s.Earthed, minus)
	}
	return plus != ""
}

// relayNamed is the relay that a piece names as one, or "".
func (w *wiring) relayNamed(p string) string {
	if !hasPhrase(p, "relay") {
		return ""
	}
	return w.relayIn(p)
}

// loadEnds are the terminals of the load that a piece names: whoever feeds a
// part from the battery joins both its leads.
func (w *wiring) loadEnds(p string) (plus, minus string) {
	for i := range w.article.Elements {
		el := &w.article.Elements[i]
		ends := circuit.Terminals(circuit.Kind(el.Type))
		if !isLoad(el) {
			continue
		}
		for _, name := range loadNames(el) {
			if hasPhrase(partEnd.Split(p, 2)[0], name) {
				return el.ID + "." + ends[0], el.ID + "." + ends[1]
			}
		}
	}
	return "", ""
}

// relayOut: whoever joins two contacts of a relay's socket has the relay out.
func (w *wiring) relayOut(places []string, s *circuit.Setup) {
	ea, _, okA := strings.Cut(places[0], ".")
	eb, _, okB := strings.Cut(places[1], ".")
	if !okA || !okB || ea != eb {
		return
	}
	for _, p := range w.article.Pulls {
		if contains(p.Elements, ea) && !contains(s.Pulled, p.ID) {
			s.Pulled = append(s.Pulled, p.ID)
		}
	}
}

// pullIn finds the pull whose name has most words in common with what stands
// there; at least one that names it.
func (w *wiring) pullIn(p string) string {
	best, most := "", 0.0
	have := wordsOf(p)
	for _, x := range w.article.Pulls {
		// What the circuit is of names none of its plugs where they have a name
		// of their own: who pulls a trailer pulls no fuse of its.
		own, named := false, false
		for word := range wordsOf(x.Title) {
			if !pullNoise[word] && !w.words[word] {
				own, named = true, named || have[word]
			}
		}
		if n := likeness(x.Title, p, pullNoise); n > most && (named || !own) {
			best, most = x.ID, n
		}
	}
	return best
}

var pullNoise = wordSet("unplug pull take the off out of own s fan fuel horn low left start")

// likeness is the share of a title's words found among the words of a piece;
// words of the noise count little. It is 0 where only noise was found.
func likeness(title, p string, noise map[string]bool) float64 {
	have := wordsOf(p)
	n, all, solid := 0.0, 0.0, false
	for word := range wordsOf(title) {
		weight := 1.0
		if noise[word] {
			weight = 0.2
		}
		all += weight
		if have[word] {
			n += weight
			solid = solid || weight == 1
		}
	}
	if !solid || all == 0 {
		return 0
	}
	return math.Round(n*n/all*1e6) / 1e6
}

func wordsOf(s string) map[string]bool {
	out := map[string]bool{}
	for _, f := range strings.FieldsFunc(asciiLower(s), func(r rune) bool { return !(r >= 'a' && r <= 'z' || r >= '0' && r <= '9') }) {
		out[f] = true
		if len(f) > 3 {
			out[strings.TrimSuffix(f, "s")] = true
		}
		if f == "sender" {
			out["sensor"] = true
		}
		if f == "sensor" {
			out["sender"] = true
		}
	}
	return out
}

// numberIn finds the number that was read, with its unit: V, A, ohm or none.
func (w *wiring) numberIn(p string) (value float64, unit string, at int, ok bool) {
	for from := 0; from < len(p); {
		m := numberWord.FindStringSubmatchIndex(p[from:])
		if m == nil {
			return 0, "", -1, false
		}
		digits := p[from+m[2] : from+m[3]]
		u := ""
		if m[4] >= 0 {
			u = p[from+m[4] : from+m[5]]
		}
		start := from + m[2]
		from += m[3]
		if u == "" && w.isTerminal(p, start, digits) || u == "a" && digits == "87" {
			continue
		}
		v, err := strconv.ParseFloat(strings.ReplaceAll(digits, ",", "."), 64)
		if err != nil {
			continue
		}
		switch {
		case strings.HasPrefix(u, "mv"), strings.HasPrefix(u, "millivolt"):
			v, unit = v/1000, "V"
		case strings.HasPrefix(u, "v"):
			unit = "V"
		case strings.HasPrefix(u, "ma"), strings.HasPrefix(u, "milliamp"):
			v, unit = v/1000, "A"
		case strings.HasPrefix(u, "a"):
			unit = "A"
		case u == "k", strings.HasPrefix(u, "ko"), u == "kω":
			v, unit = v*1000, "ohm"
		case strings.HasPrefix(u, "meg"):
			v, unit = v*1e6, "ohm"
		case u != "":
			unit = "ohm"
		}
		if unit == "" && !placeNear(p, start, digits) {
			continue
		}
		return v, unit, start, true
	}
	return 0, "", -1, false
}

var atPlace = guard(`^\s*(?:at|on|across|between|from)\b`)
var reads = guard(`\b(?:reads?|reading|shows?|showing|has|had|got|get|getting|is|measures?|measured|gives?|still|stays|stayed|(?:dropped|drops|fell|falls|goes|went|down|came|comes)(?: down)? to|down to)\s*$`)

// placeNear reports whether a bare number is said as a reading: "11.8 at 87",
// "87 reads 11.8".
func placeNear(p string, start int, digits string) bool {
	return atPlace.MatchString(p[start+len(digits):]) || reads.MatchString(strings.TrimRight(p[:start], " ")+" ") || reads.MatchString(p[:start])
}

// isTerminal reports whether a bare number names a terminal of this circuit:
// it stands after "at", "between", "pin" and the like, or before "and".
func (w *wiring) isTerminal(p string, at int, digits string) bool {
	if strings.ContainsAny(digits, ".,-") || !terminalRe.MatchString(" "+digits+" ") {
		return false
	}
	before := strings.TrimRight(p[:at], " ")
	for _, word := range []string{"at", "on", "between", "across", "and", "to", "pin", "pins", "terminal", "terminals", "from", "bridged", "bridge", "joined", "jumped", "linked", "the", "with", "fed", "earthed", "grounded"} {
		if strings.HasSuffix(" "+before, " "+word) {
			return true
		}
	}
	return strings.HasPrefix(strings.TrimLeft(p[at+len(digits):], " "), "and ") || strings.HasPrefix(strings.TrimLeft(p[at+len(digits):], " "), "reads") || strings.HasPrefix(strings.TrimLeft(p[at+len(digits):], " "), "has") || strings.HasPrefix(strings.TrimLeft(p[at+len(digits):], " "), "shows")
}

// placesIn finds the places named in a piece, in order, at most two; the
// number read stands at skip.
func (w *wiring) placesIn(p string, skip int) []string {
	type hit struct {
		at   int
		node string
	}
	var hits []hit
	for from := 0; from < len(p); {
		m := terminalRe.FindStringSubmatchIndex(p[from:])
		if m == nil {
			break
		}
		at, term := from+m[2], p[from+m[2]:from+m[3]]
		from += m[3]
		if at == skip {
			continue
		}
		if n := w.terminalNode(p, term); n != "" {
			hits = append(hits, hit{at, n})
		}
	}
	if m := fuseSides.FindStringSubmatchIndex(p); m != nil {
		if f := w.fuseIn(p[m[2]:m[3]]); f != "" {
			hits = append(hits, hit{m[0], w.pointOf(f + ".b")})
		}
	}
	// Names of points, and earth.
	for i := range w.article.Points {
		x := &w.article.Points[i]
		for _, name := range append([]string{pointName(x.Title)}, x.Said...) {
			if at := indexWords(p, name); at >= 0 && !slices.ContainsFunc(hits, func(h hit) bool { return h.node == x.Node }) {
				hits = append(hits, hit{at, x.Node})
				break
			}
		}
	}
	slices.SortStableFunc(hits, func(a, b hit) int { return a.at - b.at })
	// Earth, where it stands as the other end.
	for _, lead := range []string{" and ", " to ", " with "} {
		for from := 0; ; {
			i := strings.Index(p[from:], lead)
			if i < 0 {
				break
			}
			from += i + len(lead)
			if groundWord.MatchString(p[from:]) && !w.pointAt(p[from:]) {
				hits = append(hits, hit{from, w.article.Ground})
				break
			}
		}
	}
	slices.SortStableFunc(hits, func(a, b hit) int { return a.at - b.at })
	var out []string
	at := -1 // two points of one name: the first is meant
	for _, h := range hits {
		twin := h.at == at && acrossWords.MatchString(p[:h.at]) // both leads of one plug
		if len(out) == 0 || out[len(out)-1] != h.node && (h.at != at || twin) {
			out = append(out, h.node)
			at = h.at
		}
	}
	return out[:min(len(out), 2)]
}

// fuseSides names the side of a fuse that its part is on: what stands at both,
// or at the other.
var fuseSides = guard(`\b(?:both|each|either|the other|other|the far|far|the load) (?:sides?|ends?|legs?) of (?:the |its |my |that )?((?:[a-z]+ ){0,3})fuse\b`)

// pointOf is the point at which a part's terminal ends, or the terminal where
// none can be reached or it differs between arrangements.
func (w *wiring) pointOf(place string) string {
	out := ""
	for a := range w.article.Arrangements {
		n, ok := w.nodeIn(a, place)
		if ok && w.point(n) == nil || ok && out != "" && n != out {
			return place
		}
		if ok {
			out = n
		}
	}
	if out == "" {
		return place
	}
	return out
}

// fuseIn is the fuse that words name, or the only one.
func (w *wiring) fuseIn(words string) string {
	best, most, fuses := "", 0.0, 0
	for i := range w.article.Elements {
		el := &w.article.Elements[i]
		if el.Type != "fuse" {
			continue
		}
		fuses++
		if n := likeness(el.Title, words, wordSet("fuse the of")); n > most || best == "" && words == "" {
			best, most = el.ID, n
		}
	}
	if words == "" && fuses > 1 {
		return ""
	}
	return best
}

var acrossWords = guard(`\b(?:across|between)(?: (?:the|its|both|two|pins|leads|of))* $`)

// pointAt reports whether a point's own name begins there, which has the word
// earth in it perhaps.
func (w *wiring) pointAt(p string) bool {
	for i := range w.article.Points {
		if strings.HasPrefix(p, pointName(w.article.Points[i].Title)) {
			return true
		}
	}
	return false
}

// pointName is a point's title up to the first comma, as people would say it.
func pointName(title string) string {
	name, _, _ := strings.Cut(asciiLower(title), ",")
	return strings.TrimSpace(name)
}

func indexWords(p, name string) int {
	if name == "" || !hasPhrase(p, name) {
		return -1
	}
	return strings.Index(p, name)
}

// terminalNode is the node of a terminal number: of the relay that is named or
// the circuit's first, else of the point that carries it. A relay's terminal
// is named by the relay, since its node differs between arrangements.
func (w *wiring) terminalNode(p, term string) string {
	up := strings.ToUpper(term)
	if strings.HasSuffix(term, "a") || strings.HasSuffix(term, "b") {
		up = term
	}
	for i := range w.article.Points {
		x := &w.article.Points[i]
		if x.Terminal == up && x.Node != w.article.Supply && (up == "50" || up == "15" || len(up) == 2 && up[0] == '5' || strings.HasSuffix(up, "+")) {
			return x.Node
		}
	}
	switch up {
	case "30", "85", "86", "87", "87a":
	default:
		for i := range w.article.Points {
			if x := &w.article.Points[i]; x.Terminal == up {
				return x.Node
			}
		}
		return ""
	}
	if up == "30" && strings.Contains(p, "battery") {
		return w.article.Supply
	}
	if r := w.relayIn(p); r != "" {
		return r + "." + up
	}
	for i := range w.article.Points {
		if x := &w.article.Points[i]; x.Terminal == up {
			return x.Node
		}
	}
	return ""
}

// relayIn is the relay that a piece names, or the first of the circuit.
func (w *wiring) relayIn(p string) string {
	first, best, most := "", "", 0.0
	for i := range w.article.Elements {
		el := &w.article.Elements[i]
		if el.Type != "relay" {
			continue
		}
		if first == "" {
			first = el.ID
		}
		if n := likeness(el.Title, p, wordSet("relay the of for that fan fans pump puts put side by is a")); n > most {
			best, most = el.ID, n
		}
	}
	if best != "" {
		return best
	}
	return first
}

// ammeter is the element whose current the article measures.
func (w *wiring) ammeter() string {
	for _, s := range w.article.Setups {
		if len(s.Amps) > 0 {
			return s.Amps[0]
		}
	}
	return ""
}

// effectIn finds what is said to have come of it, and of which part.
func (w *wiring) effectIn(p string) (element string, e circuit.Effect, ok bool) {
	at := -1
	p = keyTurned.ReplaceAllStringFunc(p, func(m string) string { return strings.Repeat(" ", len(m)) })
	for _, x := range effectWords {
		// The words of doing something are no effect: the last hit counts.
		for _, m := range x.re.FindAllStringIndex(p, -1) {
			if m[0] > at && !oughtTo.MatchString(p[:m[0]]) && !partNoun.MatchString(p[m[1]:]) {
				at, e, ok = m[0], x.e, true
			}
		}
	}
	if !ok {
		return "", 0, false
	}
	// Negation and stopping win over the verb they stand with.
	for _, m := range effectWords[0].re.FindAllStringIndex(p, -1) {
		if m[0] <= at && m[1] > at {
			e = circuit.Nothing
		}
	}
	if clickWords.MatchString(p[max(0, at-12):]) {
		if r := w.relayIn(p); r != "" {
			return r, e, true
		}
	}
	// The part named nearest before the effect, if it is one that does
	// something.
	best, where, most := "", -1, 0
	for i := range w.article.Elements {
		el := &w.article.Elements[i]
		if !isLoad(el) {
			continue
		}
		for _, name := range loadNames(el) {
			// Of names that end at one place the longest is meant.
			if k := strings.LastIndex(p[:at], name) + len(name); k >= len(name) && (k > where || k == where && len(name) > most) && hasPhrase(p[:at], name) {
				best, where, most = el.ID, k, len(name)
			}
		}
	}
	return best, e, true
}

// keyTurned is no part that turns.
var keyTurned = guard(`\bturn(?:s|ed|ing)? (?:the |my )?(?:key|ignition|switch)\b|\bturn(?:s|ed|ing)? it (?:on|off)\b`)

func loadNames(el *kb.CircuitElement) []string {
	names := []string{asciiLower(el.Title)}
	f := strings.Fields(names[0])
	names = append(names, f[len(f)-1])
	if len(f) > 1 {
		names = append(names, f[len(f)-2])
	}
	return names
}

// mainLoad is the part that the circuit is there for: the first that a setup
// watches and that does something.
func (w *wiring) mainLoad(circuit.Setup) string {
	for _, s := range w.article.Setups {
		for _, id := range s.Watch {
			if el := w.element(id); el != nil && el.Type != "relay" {
				return id
			}
		}
	}
	return ""
}

// quantity is what was read, as the reader of plain words writes it.
func (t *statement) quantity() *plainwords.Quantity {
	unit := unitOf(t.check.What)
	if unit == "" || t.effect {
		return nil
	}
	q := quantityOf(t.value, unit)
	if t.high > t.low {
		q.Value = max(t.low, 0)
		if t.low > 1 {
			q.Value = (t.low + t.high) / 2
		}
		q.Low, q.High = t.low, t.high
	}
	if unit == "ohm" && t.value >= circuit.OpenOhms {
		q.Infinite = true
	}
	return q
}

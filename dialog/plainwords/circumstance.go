package plainwords

import (
	"sort"
	"strings"

	"ruleout/kb"
)

// A condition is read only where it is said of the trouble: "gets hot in
// traffic", "only when braking", "fine when cold". A bare mention tells what
// was done, not when it fails: "had to switch the ignition on to kill it",
// "left it on the charger overnight".

// acting are the words before which a verb of the hand is somebody's deed.
var acting = set(`i we you he she they ive weve id to lad mate wife husband dad garage then and just by`)

// handled reports whether the condition's words belong to something that a
// person did.
func (t *turn) handled(m *match) bool {
	first, last := t.us[m.first].first, t.us[m.last].last
	v := &t.voices[t.us[m.first].clause]
	switch t.toks[first].norm {
	case "cleaned", "tightened":
		return true // mended, not looked at: "cleaned the clamps"
	}
	// "pulling the wire off", "turning it by hand": a verb with its object
	if w := t.toks[first].norm; t.lx.handVerbs[w] && m.first == m.last && last+1 <= v.last {
		switch t.toks[last+1].norm {
		case "the", "a", "an", "my", "it", "that", "this", "them", "one", "each", "all", "both":
			return true
		}
	}
	if w := t.toks[first].norm; t.lx.handVerbs[w] && m.first < m.last && first > v.first && (t.toks[first-1].norm == "i" || t.toks[first-1].norm == "ive" || t.toks[first-1].norm == "we") && !t.isMovement(first) && !t.opened(t.us[m.first].clause, first) {
		return true // "i left it running"
	}
	if k := first - 1; k > v.first && t.toks[k].norm == "to" && (t.toks[k-1].norm == "had" || t.toks[k-1].norm == "managed") {
		return true // "had to brake hard"
	}
	for k := max(v.first, first-6); k < first; k++ {
		if !t.lx.handVerbs[t.toks[k].norm] || k == first-1 && t.isMovement(k) {
			continue
		}
		if k == v.first || acting[t.toks[k-1].norm] || k >= v.first+1 && t.toks[k-1].class == classStop && t.toks[k-1].norm == "to" {
			// "when i turn left" is driving, "i turned the lights on" is not
			if t.isMovement(k) {
				continue
			}
			return true
		}
	}
	return false
}

// isMovement reports whether a verb of the hand says here how the car is
// driven: "turn left", "pull away", "take off", "push on", "left lock".
func (t *turn) isMovement(k int) bool {
	if k+1 >= len(t.toks) {
		return false
	}
	w, next := t.toks[k].norm, t.toks[k+1].norm
	switch w {
	case "turn", "turned", "left":
		return next == "left" || next == "right" || next == "in" || next == "into" || next == "lock" || next == "hand" || next == "turn" || next == "turns" || next == "bend" || next == "bends" || next == "corners" || next == "overnight" || next == "standing" || next == "over" || next == "for"
	case "pull", "pulls", "pulling", "pulled":
		return next == "away" || next == "out" || next == "off" || next == "up"
	case "lift", "lifting", "lifted":
		return next == "off"
	case "parked", "park", "parking":
		return true
	case "hit", "press", "push":
		return next == "the" && k+2 < len(t.toks) && (t.toks[k+2].norm == "brakes" || t.toks[k+2].norm == "brake" || t.toks[k+2].norm == "clutch" || t.toks[k+2].norm == "gas" || t.toks[k+2].norm == "accelerator" || t.toks[k+2].norm == "throttle")
	}
	return false
}

// stands reports whether a condition is said of the trouble.
func (t *turn) stands(m *match, strong bool) bool {
	c := t.us[m.first].clause
	v := &t.voices[c]
	if t.measuredHere(c, t.us[m.first].first) {
		return false // "12.1 after sitting all night" tells the state of the reading
	}
	if strong || t.asked != nil {
		return true
	}
	if t.alone(m) || t.whenever(m) {
		return true
	}
	for k := v.first; k <= v.last; k++ {
		if t.lx.effects[t.toks[k].norm] {
			return true
		}
	}
	return t.tellsIn(v.sent, c)
}

// whenever reports whether a condition is said in a clause of "when" after words
// that say what happens then: "coughs on roundabouts when the needle's low".
func (t *turn) whenever(m *match) bool {
	first := t.us[m.first].first
	for k := first - 1; k >= 0 && k >= first-4 && t.toks[k].clause == t.toks[first].clause; k-- {
		switch t.toks[k].norm {
		case "when", "whenever":
			return k > 0 && t.toks[k-1].sent == t.toks[k].sent && (t.toks[k-1].kind == tokenWord || k > 1) && !t.reported(k)
		}
		if t.toks[k].class == classContent {
			return false
		}
	}
	return false
}

// tellsIn reports whether a symptom or an outcome was told in the clause or a
// neighbour of it within the sentence.
func (t *turn) tellsIn(sent, clause int32) bool {
	for c := max(0, clause-2); c <= min(int32(len(t.voices))-1, clause+2); c++ {
		if t.voices[c].sent == sent && t.toldAt[c] {
			return true
		}
	}
	return false
}

// alone reports whether the sentence holds hardly anything but the condition,
// as an answer or an afterthought does: "uphill", "mostly on hills in third".
func (t *turn) alone(m *match) bool {
	for k := t.us[m.first].first; k <= t.us[m.last].last; k++ {
		switch t.toks[k].norm {
		case "was", "were", "had":
			return false // "the radio was on" tells a state
		}
	}
	sent := t.voices[t.us[m.first].clause].sent
	other := 0
	look := func(u int) bool {
		if t.us[u].first < 0 || t.toks[t.us[u].first].sent != sent {
			return false
		}
		if (u < m.first || u > m.last) && t.us[u].class == classContent && !t.onAxis[u] && !t.isManner(t.us[u].first) {
			other++
		}
		return other < 2
	}
	for u := m.first; u >= 0 && u > m.first-12 && look(u); u-- {
	}
	for u := m.first + 1; u < len(t.us) && u < m.first+12 && look(u); u++ {
	}
	return other == 0
}

// inTime reports whether a condition that hangs on "after" or "before" has
// that word.
func (t *turn) inTime(m *match) bool {
	if m.phrase.after == "" {
		return true
	}
	v := &t.voices[t.us[m.first].clause]
	for k := max(v.first, t.us[m.first].first-4); k <= t.us[m.last].last; k++ {
		switch w := t.toks[k].norm; {
		case w == m.phrase.after, m.phrase.after == "until" && (w == "till" || w == "til"), m.phrase.after == "after" && (w == "since" || w == "following" || w == "if" || w == "when"):
			return true
		}
	}
	return false
}

// isEvent reports whether the condition's words tell rather what happened
// before the trouble: "since the frost", "the first hot day last week".
func (t *turn) isEvent(m *match) bool {
	if !t.onEvent[m.first] {
		return false
	}
	v := &t.voices[t.us[m.first].clause]
	for k := max(v.first, t.us[m.first].first-5); k <= min(v.last, t.us[m.last].last+4); k++ {
		switch t.toks[k].norm {
		case "since", "ago", "last", "yesterday", "recently", "began", "started", "ever", "first":
			return true
		}
	}
	return false
}

// partOfSymptom reports whether the words of a condition are themselves how
// the symptom was told ("clunks over bumps"): saying it twice would count it
// twice. "Only" adds something and stays, and so does what no wording of the
// symptom's own has, or a condition that few of them say anything of.
func (t *turn) partOfSymptom(m *match, axis string) bool {
	if v := &t.voices[t.us[m.first].clause]; v.only || v.fine {
		return false
	}
	news := true
	for _, u := range m.units {
		if t.us[u].class != classContent {
			continue
		}
		if !t.ofSymptom[u] {
			return false
		}
		news = news && t.news[u]
	}
	return !news && !(t.opensAt(m) && t.seldomSays(t.symptomFor(m.first), axis))
}

// saysHow reports whether the clause of a condition says in a word of its own
// that the trouble eases or goes then: "goes quiet if I dab the brake".
func (t *turn) saysHow(m *match, relation string) bool {
	if relation != "never" && relation != "better" {
		return false
	}
	v := &t.voices[t.us[m.first].clause]
	for _, w := range t.saidBetween("relation", max(v.first, t.us[m.first].first-longestCheck), min(v.last, t.us[m.last].last+longestCheck)) {
		if w.value == relation && !t.toks[w.first].under {
			return true
		}
	}
	return false
}

// saidBy reports whether the same words were already read as the outcome of
// a question.
func (t *turn) saidBy(m *match, axis string) bool {
	s, e := t.span(m)
	for i := max(0, len(t.acc.Observations)-keepBack); i < len(t.acc.Observations); i++ {
		o := &t.acc.Observations[i]
		if o.Start < e && s < o.End {
			if f := t.lx.findings[o.Finding]; f != nil && f.kind == kb.FindingQuestion && (f.axis == axis || o.Start <= s && e <= o.End) {
				return true
			}
		}
	}
	return false
}

// measuredHere reports whether the clause tells a reading and no trouble.
func (t *turn) measuredHere(c int32, k int) bool {
	if t.toldAt[c] {
		return false
	}
	v := &t.voices[c]
	lo, hi := max(v.first, k-25), min(v.last, k+25)
	at := sort.Search(len(t.numbers), func(i int) bool { return t.numbers[i].last >= lo })
	for ; at < len(t.numbers) && t.numbers[at].first <= hi; at++ {
		n := &t.numbers[at]
		if n.UnitGiven && t.lx.measured[n.dim] || !n.UnitGiven && n.dim == "" && strings.Contains(t.toks[n.first].norm, ".") {
			return true
		}
	}
	return false
}

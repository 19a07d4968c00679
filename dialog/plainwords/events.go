package plainwords

import "strings"

// eventCues say that something came just before the trouble.
var eventCues = set(`since after following ever began started just ago last recently before weeks months years winter summer yesterday week weekend month easter christmas previous`)

// findEvents reads what happened to the car before the trouble began.
func (t *turn) findEvents() {
	taken := map[int]bool{}
	for i := range t.matches {
		m := &t.matches[i]
		if m.phrase.target.kind != targetEvent || m.flipped && m.phrase.denies || m.last-m.first > len(m.units)+1 || len(m.units) < m.phrase.required {
			continue
		}
		used, own := 0, 0
		for _, u := range m.units {
			own++
			if taken[u] || t.usedUnit[u] {
				used++
			}
		}
		busy := used*2 > own || used == own
		c := t.us[m.first].clause
		if w := t.toks[t.voices[c].first].norm; handVerbs[w] && strings.HasSuffix(w, "ing") {
			continue // "taking the battery off cleared it" is a trial
		}
		v := &t.voices[c]
		if busy || v.question || t.wished[c] != "" || t.onPart(m.phrase.target.id) {
			continue
		}
		content := 0
		for _, w := range m.phrase.words {
			if w.class == classContent {
				content++
			}
		}
		cue := t.eventCue(m)
		if content < 2 && !cue && !v.past || t.future(t.us[m.first].first) {
			continue
		}
		o := Observation{Finding: "event:" + m.phrase.target.id, Outcome: "before"}
		o.Start, o.End = t.span(m)
		if m.flipped {
			o.Outcome = "no"
		} else if !cue && v.hedge == "plain" {
			o.Hedge = "think"
		}
		for _, u := range m.units {
			taken[u] = true
		}
		t.use(m)
		t.observe(o, c)
	}
}

func (t *turn) onPart(event string) bool {
	e := t.event[event]
	return e != nil && e.OnPart
}

func (t *turn) eventCue(m *match) bool {
	v := &t.voices[t.us[m.first].clause]
	for k := max(v.first, t.us[m.first].first-10); k <= min(v.last, t.us[m.last].last+8); k++ {
		if eventCues[t.toks[k].norm] {
			return true
		}
	}
	return false
}

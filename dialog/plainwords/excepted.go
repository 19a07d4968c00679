package plainwords

// "Everything works except the wipers", "just the one headlight, the rest are
// fine", "nothing wrong with the steering except the wheel's not straight": what is
// named as the exception does not work, though nothing says so of it.

// wholes are the words for all that works but one.
var wholes = set(`everything everythings all rest nothing every others other`)

// exceptions are the words that name what is left out of it.
var exceptions = set(`except bar but apart excepting besides`)

// addExceptions adds the matches of what does not work because it is named as the
// exception to what does.
func (t *turn) addExceptions(things []bool) {
	work := t.lx.concept(stem("work"))
	if work < 0 {
		return
	}
	for c := range t.voices {
		v := &t.voices[c]
		if v.first < 0 || v.question || v.supposed || !t.isException(int32(c)) {
			continue
		}
		var noun []unit
		for k := v.first; k <= v.last && len(noun) == 0; k++ {
			if !things[k] || t.unitAt[k] < 0 {
				continue
			}
			for u := t.unitAt[k]; u < len(t.us) && t.us[u].clause == int32(c) && things[t.us[u].first]; u++ {
				noun = append(noun, t.us[u])
			}
		}
		if len(noun) == 0 {
			continue
		}
		from := t.unitAt[noun[0].first]
		last := noun[len(noun)-1]
		dead := unit{id: work, head: -1, first: last.last, last: last.last, class: classLight, under: true, seg: last.seg, clause: last.clause}
		us := make([]unit, 0, len(noun)+1)
		for _, n := range noun {
			n.under = false
			us = append(us, n)
		}
		for _, m := range t.lx.matches(t.toks, append(us, dead)) {
			if m.phrase.target.kind != targetSymptom || m.flipped || m.last != len(noun) || len(m.units) < m.phrase.required {
				continue
			}
			units := m.units[:0:0]
			for _, u := range m.units {
				if u < len(noun) {
					units = append(units, u+from)
				}
			}
			if len(units) == 0 {
				continue
			}
			m.units, m.first, m.last = units, units[0], units[len(units)-1]
			m.carried = true
			t.matches = append(t.matches, m)
		}
	}
}

// isException reports whether a clause names what is left out of "everything works",
// before or after it.
func (t *turn) isException(c int32) bool {
	v := &t.voices[c]
	if v.last-v.first > 6 {
		return false
	}
	opens, wants := t.toks[v.first].norm, false
	switch {
	case exceptions[opens]:
		wants = true
	case opens == "just", opens == "only":
		// "just the one headlight, everything else is fine"
		return c+1 < int32(len(t.voices)) && t.voices[c+1].sent == v.sent && t.saysWholeWorks(c+1)
	}
	return wants && c > 0 && t.voices[c-1].first >= 0 && t.voices[c-1].sent == v.sent && t.saysWholeWorks(c-1)
}

// saysWholeWorks reports whether a clause says that all of it works.
func (t *turn) saysWholeWorks(c int32) bool {
	v := &t.voices[c]
	if v.first < 0 {
		return false // of particles alone
	}
	whole, works := false, v.fine
	for k := v.first; k <= v.last && k < v.first+12; k++ {
		w := t.toks[k].norm
		whole = whole || wholes[w]
		works = works || t.lx.functions[w] && w != "dead" || w == "bright"
	}
	return whole && works
}

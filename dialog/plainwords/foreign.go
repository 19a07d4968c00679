package plainwords

// A number belongs to what was measured. What is said beside it may name a
// thing that the test at hand does not measure: then it is no reading of it,
// however well the figure fits.

// heard is how many tokens from a number its measurand may be named.
const heard = 24

// foreign reports whether the words in a number's clause name a measurand or a
// part that the test knows nothing of.
func (t *turn) foreign(n *number, f *finding) bool {
	v := &t.voices[t.toks[n.first].clause]
	for k := max(t.heading(n), n.first-heard); k <= min(v.last, n.last+heard); k++ {
		if n.dim == dimTemperature && t.lx.items[t.toks[k].norm] != "" && len(f.place) > 0 && !t.inPlaceOf(f, k) {
			return true // "left rear 140c" is no coolant
		}
		if !t.lx.measurands[stem(t.toks[k].norm)] && !t.lx.measurands[t.toks[k].norm] {
			continue
		}
		if !t.inPlaceOf(f, k) {
			return !n.UnitGiven || n.dim == dimPressure || n.dim == dimTemperature
		}
	}
	p := t.partNear(n.first)
	if p == nil || p.clause != t.toks[n.first].clause || p.part == f.part || t.us[p.first].first >= n.first && t.us[p.last].last <= n.last {
		return false // "twelve point four" names no points
	}
	for u := p.first; u <= p.last; u++ {
		if t.us[u].id >= 0 && f.place[t.us[u].id] > 0 {
			return false
		}
	}
	return true
}

// inPlaceOf reports whether a word says where the test is read.
func (t *turn) inPlaceOf(f *finding, k int) bool {
	u := t.unitAt[k]
	return u >= 0 && t.us[u].id >= 0 && (f.place[t.us[u].id] > 0 || f.place[t.us[u].head] > 0)
}

// heading is the first token that speaks of what a number measures: of its
// clause, or of the one that names the gauge for all that follows, "vacuum
// gauge: 18 at idle, 17 at 2500".
func (t *turn) heading(n *number) int {
	first := t.voices[t.toks[n.first].clause].first
	for k := first - 1; k >= 0 && t.toks[k].sent == t.toks[n.first].sent && k > first-heard; k-- {
		switch t.toks[k].norm {
		case "gauge", "tester", "meter", "reading", "readings":
			return t.voices[t.toks[k].clause].first
		}
	}
	return first
}

package plainwords

import "ruleout/kb"

// attachNumbers gives every number to the finding it is a reading of: the one
// asked about if the dimension fits, else the test whose place or thing is
// named in the sentence. The others stand in Account.Numbers.
func (t *turn) attachNumbers() {
	for i := range t.numbers {
		n := &t.numbers[i]
		if n.taken {
			continue
		}
		if n.UnitGiven && n.Unit == "" || !n.UnitGiven && t.asked == nil && t.onGauge(n) {
			t.guessDegrees(n)
			n.UnitGiven = true
		}
		f, others := t.testFor(n)
		if f == nil {
			if n.UnitGiven && n.dim != dimTime || n.Infinite { // a duration is no reading
				t.acc.Numbers = append(t.acc.Numbers, Number{n.Quantity, n.start, n.end})
			}
			continue
		}
		q := n.Quantity
		c := t.toks[n.first].clause
		o := Observation{Finding: f.emit, Reading: &q, Start: n.start, End: n.end, Source: "measured", Means: "measured", Answer: f == t.asked, Others: others}
		if v := &t.voices[c]; v.source == "shop" || v.source == "told" {
			o.Source = v.source
		}
		t.useTokens(n.first, n.last)
		n.taken = true
		t.usePlace(f, c, n)
		t.observe(o, c)
	}
}

// usePlace marks the words near a number that named the place of a reading.
func (t *turn) usePlace(f *finding, clause int32, n *number) {
	v := &t.voices[clause]
	lo, hi := max(v.first, n.first-16), min(v.last, n.last+12)
	for k := lo; k <= hi; k++ {
		if u := t.unitAt[k]; u >= 0 && t.us[u].id >= 0 && f.place[t.us[u].id] > 0 {
			t.useUnit(u)
		}
	}
	for k := lo; k <= hi; k++ {
		if readingVerbs[t.toks[k].norm] {
			t.useTokens(k, k)
		}
	}
}

var readingVerbs = set(`reads read reading shows showing showed measures measured measure got get says meter gives gave was is its it volts amps ohms climbs reached hit`)

// testFor finds the finding a number is a reading of.
func (t *turn) testFor(n *number) (*finding, []Meaning) {
	if f := t.asked; f != nil && f.reading != nil && t.fits(n, f) {
		return f, nil
	}
	if t.asked != nil && t.asked.reading != nil && n.UnitGiven && n.dim != dimTime && n.dim != dimDistance && n.dim != dimEconomy && len(t.placesNamed(n)) == 0 {
		// the wrong kind of unit: the dialogue will ask about it
		return t.asked, nil
	}
	named := t.placesNamed(n)
	if len(named) == 0 {
		return nil, nil
	}
	best := named[0]
	var others []Meaning
	for _, c := range named[1:] {
		if c.score >= closeBy*best.score {
			others = addMeaning(others, Meaning{Finding: c.f.emit, Score: c.score})
		}
	}
	if !n.UnitGiven && !t.adopt(n, best.f) {
		return nil, nil
	}
	return best.f, others
}

type place struct {
	f     *finding
	score float64
}

// placesNamed returns the tests of the number's dimension whose place is named
// in the sentence, best first.
func (t *turn) placesNamed(n *number) []place {
	var out []place
	if !n.UnitGiven && !n.Infinite && !t.readVerbNear(n) {
		return nil
	}
	sent := t.toks[n.first].sent
	lo, hi := n.first, n.last
	for lo > 0 && n.first-lo < 16 && t.toks[lo-1].sent == sent {
		lo--
	}
	for hi+1 < len(t.toks) && hi-n.last < 12 && t.toks[hi+1].sent == sent {
		hi++
	}
	around := plain(t.text[t.toks[lo].start:t.toks[hi].end])
	for _, f := range t.lx.tests {
		if n.dim != "" && dimensionOf(f.reading.Unit) != n.dim || n.dim == "" && !t.possible(n.Value, f.reading) && !(dimensionOf(f.reading.Unit) == dimTemperature && t.possible((n.Value-32)*celsiusStep, f.reading)) {
			continue
		}
		score, seen := 0.0, map[int32]bool{}
		for k := lo; k <= hi; k++ {
			u := t.unitAt[k]
			if u < 0 || k >= n.first && k <= n.last || t.us[u].id < 0 || seen[t.us[u].id] {
				continue
			}
			seen[t.us[u].id] = true
			if w := f.place[t.us[u].id]; w > 0 {
				d := w
				if t.toks[k].clause != t.toks[n.first].clause {
					d = 0.6 * w
				}
				score += d * t.lx.weights[t.us[u].id]
			}
		}
		if score < 0.2 || f.drop && f != t.asked && !containsWords(around, "drop") && n.Value > 2 {
			continue
		}
		for _, w := range f.when {
			if containsWords(around, w) {
				score += 0.4
				break
			}
		}
		if f.system == t.chiefSystem() {
			score *= 1.1
		}
		if score < 0.3 {
			continue
		}
		at := len(out)
		out = append(out, place{f, score})
		for at > 0 && out[at].score > out[at-1].score {
			out[at], out[at-1] = out[at-1], out[at]
			at--
		}
	}
	return out
}

func (t *turn) chiefSystem() string {
	if f := t.lx.findings[t.ctx.Chief]; f != nil {
		return f.system
	}
	return ""
}

func (t *turn) readVerbNear(n *number) bool {
	for k := n.first - 1; k >= 0 && k >= n.first-5 && t.toks[k].sent == t.toks[n.first].sent; k-- {
		switch t.toks[k].norm {
		case "reads", "read", "reading", "shows", "showing", "showed", "measured", "measures", "got", "says", "gives", "at", "was", "climbs", "reached", "hit", "is", "to":
			return true
		}
	}
	return false
}

// onGauge reports whether a bare number is read off the temperature gauge:
// "the needle was at like 230".
func (t *turn) onGauge(n *number) bool {
	if n.Value < 50 || n.Value > 300 {
		return false
	}
	for k := n.first - 1; k >= 0 && k >= n.first-8 && t.toks[k].sent == t.toks[n.first].sent; k-- {
		switch t.toks[k].norm {
		case "needle", "temp", "temperature", "gauge", "coolant":
			return true
		}
	}
	return false
}

func (t *turn) possible(v float64, r *kb.Reading) bool {
	return v >= r.Possible[0] && v <= r.Possible[1]
}

// fits reports whether a number can be the asked reading, and gives a bare one
// that reading's unit.
func (t *turn) fits(n *number, f *finding) bool {
	if n.Infinite {
		return dimensionOf(f.reading.Unit) == dimResistance
	}
	if n.UnitGiven && n.Unit != "" {
		return n.dim == dimensionOf(f.reading.Unit)
	}
	return t.adopt(n, f)
}

// adopt takes a bare number as a reading of the finding in the finding's unit,
// or in another usual one when only that is possible.
func (t *turn) adopt(n *number, f *finding) bool {
	if f.reading.Quantity == "temperature" || f.reading.Unit == "degC" {
		t.guessDegrees(n)
	}
	n.dim = dimensionOf(f.reading.Unit)
	n.Unit = f.reading.Unit
	return true
}

// boiling separates bare degrees: a car's gauge never shows this many degrees
// Celsius (basis: common practice).
const boiling = 135

func (t *turn) guessDegrees(n *number) {
	if n.Value > boiling {
		for _, p := range []*float64{&n.Value, &n.Low, &n.High} {
			*p = (*p - 32) * celsiusStep
		}
	}
	n.dim, n.Unit = dimTemperature, "degC"
}

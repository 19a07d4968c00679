package plainwords

import (
	"sort"
	"strings"

	"ruleout/kb"
)

// attachNumbers gives every number to the finding it is a reading of: the one
// asked about if the dimension fits, else the test whose place or thing is
// named in the sentence. The others stand in Account.Numbers.
func (t *turn) attachNumbers() {
	for i := range t.numbers {
		n := &t.numbers[i]
		if n.taken || n.expected && (t.asked == nil || len(t.numbers) > 1) {
			continue
		}
		switch t.wished[t.toks[n.first].clause] {
		case "no-tool", "cannot", "skip":
			continue // "no meter" is no reading
		}
		if i > 0 && n.first > 0 && t.toks[n.first-1].norm == "not" && t.numbers[i-1].last >= n.first-4 {
			n.taken = true // "it was 12.4 not 11.4"
			t.useTokens(n.first, n.last)
			continue
		}
		if n.UnitGiven && n.Unit == "" || !n.UnitGiven && t.asked == nil && t.onGauge(n) {
			t.guessDegrees(n)
			n.UnitGiven = true
		}
		f, others := t.testFor(n)
		if f == nil {
			if n.UnitGiven && t.lx.measured[n.dim] || n.Infinite { // a duration or a speed is no reading
				t.acc.Numbers = append(t.acc.Numbers, Number{n.Quantity, n.start, n.end})
			}
			continue
		}
		q := n.Quantity
		if t.lacking(n) {
			if !t.possible(0, f.reading) {
				continue
			}
			q = q.none()
		}
		c := t.toks[n.first].clause
		o := Observation{Finding: f.emit, Reading: &q, Start: n.start, End: n.end, Source: "measured", Means: "measured", Answer: f == t.asked, Others: others}
		if lo, hi := t.around(n); f.rests && t.stoodIn(lo, hi) {
			o.Ready = true
		}
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
		if t.lx.readingVerbs[t.toks[k].norm] {
			t.useTokens(k, k)
		}
	}
}

// testFor finds the finding a number is a reading of.
func (t *turn) testFor(n *number) (*finding, []Meaning) {
	if f := t.asked; f != nil && f.reading != nil && !(f.rests && t.whileCranking(n)) && t.fits(n, f) {
		return f, nil
	}
	if t.asked != nil && t.asked.reading != nil && n.UnitGiven && t.lx.measured[n.dim] && (t.answersAlone(n) || len(t.ctx.Earlier) == 0) && len(t.placesNamed(n)) == 0 {
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

// saysLost reports whether a voltage is told as lost between two points.
func (t *turn) saysLost(n *number) bool {
	for k := n.last + 1; k < len(t.toks) && k <= n.last+3 && t.toks[k].clause == t.toks[n.first].clause; k++ {
		switch t.toks[k].norm {
		case "lost", "dropped", "drop":
			for j := k + 1; j <= k+2 && j < len(t.toks); j++ {
				if w := t.toks[j].norm; w == "between" || w == "across" || w == "along" || w == "over" {
					return true
				}
			}
		}
	}
	return false
}

type place struct {
	f     *finding
	score float64
}

// placesNamed returns the tests of the number's dimension whose place is named
// near it, best first; failing that the tests that the complaint and the
// state of the car suggest.
func (t *turn) placesNamed(n *number) []place {
	if !n.UnitGiven && !n.Infinite && !t.readVerbNear(n) && !t.likeVolts(n) {
		return nil
	}
	lo, hi := t.around(n)
	around := plain(t.text[t.toks[lo].start:t.toks[hi].end])
	var out []place
	volts := t.likeVolts(n)
	for _, f := range t.lx.tests {
		if n.dim != "" && dimensionOf(f.reading.Unit) != n.dim || n.dim == "" && !t.possible(n.Value, f.reading) && !(dimensionOf(f.reading.Unit) == dimTemperature && t.possible((n.Value-32)*celsiusStep, f.reading)) {
			continue
		}
		if d := dimensionOf(f.reading.Unit); n.dim == "" && f != t.asked && (d == dimResistance || d == dimCurrent) {
			continue // "came on at 95" is no resistance
		}
		if n.dim == "" && volts && dimensionOf(f.reading.Unit) != dimVoltage {
			continue
		}
		if f.drop && f != t.asked && !containsWords(around, "drop") && !t.saysLost(n) && (n.Value > 2 || !n.UnitGiven && n.Written == "one") {
			continue
		}
		if !f.drop && f != t.asked && t.saysLost(n) {
			continue // "0.9 v lost between block and battery"
		}
		if n.dim != dimCurrent && f != t.asked && t.tooHighAtRest(n, f) {
			continue
		}
		if f != t.asked && t.foreign(n, f) {
			continue
		}
		score := t.placeScore(n, f, lo, hi)
		for _, w := range f.saidPlain {
			if containsWords(around, w) {
				score += 0.25
				break
			}
		}
		named := score >= 0.2
		for _, w := range f.when {
			if containsWords(around, w) {
				score += 0.4
				named = named || t.likely(f)
				break
			}
		}
		if f.rests && n.dim == dimVoltage && n.Value < restCeiling && t.stoodIn(lo, hi) {
			named, score = true, score+0.4
		}
		if !named && !t.hinted(n, f) {
			continue
		}
		switch {
		case t.likely(f) && named:
			score += 0.15
		case t.likely(f):
			score += 0.3 + 0.1*t.titleShare(f)
		}
		if score < 0.3 {
			continue
		}
		if f.rests || f.charges && f.place[t.lx.concept(t.lx.root("battery"))] > 0 {
			score += 0.01 // of equals the one that is read at the battery
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

// stoodIn reports whether the tokens say that the car had stood a while.
func (t *turn) stoodIn(lo, hi int) bool {
	for k := lo; k <= hi; k++ {
		if u := t.unitAt[k]; u >= 0 && t.stood[u] {
			return true
		}
	}
	return false
}

// around returns the tokens that can say where a number was read: its
// sentence, no further than the numbers beside it.
func (t *turn) around(n *number) (lo, hi int) {
	sent := t.toks[n.first].sent
	lo, hi = n.first, n.last
	stop := func(k int) bool { m := t.numberAt(k); return m != nil && m != n && m.dim == n.dim }
	for lo > 0 && n.first-lo < 16 && t.toks[lo-1].sent == sent && !stop(lo-1) {
		lo--
	}
	for hi+1 < len(t.toks) && hi-n.last < 12 && t.toks[hi+1].sent == sent && !stop(hi+1) {
		hi++
	}
	return lo, hi
}

// placeScore weighs the words around a number that say where f is read; those
// of another clause count less, those behind a word of contrast little.
func (t *turn) placeScore(n *number, f *finding, lo, hi int) float64 {
	score, seen := 0.0, map[int32]bool{}
	own := f == t.asked || t.likely(f)
	somewhere := own
	for k := lo; k <= hi; k++ {
		u := t.unitAt[k]
		if u < 0 || k >= n.first && k <= n.last || t.us[u].id < 0 || seen[t.us[u].id] {
			continue
		}
		w := f.place[t.us[u].id]
		if w == 0 {
			continue
		}
		seen[t.us[u].id] = true
		own = own || !t.nominal(u) || len(seen) > 1
		somewhere = somewhere || !placeless[t.toks[k].norm]
		switch {
		case t.toks[k].seg != t.toks[n.first].seg:
			w *= 0.3
		case t.toks[k].clause != t.toks[n.first].clause:
			w *= 0.6
		}
		score += w * t.lx.weights[t.us[u].id]
	}
	if !own || !somewhere {
		return 0 // "the connector" alone is that of any part
	}
	return score
}

// placeless are words that say how, with what or when something was read, and
// not where: by themselves they make a number no reading of a test of which
// there was no talk.
var placeless = set(`hot cold warm gauge meter tester stick needle reading readings reads idle running engine key on off`)

// likely reports whether the complaint makes the test a sensible one.
func (t *turn) likely(f *finding) bool {
	if f.system == t.chiefSystem() {
		return true
	}
	for i := range t.symptoms[:min(len(t.symptoms), keepBack)] {
		if s := t.lx.findings[t.symptoms[i].id]; s != nil && s.system == f.system {
			return true
		}
	}
	for _, e := range t.ctx.Earlier[:min(len(t.ctx.Earlier), 3)] {
		if e == f.id {
			return true
		}
	}
	return false
}

// hinted reports whether a number that names no place may be read by the
// complaint alone: its unit fits no other kind of test, or it is the volts of
// a battery.
func (t *turn) hinted(n *number, f *finding) bool {
	if !t.likely(f) || !t.possible(n.Value, f.reading) {
		return false
	}
	switch dimensionOf(f.reading.Unit) {
	case dimCurrent, dimPressure:
		return n.UnitGiven
	case dimVoltage:
		return (t.titleShare(f) > 0 || f.charges && n.Value > restCeiling) && (n.UnitGiven || t.likeVolts(n))
	}
	return false
}

// restCeiling is the most volts that a lead-acid battery shows at rest. Basis:
// common practice.
const restCeiling = 13.2

// tooHighAtRest reports volts that a battery at rest cannot have.
func (t *turn) tooHighAtRest(n *number, f *finding) bool {
	return n.Value > restCeiling && n.Value < 18 && f.rests && f.reading.Unit == "V"
}

// titleShare is the share of the chief complaint's words that name the place
// of a test: a flat battery and the volts of a battery.
func (t *turn) titleShare(f *finding) float64 {
	chief := t.ctx.Chief
	if chief == "" && len(t.symptoms) > 0 {
		chief = t.symptoms[0].id
	}
	c := t.lx.findings[chief]
	if c == nil {
		return 0
	}
	got, all := 0.0, 0.0
	for _, u := range t.lx.units(t.lx.parse(c.title), false) {
		if u.id >= 0 && u.class == classContent {
			all++
			got += f.place[u.id]
		}
	}
	if all == 0 {
		return 0
	}
	return got / all
}

// likeVolts reports a bare number with a decimal that can only be the volts of
// a twelve-volt system when the talk is of one: "12.5 friday night". Basis of
// the bounds: common practice.
func (t *turn) likeVolts(n *number) bool {
	return !n.UnitGiven && (n.Value >= 9 || n.Value >= 4 && t.cranking(n)) && n.Value < 16 && strings.ContainsAny(n.Written, ".,") && (n.last+1 >= len(t.toks) || !moneyWords[t.toks[n.last+1].norm])
}

// cranking reports whether a number was read while the starter turned.
func (t *turn) cranking(n *number) bool {
	for k := max(0, n.first-8); k < min(len(t.toks), n.last+9); k++ {
		if w := stem(t.toks[k].norm); w == "crank" && t.toks[k].sent == t.toks[n.first].sent && (k+1 >= len(t.toks) || stem(t.toks[k+1].norm) != "sensor") {
			return true
		}
	}
	return false
}

// whileCranking reports whether a number is the one nearest before words that say
// that the starter turned: "12.6, then 9.2 on the crank".
func (t *turn) whileCranking(n *number) bool {
	for k := n.last + 1; k < len(t.toks) && k <= n.last+5 && t.toks[k].sent == t.toks[n.first].sent && t.toks[k].kind != tokenNumber; k++ {
		if stem(t.toks[k].norm) == "crank" && (k+1 >= len(t.toks) || stem(t.toks[k+1].norm) != "sensor") {
			return true
		}
	}
	return false
}

// timeOfDay are words that say when and not where a number was read.
var timeOfDay = set(`night day morning evening overnight friday monday saturday sunday`)

var moneyWords = set(`quid pounds dollars euros bucks mpg inch inches stone db`)

func (t *turn) chiefSystem() string {
	if f := t.lx.findings[t.ctx.Chief]; f != nil {
		return f.system
	}
	return ""
}

func (t *turn) readVerbNear(n *number) bool {
	for k := n.first - 1; k >= 0 && k >= n.first-5 && t.toks[k].sent == t.toks[n.first].sent; k-- {
		switch t.toks[k].norm {
		case "reads", "read", "reading", "shows", "tests", "showing", "showed", "measured", "measures", "got", "says", "gives", "at", "was", "climbs", "reached", "hit", "is", "to":
			return true
		}
	}
	if k := n.last + 1; k+1 < len(t.toks) && t.toks[k].sent == t.toks[n.first].sent && (t.toks[k].norm == "at" || t.toks[k].norm == "across") {
		return !t.toks[k+1].neg
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
		if t.lx.measurands[t.toks[k].norm] {
			return false // "the gauge on the rail says 56"
		}
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
	t.sameUnit(n)
	return true
}

// sameUnit lends a bare number the unit of the one before it in the sentence:
// "cap marked 1.1 bar, went at .6".
func (t *turn) sameUnit(n *number) {
	at := sort.Search(len(t.numbers), func(i int) bool { return t.numbers[i].first >= n.first })
	if at > 0 {
		o := &t.numbers[at-1]
		if written := t.toks[o.first].value; o.UnitGiven && o.dim == n.dim && n.dim != dimTemperature && written > 0 && t.toks[o.first].sent == t.toks[n.first].sent {
			for _, p := range []*float64{&n.Value, &n.Low, &n.High} {
				*p *= o.Value / written
			}
		}
	}
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

// answersAlone reports whether the number's clause says little else, as an
// answer does.
func (t *turn) answersAlone(n *number) bool {
	return len(t.runs[t.toks[n.first].clause]) <= 8
}

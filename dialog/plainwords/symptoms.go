package plainwords

import (
	"sort"
	"strings"
)

// Limits of recognition.
const (
	closeBy  = 0.85 // a second meaning this near in score is offered too
	unasked  = 0.45 // score that an unasked outcome needs
	tellsAll = 0.3  // score that a symptom needs
)

// findSymptoms takes the symptoms' phrases, strongest first; words already
// taken by a stronger symptom are not taken twice. What the trouble is only
// likened to counts where nothing else tells it.
func (t *turn) findSymptoms() {
	taken := make([]int, len(t.us)) // 1 + index of the observation
	t.takeSymptoms(taken, false)
	if len(t.symptoms) == 0 {
		t.takeSymptoms(taken, true)
	}
	t.looseSymptoms(taken)
	t.orderSymptoms()
}

func (t *turn) takeSymptoms(taken []int, likened bool) {
	for i := range t.matches {
		m := &t.matches[i]
		if m.phrase.target.kind != targetSymptom || m.score < tellsAll || m.weakWay() || t.simile(m) != likened {
			continue
		}
		if m.flipped && t.exceptionFollows(m) {
			m.flipped = false // "never overheats except in traffic" does overheat
			t.butFor = append(t.butFor, t.us[m.first].clause)
		}
		if m.flipped && (!t.deniable(m) || t.overClauses(m) || t.loosensOver(m)) || !m.flipped && t.wellThen(m) || t.eventOnly(m) || t.otherCar(m) || t.voices[t.us[m.first].clause].supposed || t.lacksOnly(m) || t.lacksAlways(m) || t.overPast(m) || t.charging(m) || t.inVain(m) || t.bareNoise(m) || t.asSetting(m) || t.broughtAbout(m) {
			continue
		}
		if m.flipped && m.phrase.bareNo && !t.lx.findings[m.phrase.target.id].fails {
			continue // "brakes are fine" is not "no brakes" of a pedal that sinks denied
		}
		if m.flipped && t.lx.findings[m.phrase.target.id].habit && !t.saysOften(m) {
			continue // "the fuse isn't blown" is not that it does not blow again and again
		}
		if m.flipped && m.phrase.target.id == t.ctx.Chief && t.onlyToday(m) {
			continue
		}
		if !m.flipped && t.hearsay(m) {
			continue
		}
		if t.neitherNor(m) || t.ofOtherThing(m) {
			continue
		}
		if t.heatSets(m) || t.overBegins(m) {
			continue
		}
		// "Out of park" says nothing of wipers told before.
		if t.handBegins(m) || m.flipped && (t.saidOutright(i) || t.onlyPlace(m)) || m.carried && t.word(t.us[m.first].first, -1) == "of" {
			continue
		}
		if !m.flipped && (!m.ordered && t.foundNothing(m) || t.lookedInVain(t.us[m.last].clause)) {
			m.flipped = true
			if !t.deniable(m) {
				continue
			}
		}
		if at := t.shared(m, taken); at >= 0 {
			o := &t.acc.Observations[at]
			if !m.flipped && m.phrase.target.value != "absent" && m.score >= closeBy*t.scores[at] && !(t.literal[at] && !t.toTheLetterOf(m)) && m.phrase.target.id != o.Finding && !t.impliedBy(o, m.phrase.target.id) {
				o.Others = addMeaning(o.Others, Meaning{m.phrase.target.id, "present", m.score})
			}
			continue
		}
		t.tellSymptom(m, taken)
	}
}

// simile reports whether a match is what the trouble is likened to: "groans
// round like the battery is flat".
func (t *turn) simile(m *match) bool {
	if m.flipped || m.phrase.likens {
		return false
	}
	for k := t.us[m.first].first - 1; k >= 0 && t.toks[k].clause == t.toks[k+1].clause; k-- {
		switch w := t.toks[k].norm; {
		case w == "like", (w == "if" || w == "though") && k > 0 && t.toks[k-1].norm == "as":
			return true
		case determiners[w], w == "it", w == "is", w == "was", w == "im", w == "theres":
		default:
			return false
		}
	}
	return false
}

func addMeaning(ms []Meaning, m Meaning) []Meaning {
	if len(ms) >= 3 {
		return ms
	}
	for _, o := range ms {
		if o.Finding == m.Finding && o.Outcome == m.Outcome {
			return ms
		}
	}
	return append(ms, m)
}

// impliedBy reports whether the symptom is only a way of saying the finding
// already noted, or the other way round.
func (t *turn) impliedBy(o *Observation, id string) bool {
	if s := t.symptom[id]; s != nil {
		_, ok := s.Of[o.Finding]
		return ok
	}
	return false
}

// shared returns the observation that already holds more than half of a
// match's required words, or -1.
func (t *turn) shared(m *match, taken []int) int {
	n, of, at := 0, 0, -1
	for _, u := range m.units {
		if isParticleOrLight(t.us[u].class) && len(m.units) > 1 {
			continue // two things may share a verb: "neither A nor B works"
		}
		of++
		if taken[u] > 0 {
			n++
			if at < 0 {
				at = taken[u] - 1
			}
		}
	}
	if n > 0 && n*2 >= of {
		return at
	}
	return -1
}

func (t *turn) tellSymptom(m *match, taken []int) {
	id, outcome := m.phrase.target.id, "present"
	if m.flipped != (m.phrase.target.value == "absent") || t.nowGone(m) { // "pulls up straight" is a denial
		outcome = "absent"
	}
	start, end := t.span(m)
	at := t.emitSymptom(id, outcome, start, end, t.us[m.first].clause, "")
	if at < 0 {
		return
	}
	t.scores[at], t.literal[at] = m.score, t.toTheLetterOf(m)
	t.use(m)
	for _, u := range m.units {
		taken[u] = at + 1
		t.usedUnit[u] = !t.us[u].number // a speed tells when as well
		t.ofSymptom[u] = t.symptom[id] == nil || len(t.symptom[id].Of) == 0
		t.loosely[u] = t.loosely[u] || m.phrase.way
		t.denied[u], t.ofTrouble[u] = m.flipped, !m.flipped
		t.news[u] = m.phrase.way && !t.lx.tellsOf(id, &t.us[u])
	}
	if outcome == "absent" {
		t.voices[t.us[m.first].clause].absent = true
	} else {
		t.symptoms = append(t.symptoms, placed{id, m.first, t.us[m.first].seg})
	}
}

// emitSymptom notes a symptom, or the findings it stands for. It returns the
// index of the first observation, or -1 when nothing can be said.
func (t *turn) emitSymptom(id, outcome string, start, end int, clause int32, hedge string) int {
	at := len(t.acc.Observations)
	if s := t.symptom[id]; s != nil && len(s.Of) > 0 {
		if outcome == "absent" {
			return -1 // "doesn't overheat in traffic" denies one of several
		}
		for _, f := range sortedKeys(s.Of) {
			t.observe(Observation{Finding: f, Outcome: s.Of[f], Start: start, End: end, Hedge: hedge}, clause)
		}
		return at
	}
	t.observe(Observation{Finding: id, Outcome: outcome, Start: start, End: end, Hedge: hedge}, clause)
	return at
}

// deniable reports whether a match whose negation differs may be read as the
// opposite: an explicit denial of something positive, or a plain statement
// that what is denied in the phrase goes well.
func (t *turn) deniable(m *match) bool {
	if m.score < 0.25 {
		return false
	}
	phraseNegated := false
	for _, w := range m.phrase.words {
		phraseNegated = phraseNegated || w.under
	}
	if !phraseNegated {
		return true
	}
	v := &t.voices[t.us[m.first].clause]
	return v.fine && !m.phrase.way || t.toks[t.us[m.first].first].affirmed || t.asked != nil && t.asked.id == m.phrase.target.id
}

// wellThen reports whether the clause says that all is well, which a phrase of
// trouble does not: "it's fine on the highway" is no way of saying "hot on the
// highway". A match that spans clauses of different colour is no match either.
func (t *turn) wellThen(m *match) bool {
	if m.phrase.fine || m.phrase.denies {
		return false
	}
	a, b := &t.voices[t.us[m.first].clause], &t.voices[t.us[m.last].clause]
	return a.fine || b.fine || a.only != b.only
}

// foundNothing reports whether the match is what a person did to look, and the
// next clause says that nothing was found: "rocked the wheel, nothing loose".
func (t *turn) foundNothing(m *match) bool {
	deed := false
	for _, u := range m.units {
		w := t.toks[t.us[u].first].norm
		deed = deed || (t.lx.handVerbs[w] || w == "rocked" || w == "shook" || w == "levered" || w == "jacked") && strings.HasSuffix(w, "ed")
	}
	c := t.us[m.last].clause + 1
	if !deed || int(c) >= len(t.voices) || t.voices[c].first < 0 || t.voices[c].sent != t.voices[c-1].sent {
		return false
	}
	switch v := &t.voices[c]; t.toks[v.first].norm {
	case "nothing", "no", "none", "not", "nowt":
		return true
	default:
		return v.fine
	}
}

// onlyPlace reports whether a match of one thing is only where something else
// is: "earth at the horn is fine" says nothing of the horn.
func (t *turn) onlyPlace(m *match) bool {
	if m.first != m.last {
		return false
	}
	for k := t.us[m.first].first - 1; k >= 0 && t.toks[k].clause == t.us[m.first].clause; k-- {
		switch t.toks[k].norm {
		case "the", "a", "my", "its":
		case "at", "to", "of", "near", "by", "behind", "on", "in", "from", "before", "after":
			return true
		default:
			return false
		}
	}
	return false
}

// orderSymptoms sorts the symptoms by place.
func (t *turn) orderSymptoms() {
	sort.SliceStable(t.symptoms, func(i, j int) bool { return t.symptoms[i].unit < t.symptoms[j].unit })
}

// symptomFor returns the symptom to which a condition at the unit belongs:
// the nearest one told at or before it, else the first of the turn, else the
// chief complaint, else "*".
func (t *turn) symptomFor(unit int) string {
	id := ""
	if n := len(t.symptoms); n > 0 {
		i := sort.Search(n, func(i int) bool { return t.symptoms[i].unit > unit })
		id = t.symptoms[max(0, i-1)].id
	}
	if id == "" {
		id = t.ctx.Chief
	}
	if id == "" {
		return "*"
	}
	if s := t.symptom[id]; s != nil {
		for _, f := range sortedKeys(s.Of) {
			if t.symptom[f] != nil && s.Of[f] == "present" {
				return f
			}
		}
	}
	return id
}

// eventOnly reports whether a match's words tell what happened once before:
// "overheated once last summer".
func (t *turn) eventOnly(m *match) bool {
	if m.flipped {
		return false
	}
	if t.bygone(m) {
		return true
	}
	for _, u := range m.units {
		if !t.onEvent[u] {
			return false
		}
	}
	return t.isEvent(m)
}

// bygone reports whether a match is told as what was once and is no longer: "it
// overheated once in 2019", "boiled over last summer but never since".
func (t *turn) bygone(m *match) bool {
	first, last := t.us[m.first].first, t.us[m.last].last
	if w := t.toks[first].norm; !strings.HasSuffix(w, "ed") && !pastTense[w] && t.word(first, -1) != "was" {
		return false
	}
	once := false
	for k := last + 1; k < len(t.toks) && k <= last+12 && t.toks[k].sent == t.toks[last].sent; k++ {
		switch w := t.toks[k].norm; {
		case w == "once":
			once = true
		case w == "since" && k > 0 && negators[t.toks[k-1].norm]:
			return true
		case once && (t.toks[k].kind == tokenNumber && len(w) == 4 || w == "ago" || w == "last" || w == "back"):
			return true
		}
	}
	return false
}

// otherCar reports whether the clause speaks of another car: "the wife's other
// car", "my mate's does it too".
func (t *turn) otherCar(m *match) bool {
	v := &t.voices[t.us[m.first].clause]
	owner, too := false, false
	for k := v.first; k <= v.last && k < v.first+40; k++ {
		w := t.toks[k].norm
		if n := ""; k < v.last {
			n = t.toks[k+1].norm
			if (w == "other" || w == "previous" || w == "last") && (n == "car" || n == "van" || n == "truck") {
				return true
			}
		}
		if len(w) > 3 && w[len(w)-1] == 's' && t.lx.tellers[w[:len(w)-1]] {
			owner = true
		}
		too = too || w == "too"
	}
	return owner && too
}

// overPast reports a match over a clause of "since" or "after" and the next.
func (t *turn) overPast(m *match) bool {
	c := t.us[m.first].clause
	return c != t.us[m.last].clause && t.opensPast(c)
}

// charging reports that the clause tells of a battery put on charge, which is
// a remedy and no trouble.
func (t *turn) charging(m *match) bool {
	v := &t.voices[t.us[m.first].clause]
	for k := max(v.first, 1, t.us[m.first].first-3); k <= min(v.last, t.us[m.last].last+1); k++ {
		switch t.toks[k].norm {
		case "charge", "charger":
			if p := t.toks[k-1].norm; p == "on" || p == "the" && k > 1 && t.toks[k-2].norm == "on" {
				return true
			}
		}
	}
	return false
}

// inVain reports whether the words tell a trial that changed nothing: "unplugged
// the sensor, no difference" is not "better with the sensor unplugged".
func (t *turn) inVain(m *match) bool {
	for _, u := range m.units {
		k := t.us[u].first
		if t.lx.acts[t.toks[k].norm] == "" {
			continue
		}
		effect, _, _ := t.effectOf(k)
		return effect == "same"
	}
	return false
}

// overClauses reports whether words of meaning are denied in one clause and told
// plainly in the next: "no horn, wheel buttons dead".
func (t *turn) overClauses(m *match) bool {
	for _, u := range m.units {
		for _, x := range m.units {
			if t.us[u].class == classContent && t.us[x].class == classContent && t.us[u].under && !t.us[x].under && t.us[u].clause < t.us[x].clause {
				return true
			}
		}
	}
	return false
}

// nowGone reports whether the trouble is told of before and the next clause says
// that it is no more: "it used to stall but it doesn't now".
func (t *turn) nowGone(m *match) bool {
	c := t.us[m.last].clause
	v := &t.voices[c]
	if v.era != "before" || int(c)+1 >= len(t.voices) {
		return false
	}
	n := &t.voices[c+1]
	if n.first < 0 || n.sent != v.sent || n.last-n.first > 6 {
		return false
	}
	denied, now := false, false
	for k := n.first; k <= n.last; k++ {
		switch w := t.toks[k].norm; {
		case w == "doesnt", w == "dont", w == "hasnt", w == "isnt", w == "not", w == "stopped", w == "no", w == "never", w == "wont":
			denied = true
		case w == "now", w == "anymore", w == "longer", w == "more", w == "lately", w == "since", w == "any":
			now = true
		case t.toks[k].class == classContent && t.toks[k].kind == tokenWord:
			return false
		}
	}
	return denied && now
}

// loosensOver reports whether a denied pattern goes over two clauses: "alarm light
// flashes and it won't crank" does not deny that the lights flash at cranking.
func (t *turn) loosensOver(m *match) bool {
	return m.phrase.way && t.us[m.first].clause != t.us[m.last].clause
}

// handBegins reports whether a match begins with what somebody did with their hands:
// "unless I knock it into neutral" is no gearbox that does so by itself.
func (t *turn) handBegins(m *match) bool {
	k := t.us[m.first].first
	w := t.toks[k].norm
	if k == 0 || !t.lx.handVerbs[w] && w != "knock" && w != "pop" || t.toks[k-1].clause != t.toks[k].clause {
		return false
	}
	switch t.toks[k-1].norm {
	case "to":
		n := t.word(k, -2)
		return n == "had" || n == "have" || n == "need" || n == "managed" // "had to switch off"
	case "i", "we", "you":
		said := plain(m.phrase.said)
		return !containsWords(said, t.toks[k-1].norm) && !strings.HasPrefix(said+" ", w+" ")
	}
	return false
}

// neitherNor reports whether the last word of a match is joined to its opposite:
// "running hot and cold", "goes up and down" say neither.
func (t *turn) neitherNor(m *match) bool {
	k := t.us[m.last].last
	if t.word(k, 1) == "up" {
		k++
	}
	if w := t.word(k, 1); w != "and" && w != "or" {
		return false
	}
	a, b := t.toks[k].norm, t.word(k, 2)
	return a == "hot" && b == "cold" || a == "cold" && b == "hot" || a == "up" && b == "down"
}

// onlyToday reports whether a trouble is said not to be there just now: one that
// comes and goes is not absent.
func (t *turn) onlyToday(m *match) bool {
	v := &t.voices[t.us[m.first].clause]
	for k := t.us[m.last].last + 1; k <= min(v.last, t.us[m.last].last+5); k++ {
		switch t.toks[k].norm {
		case "today", "moment", "tonight", "currently":
			return true
		}
	}
	return false
}

// hearsay reports whether a symptom is read from what somebody else holds of a
// part, "my mate says the alternator is knackered", which is their opinion.
func (t *turn) hearsay(m *match) bool {
	if !t.reported(t.us[m.first].first) {
		return false
	}
	verdict := false
	for _, u := range m.units {
		switch w := t.toks[t.us[u].last].norm; {
		case t.lx.bad[w] || t.lx.failsAt(t.toks, t.us[u].first) > 0:
			verdict = true
		case t.us[u].class == classContent && !t.lx.endings[t.us[u].id] && (t.us[u].head < 0 || !t.lx.endings[t.us[u].head]):
			return false
		}
	}
	return verdict
}

// oftenWords are those by which a habit is told.
var oftenWords = set(`again keeps keep kept often always repeatedly more longer ever never every`)

// saysOften reports whether the clause of a match speaks of a habit.
func (t *turn) saysOften(m *match) bool {
	v := &t.voices[t.us[m.first].clause]
	for k := max(v.first, t.us[m.first].first-6); k <= min(v.last, t.us[m.last].last+6); k++ {
		if oftenWords[t.toks[k].norm] {
			return true
		}
	}
	return false
}

// outrightReach is how many matches around a denied one are looked at for the
// same said outright.
const outrightReach = 40

// saidOutright reports whether words of a denied match tell the same symptom
// outright: "no indicators and no hazards" is not "hazards work but indicators
// don't" denied.
func (t *turn) saidOutright(i int) bool {
	m := &t.matches[i]
	for k := max(0, i-outrightReach); k < min(len(t.matches), i+outrightReach); k++ {
		o := &t.matches[k]
		if o.phrase.target == m.phrase.target && !o.flipped && o.score >= tellsAll && o.overlap(m) > 0 {
			return true
		}
	}
	return false
}

package plainwords

import (
	"slices"
	"sort"
	"strings"
)

// condition is an axis value told, with its relation.
type condition struct {
	axis, value string
	relation    string
	strong      bool // the relation was said, not supposed
	unit        int
	first, last int // units
	clause      int32
}

// findConditions reads when the trouble shows and when not.
func (t *turn) findConditions() {
	taken := map[int]bool{}
	cs := t.speedConditions(taken)
	for i := range t.matches {
		m := &t.matches[i]
		if m.phrase.target.kind != targetAxis || m.flipped && m.phrase.denies || t.overBegins(m) || t.switched(m) || t.everyTimeThat(m) || t.placeLow(m) || !t.opensCondition(m) || t.lacksOnly(m) || t.inMove(m) {
			continue
		}
		busy := false
		for _, u := range m.units {
			busy = busy || taken[u]
		}
		if busy || t.wished[t.us[m.first].clause] != "" && t.wished[t.us[m.first].clause] != "why" {
			continue
		}
		if t.deniedPlainly(m) || m.flipped && !m.phrase.denies && t.us[m.last].under && !t.us[m.first].under {
			continue // "the wheel's not straight"
		}
		c := condition{axis: m.phrase.target.id, value: m.phrase.target.value, first: m.first, last: m.last, unit: m.first, clause: t.us[m.first].clause}
		c.relation, c.strong = t.relationOf(m)
		if c.relation == "" || !c.strong && (t.opposed(m) || t.stateListed(m)) || !c.strong && t.setsElse(m) || t.handled(m) || t.isEvent(m) || !t.saysHow(m, c.relation) && t.partOfSymptom(m, c.axis) || t.saidBy(m, c.axis) || !t.stands(m, c.strong) {
			continue
		}
		for _, u := range m.units {
			taken[u] = true
		}
		t.use(m)
		cs = append(cs, c)
	}
	cs = append(cs, t.bareConditions(taken)...)
	t.sharpen(cs)
	for _, c := range cs {
		start, end := t.toks[t.us[c.first].first].start, t.toks[t.us[c.last].last].end
		o := Observation{Finding: "cond:" + t.symptomFor(c.unit) + ":" + c.axis + ":" + c.value, Outcome: c.relation, Start: start, End: end}
		if !c.strong && t.voices[c.clause].hedge == "plain" {
			o.Hedge = "think"
		}
		t.observe(o, c.clause)
	}
}

// stateListed reports whether something switched on or off is only one of several
// things told, with no word that says when: "dash bright, radio on, but nothing".
func (t *turn) stateListed(m *match) bool {
	last := t.toks[t.us[m.last].last].norm
	c := t.us[m.first].clause
	return (last == "on" || last == "off") && m.first < m.last && t.asked == nil && t.bareClause(m) && !t.opened(c, t.us[m.first].first) && (int(c)+1 < len(t.voices) && t.voices[c+1].sent == t.voices[c].sent || c > 0 && t.voices[c-1].sent == t.voices[c].sent)
}

// inMove reports whether the words of a condition are part of a deed: the "off and
// on" of "key off and on".
func (t *turn) inMove(m *match) bool {
	at := sort.Search(len(t.looks), func(i int) bool { return t.matches[t.looks[i]].first >= m.first-3 })
	for ; at < len(t.looks) && t.matches[t.looks[at]].first <= m.first; at++ {
		if o := &t.matches[t.looks[at]]; o.phrase.target.kind == targetComeGo && t.solid(o) && o.last >= m.last && len(o.units) > len(m.units) {
			return true
		}
	}
	return false
}

// opposed reports whether the sentence names the opposite value of the same axis
// before, of which the trouble was told: "never starts in the rain, dries out".
func (t *turn) opposed(m *match) bool {
	a := t.axis[m.phrase.target.id]
	if a == nil || t.us[m.first].clause == 0 || t.troubleIn(t.us[m.first].clause) {
		return false
	}
	opposite := ""
	for _, v := range a.Values {
		if v.ID == m.phrase.target.value {
			opposite = v.Opposite
		}
	}
	if opposite == "" {
		return false
	}
	before := t.us[m.first].clause - 1
	for _, i := range t.axisAt[before] {
		o := &t.matches[i]
		if o.phrase.target.id == a.ID && o.phrase.target.value == opposite && !o.flipped &&
			t.toks[t.us[o.last].first].sent == t.toks[t.us[m.first].first].sent && t.troubleIn(before) {
			return true
		}
	}
	return false
}

// opensCondition asks of a phrase with a single content word that a
// preposition or "when" stands shortly before it: "at lights" is a condition,
// "lights flicker" is none.
func (t *turn) opensCondition(m *match) bool {
	content := 0
	for _, w := range m.phrase.words {
		if w.class == classContent {
			content++
		}
	}
	if !m.ordered && len(m.units) > 1 || !t.inTime(m) || len(m.units) < m.phrase.required || t.outcomeOfDoing(m) {
		return false
	}
	if last := t.us[m.last].last; t.toks[last].norm == "in" && m.first < m.last {
		switch t.word(last, 1) {
		case "it", "the", "a", "my", "this", "that":
			return false // "200 miles in it"
		}
	}
	switch first := t.us[m.first].first; t.toks[first].norm {
	case "always":
		return false // "always been a good car"
	case "back":
		if w := t.word(first, -1); w == "straight" || w == "right" || againWith[stem(w)] {
			return false // "starts straight back up"
		}
	}
	if t.asStatement(m) {
		return false
	}
	if content >= 2 {
		return m.last-m.first < len(m.units)+b2i(len(m.units) > 2)
	}
	first := t.us[m.first].first
	sc := stems(m.phrase.said)
	if t.toks[first].norm == "overnight" {
		for k := first - 1; k >= 0 && k >= first-3 && t.toks[k].clause == t.toks[first].clause; k-- {
			if became[t.toks[k].norm] {
				return false // "got loud overnight" came at once
			}
		}
	}
	if len(sc) == 1 && len(m.phrase.said) > 5 && t.toks[first].norm == m.phrase.said {
		return true // a word by itself: "intermittent", "idling"
	}
	if len(m.phrase.rest) > 0 && len(sc) > 1 && !prepositions[t.toks[first].norm] {
		// every word of it, in a row: "getting worse"
		v := &t.voices[t.us[m.first].clause]
		if containsWords(plain(t.text[t.toks[v.first].start:t.toks[v.last].end]), plain(m.phrase.said)) {
			return true
		}
	}
	if m.phrase.compoundOf(t.us[m.first]) && !particles[t.toks[first].norm] && t.word(t.us[m.last].last, 1) != "the" && t.tellsIn(t.toks[first].sent, t.toks[first].clause) && t.wordsAt(first, strings.Fields(plain(m.phrase.said))) {
		return true // a saying of several words that stands there: "all the time"
	}
	for k := first - 1; k >= 0 && k >= first-3; k-- {
		if t.toks[k].clause != t.toks[first].clause {
			break
		}
		if w := t.toks[k].norm; prepositions[w] || w == "as" && k > 0 && (t.toks[k-1].norm == "soon" || t.toks[k-1].norm == "long") || w == "moment" || w == "second" && k > 0 && t.toks[k-1].norm == "the" {
			return true
		}
		if k == first-1 && (t.related(k) || onlyWords[t.toks[k].norm] || fineWords[t.toks[k].norm]) && t.endsClause(m) {
			return true // "no better warm", "worse uphill"
		}
		if t.toks[k].class == classContent {
			break
		}
	}
	return t.alternative(m)
}

// compoundOf reports whether a phrase of one unit was said in several words.
func (p *phrase) compoundOf(u unit) bool { return len(p.words) == 1 && u.last > u.first }

// asStatement reports whether the words of a condition are a statement of their
// own, "the engine gets hot", and no word before them says when.
func (t *turn) asStatement(m *match) bool {
	c := t.us[m.first].clause
	first := t.us[m.first].first
	if t.opened(c, first+1) || t.voices[c].only {
		return false
	}
	for k := max(t.voices[c].first, first-longestCheck); k < first; k++ {
		if w := t.toks[k].norm; prepositions[w] || w == "soon" || w == "moment" || w == "second" {
			return false
		}
	}
	for k := first; k <= t.us[m.last].last; k++ {
		if w := t.toks[k].norm; states[w] && (m.phrase.opens || k > first && !containsWords(plain(m.phrase.said), w)) {
			return true
		}
	}
	return false
}

// became are the verbs of what came once.
var became = set(`got went became turned appeared started began developed`)

// states are the verbs that make a statement of what could be a condition.
var states = set(`gets got goes went is are was comes came dried`)

// againWith are the verbs that "back" makes "again", by their stems.
var againWith = set(`start fire come go came went fir`)

// endsClause reports whether nothing of meaning follows a match in its clause.
func (t *turn) endsClause(m *match) bool {
	k := t.us[m.last].last + 1
	return k >= len(t.toks) || t.toks[k].kind == tokenPunct || t.toks[k].clause != t.us[m.last].clause || t.toks[k].class != classContent
}

// alternative reports whether a value is one of two joined by "or": "wet or
// dry", "hot or cold".
func (t *turn) alternative(m *match) bool {
	first, last := t.us[m.first].first, t.us[m.last].last
	beside := func(k, or int) bool {
		return or > 0 && or < len(t.toks) && (t.toks[or].norm == "or" || t.toks[or].norm == "and") && k >= 0 && k < len(t.toks) && t.unitAt[k] >= 0 && t.onAxis[t.unitAt[k]] && t.toks[k].clause == t.toks[first].clause
	}
	return beside(last+2, last+1) || beside(first-2, first-1)
}

// deniedPlainly reports "no lights on" and the like, which deny the thing and
// not the time.
func (t *turn) deniedPlainly(m *match) bool {
	k := t.us[m.first].first - 1
	return k >= 0 && t.toks[k].neg && (t.toks[k].norm == "no" || t.toks[k].norm == "without")
}

// relationOf reads the relation from the voice of the clause.
func (t *turn) relationOf(m *match) (string, bool) {
	v := &t.voices[t.us[m.first].clause]
	first := t.us[m.first].first
	if v.question && !v.only && !v.fine {
		// "why does it overheat at lights?" still tells when
		if len(t.symptoms) == 0 {
			return "", false
		}
	}
	for k := first - 1; k >= max(v.first, first-3); k-- {
		if w := t.toks[k].norm; w == "not" || w == "never" || w == "nor" {
			if n := t.word(k, 1); n == "just" || n == "only" || n == "always" || n == "merely" {
				return "worse", false // "not just when cold"
			}
			if p := t.word(k, -1); (p == "when" || p == "if" || p == "unless") && v.absent {
				return "only", true // "doesn't pull when not braking"
			}
			return "never", true
		}
		if t.toks[k].class == classContent && !prepositions[t.toks[k].norm] {
			break
		}
	}
	for k := first - 1; k >= max(v.first+2, first-3); k-- {
		if t.toks[k].norm == "with" && t.toks[k-1].norm == "do" || t.toks[k].norm == "of" && t.toks[k-1].norm == "regardless" {
			return "same", true // "nothing to do with the rain"
		}
	}
	if r := t.excepted(m); r != "" {
		return r, true
	}
	if r := t.nearestRelation(m); r != "" {
		return r, true
	}
	bare := t.bareClause(m)
	if bare && !v.only && !v.fine && !v.worse && !v.better && !v.never {
		// "on the motorway, it's fine": the next clause says how
		if n := int(t.us[m.first].clause) + 1; n < len(t.voices) && t.voices[n].sent == v.sent && t.voices[n].first >= 0 {
			switch w := &t.voices[n]; {
			case w.seg != v.seg || t.conditionIn(int32(n)):
			case w.same:
				return "same", true
			case w.fine || w.never:
				return "never", true
			case w.worse:
				return "worse", true
			case w.better:
				return "better", true
			}
		}
	}
	if t.saidOfAnother(m) {
		return "worse", false // "loud when cold and quieter after ten minutes"
	}
	absent := false
	if t.clearsIn(m) {
		return "", false // "white smoke at the start clears" is one trouble
	}
	if v.absent {
		absent = true
	}
	switch {
	case v.fine && !v.only, v.never, absent:
		return "never", true
	case v.only:
		return "only", true
	case v.same:
		return "same", true
	case v.worse:
		return "worse", true
	case v.better:
		return "better", true
	}
	return "worse", false
}

// clearsIn reports whether the condition stands within the words of a symptom,
// whose own word for going away is no word of the condition.
func (t *turn) clearsIn(m *match) bool {
	if t.supposedBefore(m) {
		return false // "goes quiet if I dab the brake"
	}
	for _, u := range m.units {
		if u < len(t.ofSymptom) && t.ofSymptom[u] {
			continue
		}
		return false
	}
	v := &t.voices[t.us[m.first].clause]
	return v.fine || v.never
}

// saidOfAnother reports whether all words of the clause that relate the trouble to
// a condition follow an "and", "but" or "then" after this one.
func (t *turn) saidOfAnother(m *match) bool {
	v := &t.voices[t.us[m.first].clause]
	last := t.us[m.last].last
	at := -1
	for k := last + 1; k <= min(v.last, last+8); k++ {
		if w := t.toks[k].norm; w == "and" || w == "but" || w == "then" {
			at = k
			break
		}
	}
	if at < 0 {
		return false
	}
	after := false
	for _, w := range t.saidBetween("relation", max(v.first, last-25), min(v.last, last+25)) {
		if w.first < at {
			return false
		}
		after = true
	}
	return after
}

// supposedBefore reports whether "if", "when" or "once" opens the condition.
func (t *turn) supposedBefore(m *match) bool {
	first := t.us[m.first].first
	for k := first; k >= 0 && k >= first-3 && t.toks[k].clause == t.toks[first].clause; k-- {
		switch t.toks[k].norm {
		case "if", "when", "whenever", "once":
			return true
		}
		if k < first && t.toks[k].class == classContent {
			return false
		}
	}
	return false
}

// conditionIn reports whether a clause names a condition of its own: then its
// words speak of that one.
func (t *turn) conditionIn(c int32) bool {
	v := &t.voices[c]
	for k := max(v.first, 0); k <= v.last && v.first >= 0; k++ {
		if u := t.unitAt[k]; u >= 0 && t.onAxis[u] {
			return true
		}
	}
	return false
}

// bareClause reports whether the clause holds nothing but the condition.
func (t *turn) bareClause(m *match) bool {
	for k := t.voices[t.us[m.first].clause].first; k <= t.voices[t.us[m.first].clause].last; k++ {
		u := t.unitAt[k]
		if u >= 0 && (u < m.first || u > m.last) && t.us[u].class == classContent {
			return false
		}
	}
	return true
}

// sharpen makes a supposed "worse" an "only" where the opposite value was said
// to be free of trouble.
func (t *turn) sharpen(cs []condition) {
	type key struct{ axis, value string }
	free := map[key]bool{}
	for _, c := range cs {
		if c.relation == "never" {
			free[key{c.axis, c.value}] = true
		}
	}
	if len(free) == 0 {
		return
	}
	for i := range cs {
		c := &cs[i]
		if c.relation != "worse" || c.strong {
			continue
		}
		if a := t.axis[c.axis]; a != nil {
			for _, v := range a.Values {
				if v.ID == c.value && v.Opposite != "" && free[key{c.axis, v.Opposite}] {
					c.relation, c.strong = "only", true
				}
			}
		}
	}
}

// excepted reads a condition named as the exception to what was said before it:
// "fine until you brake hard" is only then, "there all the time except under
// braking" never then. Empty where it is no exception.
func (t *turn) excepted(m *match) string {
	first := t.us[m.first].first
	at := -1
	for k := first - 1; k >= 0 && k >= first-4 && t.toks[k].sent == t.toks[first].sent; k-- {
		if exceptWords[t.toks[k].norm] || t.toks[k].norm == "from" && k > 0 && t.toks[k-1].norm == "apart" {
			at = k
			break
		}
		if t.toks[k].class == classContent {
			break
		}
	}
	if at < 0 {
		return ""
	}
	until := t.toks[at].norm == "until" || t.toks[at].norm == "till" || t.toks[at].norm == "til"
	for k := at - 1; k >= 0 && k >= at-12 && t.toks[k].sent == t.toks[at].sent; k-- {
		v := &t.voices[t.toks[k].clause]
		switch {
		case fineWords[t.toks[k].norm] && !t.toks[k].under, v.never, v.absent, v.fine && t.toks[k].clause != t.toks[first].clause:
			return "only"
		case until && t.toks[k].clause != t.toks[at].clause:
			return ""
		case t.toks[k].neg && !until && !t.toldIn(t.toks[k].clause):
			return "only" // "no shake at all unless I brake"
		}
	}
	if at == 0 || m.phrase.after == "until" {
		return ""
	}
	return "never"
}

// exceptionFollows reports whether a denied match is followed, in its sentence,
// by when it is not so.
func (t *turn) exceptionFollows(m *match) bool {
	last := t.us[m.last].last
	for k := last + 1; k < len(t.toks) && k <= last+4 && t.toks[k].sent == t.toks[last].sent; k++ {
		switch w := t.toks[k].norm; {
		case w == "except" || w == "unless":
			return true
		case t.toks[k].class == classContent && w != "all":
			return false
		}
	}
	return false
}

// toldIn reports whether a clause told that a trouble is there: "won't start
// unless it's cold" says when it is not.
func (t *turn) toldIn(clause int32) bool {
	return !slices.Contains(t.butFor, clause) && slices.ContainsFunc(t.symptoms, func(s placed) bool { return t.us[s.unit].clause == clause })
}

// exceptWords name an exception.
var exceptWords = set(`except unless until till til bar excepting`)

// outcomeOfDoing reports whether the phrase names a manoeuvre and the turn what
// came of it: "parked overnight" is not "parking".
func (t *turn) outcomeOfDoing(m *match) bool {
	for _, u := range m.units {
		w := t.toks[t.us[u].last].norm
		if w == "parked" && containsWords(plain(m.phrase.said), "parking") {
			return true
		}
		if w == "pulling" && len(m.units) == 1 {
			switch t.word(t.us[u].last, 1) {
			case "out", "in", "into", "over", "up":
				return true // "pulling out of a space"
			}
		}
		if w == "straight" {
			switch t.word(t.us[u].last, 1) {
			case "to", "after", "away", "off", "back", "into", "in", "up", "out", "down", "through":
				return true // "went straight to the floor"
			}
		}
	}
	return false
}

// nearestRelation is the relation told by the word nearest before the match, or
// failing that after it, where a clause holds different ones: "vanishes in left
// handers and doubles going right". Empty where it does not.
func (t *turn) nearestRelation(m *match) string {
	v := &t.voices[t.us[m.first].clause]
	before, after, mixed := "", "", false
	lo, hi := max(v.first, t.us[m.first].first-25), min(v.last, t.us[m.last].last+25)
	at := sort.Search(len(t.words), func(i int) bool { return t.words[i].first >= lo })
	for ; at < len(t.words) && t.words[at].last <= hi; at++ {
		w := &t.words[at]
		if w.kind != "relation" || t.toks[w.first].under || w.value == "only" {
			continue
		}
		mixed = mixed || before+after != "" && before != w.value && after != w.value
		switch {
		case w.last < t.us[m.first].first:
			before = w.value
		case after == "":
			after = w.value
		}
	}
	switch {
	case !mixed:
		return ""
	case before != "":
		return before
	}
	return after
}

// switchedThings are what people turn off and on.
var switchedThings = set(`key ignition switch battery engine lights radio`)

// switched reports whether "off and on" is what was done to a thing: "key off
// and on clears it" tells no trouble that comes and goes.
func (t *turn) switched(m *match) bool {
	k := t.us[m.first].first
	return m.phrase.target.id == "gap" && (t.toks[k].norm == "on" || t.toks[k].norm == "off") && k > 0 && switchedThings[t.toks[k-1].norm]
}

// everyTimeThat reports whether "every time" only opens when it shows: "every
// time it's wet" is in the wet and not always.
func (t *turn) everyTimeThat(m *match) bool {
	k := t.us[m.last].last
	if m.phrase.target.id != "gap" || t.toks[k].norm != "time" {
		return false
	}
	next := t.word(k, 1)
	return subjects[next] || next == "its" || next == "theres" || next == "im" || next == "the" || next == "that"
}

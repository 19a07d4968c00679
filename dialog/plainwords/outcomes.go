package plainwords

import (
	"slices"
	"sort"
	"strings"

	"ruleout/kb"
)

func sortedKeys[V any](m map[string]V) []string {
	out := make([]string, 0, len(m))
	for k := range m {
		out = append(out, k)
	}
	sort.Strings(out)
	return out
}

// containsWords reports whether the words of phrase stand in text in a row;
// both are plain.
func containsWords(text, phrase string) bool {
	for from := 0; ; {
		i := strings.Index(text[from:], phrase)
		if i < 0 {
			return false
		}
		i += from
		end := i + len(phrase)
		if (i == 0 || text[i-1] == ' ') && (end == len(text) || text[end] == ' ') {
			return true
		}
		from = i + 1
	}
}

// opposite returns the outcome that denying another one amounts to: the other
// of two, or yes for no.
func opposite(f *finding, outcome string) (string, bool) {
	if len(f.outcomes) == 2 {
		for i := range f.outcomes {
			if f.outcomes[i].ID != outcome {
				return f.outcomes[i].ID, true
			}
		}
	}
	pair := map[string]string{"yes": "no", "no": "yes", "present": "absent", "absent": "present", "good": "bad", "bad": "good", "works": "same", "gone": "same"}
	if o, ok := pair[outcome]; ok && f.outcome(o) != nil {
		return o, true
	}
	return "", false
}

// findOutcomes takes the outcomes of questions and tests that were told
// unasked. Those of questions under discussion are taken readily; others only
// when the words are theirs alone.
func (t *turn) findOutcomes() {
	best := map[outcomeKey]int{} // index of the match
	var order []outcomeKey
	for i := range t.matches {
		m := &t.matches[i]
		if m.phrase.target.kind != targetOutcome || t.ofMend(m) || t.heatSets(m) || t.overBegins(m) {
			continue
		}
		f := t.lx.findings[m.phrase.target.id]
		if f == nil || t.fuller(i) || f == t.asked && t.answered(f) || !t.allowed(f, m) || f.axis != "" && !m.flipped && t.wellThen(m) || t.crosses(m) || t.lacksOnly(m) || t.lacksAlways(m) || f != t.asked && (t.lacksPair(m) || t.answeredWith(m) || f.kind == kb.FindingQuestion && t.answersChief(f, i)) {
			continue
		}
		key := outcomeKey{f.emit, t.us[m.first].seg}
		if at, ok := best[key]; ok {
			o := &t.matches[at]
			if nones[o.phrase.target.value] && !nones[m.phrase.target.value] && !m.flipped && m.score >= unasked && m.overlap(o) == 0 {
				best[key] = i // "gunge under the cap, dipstick's clean": there is some
			}
			continue
		}
		best[key] = i
		order = append(order, key)
	}
	type held struct{ match, obs int }
	var kept []held
	for _, key := range order {
		i := best[key]
		m := &t.matches[i]
		f := t.lx.findings[m.phrase.target.id]
		outcome := m.phrase.target.value
		if m.flipped {
			o, ok := opposite(f, outcome)
			if !ok || !t.deniable(m) || t.loosensOver(m) {
				continue
			}
			outcome = o
		}
		clash := false
		for _, h := range kept[max(0, len(kept)-keepBack):] {
			o := &t.matches[h.match]
			if n := m.overlap(o); n*2 >= len(m.units) {
				clash = true
				obs := &t.acc.Observations[h.obs]
				if m.score >= closeBy*o.score && !t.concerns(t.lx.findings[o.phrase.target.id]) {
					obs.Others = addMeaning(obs.Others, Meaning{f.emit, outcome, m.score})
				}
				break
			}
		}
		if clash || t.told(f.emit, m) || nones[outcome] && t.someBeside(best, key, m) {
			continue
		}
		start, end := t.span(m)
		t.observe(Observation{Finding: f.emit, Outcome: outcome, Start: start, End: end}, t.us[m.first].clause)
		t.use(m)
		t.usePart(m)
		if u := m.first - 1; u >= 0 && t.us[u].last+1 == t.us[m.first].first && t.us[u].id >= 0 && len(t.lx.heads[t.us[u].id]) > 0 {
			t.useUnit(u) // "fan fuse": the first word of a compound
		}
		kept = append(kept, held{i, len(t.acc.Observations) - 1})
	}
}

// fullerReach is how many matches after one are looked at for a fuller one.
const fullerReach = 12

// fuller reports whether another outcome, told about as well, takes all the words
// of a match and more: "opened at 88 in the pan".
func (t *turn) fuller(i int) bool {
	m := &t.matches[i]
	for k := i + 1; k < min(len(t.matches), i+fullerReach); k++ {
		o := &t.matches[k]
		if o.phrase.target.kind != targetOutcome || o.flipped || m.flipped || o.phrase.target.id == m.phrase.target.id || o.score < closeBy*m.score || len(o.units) <= len(m.units) {
			continue
		}
		if f := t.lx.findings[o.phrase.target.id]; f != nil && o.overlap(m) == len(m.units) && t.us[o.first].clause == t.us[o.last].clause && t.allowed(f, o) {
			return true
		}
	}
	return false
}

// nones are the outcomes that say that there is nothing of what is asked.
var nones = set(`none neither nowhere no nothing absent silent`)

// outcomeKey is a finding told in a segment.
type outcomeKey struct {
	finding string
	seg     int32
}

// someBeside reports whether beside an outcome of "nothing" another one of the same
// finding is told in the sentence: then only the rest is free of it.
func (t *turn) someBeside(best map[outcomeKey]int, key outcomeKey, m *match) bool {
	for _, d := range []int32{-1, 1} {
		at, ok := best[outcomeKey{key.finding, key.seg + d}]
		if !ok {
			continue
		}
		if o := &t.matches[at]; !o.flipped && !nones[o.phrase.target.value] && o.score >= unasked && t.toks[t.us[o.first].first].sent == t.toks[t.us[m.first].first].sent {
			return true
		}
	}
	return false
}

// keepBack bounds how many accepted outcomes a new one is compared with.
const keepBack = 60

// usePart marks the part named in a match as used.
func (t *turn) usePart(m *match) {
	i := sort.Search(len(t.parts), func(i int) bool { return t.parts[i].last >= m.first })
	for ; i < len(t.parts) && t.parts[i].first <= m.last; i++ {
		t.useTokens(t.us[t.parts[i].first].first, t.us[t.parts[i].last].last)
	}
}

// toldOtherwise reports whether most of the words of an outcome already told a
// symptom of another system: "the gearbox is leaking oil" is no coolant leak.
func (t *turn) toldOtherwise(f *finding, m *match) bool {
	n := 0
	for _, u := range m.units {
		if t.ofSymptom[u] || t.ofTrouble[u] && t.us[u].class == classContent {
			n++
		}
	}
	return n*2 > len(m.units) && !t.likely(f) || n*2 >= len(m.units) && n > 0 && f.kind == kb.FindingQuestion || f.kind == kb.FindingQuestion && len(t.symptoms) > 0 && t.spoken(m)
}

// spoken reports whether every word of a match has said something already:
// "hot in traffic" is overheating there, and no answer to a question about an
// engine that stays cold.
func (t *turn) spoken(m *match) bool {
	for _, u := range m.units {
		if (!t.usedUnit[u] || t.denied[u]) && (!isParticleOrLight(t.us[u].class) || len(m.units) == 1) {
			return false
		}
	}
	return true
}

// lacksOnly reports a phrase with a qualifier where the turn has none.
func (t *turn) lacksOnly(m *match) bool {
	if !m.phrase.only {
		return false
	}
	v := &t.voices[t.us[m.first].clause]
	for k := v.first; k <= v.last; k++ {
		if w := t.toks[k].norm; qualifiers[w] || w == "just" || w == "but" || w == "intermittently" {
			return false
		}
	}
	return !(v.first > 0 && (t.toks[v.first-1].norm == "only" || t.toks[v.first-1].norm == "just"))
}

// stands for "always" in an owner's words.
var lastingWords = set(`never every nonstop non keeps keep kept stays stay stayed even ever still whole wont doesnt whatever regardless whenever any anytime all forever`)

// lacksAlways reports a phrase of something that never ends where the turn
// does not say so: "the fan came on" is no "fan always on".
func (t *turn) lacksAlways(m *match) bool {
	if !m.phrase.always || t.asked != nil && m.phrase.target.id == t.asked.id {
		return false
	}
	for c := t.us[m.first].clause; c <= t.us[m.last].clause; c++ {
		v := &t.voices[c]
		for k := v.first; k >= 0 && k <= v.last; k++ {
			if w := t.toks[k].norm; alwaysWords[w] || lastingWords[w] || t.toks[k].neg {
				return false
			}
		}
	}
	return true
}

// answeredWith reports whether the words of a match answered the question
// asked: they do not tell something else as well.
func (t *turn) answeredWith(m *match) bool {
	s, e := t.span(m)
	for _, a := range t.answers {
		if a[0] <= s && e <= a[1] {
			return true
		}
	}
	return false
}

// lacksPair reports an outcome of both, or of another one, where the turn speaks
// of one alone.
func (t *turn) lacksPair(m *match) bool {
	pair, other := !m.phrase.pair, !m.phrase.other
	for k := t.voices[t.us[m.first].clause].first; k <= t.voices[t.us[m.last].clause].last; k++ {
		w := t.toks[k].norm
		pair = pair || pairWords[w] || w == "all" || w == "too" || w == "as" || w == "same"
		other = other || otherWords[w]
	}
	return !pair || !other
}

// pronounBegins reports whether a clause is said of what was named before.
func (t *turn) pronounBegins(c int32) bool {
	for k := t.voices[c].first; k >= 0 && k <= t.voices[c].last; k++ {
		switch w := t.toks[k].norm; {
		case w == "it", w == "its", w == "they", w == "theyre":
			return true
		case t.toks[k].class == classContent:
			return false
		}
	}
	return false
}

// crosses reports a match over two clauses of which only one says "only".
func (t *turn) crosses(m *match) bool {
	a, b := t.us[m.first].clause, t.us[m.last].clause
	if a != b && m.phrase.target.id != t.askedID() && t.handiwork(m.first) && !m.phrase.way {
		if f := t.lx.findings[m.phrase.target.id]; f != nil && f.kind == kb.FindingQuestion && !t.pronounBegins(b) {
			return true // "charged it all night, dead again"
		}
	}
	return a != b && t.voices[a].only != t.voices[b].only
}

// told reports whether the finding was already noted from the same words.
func (t *turn) told(finding string, m *match) bool {
	s, e := t.span(m)
	for i := max(0, len(t.acc.Observations)-keepBack); i < len(t.acc.Observations); i++ {
		o := &t.acc.Observations[i]
		if o.Finding == finding && o.Start < e && s < o.End {
			return true
		}
	}
	return false
}

func (t *turn) answered(f *finding) bool {
	for i := range t.acc.Observations {
		if t.acc.Observations[i].Answer && t.acc.Observations[i].Finding == f.emit {
			return true
		}
	}
	return false
}

// concerns reports whether a question belongs to a symptom under discussion.
func (t *turn) concerns(f *finding) bool {
	if f == nil {
		return false
	}
	if f.symptoms[t.ctx.Chief] || f == t.asked {
		return true
	}
	for s := range f.symptoms {
		if t.talked[s] {
			return true
		}
	}
	return false
}

// allowed decides whether an outcome's words are enough without a question.
func (t *turn) allowed(f *finding, m *match) bool {
	for _, u := range m.units {
		if w := t.wished[t.us[u].clause]; w != "" && !(w == "opinion" && f.path != "" && t.pathTold(f)) {
			return false // but "not the caliper" tells, where the hose was told
		}
	}
	content := 0
	for _, u := range m.units {
		if t.us[u].class == classContent && !t.us[u].number {
			content++
		}
	}
	said := len(m.units)
	if m.implied || m.carried {
		content, said = content+1, said+1
	}
	if v := &t.voices[t.us[m.first].clause]; v.question || v.supposed {
		return false
	}
	if f != t.asked && (t.future(t.us[m.first].first) || f.kind == kb.FindingQuestion && t.broughtAbout(m)) {
		return false
	}
	if f != t.asked && !t.concerns(f) && t.toldOtherwise(f, m) {
		return false
	}
	if f != t.asked && f.path == "" && !t.concerns(f) && !t.settles(f) && (t.elsewhereInCar(f) || f.kind == kb.FindingTest && t.chiefSystem() == "" && len(t.symptoms) == 0 && !t.namesPart(f, m)) && !t.saysItsThing(f, m) && !(content > 2 && m.ordered && !m.flipped && m.score > sure) {
		return false // "fluid level ok" of a heavy steering is no coolant; "it came out", told of nothing, no timing belt
	}
	if f != t.asked && f.kind == kb.FindingQuestion && f.of != t.ctx.Chief && !t.talked[f.of] && t.spoken(m) {
		return false // a question lent by another complaint
	}
	if f != t.asked && f.kind == kb.FindingQuestion && !t.topical(f, m) && !t.saidOfSubject(f, m) {
		return false
	}
	if m.phrase.generic && (f != t.asked || t.aboutElse(m)) {
		return false
	}
	if f != t.asked && t.asked != nil && f.kind == kb.FindingQuestion && t.answered(t.asked) && !t.topical(f, m) && t.sameSentence(m) {
		return false // "nope, dead as a dodo" says more of what was asked
	}
	if f != t.asked && (t.ofOtherFluid(f, m) || t.asTopic(m) || t.asSetting(m) || t.namesake(f, m) || t.ofOtherPart(f, m)) {
		return false
	}
	if f.kind == kb.FindingTest && f != t.asked && t.handled(m) {
		return false // what somebody did to the car is no sight of it
	}
	if f.reading != nil && (t.measures(m.first, m.last) || f != t.asked && t.ofNothing(m) && !t.speaksOfMetering(m)) {
		return false // the reading itself decides
	}
	switch {
	case f == t.asked:
		return true
	case f.path != "":
		return t.allowedAlong(f, m, content)
	case f.kind == kb.FindingTest && m.phrase.way && (t.chiefSystem() != "" || len(t.symptoms) > 0) && !t.likely(f) && !t.namesTest(f, m):
		return false // "fluid level doesn't drop" of a sinking brake pedal is no coolant
	case f.kind == kb.FindingTest && len(m.units) < len(m.phrase.words):
		return false // "pulled the relay" tells no result of pulling it
	case f.kind == kb.FindingTest:
		return content >= 3 && m.score > 0.9 || content >= 2 && m.score > 0.7 && (t.speaksOf(f) || t.toTheLetter(m)) ||
			content >= 2 && !m.flipped && m.score > 0.6 && t.settles(f) && !t.besideNumber(m) && t.ofThis(f, m) ||
			content >= 2 && m.ordered && !m.flipped && m.score > 1 && m.last-m.first < len(m.units) && !t.besideNumber(m) && t.namesTest(f, m)
	case t.concerns(f):
		return content >= 2 && m.score >= unasked || content == 1 && m.score > 0.5 && said >= 2 ||
			content == 1 && len(m.phrase.rest) > 0 && m.score >= unasked // "one click", "just clicks": said in full
	case m.weakWay():
		return false
	default:
		return content >= 2 && m.score > 0.75 || content == 1 && m.score > 0.9 && said >= 3 && said >= len(m.phrase.words) // "fan isn't coming on"
	}
}

// sure is the score from which three words or more in order are those of a test or
// question, whatever the complaint.
const sure = 1.3

// elsewhereInCar reports whether a trouble is told, and none of the finding's system.
func (t *turn) elsewhereInCar(f *finding) bool {
	told := t.chiefSystem() != ""
	if told && t.chiefSystem() == f.system {
		return false
	}
	for i := range t.symptoms[:min(len(t.symptoms), keepBack)] {
		s := t.lx.findings[t.symptoms[i].id]
		if s == nil {
			continue
		}
		if told = true; s.system == f.system {
			return false
		}
	}
	return told
}

// saysItsThing reports whether a match holds the rarest word of the finding's title,
// which says what it is about.
func (t *turn) saysItsThing(f *finding, m *match) bool {
	rarest, most := int32(-1), 0.0
	for _, u := range t.lx.units(t.lx.parse(f.title), false) {
		if u.id >= 0 && u.class == classContent && t.lx.weights[u.id] > most {
			rarest, most = u.id, t.lx.weights[u.id]
		}
	}
	subject, much := int32(-1), 0.0 // the rarest word of the question's short title
	for id := range f.topic {
		if w := t.lx.weights[id]; w > much || w == much && id < subject {
			subject, much = id, w
		}
	}
	for _, u := range m.units {
		if t.us[u].is(rarest) || t.us[u].is(subject) || f.kind == kb.FindingTest && t.lx.endsIn[f.part][t.us[u].id] && strings.Contains(t.partNamed(f.part), " ") {
			return true
		}
	}
	return rarest < 0
}

// namesPart reports whether a word of a match stands in the name of the part that
// the test looks at.
func (t *turn) namesPart(f *finding, m *match) bool {
	return slices.ContainsFunc(m.units, func(u int) bool {
		p := t.mentionAt(u)
		return p != nil && p.part == f.part
	})
}

// ofNothing reports whether a match has "nothing" as a word of its own.
func (t *turn) ofNothing(m *match) bool {
	for _, u := range m.units {
		if t.toks[t.us[u].first].norm == "nothing" {
			return true
		}
	}
	return false
}

// metering are words of what a meter or a lamp shows.
var metering = set(`volt volts voltage v meter multimeter power live current amps ohms resistance feed juice reads reading measures tester lamp continuity pressure bar psi hot dead earth supply gets getting arrives`)

// speaksOfMetering reports whether the clause of a match speaks of a measurement.
func (t *turn) speaksOfMetering(m *match) bool {
	v := &t.voices[t.us[m.first].clause]
	for k := max(v.first, t.us[m.first].first-8); k <= min(v.last, t.us[m.last].last+8); k++ {
		if metering[t.toks[k].norm] {
			return true
		}
	}
	return false
}

// sameSentence reports whether a match stands in the sentence that begins the turn.
func (t *turn) sameSentence(m *match) bool { return t.toks[t.us[m.first].first].sent == 0 }

// namesTest reports whether a match holds a word of the test's own title.
func (t *turn) namesTest(f *finding, m *match) bool {
	for _, u := range t.lx.units(t.lx.parse(f.title), false) {
		for _, x := range m.units {
			if u.id >= 0 && u.id == t.us[x].id && u.class == classContent && !fineWords[t.lx.name(u.id)] {
				return true
			}
		}
	}
	return false
}

// besideNumber reports whether a match holds the unit of a number: "the 2 amp
// fuse" tells no result.
func (t *turn) besideNumber(m *match) bool {
	for _, u := range m.units {
		if t.numberAt(t.us[u].first) != nil {
			return true
		}
	}
	return false
}

// speaksOf reports whether the turn names the part that the test is about.
func (t *turn) speaksOf(f *finding) bool {
	return t.partSaid[f.part]
}

// awaited reports whether the last word of a match only begins "on order":
// "the fan motor is on order" says of no fan that it is on.
func (t *turn) awaited(m *match) bool {
	if u := t.us[m.last].last; m.phrase.target.kind == targetLook && u > 0 && u+1 < len(t.toks) && t.toks[u-1].norm == "comes" && t.toks[u].norm == "off" && articles[t.toks[u+1].norm] {
		return true // "a wire that comes off the same fuse" is fed there
	}
	k := t.us[m.last].last
	if m.phrase.target.kind == targetEvent && t.toks[k].norm == "off" && k+1 < len(t.toks) && articles[t.toks[k+1].norm] {
		return true // "the one off the tractor" came from there
	}
	return t.toks[k].norm == "on" && k+1 < len(t.toks) && t.toks[k+1].norm == "order"
}

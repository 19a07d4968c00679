package plainwords

import (
	"slices"
	"sort"
	"strings"

	"ruleout/kb"
)

// mention is a part named in the turn.
type mention struct {
	part        string
	others      []string // parts that the words may mean as well
	first, last int      // units
	clause      int32
	seg         int32
	item        string
	itemAt      []int // tokens that say which one
	start, end  int
	index       int // among the turn's mentions
	opinion     bool
	vague       bool // by a noun that many parts share
	mended      bool // what was done to it is told, see findMends
}

func (lx *lexicon) addHeads(b *kb.Base) {
	lx.heads = map[int32][]string{}
	wanted := map[int32]bool{}
	for _, h := range lx.wordlist.heads {
		if id := lx.concept(lx.root(h)); id >= 0 {
			wanted[id] = true
		}
	}
	// The part that fails most often first; those far rarer than it are left
	// out: who says "plugs" means spark plugs.
	rate := map[string]float64{}
	for i := range b.Parts {
		p := &b.Parts[i]
		rate[p.ID] = p.PerThousand
		for _, name := range append([]string{p.Name}, p.Names...) {
			words := strings.Fields(plain(name))
			for k, w := range words {
				id := lx.concept(lx.root(w))
				if id < 0 || !wanted[id] || k < len(words)-1 || containsWords(plain(name), "on") || containsWords(plain(name), "of") || containsWords(plain(name), "in") {
					continue
				}
				lx.heads[id] = appendNew(lx.heads[id], p.ID)
			}
		}
	}
	for id, list := range lx.heads {
		sort.SliceStable(list, func(i, j int) bool { return rate[list[i]] > rate[list[j]] })
		lx.heads[id] = list
	}
	lx.rate = rate
	lx.nameWords, lx.endsIn, lx.endings = map[string]map[int32]bool{}, map[string]map[int32]bool{}, map[int32]bool{}
	lx.nounOf = map[int32]map[string]bool{}
	for i := range b.Parts {
		p := &b.Parts[i]
		words, ends := map[int32]bool{}, map[int32]bool{}
		for _, name := range append([]string{p.Name}, p.Names...) {
			fields := strings.Fields(plain(name))
			for k, w := range fields {
				if id := lx.concept(lx.root(w)); id >= 0 {
					words[id] = true
					if k == len(fields)-1 && !containsWords(plain(name), "on") && !containsWords(plain(name), "of") && !containsWords(plain(name), "in") {
						ends[id] = true
						lx.endings[id] = true
						if lx.nounOf[id] == nil {
							lx.nounOf[id] = map[string]bool{}
						}
						lx.nounOf[id][p.System] = true
					}
				}
			}
		}
		lx.nameWords[p.ID], lx.endsIn[p.ID] = words, ends
	}
}

// lampNoun reports whether a concept is that of a lamp.
func (lx *lexicon) lampNoun(id int32) bool {
	return id >= 0 && (id == lx.concept(lx.root("light")) || id == lx.concept(lx.root("lamp")))
}

// rarerBy is how much rarer a part may be than the likeliest one to be meant
// by a noun that both have. Basis: memory.
const rarerBy = 4

// meantBy keeps the parts that a noun may mean among those under discussion.
func (lx *lexicon) meantBy(parts []string) []string {
	out := parts[:1:1]
	for _, p := range parts[1:] {
		if lx.rate[p]*rarerBy >= lx.rate[parts[0]] {
			out = append(out, p)
		}
	}
	return out
}

// findParts finds the parts named, longest names first.
func (t *turn) findParts() {
	taken := make([]int, len(t.us))
	for i := range t.matches {
		m := &t.matches[i]
		if m.phrase.target.kind != targetPart || !t.solid(m) || t.isUnitOfNumber(m) || !t.asNamed(m) || t.inPlace(m) || len(m.units) == 1 && (t.asVerb(t.us[m.first].first) || m.literal == 0 && t.nominal(m.first) && stem(t.toks[t.us[m.first].first].norm) != stem(m.phrase.said)) || t.modifies(m.last) || t.steeringWheel(m) || t.lx.agents[t.word(t.us[m.last].last, 1)] {
			continue
		}
		if len(m.units) == 1 && (t.namesAnother(m) || t.season(t.us[m.first].first)) {
			continue
		}
		if at, whole := takenBy(m, taken); at >= 0 {
			p := &t.parts[at]
			if whole && len(m.units) == p.last-p.first+1 && m.phrase.target.id != p.part {
				if own := plain(t.partNamed(m.phrase.target.id)); own == plain(m.phrase.said) && plain(t.partNamed(p.part)) != own {
					p.part, p.others = m.phrase.target.id, append([]string{p.part}, p.others...) // its own name, not one of its others
				} else {
					p.others = appendNew(p.others, m.phrase.target.id)
				}
			}
			continue
		}
		start, end := t.span(m)
		part := m.phrase.target.id
		if len(m.units) == 1 && plain(t.partNamed(part)) == t.toks[t.us[m.first].first].norm && !slices.Contains(t.ctx.Talk, part) {
			if other := t.inTalk(m.first, nil, nil); other != "" {
				part = other // "the valve" is the heater's, where that is in talk
			}
		}
		t.parts = append(t.parts, mention{part: part, first: m.first, last: m.last, clause: t.us[m.first].clause, seg: t.us[m.first].seg, start: start, end: end})
		for u := m.first; u <= m.last; u++ {
			taken[u] = len(t.parts)
		}
	}
	for i := range t.parts {
		if p := &t.parts[i]; len(p.others) > 0 {
			if near := t.ofSystem(append([]string{p.part}, p.others...)); len(near) <= len(p.others) {
				p.part, p.others = near[0], near[1:] // "the flexi" of a sooty exhaust
			}
		}
	}
	// Two nouns side by side name one part: "fan switch", "pump relay".
	for u := len(t.us) - 1; u > 0; u-- {
		if p, ok := t.compound(u); ok && taken[u] == 0 && taken[u-1] == 0 {
			t.parts = append(t.parts, p)
			taken[u], taken[u-1] = len(t.parts), len(t.parts)
		}
	}
	for u := range t.us {
		if k := t.us[u].first; taken[u] > 0 || t.us[u].id < 0 || t.asVerb(k) || t.modifies(u) || t.elsewhere[k] || t.likened[k] {
			continue
		}
		names := t.lx.heads[t.us[u].id]
		if len(names) == 0 {
			if part := t.inTalk(u, nil, nil); part != "" {
				names = []string{part}
			} else if part := t.byItsEnd(u); part != "" {
				names = []string{part}
			}
		}
		if len(names) == 0 {
			continue
		}
		near := t.lx.meantBy(t.ofSystem(names))
		if part := t.inTalk(u, near, names); part != "" && len(near) > 1 {
			near = []string{part}
		}
		p := mention{part: near[0], vague: len(names) > tooMany, first: u, last: u, clause: t.us[u].clause, seg: t.us[u].seg, start: t.toks[t.us[u].first].start, end: t.toks[t.us[u].last].end}
		if len(near) > 1 {
			p.others = near[1:]
		}
		if len(p.others) > 6 {
			p.others = p.others[:6]
		}
		t.parts = append(t.parts, p)
		taken[u] = len(t.parts)
	}
	sort.SliceStable(t.parts, func(i, j int) bool { return t.parts[i].first < t.parts[j].first })
	t.findNewOnes()
	for i := range t.parts {
		if q := &t.parts[max(0, i-1)]; t.parts[i].part == "battery" && q.part == "key-fob-and-its-battery" && t.toks[t.us[q.first].first].sent == t.toks[t.us[t.parts[i].first].first].sent {
			t.parts[i].part = q.part // "the fob does nothing, even with a new battery"
		}
		t.parts[i].index = i
		t.parts[i].item = t.itemNear(&t.parts[i])
	}
}

// compound is the part named by a unit that is a part's noun and the word right
// before it, where some part has both in its name.
func (t *turn) compound(u int) (mention, bool) {
	if u < 1 {
		return mention{}, false
	}
	a, b := &t.us[u-1], &t.us[u]
	if t.bothPlural(u-1, u) {
		return mention{}, false
	}
	if a.id < 0 || b.id < 0 || a.class != classContent || a.last+1 != b.first || a.clause != b.clause {
		return mention{}, false
	}
	var names []string
	for _, n := range t.lx.heads[b.id] {
		if t.lx.nameWords[n][a.id] {
			names = append(names, n)
		}
	}
	if len(names) == 0 {
		return mention{}, false
	}
	near := t.lx.meantBy(t.ofSystem(names))
	p := mention{part: near[0], first: u - 1, last: u, clause: b.clause, seg: b.seg, start: t.toks[a.first].start, end: t.toks[b.last].end}
	p.others = near[1:min(len(near), 7)]
	return p, true
}

// season reports whether "spring" is a time of the year.
func (t *turn) season(k int) bool {
	if t.toks[k].norm != "spring" {
		return false
	}
	switch t.word(k, -1) {
	case "in", "this", "last", "next", "since", "every", "early", "late", "during":
		return true
	}
	return false
}

// inPlace reports whether a name is only where something is: "behind the
// dash".
func (t *turn) inPlace(m *match) bool {
	lo, hi := t.us[m.first].first, t.us[m.last].last
	for _, w := range t.saidBetween("place", lo-3, hi+3) {
		if w.first < lo && hi <= w.last {
			return true
		}
	}
	return false
}

// steeringWheel reports whether "the wheel" is the one that steers: the sentence
// speaks of the steering.
func (t *turn) steeringWheel(m *match) bool {
	k := t.us[m.first].first
	if m.first != m.last || t.toks[k].norm != "wheel" && t.toks[k].norm != "wheels" || t.word(k, -1) != "the" {
		return false
	}
	for j := k - 1; j >= 0 && j > k-12 && t.toks[j].sent == t.toks[k].sent; j-- {
		if t.toks[j].norm == "steering" {
			return true
		}
	}
	return false
}

// asNamed reports whether a name that needs its article ("the head") has one
// of its kind: "my head" is no part of a car.
func (t *turn) asNamed(m *match) bool {
	if !strings.HasPrefix(m.phrase.said, "the ") {
		return true
	}
	k := t.us[m.first].first - 1
	if k < 0 || t.toks[k].clause != t.us[m.first].clause {
		return false
	}
	switch t.toks[k].norm {
	case "the", "its", "new", "a", "this", "that":
		return true
	}
	return false
}

// isUnitOfNumber reports whether a name's only word is the unit of a number:
// "0.19 amps" names no amplifier.
func (t *turn) isUnitOfNumber(m *match) bool {
	k := t.us[m.first].first
	i := sort.Search(len(t.numbers), func(i int) bool { return t.numbers[i].last >= k })
	return i < len(t.numbers) && t.numbers[i].first <= k
}

func appendNew(list []string, s string) []string {
	for _, x := range list {
		if x == s {
			return list
		}
	}
	return append(list, s)
}

// leaveHeadless drops the symptoms and outcomes whose words take only the first
// part of a compound: "the fan relay is dead" is not "the fan is dead".
func (t *turn) leaveHeadless() {
	head := make([]int, len(t.us)) // 1 + unit of the compound's last word
	defer func() { t.headOf = head }()
	for i := range t.matches {
		m := &t.matches[i]
		if m.phrase.target.kind != targetPart || len(m.units) < 2 || !m.ordered || !t.solid(m) {
			continue
		}
		for _, u := range m.units {
			if u < m.last && head[u] < m.last+1 {
				head[u] = m.last + 1
			}
		}
	}
	whole := make([]*match, len(t.us)) // the name of a part that ends at a unit
	for i := range t.matches {
		m := &t.matches[i]
		if m.phrase.target.kind == targetPart && len(m.units) > 1 && m.ordered && t.solid(m) && (whole[m.last] == nil || m.first < whole[m.last].first) {
			c := *m
			whole[m.last] = &c
		}
	}
	t.matches = slices.DeleteFunc(t.matches, func(m match) bool {
		if k := m.phrase.target.kind; k != targetSymptom && k != targetOutcome || t.us[m.first].clause != t.us[m.last].clause {
			return false
		}
		if w := whole[m.first]; w != nil && m.phrase.target.kind == targetSymptom && t.lessThanNamed(&m, w) {
			return true
		}
		for _, u := range m.units {
			if t.describes(u, &m) {
				return true // "the parking brake light won't go off"
			}
			h := head[u] - 1
			if h > 0 && !slices.Contains(m.units, h) && slices.ContainsFunc(m.units, func(x int) bool { return x > h || x < u }) && t.nominal(h) {
				return true
			}
		}
		return false
	})
}

// lessThanNamed reports whether a symptom or an outcome takes only the last word of
// a part's name and is of another system: the pedal of "clutch pedal" is no brake
// pedal.
func (t *turn) lessThanNamed(m, name *match) bool {
	f := t.lx.findings[m.phrase.target.id]
	if f == nil || f == t.asked || f.system == name.phrase.target.value || m.phrase.target.id == t.ctx.Chief || t.lx.tellsOf(m.phrase.target.id, &t.us[name.first]) {
		return false
	}
	return !slices.Contains(m.units, name.first) && m.first == name.last && t.us[name.first].class == classContent
}

// describes reports whether a part's noun in a match only describes the noun right
// after it, of which the rest is said and which the match leaves out.
func (t *turn) describes(u int, m *match) bool {
	if u+1 >= len(t.us) || u == m.last || slices.Contains(m.units, u+1) || t.us[u+1].first != t.us[u].last+1 || t.us[u+1].clause != t.us[u].clause {
		return false
	}
	return t.lx.endings[t.us[u].id] && t.lx.lampNoun(t.us[u+1].id)
}

// nominal reports whether a unit is the head noun of parts.
func (t *turn) nominal(u int) bool { return len(t.lx.heads[t.us[u].id]) > 0 }

// solid reports whether every word of the phrase is there, side by side.
func (t *turn) solid(m *match) bool {
	if len(m.units) < m.phrase.required {
		return false
	}
	return m.last-m.first+1 <= len(m.units) && t.us[m.first].clause == t.us[m.last].clause && !(m.phrase.target.kind == targetPart && len(m.units) == 2 && t.bothPlural(m.first, m.last))
}

// bothPlural reports whether two units are two things in a list and no
// compound: "plugs leads and cap".
func (t *turn) bothPlural(a, b int) bool {
	plural := func(u int) bool {
		w := t.toks[t.us[u].first].norm
		return t.us[u].first == t.us[u].last && len(w) > 3 && strings.HasSuffix(w, "s") && !strings.HasSuffix(w, "ss") && stem(w) != w
	}
	return plural(a) && plural(b) && t.us[a].last+1 == t.us[b].first && t.toks[t.us[b].first].start > t.toks[t.us[a].last].end
}

// takenBy returns the mention that holds one of the match's units, and whether
// it holds all.
func takenBy(m *match, taken []int) (at int, whole bool) {
	at, whole = -1, true
	for _, u := range m.units {
		if taken[u] > 0 {
			at = taken[u] - 1
		} else {
			whole = false
		}
	}
	return at, whole
}

// lookBack bounds how many symptoms and parts settle which system is spoken of.
const lookBack = 12

// ofSystem keeps the parts of the systems under discussion, if there are any.
func (t *turn) ofSystem(names []string) []string {
	systems := map[string]bool{}
	note := func(id string) {
		if f := t.lx.findings[id]; f != nil {
			systems[f.system] = true
		}
	}
	for _, s := range t.symptoms[:min(len(t.symptoms), lookBack)] {
		note(s.id)
	}
	if t.ctx.Chief != "" {
		note(t.ctx.Chief)
	}
	if t.ctx.Asked != nil {
		note(t.ctx.Asked.Finding)
	}
	for _, p := range t.parts[max(0, len(t.parts)-lookBack):] {
		if p.part != "" {
			systems[t.systemOf(p.part)] = true
		}
	}
	if f := t.lx.findings[t.askedID()]; f != nil && f.part != "" {
		for _, n := range names {
			if n == f.part {
				return []string{n}
			}
		}
	}
	out := t.bringing(names)
	if len(out) > 0 {
		return out
	}
	for _, n := range names {
		if systems[t.systemOf(n)] {
			out = append(out, n)
		}
	}
	if len(out) == 0 {
		return names
	}
	return out
}

func (t *turn) askedID() string {
	if t.ctx.Asked == nil {
		return ""
	}
	return t.ctx.Asked.Finding
}

func (r *Reader) systemOf(part string) string {
	return r.systemBy[part]
}

// itemNear reads which one of a part is meant from the words beside it.
func (t *turn) itemNear(p *mention) string {
	first, last := t.us[p.first].first, t.us[p.last].last
	item, used := t.itemAround(first, last, p.clause)
	if item == "" {
		for k := first - 1; k >= max(0, first-3) && t.toks[k].clause == p.clause; k-- {
			if w := t.toks[k].norm; w == "both" || w == "all" {
				return "all"
			} else if w == "other" {
				return "other"
			}
		}
	}
	p.itemAt = used
	return item
}

// nearEffect is how many bytes after the work its effect still belongs to the
// words shown for it.
const nearEffect = 24

// effectOf reads what an action changed, from token from to the end of the
// sentence and, when that says nothing, the beginning of the next.
func (t *turn) effectOf(from int) (effect string, first, last int) {
	sent := t.toks[from].sent
	at := sort.Search(len(t.words), func(i int) bool { return t.words[i].first >= from })
	for ; at < len(t.words); at++ {
		w := &t.words[at]
		k := w.first
		if t.toks[k].sent > sent+1 || k >= from+40 || t.toks[k].sent == sent+1 && t.toks[k].clause > t.toks[from].clause+6 {
			break
		}
		if w.kind != "effect" {
			continue
		}
		// "the same noise", "same belt" say what something is, not what changed
		end := w.last + 1
		if t.toks[w.last].norm == "same" && end < len(t.toks) && t.toks[end].kind == tokenWord && (t.toks[end].class == classContent || w.first == w.last) {
			continue
		}
		if t.toks[k].sent != sent && t.voices[t.toks[k].clause].first+2 < k {
			continue // only at the beginning of the next sentence
		}
		if w.value != "same" && t.toks[k].under {
			return "same", k, w.last
		}
		if w.value == "cured" && (t.toks[k].norm == "fixed" || t.toks[k].norm == "cured") && t.voices[t.toks[k].clause].question {
			continue
		}
		return w.value, k, w.last
	}
	return "", 0, -1
}

// changed is effectOf, or else the effect told by the thing doing its work.
func (t *turn) changed(from, after int) (effect string, first, last int) {
	if effect, first, last = t.effectOf(from); effect == "" {
		effect, first, last = t.doesOwnWork(after)
	}
	return effect, first, last
}

func (t *turn) wordsAt(k int, words []string) bool {
	if k+len(words) > len(t.toks) {
		return false
	}
	for i, w := range words {
		if t.toks[k+i].norm != w {
			return false
		}
	}
	return true
}

// partStates reads what is told of each part named: renewed, tested, seen, or
// tried by tapping and the like.
func (t *turn) partStates() {
	for i := range t.parts {
		p := &t.parts[i]
		if t.wished[p.clause] == "opinion" || t.wished[p.clause] == "what-is" || t.wished[p.clause] == "where-is" || t.wished[p.clause] == "how" || t.wished[p.clause] == "cost" {
			continue
		}
		t.partState(p)
	}
}

func (t *turn) partState(p *mention) {
	before := len(t.acc.Observations)
	defer func() {
		if len(t.acc.Observations) > before && p.item != "" {
			for _, k := range p.itemAt {
				t.useTokens(k, k)
			}
		}
	}()
	v := &t.voices[p.clause]
	first, last := t.us[p.first].first, t.us[p.last].last
	others := func(suffix, outcome string, o *Observation) {
		for _, q := range p.others {
			o.Others = addMeaning(o.Others, Meaning{"part:" + q + ":" + suffix, outcome, 0.5})
		}
	}
	if v.supposed || p.mended || t.holds(p) {
		return
	}
	if t.failedAgain(p) {
		return
	}
	lo, hi := t.reachOf(p)
	if t.swapState(p, lo, hi) {
		return
	}
	verb := t.worked(p, lo, hi)
	for k := lo; k <= hi && verb < 0; k++ {
		if t.lx.renewVerbs[t.toks[k].norm] && !(t.toks[k].norm == "done" && k < first) && !(t.toks[k].norm == "another" && k > last) && !t.toks[k].under && !(t.toks[k].norm == "new" && k > last && !t.allNew(k)) && !t.notYet(k) {
			verb = k
			break
		}
	}
	if verb > last && t.sinceBetween(last, verb) {
		verb = -1 // "the light flickers since I had the alternator swapped"
	}
	if verb < 0 {
		verb = t.usedPart(lo, first)
	}
	if verb < 0 && t.listed(p) {
		verb = t.listVerb(p)
	}
	if verb >= 0 && t.wordsAt(max(0, first-2), []string{"with", "the"}) {
		return // "swapped with the horn relay": that one was only lent
	}
	if verb >= 0 && !v.question && !t.future(verb) && !t.ordered(p) {
		t.useTokens(first, last)
		t.useTokens(verb, verb)
		for k := min(verb, first); k <= max(verb, last); k++ {
			if t.lx.renewVerbs[t.toks[k].norm] {
				t.useTokens(k, k) // "fitted a new relay"
			}
		}
		start, end := min(p.start, t.toks[verb].start), max(p.end, t.toks[verb].end)
		if effect, ef, el := t.effectBefore(p, verb); effect != "" {
			t.useTokens(ef, el)
			o := Observation{Finding: "part:" + p.part + ":replaced", Outcome: effect, Item: p.item, Start: start, End: end}
			others("replaced", effect, &o)
			t.observe(o, p.clause)
			return
		}
		if t.beganAfter(p, verb) || t.thenBegan(p, verb) {
			t.observe(Observation{Finding: t.workEvent(p, verb), Outcome: "before", Item: p.item, Start: start, End: end}, p.clause)
			return
		}
		if p.first == p.last && (len(p.others) > tooMany || (p.vague || len(p.others) > 0) && p.item == "all") {
			return // "both sensors": which ones, nobody can tell
		}
		effect, ef, el := t.changed(min(first, verb), max(last, verb))
		o := Observation{Finding: "part:" + p.part + ":replaced", Outcome: effect, Item: p.item, Start: start, End: end}
		if effect == "" {
			if t.dated(p, verb) && t.adds(p, verb) {
				t.observe(Observation{Finding: t.workEvent(p, verb), Outcome: "before", Item: p.item, Start: start, End: end}, p.clause)
				return
			}
			if id := t.jobOf(p, verb); id != "" {
				t.observe(Observation{Finding: id, Outcome: "before", Item: p.item, Start: start, End: end}, p.clause)
				return
			}
			o.Outcome, o.Hedge = "same", "think"
			o.Others = []Meaning{{"event:work-on:" + p.part, "before", 0.5}}
		} else {
			t.useTokens(ef, el)
			if e := t.toks[el].end; e-o.End <= nearEffect {
				o.End = max(o.End, e)
			}
		}
		others("replaced", o.Outcome, &o)
		t.observe(o, p.clause)
		return
	}
	if t.partAct(p, others) || t.partLook(p, lo, hi, others) {
		return
	}
	if outcome, from, to, ok := t.checkVerdict(p, lo, hi); ok && !v.question {
		o := Observation{Finding: "part:" + p.part + ":tested", Outcome: outcome, Item: p.item, Start: min(p.start, t.toks[from].start), End: max(p.end, t.toks[to].end), Means: t.meansIn(lo, hi)}
		others("tested", outcome, &o)
		t.useTokens(first, last)
		t.useTokens(from, to)
		t.observe(o, p.clause)
		return
	}
	for k := lo; k <= hi; k++ {
		w := t.toks[k].norm
		good, bad := t.lx.good[w], t.lx.bad[w]
		if !good && !bad || k >= first && k <= last || v.question || w == "sound" && !t.predicate(k) {
			continue
		}
		if k < first && t.behindPreposition(k, first) {
			continue // "works fine with the lights off"
		}
		if (w == "gone" || w == "went") && k < hi && t.toks[k+1].class == classContent && t.toks[k+1].clause == t.toks[k].clause && t.toks[k+1].kind == tokenWord {
			continue // "has gone floppy"
		}
		outcome := "good"
		if bad != t.toks[k].under {
			outcome = "bad"
		}
		if outcome == "bad" && t.longAgo(k) {
			continue // "had a bad alternator last year"
		}
		if t.usedBySymptom(k) || t.saysWhole(k) || outcome == "bad" && t.lx.functions[w] && !t.checkedIn(lo, hi) {
			continue // what does not work is a symptom; its part need not be bad
		}
		o := Observation{Finding: "part:" + p.part + ":tested", Outcome: outcome, Item: p.item, Start: min(p.start, t.toks[k].start), End: max(p.end, t.toks[k].end), Means: t.meansIn(lo, hi)}
		if v.source == "seen" && (o.Means == "ohms" || o.Means == "volts-open" || o.Means == "volts-load") {
			o.Source = "measured"
		}
		if v.hedge != "plain" && v.hedge != "sure" && bad {
			o.Source = "opinion"
		}
		others("tested", outcome, &o)
		t.useTokens(first, last)
		t.useTokens(k, k)
		for j := lo; j <= hi; j++ {
			if t.lx.checkVerbs[t.toks[j].norm] {
				t.useTokens(j, j)
			}
		}
		t.observe(o, p.clause)
		return
	}
}

// sinceBetween reports whether a deed is told after a "since" or "after" and has
// an object of its own there.
func (t *turn) sinceBetween(last, verb int) bool {
	hinge := -1
	for k := last + 1; k < verb; k++ {
		if w := t.toks[k].norm; w == "since" || w == "after" {
			hinge = k
		}
	}
	if hinge < 0 {
		return false
	}
	for k := hinge + 1; k < verb+4 && k < len(t.toks) && t.toks[k].clause == t.toks[verb].clause; k++ {
		if u := t.unitAt[k]; u >= 0 && t.mentionAt(u) != nil {
			return true
		}
	}
	return false
}

// behindPreposition reports whether a part that stands after a verdict only says
// when or where it holds.
func (t *turn) behindPreposition(k, first int) bool {
	for j := k + 1; j < first; j++ {
		switch t.toks[j].norm {
		case "with", "when", "while", "at", "without", "after", "once":
			return true
		}
	}
	return false
}

// predicate reports whether a word is said of a thing: "is sound", "looks
// sound" against "no sound from it".
func (t *turn) predicate(k int) bool {
	if k == 0 {
		return false
	}
	switch t.toks[k-1].norm {
	case "is", "are", "was", "were", "looks", "look", "looked", "seems", "seem", "all", "its", "perfectly", "and", "be", "being":
		return true
	}
	return false
}

// checkedIn reports whether the tokens speak of a check.
func (t *turn) checkedIn(lo, hi int) bool {
	for k := lo; k <= hi; k++ {
		if w := t.toks[k].norm; t.lx.checkVerbs[w] && !t.lx.functions[w] {
			return true
		}
	}
	return false
}

// reachOf returns the tokens that may speak of the part: its clause, no
// further than the next part on either side when that one is in the same
// clause.
func (t *turn) reachOf(p *mention) (lo, hi int) {
	v := &t.voices[p.clause]
	lo, hi = v.first, v.last
	if p.index > 0 {
		if q := &t.parts[p.index-1]; q.clause == p.clause {
			lo = max(lo, t.us[q.last].last+1)
		}
	}
	return max(lo, t.us[p.first].first-12), min(hi, t.us[p.last].last+12)
}

// allNew reports whether "new" at token k closes a list: "plugs, leads and cap
// all new", "both are new".
func (t *turn) allNew(k int) bool {
	switch t.word(k, -1) {
	case "all", "both", "are", "is", "brand", "were", "was":
		return true
	}
	return false
}

// usedPart is the token that says that a used or reconditioned part was fitted,
// or -1.
func (t *turn) usedPart(lo, first int) int {
	for k := max(lo, first-4); k < first; k++ {
		switch t.toks[k].norm {
		case "secondhand", "recon", "refurb", "refurbed", "exchange":
			return k
		case "second":
			if t.word(k, 1) == "hand" {
				return k
			}
		}
	}
	return -1
}

// listOpener is the verb before a colon or the like that opens a list of parts:
// "thrown at it so far: thermostat, pump", or -1.
func (t *turn) listOpener(first int) int {
	for k := first - 1; k >= 0 && k >= first-9 && t.toks[k].sent == t.toks[first].sent; k-- {
		switch w := t.toks[k].norm; {
		case w == "thrown" || w == "chucked":
			return k
		case (t.lx.renewVerbs[w] || w == "tried") && !t.toks[k].under:
			for j := k + 1; j < first; j++ {
				if t.toks[j].norm == ":" {
					return k
				}
			}
		}
	}
	return -1
}

// listed reports whether the part stands in a list begun by an earlier verb:
// "new thermostat, cap and water pump".
func (t *turn) listed(p *mention) bool {
	first := t.us[p.first].first
	if _, works := t.lx.ownWork[t.word(t.us[p.last].last, 1)]; works && t.ctx.Chief != "" {
		return false // "replaced the switch, tail lights work again"
	}
	for k := first - 1; k >= 0 && k >= first-4 && t.toks[k].sent == t.toks[first].sent; k-- {
		switch t.toks[k].norm {
		case ",", "and", "&", "plus", ":":
			return true
		case "now":
			return false // "replaced the relay and now the horn won't stop"
		}
		if t.toks[k].class == classContent && t.toks[k].kind == tokenWord && t.lx.items[t.toks[k].norm] == "" {
			return false
		}
	}
	return false
}

func (t *turn) listVerb(p *mention) int {
	// the previous part of the same sentence must have been renewed
	for i := p.index; i > 0 && i > p.index-12; i-- {
		p, q := &t.parts[i], &t.parts[i-1]
		if t.toks[t.us[q.first].first].sent != t.toks[t.us[p.first].first].sent {
			return -1
		}
		for k := t.us[q.last].last + 1; k < t.us[p.first].first; k++ {
			w := &t.toks[k]
			if w.class == classContent && w.kind == tokenWord && !t.lx.renewVerbs[w.norm] {
				return -1
			}
		}
		lo, _ := t.reachOf(q)
		for k := lo; k <= t.us[q.last].last; k++ {
			if t.lx.renewVerbs[t.toks[k].norm] && !t.toks[k].under {
				return k
			}
		}
		if !t.listed(q) || i == 1 {
			return t.listOpener(t.us[q.first].first)
		}
	}
	return t.listOpener(t.us[p.first].first)
}

// future reports a plan or a wish rather than a deed: "going to replace".
func (t *turn) future(verb int) bool {
	for k := verb - 1; k >= 0 && k >= verb-4 && t.toks[k].clause == t.toks[verb].clause; k-- {
		switch t.toks[k].norm {
		case "to":
			if k > 0 && (t.toks[k-1].norm == "had" || t.toks[k-1].norm == "managed") {
				return false // "had to have a key cut"
			}
			return true
		case "will", "should", "would", "could", "might", "gonna", "ill", "can", "planning", "going", "must", "need", "needs", "tempted":
			return true
		case "nearly", "almost":
			return k == verb-1
		}
	}
	return false
}

func (t *turn) notYet(k int) bool {
	return k+1 < len(t.toks) && t.toks[k].norm == "new" && t.toks[k+1].norm == "to"
}

// beganAfter reports whether the words say that the trouble came after the
// work: "since I changed the pump", "started after fitting".
func (t *turn) beganAfter(p *mention, verb int) bool {
	lo := max(t.voices[p.clause].first, t.us[p.first].first-25)
	for k := lo; k < max(verb, t.us[p.first].first); k++ {
		switch t.toks[k].norm {
		case "since":
			return true
		case "after":
			for j := max(0, k-6); j <= k; j++ {
				switch stem(t.toks[j].norm) {
				case "start", "began", "begin":
					return true
				}
			}
			return t.toks[k].sent == t.toks[verb].sent && k < verb && !t.saysStill(k)
		case "before":
			return false
		}
	}
	return false
}

func (t *turn) saysStill(k int) bool {
	for j := k; j < len(t.toks) && t.toks[j].sent == t.toks[k].sent; j++ {
		if t.toks[j].norm == "still" || t.toks[j].norm == "same" {
			return true
		}
	}
	return false
}

func (t *turn) usedBySymptom(k int) bool {
	u := t.unitAt[k]
	return u >= 0 && t.usedUnit[u]
}

// saysWhole reports whether "fine" speaks of the car rather than the part:
// "fine at speed".
func (t *turn) saysWhole(k int) bool {
	if k+1 < len(t.toks) && t.toks[k+1].clause == t.toks[k].clause {
		switch t.toks[k+1].norm {
		case "on", "at", "when", "in", "once":
			return fineWords[t.toks[k].norm]
		}
	}
	return false
}

// partLook reads a look or an action on the part.
func (t *turn) partLook(p *mention, lo, hi int, others func(string, string, *Observation)) bool {
	ulo, uhi := t.rangeOfUnits(lo, hi)
	best := -1
	var fit []int
	at := sort.Search(len(t.looks), func(i int) bool { return t.matches[t.looks[i]].first >= ulo })
	for ; at < len(t.looks) && t.matches[t.looks[at]].first <= uhi; at++ {
		i := t.looks[at]
		m := &t.matches[i]
		if m.first < ulo || m.last > uhi || t.us[m.first].clause != p.clause {
			continue
		}
		if t.within(m, p) || t.placeLow(m) || m.phrase.target.kind == targetLook && m.last-m.first > len(m.units)+1 || m.phrase.target.kind == targetLook && (t.doneBySomebody(m) || t.aimedAt(p, m) || t.sideOf(m) || t.isDoing(t.us[m.first].first)) || t.lx.failsAt(t.toks, t.us[m.first].first) > 0 || !t.credible(p.part, m) || m.flipped && m.phrase.denies || !t.toTheLetter(m) {
			continue // "plugged in" says little of "not plugged in"
		}
		fit = append(fit, i)
		if best < 0 || m.score > t.matches[best].score || m.score == t.matches[best].score && t.literally(m) && !t.literally(&t.matches[best]) {
			best = i
		}
	}
	if best < 0 || t.voices[p.clause].question || !t.tellLook(p, &t.matches[best], others) {
		return false
	}
	for _, i := range fit {
		if t.alsoSeen(p, &t.matches[best], &t.matches[i]) && t.tellLook(p, &t.matches[i], others) {
			break
		}
	}
	return true
}

// alsoSeen reports whether a second look of the part stands beside the first,
// joined to it: "cracked and bulging".
func (t *turn) alsoSeen(p *mention, m, o *match) bool {
	if o.phrase.target.kind != targetLook || m.phrase.target.kind != targetLook || o.phrase.target.id == m.phrase.target.id || o.first <= p.last || m.first <= p.last || o.overlap(m) > 0 || !t.literally(o) {
		return false
	}
	a, b := m, o
	if b.first < a.first {
		a, b = b, a
	}
	from, to := t.us[a.last].last+1, t.us[b.first].first-1
	return from == to && (t.toks[from].norm == "and" || t.toks[from].norm == "&" || t.toks[from].norm == "/")
}

// tellLook notes a look or an action on the part.
func (t *turn) tellLook(p *mention, m *match, others func(string, string, *Observation)) bool {
	if m.first > p.last+4 || m.last < p.first-6 {
		return false
	}
	free, content := false, false
	for _, u := range m.units {
		content = content || t.us[u].class == classContent
	}
	for _, u := range m.units {
		free = free || !t.usedUnit[u] && !(content && isParticleOrLight(t.us[u].class) && m.phrase.target.id == "unplugged")
	}
	if !free || m.phrase.target.kind == targetLook && (t.isSetting(m) || t.triedOn(p, m)) {
		return false
	}
	start, end := t.span(m)
	o := Observation{Item: p.item, Start: min(p.start, start), End: max(p.end, end)}
	if m.phrase.target.kind == targetLook {
		o.Finding, o.Outcome, o.Means = "part:"+p.part+":"+m.phrase.target.id, "yes", "by-eye"
		if m.flipped || !m.phrase.denies && t.lookedInVain(p.clause) {
			o.Outcome = "no"
		}
		others(m.phrase.target.id, o.Outcome, &o)
	} else {
		o.Finding, o.Source, o.Means = "part:"+p.part+":"+m.phrase.target.id, "tried", m.phrase.target.id
		o.Outcome = t.comeGo(m)
		if o.Outcome == "" {
			return false
		}
		others(m.phrase.target.id, o.Outcome, &o)
	}
	t.use(m)
	t.useTokens(t.us[p.first].first, t.us[p.last].last)
	t.observe(o, p.clause)
	return true
}

// isSetting reports whether a look's word is that of a switch: "on low".
func (t *turn) isSetting(m *match) bool {
	w := t.word(t.us[m.first].first, -1)
	return len(m.units) == 1 && (w == "on" || w == "in" || w == "one")
}

// triedOn reports whether the words of a look are a deed whose outcome a test of
// the part has already told: "module unplugged, the draw went".
func (t *turn) triedOn(p *mention, m *match) bool {
	w := t.toks[t.us[m.first].first].norm
	if !t.lx.handVerbs[w] {
		return false
	}
	if n := t.word(t.us[m.first].first, -1); m.flipped && (n == "havent" || n == "didnt" || n == "not" || n == "never") && acting[t.word(t.us[m.first].first, -2)] {
		return true // "I haven't unplugged it yet"
	}
	for i := max(0, len(t.acc.Observations)-keepBack); i < len(t.acc.Observations); i++ {
		o := &t.acc.Observations[i]
		if f := t.lx.findings[o.Finding]; f != nil && f.kind == kb.FindingTest && f.part == p.part && o.Reading == nil {
			return true
		}
	}
	return false
}

// doneBySomebody reports whether a look's words are what a person does: "when I
// come off the throttle", "pulled a plug".
func (t *turn) doneBySomebody(m *match) bool {
	k := t.us[m.first].first
	switch t.word(k, -1) {
	case "i", "we", "you":
		return true
	case "", "ive", "and", "so":
		switch t.word(k, 1) {
		case "the", "a", "an", "my":
			return t.lx.handVerbs[t.toks[k].norm]
		}
	}
	return false
}

// besides are the prepositions of a place beside a part, and no part of it.
var besides = set(`onto over behind under underneath beneath near by above below beside beyond past towards next`)

// aimedAt reports whether the part only says where the look was seen: "pouring
// out behind the pulley".
func (t *turn) aimedAt(p *mention, m *match) bool {
	if m.first > p.last {
		return false
	}
	for k := t.us[p.first].first - 1; k > t.us[m.last].last && t.toks[k].clause == p.clause; k-- {
		if besides[t.toks[k].norm] {
			return true
		}
		if t.toks[k].class == classContent {
			return false
		}
	}
	return false
}

// toTheLetter asks of a look told in one word that the word be that form of it:
// "blocked", not "the block"; of an action that it be told in full.
func (t *turn) toTheLetter(m *match) bool {
	if m.phrase.target.kind == targetComeGo {
		// "the clutch clicks in" is nobody's deed
		w := t.toks[t.us[m.units[0]].first].norm
		if t.lx.acts[strings.TrimSuffix(m.phrase.said, " it")] != "" {
			n := t.word(t.us[m.last].last, 1)
			return n == "it" || n == "them" || n == "both" || n == "all"
		}
		return len(m.units) >= m.phrase.required && (!strings.HasSuffix(w, "s") || strings.HasSuffix(strings.Fields(plain(m.phrase.said))[0], "s"))
	}
	if len(m.units) != 1 || m.phrase.required != 1 {
		return true
	}
	w := t.toks[t.us[m.first].first].norm
	for _, f := range strings.Fields(plain(m.phrase.said)) {
		if f == w {
			return true
		}
	}
	for _, f := range strings.Fields(plain(m.phrase.said)) {
		if strings.HasSuffix(f, "ed") {
			return strings.HasSuffix(w, "ed")
		}
	}
	return true
}

// credible reports whether a part can look so: a look that shows none of its
// modes is no look of it ("wipers crawl as if stuck in mud").
func (t *turn) credible(part string, m *match) bool {
	if m.phrase.target.kind != targetLook {
		return true
	}
	modes, looks := t.lx.modesOf[part], t.lx.lookModes[m.phrase.target.id]
	if len(modes) == 0 || len(looks) == 0 {
		return true
	}
	for mode := range modes {
		if _, ok := looks[mode]; ok {
			return true
		}
	}
	return false
}

// within reports whether a look's words are the part's own name.
func (t *turn) within(m *match, p *mention) bool {
	return m.first >= p.first && m.last <= p.last
}

func (t *turn) rangeOfUnits(lo, hi int) (ulo, uhi int) {
	ulo, uhi = len(t.us), -1
	for k := lo; k <= hi; k++ {
		if u := t.unitAt[k]; u >= 0 {
			ulo, uhi = min(ulo, u), max(uhi, u)
		}
	}
	return ulo, uhi
}

// comeGo reads what an action did: goes (the trouble goes), comes, none.
func (t *turn) comeGo(m *match) string {
	from := t.us[m.first].first
	if e, _, _ := t.effectOf(from); e == "same" {
		return "none"
	}
	sent := t.toks[from].sent
	for k := t.us[m.last].last + 1; k < len(t.toks) && t.toks[k].sent == sent && k < from+25; k++ {
		switch {
		case t.lx.comesBack[t.toks[k].norm]:
			if t.toks[k].under {
				return "none"
			}
			return t.lasting(from)
		case t.lx.bringsOn[t.toks[k].norm] || t.bringsOnAt(k):
			return "comes"
		case t.toks[k].norm == "nothing":
			return "none"
		}
	}
	return ""
}

// meansIn reads by what means a part was tested, from the derived table.
func (t *turn) meansIn(lo, hi int) string {
	text := plain(t.text[t.toks[lo].start:t.toks[hi].end])
	best, n := "unsaid", 0
	for _, m := range t.means {
		if len(m.words) > n && containsWords(text, m.words) {
			best, n = m.means, len(m.words)
		}
	}
	if best != "unsaid" {
		return best
	}
	for k := lo; k <= hi; k++ {
		switch t.toks[k].norm {
		case "looks", "looked", "look", "see", "visually", "inspected":
			return "by-eye"
		case "continuity", "beeps", "beep", "beeped":
			return "beep"
		case "ohms", "ohmed", "resistance", "ohm":
			return "ohms"
		case "volts", "voltage":
			return "volts-open"
		}
	}
	return best
}

// longAgo reports whether what is told at a token was so at another time.
func (t *turn) longAgo(k int) bool {
	v := &t.voices[t.toks[k].clause]
	had := false
	for j := max(v.first, k-15); j <= min(v.last, k+15); j++ {
		switch w := t.toks[j].norm; {
		case w == "had":
			had = true
		case w == "ago" || w == "last" && (t.word(j, 1) == "year" || t.word(j, 1) == "month" || t.word(j, 1) == "winter" || t.word(j, 1) == "summer"):
			return had
		}
	}
	return false
}

// literally reports whether a phrase of one word stands in the turn to the
// letter and not as a synonym.
func (t *turn) literally(m *match) bool {
	return len(m.units) == 1 && containsWords(plain(m.phrase.said), t.toks[t.us[m.first].first].norm)
}

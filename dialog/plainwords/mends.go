package plainwords

import (
	"slices"
	"sort"
)

// Mend is something put right, told in passing, other than a named part
// renewed: "mended it, clears now", "cleaned the earth, all good", "it was the
// fuse in the end".
type Mend struct {
	// Part is the part, or empty for what is in talk; Item which one.
	Part, Item string
	// Way is renewed, mended or found; Verb the verb that told it.
	Way, Verb string
	// Modes are the failure modes named with it, if any.
	Modes []string
	// Effect is cured, better, same or worse.
	Effect     string
	Start, End int
}

// findMends reads what was put right, where a case is under way.
func (t *turn) findMends() {
	if len(t.ctx.Talk) == 0 {
		return
	}
	for k := range t.toks {
		if t.toks[k].kind == tokenWord && !t.mendedAt(k) {
			t.foundAt(k)
		}
	}
}

// tellsDeed reports whether a clause tells a deed of now and asks or supposes
// nothing.
func (t *turn) tellsDeed(k int) bool {
	v := &t.voices[t.toks[k].clause]
	return !v.question && !v.supposed && v.era != "before" && !t.reported(k) && !t.toks[k].under && !t.future(k) && !t.wanted(k) && !t.supposedAt(k)
}

// supposedAt reports whether "if", "would" or the like stands before a token in
// its sentence.
func (t *turn) supposedAt(k int) bool {
	for j := k - 1; j >= 0 && j >= k-8 && t.toks[j].sent == t.toks[k].sent; j-- {
		switch t.toks[j].norm {
		case "if", "would", "unless", "until", "whether", "before", "when", "whenever":
			return true
		}
	}
	return false
}

// wanted reports whether the verb is of something yet to be done: "get it
// fixed", "needs cleaned".
func (t *turn) wanted(k int) bool {
	for j := k - 1; j >= 0 && j >= k-4 && t.toks[j].clause == t.toks[k].clause; j-- {
		switch t.toks[j].norm {
		case "need", "needs", "get", "getting", "want", "be", "never", "not", "wont", "didnt", "havent", "hasnt":
			return true
		}
	}
	return false
}

// toBe reports whether the verb is said to be needed: "need to get it fixed".
func (t *turn) toBe(k int) bool {
	for j := k - 1; j >= 0 && j >= k-5 && t.toks[j].clause == t.toks[k].clause; j-- {
		switch t.toks[j].norm {
		case "need", "needs", "get", "getting", "want", "wanted", "must":
			return true
		}
	}
	return false
}

// mendedAt reads a deed whose verb stands at a token.
func (t *turn) mendedAt(k int) bool {
	w := t.toks[k].norm
	way := ""
	switch {
	case t.lx.mendVerbs[w]:
		way = "mended"
	case w == "bridged" && t.forGood(k):
		way = "mended"
	case t.lx.renewedVerbs[w]:
		way = "renewed"
	case w == "new" && (t.word(k, 1) == "one" || t.word(k, 1) == "ones"):
		way = "renewed"
	default:
		return false
	}
	if !t.tellsDeed(k) {
		return false
	}
	p := t.objectAt(k)
	last := k
	switch {
	case p != nil && way == "renewed":
		return false // read with the part's own words
	case p == nil:
		var ok bool
		if last, ok = t.pronounObject(k, way); !ok {
			return false
		}
	default:
		last = max(last, t.us[p.last].last)
	}
	effect, ef, el := t.effectOf(min(last+1, len(t.toks)-1))
	if effect == "" {
		effect, ef, el = t.doesOwnWork(last)
	}
	if effect == "" && p == nil && (w == "mended" || w == "fixed") {
		effect, ef, el = "cured", k, last
	}
	if effect == "" || effect == "cured" && t.limited(el) {
		return false
	}
	m := Mend{Way: way, Verb: w, Effect: effect, Start: t.toks[k].start, End: t.toks[last].end}
	if p != nil {
		m.Part, m.Item, m.Modes = p.part, p.item, t.modesAt(p)
		m.Start, m.End = min(m.Start, p.start), max(m.End, p.end)
		if id := t.lx.acts[w]; (id == "clean" || id == "tighten") && t.changedBy(k, last) != "" {
			return false // a deed with a table of its own
		}
		p.mended = true
		t.useTokens(t.us[p.first].first, t.us[p.last].last)
	} else if part, item := t.lastPart(k); part != "" {
		if id := t.lx.acts[w]; (id == "clean" || id == "tighten") && t.word(k, 1) != "" && t.changedBy(k, k+1) != "" {
			return false
		}
		m.Part, m.Item = part, item
	}
	for last < ef-1 && t.toks[last+1].clause == t.toks[k].clause && !joining[t.toks[last+1].norm] {
		last++ // "with a bit of wire"
	}
	t.takeMend(m, k, last, ef, el)
	return true
}

// takeMend adds what was put right and claims its words.
func (t *turn) takeMend(m Mend, first, last, ef, el int) {
	for _, span := range [][2]int{{first, last}, {ef, el}} {
		t.useTokens(span[0], span[1])
		for k := span[0]; k <= span[1]; k++ {
			if u := t.unitAt[k]; u >= 0 {
				t.mendedUnit[u] = true
			}
		}
	}
	t.mendedIn[t.toks[first].clause] = true
	t.acc.Mends = append(t.acc.Mends, m)
}

// ofMend reports whether a match has words that told what was put right.
func (t *turn) ofMend(m *match) bool {
	return slices.ContainsFunc(m.units, func(u int) bool { return t.mendedUnit[u] })
}

// modesAt are the failure modes named beside a part: "the broken wire".
func (t *turn) modesAt(p *mention) []string {
	var out []string
	for _, look := range t.looksAt(p) {
		best, w := look, 0.0
		modes := t.lx.lookModes[look]
		for _, mode := range sortedKeys(modes) {
			if p := modes[mode]; p > w || mode == look {
				best, w = mode, p
			}
			if mode == look {
				break
			}
		}
		out = append(out, best)
	}
	return out
}

// forGood reports whether a bridge is meant to stay.
func (t *turn) forGood(k int) bool {
	for j := k + 1; j < len(t.toks) && j < k+8 && t.toks[j].sent == t.toks[k].sent; j++ {
		switch t.toks[j].norm {
		case "permanently":
			return true
		case "for":
			if t.word(j, 1) == "good" {
				return true
			}
		}
	}
	return false
}

// objectAt is the part that a verb is told of in its clause: after it, or
// before it where nothing stands between ("earth cleaned").
func (t *turn) objectAt(k int) *mention {
	for i := max(0, t.partsFrom(k-8)); i < len(t.parts) && t.us[t.parts[i].first].first <= k+6; i++ {
		p := &t.parts[i]
		first, last := t.us[p.first].first, t.us[p.last].last
		if p.clause != t.toks[k].clause {
			continue
		}
		if first > k && first-k <= 6 && t.objectReach(k, first) || last < k && k-last <= 3 {
			return p
		}
	}
	return nil
}

// partsFrom is the place of the first part that begins at a token or later.
func (t *turn) partsFrom(k int) int {
	return sort.Search(len(t.parts), func(i int) bool { return t.us[t.parts[i].first].first >= k })
}

// objectReach reports whether no other verb of a deed and no other statement
// stands between a verb and its part.
func (t *turn) objectReach(k, first int) bool {
	for j := k + 1; j < first; j++ {
		switch n := t.toks[j].norm; {
		case n == "and", n == "with", n == "so", n == "it", n == "them":
			return false
		}
	}
	return true
}

// pronounObject is the last token of an object that names no part: "it",
// "them", "a new one in"; a verb alone has what is in talk as its object.
func (t *turn) pronounObject(k int, way string) (last int, ok bool) {
	for j := k + 1; j < len(t.toks) && j <= k+5 && t.toks[j].clause == t.toks[k].clause; j++ {
		switch n := t.toks[j].norm; {
		case n == "it", n == "them", n == "that", n == "this":
			next := t.word(j, 1)
			if next == "with" && way == "renewed" || next == "back" || next == "over" || next == "round" || next == "around" || n != "it" && n != "them" && next != "" && !t.opensClause(j+1) {
				return 0, false // "swapped it with the horn relay"
			}
			return j, way == "mended" || t.toks[k].norm != "put" && t.toks[k].norm != "stuck"
		case n == "another" && (t.word(j, 1) == "in" || t.word(j, 1) == "on"):
			return j + 1, true
		case n == "one", n == "ones":
			return j, slices.Contains([]string{"new", "another", "different", "secondhand", "used", "good", "replacement"}, t.word(j, -1))
		case n == "a", n == "an", n == "the", n == "new", n == "another", n == "different", n == "good", n == "brand", n == "in", n == "on", n == "secondhand", n == "used", n == "replacement", n == "up":
		default:
			return k, way == "mended" && (n == "and" || n == "so")
		}
	}
	return k, way == "mended" && k == t.firstWord(k)
}

// firstWord is the first token of a clause that is no word of address and no
// "I": "so I mended ...".
func (t *turn) firstWord(k int) int {
	f := t.voices[t.toks[k].clause].first
	for f < k && (opensTurn[t.toks[f].norm] || t.toks[f].norm == "i" || t.toks[f].norm == "ive" || t.toks[f].kind == tokenPunct) {
		f++
	}
	return f
}

// foundAt reads the cause as it was found: "turned out to be the earth", "it
// was the fuse in the end", "found it! loose plug".
func (t *turn) foundAt(k int) bool {
	from, ends := -1, false
	switch w := t.toks[k].norm; {
	case w == "turned" && t.word(k, 1) == "out" && t.word(k, 2) == "to" && t.word(k, 3) == "be":
		from, ends = k+3, true
	case w == "turns" && t.word(k, 1) == "out" && (t.word(k, 2) == "its" || t.word(k, 2) == "it" && t.word(k, 3) == "was"):
		from, ends = k+2, true
	case w == "it" && (t.word(k, 1) == "was" || t.word(k, 1) == "wasnt"):
		from, ends = k+1, t.atLast(k)
	case w == "was" && k > 0 && t.firstWord(k) == k && t.toks[k-1].norm == "," && t.word(k, 1) == "the":
		from, ends = k, true // "sorted, was the relay"
	case w == "that" && t.firstWord(k) == k && t.word(k, 1) == "was" && (t.word(k, 2) == "it" || t.word(k, 2) == "the" && t.lx.culprits[t.word(k, 3)]):
		return t.thatWasIt(k)
	case t.lx.culprits[w] && t.word(k, 1) == "was":
		from, ends = k+1, true
	case w == "got" && t.firstWord(k) == k && t.word(k, 1) == "it" && t.opensClause(k+2):
		from, ends = k, true
	case w == "found" && t.firstWord(k) == k:
		from = k
		if n := t.word(k, 1); n == "it" || n == "the" && t.lx.culprits[t.word(k, 2)] {
			ends = true
		}
	default:
		return false
	}
	v := &t.voices[t.toks[k].clause]
	verb := t.toks[k].norm
	if verb == "got" {
		verb = "found"
	}
	p := t.partNext(from, verb == "found" && ends)
	if p == nil || v.question {
		return false
	}
	if v.supposed || t.supposedAt(k) || t.toks[k].under || v.hedge == "maybe" || v.hedge == "think" || t.reported(k) || t.otherTime(k) || t.toks[k].norm == "it" && t.firstWord(k) != k {
		if t.toks[k].norm == "it" {
			t.mendedUnit[p.first], t.guesses = true, true // "I thought it was the fuse" answers nothing
		}
		return false
	}
	first, last := t.us[p.first].first, t.us[p.last].last
	switch {
	case t.toks[first].under:
		return false // "it wasn't the fuse"
	case verb == "found":
		if !ends && !t.faultBeside(p) || v.past && !ends && t.otherDeed(k, first) {
			return false
		}
	case !t.nothingAfter(last, p.clause):
		return false // "it was the fuse that I checked"
	case !ends && !slices.Contains(t.ctx.Talk, p.part):
		return false
	}
	m := Mend{Part: p.part, Item: p.item, Way: "found", Verb: verb, Modes: t.modesAt(p), Start: t.toks[k].start, End: p.end}
	effect, ef, el := t.changed(last, last)
	if effect == "cured" && !t.limited(el) {
		m.Effect = effect
	} else {
		ef, el = k, from
	}
	p.mended = len(m.Modes) == 0 && verb != "found"
	if end := min(t.voices[p.clause].last, last+longestCheck); verb != "found" {
		for j := from; j <= end; j++ {
			if lastly[t.toks[j].norm] {
				t.useTokens(j, j)
			}
		}
		t.useTokens(k, from)
		t.takeMend(m, first, last, ef, el)
		return true
	}
	t.useTokens(k, from)
	t.takeMend(m, k, k, ef, el)
	return true
}

// thatWasIt takes the part named right before as the cause: "corroded earth,
// that was it".
func (t *turn) thatWasIt(k int) bool {
	if i := t.partsFrom(k) - 1; i >= 0 {
		p := &t.parts[i]
		v := &t.voices[p.clause]
		if t.toks[k].sent-v.sent > 1 || p.clause+1 != t.toks[k].clause || v.question || v.supposed || t.toks[t.us[p.first].first].under || t.reported(t.us[p.first].first) || t.otherTime(k) {
			return false
		}
		m := Mend{Part: p.part, Item: p.item, Way: "found", Verb: "that", Modes: t.modesAt(p), Start: p.start, End: t.toks[k+1].end}
		t.takeMend(m, k, k+1, k, k+1)
		return true
	}
	return false
}

// lastly are the words by which a search ends.
var lastly = set(`end all along after finally simply just only turns`)

// atLast reports whether the clause says that the search ended there.
func (t *turn) atLast(k int) bool {
	v := &t.voices[t.toks[k].clause]
	for j := k; j <= min(v.last, k+longestCheck); j++ {
		switch t.toks[j].norm {
		case "end":
			return t.word(j, -1) == "the" && t.word(j, -2) == "in"
		case "along":
			return t.word(j, -1) == "all"
		case "all":
			if t.word(j, -1) == "after" {
				return true
			}
		case "just", "only", "simply", "finally":
			return true
		}
	}
	return false
}

// otherTime reports whether the clause speaks of an earlier trouble.
func (t *turn) otherTime(k int) bool {
	v := &t.voices[t.toks[k].clause]
	if v.era == "before" {
		return true
	}
	for j := max(v.first, k-longestCheck); j <= min(v.last, k+longestCheck); j++ {
		switch t.toks[j].norm {
		case "last", "ago", "previous", "once", "originally", "before", "when", "thought", "not", "never", "wasnt":
			return true
		}
	}
	return false
}

// partNext is the part named right after a token, in the next clause or two
// where across says so.
func (t *turn) partNext(from int, across bool) *mention {
	if i := t.partsFrom(from + 1); i < len(t.parts) {
		p := &t.parts[i]
		first := t.us[p.first].first
		if first-from > 8 || t.toks[first].sent > t.toks[from].sent+1 || !across && p.clause != t.toks[from].clause {
			return nil
		}
		return p
	}
	return nil
}

// faultBeside reports whether a fault is named beside the part: "found the plug
// loose".
func (t *turn) faultBeside(p *mention) bool { return len(t.looksAt(p)) > 0 }

// looksAt are the looks told in the clause of a part that are faults of it.
func (t *turn) looksAt(p *mention) []string {
	var out []string
	at := sort.Search(len(t.looks), func(i int) bool { return t.matches[t.looks[i]].first >= p.first-8 })
	for ; at < len(t.looks) && t.matches[t.looks[at]].first <= p.last+8; at++ {
		m := &t.matches[t.looks[at]]
		if m.phrase.target.kind == targetLook && t.us[m.first].clause == p.clause && t.solid(m) && !m.flipped && t.credible(p.part, m) && !t.within(m, p) {
			out = append(out, m.phrase.target.id)
		}
	}
	return out
}

// otherDeed reports whether something else than a fault stands between.
func (t *turn) otherDeed(k, first int) bool {
	for j := k + 1; j < first; j++ {
		if t.toks[j].norm == "in" || t.toks[j].norm == "no" || t.toks[j].norm == "nothing" {
			return true
		}
	}
	return false
}

// nothingAfter reports whether only closing words follow a part in its clause.
func (t *turn) nothingAfter(last int, clause int32) bool {
	for j := last + 1; j < len(t.toks) && j < last+longestCheck && t.toks[j].clause == clause; j++ {
		w := &t.toks[j]
		if w.kind == tokenWord && w.class == classContent && !lastly[w.norm] && !t.lx.bad[w.norm] && t.lx.items[w.norm] == "" && !t.lookWord(j) {
			return false
		}
		switch w.norm {
		case "that", "which", "i", "when", "light", "lamp", "noise":
			return false
		case "and", "so":
			return true
		}
	}
	return true
}

// lookWord reports whether a token belongs to a look.
func (t *turn) lookWord(k int) bool {
	u := t.unitAt[k]
	at := sort.Search(len(t.looks), func(i int) bool { return t.matches[t.looks[i]].first >= u-6 })
	for ; u >= 0 && at < len(t.looks) && t.matches[t.looks[at]].first <= u; at++ {
		if t.matches[t.looks[at]].last >= u {
			return true
		}
	}
	return false
}

// inPassing is how many tokens a turn has that tells something in passing; in
// a longer tale a noun means what the tale is about. Basis: memory.
const inPassing = 24

// inTalk is the part in talk that a bare noun means: the first of those near,
// or else of those named; with none given the first whose name ends in the
// noun. It is "" if there is none, or the noun is no object of a deed.
func (t *turn) inTalk(u int, near, named []string) string {
	id := t.us[u].id
	if len(t.ctx.Talk) == 0 || len(t.toks) > inPassing || id < 0 || t.us[u].class != classContent || !t.deedBefore(t.us[u].first) {
		return ""
	}
	first := func(fits func(string) bool) string {
		if at := slices.IndexFunc(t.ctx.Talk, fits); at >= 0 {
			return t.ctx.Talk[at]
		}
		return ""
	}
	if named == nil {
		return first(func(p string) bool { return t.lx.endsIn[p][id] })
	}
	if p := first(func(p string) bool { return slices.Contains(near, p) }); p != "" {
		return p
	}
	if p := first(func(p string) bool { return slices.Contains(named, p) }); p != "" {
		return p
	}
	if f := t.lx.findings[t.ctx.Chief]; f == nil || slices.ContainsFunc(near, func(p string) bool { return t.systemOf(p) == f.system }) {
		return ""
	}
	return first(func(p string) bool { return t.lx.nameWords[p][id] }) // a relay by its socket
}

// partNamed is the name of a part, or "".
func (r *Reader) partNamed(id string) string {
	if p := r.base.Part(id); p != nil {
		return p.Name
	}
	return ""
}

// deedBefore reports whether the words right before a noun make it the object
// of a deed or what was found: "replaced the", "new", "turned out to be the".
func (t *turn) deedBefore(k int) bool {
	for j := k - 1; j >= 0 && j >= k-4 && t.toks[j].clause == t.toks[k].clause; j-- {
		n := t.toks[j].norm
		switch {
		case t.lx.renewVerbs[n], t.lx.mendVerbs[n], n == "did", n == "put", n == "be" && t.word(j, -1) == "to", n == "was" && (t.word(j, -1) == "it" || t.firstWord(j) == j):
			return true
		case n == "the", n == "a", n == "an", n == "my", n == "that", n == "its", n == "in", n == "just", n == "only", n == "another":
		default:
			return false
		}
	}
	return false
}

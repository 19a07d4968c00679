package plainwords

import (
	"slices"
	"sort"
	"strings"
)

// Limits of phrase matching.
const (
	window       = 7    // units to either side of an anchor
	missingFrom  = 4    // required words from which one may be missing
	coverage     = 0.72 // share of a phrase's weight that must be there
	leastCompact = 0.5  // share of the units of a match that are the phrase's
	crossPenalty = 0.8  // for every clause boundary inside a match
	headShare    = 0.9  // what a compound counts for its head noun
)

// match is a phrase found in a turn.
type match struct {
	phrase  *phrase
	score   float64
	flipped bool // the negation differs
	implied bool // "fine" goes without saying
	ordered bool // the words stand in the phrase's order
	carried bool // its noun stands in an earlier clause, see addCarried
	literal int  // words that stand as they are written in the phrase
	units   []int
	first   int // units
	last    int
}

// matches returns every phrase present in the units, best first at each place.
func (lx *lexicon) matches(toks []token, us []unit) []match {
	var out []match
	for i := range us {
		for k, id := range [2]int32{us[i].id, us[i].head} {
			if id < 0 || int(id) >= len(lx.anchors) || k > 0 && id == us[i].id {
				continue
			}
			for _, p := range lx.anchors[id] {
				if m, ok := lx.try(&lx.phrases[p], toks, us, i); ok {
					out = append(out, m)
				}
			}
		}
		out = lx.waysAt(out, toks, us, i)
	}
	return out
}

// try looks for the phrase around the unit that is its anchor.
func (lx *lexicon) try(p *phrase, toks []token, us []unit, at int) (match, bool) {
	m := match{phrase: p, first: at, last: at}
	got, missing := 0.0, 0
	lo, hi := at, at
	for lo > 0 && at-lo < window && us[lo-1].seg == us[at].seg {
		lo--
	}
	for hi+1 < len(us) && hi-at < window && us[hi+1].seg == us[at].seg {
		hi++
	}
	inOrder, deniedIn, needDenied := true, false, false
	prev := -1
	for k := range p.words {
		w := &p.words[k]
		best := -1
		if us[at].is(w.id) {
			best = at
		} else {
			from := at
			if prev >= 0 {
				from = prev
			}
			for j := lo; j <= hi; j++ {
				if us[j].is(w.id) && (best < 0 || abs(j-from) < abs(best-from)) {
					best = j
				}
			}
			if best >= 0 && isParticleOrLight(w.class) && (abs(best-at) > 3 || us[best].clause != us[at].clause) {
				best = -1
			}
		}
		if slices.Contains(m.units, best) {
			best = -1 // one word is not said twice: "pulls to one side" is no "side" besides
		}
		if best < 0 && fineWords[lx.name(w.id)] && len(p.words) > 1 && impliesFine(toks, us, at) {
			m.implied = true
			got += 0.8 * w.weight // "cranks, but ..." is "cranks fine"
			continue
		}
		if best < 0 && w.class == classParticle && prev >= 0 && k > 0 && p.words[k-1].id == us[prev].id && byParticle[lx.name(us[prev].id)] && otherParticle(us, prev, hi) {
			return m, false // "turned the radio up" is not "turned off"
		}
		if best < 0 && w.class == classParticle && (ends[lx.name(w.id)] && p.turned || p.outOf && lx.name(w.id) == "out") {
			return m, false // "when I turn the key" is not "when I turn the key off", "balanced" not "out of balance"
		}
		if best < 0 {
			if w.makes && (p.target.kind == targetOutcome || p.target.kind == targetSymptom) {
				return m, false // "dash lights up" is not "dash lights go out"
			}
			needDenied = needDenied || w.under && w.class == classLight
			if w.class == classContent {
				missing++
				if p.required < missingFrom || p.whole || missing > 1 || w.under {
					return m, false
				}
			}
			continue
		}
		if k > 0 && w.class == classParticle && prev >= 0 && best < prev && p.words[k-1].id == us[prev].id {
			continue // "off the switch" is not "switch off"
		}
		deniedIn = deniedIn || us[best].under && w.under
		if us[best].under != w.under && !anyWords[lx.name(w.id)] {
			m.flipped = true
		}
		if us[best].id == w.id {
			got += w.weight
		} else {
			got += headShare * w.weight
		}
		if us[best].first == us[best].last {
			norm := toks[us[best].first].norm
			if norm == w.form {
				m.literal++
			} else if lx.otherThing(p.target.kind, toks, &us[best], w.form) {
				return m, false
			}
		}
		m.units = append(m.units, best)
		m.first, m.last = min(m.first, best), max(m.last, best)
		if best < prev {
			inOrder = false
		}
		prev = best
	}
	if len(p.rest) > 0 && !restNear(p, toks, us, &m) || p.repeats && !repeated(us, &m) {
		return m, false
	}
	if p.compound && us[m.first].first == us[m.last].last {
		return m, false
	}
	if p.needs != 0 && !needsMet(p.needs, toks, us, &m) {
		return m, false
	}
	cover := got / p.total
	if missing > 0 && (cover < coverage || len(m.units)*4 < (m.last-m.first+1)*3) {
		return m, false
	}
	if n := len(p.words); len(m.units)*2 < n || len(m.units)*2 == n && n > 3 {
		return m, false // light words count when most of a phrase is made of them
	}
	if needDenied && !deniedNear(us, &m) {
		return m, false // "electric fan" is not "electric fan never starts"
	}
	if p.denial && !denialNear(toks, us, &m) {
		return m, false // "new bulbs" is not "new bulbs don't last"
	}
	if lx.contradicted(p, us, &m) || lx.elsewherePlaced(p, us, &m) || p.bareNo && !m.flipped && !noBefore(toks, us[m.first].first) {
		return m, false
	}
	if k := p.target.kind; (k == targetSymptom || k == targetOutcome) && len(m.units) == 2 && us[m.first].clause != us[m.last].clause && subjectBetween(us, &m) {
		return m, false // "tightened the belt, squeal's gone"
	}
	if k := p.target.kind; (k == targetSymptom || k == targetOutcome) && m.first < m.last && lx.turnsBetween(p, toks, us, &m) {
		return m, false // "hard before ive started it"
	}
	if k := p.target.kind; (k == targetSymptom || k == targetOutcome) && (ofNoun(toks, us, &m) || k == targetSymptom && len(m.units) > 1 && asCondition(p, toks, us, &m)) {
		return m, false
	}
	span := m.last - m.first + 1
	compact := float64(len(m.units)) / float64(span)
	if len(m.units) > 1 && compact < leastCompact || us[m.last].clause > us[m.first].clause+1 {
		return m, false
	}
	if !inOrder && len(m.units) == 2 && (us[m.units[0]].class == classParticle || us[m.units[1]].class == classParticle) {
		return m, false // "on the fan" is not "fan on"
	}
	if m.flipped && p.denies && nothingBut(toks, us, &m) {
		m.flipped = false // "no horn" is "horn doesn't work"
	}
	if len(m.units) == 2 && us[m.last].first == us[m.first].last+2 && toks[us[m.first].last+1].norm == "or" {
		return m, false // "parked or moving" is not "moves in park"
	}
	if !inOrder && len(m.units) <= 3 && personBetween(toks, us, &m) {
		return m, false // "spark is there so I'm lost" is not "lost spark"
	}
	if k := us[m.first].last + 1; !inOrder && len(m.units) == 2 && lx.handVerbs[toks[k-1].norm] && k < us[m.last].first && (toks[k].norm == "the" || toks[k].norm == "a" || toks[k].norm == "my") {
		return m, false // "turned the radio off" is not "radio turns off"
	}
	m.ordered = inOrder
	m.flipped = m.flipped || !p.denies && deniedBeside(toks, us, &m)
	if m.flipped && (lx.ownNothing(p, toks, us, &m) || verbatim(p, toks, us, &m)) {
		m.flipped = false
	}
	m.score = got * cover * (0.65 + 0.25*compact)
	if inOrder {
		m.score += 0.1 * got * cover
	}
	if p.repeats {
		m.score *= 1.1 // said again and again, as in the phrase
	}
	for c := us[m.first].clause; c < us[m.last].clause; c++ {
		m.score *= crossPenalty
	}
	return m, m.score > 0.1
}

// personBetween reports whether somebody comes between the words of a match, of
// whom the second is said.
func personBetween(toks []token, us []unit, m *match) bool {
	for k := us[m.first].last + 1; k < us[m.last].first; k++ {
		switch toks[k].norm {
		case "i", "im", "ive", "we", "weve", "he", "she", "you", "id", "ill":
			return true
		}
	}
	return false
}

// otherThing reports whether a word only has its stem from the phrase's and means
// something else: the lines are no linings, the crank no cranking.
func (lx *lexicon) otherThing(kind targetKind, toks []token, u *unit, form string) bool {
	norm := toks[u.first].norm
	if kind != targetPart && kind != targetAxis || form == "" || doing(norm) == doing(form) || stem(norm) != stem(form) {
		return false
	}
	if kind == targetPart || u.first == 0 {
		return kind == targetPart
	}
	switch b := toks[u.first-1].norm; b {
	case "from", "into", "in", "of":
		return !doing(norm) // "from park" is no parking
	default:
		return lx.endings[u.id] && articles[b]
	}
}

func doing(w string) bool { return strings.HasSuffix(w, "ing") || strings.HasSuffix(w, "ings") }

// turnsBetween reports whether a word that opens another statement stands inside
// a match and not in the phrase: "before I even started it", "unless I knock it
// into neutral", "it went hard and it started".
func (lx *lexicon) turnsBetween(p *phrase, toks []token, us []unit, m *match) bool {
	for k := us[m.first].last + 1; k < us[m.last].first; k++ {
		switch w := toks[k].norm; w {
		case "before", "unless", "until", "till", "til", "except":
			if !containsWords(plain(p.said), w) {
				return true
			}
		case "and", "so", "then":
			if len(m.units) == 2 && !lx.endings[us[m.first].id] && subjects[toks[k+1].norm] && !containsWords(plain(p.said), w) {
				return true
			}
		}
	}
	return false
}

// ofNoun reports whether the last word of a match is an adjective that belongs to
// a noun after it: "a hot smell" is nothing hot.
func ofNoun(toks []token, us []unit, m *match) bool {
	k := us[m.last].first
	if !attributive[toks[k].norm] || k == 0 || us[m.last].last != k || m.last+1 >= len(us) {
		return false
	}
	if w := toks[k-1].norm; w != "a" && w != "an" {
		return false
	}
	n := &us[m.last+1]
	return n.first == k+1 && n.clause == us[m.last].clause && n.class == classContent && m.first < m.last
}

// asCondition reports whether an adjective of a match is told as when: "flickers at
// idle when hot" is nothing that gets hot at idle.
func asCondition(p *phrase, toks []token, us []unit, m *match) bool {
	for _, u := range m.units {
		k := us[u].first
		if !temperatures[toks[k].norm] {
			continue
		}
		for j := k - 1; j >= 0 && j >= k-3 && toks[j].clause == toks[k].clause; j-- {
			switch w := toks[j].norm; w {
			case "when", "once", "whenever":
				if w := plain(p.said); !containsWords(w, "when") && !containsWords(w, "once") && !containsWords(w, "whenever") {
					return true
				}
			case "its", "it", "is", "the", "engine", "really", "fully":
				continue
			}
			break
		}
	}
	return false
}

// attributive are adjectives that tell a trouble only as what is said of a thing.
var attributive = set(`hot cold warm wet dry dead loud hard soft low high fast slow`)

// subjects are the pronouns that begin a statement.
var subjects = set(`it its i ive im we weve he she they you`)

// byParticle are the verbs whose meaning hangs on the particle after them.
var byParticle = set(`turn switch put shut stay remain keep leav`)

// ends are the particles that say that something was ended: a phrase of
// turning that has one is not said without it.
var ends = set(`off out`)

// otherParticle reports whether a particle stands after a verb, its object
// between them at most.
func otherParticle(us []unit, verb, hi int) bool {
	for j := verb + 1; j <= min(hi, verb+2); j++ {
		if us[j].class == classParticle && us[j].clause == us[verb].clause {
			return true
		}
	}
	return false
}

// repeated reports whether a word of the match is said again right after it.
func repeated(us []unit, m *match) bool {
	for _, u := range m.units {
		if u+1 < len(us) && us[u+1].id == us[u].id || u > 0 && us[u-1].id == us[u].id {
			return true
		}
	}
	return false
}

// nothingBut reports whether the match is one thing with "no" right before it.
func nothingBut(toks []token, us []unit, m *match) bool {
	if !us[m.first].under || !us[m.last].under || us[m.first].clause != us[m.last].clause {
		return false
	}
	for k := us[m.first].first - 1; k >= 0 && k >= us[m.first].first-3; k-- {
		switch toks[k].norm {
		case "no":
			return toks[k].neg && m.last-m.first < 2 && k == us[m.first].first-1
		case "neither", "nor":
			return toks[k].neg || toks[k].norm == "neither"
		case "the", "my", "of":
		default:
			return false
		}
	}
	return false
}

// anyWords go with a denial wherever they stand: "no click from anywhere".
var anyWords = set(`anywher anyth any either`)

// deniedBeside reports whether a word that is not the phrase's own is denied
// inside the match or right before it: then the phrase is denied with it.
func deniedBeside(toks []token, us []unit, m *match) bool {
	if j := m.last + 1; j < len(us) && us[j].under && us[j].class == classParticle && us[j].clause == us[m.last].clause && !us[m.last].under {
		return true // "the oil light isn't on"
	}
	for j := max(0, m.first-1); j <= m.last; j++ {
		if !us[j].under || us[j].clause != us[m.first].clause || us[j].class == classParticle || us[j].first == us[m.first].first || setOff(toks, us[j].first) {
			continue
		}
		own := false
		for _, u := range m.units {
			// "went dead" also says "does not work" with the same words
			own = own || u == j || us[u].first >= us[j].first && us[u].last <= us[j].last
		}
		if !own {
			return true
		}
	}
	return false
}

// setOff reports whether a word is only named as what is not meant: "washer pump
// not water pump".
func setOff(toks []token, k int) bool {
	for j := k; j > 0 && j > k-3 && toks[j].clause == toks[k].clause; j-- {
		if toks[j].norm == "not" {
			b := &toks[j-1]
			return b.kind == tokenWord && b.class == classContent && b.clause == toks[j].clause
		}
	}
	return false
}

// deniedNear reports whether anything is denied in the clauses of a match or
// the one after.
func deniedNear(us []unit, m *match) bool {
	for j := max(0, m.first-2); j <= min(len(us)-1, m.last+3); j++ {
		if us[j].under && us[j].clause >= us[m.first].clause && us[j].clause <= us[m.last].clause+1 {
			return true
		}
	}
	return false
}

// ownNothing reports whether what denies the words of a match is the "nothing"
// of the phrase itself: "nothing happens when I press it" says "pressing it does
// nothing".
func (lx *lexicon) ownNothing(p *phrase, toks []token, us []unit, m *match) bool {
	if p.denies {
		return false
	}
	id, ok := lx.ids["noth"]
	if !ok {
		id, ok = lx.ids["nothing"]
	}
	if !ok {
		return false
	}
	at := -1
	for _, u := range m.units {
		if us[u].id == id {
			at = us[u].first
		}
	}
	if at < 0 {
		return false
	}
	for k := max(0, us[m.first].first-3); k <= us[m.last].last; k++ {
		if toks[k].neg && k != at {
			return false
		}
	}
	return true
}

// verbatim reports whether the very words of a phrase stand in the text, with no
// denial before or after them: they cannot mean the opposite.
func verbatim(p *phrase, toks []token, us []unit, m *match) bool {
	words := strings.Fields(plain(p.said))
	for k := max(0, us[m.first].first-len(words)); k <= us[m.first].first && k+len(words) <= len(toks); k++ {
		same := true
		for i := 0; i < len(words) && same; i++ {
			same = toks[k+i].norm == words[i]
		}
		if same {
			for j := max(0, k-8); j < min(len(toks), k+len(words)+3); j++ {
				if (j < k || j >= k+len(words)) && toks[j].neg && toks[j].clause == toks[k].clause {
					return false
				}
			}
			return true
		}
	}
	return false
}

// denialNear reports whether a word that denies stands in the sentence of a
// match or beside it.
func denialNear(toks []token, us []unit, m *match) bool {
	sent := toks[us[m.first].first].sent
	for k := max(0, us[m.first].first-3); k < len(toks) && k <= us[m.last].last+5; k++ {
		if w := toks[k].norm; toks[k].sent == sent && (negators[w] || w == "nothing" || w == "dead" || w == "still" || w == "stopped") {
			return true
		}
	}
	return false
}

// restNear reports whether most of the function words of a phrase stand
// beside its only word of meaning.
func restNear(p *phrase, toks []token, us []unit, m *match) bool {
	u := &us[m.first]
	found := 0
	for _, w := range p.rest {
		for k := max(0, u.first-len(p.rest)-2); k <= min(len(toks)-1, u.last+len(p.rest)+2); k++ {
			if toks[k].norm == w && toks[k].clause == u.clause {
				found++
				break
			}
		}
	}
	return found*3 >= len(p.rest)*2
}

// contradicted reports whether "off" stands where the phrase has "on", and the
// like.
func (lx *lexicon) contradicted(p *phrase, us []unit, m *match) bool {
	for k := range p.words {
		anti, ok := contradicts[lx.name(p.words[k].id)]
		if !ok {
			continue
		}
		antiID, ok := lx.ids[anti]
		if !ok {
			continue
		}
		has, opposed := false, false
		for j := m.first; j <= min(m.last+1, len(us)-1); j++ {
			if us[j].seg != us[m.first].seg {
				break
			}
			has = has || us[j].is(p.words[k].id)
			opposed = opposed || us[j].id == antiID
		}
		if opposed && !has {
			return true
		}
	}
	return false
}

// elsewherePlaced reports whether a phrase of a state or an event hangs on a
// particle of place where the turn has another: "the cat sat on the bonnet" is no
// cat under the bonnet.
func (lx *lexicon) elsewherePlaced(p *phrase, us []unit, m *match) bool {
	if k := p.target.kind; k != targetEvent && k != targetOutcome || len(m.units) < 2 {
		return false
	}
	want := int32(-1)
	for k := range p.words {
		if w := &p.words[k]; k > 0 && k < len(p.words)-1 && places[lx.name(w.id)] {
			want = w.id
		}
	}
	if want < 0 {
		return false
	}
	other := false
	for j := m.first + 1; j < m.last; j++ {
		if us[j].is(want) {
			return false
		}
		other = other || us[j].class == classParticle && us[j].id >= 0 && places[lx.name(us[j].id)]
	}
	return other
}

func abs(x int) int {
	if x < 0 {
		return -x
	}
	return x
}

// overlap counts the units two matches share.
func (m *match) overlap(o *match) int {
	n := 0
	for _, a := range m.units {
		for _, b := range o.units {
			if a == b {
				n++
				break
			}
		}
	}
	return n
}

// best orders matches: the stronger first, then the earlier, then by target.
func sortMatches(ms []match) {
	sort.SliceStable(ms, func(i, j int) bool {
		a, b := &ms[i], &ms[j]
		if a.score != b.score {
			return a.score > b.score
		}
		if a.flipped != b.flipped {
			return b.flipped // what was said, before the denial of something else
		}
		if la, lb := a.literal*len(b.units), b.literal*len(a.units); la != lb {
			return la > lb // to the letter, before other forms
		}
		if a.first != b.first {
			return a.first < b.first
		}
		if a.phrase.target.id != b.phrase.target.id {
			return a.phrase.target.id < b.phrase.target.id
		}
		if a.phrase.target.value != b.phrase.target.value {
			return a.phrase.target.value < b.phrase.target.value
		}
		return a.phrase.said < b.phrase.said
	})
}

// impliesFine reports whether the segment of a unit is a bare statement to
// which the next one objects with a denial: "cranks but won't start".
func impliesFine(toks []token, us []unit, at int) bool {
	if us[at].under {
		return false
	}
	k := us[at].last + 1
	for ; k < len(toks) && k < us[at].last+5 && toks[k].seg == us[at].seg; k++ {
		if toks[k].class == classContent && toks[k].kind == tokenWord {
			return false
		}
	}
	if k >= len(toks) || toks[k].norm != "but" || toks[k].sent != toks[us[at].last].sent {
		return false
	}
	for j := k + 1; j < len(toks) && j < k+5; j++ {
		if toks[j].neg {
			return true
		}
	}
	return false
}

// subjectBetween reports whether the second of two clauses over which a match
// goes has a word of meaning of its own before the match's.
func subjectBetween(us []unit, m *match) bool {
	for j := m.first + 1; j < m.last; j++ {
		if us[j].clause == us[m.last].clause && us[j].class == classContent && !us[j].number {
			return true
		}
	}
	return false
}

// noBefore reports whether "no" or the like stands before token k: "no horn" is
// not said by "it's not that the horn is dead".
func noBefore(toks []token, k int) bool {
	for j := k - 1; j >= 0 && j >= k-3 && toks[j].clause == toks[k].clause; j-- {
		switch toks[j].norm {
		case "not", "isnt", "arent", "wasnt":
			return false
		case "no", "without", "neither", "nor", "none", "havent", "hasnt", "got":
			return true
		}
	}
	return false
}

package plainwords

import (
	"math"
	"sort"
	"strings"

	"ruleout/kb"
)

// profile is a symptom's typical words, for statements that follow no known
// phrase.
type profile struct {
	symptom string
	typical float64 // mean weight of the symptom's own phrases
}

// profileWord is what one word says for one symptom.
type profileWord struct {
	profile int32
	weight  float64
	core    bool
}

// profileOf maps a concept and whether it is negated to the symptoms it
// speaks for.
type profileOf struct {
	byWord map[profileKey][]profileWord
}

type profileKey struct {
	id    int32
	under bool
}

// coreShare is the share of a symptom's phrases from which a word is typical
// of it.
const coreShare = 0.15

func (lx *lexicon) addProfiles(b *kb.Base) {
	lx.byWord = map[profileKey][]profileWord{}
	counts := map[string]map[profileKey]int{}
	totals := map[string]int{}
	for i := range lx.phrases {
		p := &lx.phrases[i]
		if p.target.kind != targetSymptom || p.only {
			continue
		}
		id := p.target.id
		if counts[id] == nil {
			counts[id] = map[profileKey]int{}
		}
		totals[id]++
		for _, w := range p.words {
			if w.class == classContent {
				counts[id][profileKey{w.id, w.under}]++
			}
		}
	}
	for _, s := range b.Symptoms {
		c := counts[s.ID]
		if c == nil {
			continue
		}
		n := int32(len(lx.profiles))
		weight := func(k profileKey) float64 {
			return lx.weights[k.id] * math.Sqrt(float64(c[k])/float64(totals[s.ID]))
		}
		keys := make([]profileKey, 0, len(c))
		for k := range c {
			keys = append(keys, k)
		}
		sort.Slice(keys, func(i, j int) bool {
			return keys[i].id < keys[j].id || keys[i].id == keys[j].id && !keys[i].under && keys[j].under
		})
		for _, k := range keys {
			lx.byWord[k] = append(lx.byWord[k], profileWord{n, weight(k), float64(c[k]) >= coreShare*float64(totals[s.ID])})
		}
		sum := 0.0
		for i := range lx.phrases {
			p := &lx.phrases[i]
			if p.target.kind == targetSymptom && p.target.id == s.ID {
				for _, w := range p.words {
					if w.class == classContent {
						sum += weight(profileKey{w.id, w.under})
					}
				}
			}
		}
		lx.profiles = append(lx.profiles, profile{s.ID, sum / float64(totals[s.ID])})
	}
}

// tellsOf reports whether a wording of the symptom's own has the word.
func (lx *lexicon) tellsOf(symptom string, u *unit) bool {
	for _, w := range lx.byWord[profileKey{u.id, u.under}] {
		if lx.profiles[w.profile].symptom == symptom {
			return true
		}
	}
	return false
}

// Limits of the loose reading.
const (
	looseScore  = 0.87 // share of the typical weight that must be reached
	loosePair   = 1.27 // the same for two words alone
	looseMargin = 1.15 // lead over the second that makes it unambiguous
	looseReach  = 9    // units that the typical words may be apart
	looseCover  = 0.4  // share of the words of meaning that must speak for it
)

// looseSymptoms reads segments in which no phrase was found by the words that
// are typical of a symptom: at least two, one of them a core word.
func (t *turn) looseSymptoms(taken []int) {
	score := make([]float64, len(t.lx.profiles))
	words := make([]int, len(t.lx.profiles))
	cores := make([]int, len(t.lx.profiles))
	for first := 0; first < len(t.us); {
		last := first
		hit := taken[first] > 0
		for last+1 < len(t.us) && t.us[last+1].seg == t.us[first].seg {
			last++
			hit = hit || taken[last] > 0
		}
		if !hit && last-first < 40 && !t.measures(first, last) {
			t.looseSegment(first, last, score, words, cores, taken)
		}
		first = last + 1
	}
}

// measures reports whether a segment tells an electrical reading: its other
// words then say where it was taken, not what is wrong.
func (t *turn) measures(first, last int) bool {
	if first > last {
		return false
	}
	lo, hi := t.us[first].first-3, t.us[last].last+3
	i := sort.Search(len(t.numbers), func(i int) bool { return t.numbers[i].last >= lo })
	for ; i < len(t.numbers) && t.numbers[i].first <= hi; i++ {
		if t.likeVolts(&t.numbers[i]) {
			return true
		}
		switch t.numbers[i].dim {
		case dimVoltage, dimCurrent, dimResistance, dimTemperature, dimPressure:
			return true
		}
	}
	return false
}

func (t *turn) looseSegment(first, last int, score []float64, words, cores []int, taken []int) {
	var touched []int32
	seen := map[profileKey]bool{}
	for u := first; u <= last; u++ {
		k := profileKey{t.us[u].id, t.us[u].under}
		if k.id < 0 || seen[k] || t.begins(t.us[u].first) || t.elsewhere[t.us[u].first] || t.voices[t.us[u].clause].supposed || t.opensPast(t.us[u].clause) || t.us[u].class == classParticle || t.us[u].number || t.numberAt(t.us[u].first) != nil || t.placed(u) || t.inCompound(u) || t.lx.items[t.toks[t.us[u].first].norm] != "" {
			continue
		}
		seen[k] = true
		h := t.headOf[u] - 1
		for _, w := range t.lx.byWord[k] {
			if h > u && !t.speaksFor(h, w.profile) {
				continue // "fan" in "fan relay"
			}
			if words[w.profile] == 0 {
				touched = append(touched, w.profile)
			}
			words[w.profile]++
			score[w.profile] += w.weight
			if w.core && !t.tellsWhen[u] {
				cores[w.profile]++ // when it shows is not what it is
			}
		}
	}
	best, second := int32(-1), int32(-1)
	rate := func(p int32) float64 {
		if p < 0 || words[p] < 2 || cores[p] < 1 {
			return 0
		}
		return score[p] / t.lx.profiles[p].typical
	}
	for _, p := range touched {
		switch {
		case best < 0 || rate(p) > rate(best) || rate(p) == rate(best) && p < best:
			best, second = p, best
		case second < 0 || rate(p) > rate(second):
			second = p
		}
	}
	enough := best >= 0 && float64(words[best]) >= looseCover*float64(t.contentIn(first, last)) && rate(best) >= looseScore && (words[best] > 2 || cores[best] > 1 && rate(best) >= loosePair)
	if enough && !t.onlyName(first, last, best) && !t.handiwork(first) && !t.voices[t.us[first].clause].question && t.hangsTogether(first, last, best) && !t.saysFine(first, last, best) && !t.toldContrary(first, last, t.lx.profiles[best].symptom) {
		id := t.lx.profiles[best].symptom
		lo, hi := t.extent(first, last, best)
		start, end := t.toks[t.us[lo].first].start, t.toks[t.us[hi].last].end
		at := t.emitSymptom(id, "present", start, end, t.us[lo].clause, "think")
		if at >= 0 {
			if second >= 0 && rate(second)*looseMargin >= rate(best) {
				o := &t.acc.Observations[at]
				if s := t.lx.profiles[second].symptom; !t.impliedBy(o, s) && s != o.Finding {
					o.Others = addMeaning(o.Others, Meaning{s, "present", rate(second)})
				}
			}
			for u := lo; u <= hi; u++ {
				for _, w := range t.lx.byWord[profileKey{t.us[u].id, t.us[u].under}] {
					if w.profile == best {
						t.useUnit(u)
						t.loosely[u] = true
						taken[u] = at + 1
					}
				}
			}
			t.symptoms = append(t.symptoms, placed{id, lo, t.us[lo].seg})
		}
	}
	for _, p := range touched {
		score[p], words[p], cores[p] = 0, 0, 0
	}
}

// contentIn counts the words of meaning of a segment.
func (t *turn) contentIn(first, last int) int {
	n := 0
	for u := first; u <= last; u++ {
		if t.us[u].id >= 0 && t.us[u].class == classContent {
			n++
		}
	}
	return n
}

// toldContrary reports whether a clause of the segment tells another outcome of
// what the symptom stands for: "the heater blows lovely and hot" is no cold heater.
func (t *turn) toldContrary(first, last int, symptom string) bool {
	s := t.symptom[symptom]
	if s == nil || len(s.Of) == 0 {
		return false
	}
	for c := t.us[first].clause; c <= t.us[last].clause; c++ {
		for _, i := range t.shownAt[c] {
			if x := t.matches[i].phrase.target; s.Of[x.id] != "" && s.Of[x.id] != x.value {
				return true
			}
		}
	}
	return false
}

// onlyName reports whether the words that speak for a profile are no more than
// the name of a part: "the fan switch" says nothing of a fan that will not
// switch off.
func (t *turn) onlyName(first, last int, p int32) bool {
	lo, hi := t.extent(first, last, p)
	if hi-lo > 3 {
		return false
	}
	if t.names == nil {
		t.names = []match{}
		for i := range t.matches {
			if m := &t.matches[i]; m.phrase.target.kind == targetPart && t.solid(m) {
				t.names = append(t.names, *m)
			}
		}
		sort.SliceStable(t.names, func(i, j int) bool { return t.names[i].first < t.names[j].first })
	}
	at := sort.Search(len(t.names), func(i int) bool { return t.names[i].first > lo-6 })
	for ; at < len(t.names) && t.names[at].first <= lo; at++ {
		if t.names[at].last >= hi {
			return true
		}
	}
	return false
}

// speaksFor reports whether a unit is a word of the profile.
func (t *turn) speaksFor(u int, p int32) bool {
	for _, w := range t.lx.byWord[profileKey{t.us[u].id, t.us[u].under}] {
		if w.profile == p {
			return true
		}
	}
	return false
}

// inCompound reports whether a unit is half of the name of a part.
func (t *turn) inCompound(u int) bool {
	if _, ok := t.compound(u); ok {
		return true
	}
	if u+1 >= len(t.us) {
		return false
	}
	_, ok := t.compound(u + 1)
	return ok
}

// saysFine reports whether the clause of the words that speak for a profile says
// that all is well.
func (t *turn) saysFine(first, last int, p int32) bool {
	lo, hi := t.extent(first, last, p)
	c := t.us[lo].clause
	if c != t.us[hi].clause || !t.voices[c].fine {
		return false
	}
	v := &t.voices[c]
	for k := v.first; k <= v.last; k++ {
		if w := t.toks[k].norm; fineWords[w] && w != "sound" && !t.toks[k].under {
			return true
		}
	}
	return false
}

// hangsTogether reports whether the words that speak for a profile stand close
// by each other and nothing else is denied among them.
func (t *turn) hangsTogether(first, last int, p int32) bool {
	lo, hi := t.extent(first, last, p)
	return hi-lo < looseReach && t.us[hi].clause <= t.us[lo].clause+1 && !t.deniesElse(lo, min(hi+2, last), p)
}

// deniesElse reports whether a denied word stands among the units that the
// profile does not know as denied.
func (t *turn) deniesElse(lo, hi int, p int32) bool {
	for u := lo; u <= hi; u++ {
		if !t.us[u].under || t.us[u].class == classParticle {
			continue
		}
		known := false
		for _, w := range t.lx.byWord[profileKey{t.us[u].id, true}] {
			known = known || w.profile == p
		}
		if !known {
			return true
		}
	}
	return false
}

// placed reports whether a unit is the place or time of a condition ("at the
// lights"), which is no word of the trouble itself.
func (t *turn) placed(u int) bool {
	k := t.us[u].first
	if !t.onAxis[u] {
		return false
	}
	for j := k - 1; j >= 0 && j >= k-2 && t.toks[j].clause == t.toks[k].clause; j-- {
		switch t.toks[j].norm {
		case "at", "in":
			return true
		case "the":
		default:
			return false
		}
	}
	return false
}

// handiwork reports whether a segment begins with something a person did:
// "put it on the charger overnight".
func (t *turn) handiwork(unit int) bool {
	v := &t.voices[t.us[unit].clause]
	for k := v.first; k <= min(v.last, v.first+longestCheck); k++ {
		if t.lx.workDone[t.toks[k].norm] && !t.toks[k].under && (k == v.first || !opensWhen[t.toks[k-1].norm]) {
			return true
		}
	}
	w := t.toks[v.first].norm
	return t.lx.sprayed[w] || (t.lx.handWork[w] || t.lx.handVerbs[w] && strings.HasSuffix(w, "ed")) && v.first < v.last && t.toks[v.first+1].class == classStop
}

// opensWhen are the words before which such a verb says since when.
var opensWhen = set(`since after got was been`)

// extent returns the first and last unit of the segment that speak for a
// profile.
func (t *turn) extent(first, last int, p int32) (lo, hi int) {
	lo, hi = first, first-1
	for u := first; u <= last; u++ {
		for _, w := range t.lx.byWord[profileKey{t.us[u].id, t.us[u].under}] {
			if w.profile == p {
				if hi < first {
					lo = u
				}
				hi = u
			}
		}
	}
	return lo, max(lo, hi)
}

// opensPast reports whether a clause begins with "since" or "after": it tells
// what came before the trouble.
func (t *turn) opensPast(c int32) bool {
	switch t.toks[t.voices[c].first].norm {
	case "since", "after", "following":
		return true
	}
	return false
}

package plainwords

import "slices"

// A clause often leaves out what it speaks of, or says "it" or "they" for it:
// "checked the clutch: doesn't slip", "brakes are awful, they squeal", "the
// heater fan, not the radiator one, is dead". It is read once more with the noun
// that was named before it, or failing that with the one of the complaint.

const (
	// carriedShare is what a match keeps of its score when its noun stands in
	// another clause.
	carriedShare = 0.85
	// carriedClause is the greatest number of units of a clause that leaves out
	// its noun.
	carriedClause = 12
	// carriedBack is how many clauses back the noun may stand.
	carriedBack = 3
)

// standsFor are the words that stand for a noun named before.
var standsFor = set(`it its they theyre theyve she shes he hes those these which both neither either`)

// opensPredicate are the words with which a clause opens that leaves its noun out.
var opensPredicate = set(`is are was were has have had does do did isnt arent wasnt werent hasnt havent doesnt dont didnt wont cant cannot wouldnt couldnt never not no goes went gone keeps kept comes came stays stayed gets makes made works worked theres still just only hardly barely always sometimes nothing`)

// halves are nouns that many things have: "brakes are weak, the pedal's long".
var halves = set(`pedal pedals lever fluid`)

// mayPrecede are the words that may stand before either.
var mayPrecede = set(`and but so also now then though yet although plus even mind well or otherwise`)

// describes are the words after which "light" or "spring" is no thing.
var describes = set(`is are was were isnt arent wasnt feels feel felt too very so quite really bit`)

// addCarried adds the matches of symptoms and outcomes whose noun stands in an
// earlier clause.
func (t *turn) addCarried() {
	things, seen := t.findThings(), t.findSeen()
	t.addExceptions(things)
	first := 0
	for first < len(t.us) {
		last := first
		for last+1 < len(t.us) && t.us[last+1].clause == t.us[first].clause {
			last++
		}
		if last-first < carriedClause && t.leavesOut(things, first, last) {
			for _, noun := range t.nounsBefore(things, first, t.half(first, last)) {
				if t.carry(&seen, noun, first, last) {
					break
				}
			}
		}
		first = last + 1
	}
}

// thingKinds are the kinds of the vocabulary's words that name something of the
// car.
var thingKinds = set(`thing system which-one`)

// findThings marks the tokens that name something of the car.
func (t *turn) findThings() []bool {
	at := make([]bool, len(t.toks))
	mark := func(first, last int) {
		for k := first; k <= last; k++ {
			at[k] = true
		}
	}
	for i := range t.words {
		if w := &t.words[i]; thingKinds[w.kind] {
			mark(w.first, w.last)
		}
	}
	for i := range t.matches {
		if m := &t.matches[i]; m.phrase.target.kind == targetPart && t.solid(m) {
			mark(t.us[m.first].first, t.us[m.last].last)
		}
	}
	return at
}

// addNouns notes of every symptom the thing that its wordings name most often:
// what "it" is when nothing else was named.
func (lx *lexicon) addNouns() {
	things := map[int32]bool{}
	for _, forms := range lx.forms {
		for i := range forms {
			if f := &forms[i]; thingKinds[f.kind] && len(f.stems) == 1 {
				things[lx.concept(lx.root(f.stems[0]))] = true
			}
		}
	}
	lx.nouns = map[string][]int32{}
	most := map[string]float64{}
	for k, list := range lx.byWord {
		if !things[k.id] || lx.weights[k.id] == 0 {
			continue
		}
		for _, w := range list {
			id := lx.profiles[w.profile].symptom
			if share := w.weight / lx.weights[k.id]; w.core && (share > most[id] || share == most[id] && (len(lx.nouns[id]) == 0 || k.id < lx.nouns[id][0])) {
				most[id], lx.nouns[id] = share, []int32{k.id}
			}
		}
	}
}

// leavesOut reports whether a clause opens with a word that stands for a noun
// or with its verb, and names nothing itself.
func (t *turn) leavesOut(things []bool, first, last int) bool {
	v := &t.voices[t.us[first].clause]
	if v.question || v.supposed {
		return false
	}
	half := t.half(first, last)
	for u := first; u <= last; u++ {
		if half && halves[t.toks[t.us[u].first].norm] {
			continue
		}
		if things[t.us[u].first] || t.us[u].number {
			return false
		}
	}
	if half {
		return true
	}
	k := v.first
	for k < v.last && (mayPrecede[t.toks[k].norm] || t.toks[k].kind == tokenPunct) {
		k++
	}
	return standsFor[t.toks[k].norm] || opensPredicate[t.toks[k].norm]
}

// half reports whether a clause names half of a thing only, "the pedal's long".
func (t *turn) half(first, last int) bool {
	for u := first; u <= last; u++ {
		if halves[t.toks[t.us[u].first].norm] && t.us[u].first == t.us[u].last {
			return true
		}
	}
	return false
}

// nounsBefore are the nouns of which a clause may speak: the one named last, of
// which nothing was denied, and what the complaint is about.
func (t *turn) nounsBefore(things []bool, u int, denied bool) [][]unit {
	var out [][]unit
	c, sent := t.us[u].clause, t.toks[t.us[u].first].sent
	for j := u - 1; j >= 0 && c-t.us[j].clause <= carriedBack && sent-t.toks[t.us[j].first].sent <= 1; j-- {
		if !things[t.us[j].first] || t.us[j].under && !denied || t.us[j].number || t.us[j].first > 0 && describes[t.toks[t.us[j].first-1].norm] {
			continue
		}
		from := j
		if j > 0 && things[t.us[j-1].first] && t.us[j-1].clause == t.us[j].clause && t.us[j-1].last+1 == t.us[j].first {
			from = j - 1
		}
		out = append(out, t.us[from:j+1])
		break
	}
	for _, id := range t.lx.nouns[t.ctx.Chief] {
		out = append(out, []unit{{id: id, head: -1, first: -1, last: -1}})
	}
	return out
}

// carry reads the units of a clause with a noun before them and reports whether
// that told anything.
func (t *turn) carry(seen *seenAt, noun []unit, first, last int) bool {
	named := noun[0].first >= 0 // and not only what the complaint is about
	us := make([]unit, 0, len(noun)+last-first+1)
	for _, n := range noun {
		n.clause, n.seg, n.under = t.us[first].clause, t.us[first].seg, false
		if !named {
			n.first, n.last = t.us[first].first, t.us[first].first
		}
		us = append(us, n)
	}
	us = append(us, t.us[first:last+1]...)
	told := false
	for _, m := range t.lx.matches(t.toks, us) {
		k := m.phrase.target.kind
		if k != targetSymptom && k != targetOutcome || len(m.units) < m.phrase.required || m.first >= len(noun) || !m.ordered {
			continue
		}
		if f := t.lx.findings[m.phrase.target.id]; !named && (f == nil || f.system != t.chiefSystem() || k == targetOutcome) {
			continue
		}
		if !named && m.phrase.target.id == t.ctx.Chief && !m.flipped {
			continue // "it clicks" of a dead horn does not say again that it is dead
		}
		var own []int
		tells := false
		for _, u := range m.units {
			if u >= len(noun) {
				own = append(own, u-len(noun)+first)
				tells = tells || us[u].class == classContent || us[u].class == classLight && t.voices[us[u].clause].fine
			}
		}
		if !tells || t.onlyLooks(seen, own) {
			continue
		}
		m.units, m.first, m.last = own, slices.Min(own), slices.Max(own)
		m.score *= carriedShare
		m.carried = true
		t.matches = append(t.matches, m)
		told = told || k == targetSymptom
	}
	return told
}

// seenAt holds which clauses name a part, and the units of the looks by clause.
type seenAt struct {
	part  []bool
	looks map[int32][][2]int
}

func (t *turn) findSeen() seenAt {
	s := seenAt{make([]bool, len(t.voices)), map[int32][][2]int{}}
	for i := range t.matches {
		m := &t.matches[i]
		switch c := t.us[m.last].clause; m.phrase.target.kind {
		case targetPart:
			s.part[c] = s.part[c] || t.solid(m)
		case targetLook:
			if t.solid(m) {
				s.looks[c] = append(s.looks[c], [2]int{m.first, m.last})
			}
		}
	}
	return s
}

// onlyLooks reports whether the words are a look of a part that was named just
// before: "track rod end is split and it's got a bit of play" tells of that part.
func (t *turn) onlyLooks(seen *seenAt, own []int) bool {
	c, part := t.us[own[0]].clause, false
	for b := c - 1; b >= 0 && b >= c-carriedBack && t.voices[c].sent-t.voices[b].sent <= pronounReach; b-- {
		part = part || seen.part[b]
	}
	return part && slices.ContainsFunc(seen.looks[c], func(l [2]int) bool { return l[0] <= own[0] && own[len(own)-1] <= l[1] })
}

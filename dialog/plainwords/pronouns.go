package plainwords

import "sort"

// What is said of "it", "that one" or "they" is said of the part named last,
// in this turn or the one before.

// pronounParts reads the looks, verdicts and renewals told of a pronoun.
func (t *turn) pronounParts() {
	for c := range t.voices {
		v := &t.voices[c]
		if v.first < 0 || v.question || v.supposed || t.partAt[int32(c)] || t.mendedIn[int32(c)] || t.wished[int32(c)] != "" {
			continue
		}
		k := t.pronounIn(v)
		if k < 0 && t.leftOut(int32(c)) {
			k = v.first
		}
		if k < 0 || t.beganThen(v) {
			continue
		}
		if part, item := t.lastPart(k); part != "" {
			t.saidOfIt(part, item, k, int32(c))
		}
	}
}

// beganThen reports whether a clause tells what the car began to do after work:
// "and THEN it started leaking" is not said of the part.
func (t *turn) beganThen(v *voice) bool {
	then := false
	for k := v.first; k <= v.last && k < v.first+5; k++ {
		switch t.toks[k].norm {
		case "then", "now":
			then = true
		case "started", "began", "starts":
			return then
		}
	}
	return false
}

// pronounIn is the pronoun that a clause is about: its first word, or the
// object right after a verb of work; -1 if there is none.
func (t *turn) pronounIn(v *voice) int {
	for k := v.first; k <= v.last && k < v.first+6; k++ {
		switch t.toks[k].norm {
		case "it", "its", "they", "them", "theyre":
			opens := true
			for j := v.first; j < k; j++ {
				opens = opens && (opensTurn[t.toks[j].norm] || t.toks[j].kind == tokenPunct)
			}
			if opens || k > 0 && (t.lx.renewVerbs[t.toks[k-1].norm] || t.lx.acts[t.toks[k-1].norm] != "") {
				return k
			}
			return -1
		case "one", "ones", "side":
			if k > v.first && (t.toks[k-1].norm == "that" || t.toks[k-1].norm == "this" || t.lx.items[t.toks[k-1].norm] != "" && t.renewedBefore(k) >= 0) {
				return k
			}
		}
	}
	return -1
}

// renewedBefore is the verb of work whose object is which one of several, "swapped
// the front left one", or -1.
func (t *turn) renewedBefore(k int) int {
	for j := k - 1; j >= 0 && j >= k-6 && t.toks[j].clause == t.toks[k].clause; j-- {
		switch w := t.toks[j].norm; {
		case t.lx.renewVerbs[w]:
			return j
		case w == "the", w == "just", w == "only", t.lx.items[w] != "":
		default:
			return -1
		}
	}
	return -1
}

// leftOut reports whether a clause follows a look at a part and can be about
// nothing else, though it does not say so: "checked the rotor arm: cracked",
// "looked at the hoses. One was split".
func (t *turn) leftOut(c int32) bool {
	v := &t.voices[c]
	if c == 0 || v.last-v.first > 6 || acting[t.toks[v.first].norm] && t.toks[v.first].norm != "and" {
		return false
	}
	at := sort.Search(len(t.parts), func(i int) bool { return t.parts[i].clause >= c }) - 1
	if at < 0 || t.parts[at].clause != c-1 {
		return false
	}
	p := &t.parts[at]
	before := &t.voices[c-1]
	return !before.question && !before.supposed && !t.instrument(p) && (t.checkOf(p, before.first, before.last) >= 0 || t.exposed(p, before.first))
}

// exposed reports whether the part was taken out to be seen: "pulled the plugs".
func (t *turn) exposed(p *mention, lo int) bool {
	for k := t.us[p.first].first - 1; k >= lo; k-- {
		switch t.toks[k].norm {
		case "pulled", "took", "removed", "had", "whipped":
			return !t.toks[k].under && t.objectBetween(k, t.us[p.first].first)
		}
	}
	return false
}

// pronounReach is how many sentences back a part may have been named.
const pronounReach = 1

// lastPart is the part named last before a token, this turn or the last one.
func (t *turn) lastPart(k int) (part, item string) {
	for i := len(t.parts) - 1; i >= 0; i-- {
		p := &t.parts[i]
		if t.us[p.first].first >= k {
			continue
		}
		if t.toks[k].sent-t.toks[t.us[p.last].last].sent > pronounReach {
			return "", ""
		}
		return p.part, p.item
	}
	if len(t.parts) == 0 && t.toks[k].sent == 0 {
		return t.ctx.Part, ""
	}
	return "", ""
}

// saidOfIt notes a look, a renewal or a verdict of the part.
func (t *turn) saidOfIt(part, item string, k int, c int32) {
	v := &t.voices[c]
	if j := t.renewedBefore(k); j >= 0 {
		item, _ = t.itemAround(k, k, c)
	}
	if t.actOnIt(part, item, k, c) {
		return
	}
	for j := max(v.first, k-5); j < k; j++ {
		if t.lx.renewVerbs[t.toks[j].norm] && !t.toks[j].under && !t.future(j) {
			effect, ef, el := t.effectOf(j)
			o := Observation{Finding: "part:" + part + ":replaced", Outcome: effect, Item: item, Start: t.toks[j].start, End: t.toks[k].end}
			if effect == "" {
				return
			}
			t.useTokens(j, k)
			t.useTokens(ef, el)
			t.observe(o, c)
			return
		}
	}
	for _, i := range t.looks {
		m := &t.matches[i]
		if m.phrase.target.kind != targetLook || t.us[m.first].clause != c || t.us[m.first].first < k || !t.solid(m) || m.flipped && m.phrase.denies || !t.credible(part, m) || !t.toTheLetter(m) || t.usedUnit[m.first] {
			continue
		}
		if t.us[m.first].first > k+4 {
			continue
		}
		o := Observation{Finding: "part:" + part + ":" + m.phrase.target.id, Outcome: "yes", Item: item, Means: "by-eye"}
		if m.flipped {
			o.Outcome = "no"
		}
		o.Start, o.End = t.span(m)
		t.use(m)
		t.observe(o, c)
		return
	}
}

// findNewOnes adds a mention for "the new one", "new ones", "a new set", of the
// part named before, where the words say that it was renewed.
func (t *turn) findNewOnes() {
	if len(t.parts) == 0 {
		return
	}
	for i := range t.toks {
		switch t.toks[i].norm {
		case "one", "ones", "set", "pair", "sets":
		default:
			continue
		}
		u := t.unitAt[max(0, i-1)]
		w := t.word(i, -1)
		if u < 0 || w != "new" && w != "another" && w != "different" && w != "secondhand" || t.unitAt[i] >= 0 && t.inMention(t.unitAt[i]) {
			continue
		}
		at := sort.Search(len(t.parts), func(k int) bool { return t.parts[k].first >= u })
		if at == 0 {
			continue
		}
		p := t.parts[at-1]
		if t.toks[i].sent-t.toks[t.us[p.last].last].sent > pronounReach || p.clause == t.toks[i].clause {
			continue
		}
		p.first, p.last, p.clause, p.seg = u, u, t.us[u].clause, t.us[u].seg
		p.start, p.end = t.toks[i-1].start, t.toks[i].end
		t.parts = append(t.parts, mention{})
		copy(t.parts[at+1:], t.parts[at:])
		t.parts[at] = p
	}
}

// inMention reports whether a unit belongs to a part's name.
func (t *turn) inMention(u int) bool {
	at := sort.Search(len(t.parts), func(k int) bool { return t.parts[k].last >= u })
	return at < len(t.parts) && t.parts[at].first <= u
}

// actOnIt notes what was done to "it" and what that changed: "dried it, ran fine
// till the evening". It reports whether there was such a deed.
func (t *turn) actOnIt(part, item string, k int, c int32) bool {
	if k == 0 || t.toks[k-1].clause != c || t.toks[k-1].under || t.future(k-1) {
		return false
	}
	id := t.lx.acts[t.toks[k-1].norm]
	if id == "" || id == "feed-direct" || id == "jump" {
		return false // that it works when it is fed tells of what feeds it
	}
	effect := t.changedBy(k-1, k)
	if effect == "" {
		return false
	}
	o := Observation{Finding: "part:" + part + ":" + id, Outcome: effect, Item: item, Source: "tried", Means: id, Start: t.toks[k-1].start, End: t.toks[k].end}
	t.useTokens(k-1, k)
	if _, ef, el := t.doesOwnWork(k); el >= ef {
		t.useTokens(ef, el)
	}
	t.observe(o, c)
	return true
}

package plainwords

// worked returns the token of a verb of work that takes the part as its
// object over a distance: "did the thermostat", "put a radio in", "had the
// belt done"; -1 if there is none.
func (t *turn) worked(p *mention, lo, hi int) int {
	first, last := t.us[p.first].first, t.us[p.last].last
	for k := max(lo, first-5); k < first; k++ {
		switch n := t.word(k, 1); t.toks[k].norm {
		case "did", "do", "doing":
			if n == "you" || n == "we" || n == "they" {
				continue // "do you think it's the disc"
			}
			// "did the thermostat": the object follows at once
			if k+1 < first && t.objectBetween(k, first) && !t.toks[k].under && t.deed(p, last) {
				return k
			}
		case "put", "wired":
			for j := k + 1; j <= min(hi, last+3); j++ {
				if n := t.toks[j].norm; (n == "in" || n == "on" || n == "up") && (j > last || j < first) && t.objectBetween(k, first) && t.another(p, k, first) && !t.toks[k].under {
					return k
				}
			}
		}
	}
	return -1
}

// deed reports that nothing verbal follows the part, so that "did" is no
// helper of a question or a denial.
func (t *turn) deed(p *mention, last int) bool {
	if last+1 >= len(t.toks) || t.toks[last+1].clause != p.clause {
		return true
	}
	n := &t.toks[last+1]
	return n.kind == tokenPunct || n.class != classContent && n.class != classLight
}

// objectBetween reports whether only small words and describing ones stand
// between a verb and the part.
func (t *turn) objectBetween(k, first int) bool {
	content, determiner := 0, false
	for j := k + 1; j < first; j++ {
		switch t.toks[j].norm {
		case "a", "an", "the", "my", "its", "his", "her", "new", "another", "on", "in":
			determiner = true
		}
		if t.toks[j].class == classContent && !t.lx.renewVerbs[t.toks[j].norm] {
			content++
		}
	}
	return determiner && content <= 2
}

// thenBegan reports whether the trouble is said to have come next: "did the
// thermostat, THEN it started", "new coupling yesterday. Now the horn toots".
func (t *turn) thenBegan(p *mention, verb int) bool {
	from := max(verb, t.us[p.last].last)
	for k := from + 1; k < len(t.toks) && k < from+16 && t.toks[k].sent <= t.toks[from].sent+1; k++ {
		opens := t.toks[k].clause != t.toks[k-1].clause || t.toks[k-1].norm == "and" || t.toks[k-1].norm == "but"
		if !opens {
			continue
		}
		switch t.toks[k].norm {
		case "then":
			for j := k + 1; j < len(t.toks) && j <= k+4 && t.toks[j].clause == t.toks[k].clause; j++ {
				switch stem(t.toks[j].norm) {
				case "start", "began", "begin", "happen", "appear":
					return true
				}
			}
		case "now":
			// "now it squeals" is new; "now it's fine", "now still the same" are effects
			v := &t.voices[t.toks[k].clause]
			for j := k + 1; j <= v.last; j++ {
				if t.lx.comesBack[t.toks[j].norm] && !t.toks[j].under {
					return false // "and now the horn works"
				}
			}
			return !v.fine && !v.same && !v.better && !t.saysStill(k) && k < v.last
		}
	}
	return false
}

// workEvent is the finding for work on a part before the trouble: something
// fitted that was not there before, or the part worked on.
func (t *turn) workEvent(p *mention, verb int) string {
	if t.event["fitted"] != nil && t.adds(p, verb) {
		return "event:fitted:" + p.part
	}
	return "event:work-on:" + p.part
}

// adds reports whether the part is said to be an addition: "put a radio in",
// and not "a new radio", "the radio was fitted".
func (t *turn) adds(p *mention, verb int) bool {
	if !t.lx.adders[t.toks[verb].norm] {
		return false
	}
	if t.toks[t.us[p.first].first].norm == "new" {
		return false
	}
	for k := t.us[p.first].first - 1; k > verb && t.toks[k].clause == p.clause; k-- {
		switch t.toks[k].norm {
		case "a", "an":
			return true
		case "new", "another", "the", "my", "replacement":
			return false
		}
	}
	return false
}

// dates place a deed in the past.
var dates = set(`fortnight ago yesterday easter christmas summer winter spring autumn january february march april june july august september october november december monday tuesday wednesday thursday friday saturday sunday weekend recently`)

// dated reports whether the clause says when the work was done.
func (t *turn) dated(p *mention, verb int) bool {
	v := &t.voices[p.clause]
	for k := max(v.first, verb-8); k <= min(v.last, t.us[p.last].last+8); k++ {
		w := t.toks[k].norm
		if w == "just" && (t.word(k, 1) == "had" || t.word(k, 1) == "fitted" || t.word(k, 1) == "replaced" || t.word(k, 1) == "changed" || t.word(k, 1) == "put") {
			return true
		}
		if dates[w] || w == "last" && k+1 <= v.last && (t.toks[k+1].norm == "week" || t.toks[k+1].norm == "month" || t.toks[k+1].norm == "year") {
			return true
		}
	}
	return false
}

// ordered reports that the new part has yet to come: "is on order".
func (t *turn) ordered(p *mention) bool {
	v := &t.voices[p.clause]
	for k := max(v.first, t.us[p.first].first-8); k <= min(v.last, t.us[p.last].last+8); k++ {
		switch t.toks[k].norm {
		case "order", "ordered", "arrives", "arrive", "delivery", "post":
			return true
		}
	}
	return false
}

// jobOf is the event that the part and its work tell where nothing is said of
// their effect: a job with a name of its own ("oil and filter change", "new
// pads"), or the work on the part, where it is dated.
func (t *turn) jobOf(p *mention, verb int) string {
	if u := t.unitAt[verb]; u >= 0 && t.onEvent[u] && t.toks[verb].norm != "new" && p.part != "key-fob-and-its-battery" {
		lo, hi := min(u, p.first), max(u, p.last)
		for _, i := range t.eventAt[p.clause] {
			m := &t.matches[i]
			if !t.onPart(m.phrase.target.id) && m.first <= lo && hi <= m.last && len(m.units) >= m.phrase.required && m.last-m.first < len(m.units)+1 {
				return "event:" + m.phrase.target.id
			}
		}
	}
	if t.dated(p, verb) && !t.excusing(p) {
		return t.workEvent(p, verb)
	}
	return ""
}

// excusing reports that the work is told to clear the part: "can't be the
// plugs, I put new ones in last week".
func (t *turn) excusing(p *mention) bool {
	v := &t.voices[p.clause]
	for c := max(0, p.clause-1); c <= p.clause; c++ {
		if t.voices[c].sent == v.sent && (t.voices[c].source == "deduction" || t.wished[c] == "opinion") {
			return true
		}
	}
	return false
}

// effectBefore reads the effect of work that is told before it: "no longer
// squeals since the new belt", "worse after the new regulator", "it only
// stopped when I replaced the pump". Empty where the trouble began then.
func (t *turn) effectBefore(p *mention, verb int) (effect string, first, last int) {
	from := min(t.us[p.first].first, verb)
	if k := from - 1; t.persists(k) || t.persists(k-1) {
		return "same", k, k
	}
	hinge := -1
	for k := from - 1; k >= 0 && k >= from-6 && t.toks[k].sent == t.toks[from].sent; k-- {
		switch t.toks[k].norm {
		case "since", "after", "when", "once":
			hinge = k
		}
		if hinge >= 0 {
			break
		}
	}
	if hinge < 1 {
		return "", 0, -1
	}
	lo := hinge - 1
	for lo > 0 && t.toks[lo-1].sent == t.toks[hinge].sent && lo > hinge-10 {
		lo--
	}
	ceased := false
	for k := lo; k < hinge; k++ {
		w := t.toks[k].norm
		ceased = ceased || ceasing[w] && t.toks[k].neg || w == "longer" && k > 0 && t.toks[k-1].norm == "no" ||
			(w == "stopped" || w == "went" || w == "gone") && (t.toks[hinge].norm == "when" || t.word(k, 1) == "away")
		ceased = ceased || t.toks[k].under && t.toks[k].class == classContent && t.toks[hinge].norm == "since" && !t.related(k)
		if fineWords[w] && !t.toks[k].under && t.toks[hinge].norm == "since" {
			ceased = true // "been fine since the new pump"
		}
	}
	switch {
	case ceased:
		return "cured", hinge, hinge
	case t.toks[hinge].norm == "when" || t.toks[hinge].norm == "once":
		return "", 0, -1
	}
	for _, w := range t.saidBetween("effect", lo, hinge-1) {
		if (w.value == "worse" || w.value == "better") && !t.toks[w.first].under {
			return w.value, w.first, w.last
		}
	}
	return "", 0, -1
}

// persists reports whether "even with", "despite" or "even after" stands at a
// token: the trouble is there with the new part in.
func (t *turn) persists(k int) bool {
	if k < 0 {
		return false
	}
	switch t.toks[k].norm {
	case "with", "after":
		return t.word(k, -1) == "even"
	case "despite":
		return true
	}
	return false
}

// another reports whether the object of a verb is one that was not there before:
// "put a radio in" against "put the clutch in", "put the lights on".
func (t *turn) another(p *mention, k, first int) bool {
	for j := k + 1; j <= t.us[p.last].last; j++ {
		switch t.toks[j].norm {
		case "a", "an", "new", "another", "different", "replacement", "some", "better", "bigger", "secondhand", "used":
			return true
		}
	}
	return false
}

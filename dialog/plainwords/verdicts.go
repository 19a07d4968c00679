package plainwords

// Limits of what is looked back over, so that no turn takes more than linear
// time.
const (
	longestCheck = 40 // tokens of a clause that tells a check
	longestList  = 12 // parts in a list of what was checked
)

// needsWay are those of them that want a second word to be one: "looked at",
// "been through".
var needsWay = map[string]map[string]bool{
	"looked": set(`at over into for`),
	"look":   set(`at over into for`),
	"gone":   set(`over through`),
	"went":   set(`over through`),
	"been":   set(`over through`),
}

// plainVerdict are the words of which a verdict without its subject may
// consist, besides those that judge.
var plainVerdict = set(`all it its they theyre them there that were was are is be being to in with of on look looks looked looking seem seems seemed came come out up back found find see seen could can i we he she says said and as far perfectly completely absolutely pretty quite very still also too any anything just about every last one at when ever which ` +
	`nothing none nowt nope no zilch zip obvious`)

// checkVerdict reads a check told in one clause and its result in another, or
// a fault that was looked for in a part and not found: "discs checked with a
// gauge, nothing wrong with them", "can't find anything wrong with the plugs".
func (t *turn) checkVerdict(p *mention, lo, hi int) (outcome string, from, to int, ok bool) {
	if from, ok := t.withoutFault(p); ok {
		return "good", from, t.us[p.last].last, true
	}
	verb := t.checkOf(p, lo, hi)
	if verb < 0 || t.instrument(p) || t.soughtGood(verb, t.us[p.first].first) {
		return "", 0, 0, false
	}
	if at := t.nothingFound(p.clause); at > verb {
		t.useTokens(verb, verb)
		return "good", at, at + 1, true
	}
	outcome, from, to = t.verdictAfter(p)
	if outcome == "" {
		return "", 0, 0, false
	}
	t.useTokens(verb, verb)
	return outcome, from, to, true
}

// soughtGood reports whether what was looked for at the part should be there:
// "checked for spark at the coil: nothing" is no good news.
func (t *turn) soughtGood(verb, part int) bool {
	for k := verb + 1; k < part; k++ {
		if t.toks[k].norm == "for" {
			for j := k + 1; j < part; j++ {
				if t.lx.marks[t.toks[j].norm] || t.lx.faults[t.toks[j].norm] {
					return false
				}
			}
			return true
		}
	}
	return false
}

// instrument reports whether the part is what the check was made with: "with a
// dial gauge".
func (t *turn) instrument(p *mention) bool {
	for k := t.us[p.first].first - 1; k >= 0 && t.toks[k].clause == p.clause; k-- {
		switch t.toks[k].norm {
		case "a", "an", "the", "my", "his":
			continue
		case "with", "using", "on":
			return t.toks[k].norm != "on" || t.word(k, 1) == "a" || t.word(k, 1) == "an"
		}
		return false
	}
	return false
}

// nothingFound is the first of the two words "found nothing" in a clause, or -1.
func (t *turn) nothingFound(clause int32) int {
	v := &t.voices[clause]
	for k := max(v.first, v.last-longestCheck); k < v.last; k++ {
		switch t.toks[k].norm {
		case "found", "find", "finding", "saw", "see", "seen":
			if n := t.toks[k+1].norm; n == "nothing" || n == "nowt" || n == "none" {
				return k
			}
		}
	}
	return -1
}

// lookedInVain reports whether the clause tells that something was looked for
// and the next one that it was not there: "checked for play, none".
func (t *turn) lookedInVain(clause int32) bool {
	v := &t.voices[clause]
	looked := false
	at := v.last
	first := max(v.first, v.last-longestCheck)
	for k := first; k < v.last; k++ {
		switch w := t.toks[k].norm; t.toks[k+1].norm {
		case "of":
			looked = looked || w == "sign" || w == "signs"
		case "for":
			for j := k; j >= first && j > k-5 && !looked; j-- {
				looked = t.lx.looking[t.toks[j].norm] && !t.toks[j].under
				at = k
			}
		}
	}
	if !looked {
		return false
	}
	for k := at; k < v.last; k++ {
		if n := t.toks[k].norm; n == "and" || n == "but" {
			return v.fine // "checked for cracks and was fine"
		}
	}
	if int(clause)+1 >= len(t.voices) {
		return false
	}
	n := &t.voices[clause+1]
	if n.first < 0 || n.sent > v.sent+1 || n.last-n.first > 4 {
		return false
	}
	if n.fine && t.onlyVerdict(n.first, n) {
		return true
	}
	switch t.toks[n.first].norm {
	case "none", "nothing", "nope", "nowt", "no", "zilch", "zero":
	default:
		return false
	}
	return t.onlyVerdict(n.first+1, n)
}

// onlyVerdict reports whether nothing from token k to the end of the clause
// says more than how it was found.
func (t *turn) onlyVerdict(k int, v *voice) bool {
	for ; k <= v.last; k++ {
		if w := &t.toks[k]; w.kind != tokenPunct && w.class != classStop && !plainVerdict[w.norm] && !t.lx.faults[w.norm] && !fineWords[w.norm] {
			return false
		}
	}
	return true
}

// withoutFault reports whether the part stands after a fault that is denied,
// "no faults found with the coil", and where those words begin.
func (t *turn) withoutFault(p *mention) (from int, ok bool) {
	first := t.us[p.first].first
	at := -1
	for k := first - 1; k >= 0 && k >= first-4 && t.toks[k].clause == p.clause; k-- {
		switch t.toks[k].norm {
		case "with", "in", "on", "around", "about":
			at = k
		}
	}
	for k := at - 1; k >= 0 && k >= at-3 && t.toks[k].clause == p.clause; k-- {
		if !t.lx.faults[t.toks[k].norm] {
			continue
		}
		for j := k - 1; j >= 0 && j >= k-5 && t.toks[j].clause == p.clause; j-- {
			switch w := t.toks[j].norm; {
			case w == "nothing", w == "no", w == "nowt", negators[w] && t.toks[k].under:
				return j, true
			}
		}
	}
	return 0, false
}

// checkOf is the verb of a look or check whose object the part is, directly or
// as one of a list; -1 if there is none or it did not happen.
func (t *turn) checkOf(p *mention, lo, hi int) int {
	for step := 0; step < longestList; step++ {
		for k := lo; k <= hi; k++ {
			w := t.toks[k].norm
			if t.lx.looking[w] && !t.toks[k].under && !t.future(k) && (needsWay[w] == nil || needsWay[w][t.word(k, 1)]) {
				return k
			}
		}
		if p.index == 0 || !t.listed(p) {
			return -1
		}
		q := &t.parts[p.index-1]
		if t.toks[t.us[q.first].first].sent != t.toks[t.us[p.first].first].sent || t.contentBetween(q, p) {
			return -1
		}
		p = q
		lo, hi = t.reachOf(p)
		hi = min(hi, t.us[p.last].last)
	}
	return -1
}

// contentBetween reports whether a word of meaning stands between two parts.
func (t *turn) contentBetween(p, q *mention) bool {
	for k := t.us[p.last].last + 1; k < t.us[q.first].first; k++ {
		if w := &t.toks[k]; w.class == classContent && w.kind == tokenWord {
			return true
		}
	}
	return false
}

// verdictAfter reads the clause after the list in which the part stands, when
// it says how what was looked at is and nothing else.
func (t *turn) verdictAfter(p *mention) (outcome string, from, to int) {
	end := p
	for n := p.index + 1; n < len(t.parts) && n <= p.index+longestList && t.listed(&t.parts[n]) && t.toks[t.us[t.parts[n].first].first].sent == t.toks[t.us[end.first].first].sent; n++ {
		end = &t.parts[n]
	}
	c := end.clause + 1
	if int(c) >= len(t.voices) || t.voices[c].first < 0 {
		return "", 0, 0
	}
	v := &t.voices[c]
	if v.sent > t.voices[end.clause].sent+1 || v.question || v.supposed || v.last-v.first > 9 {
		return "", 0, 0
	}
	good, bad := false, false
	for k := v.first; k <= v.last; k++ {
		w := &t.toks[k]
		if w.kind == tokenPunct {
			continue
		}
		switch n := w.norm; {
		case n == "nothing", n == "none", n == "nowt", n == "nope", n == "zilch", n == "no" && k < v.last && (t.lx.faults[t.toks[k+1].norm] || t.lx.marks[t.toks[k+1].norm]):
			good = true
		case t.lx.faults[n], t.lx.marks[n]:
			if !good && !w.under {
				return "", 0, 0 // "problem there"
			}
		case fineWords[n], t.lx.good[n]:
			good, bad = good || !w.under, bad || w.under
		case t.lx.bad[n]:
			good, bad = good || w.under, bad || !w.under
		case plainVerdict[n], w.class == classStop, w.neg:
		default:
			return "", 0, 0
		}
	}
	switch {
	case good == bad:
		return "", 0, 0
	case good:
		return "good", v.first, v.last
	}
	return "bad", v.first, v.last
}

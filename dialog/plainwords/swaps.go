package plainwords

// swapState reads a part changed over with its twin: moved, stayed, gone.
func (t *turn) swapState(p *mention, lo, hi int) bool {
	first := t.us[p.first].first
	verb := -1
	for k := lo; k <= hi; k++ {
		if t.lx.swapVerbs[t.toks[k].norm] && !t.toks[k].under && !t.future(k) {
			verb = k
			break
		}
	}
	if verb < 0 || t.voices[p.clause].question {
		return false
	}
	from := min(first, verb)
	where, at, last := t.sayingAfter(from, map[string][][]string{"moved": t.lx.movedSaid, "stayed": t.lx.stayedSaid})
	if where == "" {
		if twin, k, l := t.sayingAfter(from, map[string][][]string{"twin": t.lx.twinSaid}); twin == "" || t.toks[k].sent != t.toks[verb].sent {
			return false
		} else {
			effect, ef, el := t.effectOf(verb)
			switch effect {
			case "same":
				where = "stayed"
			case "cured":
				where = "gone"
			default:
				return false
			}
			t.useTokens(k, l)
			at, last = ef, el
		}
	}
	t.useTokens(first, t.us[p.last].last)
	t.useTokens(verb, verb)
	t.useTokens(at, last)
	o := Observation{Finding: "part:" + p.part + ":swapped", Outcome: where, Item: p.item, Source: "tried", Start: min(p.start, t.toks[verb].start), End: max(p.end, t.toks[verb].end)}
	for _, q := range p.others {
		o.Others = addMeaning(o.Others, Meaning{"part:" + q + ":swapped", where, 0.5})
	}
	t.observe(o, p.clause)
	return true
}

// sayingAfter finds the first saying from a token to the end of the next
// sentence; the key of the one found, and its tokens.
func (t *turn) sayingAfter(from int, sayings map[string][][]string) (key string, first, last int) {
	sent := t.toks[from].sent
	for k := from; k < len(t.toks) && t.toks[k].sent <= sent+1 && k < from+40; k++ {
		for _, name := range sortedKeys(sayings) {
			for _, w := range sayings[name] {
				if t.wordsAt(k, w) {
					return name, k, k + len(w) - 1
				}
			}
		}
	}
	return "", 0, -1
}

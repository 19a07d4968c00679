package plainwords

import "ruleout/kb"

// Words of a part that failed again after it was renewed.
var (
	orders = set(`second third fourth fifth sixth 2nd 3rd 4th 5th 6th`)
	within = [][]string{{"this", "year"}, {"this", "month"}, {"this", "winter"}, {"this", "summer"}, {"in", "a", "year"}, {"in", "a", "month"}, {"in", "a", "row"}, {"so", "far"}, {"now"}, {"already"}, {"again"}, {"since"}, {"months"}, {"years"}, {"weeks"}, {"miles"}, {"on", "this", "car"}, {"has", "gone"}, {"has", "failed"}, {"has", "died"}}
)

// failedAgain reads that a part failed again after it was renewed: "third
// alternator this year", "keeps eating fuses", "the new relay has burnt out
// again". It reports whether it did.
func (t *turn) failedAgain(p *mention) bool {
	first, last := t.us[p.first].first, t.us[p.last].last
	v := &t.voices[p.clause]
	if v.question || t.toks[first].under {
		return false
	}
	if u := p.last + 1; u < len(t.us) && t.us[u].first == last+1 && t.us[u].clause == p.clause && t.nominal(u) {
		return false // "third headlight bulb" is a bulb
	}
	from := -1
	switch before := t.word(first, -1); {
	case orders[before] && t.saysWithin(p):
		from = first - 1
	case t.lx.killing[before] && (t.word(first, -2) == "keeps" || t.word(first, -2) == "keep" || t.word(first, -2) == "it" || before == "eats"):
		from = first - 1
	case t.word(first, -2)+" "+before == "goes through" || t.word(first, -2)+" "+before == "going through":
		from = first - 2
	case (before == "new" || before == "replacement" || before == "another") && t.failsAgain(p, before == "another"):
		from = first - 1
	}
	if from < 0 {
		return false
	}
	t.useTokens(from, last)
	o := Observation{Finding: "part:" + p.part + ":" + kb.AgainSuffix, Outcome: "yes", Item: p.item, Start: t.toks[from].start, End: t.toks[last].end}
	for _, q := range p.others {
		o.Others = addMeaning(o.Others, Meaning{"part:" + q + ":" + kb.AgainSuffix, "yes", 0.5})
	}
	t.observe(o, p.clause)
	return true
}

// saysWithin reports whether the sentence says in what time, or that it is the
// last of a row.
func (t *turn) saysWithin(p *mention) bool {
	last := t.us[p.last].last
	for k := last + 1; k < len(t.toks) && k <= last+10 && t.toks[k].sent == t.toks[last].sent; k++ {
		for _, w := range within {
			if t.wordsAt(k, w) {
				return true
			}
		}
	}
	return false
}

// failsAgain reports whether the part is said, right after its name, to have
// failed, and again, too or already; one more of a kind needs no such word.
func (t *turn) failsAgain(p *mention, another bool) bool {
	last := t.us[p.last].last
	failed := false
	for k := last + 1; k < len(t.toks) && k <= last+7 && t.toks[k].sent == t.toks[last].sent; k++ {
		w := t.toks[k].norm
		failed = failed || t.lx.failing[w] && !t.toks[k].under
		if failed && (another || w == "again" || w == "too" || w == "already") {
			return true
		}
	}
	return false
}

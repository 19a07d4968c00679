package plainwords

import "strings"

// partAct reads what was done to a part that stands as the object of its verb,
// and what that changed: "hit the relay and off it went", "wiggled the plug on
// the crank sensor and it died". A deed without effect told is none.
func (t *turn) partAct(p *mention, others func(string, string, *Observation)) bool {
	first, last := t.us[p.first].first, t.us[p.last].last
	lo := max(t.voices[p.clause].first, first-8)
	for k := first - 1; k >= lo; k-- {
		id := t.lx.acts[t.toks[k].norm]
		if id == "" || t.toks[k].state == SpanUsed || t.toks[k].under || !t.objectOf(k, first) && id != "wetting" || t.future(k) {
			continue
		}
		effect := t.changedBy(k, last)
		if effect == "" || p.part == "battery" && id == "unplug" {
			return false // a battery taken off is one on the whole car
		}
		about := "part:" + p.part
		if f := t.lx.findings[t.ctx.Chief]; len(p.others) > tooMany || len(p.others) > 0 && (f == nil || f.system != t.systemOf(p.part)) {
			about, others = "go", func(string, string, *Observation) {}
		}
		o := Observation{Finding: about + ":" + id, Outcome: effect, Item: p.item, Source: "tried", Means: id, Start: t.toks[k].start, End: p.end}
		others(id, effect, &o)
		t.useTokens(k, k)
		t.useTokens(first, last)
		if _, ef, el := t.doesOwnWork(last); el >= ef {
			t.useTokens(ef, el)
		}
		t.observe(o, p.clause)
		return true
	}
	return false
}

// tooMany is how many other parts a word may mean before what was done is noted
// of the car and no longer of the part.
const tooMany = 3

// holds reports whether the part only holds or plugs another: "the plug on the
// crank sensor" is the sensor's.
func (t *turn) holds(p *mention) bool {
	last := t.us[p.last].last
	if !t.lx.holders[t.toks[last].norm] || p.first != p.last {
		return false
	}
	switch t.word(last, 1) {
	case "on", "of", "to", "off", "at":
		return p.index+1 < len(t.parts) && t.parts[p.index+1].clause == p.clause && t.us[t.parts[p.index+1].first].first <= last+4
	}
	return false
}

// objectOf reports whether the words from a verb to token first are its object:
// a determiner, describing words, and at most what the part is held by.
func (t *turn) objectOf(k, first int) bool {
	held := false
	for j := k + 1; j < first; j++ {
		w := &t.toks[j]
		switch {
		case w.kind == tokenPunct, negators[w.norm]:
			return false
		case t.lx.holders[w.norm]:
			held = true
		case w.norm == "on", w.norm == "of", w.norm == "to", w.norm == "in", w.norm == "at":
			if !held {
				return false
			}
		case w.class == classContent && t.lx.items[w.norm] == "":
			return false
		}
	}
	return true
}

// changedBy reads what a deed that ends at token last changed: goes, while,
// comes, none, or nothing told.
func (t *turn) changedBy(verb, last int) string {
	sent := t.toks[verb].sent
	span := func(sayings [][]string) int {
		for k := max(0, verb-10); k < len(t.toks) && k < last+26; k++ {
			if t.toks[k].sent != sent || k >= verb && k <= last {
				continue
			}
			for _, w := range sayings {
				if t.wordsAt(k, w) && !t.toks[k].under && !strings.HasSuffix(t.word(k+len(w)-1, 1), "ing") {
					return k + len(w) - 1
				}
			}
		}
		return -1
	}
	if at := span(t.lx.wentSaid); at >= 0 {
		if span(t.lx.againSaid) >= 0 || t.forAWhile(verb, last) {
			return "while"
		}
		return "goes"
	}
	for k := last + 1; k < len(t.toks) && k < last+20 && t.toks[k].sent == sent; k++ {
		switch {
		case t.bringsOnAt(k):
			return "comes"
		case t.lx.bringsOn[t.toks[k].norm]:
			return "comes"
		case t.lx.fallen[t.toks[k].norm] && t.drains():
			return "goes" // "unplugged the radio and it dropped to 20"
		}
	}
	if at := t.leapsTo(last); at >= 0 {
		if span(t.lx.againSaid) >= 0 || t.forAWhile(verb, last) {
			return "while"
		}
		return "goes"
	}
	effect, at, _ := t.changed(verb, last)
	for k := last + 1; k < at; k++ {
		if t.lx.acts[t.toks[k].norm] != "" && t.word(k, 1) == "the" {
			effect = "" // that of the next deed
		}
	}
	switch effect {
	case "same":
		return "none"
	case "worse":
		return "comes"
	case "better", "cured":
		if t.forAWhile(verb, last) {
			return "while"
		}
		return "goes"
	}
	for k := last + 1; k < len(t.toks) && k < last+12 && t.toks[k].sent == sent; k++ {
		if t.lx.comesBack[t.toks[k].norm] && !t.toks[k].under && t.toks[k].norm != "fixes" {
			if t.forAWhile(verb, last) {
				return "while"
			}
			return "goes"
		}
		if t.lx.acts[t.toks[k].norm] != "" && t.word(k, 1) == "the" {
			break // the next deed
		}
		if t.toks[k].norm == "nothing" {
			return "none"
		}
	}
	for _, w := range t.saidBetween("effect", max(0, verb-8), verb-1) {
		if t.toks[w.first].sent == sent && !t.toks[w.first].under && (w.value == "better" || w.value == "cured") {
			return "goes" // "much better since I cleaned the strap"
		}
	}
	return ""
}

// drains reports whether the case is about a battery that is drained.
func (t *turn) drains() bool {
	f := t.lx.findings[t.ctx.Chief]
	return t.ctx.Chief == "battery-flat" || f != nil && f.system == "charging" && t.talked["battery-flat"]
}

// spell of time: units in which something holds for a while.
var spellWords = set(`second seconds sec minute minutes min mins hour hours day days week weeks month months mile miles while bit evening morning night`)

// forAWhile reports whether the effect is said to have held only for a time:
// "for ten minutes", "until the evening".
func (t *turn) forAWhile(verb, last int) bool {
	for k := verb; k < len(t.toks) && k < last+30 && t.toks[k].sent == t.toks[verb].sent; k++ {
		switch t.toks[k].norm {
		case "for", "until", "till", "til":
			for j := k + 1; j <= k+4 && j < len(t.toks) && t.toks[j].clause == t.toks[k].clause; j++ {
				if spellWords[t.toks[j].norm] {
					t.useTokens(k, j)
					return true
				}
			}
		case "temporarily":
			return true
		}
	}
	return false
}

// leaps are what a reading does that gets well at once.
var leaps = set(`jumped jumps leapt leaps shot shoots sprang springs`)

// leapsTo finds a reading that leaps to a number after a deed that ends at
// token last, "and it jumped to 14.1", or -1.
func (t *turn) leapsTo(last int) int {
	for k := last + 1; k+2 < len(t.toks) && k < last+12 && t.toks[k].sent == t.toks[last].sent; k++ {
		if !leaps[t.toks[k].norm] || t.toks[k].under {
			continue
		}
		for j := k + 1; j <= k+3 && j < len(t.toks); j++ {
			if t.toks[j].kind == tokenNumber {
				return j
			}
		}
	}
	return -1
}

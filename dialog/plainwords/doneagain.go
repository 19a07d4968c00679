package plainwords

import (
	"slices"
	"strings"
)

// What was done is often told to have helped by the thing doing its own work
// again: "new switch and they work", "fitted a horn, it honks". That is read
// only in a case under way, where something did not.

// afterWork are the words that may follow such a verb and leave it a cure:
// "works when I bridge it" and "runs hot" tell something else.
var afterWork = set(`again now sometimes occasionally intermittently only for air fine properly perfectly perfect well great sweet good ok okay alright normal normally right correctly every first straight like as lovely nicely smoothly both all up on over and then too just so thanks cheers better brilliantly once at`)

// timeWords close "every time", "first turn of the key".
var timeWords = set(`time times turn go`)

// doesOwnWork reads, from a token to the beginning of the next sentence, that
// the thing does its work again: cured, same where it is denied, better where a
// "but" follows at once; empty where nothing is told.
func (t *turn) doesOwnWork(from int) (effect string, first, last int) {
	if t.ctx.Chief == "" && len(t.ctx.Talk) == 0 {
		return "", 0, -1
	}
	sent := t.toks[from].sent
	for k := from + 1; k < len(t.toks) && k < from+30 && t.toks[k].sent <= sent+1; k++ {
		v := &t.voices[t.toks[k].clause]
		if v.question || v.supposed || t.toks[k].sent > sent && k > v.first+5 || t.toks[k].sent > sent && t.toks[k].clause > t.toks[from].clause+3 {
			continue
		}
		w := t.toks[k].norm
		if t.senseGone(k) {
			return "cured", k - 1, k
		}
		second, works := t.lx.ownWork[w]
		fine := t.lx.judgedFine[w] && (t.predicate(k) || t.word(k, -1) == "theyre" || t.word(k, -1) == "stays" || t.word(k, -1) == "stay")
		if !works && !fine || !t.subjectBefore(from, k, works) {
			continue
		}
		end := k
		if len(second) > 0 {
			if !second[t.word(k, 1)] {
				continue
			}
			end = k + 1
		}
		next := t.word(end, 1)
		if next != "" && !t.opensClause(end+1) && !afterWork[next] || next == "once" || next == "at" && t.word(end, 2) != "last" {
			continue
		}
		if t.limited(end) {
			return "", 0, -1
		}
		switch {
		case t.atTimes(k, end):
			return "better", k, end
		case t.toks[k].under || t.toks[end].under:
			return "same", k, end
		case t.butAfter(end):
			return "better", k, end
		}
		for end+1 < len(t.toks) && t.toks[end+1].clause == t.toks[k].clause && !joining[t.toks[end+1].norm] && (afterWork[t.toks[end+1].norm] || timeWords[t.toks[end+1].norm]) {
			end++
		}
		first = k
		for j := k - 1; j > from && t.toks[j].clause == t.toks[k].clause && !joining[t.toks[j].norm]; j-- {
			first = j
		}
		return "cured", first, end
	}
	return "", 0, -1
}

// senseGone reports whether a noise, a smell or the like is said to be gone:
// "squeal's gone".
func (t *turn) senseGone(k int) bool {
	switch t.toks[k].norm {
	case "gone", "disappeared", "vanished":
	default:
		return false
	}
	if t.toks[k].under || k == 0 {
		return false
	}
	for _, kind := range senses {
		if slices.ContainsFunc(t.saidBetween(kind, max(0, k-3), k-1), func(w saidWord) bool { return t.toks[w.last].clause == t.toks[k].clause }) {
			return !t.limited(k)
		}
	}
	return false
}

// asVerb reports whether a word that may be a part's name is the verb of one:
// "it lights".
func (t *turn) asVerb(k int) bool {
	if _, works := t.lx.ownWork[t.toks[k].norm]; !works {
		return false
	}
	n := t.word(k, -1)
	return n == "it" || n == "they"
}

// opensClause reports whether a token begins another clause.
func (t *turn) opensClause(k int) bool {
	return k >= len(t.toks) || k > 0 && t.toks[k].clause != t.toks[k-1].clause || t.toks[k].kind == tokenPunct
}

// whole are the subjects that mean the thing in talk or all of the car.
var whole = set(`it its they theyre she he all everything that this both car van engine motor thing lot temperature gauge needle lights lamps one ones`)

// subjectBefore reports whether the words between the deed and the verb name
// nothing but the thing in talk: "it", "they", the complaint's own words, or a
// part that works. "The noise starts" and "the belts are ok" are no cure.
func (t *turn) subjectBefore(from, k int, works bool) bool {
	for j := k - 1; j > from && t.toks[j].kind != tokenPunct && !joining[t.toks[j].norm]; j-- {
		w := &t.toks[j]
		if w.class != classContent || whole[w.norm] || negators[w.norm] || fineWords[w.norm] || t.lx.renewVerbs[w.norm] || hedgeWords[w.norm] != "" || w.norm == "stays" || w.norm == "stay" {
			switch w.norm {
			case "when", "if", "until", "unless", "to", "will", "would", "should", "might", "could", "i":
				return false
			}
			continue
		}
		u := t.unitAt[j]
		if u < 0 || !(works && t.inMention(u)) && !t.ofChief(u) {
			return false
		}
	}
	return true
}

var joining = set(`and but so then`)

// ofChief reports whether a word is one of the complaint's title.
func (t *turn) ofChief(u int) bool {
	f := t.lx.findings[t.ctx.Chief]
	if f == nil || t.us[u].id < 0 {
		return false
	}
	for _, w := range strings.Fields(plain(f.title)) {
		if t.lx.concept(t.lx.root(w)) == t.us[u].id {
			return true
		}
	}
	return false
}

// limited reports whether what follows says when or how long only: "works when
// I wiggle it", "runs for a minute", "works sometimes".
func (t *turn) limited(end int) bool {
	for j := end + 1; j < len(t.toks) && j < end+7 && t.toks[j].sent == t.toks[end].sent; j++ {
		switch t.toks[j].norm {
		case "when", "if", "until", "till", "while", "unless", "bridge", "bridged", "itself", "nonstop", "constantly", "without":
			return true
		case ".", ";", "but":
			return false
		}
	}
	return false
}

// atTimes reports whether the thing works only at times or for a while:
// better, and not cured.
func (t *turn) atTimes(k, end int) bool {
	if t.word(k, -1) == "only" {
		return true
	}
	for j := end + 1; j < len(t.toks) && j < end+5 && t.toks[j].sent == t.toks[end].sent; j++ {
		switch t.toks[j].norm {
		case "sometimes", "occasionally", "intermittently", "only":
			return true
		case "for":
			for i := j + 1; i <= j+3 && i < len(t.toks); i++ {
				if spellWords[t.toks[i].norm] {
					return true
				}
			}
		}
	}
	return false
}

// butAfter reports whether a "but" takes part of it back right away: "works,
// but slowly".
func (t *turn) butAfter(end int) bool {
	for j := end + 1; j < len(t.toks) && j <= end+3 && t.toks[j].sent == t.toks[end].sent; j++ {
		if contrasts[t.toks[j].norm] {
			return true
		}
	}
	return false
}

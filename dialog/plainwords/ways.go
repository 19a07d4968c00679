package plainwords

import (
	"math"
	"slices"
	"strings"

	"ruleout/kb"
)

// way is a pattern of the knowledge base: one alternative of every slot must be
// there. It is looked for as such and becomes a phrase only where it is found,
// so that a line that stands for thousands of wordings takes no more room than
// its words, and does not make them common.
type way struct {
	target target
	slots  [][]alternative
}

// alternative is one filling of a slot: its text and the concepts that must
// be there; where none of them has meaning by itself ("won't", "had it",
// "everything on") also its very words in a row. The empty one is there always.
type alternative struct {
	text         string
	ids          []int32
	words, plain []string // plain are all its words
}

func (lx *lexicon) addWays(b *kb.Base) {
	for _, w := range b.Ways {
		id, outcome := w.Target()
		f := lx.findings[id]
		if f == nil {
			continue
		}
		t := target{targetOutcome, id, outcome}
		if f.kind == kb.FindingSymptom {
			t.kind = targetSymptom
		}
		for _, pattern := range w.Said {
			slots, err := kb.Slots(pattern)
			if err != nil {
				continue // the validator has reported it
			}
			y := way{target: t}
			for _, texts := range slots {
				var alts []alternative
				for _, text := range texts {
					lx.learn(text)
					a := alternative{text: text, plain: strings.Fields(plain(text))}
					content := false
					if a.ids, content = lx.mustHave(text); !content {
						a.words = a.plain
					}
					alts = append(alts, a)
				}
				y.slots = append(y.slots, alts)
			}
			lx.ways = append(lx.ways, y)
		}
	}
}

// mustHave returns the concepts of a text that must be there for it to be said,
// and whether they have meaning by themselves.
func (lx *lexicon) mustHave(text string) (ids []int32, content bool) {
	us := lx.units(lx.parse(text), true)
	for i := range us {
		content = content || us[i].class == classContent
	}
	for i := range us {
		if us[i].class == classContent || !content {
			ids = append(ids, us[i].id)
		}
	}
	return ids, content
}

// countWays counts, for every concept that no phrase uses, the meanings whose
// ways do.
func (lx *lexicon) countWays(df []float64) {
	known := make([]bool, len(df))
	for i := range df {
		known[i] = df[i] > 0
	}
	type use struct {
		target target
		word   int32
	}
	uses := map[use]bool{}
	for i := range lx.ways {
		for _, slot := range lx.ways[i].slots {
			for _, a := range slot {
				for _, id := range a.ids {
					if u := (use{lx.ways[i].target, id}); !known[id] && !uses[u] {
						uses[u] = true
						df[id]++
					}
				}
			}
		}
	}
}

// anchorWays anchors every way at the slot whose commonest alternative is the
// rarest: at the rarest word of each.
func (lx *lexicon) anchorWays() {
	lx.wayAt = map[int32][]int32{}
	for i := range lx.ways {
		var best []int32
		most := 0.0
		for _, slot := range lx.ways[i].slots {
			least := math.Inf(1)
			var at []int32
			for _, a := range slot {
				rarest := int32(-1)
				for _, id := range a.ids {
					if rarest < 0 || lx.weights[id] > lx.weights[rarest] {
						rarest = id
					}
				}
				if rarest < 0 {
					least = 0
					break // an alternative that is always there anchors nothing
				}
				least = min(least, lx.weights[rarest])
				at = append(at, rarest)
			}
			if least > most {
				best, most = at, least
			}
		}
		for _, id := range best {
			if n := len(lx.wayAt[id]); n == 0 || lx.wayAt[id][n-1] != int32(i) {
				lx.wayAt[id] = append(lx.wayAt[id], int32(i))
			}
		}
	}
}

// waysAt adds the ways told around a unit.
func (lx *lexicon) waysAt(out []match, toks []token, us []unit, at int) []match {
	ways := lx.wayAt[us[at].id]
	if len(ways) == 0 {
		return out
	}
	lo, hi := at, at
	for lo > 0 && at-lo < window && us[lo-1].seg == us[at].seg {
		lo--
	}
	for hi+1 < len(us) && hi-at < window && us[hi+1].seg == us[at].seg {
		hi++
	}
	for _, w := range ways {
		text := lx.ways[w].toldIn(us[lo:hi+1], toks)
		if text == "" {
			continue
		}
		p, _ := lx.phraseOf(lx.ways[w].target, text, false)
		p.way = true
		if !lx.weighPhrase(&p) {
			continue
		}
		if p.letter = lx.toTheWord(text, toks, us[lo].first, us[hi].last, meant(&p, lx.concept("out"))); !p.letter && !tellsEnough(&p) {
			continue
		}
		if m, ok := lx.try(&p, toks, us, at); ok && (m.ordered || len(m.units) > 2) {
			out = append(out, m)
		}
	}
	return out
}

// beside is how many little words before and after the words of meaning may
// belong to a wording.
const beside = 3

// toldIn returns the wording of the way that the units tell: of every slot the
// alternative with the most words that are all there, of several that mean the
// same the one that stands there word by word. Empty where a slot has none.
func (w *way) toldIn(us []unit, toks []token) string {
	near := toks[max(0, us[0].first-beside):min(len(toks), us[len(us)-1].last+1+beside)]
	var chosen []string
	for _, slot := range w.slots {
		best, literal := -1, false
		for i := range slot {
			a := &slot[i]
			more := best < 0 || len(a.ids) > len(slot[best].ids)
			if !more && (literal || !slices.Equal(a.ids, slot[best].ids)) || !allIn(a.ids, us) || !inARow(a.words, near) {
				continue
			}
			if said := inARow(a.plain, near); more || said {
				best, literal = i, said
			}
		}
		if best < 0 {
			return ""
		}
		chosen = append(chosen, slot[best].text)
	}
	return strings.Join(chosen, " ")
}

// inARow reports whether the words stand in the tokens one after the other.
func inARow(words []string, toks []token) bool {
next:
	for k := 0; k+len(words) <= len(toks); k++ {
		for i, w := range words {
			if toks[k+i].norm != w {
				continue next
			}
		}
		return true
	}
	return false
}

func allIn(ids []int32, us []unit) bool {
next:
	for _, id := range ids {
		for i := range us {
			if us[i].id == id {
				continue next
			}
		}
		return false
	}
	return true
}

// wayTells is the score from which a pattern's wording is believed unasked: a
// wording that somebody wrote down is a better witness than one of thousands.
// One that stands there word by word is as good.
const wayTells = 1.0

// weakWay reports whether a match is of a pattern and too weak to be believed.
func (m *match) weakWay() bool {
	return m.phrase.way && !m.phrase.letter && m.score < wayTells
}

// tellingAlone is the weight from which a single word of meaning tells a
// trouble, with what little words stand by it.
const tellingAlone = 0.7

// tellsEnough reports whether a phrase of a way has words enough to go by: "parked
// it and went" has only one for "park lets go".
func tellsEnough(p *phrase) bool {
	n, most := 0, 0.0
	for i := range p.words {
		if p.words[i].meant {
			n++
			most = max(most, p.words[i].weight)
		}
	}
	return n > 1 || most >= tellingAlone
}

// meant counts the words of meaning of a phrase; "out" says as much of a lamp.
func meant(p *phrase, out int32) (n int) {
	for i := range p.words {
		n += b2i(p.words[i].meant || p.words[i].id == out)
	}
	return n
}

// toTheWord reports whether a wording of three words, of two words of meaning or
// of a denial stands in the tokens word by word, articles and forms of a word apart: "no wipers",
// "crunches into second", "clutch slips".
func (lx *lexicon) toTheWord(text string, toks []token, lo, hi, meant int) bool {
	var words []string
	denies := false
	for _, w := range strings.Fields(plain(text)) {
		if !articles[w] {
			words = append(words, w)
			denies = denies || negators[w]
		}
	}
	if len(words) < 2 || len(words) < 3 && !denies && meant < 2 {
		return false
	}
	var said []token
	for k := max(0, lo-beside); k <= min(hi+beside, len(toks)-1); k++ {
		if !articles[toks[k].norm] {
			said = append(said, toks[k])
		}
	}
next:
	for k := 0; k+len(words) <= len(said); k++ {
		for i, w := range words {
			if n := said[k+i].norm; n != w && lx.root(n) != lx.root(w) {
				continue next
			}
		}
		return true
	}
	return false
}

// weighPhrase gives the words of a phrase their weights and reports whether
// all of them are known.
func (lx *lexicon) weighPhrase(p *phrase) bool {
	for k := range p.words {
		w := &p.words[k]
		if w.id < 0 {
			return false
		}
		w.weight = 0.12
		if w.class == classContent {
			w.weight = lx.weights[w.id]
		}
		p.total += w.weight
	}
	return len(p.words) > 0
}

package plainwords

import (
	"slices"
	"strings"

	"ruleout/kb"
)

// An aside is a piece of a turn that speaks of something else than this car and
// its trouble: what it is like ("as if it had been rear ended"), another car
// ("the wife's runabout squeals, mine just won't start"), the person or a thing
// of theirs ("I'm exhausted", "a flat battery on my phone"). Its words make no
// findings.

// asides are the tokens that speak of something else: elsewhere of something
// that is not this car, likened of what the trouble is like.
type asides struct{ elsewhere, likened []bool }

// evidence are the verbs after which "like" tells what seems to be so.
var evidence = set(`look looks looked looking feel feels felt feeling seem seems seemed sound sounds sounded sounding smell smells smelt smelled smelling acts acting behaves`)

// likenessEnds end a comparison within its clause.
var likenessEnds = set(`when whenever while if at on in under over with from as until till since after but especially mostly only`)

// findAsides marks the asides of a turn.
func (t *turn) findAsides() {
	t.asides = asides{make([]bool, len(t.toks)), make([]bool, len(t.toks))}
	for i := range t.toks {
		switch w := t.toks[i].norm; {
		case w == "like", w == "as" && (t.word(i, 1) == "if" || t.word(i, 1) == "though"):
			t.likeness(i)
		case t.lx.gadgets[w] && t.word(i, -1) == "my" && t.word(i, -2) == "on":
			for k := i - 3; k >= 0 && k > i-7 && t.toks[k].clause == t.toks[i].clause; k-- {
				t.elsewhere[k] = true
			}
		case w == "im" || w == "am" && t.word(i, -1) == "i":
			t.ofPerson(i + 1)
		}
	}
	t.otherCars()
}

// word is the word n tokens after token i within its clause, or empty.
func (t *turn) word(i, n int) string {
	if k := i + n; k >= 0 && k < len(t.toks) && t.toks[k].clause == t.toks[i].clause {
		return t.toks[k].norm
	}
	return ""
}

// likeness marks what follows "like" or "as if" at token i. A whole clause
// ("like it's been hit") is a picture unless it follows a verb of seeming; of a
// thing ("like a bag of nails") the sound is meant, and only its parts and
// places are none.
func (t *turn) likeness(i int) {
	from := i + 1
	whole := false
	if t.toks[i].norm == "as" {
		from, whole = i+2, true
	} else {
		switch t.word(i, 1) {
		case "its", "it", "hes", "shes", "theyre", "they", "he", "she", "someone", "somebody", "im", "i", "youre", "you", "someones", "somebodys", "theres", "when":
			whole = true
		case "this", "that", "new", "":
			return // "it does like this", "like new"
		}
	}
	whole = whole && !(i > 0 && (evidence[t.toks[i-1].norm] || i > 1 && evidence[t.toks[i-2].norm]))
	for k := from; k < len(t.toks) && k < from+16 && t.toks[k].clause == t.toks[i].clause && !(k > from && likenessEnds[t.toks[k].norm]); k++ {
		t.likened[k] = true
		t.elsewhere[k] = t.elsewhere[k] || whole
	}
}

// ofPerson marks a participle or adjective said of the person: "I'm exhausted
// and", "we're stuffed for cash".
func (t *turn) ofPerson(i int) {
	for i < len(t.toks) && (t.toks[i].norm == "so" || t.toks[i].norm == "really" || t.toks[i].norm == "absolutely" || t.toks[i].norm == "totally" || t.toks[i].norm == "completely" || t.toks[i].norm == "proper") {
		i++
	}
	if i >= len(t.toks) || t.toks[i].class != classContent || t.toks[i].kind != tokenWord {
		return
	}
	switch t.word(i, 1) {
	case "", "and", "about", "for", "with", "of", "by", ",", ".", "!":
		if w := t.toks[i].norm; len(w) > 2 && (w[len(w)-2:] == "ed" || t.lx.bad[w]) {
			t.elsewhere[i] = true
		}
	}
}

// otherCars marks clauses about another car. One that is named by its owner
// ("my mum's hatch") is another only where the person's own is named beside it.
func (t *turn) otherCars() {
	own := func(i int) bool {
		switch t.toks[i].norm {
		case "mine":
			return true
		case "own":
			return t.word(i, -1) == "my" && t.word(i, -2) != "on"
		case "this":
			return t.word(i, 1) == "one"
		}
		return false
	}
	owns := false
	for i := range t.toks {
		owns = owns || own(i)
	}
	other, sent := false, int32(-1)
	for i := range t.toks {
		if t.toks[i].sent != sent {
			other, sent = false, t.toks[i].sent
		}
		if own(i) {
			other = false
		}
		if w := t.toks[i].norm; t.lx.vehicleNouns[w] && !other {
			for k := i - 1; k >= 0 && k >= i-4 && t.toks[k].clause == t.toks[i].clause; k-- {
				n := t.toks[k].norm
				if (n == "other" || n == "previous" || owns && (n == "old" || n == "last")) && w != "one" || owns && len(n) > 3 && n[len(n)-1] == 's' && t.lx.tellers[n[:len(n)-1]] {
					other = true
				}
			}
			for k := i; other && k >= 0 && t.toks[k].clause == t.toks[i].clause; k-- {
				t.elsewhere[k] = true
			}
		}
		t.elsewhere[i] = t.elsewhere[i] || other
	}
}

// ofTest reports whether a match is the outcome of a test, which nothing is
// likened to.
func (t *turn) ofTest(m *match) bool {
	f := t.lx.findings[m.phrase.target.id]
	return f != nil && f != t.asked && f.kind == kb.FindingTest
}

// leaveAsides drops the matches that lie in an aside.
func (t *turn) leaveAsides() {
	t.matches = slices.DeleteFunc(t.matches, func(m match) bool {
		in := 0
		for _, u := range m.units {
			k := t.us[u].first
			if t.elsewhere[k] {
				in++
				continue
			}
			switch kind := m.phrase.target.kind; {
			case kind == targetSymptom, kind == targetLook, kind == targetOutcome && !t.ofTest(&m):
			default:
				if t.likened[k] {
					in++
				}
			}
		}
		own := m.phrase.likens && (in < len(m.units) || strings.HasPrefix(m.phrase.said, "like "))
		return in*2 >= len(m.units) && in > 0 && !own || in > 0 && m.phrase.target.kind != targetSymptom && !(m.phrase.target.kind == targetOutcome && m.phrase.likens)
	})
}

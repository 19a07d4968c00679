package plainwords

import (
	"strings"

	"ruleout/kb"
)

// builtin holds equivalences of general English that no list of the trade
// needs to say; the synonyms of the knowledge base come before it.
const builtin = `
fine: ok okay alright allright
climb: rise
drop: fall
queue: jam
spin: revolve rotate
stop: halt
same: unchanged identical
temperature: temp temps
renew: renewed renewing
work: function operate functioning operating
`

// vocabulary knows the words of the lexicon: concepts by number, synonyms of
// one and of several words, and correct spellings.
type vocabulary struct {
	ids    map[string]int32 // concept by stem or term
	names  []string
	single map[string]string // form -> term
	base   map[string]string // stem of a form in its base form -> term
	multi  map[string][]multiform
	known  map[string]bool    // correctly spelled words
	senses map[string][]sense // by stem
	wordlist
	speller
}

// name is the stem or term of a concept, "" for a word that is none.
func (v *vocabulary) name(id int32) string {
	if id < 0 {
		return ""
	}
	return v.names[id]
}

// sense is what a word means before one of some others.
type sense struct {
	before map[string]bool // stems
	term   string
}

// multiform is a synonym of several words.
type multiform struct {
	stems []string
	term  string
	// denies marks a form with a negation of its own ("never leaves the bottom").
	denies bool
}

func newVocabulary(synonyms []kb.Synonym, words []kb.Word) *vocabulary {
	v := &vocabulary{ids: map[string]int32{}, single: map[string]string{}, base: map[string]string{}, multi: map[string][]multiform{}, known: map[string]bool{}, senses: map[string][]sense{}, wordlist: newWordlist(words)}
	for _, w := range words {
		v.learn(w.Term)
		for _, f := range w.Forms {
			v.learn(f)
		}
	}
	for form, term := range mapOf(builtin) {
		v.base[stem(form)] = stem(term)
	}
	for _, s := range synonyms {
		term := strings.Join(stems(s.Term), " ")
		if term == "" {
			continue
		}
		if len(s.Before) > 0 {
			before := map[string]bool{}
			for _, w := range s.Before {
				before[stem(w)] = true
				v.learn(w)
			}
			for _, form := range s.Forms {
				v.senses[stem(form)] = append(v.senses[stem(form)], sense{before, term})
				v.learn(form)
			}
			continue
		}
		for _, form := range append([]string{s.Term}, s.Forms...) {
			st := stems(form)
			switch {
			case len(st) == 1:
				// An inflected form ("tapping", a noise) stands only for
				// itself; a base form for its inflections too.
				w := plain(form)
				if st[0] != term && !stopWords[w] && !particles[w] {
					v.single[w] = term
					switch {
					case st[0] == w:
						v.base[w] = term
					case st[0]+"e" == w && v.base[st[0]] == "":
						v.base[st[0]] = term // "cable's" as "cable"
					}
				}
			case len(st) > 1 && len(st) <= 5:
				v.multi[st[0]] = append(v.multi[st[0]], multiform{st, term, anyNegator(form)})
			}
			v.learn(form)
		}
	}
	return v
}

// stems returns the stems of all words of a phrase.
func stems(phrase string) []string {
	var out []string
	for _, t := range scan(phrase) {
		if t.kind != tokenPunct && t.norm != "" {
			out = append(out, stem(t.norm))
		}
	}
	return out
}

func anyNegator(phrase string) bool {
	for _, t := range scan(phrase) {
		if negators[t.norm] {
			return true
		}
	}
	return false
}

// learn takes the words of a text as correctly spelled.
func (v *vocabulary) learn(text string) {
	for _, t := range scan(text) {
		if t.kind == tokenWord && t.norm != "" {
			v.known[t.norm] = true
		}
	}
}

// root follows the synonyms of a word to the name of its concept.
func (v *vocabulary) root(norm string) string {
	if s, ok := v.single[norm]; ok {
		return s
	}
	st := stem(norm)
	if s, ok := v.base[st]; ok {
		return s
	}
	return st
}

// concept returns the number of a concept's name, or -1.
func (v *vocabulary) concept(st string) int32 {
	if id, ok := v.ids[st]; ok {
		return id
	}
	return -1
}

func (v *vocabulary) intern(st string) int32 {
	id, ok := v.ids[st]
	if !ok {
		id = int32(len(v.names))
		v.ids[st] = id
		v.names = append(v.names, st)
	}
	return id
}

// unit is a word, or a synonym of several words, that can carry meaning.
type unit struct {
	id int32
	// head is the concept of the noun that a compound ends in, or -1: a
	// "cooling fan" is a fan.
	head        int32
	first, last int // tokens, last inclusive
	class       class
	under       bool // within a negation
	number      bool
	seg, clause int32
}

// determiners stand between a verb and its object.
var determiners = set(`the a an my your his her its our their this that both each`)

// sensed is the name of the concept of a word where it stands.
func (v *vocabulary) sensed(st []string, toks []token, at int) string {
	for _, s := range v.senses[st[at]] {
		for k := at + 1; k < len(toks) && toks[k].clause == toks[at].clause; k++ {
			if s.before[st[k]] {
				return s.term
			}
			if !determiners[toks[k].norm] {
				break
			}
		}
	}
	return v.root(toks[at].norm)
}

// units reads the meaning-bearing words of the tokens. With grow set, unknown
// words become concepts: that is how the lexicon is built.
func (v *vocabulary) units(toks []token, grow bool) []unit { return v.unitsOf(toks, grow, false) }

// unitsOf is units; apart leaves synonyms of several words in their words.
func (v *vocabulary) unitsOf(toks []token, grow, apart bool) []unit {
	out := make([]unit, 0, len(toks)/2+1)
	st := make([]string, len(toks))
	for i := range toks {
		if toks[i].kind != tokenPunct {
			st[i] = stem(toks[i].norm)
		}
	}
	work := v.concept(stem("work"))
	for i := 0; i < len(toks); i++ {
		t := &toks[i]
		if t.kind == tokenPunct {
			continue
		}
		if n := v.failsAt(toks, i); n > 0 && !grow && work >= 0 {
			// "packed up" says "does not work" and stays what it is
			out = append(out, unit{id: work, head: -1, first: i, last: i + n - 1, class: classLight, under: true, seg: t.seg, clause: t.clause})
		}
		if term, n, denies := v.multiAt(st, toks, i); n > 0 && !apart {
			u := unit{first: i, last: i + n - 1, under: t.under, seg: t.seg, clause: t.clause}
			for k := i; k < i+n; k++ {
				u.under = u.under || toks[k].under && !denies
			}
			for k := max(0, i-4); k < i && denies; k++ {
				u.under = u.under || toks[k].neg && toks[k].clause == t.clause // denied once more
			}
			u.id, u.head = v.find(term, grow), v.headOf(term, st[i+n-1])
			out = append(out, u)
			i += n - 1
			continue
		}
		if t.class == classStop {
			continue
		}
		u := unit{head: -1, first: i, last: i, class: t.class, under: t.under, number: t.kind == tokenNumber, seg: t.seg, clause: t.clause}
		u.id = v.find(v.sensed(st, toks, i), grow)
		if t.under && running[t.norm] && v.concept("work") >= 0 {
			u.id = v.concept("work")
		}
		t.id = u.id
		out = append(out, u)
	}
	return out
}

// running are the verbs that, denied, say that a thing does not work.
var running = set(`run runs running spin spins spinning`)

// headOf returns the concept of the last word of a term of several that was
// said with that word, or -1: a "rad fan" is a fan.
func (v *vocabulary) headOf(term, last string) int32 {
	i := strings.LastIndexByte(term, ' ')
	if i < 0 || term[i+1:] != last || stopWords[last] || particles[last] || lightWords[last] {
		return -1
	}
	return v.concept(v.root(last))
}

// is reports whether a unit says the concept, itself or as the head of a
// compound.
func (u *unit) is(id int32) bool { return u.id == id || u.head == id && id >= 0 }

func (v *vocabulary) find(st string, grow bool) int32 {
	if grow {
		return v.intern(st)
	}
	return v.concept(st)
}

// between are the words that may stand inside a synonym of several words:
// "the exhaust is blowing" for "exhaust blowing".
var between = set(`is are was were the a an my its has`)

// multiAt finds the longest synonym of several words that begins at token i;
// n is the number of tokens it takes.
func (v *vocabulary) multiAt(st []string, toks []token, i int) (term string, n int, denies bool) {
	longest := 0
	for _, m := range v.multi[st[i]] {
		if len(m.stems) <= longest {
			continue
		}
		at, ok := i, true
		for k, s := range m.stems {
			if k > 0 {
				at++
				if at < len(st) && st[at] != s && between[toks[at].norm] {
					at++
				}
			}
			if k > 0 && at+1 < len(st) && toks[at].norm == "-" && toks[at].joined && toks[at+1].joined {
				at++ // "e-brake"
			}
			if at >= len(st) || st[at] != s || toks[at].kind == tokenPunct || toks[at].neg && !m.denies {
				ok = false
				break
			}
		}
		if ok {
			term, n, longest, denies = m.term, at-i+1, len(m.stems), m.denies
		}
	}
	return term, n, denies
}

// classOf says how much a word matters.
func classOf(t *token) class {
	switch {
	case t.kind == tokenNumber:
		return classContent
	case particles[t.norm]:
		return classParticle
	case stopWords[t.norm]:
		return classStop
	case lightWords[stem(t.norm)] && !turningWords[t.norm]:
		return classLight
	}
	return classContent
}

package plainwords

import (
	"sort"
	"strings"

	"ruleout/kb"
)

// wordForm is one form of a word of the vocabulary, as stems, and what it
// points to.
type wordForm struct {
	term, kind, value string
	stems             []string
}

// wordlist is the part of the vocabulary that is looked up word by word; what
// points to an entry of another list joins the phrases of the lexicon.
type wordlist struct {
	forms   map[string][]wordForm // by first stem, longest first
	shops   map[string]bool       // who says it
	tellers map[string]bool
	items   map[string]string // which one, by word
	good    map[string]bool   // verdicts
	bad     map[string]bool
	heads   []string   // nouns that bring "which one?"
	fails   [][]string // "does not work" in other words, as words
	// circuits are the parts of the circuit that a trouble code names.
	circuits map[string][]string
}

// phraseTargets maps the kinds that join the phrases to their target.
var phraseTargets = map[string]targetKind{"part": targetPart, "look": targetLook, "action": targetComeGo, "axis": targetAxis, "event": targetEvent, "tool": targetTool, "vehicle": targetVehicle}

func newWordlist(words []kb.Word) wordlist {
	l := wordlist{forms: map[string][]wordForm{}, shops: map[string]bool{}, tellers: map[string]bool{}, items: map[string]string{}, good: map[string]bool{}, bad: map[string]bool{}, circuits: map[string][]string{}}
	for _, w := range words {
		for _, target := range w.PointsTo {
			kind, value, _ := strings.Cut(target, ":")
			for _, form := range append([]string{w.Term}, w.Forms...) {
				l.add(w.Term, plain(form), kind, value)
			}
		}
	}
	for first := range l.forms {
		list := l.forms[first]
		sort.SliceStable(list, func(i, j int) bool { return len(list[i].stems) > len(list[j].stems) })
	}
	return l
}

func (l *wordlist) add(term, form, kind, value string) {
	words := strings.Fields(form)
	if len(words) == 0 {
		return
	}
	switch kind {
	case "source":
		if value == "shop" {
			l.shops[form] = true
		} else {
			l.tellers[form] = true
		}
	case "item":
		l.items[form] = value
	case "verdict":
		if value == "good" {
			l.good[form] = true
		} else {
			l.bad[form] = true
		}
	case "which-one":
		l.heads = append(l.heads, form)
	case "circuit":
		l.circuits[form] = append(l.circuits[form], value)
		return
	case "fails":
		l.fails = append(l.fails, words)
	}
	if _, ok := phraseTargets[kind]; ok || kind == "fails" {
		return
	}
	for i := range words {
		if inflects[kind] {
			words[i] = stem(words[i])
		}
	}
	l.forms[words[0]] = append(l.forms[words[0]], wordForm{term, kind, value, words})
}

// inflects are the kinds whose words are meant in all their forms; the others
// are idioms of which every letter counts.
var inflects = map[string]bool{"sound": true, "smell": true, "feel": true, "colour": true, "fluid": true, "place": true, "deed": true, "system": true, "which-one": true, "thing": true, "car": true}

// saidWord is a word of the vocabulary found in a turn.
type saidWord struct {
	*wordForm
	first, last int // tokens
}

// findWords finds the words of the vocabulary, at each token the longest of
// every kind, ordered by place.
func (l *wordlist) findWords(toks []token) []saidWord {
	st := make([]string, len(toks))
	for i := range toks {
		if toks[i].kind == tokenWord {
			st[i] = stem(toks[i].norm)
		}
	}
	var out []saidWord
	for i := range toks {
		if toks[i].kind != tokenWord {
			continue
		}
		out = l.at(out, toks, st, i, l.forms[st[i]], true)
		out = l.at(out, toks, st, i, l.forms[toks[i].norm], false)
	}
	return out
}

// at adds the words that begin at token i, compared by stem or to the letter.
func (l *wordlist) at(out []saidWord, toks []token, st []string, i int, forms []wordForm, byStem bool) []saidWord {
	from := len(out)
next:
	for k := range forms {
		f := &forms[k]
		end := i + len(f.stems)
		if inflects[f.kind] != byStem || end > len(toks) || toks[end-1].sent != toks[i].sent {
			continue
		}
		for j, s := range f.stems {
			if byStem && st[i+j] != s || !byStem && toks[i+j].norm != s {
				continue next
			}
		}
		for _, w := range out[from:] {
			if w.kind == f.kind {
				continue next
			}
		}
		out = append(out, saidWord{f, i, end - 1})
	}
	return out
}

// saidBetween returns the words of a kind within the tokens lo to hi.
func (t *turn) saidBetween(kind string, lo, hi int) []saidWord {
	var out []saidWord
	at := sort.Search(len(t.words), func(i int) bool { return t.words[i].first >= lo })
	for ; at < len(t.words) && t.words[at].first <= hi; at++ {
		if t.words[at].kind == kind && t.words[at].last <= hi {
			out = append(out, t.words[at])
		}
	}
	return out
}

package plainwords

import "strings"

// reach is the number of meaning-bearing words that a negation covers.
const reach = 4

// negate finds the negating words and marks what lies in their scope: the
// words after them up to the end of the clause, a joining word, or a
// preposition once a word has been covered. Two negations cancel out.
func negate(toks []token) {
	for i := range toks {
		t := &toks[i]
		if t.kind == tokenWord && (negators[t.norm] && isNegation(toks, i) || ceases(toks, i)) {
			t.neg = true
		}
	}
	for i := range toks {
		if !toks[i].neg || !ceases(toks, i) {
			continue
		}
		for j := max(0, i-2); j < i; j++ {
			if toks[j].neg && toks[j].clause == toks[i].clause {
				toks[j].neg, toks[i].neg = false, false // "hasn't stopped running" runs
			}
		}
	}
	deniedDenials(toks)
	neverWithout(toks)
	for i := range toks {
		if !toks[i].neg {
			continue
		}
		covered, from := 0, i+1
		if toks[i].norm == "none" || toks[i].norm == "neither" {
			from = deniedFrom(toks, i)
		}
		for k := i + 1; k < len(toks) && covered < reach; k++ {
			w := &toks[k]
			if w.clause != toks[i].clause || w.kind == tokenPunct && w.norm != "/" && w.norm != "\"" {
				break
			}
			if covered > 0 && scopeEnds[w.norm] && !(particles[w.norm] && closesVerb(toks, k)) {
				break
			}
			if covered == 0 && toks[i].norm == "nothing" && opensTime[w.norm] && w.norm != "with" && w.norm != "as" {
				break // "nothing at all when I turn the key" turns it
			}
			if w.neg && k == i+1 && w.norm == "not" {
				continue // "won't not start": twice denied
			}
			if w.neg && k > i {
				// "nothing doesn't": the second one takes over
				break
			}
			if k < from {
				continue
			}
			w.under = !w.under
			if troubleWords[w.norm] {
				break // "never had trouble starting" starts
			}
			if w.class == classContent || w.class == classLight {
				covered++
			}
		}
	}
}

// neverWithout undoes "without" and the denial before it: what never goes in
// without a crunch goes in with one.
func neverWithout(toks []token) {
	denied := -1
	for i := range toks {
		switch {
		case !toks[i].neg:
		case toks[i].norm == "without" && denied >= 0 && toks[denied].sent == toks[i].sent && toks[i].clause-toks[denied].clause <= 1:
			toks[denied].neg, toks[i].neg = false, false
			denied = -1
		default:
			denied = i
		}
	}
}

// deniedFrom is the token from which "none of" and "neither" deny: what they are
// said of is there, "none of the wipers move" denies the moving.
func deniedFrom(toks []token, i int) int {
	noun := -1
	for k := i + 1; k < len(toks) && k <= i+5 && toks[k].clause == toks[i].clause && toks[k].kind != tokenPunct; k++ {
		switch {
		case toks[k].class == classLight && noun >= 0:
			return k
		case toks[k].class == classContent && noun >= 0 && strings.HasSuffix(toks[noun].norm, "s"):
			return k
		case toks[k].class == classContent:
			noun = k
		}
	}
	return i + 1
}

// troubleWords are general words for a trouble, which a denial takes alone.
var troubleWords = set(`trouble problem problems difficulty bother issue issues hard difficult struggle struggles struggling slow ages`)

// closesVerb reports whether a particle ends its clause or stands before a
// word that cannot be its noun: "won't come on at lights" against "no steam
// on the hose".
func closesVerb(toks []token, k int) bool {
	if k+1 >= len(toks) || toks[k+1].kind == tokenPunct || toks[k+1].clause != toks[k].clause {
		return true
	}
	n := toks[k+1].norm
	return scopeEnds[n] || stopWords[n] && n != "the" && n != "a" && n != "an" && n != "my" && n != "full" && n != "this" && n != "that"
}

// isNegation tells a negating word from its other uses: "no" as an answer,
// "not only", "not sure", "why not", "no problem".
func isNegation(toks []token, i int) bool {
	word := func(k int) string {
		if k >= 0 && k < len(toks) && toks[k].sent == toks[i].sent {
			return toks[k].norm
		}
		return ""
	}
	next := word(i + 1)
	switch toks[i].norm {
	case "no":
		first := i == 0 || toks[i-1].clause != toks[i].clause
		if i+1 >= len(toks) || toks[i+1].kind == tokenPunct {
			return false
		}
		if first && answersNo[next] {
			return false
		}
		return next != "problem" && next != "problems" && next != "bother" && next != "trouble" && next != "idea" && next != "clue" && next != "matter" && next != "wonder"
	case "not":
		return next != "only" && next != "sure" && next != "just" && next != "certain" && word(i-1) != "why" && word(i-1) != "or" && word(i-1) != "if"
	case "without":
		return !(next == "a" && word(i+2) == "doubt") && next != "doubt" && next != "fail"
	case "non":
		return next == "stop"
	case "nothing":
		return next != "wrong" && next != "but"
	case "none":
		return next == "of" || len(next) > 3 && (strings.HasSuffix(next, "ed") || strings.HasSuffix(next, "ing")) || marred[next]
	case "neither":
		return next == "of" || next == "the" || next == "my" || deniedFrom(toks, i) > i+1
	case "cant", "couldnt", "cannot":
		return next != "tell" && next != "say" && next != "remember" && next != "help"
	case "dont":
		return next != "know" && next != "get" && next != "understand" && next != "mind" && next != "ask"
	case "never":
		return next != "mind"
	case "isnt", "doesnt", "wont", "arent", "wasnt", "dontt":
		// a question tag: "isn't it?"
		return !(i+2 < len(toks) && toks[i+2].norm == "?")
	}
	return true
}

// marred are the participles in which parts are found, without "-ed".
var marred = set(`blown broken burnt torn worn loose gone split bent stuck`)

// answersNo are the words before which "no" is an answer and not a negation.
var answersNo = set(`it its the i im ive that thats this they we he she you my theyre there theres only just wait hang sorry actually not still never but and both all nothing mate same yeah because when thanks need as fine ok because definitely`)

// ceasing are the verbs that deny the doing named after them: "stopped
// charging", "quit working".
var ceasing = set(`stopped stops stop stopping quit quits ceased ceases`)

// ceases reports whether the word denies the verb in -ing that follows.
func ceases(toks []token, i int) bool {
	if !ceasing[toks[i].norm] || i+1 >= len(toks) || toks[i+1].clause != toks[i].clause {
		return false
	}
	w := toks[i+1].norm
	if i > 0 && (toks[i-1].norm == "i" || toks[i-1].norm == "we" || toks[i-1].norm == "ive") {
		return false // "I stopped using it"
	}
	return len(w) > 5 && strings.HasSuffix(w, "ing") && w != "during" && w != "something" && w != "anything" && w != "everything"
}

// failsAt returns how many tokens of a fail idiom begin at token i, 0 for
// none. Denied ones ("hasn't packed up") are none.
func (l *wordlist) failsAt(toks []token, i int) int {
	if toks[i].under || toks[i].neg {
		return 0
	}
	best := 0
	for _, f := range l.fails {
		if len(f) <= best || i+len(f) > len(toks) {
			continue
		}
		ok := true
		for k, w := range f {
			if toks[i+k].norm != w || toks[i+k].clause != toks[i].clause {
				ok = false
				break
			}
		}
		if ok {
			best = len(f)
		}
	}
	if best == 1 && toks[i].norm == "quit" && i+1 < len(toks) && strings.HasSuffix(toks[i+1].norm, "ing") {
		return 0
	}
	return best
}

// deniedDenials lets a denial of a whole statement cancel the one inside it:
// "it's not that it won't start", "can't say it doesn't overheat". What is then
// left is said outright, which a phrase that denies is the opposite of.
func deniedDenials(toks []token) {
	for i := range toks {
		if toks[i].kind != tokenWord || !deniesStatement(toks, i) {
			continue
		}
		for k := i + 1; k < len(toks) && k < i+8 && toks[k].clause == toks[i].clause; k++ {
			if !toks[k].neg {
				continue
			}
			toks[i].neg, toks[k].neg = false, false
			for j := i; j < len(toks) && j < i+20 && toks[j].clause == toks[i].clause; j++ {
				toks[j].affirmed = true
			}
			break
		}
	}
}

// deniesStatement reports whether a denial of what somebody says or thinks
// begins at token i.
func deniesStatement(toks []token, i int) bool {
	next := ""
	if i+1 < len(toks) {
		next = toks[i+1].norm
	}
	switch toks[i].norm {
	case "not", "isnt":
		if next == "that" || next == "as" || next == "like" || next == "once" {
			return true
		}
	case "no":
		return next == "way"
	case "cant", "cannot", "couldnt", "wouldnt", "dont":
		if next == "say" || next == "think" || next == "believe" {
			return true
		}
	}
	switch next {
	case "fail", "fails", "failed", "refuse", "refuses", "refused":
		return negators[toks[i].norm] // "never failed to start"
	}
	return false
}

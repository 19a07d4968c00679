package retrieval

import (
	"cmp"
	"slices"
	"strings"
)

const (
	slipFrom    = 5 // letters of a word that may be a slip
	guesses     = 3 // at a slip
	completions = 8 // of an unfinished word
	halfFrom    = 3 // letters of each half of a word run together
)

// knows says whether a word is one of the language, in any of its forms.
func (a *analyzer) knows(w term) bool {
	if _, ok := a.words[w.word]; ok || stop[w.text] {
		return true
	}
	_, ok := a.phrases[w.text]
	return ok || a.stems[w.text]
}

// correct replaces unknown words: one run together from two known words by the
// two, else a slip by the known words one letter away. Known words are left
// alone, so that a guess can never displace an exact word.
func (a *analyzer) correct(ws []term) []term {
	var out []term
	for _, w := range ws {
		switch {
		case a.knows(w):
			out = append(out, w)
		default:
			if l, r, ok := a.halves(w.word); ok {
				one, two := w, w
				one.word, one.text = l, stem(l)
				two.word, two.text = r, stem(r)
				out = append(out, one, two)
				continue
			}
			if near := a.near(w.word); len(near) > 0 {
				w.slip, w.text, w.others = true, stem(near[0]), near[1:]
			}
			out = append(out, w)
		}
	}
	return out
}

// halves splits a word into two known ones, the longest first half first.
func (a *analyzer) halves(w string) (string, string, bool) {
	for i := len(w) - halfFrom; i >= halfFrom; i-- {
		if a.words[w[:i]] > 0 && a.words[w[i:]] > 0 && !stop[w[:i]] && !stop[w[i:]] {
			return w[:i], w[i:], true
		}
	}
	return "", "", false
}

// near returns the known words one letter away, the most frequent first. A word
// with a digit is a name or a value, never a slip.
func (a *analyzer) near(w string) []string {
	if len(w) < slipFrom || strings.ContainsAny(w, "0123456789+") {
		return nil
	}
	var out []string
	for n := max(slipFrom-1, len(w)-1); n <= len(w)+1; n++ {
		for _, k := range a.byLength[n] {
			if oneAway(w, k) {
				out = append(out, k)
			}
		}
	}
	return a.mostFrequent(out, guesses)
}

// complete returns the known words that begin so, the most frequent first.
func (a *analyzer) complete(begin string) []string {
	var out []string
	for _, k := range a.sorted {
		if len(k) > len(begin) && strings.HasPrefix(k, begin) {
			out = append(out, k)
		}
	}
	return a.mostFrequent(out, completions)
}

// mostFrequent returns the n most frequent of the words, ties by the alphabet.
func (a *analyzer) mostFrequent(words []string, n int) []string {
	slices.SortFunc(words, func(x, y string) int {
		return cmp.Or(cmp.Compare(a.words[y], a.words[x]), cmp.Compare(x, y))
	})
	return words[:min(n, len(words))]
}

// oneAway says whether one letter put in, left out, changed or swapped with its
// neighbour makes one word of the other (restricted Damerau-Levenshtein
// distance 1, over bytes).
func oneAway(a, b string) bool {
	if len(a) > len(b) {
		a, b = b, a
	}
	if len(b)-len(a) > 1 {
		return false
	}
	i := 0
	for i < len(a) && a[i] == b[i] {
		i++
	}
	if len(a) < len(b) {
		return a[i:] == b[i+1:]
	}
	if i == len(a) {
		return false
	}
	return a[i+1:] == b[i+1:] ||
		i+1 < len(a) && a[i] == b[i+1] && a[i+1] == b[i] && a[i+2:] == b[i+2:]
}

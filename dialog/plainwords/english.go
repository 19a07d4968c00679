package plainwords

import (
	_ "embed"
	"strings"
)

// englishText holds common English words, base forms mostly: general
// knowledge together with the words of the articles' own prose. A word of it,
// or an inflection, is spelled correctly and is never corrected.
//
//go:embed english.txt
var englishText string

// english holds the words and their stems.
var english = func() map[string]bool {
	out := map[string]bool{}
	for _, w := range strings.Fields(englishText) {
		out[w] = true
		out[stem(w)] = true
	}
	return out
}()

// englishEndings are the endings of regular inflection and derivation that
// stem leaves alone.
var englishEndings = []string{"ly", "er", "ers", "est", "ness", "less", "ful", "able", "ish", "ier", "iest", "ily", "ally"}

// isEnglish reports whether the word is a common English word or a regular
// form of one.
func isEnglish(w string) bool {
	if english[w] || english[stem(w)] {
		return true
	}
	for _, e := range englishEndings {
		base, ok := strings.CutSuffix(w, e)
		if !ok || len(base) < 3 {
			continue
		}
		if english[base] || english[stem(base)] || english[base+"e"] || strings.HasPrefix(e, "i") && english[base+"y"] || base[len(base)-1] == base[len(base)-2] && english[base[:len(base)-1]] {
			return true
		}
	}
	return false
}

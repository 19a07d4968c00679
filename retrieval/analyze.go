package retrieval

import (
	"maps"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"github.com/blevesearch/snowballstem"
	"github.com/blevesearch/snowballstem/english"

	"ruleout/kb"
)

// term is one unit of meaning with the bytes of the text it came from.
type term struct {
	text       string
	start, end int
	// word is the word as written, in lower case; empty for a phrase.
	word string
	// slip says that the word written is unknown and text a guess at it; others
	// are the next best guesses.
	slip   bool
	others []string
}

// analyzer turns text into terms. It is made once for a knowledge base and,
// once settled, only read.
type analyzer struct {
	split *splitter // until settled
	// phrases maps a sequence of stems, joined by blanks, to its one term.
	phrases map[string]string
	// longest maps a stem to the number of words of the longest phrase that
	// begins with it.
	longest map[string]int
	// words counts the words of the language: those of the phrases (0) and, once
	// the articles are read, those of the articles.
	words map[string]int
	// sorted holds the words in the order of the alphabet, stems their stems.
	sorted []string
	// byLength holds the same by their length in bytes.
	byLength map[int][]string
	stems    map[string]bool
}

// stop lists words that carry nothing for a search. "No", "not", "never",
// "off" and "on" are not among them.
var stop = map[string]bool{}

func init() {
	for _, w := range strings.Fields("a an and are as at be been but by did do does for from had has have he her his i if in into is it its just me my of or our she so than that the their them then there these they this to too up was we were what when where which who will with would you your im ive id its thats theres gets got get getting really") {
		stop[w] = true
		stop[stem(w)] = true
	}
}

// newAnalyzer learns the synonyms and part names of the knowledge base.
func newAnalyzer(b *kb.Base) *analyzer {
	a := &analyzer{split: newSplitter(), phrases: map[string]string{}, longest: map[string]int{}, words: map[string]int{}, stems: map[string]bool{}}
	for _, s := range b.Lists.Synonyms {
		if len(s.Before) > 0 {
			continue // the words beside it tell the articles apart
		}
		one := "s_" + strings.Join(stems(s.Term), "_")
		a.learn(s.Term, one)
		for _, f := range s.Forms {
			a.learn(f, one)
		}
	}
	for i := range b.Lists.Parts {
		p := &b.Lists.Parts[i]
		one := "p_" + p.ID
		for _, n := range append([]string{p.Name}, p.Names...) {
			if strings.Contains(strings.TrimSpace(n), " ") { // a single word is too often something else
				a.learn(n, one)
			}
		}
	}
	return a
}

// read is terms for a text of the articles, and counts its words.
func (a *analyzer) read(text string) []term {
	ws := a.split.split(text)
	for _, w := range ws {
		a.words[w.word]++
	}
	return a.join(ws)
}

// settle ends the reading; from here on the analyzer is only read.
func (a *analyzer) settle() {
	split := a.split
	a.split = nil
	a.sorted = slices.Sorted(maps.Keys(a.words))
	a.byLength = map[int][]string{}
	for _, w := range a.sorted {
		a.stems[split.word(w).text] = true
		a.byLength[len(w)] = append(a.byLength[len(w)], w)
	}
}

// learn makes a phrase one term; the first to claim a phrase keeps it.
func (a *analyzer) learn(phrase, one string) {
	ws := a.split.split(phrase)
	if len(ws) == 0 {
		return
	}
	for _, w := range ws {
		a.words[w.word] += 0
	}
	key := joined(ws)
	if _, taken := a.phrases[key]; !taken {
		a.phrases[key] = one
		first := ws[0].text
		a.longest[first] = max(a.longest[first], len(ws))
	}
}

func stems(s string) []string {
	var out []string
	for _, w := range splitWords(s) {
		out = append(out, w.text)
	}
	return out
}

// splitWords splits text into stemmed words with their places; trouble codes,
// terminal names and numbers with letters stay whole.
func splitWords(text string) []term { return (&splitter{}).split(text) }

// splitter splits many texts and works each written word out once.
type splitter struct{ seen map[string]term }

// newSplitter is for the articles, whose words are a few thousand.
func newSplitter() *splitter { return &splitter{seen: map[string]term{}} }

func (s *splitter) split(text string) []term {
	var out []term
	for i := 0; i < len(text); {
		r, n := utf8.DecodeRuneInString(text[i:])
		if !unicode.IsLetter(r) && !unicode.IsDigit(r) {
			i += n
			continue
		}
		start := i
		for i < len(text) {
			r, n = utf8.DecodeRuneInString(text[i:])
			if unicode.IsLetter(r) || unicode.IsDigit(r) || (r == '\'' || r == '’') && i+n < len(text) {
				i += n
				continue
			}
			// "B+" and "D+" are names of terminals.
			if r == '+' && i-start == 1 {
				i += n
			}
			break
		}
		w := s.word(text[start:i])
		w.start, w.end = start, i
		out = append(out, w)
	}
	return out
}

var apostrophes = strings.NewReplacer("'", "", "’", "")

// word is one word as written, in lower case and stemmed.
func (s *splitter) word(written string) term {
	if t, ok := s.seen[written]; ok {
		return t
	}
	w := strings.ToLower(apostrophes.Replace(written))
	t := term{text: stem(w), word: w}
	if s.seen != nil {
		s.seen[written] = t
	}
	return t
}

// stem reduces a word of letters to its stem; anything with a digit or sign is
// a name and stays.
func stem(w string) string {
	for _, r := range w {
		if r < 'a' || r > 'z' {
			return w
		}
	}
	if len(w) < 4 {
		return w
	}
	env := snowballstem.NewEnv(w)
	english.Stem(env)
	return env.Current()
}

// terms analyses text: the longest synonym or part name at each place becomes
// one term, and a part name keeps its words as well.
func (a *analyzer) terms(text string) []term { return a.join(splitWords(text)) }

// join makes terms of words.
func (a *analyzer) join(ws []term) []term {
	var out []term
	for i := 0; i < len(ws); {
		n, one := a.phraseAt(ws, i)
		if n > 0 {
			t := term{text: one, start: ws[i].start, end: ws[i+n-1].end}
			for _, w := range ws[i : i+n] {
				t.slip = t.slip || w.slip
			}
			out = append(out, t)
			if strings.HasPrefix(one, "p_") {
				for _, w := range ws[i : i+n] {
					out = append(out, a.single(w)...)
				}
			}
			i += n
			continue
		}
		out = append(out, a.single(ws[i])...)
		i++
	}
	return out
}

// single is one word by itself: its synonym, itself, or nothing.
func (a *analyzer) single(w term) []term {
	if one, ok := a.phrases[w.text]; ok {
		w.text = one
		return []term{w}
	}
	if stop[w.text] {
		return nil
	}
	return []term{w}
}

func (a *analyzer) phraseAt(ws []term, i int) (int, string) {
	longest := min(a.longest[ws[i].text], len(ws)-i)
	if longest < 2 {
		return 0, ""
	}
	var key []byte
	ends := make([]int, longest)
	for k, w := range ws[i : i+longest] {
		if k > 0 {
			key = append(key, ' ')
		}
		key = append(key, w.text...)
		ends[k] = len(key)
	}
	for n := longest; n > 1; n-- {
		if one, ok := a.phrases[string(key[:ends[n-1]])]; ok {
			return n, one
		}
	}
	return 0, ""
}

// joined is the text of the terms, for an index that splits on blanks.
func joined(ts []term) string {
	var b strings.Builder
	for i, t := range ts {
		if i > 0 {
			b.WriteByte(' ')
		}
		b.WriteString(t.text)
	}
	return b.String()
}

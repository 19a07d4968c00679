package retrieval

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"ruleout/kb"
)

const (
	wordRare   = 0.2 // things' worth of use that every word has somewhere
	pairWeight = 0.5 // of two words side by side, which say in part what each says
)

// spoken turns what people say into the features that are counted: words,
// concepts of the vocabulary, and each two words side by side.
type spoken struct {
	analyzer *analyzer
	concepts concepts
	// words numbers the words and concepts, from one.
	words   map[string]uint32
	written map[string]int
}

func (a *analyzer) spoken(b *kb.Base) *spoken {
	return &spoken{analyzer: a, concepts: a.concepts(b), words: map[string]uint32{}, written: map[string]int{}}
}

// learn returns the features of a text to be counted, whose words are known from
// now on.
func (s *spoken) learn(text string) []feature {
	ws := s.analyzer.split.split(text)
	for _, w := range ws {
		s.written[w.word]++
	}
	ts, cs := s.analyzer.join(ws), s.concepts.in(ws)
	for _, w := range slices.Concat(ts, cs) {
		if s.words[w.text] == 0 {
			s.words[strings.Clone(w.text)] = uint32(len(s.words) + 1) // not the whole text
		}
	}
	return s.of(ts, cs)
}

// learned ends the learning: words that at least two texts have are correctly
// spelled ones to the analyzer.
func (s *spoken) learned() {
	for w, n := range s.written {
		if n > 1 {
			s.analyzer.words[w] += n
		}
	}
	s.written = nil
}

// asked returns the features of a text to be weighed.
func (s *spoken) asked(text string) []feature {
	ws := s.analyzer.correct(splitWords(text[:min(len(text), bytesAtMost)]))
	return s.of(s.analyzer.join(ws), s.concepts.in(ws))
}

// of returns the features of a telling in order, each once: its known words and
// each two side by side.
func (s *spoken) of(ts, cs []term) []feature {
	var out []feature
	for _, c := range cs {
		if n := s.words[c.text]; n != 0 {
			out = append(out, feature(n))
		}
	}
	last := uint32(0)
	for i, w := range ts {
		n := s.words[w.text]
		if n != 0 {
			out = append(out, feature(n))
			if last != 0 && w.start >= ts[i-1].end {
				out = append(out, pair(last, n))
			}
		}
		last = n
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// feature is a word by its number, or two side by side.
type feature uint64

func pair(first, second uint32) feature { return feature(first)<<32 | feature(second) }

func (f feature) weight() float64 {
	if f>>32 != 0 {
		return pairWeight
	}
	return 1
}

// sighting is a feature in so many texts about a thing.
type sighting struct {
	feature   feature
	of, texts int32
}

// use is how much a feature speaks for one of the things above the floor.
type use struct {
	of   int32
	lift float32
}

// counted holds P(word | thing)/P(word) of every word and thing, the words of
// all things together being the prior of each with the weight of so many texts
// (Dirichlet smoothing, Manning, Raghavan and Schütze, Introduction to
// Information Retrieval, ch. 12 and 13: the multi-variate Bernoulli model
// without its absent words).
type counted struct {
	// floor is what a word takes from a thing whose texts do not have it, as a
	// logarithm.
	floor []float64
	// features are in order, uses[from[i]:from[i+1]] are those of features[i].
	features []feature
	from     []int32
	uses     []use
}

// countWords turns sightings, each feature of a thing once, in texts about so many
// things into uses. Two words that one text about a thing alone has side by side
// say nothing more of it than each. The sightings are put in order.
func countWords(seen []sighting, sizes []float64, prior float64) *counted {
	t := &counted{floor: make([]float64, len(sizes))}
	for i, n := range sizes {
		t.floor[i] = math.Log(prior / (n + prior))
	}
	slices.SortFunc(seen, func(a, b sighting) int { return cmp.Or(cmp.Compare(a.feature, b.feature), cmp.Compare(a.of, b.of)) })
	for len(seen) > 0 {
		n := 1
		for n < len(seen) && seen[n].feature == seen[0].feature {
			n++
		}
		all := seen[:n]
		seen = seen[n:]
		share := wordRare
		for _, s := range all {
			share += float64(s.texts) / sizes[s.of]
		}
		share /= float64(len(sizes))
		from := len(t.uses)
		for _, s := range all {
			if s.texts == 1 && s.feature>>32 != 0 {
				continue
			}
			// ln(P(word|thing)/P(word)) less the floor
			t.uses = append(t.uses, use{s.of, float32(math.Log1p(float64(s.texts) / (prior * share)))})
		}
		if len(t.uses) > from {
			t.features, t.from = append(t.features, all[0].feature), append(t.from, int32(from))
		}
	}
	t.from = append(t.from, int32(len(t.uses)))
	t.features, t.from, t.uses = slices.Clone(t.features), slices.Clone(t.from), slices.Clone(t.uses)
	return t
}

// tally counts in how many of its texts a thing has each feature.
func (s *spoken) tally(texts []string) map[feature]int32 {
	out := map[feature]int32{}
	for _, text := range texts {
		for _, f := range s.learn(text) {
			out[f]++
		}
	}
	return out
}

// sums returns ln(P(features | thing)/P(features)) of the first so many things,
// false if not one feature is known.
func (t *counted) sums(asked []feature, among int) ([]float64, bool) {
	sums := make([]float64, among)
	missed := 0.0
	for _, f := range asked {
		i, ok := slices.BinarySearch(t.features, f)
		if !ok {
			continue
		}
		w := f.weight()
		missed += w
		for _, u := range t.uses[t.from[i]:t.from[i+1]] {
			if int(u.of) >= among {
				break
			}
			sums[u.of] += w * float64(u.lift)
		}
	}
	for i := range sums {
		sums[i] += missed * t.floor[i]
	}
	return sums, missed > 0
}

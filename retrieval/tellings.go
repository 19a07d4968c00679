package retrieval

import (
	"cmp"
	"math"
	"slices"

	"ruleout/kb"
)

// Constants of the word statistics. Basis: memory; chosen on the first messages
// of the cases in testdata.
const (
	// tellingPrior is how many tellings' worth of belief it is that a symptom is
	// told in the words of all others. So many, because the words of a message
	// depend on each other and on its teller: with few, the sum is too sure.
	tellingPrior = 200.0
	tellingRare  = 0.2 // symptoms' worth of use that every word has somewhere
	pairWeight   = 0.5 // of two words side by side, which say in part what each says
	rarestBase   = 1e-4
	// commonPower is how much of a symptom's commonness counts: a car that only
	// will not start is less often told of than it would be by frequency.
	commonPower = 0.5
	outcomeBase = 0.002 // how often one outcome of a question or test is told, like a symptom's base
)

// Likely is an outcome of a finding, "present" for a symptom, with how likely it
// is that a telling is of it.
type Likely struct {
	Finding, Outcome string
	P                float64
}

// tellings knows how often the owners' tellings of each thing use each word.
type tellings struct {
	told []Likely // without P
	// symptoms is how many of them are symptoms, which come first.
	symptoms int
	// floor is what a word takes from a thing whose tellings do not have it, start
	// how common the thing is, both as logarithms.
	floor, start []float64
	// words numbers the words and concepts, from one.
	words    map[string]uint32
	concepts concepts
	// features are in order, uses[from[i]:from[i+1]] are those of features[i].
	features []feature
	from     []int32
	uses     []use
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

// use is how much a word speaks for one of told above the floor.
type use struct {
	of   int32
	lift float32
}

// tellings counts the words of all tellings: P(word | symptom) with the word's
// frequency over everything told as the prior (Dirichlet smoothing, Manning,
// Raghavan and Schütze, Introduction to Information Retrieval, ch. 12 and 13:
// the multi-variate Bernoulli model without its absent words). Words that at
// least two tellings have become known words.
func (a *analyzer) tellings(b *kb.Base) *tellings {
	told := map[string][]string{}
	for i := range b.Lists.Tellings {
		finding, outcome := b.Lists.Tellings[i].Target()
		told[finding+"="+outcome] = b.Lists.Tellings[i].Told
	}
	t := &tellings{words: map[string]uint32{}, concepts: a.concepts(b)}
	var seen []sighting
	written := map[string]int{}
	var sizes []float64
	add := func(finding, outcome string, base float64, texts []string) {
		for _, text := range texts {
			ws := a.split.split(text)
			for _, w := range ws {
				written[w.word]++
			}
			ts, cs := a.join(ws), t.concepts.in(ws)
			for _, w := range slices.Concat(ts, cs) {
				if t.words[w.text] == 0 {
					t.words[w.text] = uint32(len(t.words) + 1)
				}
			}
			for _, f := range t.of(ts, cs) {
				seen = append(seen, sighting{f, int32(len(t.told))})
			}
		}
		n := float64(len(texts))
		sizes = append(sizes, n)
		t.told = append(t.told, Likely{Finding: finding, Outcome: outcome})
		t.floor = append(t.floor, math.Log(tellingPrior/(n+tellingPrior)))
		t.start = append(t.start, commonPower*math.Log(max(base, rarestBase)))
	}
	for _, s := range b.Symptoms {
		if len(s.Said) > 0 { // others nobody would say
			base, _ := s.Base.Value()
			add(s.ID, "present", base, slices.Concat([]string{s.Title}, s.Said, told[s.ID+"=present"]))
		}
	}
	t.symptoms = len(t.told)
	for _, f := range b.Findings() {
		for _, o := range f.Outcomes {
			if f.Kind != kb.FindingSymptom && len(o.Said) > 0 {
				add(f.ID, o.ID, outcomeBase, slices.Concat([]string{f.Title + " " + o.Title}, o.Said, told[f.ID+"="+o.ID]))
			}
		}
	}
	for w, n := range written {
		if n > 1 {
			a.words[w] += n
		}
	}
	t.count(seen, sizes)
	return t
}

// sighting is one telling with a feature.
type sighting struct {
	feature feature
	of      int32
}

// count turns sightings into uses. Two words that one telling of a thing alone
// has side by side say nothing more of it than each.
func (t *tellings) count(seen []sighting, sizes []float64) {
	slices.SortFunc(seen, func(a, b sighting) int { return cmp.Or(cmp.Compare(a.feature, b.feature), cmp.Compare(a.of, b.of)) })
	for len(seen) > 0 {
		n := 1
		for n < len(seen) && seen[n].feature == seen[0].feature {
			n++
		}
		all := seen[:n]
		seen = seen[n:]
		share := tellingRare
		for _, s := range all {
			share += 1 / sizes[s.of]
		}
		share /= float64(len(t.told))
		from := len(t.uses)
		for i := 0; i < len(all); {
			of := all[i].of
			n := 0.0
			for ; i < len(all) && all[i].of == of; i++ {
				n++
			}
			if n == 1 && all[0].feature>>32 != 0 {
				continue
			}
			// ln(P(word|symptom)/P(word)) less the floor
			t.uses = append(t.uses, use{of, float32(math.Log1p(n / (tellingPrior * share)))})
		}
		if len(t.uses) > from {
			t.features, t.from = append(t.features, all[0].feature), append(t.from, int32(from))
		}
	}
	t.from = append(t.from, int32(len(t.uses)))
	t.features, t.from, t.uses = slices.Clone(t.features), slices.Clone(t.from), slices.Clone(t.uses)
}

// of returns the features of a telling in order, each once: its known words and
// each two side by side.
func (t *tellings) of(ts, cs []term) []feature {
	var out []feature
	for _, c := range cs {
		if n := t.words[c.text]; n != 0 {
			out = append(out, feature(n))
		}
	}
	last := uint32(0)
	for i, w := range ts {
		n := t.words[w.text]
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

// Complaint returns the symptoms that the words are most likely a telling of,
// the likeliest first, ties by id. The probabilities are among all symptoms:
// that the words tell none is for the caller to allow for. An index of cases
// knows no tellings.
func (x *Index) Complaint(words string, limit int) []Likely { return x.likely(words, limit, true) }

// Told is Complaint for symptoms and outcomes of questions and tests together.
func (x *Index) Told(words string, limit int) []Likely { return x.likely(words, limit, false) }

func (x *Index) likely(words string, limit int, symptoms bool) []Likely {
	t := x.tellings
	if t == nil {
		return nil
	}
	among := len(t.told)
	if symptoms {
		among = t.symptoms
	}
	sums := slices.Clone(t.start[:among])
	missed := 0.0
	ws := x.analyzer.correct(splitWords(words[:min(len(words), bytesAtMost)]))
	for _, f := range t.of(x.analyzer.join(ws), t.concepts.in(ws)) {
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
	if missed == 0 {
		return nil // not one known word
	}
	top := math.Inf(-1)
	for i := range sums {
		sums[i] += missed * t.floor[i]
		top = max(top, sums[i])
	}
	out := slices.Clone(t.told[:among])
	total := 0.0
	for i, s := range sums {
		out[i].P = math.Exp(s - top)
		total += out[i].P
	}
	slices.SortFunc(out, func(a, b Likely) int {
		return cmp.Or(cmp.Compare(b.P, a.P), cmp.Compare(a.Finding, b.Finding), cmp.Compare(a.Outcome, b.Outcome))
	})
	out = slices.Clone(out[:min(limit, len(out))])
	for i := range out {
		out[i].P = rounded(out[i].P / total)
	}
	return out
}

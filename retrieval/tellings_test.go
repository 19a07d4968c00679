package retrieval

import (
	"math"
	"slices"
	"testing"

	"ruleout/kb"
)

// weighted returns the words, concepts and pairs of a text with their weights,
// written out.
func weighted(x *Index, text string) map[string]float64 {
	out := map[string]float64{}
	ws := splitWords(text)
	for _, c := range x.spoken.concepts.in(ws) {
		out[c.text] = 1
	}
	ts := x.analyzer.join(ws)
	for i, w := range ts {
		out[w.text] = 1
		if i > 0 && w.start >= ts[i-1].end {
			out[ts[i-1].text+" "+w.text] = pairWeight
		}
	}
	return out
}

// The statistics against the formula of the docstring, worked symptom by symptom
// with everything written out: P(symptom | words) is in proportion to its base
// times P(word | symptom)/P(word) of every word it may have been told in.
func TestComplaintByTheFormula(t *testing.T) {
	if testing.Short() {
		t.Skip("weighs all tellings")
	}
	b, _ := kb.Embedded()
	x, err := Open(b, "")
	if err != nil {
		t.Fatal(err)
	}
	defer x.Close()
	told := map[string][]string{}
	for _, l := range b.Lists.Tellings {
		told[l.For] = l.Told
	}
	words := func(text string) map[string]float64 { return weighted(x, text) }
	type counted struct {
		base, n float64
		with    map[string]float64
	}
	all := map[string]*counted{}
	most := map[string]float64{} // tellings of one thing with a word
	add := func(id string, base float64, texts []string) {
		c := &counted{base, float64(len(texts)), map[string]float64{}}
		for _, text := range texts {
			for w := range words(text) {
				c.with[w]++
				most[w] = max(most[w], c.with[w])
			}
		}
		all[id] = c
	}
	symptoms := 0
	for _, s := range b.Symptoms {
		base, _ := s.Base.Value()
		add(s.ID, math.Pow(math.Max(base, rarestBase), commonPower), append(append([]string{s.Title}, s.Said...), told[s.ID]...))
		symptoms++
	}
	for _, f := range b.Findings() {
		for _, o := range f.Outcomes {
			if f.Kind != kb.FindingSymptom && len(o.Said) > 0 {
				key := f.ID + "=" + o.ID
				add(key, 0, append(append([]string{f.Title + " " + o.Title}, o.Said...), told[key]...))
			}
		}
	}
	share := func(w string) float64 {
		sum := wordRare
		for _, c := range all {
			sum += c.with[w] / c.n
		}
		return sum / float64(len(all))
	}
	for _, text := range []string{
		"needle climbs to the red when we queue and the fan sits there like an ornament",
		"screams like a cat every frosty morning until the belt warms up",
		"carpet squelches on the passenger side after the storm",
	} {
		got := x.Complaint(text, symptoms)
		asked := words(text)
		want, total := map[string]float64{}, 0.0
		for id, c := range all {
			if c.base == 0 {
				continue
			}
			p := c.base
			for w, weight := range asked {
				of := c.with[w]
				if weight == pairWeight && of == 1 {
					of = 0 // two words that one telling alone has side by side
				}
				if most[w] == 0 || weight == pairWeight && most[w] == 1 {
					continue
				}
				p *= math.Pow((of+tellingPrior*share(w))/(c.n+tellingPrior)/share(w), weight)
			}
			want[id] = p
			total += p
		}
		if len(got) != len(want) {
			t.Fatalf("%q: %d symptoms, want %d", text, len(got), len(want))
		}
		for _, l := range got {
			if p := want[l.Finding] / total; math.Abs(l.P-p) > 1e-6*p+1e-9 {
				t.Fatalf("%q: %s has %g, by the formula %g", text, l.Finding, l.P, p)
			}
		}
	}
}

// One telling in eight is left out, and the statistics of the rest are asked for
// it among all symptoms, of which guessing would find one in 370. The tellings
// were written to say it otherwise than its name and its other tellings do, so
// that this is harder than what people write first.
func TestComplaintOfUnseenTellings(t *testing.T) {
	if testing.Short() {
		t.Skip("weighs all tellings")
	}
	b, _ := kb.Embedded()
	var left []Likely // Outcome holds the words
	for i := range b.Lists.Tellings {
		l := &b.Lists.Tellings[i]
		finding, outcome := l.Target()
		if outcome != "present" {
			continue
		}
		var kept []string
		for k, text := range l.Told {
			if k%8 == i%8 {
				left = append(left, Likely{Finding: finding, Outcome: text})
			} else {
				kept = append(kept, text)
			}
		}
		l.Told = kept
	}
	x, err := Open(b, "")
	if err != nil {
		t.Fatal(err)
	}
	defer x.Close()
	first, three := 0, 0
	for _, l := range left {
		for i, c := range x.Complaint(l.Outcome, 3) {
			if c.Finding == l.Finding {
				three++
				if i == 0 {
					first++
				}
			}
		}
	}
	n := float64(len(left))
	t.Logf("of %d tellings left out, %.3f come first, %.3f among three", len(left), float64(first)/n, float64(three)/n)
	if len(left) < 1000 || float64(first)/n < 0.2 || float64(three)/n < 0.35 {
		t.Errorf("of %d tellings left out, %d come first and %d among three", len(left), first, three)
	}
}

// Words that nobody used for anything tell nothing.
func TestComplaintOfStrangeWords(t *testing.T) {
	b, _ := kb.Embedded()
	x, err := Open(b, "")
	if err != nil {
		t.Fatal(err)
	}
	defer x.Close()
	for _, text := range []string{"", "   ", "qqqq zzxxj", "\xff\xfe", "の"} {
		if got := x.Complaint(text, 5); got != nil {
			t.Errorf("%q tells %v", text, got)
		}
		if got := x.Told(text, 5); got != nil {
			t.Errorf("%q tells %v", text, got)
		}
	}
}

// What the vocabulary holds for one thing is one thing to the statistics.
func TestConceptsOfTheVocabulary(t *testing.T) {
	b, _ := kb.Embedded()
	a := newAnalyzer(b)
	c := a.concepts(b)
	said := func(text string) (out []string) {
		for _, t := range c.in(splitWords(text)) {
			out = append(out, t.text)
		}
		return out
	}
	for _, x := range []struct {
		one, other string
	}{
		{"the carpet is soggy", "the floor pan is sodden"},
		{"it is wringing wet under there", "it is dripping wet underneath"},
	} {
		if got, want := said(x.one), said(x.other); len(got) == 0 || !slices.Equal(got, want) {
			t.Errorf("%q has %v, %q has %v", x.one, got, x.other, want)
		}
	}
}

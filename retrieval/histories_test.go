package retrieval

import (
	"math"
	"slices"
	"testing"

	"ruleout/kb"
)

// The statistics of histories against the formula of the docstrings, with
// everything written out: the logarithm of P(word | thing)/P(word) of every word
// that a thing may have been told in, for the cause and for its part.
func TestHistoriesByTheFormula(t *testing.T) {
	if testing.Short() {
		t.Skip("weighs all histories")
	}
	b, _ := kb.Embedded()
	x, err := Open(b, "")
	if err != nil {
		t.Fatal(err)
	}
	defer x.Close()
	words := func(text string) map[string]float64 { return weighted(x, text) }
	told := map[string][]string{}
	for _, h := range b.Lists.Histories {
		told[h.For] = h.Told
	}
	partOf := func(c *kb.Cause) string {
		if c.Part != "" {
			return c.Part
		}
		return c.ID
	}
	type counted struct {
		n    float64
		with map[string]float64
	}
	causes, parts := map[string]*counted{}, map[string]*counted{}
	for _, c := range b.Causes {
		p := parts[partOf(c)]
		if p == nil {
			p = &counted{with: map[string]float64{}}
			parts[partOf(c)] = p
		}
		of := &counted{with: map[string]float64{}}
		causes[c.ID] = of
		for _, text := range told[c.ID] {
			of.n, p.n = of.n+1, p.n+1
			for w := range words(text) {
				of.with[w]++
				p.with[w]++
			}
		}
	}
	for _, text := range []string{
		"washed it on sunday and since then it wont start, coughs and spits in the damp",
		"the carpet squelches behind the driver after rain, sunroof has not been opened for years",
		"new discs and pads did not cure the shudder, it comes when i lean on the pedal downhill",
	} {
		got, asked := x.Histories(text), words(text)
		if len(got) != len(b.Causes) {
			t.Fatalf("%d causes weighed of %d", len(got), len(b.Causes))
		}
		// Two words that one story of a part alone has side by side are not counted.
		for _, c := range b.Causes {
			for w, weight := range asked {
				if p := parts[partOf(c)]; weight == pairWeight && p.with[w] == 1 && causes[c.ID].with[w] == 1 {
					delete(causes[c.ID].with, w)
					p.with[w] = 0
				}
			}
		}
		// logs returns, for each word asked for, what it says for each of the things.
		logs := func(all map[string]*counted, prior float64) func(*counted) float64 {
			shares := map[string]float64{}
			for w, weight := range asked {
				share, used := wordRare, false
				for _, c := range all {
					if c.with[w] > 0 {
						share += c.with[w] / c.n
						used = used || weight == 1 || c.with[w] > 1
					}
				}
				if used {
					shares[w] = share / float64(len(all))
				}
			}
			return func(of *counted) float64 {
				out := 0.0
				for w, share := range shares {
					n := of.with[w]
					if asked[w] == pairWeight && n == 1 {
						n = 0
					}
					out += asked[w] * math.Log((n+prior*share)/(of.n+prior)/share)
				}
				return out
			}
		}
		ofCause, ofPart := logs(causes, causePrior), logs(parts, partPrior)
		for i, c := range b.Causes {
			want := (1-partShare)*ofCause(causes[c.ID]) + partShare*ofPart(parts[partOf(c)])
			if math.Abs(got[i]-want) > 1e-4*math.Abs(want)+1e-4 {
				t.Fatalf("%q: %s has %g, by the formula %g", text, c.ID, got[i], want)
			}
		}
	}
}

// One history in six is left out, and the statistics of the rest are asked for
// it: of 1340 causes guessing would find one in 1340, and one in 450 its part.
func TestUnseenHistories(t *testing.T) {
	if testing.Short() {
		t.Skip("weighs all histories")
	}
	b, _ := kb.Embedded()
	type left struct{ cause, words string }
	var out []left
	for i := range b.Lists.Histories {
		h := &b.Lists.Histories[i]
		var kept []string
		for k, text := range h.Told {
			if k%6 == i%6 {
				out = append(out, left{h.For, text})
			} else {
				kept = append(kept, text)
			}
		}
		h.Told = kept
	}
	x, err := Open(b, "")
	if err != nil {
		t.Fatal(err)
	}
	defer x.Close()
	first, five, part := 0, 0, 0
	for _, l := range out {
		sums := x.Histories(l.words)
		order := make([]int, len(sums))
		for i := range order {
			order[i] = i
		}
		slices.SortFunc(order, func(i, j int) int {
			if sums[i] != sums[j] && sums[i] > sums[j] {
				return -1
			} else if sums[i] != sums[j] {
				return 1
			}
			return i - j
		})
		if b.Causes[order[0]].ID == l.cause {
			first++
		}
		if b.Causes[order[0]].Part == b.Cause(l.cause).Part {
			part++
		}
		if slices.ContainsFunc(order[:5], func(c int) bool { return b.Causes[c].ID == l.cause }) {
			five++
		}
	}
	n := float64(len(out))
	t.Logf("of %d histories left out, the cause comes first in %.3f, among five in %.3f, its part first in %.3f", len(out), float64(first)/n, float64(five)/n, float64(part)/n)
	if len(out) < 1000 || float64(first)/n < 0.07 || float64(five)/n < 0.3 || float64(part)/n < 0.3 {
		t.Errorf("of %d histories left out, the cause comes first %d times, among five %d, its part first %d", len(out), first, five, part)
	}
}

// Words that nobody used tell nothing, and an index without histories weighs none.
func TestHistoriesOfStrangeWords(t *testing.T) {
	b, _ := kb.Embedded()
	b.Lists.Histories = b.Lists.Histories[:1]
	x, err := Open(b, "")
	if err != nil {
		t.Fatal(err)
	}
	defer x.Close()
	for _, text := range []string{"", "   ", "qqqq zzxxj", "\xff\xfe", "の"} {
		if got := x.Histories(text); got != nil {
			t.Errorf("%q is like %d causes", text, len(got))
		}
	}
	b.Lists.Histories = nil
	y, err := Open(b, "")
	if err != nil {
		t.Fatal(err)
	}
	defer y.Close()
	if got := y.Histories("the engine will not start"); got != nil {
		t.Errorf("without histories %d causes are weighed", len(got))
	}
}

package kb

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// The figures are worked by hand from the rule: said as given, the rest in
// proportion to the baseline.
func TestDistribution(t *testing.T) {
	f := &Finding{ID: "f", Outcomes: []Outcome{{ID: "a"}, {ID: "b"}, {ID: "c"}}, Base: []float64{0.5, 0.3, 0.2}}
	for name, c := range map[string]struct {
		said map[string]Likelihood
		want []float64
		ok   bool
	}{
		"silent":                      {nil, []float64{0.5, 0.3, 0.2}, false},
		"no likelihood":               {map[string]Likelihood{"a": "mostly"}, []float64{0.5, 0.3, 0.2}, false},
		"one said":                    {map[string]Likelihood{"a": "0.9"}, []float64{0.9, 0.06, 0.04}, true},
		"two said":                    {map[string]Likelihood{"a": "often", "b": "0.2"}, []float64{0.7, 0.2, 0.1}, true},
		"all said":                    {map[string]Likelihood{"a": "0.6", "b": "0.3", "c": "0.1"}, []float64{0.6, 0.3, 0.1}, true},
		"all said, scaled":            {map[string]Likelihood{"a": "0.6", "b": "0.3", "c": "0.3"}, []float64{0.5, 0.25, 0.25}, true},
		"word against, under base":    {map[string]Likelihood{"c": "almost never"}, []float64{0.6125, 0.3675, 0.02}, true},
		"nothing left for the unsaid": {map[string]Likelihood{"a": "0.4", "b": "0.6"}, []float64{0.396, 0.594, 0.01}, true},
	} {
		got, ok := f.Distribution(c.said)
		if ok != c.ok || !near(got, c.want) {
			t.Errorf("%s: %v %v, want %v %v", name, got, ok, c.want, c.ok)
		}
	}
	// A word meant against the cause never speaks for it; a number may.
	low := &Finding{Outcomes: []Outcome{{ID: "a"}, {ID: "b"}}, Base: []float64{0.01, 0.99}}
	if got, _ := low.Distribution(map[string]Likelihood{"a": "seldom"}); !near(got, []float64{0.01, 0.99}) {
		t.Errorf("word: %v", got)
	}
	if got, _ := low.Distribution(map[string]Likelihood{"a": "0.15"}); !near(got, []float64{0.15, 0.85}) {
		t.Errorf("number: %v", got)
	}
}

func near(a, b []float64) bool {
	return slices.EqualFunc(a, b, func(x, y float64) bool { return math.Abs(x-y) < 1e-12 })
}

func TestDistributionIsOne(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(2, 5).Draw(t, "outcomes")
		f := &Finding{}
		said := map[string]Likelihood{}
		words := sortedKeys(scaleByName)
		for i := range n {
			id := string(rune('a' + i))
			f.Outcomes = append(f.Outcomes, Outcome{ID: id, Base: Likelihood(rapid.SampledFrom(words).Draw(t, "base"))})
			if rapid.Bool().Draw(t, "said") {
				said[id] = Likelihood(rapid.SampledFrom(words).Draw(t, "likelihood"))
			}
		}
		f.Base = baseline(f.Outcomes)
		p, _ := f.Distribution(said)
		sum := 0.0
		for _, x := range p {
			if x <= 0 || x > 1 {
				t.Fatal(p)
			}
			sum += x
		}
		if math.Abs(sum-1) > 1e-12 {
			t.Fatal(p, sum)
		}
	})
}

func TestFindings(t *testing.T) {
	b := sound(t)
	var ids []string
	for _, f := range b.Findings() {
		ids = append(ids, string(f.Kind)+" "+f.ID+" of "+f.Article)
	}
	want := []string{"symptom drips of drips", "question drips-how-much of drips", "question drips-when of drips", "test path:coolant-round:neck:seen of coolant-round", "test pressure-drop of pressure-drop"}
	if !slices.Equal(ids, want) {
		t.Errorf("findings %q, want %q", ids, want)
	}
	if f := b.Finding("drips"); !near(f.Base, []float64{0.02, 0.98}) || f.OutcomeIndex("present") != 0 || f.OutcomeIndex("absent") != 1 || f.OutcomeIndex("x") != -1 {
		t.Errorf("symptom: %+v", f)
	}
	f := b.Finding("drips-when")
	if f.Because != "drips-how-much" || len(f.Given) != 2 || !near(f.Given[0], []float64{0.7, 0.3}) || !near(f.Given[1], []float64{0.4, 0.6}) {
		t.Errorf("given: %v", f.Given)
	}
	if b.Finding("pressure-drop").Reading == nil {
		t.Error("the test's reading is lost")
	}
	p, ok := b.Likelihood(b.Cause("hose-split"), b.Finding("drips"))
	if !ok || !near(p, []float64{0.95, 0.05}) {
		t.Errorf("likelihood %v %v", p, ok)
	}
	if _, ok := b.Likelihood(b.Cause("hose-split"), f); ok {
		t.Error("a silent cause speaks")
	}
}

func TestBacklinks(t *testing.T) {
	b := sound(t)
	for id, want := range map[string][]string{
		// front-look settles its findings, hose-watch is of one, hose-split
		// and cap-weak show them, drips-running says them, coolant-round serves.
		"drips": {"cap-weak", "coolant-round", "drips-running", "front-look", "hose-split", "hose-watch"},
		// By body link (drips), by killed_by (cap-weak) and by the path of its part.
		"hose-split": {"cap-weak", "coolant-round", "drips"},
		// By shows, by a body link, by proof and by a look of the path.
		"pressure-drop": {"cap-weak", "coolant-round", "hose-split", "pressure"},
		"pressure":      nil,
	} {
		if got := b.Backlinks(id); !slices.Equal(got, want) {
			t.Errorf("back-links of %s: %q, want %q", id, got, want)
		}
	}
}

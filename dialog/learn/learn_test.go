package learn

import (
	"fmt"
	"math"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

func near(t *testing.T, what string, got, want float64) {
	t.Helper()
	if math.Abs(got-want) > 1e-12*math.Max(1, math.Abs(want)) {
		t.Errorf("%s: %.15g, want %.15g", what, got, want)
	}
}

// The textbook's poll of 1447 voters with a uniform prior, 727 : 583 : 137,
// has the posterior Dirichlet(728, 584, 138). Source: Gelman and others,
// Bayesian Data Analysis, section 3.4. The mean of a Dirichlet distribution is
// its parameter over their sum, here 1450.
func TestMeanOfTheTextbooksPoll(t *testing.T) {
	for i, seen := range []float64{727, 583, 137} {
		near(t, fmt.Sprint("answer ", i), Mean(3, 1.0/3, seen, 1447), []float64{728, 584, 138}[i]/1450)
	}
}

// Laplace's rule of succession, (s+1)/(n+2), is the case of two categories
// with a uniform prior.
func TestMeanIsTheRuleOfSuccession(t *testing.T) {
	for n := range 20 {
		for s := range n + 1 {
			near(t, fmt.Sprint(s, " of ", n), Mean(2, 0.5, float64(s), float64(n)), float64(s+1)/float64(n+2))
		}
	}
}

// The closed form against the integral of p·p^(a+n-1)·(1-p)^(b+m-1), by
// Simpson's rule: one category against the rest is a beta distribution.
func TestMeanAgainstTheIntegral(t *testing.T) {
	integral := func(f func(float64) float64) float64 {
		const steps = 20000
		sum := 0.0
		for i := 0; i <= steps; i++ {
			w := 4.0
			switch {
			case i == 0 || i == steps:
				w = 1
			case i%2 == 0:
				w = 2
			}
			sum += w * f(float64(i)/steps)
		}
		return sum / (3 * steps)
	}
	for _, c := range []struct{ strength, prior, count, total float64 }{{10, 0.3, 3, 7}, {6, 0.5, 0, 4}, {20, 0.2, 5, 5}} {
		a, b := c.strength*c.prior+c.count, c.strength*(1-c.prior)+c.total-c.count
		density := func(p float64) float64 { return math.Pow(p, a-1) * math.Pow(1-p, b-1) }
		want := integral(func(p float64) float64 { return p * density(p) }) / integral(density)
		if got := Mean(c.strength, c.prior, c.count, c.total); math.Abs(got-want) > 1e-7 {
			t.Errorf("%+v: %.9g, the integral is %.9g", c, got, want)
		}
	}
}

// Weights that grew by their Factor are in the proportion of the means.
func TestFactorKeepsTheProportions(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(2, 6).Draw(t, "categories")
		strength := rapid.Float64Range(1, 1000).Draw(t, "strength")
		prior, seen, sum, total := make([]float64, n), make([]float64, n), 0.0, 0.0
		for i := range n {
			prior[i] = rapid.Float64Range(0.001, 1).Draw(t, "weight")
			seen[i] = float64(rapid.IntRange(0, 30).Draw(t, "seen"))
			sum += prior[i]
			total += seen[i]
		}
		means := 0.0
		for i := range n {
			prior[i] /= sum
			means += Mean(strength, prior[i], seen[i], total)
		}
		if math.Abs(means-1) > 1e-9 {
			t.Fatalf("the means sum to %g", means)
		}
		for i := range n {
			grown := prior[i] * Factor(strength, prior[i], seen[i])
			want := Mean(strength, prior[i], seen[i], total) * (strength + total) / strength
			if math.Abs(grown-want) > 1e-9*want {
				t.Fatalf("category %d grew to %g, want %g", i, grown, want)
			}
		}
	})
}

func TestDuration(t *testing.T) {
	near(t, "nothing timed", Duration(5, 8, 0, 0), 8)
	near(t, "as authored", Duration(5, 8, 24, 3), 8)
	near(t, "five of 18 on five of 8", Duration(5, 8, 90, 5), 13)
}

// ledgers draws ledgers of few cases, so that they meet.
func ledgers(t *rapid.T, name string) Ledger {
	l := Ledger{}
	for range rapid.IntRange(0, 6).Draw(t, name) {
		e := Entry{Case: rapid.SampledFrom([]string{"a", "b", "c", "d"}).Draw(t, "case"), Turns: rapid.IntRange(1, 3).Draw(t, "turns"), Closed: rapid.Bool().Draw(t, "closed"),
			Causes: rapid.SampledFrom([][]string{nil, {"fan"}, {"fuse"}, {"fan", "fuse"}}).Draw(t, "causes")}
		if rapid.Bool().Draw(t, "timed") {
			e.Minutes = map[string]float64{rapid.SampledFrom([]string{"x", "y"}).Draw(t, "check"): float64(rapid.IntRange(1, 3).Draw(t, "minutes"))}
		}
		l[e.Case] = e
	}
	return l
}

func TestMergeLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b, c := ledgers(t, "a"), ledgers(t, "b"), ledgers(t, "c")
		if d := cmp.Diff(Merge(a, b), Merge(b, a)); d != "" {
			t.Fatal("not commutative: ", d)
		}
		if d := cmp.Diff(Merge(Merge(a, b), c), Merge(a, Merge(b, c))); d != "" {
			t.Fatal("not associative: ", d)
		}
		if d := cmp.Diff(Merge(a, a), a); d != "" {
			t.Fatal("not idempotent: ", d)
		}
		if d := cmp.Diff(Merge(Merge(a, b), b), Merge(a, b)); d != "" {
			t.Fatal("merging twice counts twice: ", d)
		}
		all := Merge(a, b).Count(10, func(string) bool { return true })
		sum := float64(all.None)
		for _, n := range all.Causes {
			sum += n
		}
		if math.Abs(sum-float64(all.Cases)) > 1e-9 {
			t.Fatalf("the shares of %d cases sum to %g", all.Cases, sum)
		}
	})
}

// A case taken up again counts nothing; causes that nobody here knows make it
// one of none of these.
func TestCount(t *testing.T) {
	l := Ledger{
		"1": {Case: "1", Closed: true, Causes: []string{"fan"}, Minutes: map[string]float64{"feed": 6}},
		"2": {Case: "2", Closed: true, Causes: []string{"fan", "fuse"}, Minutes: map[string]float64{"feed": 10}},
		"3": {Case: "3", Closed: true},
		"4": {Case: "4", Closed: true, Causes: []string{"strange"}},
		"5": {Case: "5", Causes: []string{"fan"}},
	}
	got := l.Count(100, func(c string) bool { return c != "strange" })
	want := Counts{Strength: 100, Cases: 4, None: 2, Causes: map[string]float64{"fan": 1.5, "fuse": 0.5}, Checks: map[string]Timing{"feed": {2, 16}}}
	if d := cmp.Diff(want, got); d != "" {
		t.Error(d)
	}
}

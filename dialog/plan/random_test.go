package plan

import (
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"

	"ruleout/dialog/belief"
)

// distribution draws k figures that sum to one, none below 0.001.
func distribution(t *rapid.T, k int) []float64 {
	p, sum := make([]float64, k), 0.0
	for i := range p {
		p[i] = float64(rapid.IntRange(1, 100).Draw(t, "weight"))
		sum += p[i]
	}
	for i := range p {
		p[i] /= sum
	}
	return p
}

// finding draws a finding of which some causes speak.
func finding(t *rapid.T, id string, causes int) *belief.Finding {
	k := rapid.IntRange(2, 4).Draw(t, "outcomes")
	f := &belief.Finding{ID: id, Base: distribution(t, k), Ordered: rapid.Bool().Draw(t, "ordered"), NoneIsBase: rapid.Bool().Draw(t, "none is base")}
	for c := range causes {
		if rapid.IntRange(0, 2).Draw(t, "speaks") == 0 {
			f.Rows = append(f.Rows, belief.Row{Cause: c, P: distribution(t, k)})
		}
	}
	return f
}

// problem draws a whole problem, with accesses, pairs, repairs that cure
// several causes and causes that several repairs cure.
func problem(t *rapid.T) *Problem {
	n := rapid.IntRange(2, 9).Draw(t, "causes")
	m := &belief.Model{Options: belief.DefaultOptions}
	for c := range n {
		m.Causes = append(m.Causes, belief.Cause{ID: fmt.Sprintf("c%02d", c), Weight: float64(rapid.IntRange(1, 50).Draw(t, "frequency"))})
	}
	pairs := rapid.IntRange(0, 4).Draw(t, "pairs")
	w := distribution(t, n+1+pairs)
	b := &belief.Posterior{Model: m, Singles: w[:n], None: w[n]}
	at := map[[2]int]bool{}
	for i := range pairs {
		x := rapid.IntRange(0, n-2).Draw(t, "a")
		y := rapid.IntRange(x+1, n-1).Draw(t, "b")
		if at[[2]int{x, y}] {
			b.None += w[n+1+i]
			continue
		}
		at[[2]int{x, y}] = true
		share := w[n+1+i]
		if rapid.IntRange(0, 3).Draw(t, "tiny") == 0 {
			b.None += share - 1e-6
			share = 1e-6
		}
		b.Pairs = append(b.Pairs, belief.Pair{A: x, B: y, P: share})
	}
	p := &Problem{Belief: b, Shop: float64(rapid.IntRange(20, 400).Draw(t, "shop")), MinuteCost: 1, Asked: rapid.IntRange(0, 3).Draw(t, "asked")}
	accesses := rapid.IntRange(0, 4).Draw(t, "accesses")
	for a := range accesses {
		p.Accesses = append(p.Accesses, Access{
			ID: fmt.Sprintf("a%d", a), Cost: float64(rapid.IntRange(0, 40).Draw(t, "access cost")),
			Inside: rapid.IntRange(-1, a-1).Draw(t, "inside"), Open: rapid.IntRange(0, 4).Draw(t, "open") == 0,
		})
	}
	behind := func() []int {
		var out []int
		for a := range accesses {
			if rapid.IntRange(0, 3).Draw(t, "behind") == 0 {
				out = append(out, a)
			}
		}
		return out
	}
	for r := range rapid.IntRange(1, n+1).Draw(t, "repairs") {
		x := Repair{ID: fmt.Sprintf("r%02d", r), Cost: float64(rapid.IntRange(1, 90).Draw(t, "cost")),
			Beta: float64(rapid.IntRange(0, 20).Draw(t, "beta")) / 100, Access: behind(), Tried: rapid.IntRange(0, 9).Draw(t, "tried") == 0}
		for c := range n {
			if c == r || rapid.IntRange(0, 5).Draw(t, "cures") == 0 {
				x.Cures = append(x.Cures, c)
			}
		}
		p.Repairs = append(p.Repairs, x)
	}
	for i := range rapid.IntRange(0, 12).Draw(t, "checks") {
		c := Check{ID: fmt.Sprintf("k%02d", i), Cost: float64(rapid.IntRange(0, 20).Draw(t, "cost")), Access: behind(),
			Question: rapid.Bool().Draw(t, "question"), Answer: float64(rapid.IntRange(0, 10).Draw(t, "answer")) / 10}
		findings := 1
		if rapid.IntRange(0, 3).Draw(t, "round") == 0 {
			findings = rapid.IntRange(2, 6).Draw(t, "findings")
		}
		for j := range findings {
			c.Findings = append(c.Findings, finding(t, fmt.Sprintf("f%02d-%d", i, j), n))
		}
		p.Checks = append(p.Checks, c)
	}
	return p
}

func near(a, b float64) bool { return math.Abs(a-b) <= 1e-9*(1+math.Abs(a)+math.Abs(b)) }

// TestFactoredIsNaive: factoring, bound and scratch change nothing.
func TestFactoredIsNaive(t *testing.T) {
	s := &Scratch{}
	rapid.Check(t, func(t *rapid.T) {
		p := problem(t)
		if err := p.Validate(); err != nil {
			t.Fatal(err)
		}
		want, got := naiveBest(p), Best(p, s)
		if got.Kind != want.Kind || got.ID != want.ID || got.Pays != want.Pays || len(got.Candidates) != len(want.Candidates) {
			t.Fatalf("got  %+v\nwant %+v", got, want)
		}
		if !near(got.V, want.V) || !near(got.Total, want.Total) || !near(got.Worth, want.Worth) {
			t.Fatalf("got  %+v\nwant %+v", got, want)
		}
		for i, c := range got.Candidates {
			w := want.Candidates[i]
			if c.ID != w.ID || c.Kind != w.Kind || !near(c.Cost, w.Cost) || !near(c.Worth, w.Worth) || !near(c.Total, w.Total) {
				t.Fatalf("candidate %d: got %+v, want %+v", i, c, w)
			}
		}
	})
}

// TestMostWorth: with what Best found out and without, the check of most worth
// is that which valuing every one finds.
func TestMostWorth(t *testing.T) {
	s := &Scratch{}
	rapid.Check(t, func(t *rapid.T) {
		p := problem(t)
		// Most worths that are told exactly are whole: rounding shall not decide.
		over := float64(rapid.IntRange(-50, 50).Draw(t, "over")) + 0.23
		every := rapid.IntRange(1, 3).Draw(t, "every")
		fits := func(i int) bool { return i%every == 0 }
		want, most := -1, over
		for i := range p.Checks {
			if w := Worth(p, s, i); fits(i) && w > most {
				want, most = i, w
			}
		}
		d := Best(p, s)
		for _, known := range []*Decision{&d, nil} {
			if got, worth := MostWorth(p, s, known, over, fits); (got < 0) != (want < 0) || !near(worth, most) {
				t.Fatalf("check %d worth %v (known %v), want %d worth %v", got, worth, known != nil, want, most)
			}
		}
	})
}

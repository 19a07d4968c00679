package plan

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"pgregory.net/rapid"

	"ruleout/dialog/belief"
)

// cheapestOrder tries every order of every subset of the repairs with the shop
// after each prefix, paying an access when it is first needed.
func cheapestOrder(p *Problem, prob []float64, open opened, left float64) float64 {
	best := left * p.Shop
	for r := range p.Repairs {
		if prob[r] <= 0 {
			continue
		}
		now := append(opened(nil), open...)
		c := p.Repairs[r].Cost + p.open(now, p.Repairs[r].Access)
		was := prob[r]
		prob[r] = 0
		best = min(best, c*left+cheapestOrder(p, prob, now, left-was))
		prob[r] = was
	}
	return best
}

// TestAllOrders: V is the least over all orders and all prefixes, with accesses
// that nest in a tree and the shop as the way out.
func TestAllOrders(t *testing.T) {
	s := &Scratch{}
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 6).Draw(t, "repairs")
		w := distribution(t, n+1)
		c := make([]float64, n)
		for i := range c {
			c[i] = float64(rapid.IntRange(1, 60).Draw(t, "cost"))
		}
		p := single(w[:n], c, float64(rapid.IntRange(5, 300).Draw(t, "shop")))
		for a := range rapid.IntRange(0, 4).Draw(t, "accesses") {
			p.Accesses = append(p.Accesses, Access{
				ID: fmt.Sprint(a), Cost: float64(rapid.IntRange(0, 50).Draw(t, "access cost")),
				Inside: rapid.IntRange(-1, a-1).Draw(t, "inside"), Open: rapid.IntRange(0, 4).Draw(t, "open") == 0,
			})
		}
		prob := make([]float64, n)
		for i := range p.Repairs {
			r := &p.Repairs[i]
			r.Beta = float64(rapid.IntRange(0, 30).Draw(t, "beta")) / 100
			prob[i] = w[i] * (1 - r.Beta)
			// Each lies behind one access and those around it.
			if a := rapid.IntRange(-1, len(p.Accesses)-1).Draw(t, "behind"); a >= 0 {
				r.Access = []int{a}
			}
		}
		if err := p.Validate(); err != nil {
			t.Fatal(err)
		}
		want := cheapestOrder(p, prob, p.openNow(), 1)
		if d := Best(p, s); !near(d.V, want) {
			t.Fatalf("V = %v, the best of all orders costs %v (%+v)", d.V, want, d.Order)
		}
	})
}

// optimum is the least expected cost over all policies: check or repair in any
// order, each once, or the shop.
type optimum struct {
	p    *Problem
	show [][][]float64 // check, cause, outcome
	none [][]float64
	// known holds what was computed, by the outcomes seen and repairs done.
	known map[[2]int]float64
}

func newOptimum(p *Problem) *optimum {
	x := &optimum{p: p, known: map[[2]int]float64{}}
	for _, c := range p.Checks {
		var rows [][]float64
		for i := range p.Belief.Singles {
			rows = append(rows, p.Belief.Model.Shows(nil, c.Findings[0], i))
		}
		x.show = append(x.show, rows)
		x.none = append(x.none, p.Belief.Model.ShowsNone(nil, c.Findings[0]))
	}
	return x
}

// value is for repairs that each cure the cause of their number. seen has one
// digit to the base 3 a check: 0 not done, else 1 + the outcome.
func (x *optimum) value(w []float64, none float64, seen, repairs int) float64 {
	if v, ok := x.known[[2]int{seen, repairs}]; ok {
		return v
	}
	mass := none
	for _, v := range w {
		mass += v
	}
	best := mass * x.p.Shop
	for r := range x.p.Repairs {
		if repairs>>r&1 == 1 || w[r] <= 0 {
			continue
		}
		was := w[r]
		w[r] = was * x.p.Repairs[r].Beta
		best = min(best, x.p.Repairs[r].Cost*mass+x.value(w, none, seen, repairs|1<<r))
		w[r] = was
	}
	next := make([]float64, len(w))
	place := 1
	for k := range x.p.Checks {
		if seen/place%3 == 0 {
			total := x.p.Checks[k].Cost * mass
			for o := range x.none[k] {
				for c := range w {
					next[c] = w[c] * x.show[k][c][o]
				}
				total += x.value(next, none*x.none[k][o], seen+place*(1+o), repairs)
			}
			best = min(best, total)
		}
		place *= 3
	}
	x.known[[2]int{seen, repairs}] = best
	return best
}

// followed is the expected cost of doing what Best proposes, to the end.
func (x *optimum) followed(s *Scratch, w []float64, none float64, checks []int, tried int) float64 {
	mass := none
	for _, v := range w {
		mass += v
	}
	if mass <= 0 {
		return 0
	}
	q := *x.p
	q.Belief = &belief.Posterior{Model: x.p.Belief.Model, None: none / mass}
	for _, v := range w {
		q.Belief.Singles = append(q.Belief.Singles, v/mass)
	}
	q.Checks = nil
	for _, k := range checks {
		q.Checks = append(q.Checks, x.p.Checks[k])
	}
	q.Repairs = append([]Repair(nil), x.p.Repairs...)
	for r := range q.Repairs {
		q.Repairs[r].Tried = tried>>r&1 == 1
	}
	switch d := Best(&q, s); d.Kind {
	case KindRepair:
		n := append([]float64(nil), w...)
		n[d.Index] *= q.Repairs[d.Index].Beta
		return q.Repairs[d.Index].Cost*mass + x.followed(s, n, none, checks, tried|1<<d.Index)
	case KindCheck:
		k := checks[d.Index]
		rest := append(append([]int(nil), checks[:d.Index]...), checks[d.Index+1:]...)
		total := x.p.Checks[k].Cost * mass
		for o := range x.none[k] {
			n := append([]float64(nil), w...)
			for c := range n {
				n[c] *= x.show[k][c][o]
			}
			total += x.followed(s, n, none*x.none[k][o], rest, tried)
		}
		return total
	}
	return mass * x.p.Shop
}

// small draws a problem of so many causes, each with its repair, and checks
// with answers, from a seed: rapid shrinks, this only has to be varied.
func small(r *rand.Rand, causes, checks int) *Problem {
	share := func(n int) []float64 {
		p, sum := make([]float64, n), 0.0
		for i := range p {
			p[i] = r.ExpFloat64()
			sum += p[i]
		}
		for i := range p {
			p[i] /= sum
		}
		return p
	}
	w, cost := share(causes), make([]float64, causes)
	for i := range w {
		w[i] *= 0.95
		cost[i] = 10 + 90*r.Float64()
	}
	p := single(w, cost, 100+200*r.Float64())
	for i := range p.Repairs {
		p.Repairs[i].Beta = 0.05
	}
	for k := range checks {
		f := &belief.Finding{ID: fmt.Sprintf("%02d", k), Base: []float64{0.8, 0.2}}
		for c := range causes {
			if r.IntN(2) == 0 {
				q := []float64{0.02, 0.07, 0.15, 0.3, 0.5, 0.7, 0.85, 0.95}[r.IntN(8)]
				f.Rows = append(f.Rows, belief.Row{Cause: c, P: []float64{1 - q, q}})
			}
		}
		p.Checks = append(p.Checks, Check{ID: fmt.Sprintf("%02d", k), Findings: []*belief.Finding{f}, Cost: 1 + 14*r.Float64(), Answer: 1})
	}
	return p
}

// TestAgainstOptimum: the whole rule, followed to the end, costs on average at
// most 1 % more than the best of all policies.
func TestAgainstOptimum(t *testing.T) {
	r := rand.New(rand.NewPCG(6, 5))
	s := &Scratch{}
	var sum, worst, without float64
	const trials = 40
	for range trials {
		p := small(r, 6, 5)
		x := newOptimum(p)
		w := append([]float64(nil), p.Belief.Singles...)
		best := x.value(append([]float64(nil), w...), p.Belief.None, 0, 0)
		got := x.followed(s, w, p.Belief.None, []int{0, 1, 2, 3, 4}, 0)
		if got < best-1e-9*best {
			t.Fatalf("cost %v below the optimum %v: one of them is wrong", got, best)
		}
		excess := got/best - 1
		sum += excess
		worst = math.Max(worst, excess)
		without += Best(p, s).V/best - 1
	}
	t.Logf("6 causes, 5 checks, %d problems: mean excess %.2f %%, worst %.2f %%; repairs alone %.1f %%",
		trials, 100*sum/trials, 100*worst, 100*without/trials)
	if sum/trials > 0.01 {
		t.Errorf("mean excess %.2f %%, at most 1 wanted", 100*sum/trials)
	}
}

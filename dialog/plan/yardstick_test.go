package plan

import (
	"math/rand/v2"
	"strconv"
	"testing"

	"ruleout/dialog/belief"
)

// TestNumberOfChecks counts the checks until one cause has nine tenths, over
// cases drawn from the model itself: by the plan, in a fixed order, in a random
// order, and the least that the entropy allows. A check of two outcomes tells
// at most one bit, so the bits gained bound the number from below.
func TestNumberOfChecks(t *testing.T) {
	r := rand.New(rand.NewPCG(2, 3))
	s := &Scratch{}
	const trials, causes, checks, sure = 60, 12, 40, 0.9
	var byPlan, fixed, random int
	var bits float64
	for range trials {
		p := small(r, causes, checks)
		p.Belief.None = 0
		for c := range p.Belief.Singles {
			p.Belief.Singles[c] /= 0.95
		}
		for k := range p.Checks {
			p.Checks[k].Cost = 1
		}
		truth, u := 0, r.Float64()
		for ; truth < causes-1 && u >= p.Belief.Singles[truth]; truth++ {
			u -= p.Belief.Singles[truth]
		}
		result := make([]int, checks)
		for k := range result {
			if r.Float64() < p.Belief.Model.Shows(nil, p.Checks[k].Findings[0], truth)[1] {
				result[k] = 1
			}
		}
		count := func(next func(q *Problem) int) (n int, gained float64) {
			q := *p
			q.Checks = append([]Check(nil), p.Checks...)
			before := entropy(q.Belief.Singles)
			for len(q.Checks) > 0 && leader(q.Belief) < sure {
				k := next(&q)
				at, err := strconv.Atoi(q.Checks[k].ID)
				if err != nil {
					t.Fatal(err)
				}
				q.Belief = observed(q.Belief, q.Checks[k].Findings[0], result[at])
				q.Checks = append(append([]Check(nil), q.Checks[:k]...), q.Checks[k+1:]...)
				n++
			}
			return n, before - entropy(q.Belief.Singles)
		}
		n, gained := count(func(q *Problem) int {
			for _, c := range Best(q, s).Candidates {
				if c.Kind == KindCheck {
					return c.Index
				}
			}
			return 0
		})
		byPlan += n
		bits += gained
		n, _ = count(func(*Problem) int { return 0 })
		fixed += n
		n, _ = count(func(q *Problem) int { return r.IntN(len(q.Checks)) })
		random += n
	}
	per := func(n int) float64 { return float64(n) / trials }
	t.Logf("checks until one of %d causes has 0.9: plan %.2f, fixed order %.2f, random order %.2f, entropy bound %.2f",
		causes, per(byPlan), per(fixed), per(random), bits/trials)
	if byPlan >= fixed || byPlan >= random {
		t.Error("the plan needs no fewer checks than no plan")
	}
	if bits > float64(byPlan) {
		t.Error("fewer checks than the entropy allows")
	}
}

func leader(b *belief.Posterior) float64 {
	most := 0.0
	for _, v := range b.Singles {
		most = max(most, v)
	}
	return most
}

// observed is Bayes' rule over single causes.
func observed(b *belief.Posterior, f *belief.Finding, o int) *belief.Posterior {
	n := &belief.Posterior{Model: b.Model}
	sum := 0.0
	for c, w := range b.Singles {
		n.Singles = append(n.Singles, w*b.Model.Shows(nil, f, c)[o])
		sum += n.Singles[c]
	}
	for c := range n.Singles {
		n.Singles[c] /= sum
	}
	return n
}

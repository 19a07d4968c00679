package plan

import (
	"cmp"
	"math"
	"slices"
)

// How wide a look-round is valued.
const (
	// JointLimit bounds the joint outcomes by which a look-round is valued.
	JointLimit = 32
	// AheadLimit bounds those after which a second check is weighed.
	AheadLimit = 8
)

// choose sets the findings by which a bound check is valued: all, if their
// joint outcomes are no more than JointLimit, else those of greatest single
// worth that fit.
func (s *Scratch) choose(b *bind, v *view) {
	sp := b.sp
	sp.use = sp.use[:0]
	joint := 1
	for i := range sp.findings {
		sp.use = append(sp.use, i)
		joint = min(joint*len(sp.findings[i].Base), JointLimit+1)
	}
	if joint <= JointLimit {
		return
	}
	rest := make([]int64, len(sp.use))
	for i := range rest {
		rest[i] = rank(s.expect(b, v, i))
	}
	slices.SortStableFunc(sp.use, func(i, j int) int { return cmp.Compare(rest[i], rest[j]) })
	joint = 1
	keep := sp.use[:0]
	for _, i := range sp.use {
		if k := joint * len(sp.findings[i].Base); k <= JointLimit {
			joint = k
			keep = append(keep, i)
		}
	}
	sp.use = keep
}

// expect is Σ_o V(b_o) over the joint outcomes of the findings named.
func (s *Scratch) expect(b *bind, v *view, use ...int) float64 {
	sum := 0.0
	b.each(use, func(o *outcome) {
		x, _ := s.value(b, v, o.scale, o.w, o.none)
		sum += x
	})
	return sum
}

// answered weighs what follows an answer and what follows none.
func answered(c *Check, yes, no float64) float64 {
	a := c.answer()
	return float64(a*yes) + float64((1-a)*no)
}

// worth is a check with what it saves by itself.
type worth struct {
	index       int
	cost, saves float64
}

// bestChecks returns the checks of greatest worth, at most n, best first. Most
// checks are passed over because even the most they could save is too little;
// the answer is the same as if all were computed.
func (s *Scratch) bestChecks(st *stage, at *layout, n int) []worth {
	p := s.p
	v := s.view(st, at).value
	s.upper, s.worth = resize(s.upper, len(p.Checks)), resize(s.worth, len(p.Checks))
	s.ranked = s.ranked[:0]
	s.takeLoads(st)
	for i := range p.Checks {
		c := &p.Checks[i]
		s.upper[i], s.worth[i] = s.most(st, at, i, v), math.NaN()
		if c.Question && s.upper[i] < leastQuestion*v*(1-margin) {
			continue
		}
		s.ranked = append(s.ranked, i)
	}
	slices.SortFunc(s.ranked, func(i, j int) int {
		return cmp.Or(cmp.Compare(s.upper[j], s.upper[i]), i-j)
	})
	// Worths are ranked by the cost they leave: near zero their own rounding
	// would not see that they are equal.
	var best []worth
	for _, i := range s.ranked {
		if len(best) == n && s.upper[i] < best[n-1].saves-margin*(v-best[n-1].saves) {
			break
		}
		w := s.worthOf(st, at, i, v)
		s.worth[i] = w.saves
		if p.Checks[i].Question && w.saves < leastQuestion*v {
			continue
		}
		at, _ := slices.BinarySearchFunc(best, w, func(a, b worth) int {
			return cmp.Or(cmp.Compare(rank(v-a.saves), rank(v-b.saves)), a.index-b.index)
		})
		best = slices.Insert(best, at, w)
		best = best[:min(n, len(best))]
	}
	return best
}

// unvalued is a decision of which no more is known than what the checks can't be
// worth more than.
func (s *Scratch) unvalued(st *stage, at *layout) *Decision {
	d := &Decision{V: s.view(st, at).value}
	s.takeLoads(st)
	for i := range s.p.Checks {
		d.upper, d.worth = append(d.upper, s.most(st, at, i, d.V)), append(d.worth, math.NaN())
	}
	return d
}

// most is what a check can't be worth more than, v being V of the stage as it
// is. The loads must have been taken.
func (s *Scratch) most(st *stage, at *layout, i int, v float64) float64 {
	c := &s.p.Checks[i]
	lay, access := s.opening(at, c.Access)
	cost := float64((s.p.checkCost(c, s.p.Asked) + access) * st.mass)
	view := s.view(st, lay)
	return v - cost - answered(c, s.bound(i, st, view), view.value)
}

// margin is far above rounding errors and above the step of rank.
const margin = 1e-8

// worthOf values one check, v being V of the stage as it is.
func (s *Scratch) worthOf(st *stage, at *layout, i int, v float64) worth {
	c := &s.p.Checks[i]
	lay, access := s.opening(at, c.Access)
	cost := float64((s.p.checkCost(c, s.p.Asked) + access) * st.mass)
	view := s.view(st, lay)
	s.spread(&s.sp, i)
	s.bind(&s.b, &s.sp, st, lay)
	s.choose(&s.b, view)
	return worth{i, cost, v - cost - answered(c, s.expect(&s.b, view, s.sp.use...), view.value)}
}

package plan

import (
	"cmp"
	"slices"
)

// tail is a joint outcome with its mass and V.
type tail struct {
	number      int
	mass, value float64
	ahead       bool
}

// ahead is V1 of the stage: V, or less if a second check pays. asked counts
// the questions before it; the check numbered but was just made.
func (s *Scratch) ahead(st *stage, lay *layout, asked int, second []worth, but int) float64 {
	view := s.view(st, lay)
	least := view.value
	for k, w := range second {
		if w.index == but {
			continue
		}
		c := &s.p.Checks[w.index]
		open, access := s.opening(lay, c.Access)
		cost := float64((s.p.checkCost(c, asked) + access) * st.mass)
		v := s.view(st, open)
		s.bind(&s.b2, &s.second[k], st, open)
		if cost+answered(c, s.least(&s.b2, v), v.value) >= least {
			continue
		}
		least = min(least, cost+answered(c, s.expect(&s.b2, v, s.second[k].use...), v.value))
	}
	return least
}

// totalOfCheck is the expected cost with the check second[at] first: its cost
// and V1 after each outcome.
func (s *Scratch) totalOfCheck(st *stage, now *layout, second []worth, at int) float64 {
	w := second[at]
	c := &s.p.Checks[w.index]
	lay, _ := s.opening(now, c.Access)
	asked := c.askedAfter(s.p.Asked)
	v := s.view(st, lay)
	sp := &s.second[at]
	s.bind(&s.b, sp, st, lay)
	tails := s.tops[:0]
	s.b.each(sp.use, func(o *outcome) {
		x, mass := s.value(&s.b, v, o.scale, o.w, o.none)
		tails = append(tails, tail{number: o.number, mass: mass, value: x})
	})
	s.tops = tails
	// The likeliest look ahead.
	slices.SortFunc(tails, func(a, b tail) int {
		return cmp.Or(cmp.Compare(rank(b.mass), rank(a.mass)), a.number-b.number)
	})
	for i := range tails {
		tails[i].ahead = i < AheadLimit
	}
	slices.SortFunc(tails, func(a, b tail) int { return a.number - b.number })
	sum := 0.0
	used := s.used
	s.b.each(sp.use, func(o *outcome) {
		t := &tails[o.number]
		if t.ahead {
			next := s.after(st, &s.b, o)
			t.value = s.ahead(next, lay, asked, second, w.index)
			s.used = used
		}
		sum += t.value
	})
	return w.cost + answered(c, sum, s.ahead(st, lay, asked, second, w.index))
}

// after is the stage after an outcome.
func (s *Scratch) after(st *stage, b *bind, o *outcome) *stage {
	n := &s.next
	n.single, n.pair = resize(n.single, len(st.single)), resize(n.pair, len(st.pair))
	for c, w := range st.single {
		n.single[c] = w * o.scale
	}
	for k, w := range st.pair {
		n.pair[k] = w * o.scale
	}
	for i, h := range b.sp.hyps {
		if h.pair < 0 {
			n.single[h.a] = o.w[i]
		} else {
			n.pair[h.pair] = o.w[i]
		}
	}
	n.none = o.none
	n.tried, n.cure = append(n.tried[:0], st.tried...), append(n.cure[:0], st.cure...)
	n.mass, n.sum = b.shift(o.scale, o.w, o.none)
	n.prob = resize(n.prob, len(st.prob))
	for r, p := range st.prob {
		n.prob[r] = p * o.scale
	}
	for _, x := range b.changes {
		n.prob[x.repair] = x.p
	}
	s.begun(n)
	s.merge(n, st, o.scale, b.changes)
	return n
}

// repaired is the stage after a repair that did not cure: β is left of what it
// should have cured, and of a pair that it half cures, half is the other cause
// alone.
func (s *Scratch) repaired(st *stage, r int) *stage {
	n := &s.next
	n.single, n.pair = append(n.single[:0], st.single...), append(n.pair[:0], st.pair...)
	n.none = st.none
	beta := s.p.Repairs[r].Beta
	s.here++
	for _, c := range s.p.Repairs[r].Cures {
		if s.seen[c] != s.here {
			s.seen[c] = s.here
			n.single[c] *= beta
		}
	}
	for k, h := range s.pairs {
		a, b := s.seen[h.A] == s.here, s.seen[h.B] == s.here
		if !a && !b {
			continue
		}
		half := n.pair[k] / 2
		n.pair[k] = 0
		for _, x := range [2]struct {
			cause int
			cured bool
		}{{h.A, a}, {h.B, b}} {
			if x.cured {
				n.single[x.cause] += float64(half * beta)
			} else {
				n.single[x.cause] += half
			}
		}
	}
	n.tried = append(n.tried[:0], st.tried...)
	n.tried[r] = true
	s.settle(n, st)
	return n
}

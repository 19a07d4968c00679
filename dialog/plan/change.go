package plan

import "math"

var inf = math.Inf(1)

// change gives a repair another chance to cure. What it is in the stage and the
// layout is looked up once, for all the outcomes of a check.
type change struct {
	p      float64
	repair int
	// cost is without access, full with what it must open on other branches.
	cost, full float64
	home, top  int  // the access it lies behind, and the outermost; -1 if free
	below      bool // as it is, it is not above the floor of the stage
}

// change is the repair as it is.
func (s *Scratch) change(st *stage, lay *layout, r int) change {
	x := change{p: st.prob[r], repair: r, cost: s.cost[r], full: s.costOf(lay, r), home: s.homeOf(lay, r), top: -1, below: st.ratios[r] <= st.floor}
	if x.home >= 0 {
		x.top = lay.top[x.home]
	}
	return x
}

// valueAfter is V of the stage when the chances of all repairs are scaled but
// for those changed: what an outcome of a check does, which speaks of a few
// causes and leaves the rest in proportion. mass and sum are those after.
func (s *Scratch) valueAfter(v *view, changes []change, scale, mass, sum float64) float64 {
	lay, m := v.lay, &s.marks
	// What can't pay any more, by itself or in a block, is left out early.
	never := cutoff(mass, sum, s.p.Shop)
	m.stamp++
	more, roots := s.more[:0], s.roots[:0]
	for i := range changes {
		ch := &changes[i]
		pays := ch.p > never*ch.cost
		if !pays && ch.below {
			continue // it is not in the view and need not be
		}
		m.repair[ch.repair] = m.stamp
		if ch.home < 0 {
			if pays {
				more = append(more, single1(ch.p, ch.full, ch.repair))
			}
			continue
		}
		t := ch.top
		if m.root[t] != m.stamp {
			m.root[t] = m.stamp
			m.most[t] = 0
			if head := v.head[t]; head >= 0 {
				m.most[t] = scale * v.items[head].ratio
			}
			roots = append(roots, t)
		}
		if pays {
			it := single1(ch.p, ch.full, ch.repair)
			m.most[t] = max(m.most[t], it.ratio)
			s.fresh[ch.home] = append(s.fresh[ch.home], it)
		}
	}
	s.more, s.roots = sorted(more), roots
	best := s.pay(v, scale, mass, sum, never)
	for _, t := range roots {
		for _, a := range lay.under[t] {
			s.fresh[a] = s.fresh[a][:0]
		}
	}
	return best
}

// pay is the least expected cost over all prefixes of the view's items, scaled
// and without the marked ones, merged with s.more and with what lies behind
// s.roots. mass is that of the whole belief, sum the part that repairs can cure.
//
// It stops where no longer prefix can be better. Some mass m = mass-sum always
// stays. From left down to m, items of ratio ρ at best cost ∫ l/ρ dl, so the
// rest costs at least (left²-m²)/2ρ + m·shop. Most often that is before the
// changed roots have their turn, whose greatest ratio is that of the old head
// or of a changed repair: they are laid out only if it comes to that.
func (s *Scratch) pay(v *view, scale, mass, sum, never float64) float64 {
	base, more, roots, m, shop := v.items, s.more, s.roots, &s.marks, s.p.Shop
	left, spent := mass, 0.0
	best := float64(mass * shop)
	stay := max(0, mass-sum)
	changed := m.stamp
	for i, j := 0, 0; ; {
		for i < len(base) && m.has(base[i].tag, changed) {
			i++
		}
		most := 0.0
		var it *item
		by := 1.0
		if i < len(base) {
			it, by = &base[i], scale
			most = scale * it.ratio
		}
		if j < len(more) && (it == nil || most < more[j].ratio) {
			it, by = &more[j], 1
			most = it.ratio
		}
		next := -1
		for k, t := range roots {
			if m.most[t] > most {
				next, most = k, m.most[t]
			}
		}
		if it == nil && next < 0 || most <= never {
			return best
		}
		if float64((left-stay)*(left+stay)) >= float64(2*most*(best-spent-float64(stay*shop)))*(1+margin) {
			return best
		}
		if next >= 0 {
			t, last := roots[next], len(roots)-1
			roots[next], roots = roots[last], roots[:last]
			more = s.merged(append(s.tail[:0], more[j:]...), s.relaid(v, t, scale, never))
			s.tail, j = more, 0
			continue
		}
		if by == 1 && j < len(more) && it == &more[j] {
			j++
		} else {
			i++
		}
		spent += float64(it.c*left) - float64(by*it.d)
		left -= by * it.p
		best = min(best, spent+float64(left*shop))
	}
}

// relaid lists what lies behind the outermost access t after the changes.
func (s *Scratch) relaid(v *view, t int, scale, never float64) []item {
	for _, a := range v.lay.under[t] {
		s.lists[a] = s.behind(s.lists[a][:0], v, a, scale, never)
	}
	for _, a := range v.lay.under[t] {
		s.fuse(v.lay, a)
	}
	return s.lists[t]
}

// behind lists the repairs right behind access a, the changed ones anew and
// the others scaled, as far as they can pay.
func (s *Scratch) behind(out []item, v *view, a int, scale, never float64) []item {
	fresh := sorted(s.fresh[a])
	s.fresh[a] = fresh[:0]
	j := 0
	for _, it := range v.direct[v.begin[a]:v.begin[a+1]] {
		if s.marks.repair[it.tag] == s.marks.stamp {
			continue
		}
		it.p *= scale
		it.ratio *= scale
		if it.ratio <= never {
			break
		}
		for j < len(fresh) && fresh[j].ratio > it.ratio {
			out = append(out, fresh[j])
			j++
		}
		out = append(out, it)
	}
	return append(out, fresh[j:]...)
}

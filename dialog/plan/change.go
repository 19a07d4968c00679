package plan

import "math"

var inf = math.Inf(1)

// change gives a repair another chance to cure.
type change struct {
	repair int
	p      float64
}

// valueAfter is V of the stage when the chances of all repairs are scaled but
// for those changed: what an outcome of a check does, which speaks of a few
// causes and leaves the rest in proportion. mass and sum are those after.
func (s *Scratch) valueAfter(v *view, changes []change, scale, mass, sum float64) float64 {
	lay := v.lay
	m := &s.marks
	// What can't pay any more, by itself or in a block, is left out early.
	never := cutoff(mass, sum, s.p.Shop)
	m.stamp++
	more, roots := s.more[:0], s.roots[:0]
	for _, ch := range changes {
		if ch.p <= never*s.costOf(lay, ch.repair) && v.st.ratios[ch.repair] <= v.st.floor {
			continue // it is not in the view and need not be
		}
		it := single1(ch.p, s.costOf(lay, ch.repair), ch.repair)
		m.repair[ch.repair] = m.stamp
		h := s.homeOf(lay, ch.repair)
		if h < 0 {
			if it.ratio > never {
				more = append(more, it)
			}
			continue
		}
		if t := lay.top[h]; m.root[t] != m.stamp {
			m.root[t] = m.stamp
			roots = append(roots, t)
		}
		if it.ratio > never {
			s.fresh[h] = append(s.fresh[h], it)
		}
	}
	more = sorted(more)
	for _, t := range roots {
		for _, a := range lay.under[t] {
			s.lists[a] = s.behind(s.lists[a][:0], v, a, scale, never)
		}
		for _, a := range lay.under[t] {
			s.fuse(lay, a)
		}
		more = s.merged(more, s.lists[t])
	}
	s.more, s.roots = more, roots
	return pay(v.items, more, m, scale, mass, sum, s.p.Shop)
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

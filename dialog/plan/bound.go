package plan

// load is what bound needs of a cause.
type load struct {
	weight float64 // alone; 0 if faint
	cost   float64 // of its repair, without access
	keep   float64 // the chance that the repair cures it
	repair int     // or -1
	place  int
}

// takeLoads fills s.loads for the stage.
func (s *Scratch) takeLoads(st *stage) {
	s.loads = resize(s.loads, len(st.single))
	for c, w := range st.single {
		x := load{weight: w, repair: st.cure[c]}
		if s.faint[c] {
			x.weight = 0
		}
		if r := x.repair; r >= 0 {
			x.cost, x.keep, x.place = s.cost[r], s.keep[r], s.places.of[r]
		}
		s.loads[c] = x
	}
}

// bound is least for a check that is not bound to the stage: the same figure,
// found without laying out its hypotheses.
func (s *Scratch) bound(check int, st *stage, v *view) float64 {
	shop := s.p.Shop
	share := s.tables.left[check]
	sum := float64((1 - share) * st.none * shop)
	silent, cut := st.mass-st.none, 0.0
	changes := s.bounded[:0]
	s.here++
	lose := func(x *load, w float64) {
		if x.repair < 0 {
			sum += float64(w * shop)
			return
		}
		cost := min(x.cost+v.lay.all[x.place], shop)
		p := float64(w * x.keep)
		sum += float64(p*cost) + float64((w-p)*shop)
		cut += p
		if st.ratios[x.repair] <= st.floor {
			return // it can't pay even as it is
		}
		if s.slotSeen[x.repair] != s.here {
			s.slotSeen[x.repair] = s.here
			s.slotOf[x.repair] = len(changes)
			changes = append(changes, s.change(st, v.lay, x.repair))
		}
		changes[s.slotOf[x.repair]].p -= p
	}
	for i := range s.tables.of(check) {
		for _, a := range s.tables.of(check)[i].Causes {
			if s.seen[a] == s.here {
				continue
			}
			s.seen[a] = s.here
			if x := &s.loads[a]; x.weight > 0 {
				silent -= x.weight
				lose(x, x.weight)
			}
		}
	}
	for k, h := range s.pairs {
		if s.seen[h.A] == s.here || s.seen[h.B] == s.here {
			w := st.pair[k]
			silent -= w
			lose(&s.loads[h.A], w/2)
			lose(&s.loads[h.B], w/2)
		}
	}
	s.bounded = changes
	// What subtraction leaves of nothing is nothing.
	for k := range changes {
		changes[k].p = noise(changes[k].p, st.prob[changes[k].repair])
	}
	left := noise(silent, st.mass) + float64(share*st.none)
	return sum + s.valueAfter(v, changes, 1, left, min(left, noise(st.sum-cut, st.mass)))
}

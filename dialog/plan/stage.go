package plan

import (
	"cmp"
	"slices"

	"ruleout/dialog/belief"
)

// pairFloor is the probability below which a listed pair is planned for as
// half each of its two causes alone.
const pairFloor = 1e-3

// faint is the probability below which no check is planned to change a cause
// alone: it keeps its share of what the check leaves.
const faint = 1e-6

// stage is a belief, not normalised, with what has been done to the car.
type stage struct {
	single, pair []float64 // pair by number in Scratch.pairs
	none, mass   float64
	tried        []bool
	// cure is the repair that counts for a cause, or -1.
	cure []int
	// prob is the chance of each repair to cure, sum over all.
	prob []float64
	sum  float64
	// ratios is prob/Cost by repair, byRatio the repairs by falling ratio, at
	// least those above the floor.
	ratios  []float64
	byRatio []int
	// floor is a ratio up to which no repair can pay, whatever a check tells.
	floor float64
	views []*view
}

// takeBelief takes the belief's pairs worth listing and puts the rest into single.
func (s *Scratch) takeBelief(b *belief.Posterior, st *stage) {
	st.single = append(st.single[:0], b.Singles...)
	st.pair, s.pairs = st.pair[:0], s.pairs[:0]
	st.none = b.None
	for _, h := range b.Pairs {
		if h.P < pairFloor {
			st.single[h.A] += h.P / 2
			st.single[h.B] += h.P / 2
			continue
		}
		s.pairs = append(s.pairs, h)
		st.pair = append(st.pair, h.P)
	}
	s.faint = resize(s.faint, len(st.single))
	for c, w := range st.single {
		s.faint[c] = w < faint
	}
}

// settle computes everything that follows from the belief and what was tried.
// like is a stage whose order of repairs is nearly the same, or nil.
func (s *Scratch) settle(st *stage, like *stage) {
	p := s.p
	st.cure = resize(st.cure, len(st.single))
	for c := range st.cure {
		st.cure[c] = -1
	}
	for r := len(p.Repairs) - 1; r >= 0; r-- {
		if !st.tried[r] {
			for _, c := range p.Repairs[r].Cures {
				st.cure[c] = r
			}
		}
	}
	st.prob = resize(st.prob, len(p.Repairs))
	clear(st.prob)
	st.mass = st.none
	for c, w := range st.single {
		st.mass += w
		if r := st.cure[c]; r >= 0 {
			st.prob[r] += w
		}
	}
	for i, w := range st.pair {
		st.mass += w
		for _, c := range [2]int{s.pairs[i].A, s.pairs[i].B} {
			if r := st.cure[c]; r >= 0 {
				st.prob[r] += w / 2
			}
		}
	}
	st.sum = 0
	for r := range st.prob {
		st.prob[r] *= s.keep[r]
		st.sum += st.prob[r]
	}
	st.ratios = resize(st.ratios, len(st.prob))
	for r, p := range st.prob {
		st.ratios[r] = ratio(p, s.cost[r])
	}
	s.begun(st)
	if like == nil {
		st.byRatio = resize(st.byRatio, len(st.prob))
		for r := range st.byRatio {
			st.byRatio[r] = r
		}
		slices.SortFunc(st.byRatio, func(a, b int) int {
			return cmp.Or(cmp.Compare(st.ratios[b], st.ratios[a]), a-b)
		})
		return
	}
	st.byRatio = append(st.byRatio[:0], like.byRatio...)
	for i := 1; i < len(st.byRatio); i++ {
		r := st.byRatio[i]
		x := st.ratios[r]
		j := i
		for ; j > 0 && st.ratios[st.byRatio[j-1]] < x; j-- {
			st.byRatio[j] = st.byRatio[j-1]
		}
		st.byRatio[j] = r
	}
}

// begun sets the floor of a stage, which has no views yet.
func (s *Scratch) begun(st *stage) {
	st.floor = cutoff(float64(s.tables.least*st.none), 0, s.p.Shop)
	st.views = st.views[:0]
}

// merge orders the repairs above the floor of the stage n, which differs from
// st by scale and by the changes.
func (s *Scratch) merge(n, st *stage, scale float64, changes []change) {
	n.ratios = resize(n.ratios, len(st.ratios))
	for r, x := range st.ratios {
		n.ratios[r] = x * scale
	}
	s.here++
	s.moved = s.moved[:0]
	for _, x := range changes {
		n.ratios[x.repair] = ratio(x.p, s.cost[x.repair])
		s.slotSeen[x.repair] = s.here
		if n.ratios[x.repair] > n.floor {
			s.moved = append(s.moved, x.repair)
		}
	}
	slices.SortFunc(s.moved, func(a, b int) int {
		return cmp.Or(cmp.Compare(n.ratios[b], n.ratios[a]), a-b)
	})
	n.byRatio = n.byRatio[:0]
	moved := s.moved
	for _, r := range st.byRatio {
		if s.slotSeen[r] == s.here {
			continue
		}
		x := n.ratios[r]
		for len(moved) > 0 && n.ratios[moved[0]] > x {
			n.byRatio = append(n.byRatio, moved[0])
			moved = moved[1:]
		}
		if x <= n.floor {
			break
		}
		n.byRatio = append(n.byRatio, r)
	}
	n.byRatio = append(n.byRatio, moved...)
}

package plan

import "slices"

// layout is how the repairs lie behind the accesses while a certain set of
// them is open.
type layout struct {
	open opened
	// By repair: the access it lies behind or -1, its cost with what it must
	// open on other branches, and its cost with all that it must open.
	home       []int
	cost, full []float64
	// By access: the next unopened one outside or -1, and the outermost, itself
	// perhaps; -1 if open.
	outer, top []int
	// nodes are the unopened accesses, deepest first; under[a] those behind an
	// outermost one, itself with them.
	nodes []int
	under [][]int
}

// layout returns the layout for the set, computed once a problem.
func (s *Scratch) layout(open opened) *layout {
	for _, l := range s.layouts {
		if slices.Equal(l.open, open) {
			return l
		}
	}
	l := newLayout(s.p, open)
	s.layouts = append(s.layouts, l)
	return l
}

func newLayout(p *Problem, open opened) *layout {
	l := &layout{
		open: slices.Clone(open),
		home: make([]int, len(p.Repairs)), cost: make([]float64, len(p.Repairs)), full: make([]float64, len(p.Repairs)),
		outer: make([]int, len(p.Accesses)), top: make([]int, len(p.Accesses)),
	}
	rest := make(opened, len(open))
	for r := range p.Repairs {
		home, extra := p.home(open, r)
		copy(rest, open)
		l.home[r], l.cost[r] = home, p.Repairs[r].Cost+extra
		l.full[r] = p.Repairs[r].Cost + p.open(rest, p.Repairs[r].Access)
	}
	depth := make([]int, len(open))
	for a := range p.Accesses {
		l.outer[a], l.top[a] = -1, -1
		if open[a] {
			continue
		}
		l.nodes = append(l.nodes, a)
		depth[a] = p.depth(open, a)
		if o := p.Accesses[a].Inside; o >= 0 && !open[o] {
			l.outer[a] = o
		}
		for o := a; o >= 0 && !open[o]; o = p.Accesses[o].Inside {
			l.top[a] = o
		}
	}
	slices.SortStableFunc(l.nodes, func(a, b int) int { return depth[b] - depth[a] })
	l.under = make([][]int, len(open))
	for _, a := range l.nodes {
		l.under[l.top[a]] = append(l.under[l.top[a]], a)
	}
	return l
}

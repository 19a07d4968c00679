package plan

import "slices"

// places are the ways to reach a repair: the distinct lists of accesses. Most
// repairs share one with others, so a layout looks at each list once.
type places struct {
	of    []int // by repair
	lists [][]int
}

func (x *places) take(p *Problem) {
	x.of = resize(x.of, len(p.Repairs))
	x.lists = append(x.lists[:0], nil)
	for r := range p.Repairs {
		access := p.Repairs[r].Access
		x.of[r] = 0
		if len(access) == 0 {
			continue
		}
		at := slices.IndexFunc(x.lists, func(l []int) bool { return slices.Equal(l, access) })
		if at < 0 {
			at = len(x.lists)
			x.lists = append(x.lists, access)
		}
		x.of[r] = at
	}
}

// layout is how the repairs lie behind the accesses while a certain set of
// them is open.
type layout struct {
	open opened
	// By place: the access it lies behind or -1, what it must open on other
	// branches, and all that it must open.
	home       []int
	extra, all []float64
	// By access: the next unopened one outside or -1, and the outermost, itself
	// perhaps; -1 if open.
	outer, top []int
	// nodes are the unopened accesses, deepest first; under[a] those behind an
	// outermost one, itself with them.
	nodes []int
	under [][]int
	depth []int
	rest  opened
}

// layout returns the layout for the set, computed once a problem.
func (s *Scratch) layout(open opened) *layout {
	for _, l := range s.layouts[:s.laid] {
		if slices.Equal(l.open, open) {
			return l
		}
	}
	if s.laid == len(s.layouts) {
		s.layouts = append(s.layouts, &layout{})
	}
	l := s.layouts[s.laid]
	s.laid++
	l.fill(s.p, s.places.lists, open)
	return l
}

func (l *layout) fill(p *Problem, lists [][]int, open opened) {
	accesses := len(p.Accesses)
	l.open = append(l.open[:0], open...)
	l.home, l.extra, l.all = resize(l.home, len(lists)), resize(l.extra, len(lists)), resize(l.all, len(lists))
	for i, access := range lists {
		l.home[i], l.extra[i], l.rest = p.home(open, access, l.rest)
		l.rest = append(l.rest[:0], open...)
		l.all[i] = p.open(l.rest, access)
	}
	l.outer, l.top, l.under = resize(l.outer, accesses), resize(l.top, accesses), resize(l.under, accesses)
	l.depth, l.nodes = resize(l.depth, accesses), l.nodes[:0]
	for a := range p.Accesses {
		l.outer[a], l.top[a], l.under[a] = -1, -1, l.under[a][:0]
		if open[a] {
			continue
		}
		l.nodes = append(l.nodes, a)
		l.depth[a] = p.depth(open, a)
		if o := p.Accesses[a].Inside; o >= 0 && !open[o] {
			l.outer[a] = o
		}
		for o := a; o >= 0 && !open[o]; o = p.Accesses[o].Inside {
			l.top[a] = o
		}
	}
	slices.SortStableFunc(l.nodes, func(a, b int) int { return l.depth[b] - l.depth[a] })
	for _, a := range l.nodes {
		l.under[l.top[a]] = append(l.under[l.top[a]], a)
	}
}

// homeOf is the access that the repair lies behind or -1, costOf its cost with
// what it must open on other branches, fullOf with all that it must open.
func (s *Scratch) homeOf(l *layout, r int) int { return l.home[s.places.of[r]] }
func (s *Scratch) costOf(l *layout, r int) float64 {
	return s.cost[r] + l.extra[s.places.of[r]]
}
func (s *Scratch) fullOf(l *layout, r int) float64 {
	return s.cost[r] + l.all[s.places.of[r]]
}

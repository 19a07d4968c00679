package plan

import "ruleout/dialog/belief"

// Scratch is the working memory of Best and its relatives. It belongs to one
// worker at a time and serves any number of problems one after another; the
// zero value is ready.
type Scratch struct {
	p      *Problem
	tables tables

	pairs []belief.Pair
	faint []bool // by cause
	// By repair: its cost without access, and the chance that it cures.
	cost, keep []float64
	places     places
	layouts    []*layout
	laid       int
	now, next  stage
	pool       []*view
	used       int

	// Marks by cause, repair and access.
	here             int
	seen, place      []int
	slotSeen, slotOf []int
	marks            marks

	free, more []item
	mix, tail  []item
	roots      []int
	moved      []int
	lists      [][]item // by access
	fresh      [][]item // by access, empty between uses
	open       opened

	sp      spread
	b, b2   bind
	second  [secondChecks]spread
	loads   []load
	bounded []change
	ranked  []int
	upper   []float64 // by check, as in Decision
	worth   []float64
	tops    []tail
}

// begin takes up a problem and returns its first stage.
func (s *Scratch) begin(p *Problem) *stage {
	s.p = p
	s.tables.take(p)
	s.laid, s.used = 0, 0
	s.places.take(p)
	causes, repairs, accesses := len(p.Belief.Singles), len(p.Repairs), len(p.Accesses)
	s.seen, s.place = resize(s.seen, causes), resize(s.place, causes)
	s.slotSeen, s.slotOf = resize(s.slotSeen, repairs), resize(s.slotOf, repairs)
	s.marks.repair, s.marks.root = resize(s.marks.repair, repairs), resize(s.marks.root, accesses)
	clear(s.seen)
	clear(s.slotSeen)
	clear(s.marks.repair)
	clear(s.marks.root)
	s.marks.most = resize(s.marks.most, accesses)
	s.here, s.marks.stamp = 0, 0
	s.lists, s.fresh = resize(s.lists, accesses), resize(s.fresh, accesses)
	for a := range s.fresh {
		s.fresh[a] = s.fresh[a][:0]
	}
	st := &s.now
	s.takeBelief(p.Belief, st)
	st.tried, s.cost, s.keep = resize(st.tried, repairs), resize(s.cost, repairs), resize(s.keep, repairs)
	for r := range p.Repairs {
		x := &p.Repairs[r]
		st.tried[r], s.cost[r], s.keep[r] = x.Tried, x.Cost, 1-x.Beta
	}
	s.settle(st, nil)
	return st
}

// spare returns a view to fill.
func (s *Scratch) spare() *view {
	if s.used == len(s.pool) {
		s.pool = append(s.pool, &view{})
	}
	s.used++
	return s.pool[s.used-1]
}

// opening returns the layout with the accesses open too, and what they cost.
func (s *Scratch) opening(lay *layout, access []int) (*layout, float64) {
	s.open = append(s.open[:0], lay.open...)
	cost := s.p.open(s.open, access)
	if cost == 0 && len(access) == 0 {
		return lay, 0
	}
	return s.layout(s.open), cost
}

func resize[T any](x []T, n int) []T {
	if cap(x) < n {
		return append(make([]T, 0, n+n/4), x[:cap(x)]...)[:n]
	}
	return x[:n]
}

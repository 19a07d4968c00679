package plan

import (
	"cmp"
	"math"
	"slices"
)

// The breadth of the look-ahead.
const (
	firstChecks  = 3
	firstRepairs = 2
	secondChecks = 4
)

// Best chooses the next step. The problem must pass Validate. The answer
// depends on nothing but the problem; s only saves memory.
func Best(p *Problem, s *Scratch) Decision {
	st := s.begin(p)
	at := s.layout(p.openNow())
	v := s.view(st, at).value
	d := Decision{Kind: KindShop, Index: -1, V: v, Total: v}
	jobs := p.order(st.prob, at.open)
	_, d.Pays = payment(jobs, st.mass, p.Shop)
	d.Order = make([]Step, 0, len(jobs))
	cured := 0.0
	for _, j := range jobs {
		cured += j.p
		d.Order = append(d.Order, Step{Repair: j.repair, ID: p.Repairs[j.repair].ID, P: j.p, Cost: j.c, Cumulative: cured})
	}

	best := s.bestChecks(st, at, secondChecks)
	d.upper, d.worth = slices.Clone(s.upper), slices.Clone(s.worth)
	for k, w := range best {
		c := &p.Checks[w.index]
		lay, _ := s.opening(at, c.Access)
		s.spread(&s.second[k], w.index)
		s.bind(&s.b, &s.second[k], st, lay)
		s.choose(&s.b, s.view(st, lay))
	}
	for k, w := range best[:min(firstChecks, len(best))] {
		d.Candidates = append(d.Candidates, Candidate{
			Kind: KindCheck, Index: w.index, ID: p.Checks[w.index].ID,
			Cost: w.cost, Worth: w.saves, Total: s.totalOfCheck(st, at, best, k),
		})
	}
	for _, j := range jobs[:min(firstRepairs, len(jobs))] {
		r := &p.Repairs[j.repair]
		lay, access := s.opening(at, r.Access)
		cost := float64((r.Cost + access) * st.mass)
		used := s.used
		next := s.repaired(st, j.repair)
		d.Candidates = append(d.Candidates, Candidate{
			Kind: KindRepair, Index: j.repair, ID: r.ID, Cost: cost,
			Worth: v - cost - s.view(next, lay).value,
			Total: cost + s.ahead(next, lay, 0, best, -1),
		})
		s.used = used
	}
	slices.SortStableFunc(d.Candidates, func(a, b Candidate) int {
		return cmp.Or(cmp.Compare(rank(a.Total), rank(b.Total)), cmp.Compare(a.ID, b.ID))
	})

	if len(d.Candidates) > 0 && rank(d.Candidates[0].Total) < rank(v) {
		c := d.Candidates[0]
		d.Kind, d.Index, d.ID, d.Total, d.Worth = c.Kind, c.Index, c.ID, c.Total, c.Worth
	} else if d.Pays > 0 {
		d.Kind, d.Index, d.ID = KindRepair, jobs[0].repair, p.Repairs[jobs[0].repair].ID
	}
	return d
}

// Worth values one check as Best does in its first step: what it saves on
// average, its cost paid.
func Worth(p *Problem, s *Scratch, check int) float64 {
	only := *p
	only.Checks = p.Checks[check : check+1]
	st := s.begin(&only)
	at := s.layout(p.openNow())
	return s.worthOf(st, at, 0, s.view(st, at).value).saves
}

// MostWorth returns the check of greatest Worth among those that fit, the
// first of equals, or -1 if none is worth more than over; d is what Best made of
// the problem, or nil. Checks that can't be are passed over, and what Best found
// out is not found out again.
func MostWorth(p *Problem, s *Scratch, d *Decision, over float64, fits func(check int) bool) (check int, worth float64) {
	var st *stage
	if d == nil {
		st = s.begin(p)
		d = s.unvalued(st, s.layout(p.openNow()))
	}
	check, worth = -1, over
	for i := range p.Checks {
		if !fits(i) || d.upper[i] < worth-margin*(d.V-worth) {
			continue
		}
		saves := d.worth[i]
		if math.IsNaN(saves) {
			if st == nil {
				st = s.begin(p)
			}
			saves = s.worthOf(st, s.layout(p.openNow()), i, d.V).saves
		}
		if saves > worth {
			check, worth = i, saves
		}
	}
	return check, worth
}

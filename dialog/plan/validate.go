package plan

import (
	"errors"
	"fmt"
	"math"
)

// Validate reports everything that keeps the problem from being planned: ids
// out of order, numbers out of range, accesses that lie inside one another.
// Best and Split expect a problem that passes.
func (p *Problem) Validate() error {
	var errs []error
	fail := func(format string, a ...any) { errs = append(errs, fmt.Errorf("plan: "+format, a...)) }
	if p.Belief == nil || p.Belief.Model == nil {
		return errors.New("plan: no belief")
	}
	causes := len(p.Belief.Model.Causes)
	if len(p.Belief.Singles) != causes {
		fail("belief over %d causes, model of %d", len(p.Belief.Singles), causes)
	}
	for _, h := range p.Belief.Pairs {
		if h.A < 0 || h.A >= h.B || h.B >= causes {
			fail("pair (%d, %d) of %d causes", h.A, h.B, causes)
		}
	}
	if !amount(p.Shop) || !amount(p.MinuteCost) || p.Asked < 0 {
		fail("shop %v, minute %v, asked %d", p.Shop, p.MinuteCost, p.Asked)
	}
	for i, a := range p.Accesses {
		if !amount(a.Cost) {
			fail("access %q costs %v", a.ID, a.Cost)
		}
		at, steps := a.Inside, 0
		for ; at >= 0 && at < len(p.Accesses) && steps <= len(p.Accesses); steps++ {
			at = p.Accesses[at].Inside
		}
		if at != -1 {
			fail("access %q lies inside itself or nothing", a.ID)
		}
		if i > 0 && a.ID <= p.Accesses[i-1].ID {
			fail("access %q out of order", a.ID)
		}
	}
	reach := func(id string, access []int) {
		for _, a := range access {
			if a < 0 || a >= len(p.Accesses) {
				fail("%q needs access %d of %d", id, a, len(p.Accesses))
			}
		}
	}
	for i, r := range p.Repairs {
		if i > 0 && r.ID <= p.Repairs[i-1].ID {
			fail("repair %q out of order", r.ID)
		}
		if !amount(r.Cost) || !share(r.Beta) {
			fail("repair %q costs %v, leaves %v", r.ID, r.Cost, r.Beta)
		}
		for _, c := range r.Cures {
			if c < 0 || c >= causes {
				fail("repair %q cures cause %d of %d", r.ID, c, causes)
			}
		}
		reach(r.ID, r.Access)
	}
	for i, c := range p.Checks {
		if i > 0 && c.ID <= p.Checks[i-1].ID {
			fail("check %q out of order", c.ID)
		}
		if !amount(c.Cost) || !share(c.Answer) {
			fail("check %q costs %v, is answered with %v", c.ID, c.Cost, c.Answer)
		}
		if len(c.Findings) == 0 {
			fail("check %q settles nothing", c.ID)
		}
		for _, f := range c.Findings {
			if f == nil || len(f.Base) == 0 {
				fail("check %q settles a finding without outcomes", c.ID)
				continue
			}
			for _, row := range f.Rows {
				if row.Cause < 0 || row.Cause >= causes || len(row.P) != len(f.Base) {
					fail("check %q, finding %q: row of cause %d", c.ID, f.ID, row.Cause)
				}
			}
		}
		reach(c.ID, c.Access)
	}
	return errors.Join(errs...)
}

func amount(x float64) bool { return x >= 0 && !math.IsInf(x, 1) }
func share(x float64) bool  { return x >= 0 && x <= 1 }

package belief

import (
	"cmp"
	"fmt"
	"math"
	"slices"
)

// Composite is all that was found out about one circuit, taken together: the
// likelihood of everything recorded there under each of its faults, summed
// over the arrangements and magnitudes that are not known. Marginalising
// finding by finding would be wrong. Likelihoods may have any common scale.
type Composite struct {
	ID string
	// Base is the likelihood with no fault in the circuit.
	Base float64
	// Singles holds the likelihood with one fault, by ascending cause.
	Singles []Local
	// Pairs holds the likelihood with two, by ascending A, then B, A < B. A
	// pair that is left out is taken as L(a) L(b) / Base.
	Pairs []LocalPair
}

// Local is the likelihood under one fault.
type Local struct {
	Cause int
	L     float64
}

// LocalPair is the likelihood under two faults.
type LocalPair struct {
	A, B int
	L    float64
}

// check returns what is wrong with the composite, given the number of causes.
func (c *Composite) check(causes int) error {
	bad := func(l float64) bool { return !(l > 0) || math.IsInf(l, 0) }
	if bad(c.Base) {
		return fmt.Errorf("belief: circuit %q has likelihood %v without a fault", c.ID, c.Base)
	}
	for i, s := range c.Singles {
		if s.Cause < 0 || s.Cause >= causes || i > 0 && c.Singles[i-1].Cause >= s.Cause {
			return fmt.Errorf("belief: circuit %q: cause %d is out of order or range", c.ID, s.Cause)
		}
		if bad(s.L) {
			return fmt.Errorf("belief: circuit %q has likelihood %v under cause %d", c.ID, s.L, s.Cause)
		}
	}
	for i, p := range c.Pairs {
		if p.A < 0 || p.A >= p.B || p.B >= causes || i > 0 && comparePairs(c.Pairs[i-1], p) >= 0 {
			return fmt.Errorf("belief: circuit %q: causes %d, %d are out of order or range", c.ID, p.A, p.B)
		}
		if bad(p.L) {
			return fmt.Errorf("belief: circuit %q has likelihood %v under causes %d, %d", c.ID, p.L, p.A, p.B)
		}
		if !c.speaks(p.A) || !c.speaks(p.B) {
			return fmt.Errorf("belief: circuit %q has causes %d, %d together but not each alone", c.ID, p.A, p.B)
		}
	}
	return nil
}

func comparePairs(p, q LocalPair) int { return cmp.Or(cmp.Compare(p.A, q.A), cmp.Compare(p.B, q.B)) }

func (c *Composite) speaks(cause int) bool {
	_, ok := slices.BinarySearchFunc(c.Singles, cause, func(s Local, x int) int { return cmp.Compare(s.Cause, x) })
	return ok
}

// composite returns the evidence on a circuit as a component: every fault is a tuple of its own.
func (m *Model) composite(pr *priors, e *Evidence, at int) *component {
	from := e.Composite
	c := &component{composite: from, evidence: []int{at}, mixBase: m.NoneBase, mixMean: m.NoneMean, causes: m.Causes}
	if e.LimitDB > 0 {
		c.limit = fromDecibans(e.LimitDB)
	}
	c.base = logNats(from.Base)
	tuples := map[int]int{} // by cause
	mean, total := 0.0, 0.0
	for _, s := range from.Singles {
		place := pr.place[s.Cause]
		if place < 0 {
			continue
		}
		tuples[s.Cause] = len(c.tuples)
		c.speakers = append(c.speakers, speaker{place, len(c.tuples)})
		x := c.against(s.L)
		c.tuples = append(c.tuples, tuple{alone: x, paired: x})
		w := pr.weight[s.Cause]
		mean += float64(w * s.L)
		total += w
	}
	n := len(c.tuples)
	c.pairs = make([]nats, n*n)
	for _, p := range from.Pairs {
		a, okA := tuples[p.A]
		b, okB := tuples[p.B]
		if okA && okB {
			d := c.against(p.L) - c.tuples[a].paired - c.tuples[b].paired
			c.pairs[a*n+b], c.pairs[b*n+a] = d, d
		}
	}
	c.setFactors()
	if total > 0 {
		c.none = c.against(float64(m.NoneBase*from.Base) + float64(m.NoneMean*mean/total))
	}
	return c
}

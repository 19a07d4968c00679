package kb

import (
	"math"
	"sort"
)

// checkReading checks that the bands divide the span of possible readings
// among the outcomes: no gap, no overlap, every outcome reachable.
func (c *checker) checkReading(e *entry, path []any, r *Reading, f *Finding) {
	c.oneOf(e, under(path, "quantity"), r.Quantity, quantities...)
	c.text(e, under(path, "unit"), r.Unit)
	c.text(e, under(path, "meter"), r.Meter)
	c.text(e, under(path, "terminals"), r.Terminals)
	c.text(e, under(path, "expect"), r.Expect)
	c.basis(e, under(path, "basis"), r.Basis)
	for i, x := range r.Context {
		c.text(e, under(path, "context", i, "ask"), x.Ask)
	}
	if r.Possible[0] >= r.Possible[1] {
		c.fail(e, under(path, "possible"), "give the lowest and the highest reading the meter can show", "the possible readings run from %g to %g", r.Possible[0], r.Possible[1])
		return
	}
	type span struct {
		from, to float64
		at       int
	}
	var spans []span
	reached := map[string]bool{}
	for i, b := range r.Bands {
		at := under(path, "bands", i)
		c.outcome(e, under(at, "outcome"), f, b.Outcome)
		reached[b.Outcome] = true
		s := span{math.Inf(-1), math.Inf(1), i}
		if b.From != nil {
			s.from = *b.From
		}
		if b.To != nil {
			s.to = *b.To
		}
		if s.from >= s.to {
			c.fail(e, at, "", "the band runs from %g to %g", s.from, s.to)
			return
		}
		if s.to <= r.Possible[0] || s.from >= r.Possible[1] {
			c.fail(e, at, "", "the band lies outside the possible readings %g to %g", r.Possible[0], r.Possible[1])
		}
		spans = append(spans, s)
	}
	if len(spans) == 0 {
		c.fail(e, under(path, "bands"), "", "a reading needs bands")
		return
	}
	sort.SliceStable(spans, func(i, j int) bool { return spans[i].from < spans[j].from })
	upTo := r.Possible[0]
	for _, s := range spans {
		switch {
		case s.from > upTo:
			c.fail(e, under(path, "bands", s.at), "", "no band covers the readings from %g to %g", upTo, s.from)
		case s.from < upTo && s.from > math.Inf(-1) && upTo > r.Possible[0]:
			c.fail(e, under(path, "bands", s.at), "", "the band overlaps another below %g", upTo)
		case math.IsInf(s.from, -1) && upTo > r.Possible[0]:
			c.fail(e, under(path, "bands", s.at), "give it a from", "two bands are open downwards")
		}
		upTo = max(upTo, s.to)
	}
	if upTo < r.Possible[1] {
		c.fail(e, under(path, "bands", spans[len(spans)-1].at), "", "no band covers the readings from %g to %g", upTo, r.Possible[1])
	}
	for _, o := range f.Outcomes {
		if !reached[o.ID] {
			c.warn(e, under(path, "bands"), "", "no reading leads to outcome %q", o.ID)
		}
	}
}

package circuit

import (
	"fmt"
	"math"
)

// Stand is what was observed of a circuit so far, by variant: hypothesis,
// arrangement and size of the fault together.
type Stand struct {
	c     *Circuit
	prior []float64 // of the arrangements
	like  []float64
	seen  int
}

// Stand begins with nothing observed. Shares are the prior of the
// arrangements for this vehicle; empty means the netlist's own.
func (c *Circuit) Stand(shares map[string]float64) (*Stand, error) {
	prior, err := c.prior(shares)
	if err != nil {
		return nil, err
	}
	s := &Stand{c: c, prior: prior, like: make([]float64, len(c.variants))}
	for v := range s.like {
		s.like[v] = 1
	}
	return s, nil
}

// Likes returns how likely an observation is under each variant, given what
// its check shows there (see Predict), relative to one that may be anything.
func (c *Circuit) Likes(o Observation, x []float64) ([]float64, error) {
	if math.IsNaN(o.Value) || math.IsInf(o.Value, -1) || o.Reliability < 0 || o.Reliability > 1 {
		return nil, fmt.Errorf("circuit: an observation of %v with reliability %v", o.Value, o.Reliability)
	}
	spread := c.spread(&o.Check)
	out := make([]float64, len(x))
	for v := range x {
		out[v] = c.likeOf(&o, x[v], spread)
	}
	return out, nil
}

// asOpen is the reading in ohms that a circuit which is open may show all the
// same. Basis: memory.
const asOpen = 0.5e6

// More volts than restingMost are only there while the engine runs and
// charges: then all that the battery feeds is higher by as much. Basis: memory.
const (
	restingMost   = 13.0
	chargingVolts = 14.2
)

// generates reports whether the netlist has an alternator of its own.
func (c *Circuit) generates() bool {
	for i := range c.Elements {
		if c.Elements[i].Kind == Alternator {
			return true
		}
	}
	return false
}

// Saw takes in the likelihood of an observation under each variant.
func (s *Stand) Saw(like []float64) {
	for v := range s.like {
		s.like[v] *= like[v]
	}
	s.seen++
}

// Weights returns the likelihood of all that was seen under each hypothesis,
// summed over arrangements and sizes.
func (s *Stand) Weights() *Weights {
	c := s.c
	w := &Weights{joint: make([][]float64, len(c.priors))}
	for h := range c.priors {
		w.joint[h] = make([]float64, len(c.wired))
	}
	for v, x := range c.variants {
		w.joint[x.hypothesis][x.arrangement] += float64(x.weight * s.like[v])
	}
	least := math.Pow(Slip, float64(s.seen))
	mass := s.mass()
	for h, hyp := range c.priors {
		sum := 0.0
		for a := range w.joint[h] {
			if mass[h] > 0 {
				w.joint[h][a] *= s.prior[a] / mass[h]
			} else {
				w.joint[h][a] = 0
			}
			sum += w.joint[h][a]
		}
		if mass[h] == 0 {
			sum = least
		}
		if h == 0 {
			w.Sound = sum
		} else {
			w.Causes = append(w.Causes, CauseWeight{hyp.Cause, sum})
		}
	}
	return w
}

// mass is the share of the arrangements in which each hypothesis can be.
func (s *Stand) mass() []float64 {
	out := make([]float64, len(s.c.priors))
	for h, hyp := range s.c.priors {
		for a, ok := range hyp.Possible {
			if ok {
				out[h] += s.prior[a]
			}
		}
	}
	return out
}

// Variants returns the probability of each variant given its hypothesis and
// all that was seen: they sum to one for each hypothesis that can be.
func (s *Stand) Variants() []float64 {
	c := s.c
	out := make([]float64, len(c.variants))
	sum := make([]float64, len(c.priors))
	for v, x := range c.variants {
		out[v] = float64(x.weight*s.prior[x.arrangement]) * s.like[v]
		sum[x.hypothesis] += out[v]
	}
	for v, x := range c.variants {
		if sum[x.hypothesis] > 0 {
			out[v] /= sum[x.hypothesis]
		}
	}
	return out
}

// HypothesisOf returns the place among Hypotheses of a variant's hypothesis,
// ArrangementAt that of its arrangement among the netlist's.
func (c *Circuit) HypothesisOf(variant int) int { return c.variants[variant].hypothesis }

// ArrangementAt returns the place of a variant's arrangement.
func (c *Circuit) ArrangementAt(variant int) int { return c.variants[variant].arrangement }

// likeOf is like for an observation, a value or anything within a range, of a
// check that shows x.
func (c *Circuit) likeOf(o *Observation, x, spread float64) float64 {
	if o.Check.What == Volts && max(math.Abs(o.Value), o.Low) > restingMost && !c.generates() {
		x *= chargingVolts / defaultBattery
	}
	if o.High > o.Low {
		r := o.Reliability
		if r == 0 {
			r = trusted
		}
		p := (1-Slip)*inRange(o.Check.What, x, o.Low, o.High, spread) + Slip
		return r*p + (1 - r)
	}
	l := like(o.Check.What, x, o.Value, o.Reliability, spread)
	if o.Check.What.ohms() && o.Value >= asOpen && o.Value < MeterOver {
		// Damp and fingers bring an open circuit down to this.
		l = max(l, like(o.Check.What, x, OpenOhms, o.Reliability, spread))
	}
	return l
}

// inRange is the chance that a meter shows something within the range where
// x is predicted, over the chance that anything at all lies there.
func inRange(w What, x, low, high, spread float64) float64 {
	if math.IsNaN(x) {
		return 0
	}
	switch {
	case w == Volts:
		sigma := math.Hypot(meterShare*math.Abs(x)+meterVolts, partShare*x)
		low, high = max(low, -15), min(high, 15)
		return between(low, high, x, sigma) * 30 / max(high-low, 0.1)
	case w.ohms():
		return logWithin(x, low, high, spread, leadOhms, 0.1, MeterOver)
	case w == Amps:
		return logWithin(x, low, high, spread, leastAmps, leastAmps, 500)
	}
	// Effects: the range names several of them.
	n := math.Floor(high) - math.Ceil(low) + 1
	if x >= low && x <= high {
		return Effects / n * 0.97
	}
	return Effects / max(Effects-n, 1) * 0.03
}

// logWithin compares on a log scale; what lies beyond an end of the meter's
// span counts as that end.
func logWithin(x, low, high, spread, floor, least, most float64) float64 {
	x, low, high = min(max(x, least), most), max(low, least), max(high, least)
	sigma := math.Hypot(spread, math.Log1p(floor/x))
	a, b := math.Log(low), math.Log(min(high, most))
	if low <= least {
		a = math.Inf(-1)
	}
	if high >= most {
		b = math.Inf(1)
	}
	return between(a, b, math.Log(x), sigma) / logWidth(low, high, least, most)
}

// logWidth is the share of a meter's span that a range takes on a log scale.
func logWidth(low, high, least, most float64) float64 {
	low, high = min(max(low, least), most), min(max(high, least), most)
	return max(math.Log(high/low), 0.2) / math.Log(most/least)
}

// between is the mass of a normal distribution from low to high.
func between(low, high, mean, sigma float64) float64 {
	return (math.Erf((high-mean)/(sigma*math.Sqrt2)) - math.Erf((low-mean)/(sigma*math.Sqrt2))) / 2
}

// Variants is the number of variants.
func (c *Circuit) Variants() int { return len(c.variants) }

// Within is the chance that a check which shows x is seen between low and high
// (for a part: does one of these effects), both included.
func (c *Circuit) Within(ch Check, x, low, high float64) float64 {
	if math.IsNaN(x) {
		return 0
	}
	spread := c.spread(&ch)
	switch {
	case ch.What == Volts:
		sigma := math.Hypot(meterShare*math.Abs(x)+meterVolts, partShare*x)
		return between(low, high, x, sigma)
	case ch.What.ohms():
		return logWithin(x, low, high, spread, leadOhms, 0.1, MeterOver) * logWidth(low, high, 0.1, MeterOver)
	case ch.What == Amps:
		return logWithin(x, low, high, spread, leastAmps, leastAmps, 500) * logWidth(low, high, leastAmps, 500)
	}
	if x >= low && x <= high {
		return 1
	}
	return 0
}

// VariantsOf lists the variants of a hypothesis, WeightOf the share of one of
// them within its hypothesis and arrangement.
func (c *Circuit) VariantsOf(hypothesis int) []int {
	var out []int
	for v := range c.variants {
		if c.variants[v].hypothesis == hypothesis {
			out = append(out, v)
		}
	}
	return out
}

// Has reports whether the arrangement, by its place, has the element.
func (c *Circuit) Has(arrangement int, element string) bool {
	i, ok := c.element[element]
	return ok && c.wired[arrangement].byElement[i] >= 0
}

// WeightOf is the share of a variant within its hypothesis and arrangement.
func (c *Circuit) WeightOf(variant int) float64 { return c.variants[variant].weight }

// Prior is the prior of an arrangement, by its place.
func (s *Stand) Prior(arrangement int) float64 { return s.prior[arrangement] }

package circuit

import (
	"fmt"
	"math"
)

// Tolerances of readings. Basis: memory, but for Slip (reasoning, section 4).
const (
	// Slip is the share of readings that tell nothing: a probe off its point,
	// the wrong range.
	Slip = 0.02
	// A common meter shows volts to this share and so many volts.
	meterShare = 0.005
	meterVolts = 0.02
	// partShare is how far parts and the battery's charge move volts.
	partShare = 0.03
	// ratioSpread is the spread of ohms and amperes, in nats, where no part
	// states a tolerance; leastSpread what a meter and a warm part bring.
	ratioSpread = 0.15
	leastSpread = 0.05
	leadOhms    = 0.3 // leads and contact of the probes
	leastAmps   = 0.001
	// trusted is how often what was seen is told rightly.
	trusted = 0.95
)

// Observation is what a check showed.
type Observation struct {
	Check Check
	// Value is volts, ohms (MeterOver or more where the meter showed no
	// reading), amperes, or an Effect.
	Value float64
	// Low and High, where High is above Low, say that the value lies anywhere
	// between them; Value is then unused.
	Low, High float64
	// Reliability is how far it is to be believed, 0 to 1; 0 means 0.95.
	Reliability float64
}

// spread is how far a reading of ohms or amperes may be off by the parts, in
// nats: half the greatest tolerance stated by those that end at its points.
func (c *Circuit) spread(ch *Check) float64 {
	worst := 0.0
	switch ch.What {
	case Amps, Bench:
		worst = c.Elements[c.element[ch.Element]].Tolerance
	case Ohms:
		for _, w := range c.wired {
			for i := range w.parts {
				for _, n := range w.parts[i].at {
					if n > 0 && (w.nodes[n] == ch.A || w.nodes[n] == ch.B) {
						worst = max(worst, w.parts[i].e.Tolerance)
					}
				}
			}
		}
	}
	if worst == 0 {
		return ratioSpread
	}
	return max(worst/2, leastSpread)
}

// like returns how likely a value is where x is predicted, relative to a value
// that may be anything.
func like(w What, x, value, reliability, spread float64) float64 {
	if reliability == 0 {
		reliability = trusted
	}
	ratio := 0.0 // p(value | x) / u(value)
	switch {
	case math.IsNaN(x): // there is no such point: only a slip
	case w == Volts:
		sigma := math.Hypot(meterShare*math.Abs(x)+meterVolts, partShare*x)
		ratio = normal(value, x, sigma) * 30 // a meter's span in a car: -15 to 15 V
	case w.ohms():
		ratio = logLike(x, value, spread, leadOhms, 0.1, MeterOver, true)
	case w == Amps:
		ratio = logLike(x, value, spread, leastAmps, leastAmps, 500, false)
	default:
		if Effect(value) == Effect(x) {
			ratio = float64(Effects) * 0.97
		} else {
			ratio = float64(Effects) * 0.03 / (Effects - 1)
		}
	}
	p := (1-Slip)*ratio + Slip
	return reliability*p + (1 - reliability)
}

func normal(x, mean, sigma float64) float64 {
	z := (x - mean) / sigma
	return math.Exp(-z*z/2) / (sigma * math.Sqrt(2*math.Pi))
}

// logLike compares on a log scale from low to high, with what lies beyond an
// end counted as one value. Half of a reading's own freedom lies there.
func logLike(x, value, spread, floor, low, high float64, over bool) float64 {
	beyond := func(v float64) bool { return over && v >= high || !over && v < low }
	switch {
	case beyond(x) && beyond(value):
		return 4
	case beyond(x) != beyond(value):
		return 0
	}
	a, b := math.Max(x, low), math.Max(value, low)
	sigma := math.Hypot(spread, math.Log1p(floor/a))
	return normal(math.Log(b), math.Log(a), sigma) * math.Log(high/low)
}

// Weights is what observations say of each hypothesis, on a common scale.
type Weights struct {
	// Sound is the likelihood without a fault, Causes that of each cause in
	// id order.
	Sound  float64
	Causes []CauseWeight
	// joint holds P(A | s) P(o | s, A) by hypothesis and arrangement.
	joint [][]float64
}

// CauseWeight is the likelihood under one cause.
type CauseWeight struct {
	Cause string
	L     float64
}

// prior returns the arrangements' shares: the netlist's own, or those given.
func (c *Circuit) prior(shares map[string]float64) ([]float64, error) {
	if len(shares) == 0 {
		return c.shares, nil
	}
	out := make([]float64, len(c.Arrangements))
	total := 0.0
	for i, a := range c.Arrangements {
		out[i] = shares[a.ID]
		if !(out[i] >= 0) || math.IsInf(out[i], 0) {
			return nil, fmt.Errorf("circuit: arrangement %q has share %v", a.ID, out[i])
		}
		total += out[i]
	}
	if !(total > 0) {
		return nil, fmt.Errorf("circuit: %s: no arrangement is possible", c.Netlist.ID)
	}
	for i := range out {
		out[i] /= total
	}
	return out, nil
}

// Weigh returns the likelihood of all observations together under each
// hypothesis, summed over arrangements and sizes. Shares are the prior of the
// arrangements for this vehicle; empty means the netlist's own. A cause that
// can be in no possible arrangement gets the likelihood of a slip.
func (c *Circuit) Weigh(observations []Observation, shares map[string]float64) (*Weights, error) {
	s, err := c.Stand(shares)
	if err != nil {
		return nil, err
	}
	for _, o := range observations {
		x, err := c.Predict(o.Check)
		if err != nil {
			return nil, err
		}
		l, err := c.Likes(o, x)
		if err != nil {
			return nil, err
		}
		s.Saw(l)
	}
	return s.Weights(), nil
}

// ArrangementsAfter returns the posterior of each arrangement, given the prior
// weight of each hypothesis ("" is the sound circuit).
func (c *Circuit) ArrangementsAfter(w *Weights, weight func(cause string) float64) map[string]float64 {
	out := map[string]float64{}
	total := 0.0
	for a := range c.Arrangements {
		p := 0.0
		for h, hyp := range c.priors {
			p += float64(weight(hyp.Cause) * w.joint[h][a])
		}
		out[c.Arrangements[a].ID] = p
		total += p
	}
	for id := range out {
		out[id] /= total
	}
	return out
}

package circuit

import (
	"fmt"
	"math"
	"slices"
)

// MeterOhms is the input resistance of a common digital meter on volts. Basis:
// common practice.
const MeterOhms = 10e6

// MeterOver is the resistance above which a meter shows no reading ("OL").
// Basis: memory.
const MeterOver = 20e6

// What is what an observation tells.
type What string

// The kinds of observation.
const (
	Volts  What = "volts"  // between A and B, with the meter's load
	Ohms   What = "ohms"   // between A and B, supply off, parallel paths and all
	Amps   What = "amps"   // through Element
	Works  What = "works"  // a motor, lamp or heater, a relay that is pulled in: an Effect
	Clicks What = "clicks" // a relay: an Effect
	Bench  What = "bench"  // ohms between terminals A and B of Element, out of the car
)

// A relay clicks when its contacts move. Where something is done to the circuit,
// a plug pulled or a lead laid, it is felt at that moment, with the controls set
// before: it may let go as well as pull in. Else it is felt while the controls
// are set, from rest.

// ohms reports whether it is read with a meter on ohms, the supply off.
func (w What) ohms() bool { return w == Ohms || w == Bench }

// Effect is what is seen, heard or felt of a part.
type Effect int

// The effects, from nothing to most.
const (
	Nothing Effect = iota // stands still, is dark, stays cold, is silent
	Weak                  // slow, dim, lukewarm
	Full                  // runs, is bright, is hot, clicks once
	Reverse               // a motor runs the other way round
	Buzzes                // a relay or what it feeds goes on and off by itself
	Effects = iota
)

// Check is one observation in one setup.
type Check struct {
	Setup   Setup
	What    What
	A, B    string // nodes, for volts and ohms; terminals on the bench
	Element string // for the others
}

// Checks lists every observation of the netlist's setups, in order.
func (c *Circuit) Checks() []Check {
	var out []Check
	for _, s := range c.Setups {
		for _, n := range s.Volts {
			out = append(out, Check{Setup: s, What: Volts, A: n, B: c.Ground})
		}
		for _, p := range s.Across {
			out = append(out, Check{Setup: s, What: Volts, A: p[0], B: p[1]})
		}
		for _, p := range s.Ohms {
			out = append(out, Check{Setup: s, What: Ohms, A: p[0], B: p[1]})
		}
		for _, p := range s.Bench {
			out = append(out, Check{Setup: s.bench(), What: Bench, Element: p[0], A: p[1], B: p[2]})
		}
		for _, e := range s.Amps {
			out = append(out, Check{Setup: s, What: Amps, Element: e})
		}
		for _, e := range s.Watch {
			w := Works
			if c.Elements[c.element[e]].Kind == Relay {
				w = Clicks
			}
			out = append(out, Check{Setup: s, What: w, Element: e})
		}
	}
	return out
}

// Missing is the prediction where the arrangement has no such part or point.
var Missing = math.NaN()

// read returns what a check shows: volts, ohms, amperes, or an Effect.
func (s *solver) read(sc *scene, on, chatter uint64, ch *Check) (float64, error) {
	w := sc.w
	switch ch.What {
	case Volts:
		a, okA := w.node(ch.A)
		b, okB := w.node(ch.B)
		if !okA || !okB {
			return Missing, nil
		}
		v := s.volts[a] - s.volts[b]
		if chatter != 0 {
			// A meter averages what comes and goes.
			v /= 2
		}
		return v * MeterOhms / (MeterOhms + s.m.between(a, b)), nil
	case Ohms:
		a, okA := w.node(ch.A)
		b, okB := w.node(ch.B)
		if !okA || !okB {
			return Missing, nil
		}
		return min(s.m.between(a, b), OpenOhms), nil
	}
	i := w.byElement[s.c.element[ch.Element]]
	if i < 0 {
		return Missing, nil
	}
	switch ch.What {
	case Amps:
		return math.Abs(s.amps(s.main[i])), nil
	case Bench:
		return s.alone(i, ch.A, ch.B), nil
	}
	if ch.What == Clicks && sc.open[i] {
		return float64(Nothing), nil // it lies on the bench
	}
	return float64(s.effect(w, i, on, chatter)), nil
}

// Shares of its rated power below which a load counts as doing nothing, and
// weakly. Basis: memory.
const (
	nothingShare = 0.01
	weakShare    = 0.5
)

// effect tells what a part does.
func (s *solver) effect(w *wired, i int, on, chatter uint64) Effect {
	p := &w.parts[i]
	is := p.bit >= 0 && on>>p.bit&1 == 1
	if p.bit >= 0 && chatter>>p.bit&1 == 1 {
		return Buzzes
	}
	b := &s.branches[s.main[i]]
	v := s.volts[b.a] - s.volts[b.b]
	switch p.e.Kind {
	case Relay:
		if is {
			return Full
		}
		return Nothing
	case Motor:
		inside := v
		if x := s.mods[i].series; x > 0 {
			inside = v * p.e.Ohms / (p.e.Ohms + x)
		}
		switch {
		case !is:
			return Nothing
		case math.Abs(inside) < 0.7*defaultLampV:
			return Weak
		case v < 0:
			return Reverse
		}
		return Full
	}
	if s.mods[i].short || s.mods[i].open {
		return Nothing
	}
	rated := p.e.Watts
	if rated == 0 {
		rated = defaultLampV * defaultLampV / p.e.Ohms
	}
	switch share := math.Abs(v*s.amps(s.main[i])) / rated; {
	case share < nothingShare:
		return Nothing
	case share < weakShare:
		return Weak
	}
	return Full
}

// predict reads checks of one setup and supply state under each of the
// variants and puts what they show.
func (s *solver) predict(variants []variant, checks []Check, off bool, put func(variant, check int, x float64)) error {
	c := s.c
	for a, w := range c.wired {
		var sc *scene
		for v := range variants {
			if variants[v].arrangement != a {
				continue
			}
			if sc == nil {
				sc = c.scene(w, &checks[0].Setup, off)
			}
			if !sc.ok {
				for k := range checks {
					put(v, k, Missing)
				}
				continue
			}
			var on, chatter, before uint64
			var err error
			if c.felt(checks) {
				if before, _, err = s.settle(c.scene(w, &Setup{Set: checks[0].Setup.Set}, off), variants[v].faults, 0); err != nil {
					return err
				}
			}
			switch {
			case off && checks[0].What == Bench:
				// A fuse that lies there went through the setup first.
				if _, _, err = s.settle(c.scene(w, &checks[0].Setup, false), variants[v].faults, 0); err != nil {
					return err
				}
				blown := s.blown
				s.build(sc, variants[v].faults)
				s.show(sc, 0)
				s.blown = blown
			case off:
				s.build(sc, variants[v].faults)
				s.restFilaments(sc)
				s.show(sc, 0)
				err = s.factor(w)
			default:
				on, chatter, err = s.settle(sc, variants[v].faults, 0)
			}
			if err != nil {
				return err
			}
			for k := range checks {
				moved := on
				if checks[k].What == Clicks {
					moved ^= before
				}
				x, err := s.read(sc, moved, chatter, &checks[k])
				if err != nil {
					return err
				}
				put(v, k, x)
			}
		}
	}
	return nil
}

// felt reports whether a click is felt for while something is done.
func (c *Circuit) felt(checks []Check) bool {
	return checks[0].Setup.Acts() && slices.ContainsFunc(checks, func(ch Check) bool { return ch.What == Clicks })
}

// restFilaments sets lamps cold and diodes open, as a meter on ohms finds
// them.
func (s *solver) restFilaments(sc *scene) {
	for _, b := range s.lamps {
		x := &s.branches[b]
		x.g, x.emf = 1/sc.w.parts[x.part].e.Cold, 0
	}
	for i := range s.branches {
		s.branches[i].emf = 0
	}
}

// Predict returns what a check shows under every variant.
func (c *Circuit) Predict(ch Check) ([]float64, error) {
	if err := c.checkCheck(&ch); err != nil {
		return nil, err
	}
	return c.predictIn(c.variants, ch)
}

func (c *Circuit) predictIn(variants []variant, ch Check) ([]float64, error) {
	out := make([]float64, len(variants))
	err := c.newSolver().predict(variants, []Check{ch}, ch.What.ohms(), func(v, _ int, x float64) { out[v] = x })
	return out, err
}

func (c *Circuit) checkCheck(ch *Check) error {
	if err := c.checkUse(&ch.Setup, nil); err != nil {
		return err
	}
	switch ch.What {
	case Volts, Ohms:
		for _, n := range []string{ch.A, ch.B} {
			if !slices.ContainsFunc(c.wired, func(w *wired) bool { _, ok := w.node(n); return ok }) {
				return fmt.Errorf("circuit: there is no node %q", n)
			}
		}
	case Amps, Works, Clicks, Bench:
		i, ok := c.element[ch.Element]
		if !ok {
			return fmt.Errorf("circuit: there is no element %q", ch.Element)
		}
		if k := c.Elements[i].Kind; ch.What == Bench && (!slices.Contains(terminals[k], ch.A) || !slices.Contains(terminals[k], ch.B) || ch.A == ch.B) {
			return fmt.Errorf("circuit: a %s has not the terminals %q and %q", k, ch.A, ch.B)
		}
	default:
		return fmt.Errorf("circuit: nothing observes %q", ch.What)
	}
	return nil
}

// Read returns what a check shows in one arrangement with the faults given:
// volts, ohms (OpenOhms for no path) or amperes, an Effect as a number, or
// Missing.
func (c *Circuit) Read(arrangement string, ch Check, faults ...Faulted) (float64, error) {
	w, err := c.arrangement(arrangement)
	if err != nil {
		return 0, err
	}
	if err := c.checkUse(&ch.Setup, faults); err != nil {
		return 0, err
	}
	if err := c.checkCheck(&ch); err != nil {
		return 0, err
	}
	x, err := c.predictIn([]variant{{arrangement: w.arrangement, faults: faults}}, ch)
	if err != nil {
		return 0, err
	}
	return x[0], nil
}

// Valid reports what is wrong with a check of this circuit, or nil.
func (c *Circuit) Valid(ch Check) error { return c.checkCheck(&ch) }

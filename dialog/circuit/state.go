package circuit

import (
	"math"
	"slices"
	"strconv"
)

// role is what a branch is within its part.
type role uint8

const (
	roleMain    role = iota // between the two terminals; the make contact of a relay
	roleCoil                // coil of a relay
	roleRest                // break contact
	roleField               // D+ of an alternator
	roleSense               // input of a driver or alternator
	roleExtra               // leak, bridge or feed
	roleGenerat             // output of an alternator
)

// branch carries g·(Va − Vb − emf) amperes from a to b.
type branch struct {
	a, b   int
	part   int // -1: an extra
	role   role
	g, emf float64
}

// mod is what a fault or an action does to a part.
type mod struct {
	open, short            bool
	stuckOpen, stuckClosed bool
	coilOpen, coilShort    bool
	seized, flat           bool
	series                 float64
}

// scene is one arrangement in one setup: what does not depend on the fault.
type scene struct {
	w       *wired
	closed  []bool    // switches and changeovers worked
	ohms    []float64 // senders
	open    []bool    // pulled parts, and sources with the supply off
	swapped []bool    // changed for a known good one: no fault touches it
	extras  []branch
	ok      bool // false: the arrangement has no such part or point
}

// settings resolves the controls of a setup.
func (c *Circuit) setting(s *Setup, control string) string {
	if v, ok := s.Set[control]; ok {
		return v
	}
	return c.Controls[c.control[control]].Default
}

// scene makes the scene of a setup; off takes every source out, as a meter on
// ohms needs.
func (c *Circuit) scene(w *wired, s *Setup, off bool) *scene {
	n := len(w.parts)
	sc := &scene{w: w, closed: make([]bool, n), ohms: make([]float64, n), open: make([]bool, n), swapped: make([]bool, n), ok: true}
	for i := range w.parts {
		e := w.parts[i].e
		if e.Control != "" {
			v := c.setting(s, e.Control)
			x, err := strconv.ParseFloat(v, 64)
			sc.closed[i] = slices.Contains(e.Closed, v) || err == nil && (e.Over != nil && x > *e.Over || e.Under != nil && x < *e.Under)
			sc.ohms[i] = e.senderOhms(x)
		}
		if off && (e.Kind == Battery || e.Kind == Alternator) {
			sc.open[i] = e.Kind == Battery
		}
	}
	for _, id := range s.Pulled {
		found := false
		for _, el := range c.Pulls[c.pull[id]].Elements {
			if p := w.byElement[c.element[el]]; p >= 0 {
				sc.open[p], found = true, true
			}
		}
		sc.ok = sc.ok && found
	}
	for _, id := range s.Swapped {
		if p := w.byElement[c.element[id]]; p >= 0 {
			sc.swapped[p] = true
		} else {
			sc.ok = false
		}
	}
	join := func(from, to string, ohms float64) {
		a, okA := w.node(from)
		b, okB := w.node(to)
		if !okA || !okB {
			sc.ok = false
			return
		}
		sc.extras = append(sc.extras, branch{a: a, b: b, part: -1, role: roleExtra, g: 1 / ohms})
	}
	for _, b := range s.Bridged {
		join(b[0], b[1], jumperOhms)
	}
	for _, f := range s.Fed {
		join(c.Supply, f, jumperOhms)
	}
	for _, f := range s.Earthed {
		join(f, c.Ground, jumperOhms)
	}
	return sc
}

// senderOhms is the resistance of a sender at the control's value: a
// thermistor by its beta law, else a straight line.
func (e *Element) senderOhms(x float64) float64 {
	if e.Kind != Sender {
		return 0
	}
	if e.Beta > 0 {
		return e.Ohms * math.Exp(e.Beta*(1/(x+273.15)-1/298.15))
	}
	return max(e.Ohms+e.PerUnit*x, leastOhms)
}

// Faulted is a fault of one element in one size.
type Faulted struct {
	Element string
	Fault   FaultKind
	At      string
	Ohms    float64
}

// mods applies faults to the parts that were not swapped; a leak adds a branch.
func (c *Circuit) mods(sc *scene, faults []Faulted, out []mod, extras []branch) ([]mod, []branch) {
	w := sc.w
	out = append(out[:0], make([]mod, len(w.parts))...)
	for _, f := range faults {
		i := w.byElement[c.element[f.Element]]
		if i < 0 || sc.swapped[i] {
			continue
		}
		m := &out[i]
		p := &w.parts[i]
		at := p.at[0]
		if t := slices.Index(terminals[p.e.Kind], f.At); t >= 0 {
			at = p.at[t]
		}
		switch f.Fault {
		case Open:
			m.open = true
		case High:
			m.series += f.Ohms
		case Short:
			m.short = true
		case Leak:
			if p.e.Kind == Alternator || p.e.Kind == Diode {
				// A leaking rectifier passes current backwards.
				b := p.at[1]
				extras = append(extras, branch{a: p.at[0], b: b, part: -1, role: roleExtra, g: 1 / f.Ohms})
				continue
			}
			if at >= 0 {
				extras = append(extras, branch{a: at, b: 0, part: -1, role: roleExtra, g: 1 / f.Ohms})
			}
		case Grounded:
			if at >= 0 {
				extras = append(extras, branch{a: at, b: 0, part: -1, role: roleExtra, g: 1 / shortOhms})
			}
		case StuckOpen:
			m.stuckOpen = true
		case StuckClosed:
			m.stuckClosed = true
		case CoilOpen:
			m.coilOpen = true
		case CoilShort:
			m.coilShort = true
		case Seized:
			m.seized = true
		case Flat:
			m.flat = true
		}
	}
	return out, extras
}

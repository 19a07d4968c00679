package circuit

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
)

// HarmShare is the probability above which an arrangement is judged.
const HarmShare = 0.005

// HandAmps is the greatest current for a lead held in the hand. Basis: common
// practice.
const HandAmps = 10.0

// Harm is something that an action would do.
type Harm struct {
	Arrangement string
	Element     string
	// Stop means that the action must not be done; otherwise it is to be
	// known.
	Stop bool
	Text string
	// Under is the cause under which alone it happens, empty for the sound
	// circuit.
	Under string
	// Lead is the current of a bridge, 0 for what is no harm of a lead.
	Lead float64
}

// Harm solves the circuit with the action in every arrangement that has at
// least HarmShare, sound and under each of the causes, and compares with the
// same state without it: fuses that blow, drivers and wires that carry more
// than they may, bridges too hot to hold, what must never be touched. Shares
// are the arrangements' probabilities; empty means the netlist's own.
func (c *Circuit) Harm(s Setup, shares map[string]float64, causes ...string) ([]Harm, error) {
	if err := c.checkUse(&s, nil); err != nil {
		return nil, err
	}
	prior, err := c.prior(shares)
	if err != nil {
		return nil, err
	}
	plain := s
	plain.Bridged, plain.Fed, plain.Earthed, plain.Pulled, plain.Swapped = nil, nil, nil, nil, nil
	var out []Harm
	said := map[string]bool{}
	add := func(h Harm) {
		if key := h.Arrangement + "|" + h.Element + "|" + h.Text; !said[key] {
			said[key] = true
			out = append(out, h)
		}
	}
	sv := c.newSolver()
	for a, w := range c.wired {
		if prior[a] < HarmShare {
			continue
		}
		sc := c.scene(w, &s, false)
		if !sc.ok {
			continue
		}
		id := c.Arrangements[a].ID
		for _, h := range c.touched(w, &s) {
			h.Arrangement = id
			add(h)
		}
		type under struct {
			cause  string
			faults []Faulted
		}
		cases := []under{{}}
		for _, cause := range causes {
			faults, _ := c.faultsOf(w, cause)
			for i := range faults {
				cases = append(cases, under{cause, faults[i : i+1]})
			}
		}
		for _, x := range cases {
			faults := x.faults
			before := c.scene(w, &plain, false)
			on, chatter, err := sv.settle(before, faults, 0)
			if err != nil {
				return nil, err
			}
			was := sv.solution(before, on, chatter)
			if on, chatter, err = sv.settle(sc, faults, 0); err != nil {
				return nil, err
			}
			is := sv.solution(sc, on, chatter)
			for _, h := range c.compare(w, was, is) {
				h.Arrangement, h.Under = id, x.cause
				if x.cause != "" && c.Elements[c.element[h.Element]].Kind != Driver {
					h.Stop = false // a fuse does its work: with the part at fault it would as soon as it is fed
				}
				add(h)
			}
			if x.cause != "" {
				continue // the lead is fused for the sound part
			}
			for _, x := range sv.extras {
				i := math.Abs(x.g * (sv.volts[x.a] - sv.volts[x.b]))
				if x.g != 1/jumperOhms || i <= HandAmps {
					continue
				}
				add(Harm{Arrangement: id, Stop: i > leadStop, Lead: i, Text: fmt.Sprintf("the lead would carry %s: %s", Words(Amps, i), leadLasts(i))})
			}
		}
	}
	return out, nil
}

// leadStop is the current from which no lead at all is to be held to it: more
// than a common clip bears. Basis: memory.
const leadStop = 40.0

// leadLasts says what a current does to a thin test lead and which lead and
// fuse it takes.
func leadLasts(amps float64) string {
	const lead = 0.75 // mm²
	text := ""
	switch t := WireSeconds(lead, amps); {
	case math.IsInf(t, 1):
		text = fmt.Sprintf("a thin one of %g mm² gets %.0f °C warm", lead, WireTemp(lead, amps, 25))
	case t < 1:
		text = fmt.Sprintf("a thin one of %g mm² goes soft in less than a second", lead)
	default:
		text = fmt.Sprintf("a thin one of %g mm² goes soft after about %s s", lead, strconv.FormatFloat(roundTo(t, 2), 'f', -1, 64))
	}
	if area, fuse, ok := LeadFor(amps); ok {
		return fmt.Sprintf("%s; take at least %g mm² with a fuse of %g A, clipped on, not held in the hand", text, area, fuse)
	}
	return text
}

// roundTo rounds to so many digits that count.
func roundTo(x float64, digits int) float64 {
	k := math.Pow(10, float64(digits-1)-math.Floor(math.Log10(x)))
	return math.Round(x*k) / k
}

// touched reports parts that must be kept away from.
func (c *Circuit) touched(w *wired, s *Setup) []Harm {
	nodes := map[int]bool{}
	touch := func(name string) {
		if i, ok := w.node(name); ok {
			nodes[i] = true
		}
	}
	for _, b := range s.Bridged {
		touch(b[0])
		touch(b[1])
	}
	for _, n := range slices.Concat(s.Fed, s.Earthed) {
		touch(n)
	}
	var out []Harm
	for i := range w.parts {
		p := &w.parts[i]
		if p.e.Restraint {
			if c.atRestraint(p.e.ID, s) {
				out = append(out, Harm{Element: p.e.ID, Stop: true, Text: p.e.Keep})
			}
			continue
		}
		if p.e.Keep == "" {
			continue
		}
		for _, n := range p.at {
			if n > 0 && nodes[n] && w.nodes[n] != c.Supply {
				out = append(out, Harm{Element: p.e.ID, Stop: true, Text: p.e.Keep})
				break
			}
		}
	}
	return out
}

// atRestraint reports whether a setup unplugs or changes the element, or names
// a terminal of it.
func (c *Circuit) atRestraint(id string, s *Setup) bool {
	own := func(n string) bool { return strings.HasPrefix(n, id+".") || c.amongRestraint(n, id) }
	for _, p := range s.Pulled {
		if slices.Contains(c.Pulls[c.pull[p]].Elements, id) {
			return true
		}
	}
	for _, b := range slices.Concat(s.Bridged, s.Across, s.Ohms) {
		if own(b[0]) || own(b[1]) {
			return true
		}
	}
	return slices.Contains(s.Swapped, id) || slices.ContainsFunc(s.Bench, func(b [3]string) bool { return b[0] == id }) ||
		slices.ContainsFunc(slices.Concat(s.Fed, s.Earthed, s.Volts), own)
}

// amongRestraint reports whether the element ends at a node at which, in some
// arrangement, nothing ends that does not lie at an airbag.
func (c *Circuit) amongRestraint(node, id string) bool {
	if node == c.Ground || node == c.Supply {
		return false
	}
	for a := range c.Arrangements {
		mine, others := false, false
		for el, joins := range c.Arrangements[a].Joins {
			for _, n := range joins {
				if n == node {
					mine = mine || el == id
					others = others || !c.Elements[c.element[el]].Restraint
				}
			}
		}
		if mine && !others {
			return true
		}
	}
	return false
}

// AtRestraint names the element of an airbag or belt tensioner that a check
// would touch, with the reason to leave it; empty if it touches none.
func (c *Circuit) AtRestraint(ch Check) (element, why string) {
	s := ch.Setup
	s.Volts, s.Across, s.Ohms, s.Bench, s.Amps, s.Watch = nil, nil, nil, nil, nil, nil
	switch ch.What {
	case Volts, Ohms:
		s.Ohms = [][2]string{{ch.A, ch.B}}
	case Bench:
		s.Bench = [][3]string{{ch.Element, ch.A, ch.B}}
	case Amps:
		s.Swapped = append(slices.Clone(s.Swapped), ch.Element) // read in line: it is unplugged
	}
	for i := range c.Elements {
		if e := &c.Elements[i]; e.Restraint && c.atRestraint(e.ID, &s) {
			return e.ID, e.Keep
		}
	}
	return "", ""
}

// compare reports what is worse with the action than without it.
func (c *Circuit) compare(w *wired, was, is *Solution) []Harm {
	var out []Harm
	for _, id := range is.Blown {
		if !contains(was.Blown, id) {
			e := &c.Elements[c.element[id]]
			out = append(out, Harm{Element: id, Stop: true, Text: fmt.Sprintf("%s (%g A) would blow", e.Title, e.Rating)})
		}
	}
	for i := range w.parts {
		e := w.parts[i].e
		before, after := math.Abs(was.Amps[i]), math.Abs(is.Amps[i])
		if e.Rating == 0 || after <= e.Rating || after <= before*1.01 {
			continue
		}
		switch e.Kind {
		case Wire:
			out = append(out, Harm{Element: e.ID, Stop: true, Text: fmt.Sprintf("%s would carry %s; it may carry %s", e.Title, Words(Amps, after), Words(Amps, e.Rating))})
		case Driver:
			out = append(out, Harm{Element: e.ID, Stop: true, Text: fmt.Sprintf("%s would carry %s and is made for %s: its output would be destroyed", e.Title, Words(Amps, after), Words(Amps, e.Rating))})
		}
	}
	return out
}

func contains(xs []string, x string) bool {
	for _, y := range xs {
		if y == x {
			return true
		}
	}
	return false
}

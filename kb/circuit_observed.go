package kb

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
)

// CircuitObserved says what a finding of another article is in this circuit.
// Its outcomes are then predicted by the circuit and weigh together with all
// else that was seen there, never twice.
type CircuitObserved struct {
	// Finding is the id of a test or question.
	Finding string `yaml:"finding" json:"finding"`
	// Reading is what the finding's meter reads: a CircuitSight without a
	// value. Its bands are then what its outcomes mean.
	Reading string `yaml:"reading,omitempty" json:"reading,omitempty"`
	// Outcomes maps an outcome to what is then seen, each a CircuitSight, all of
	// them together; "or" between them begins another way to come to the
	// outcome. An outcome left out says nothing of the circuit.
	Outcomes map[string][]string `yaml:"outcomes,omitempty" json:"outcomes,omitempty"`
}

// CircuitOr stands between two ways to come to an outcome.
const CircuitOr = "or"

// CircuitSight is one thing seen in a setup, written as one of
//
//	SETUP volts NODE [VALUE]
//	SETUP across NODE NODE [VALUE]
//	SETUP ohms NODE NODE [VALUE]
//	SETUP bench ELEMENT TERMINAL TERMINAL [VALUE]
//	SETUP amps ELEMENT [VALUE]
//	SETUP ELEMENT EFFECT
//
// VALUE is a range "LOW..HIGH", "open" or "closed" (ohms); EFFECT nothing,
// weak, full, reverse, buzzes, or moves for weak or full. ELEMENT may name
// several with "/" between them: the one that the arrangement has is meant.
type CircuitSight struct {
	Setup    string
	What     string // volts, ohms, bench, amps or works
	A, B     string // nodes, or terminals on the bench; B empty: ground
	Elements []string
	// Low and High bound what is seen, in volts, ohms, amperes or by the
	// number of the effect; both nought where no value is given.
	Low, High float64
	Valued    bool
}

// Circuit effects in the order in which the solver numbers them.
var circuitEffects = []string{"nothing", "weak", "full", "reverse", "buzzes"}

// openFrom is the ohms from which a circuit counts as open, closedTo up to
// which as closed. Basis: common practice.
const (
	openFrom = 1e6
	closedTo = 3.0
)

// ParseCircuitSight reads what CircuitSight describes.
func ParseCircuitSight(s string) (CircuitSight, error) {
	f := strings.Fields(s)
	if len(f) < 3 {
		return CircuitSight{}, fmt.Errorf("%q: write SETUP volts NODE, SETUP ohms NODE NODE or SETUP ELEMENT EFFECT", s)
	}
	x := CircuitSight{Setup: f[0], What: f[1]}
	places := map[string]int{"volts": 1, "across": 2, "ohms": 2, "bench": 3, "amps": 1}
	n, metered := places[f[1]]
	rest := f[2:]
	if !metered {
		x.What, x.Elements, x.Valued = "works", strings.Split(f[1], "/"), true
		if len(rest) != 1 {
			return x, fmt.Errorf("%q: one effect is needed after the element", s)
		}
		if rest[0] == "moves" {
			x.Low, x.High = 1, 2
			return x, nil
		}
		k := slices.Index(circuitEffects, rest[0])
		if k < 0 {
			return x, fmt.Errorf("%q: there is no effect %q, but %s, moves", s, rest[0], strings.Join(circuitEffects, ", "))
		}
		x.Low, x.High = float64(k), float64(k)
		return x, nil
	}
	if len(rest) != n && len(rest) != n+1 {
		return x, fmt.Errorf("%q: %s needs %d names, and perhaps a value", s, f[1], n)
	}
	switch f[1] {
	case "volts":
		x.A = rest[0]
	case "across":
		x.What, x.A, x.B = "volts", rest[0], rest[1]
	case "ohms":
		x.A, x.B = rest[0], rest[1]
	case "bench":
		x.Elements, x.A, x.B = strings.Split(rest[0], "/"), rest[1], rest[2]
	case "amps":
		x.Elements = strings.Split(rest[0], "/")
	}
	if len(rest) == n {
		return x, nil
	}
	x.Valued = true
	switch v := rest[n]; v {
	case "open":
		x.Low, x.High = openFrom, 1e12
	case "closed":
		x.Low, x.High = 0, closedTo
	default:
		low, high, ok := strings.Cut(v, "..")
		var errLow, errHigh error
		x.Low, errLow = strconv.ParseFloat(low, 64)
		x.High, errHigh = strconv.ParseFloat(high, 64)
		if !ok || errLow != nil || errHigh != nil || x.High <= x.Low {
			return x, fmt.Errorf("%q: %q is no value: write LOW..HIGH, open or closed", s, v)
		}
	}
	return x, nil
}

// checkObserved checks what a circuit says of findings of other articles.
func (c *checker) checkObserved(e *entry, a *Circuit, setups, nodes map[string]bool, elements map[string]*CircuitElement) {
	seen := map[string]bool{}
	for i := range a.Observed {
		o, path := &a.Observed[i], p("observed", i)
		f := c.base.Finding(o.Finding)
		if f == nil || f.Kind != FindingTest && f.Kind != FindingQuestion {
			c.fail(e, under(path, "finding"), didYouMean(o.Finding, sortedKeys(c.base.findings)), "there is no test or question %q", o.Finding)
			continue
		}
		c.once(e, under(path, "finding"), o.Finding, seen[o.Finding])
		seen[o.Finding] = true
		if o.Reading == "" && len(o.Outcomes) == 0 {
			c.fail(e, path, "give reading or outcomes", "nothing says what %q is in this circuit", o.Finding)
		}
		sight := func(path []any, s string, valued bool) {
			x, err := ParseCircuitSight(s)
			switch {
			case err != nil:
				c.fail(e, path, "", "%v", err)
				return
			case x.Valued != valued && valued:
				c.fail(e, path, "add LOW..HIGH, open or closed", "%q has no value", s)
			case x.Valued != valued:
				c.fail(e, path, "leave the value out", "%q has a value, but a reading is any value", s)
			case !setups[x.Setup]:
				c.fail(e, path, didYouMean(x.Setup, sortedKeys(setups)), "there is no setup %q", x.Setup)
			}
			for _, id := range x.Elements {
				if elements[id] == nil {
					c.fail(e, path, didYouMean(id, sortedKeys(elements)), "there is no element %q", id)
				}
			}
			if x.What == "volts" || x.What == "ohms" {
				for _, n := range []string{x.A, x.B} {
					if n != "" && !nodes[n] {
						c.fail(e, path, didYouMean(n, sortedKeys(nodes)), "no element ends at node %q", n)
					}
				}
			}
		}
		if o.Reading != "" {
			if f.Reading == nil {
				c.fail(e, under(path, "reading"), "give outcomes instead", "%q is not read off a meter", o.Finding)
			}
			sight(under(path, "reading"), o.Reading, false)
		}
		for _, id := range sortedKeys(o.Outcomes) {
			if f.OutcomeIndex(id) < 0 {
				var ids []string
				for _, out := range f.Outcomes {
					ids = append(ids, out.ID)
				}
				c.fail(e, under(path, "outcomes", id), didYouMean(id, ids), "%q has no outcome %q", o.Finding, id)
			}
			for k, s := range o.Outcomes[id] {
				if s == CircuitOr {
					continue
				}
				sight(under(path, "outcomes", id, k), s, true)
			}
		}
	}
}

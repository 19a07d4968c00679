// Package authored turns circuit articles into netlists that can be solved.
package authored

import (
	"fmt"
	"slices"

	"ruleout/dialog/circuit"
	"ruleout/kb"
)

// Compile makes the circuit of an article ready.
func Compile(a *kb.Circuit) (*circuit.Circuit, error) {
	n, err := Netlist(a)
	if err != nil {
		return nil, err
	}
	c, problems := circuit.Compile(n)
	if len(problems) > 0 {
		return nil, fmt.Errorf("%s: %w", a.ID, problems[0])
	}
	return c, nil
}

// Netlist returns the netlist that an article describes. A sound article, as
// kb.Load leaves them, gives no error.
func Netlist(a *kb.Circuit) (circuit.Netlist, error) {
	n := circuit.Netlist{ID: a.ID, Title: a.Title, Ground: a.Ground, Supply: a.Supply}
	for _, x := range a.Controls {
		n.Controls = append(n.Controls, circuit.Control{ID: x.ID, Title: x.Title, Settings: x.Settings, Unit: x.Unit, Default: x.Default})
	}
	for i := range a.Elements {
		n.Elements = append(n.Elements, element(&a.Elements[i]))
	}
	for i := range a.Arrangements {
		r := &a.Arrangements[i]
		arr := circuit.Arrangement{ID: r.ID, Title: r.Title, Share: r.Share, Tells: r.Tells, Joins: map[string]map[string]string{}}
		for k := range a.Elements {
			e := &a.Elements[k]
			if _, ok := r.Joins[e.ID]; !ok {
				continue
			}
			t, err := r.Terminals(e)
			if err != nil {
				return n, fmt.Errorf("%s: %s: %s: %w", a.ID, r.ID, e.ID, err)
			}
			arr.Joins[e.ID] = t
		}
		n.Arrangements = append(n.Arrangements, arr)
	}
	for _, x := range a.Points {
		n.Points = append(n.Points, circuit.Point{Node: x.Node, Title: x.Title, Reach: x.Reach})
	}
	for _, x := range a.Pulls {
		n.Pulls = append(n.Pulls, circuit.Pull{ID: x.ID, Title: x.Title, Elements: x.Elements})
	}
	for _, x := range a.Setups {
		n.Setups = append(n.Setups, circuit.Setup{
			ID: x.ID, Title: x.Title, Set: x.Set, Swapped: x.Swapped, Pulled: x.Pulled, Bridged: x.Bridged, Fed: x.Fed, Earthed: x.Earthed,
			Volts: x.Volts, Across: x.Across, Ohms: x.Ohms, Bench: x.Bench, Amps: x.Amps, Watch: x.Watch, Minutes: x.Minutes,
		})
	}
	return n, nil
}

// restraintParts lie at an airbag or belt tensioner, whatever circuit they are
// in.
var restraintParts = []string{"airbag-clock-spring", "airbag-or-belt-tensioner", "horn-contact-ring"}

func element(x *kb.CircuitElement) circuit.Element {
	e := circuit.Element{
		ID: x.ID, Title: x.Title, Kind: circuit.Kind(x.Type),
		Volts: x.Volts, Ohms: x.Ohms, Stall: x.Stall, Contact: x.Contact, Watts: x.Watts, Cold: x.Cold, Rating: x.Rating,
		PullIn: x.PullIn, DropOut: x.DropOut, Area: x.Area, Length: x.Length, Beta: x.Beta, PerUnit: x.PerUnit,
		Below: x.Below, Above: x.Above, Tolerance: x.Tolerance,
		Control: x.Control, Closed: x.Closed, Over: x.Over, Under: x.Under, Keep: x.Keep,
	}
	if slices.Contains(restraintParts, x.Part) {
		e.Restraint = true
		if e.Keep == "" {
			e.Keep = "It lies beside an airbag: leave it to a licensed shop."
		}
	}
	for i := range x.Faults {
		f := &x.Faults[i]
		e.Faults = append(e.Faults, circuit.Fault{
			Kind: circuit.FaultKind(f.Fault), At: f.At, Cause: f.CauseID(), Weight: f.Weight, Only: f.Only, From: f.From, To: f.To,
		})
	}
	return e
}

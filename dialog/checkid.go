package dialog

import (
	"slices"
	"strconv"
	"strings"

	"ruleout/dialog/circuit"
)

// A check of a circuit is a finding like any other. Its id says what is seen
// and in which state of the car:
//
//	circuit:CIRCUIT:STATE:WHAT:NAMES
//
// STATE is an authored setup, or "at" with what is set and done, separated by
// ";": key=run, -unplug-switch (a pull), f+r (bridged), >n (fed), <g (earthed),
// *relay (swapped for a known good one). WHAT is volts, ohms, bench, amps,
// works or clicks; NAMES are nodes, or an element with two terminals, joined
// by "~".
const (
	circuitPrefix = "circuit:"
	atState       = "at"
	// doneAtMost is how many things a state may have set or done.
	doneAtMost = 8
	// coldest and hottest bound a number that a control is set to.
	coldest, hottest = -60, 300
)

// checkID names a check of the circuit.
func (w *wiring) checkID(ch circuit.Check) string {
	var names []string
	switch ch.What {
	case circuit.Volts, circuit.Ohms:
		names = []string{ch.A, ch.B}
	case circuit.Bench:
		names = []string{ch.Element, ch.A, ch.B}
	default:
		names = []string{ch.Element}
	}
	return circuitPrefix + w.article.ID + ":" + w.stateID(ch.Setup) + ":" + string(ch.What) + ":" + strings.Join(names, "~")
}

// key names a check by what is done and set, whichever setup lists it: two
// setups that are the same state are one.
func (w *wiring) key(ch circuit.Check) string {
	if ch.What == circuit.Bench {
		ch.Setup.Pulled, ch.Setup.Bridged, ch.Setup.Fed, ch.Setup.Earthed = nil, nil, nil, nil
	}
	raw := w.rawState(ch.Setup)
	ch.Setup = circuit.Setup{ID: raw}
	return raw + ":" + w.checkID(ch)
}

// stateID names a state: by the setup that brings it about where there is one.
func (w *wiring) stateID(s circuit.Setup) string {
	if s.ID != "" && w.setup(s.ID) != nil {
		return s.ID
	}
	id := w.rawState(s)
	for _, x := range w.c.Setups {
		if w.rawState(x) == id {
			return x.ID
		}
	}
	return id
}

// rawState spells a state out, controls at their defaults left away.
func (w *wiring) rawState(s circuit.Setup) string {
	parts := []string{atState}
	for _, x := range w.article.Controls {
		if v, ok := s.Set[x.ID]; ok && v != x.Default {
			parts = append(parts, x.ID+"="+v)
		}
	}
	add := func(list []string, mark string) {
		list = slices.Clone(list)
		slices.Sort(list)
		for _, id := range list {
			parts = append(parts, mark+id)
		}
	}
	add(s.Pulled, "-")
	var pairs []string
	for _, b := range s.Bridged {
		pairs = append(pairs, min(b[0], b[1])+"+"+max(b[0], b[1]))
	}
	add(pairs, "")
	add(s.Fed, ">")
	add(s.Earthed, "<")
	add(s.Swapped, "*")
	return strings.Join(parts, ";")
}

// state reads a state id; false where the circuit has no such thing.
func (w *wiring) state(id string) (circuit.Setup, bool) {
	for _, x := range w.c.Setups {
		if x.ID == id {
			return x, true
		}
	}
	parts := strings.Split(id, ";")
	if parts[0] != atState || len(parts) > doneAtMost+1 {
		return circuit.Setup{}, false
	}
	s := circuit.Setup{Set: map[string]string{}}
	for _, p := range parts[1:] {
		if p == "" {
			return s, false
		}
		control, v, set := strings.Cut(p, "=")
		a, b, joined := strings.Cut(p, "+")
		switch {
		case set:
			if !w.settable(control, v) {
				return s, false
			}
			s.Set[control] = v
		case p[0] == '-':
			if w.pull(p[1:]) == nil {
				return s, false
			}
			s.Pulled = append(s.Pulled, p[1:])
		case p[0] == '>':
			s.Fed = append(s.Fed, p[1:])
		case p[0] == '<':
			s.Earthed = append(s.Earthed, p[1:])
		case p[0] == '*':
			s.Swapped = append(s.Swapped, p[1:])
		case joined:
			s.Bridged = append(s.Bridged, [2]string{a, b})
		default:
			return s, false
		}
	}
	return s, true
}

func (w *wiring) settable(control, v string) bool {
	for _, x := range w.article.Controls {
		if x.ID != control {
			continue
		}
		if len(x.Settings) > 0 {
			return slices.Contains(x.Settings, v)
		}
		n, err := strconv.Atoi(v)
		return err == nil && n >= coldest && n <= hottest
	}
	return false
}

// parseCheck reads the id of a check; false where the circuit can't have it.
func (e *Engine) parseCheck(id string) (*wiring, circuit.Check, bool) {
	f := strings.Split(strings.TrimPrefix(id, circuitPrefix), ":")
	if !strings.HasPrefix(id, circuitPrefix) || len(f) != 4 {
		return nil, circuit.Check{}, false
	}
	w := e.wiringOf(f[0])
	if w == nil {
		return nil, circuit.Check{}, false
	}
	s, ok := w.state(f[1])
	if !ok {
		return nil, circuit.Check{}, false
	}
	ch := circuit.Check{Setup: s, What: circuit.What(f[2])}
	names := strings.Split(f[3], "~")
	want := map[circuit.What]int{circuit.Volts: 2, circuit.Ohms: 2, circuit.Bench: 3, circuit.Amps: 1, circuit.Works: 1, circuit.Clicks: 1}[ch.What]
	if want == 0 || len(names) != want {
		return nil, circuit.Check{}, false
	}
	switch ch.What {
	case circuit.Volts, circuit.Ohms:
		ch.A, ch.B = names[0], names[1]
	case circuit.Bench:
		ch.Element, ch.A, ch.B = names[0], names[1], names[2]
		ch.Setup.Pulled, ch.Setup.Bridged, ch.Setup.Fed, ch.Setup.Earthed = nil, nil, nil, nil
	default:
		ch.Element = names[0]
	}
	if w.c.Valid(ch) != nil {
		return nil, circuit.Check{}, false
	}
	return w, ch, true
}

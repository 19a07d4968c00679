package drawing

import (
	"fmt"
	"math"
	"slices"

	"ruleout/dialog/circuit"
)

// symbol draws a part between (x, a) and (x, b). The shapes are those of the
// trade: a fuse is a box with the wire through it, a resistor a box, a lamp a
// circle with a cross, a motor a circle with its letter, a switch a lever.
func (d *drawer) symbol(e *edge, x, a, b, mid float64) {
	box := func(w float64, class string) {
		fmt.Fprintf(&d.b, `<rect class="%s" x="%.1f" y="%.1f" width="%.1f" height="%.1f"/>`+"\n", class, x-w/2, a, w, b-a)
	}
	ink := func(path string, args ...any) {
		fmt.Fprintf(&d.b, `<path class="ink" d="%s"/>`+"\n", fmt.Sprintf(path, args...))
	}
	if !e.jumper && d.isFault(e) {
		fmt.Fprintf(&d.b, `<rect class="fault" x="%.1f" y="%.1f" width="42" height="%.1f" rx="6"/>`+"\n", x-21, a-5, b-a+10)
	}
	letter := func(s string) {
		fmt.Fprintf(&d.b, `<text class="name" text-anchor="middle" x="%.1f" y="%.1f">%s</text>`+"\n", x, mid+4, s)
	}
	on := ""
	if !e.jumper {
		if v, err := d.c.Read(d.o.Arrangement, circuit.Check{Setup: d.o.Setup, What: circuit.Works, Element: e.e.ID}, d.faults()...); err == nil && v > 0 && e.shape == plain {
			on = " on"
		}
	}
	switch {
	case e.jumper:
		d.line(x, a, x, b, "lead")
		fmt.Fprintf(&d.b, `<circle class="dot" cx="%.1f" cy="%.1f" r="5"/><circle class="dot" cx="%.1f" cy="%.1f" r="5"/>`+"\n", x, a, x, b)
		return
	case d.pulled(e.e.ID):
		ink("M%.1f %.1fh16M%.1f %.1fh16M%.1f %.1fv6M%.1f %.1fv-6", x-8, a+10, x-8, b-10, x, a+4, x, b-4)
		return
	}
	switch e.shape {
	case coil:
		box(30, "sym")
		ink("M%.1f %.1fL%.1f %.1f", x-15, b, x+15, a)
		return
	case contact, resting:
		d.lever(x, a, b, d.closed(e), e.shape == resting)
		return
	case sensing:
		ink("M%.1f %.1fV%.1f", x, a, b)
		fmt.Fprintf(&d.b, `<path class="sym" d="M%.1f %.1fl9 14h-18z"/>`+"\n", x, mid-7)
		return
	case charging:
		box(22, "sym")
		letter("∿")
		return
	}
	switch e.e.Kind {
	case circuit.Battery:
		ink("M%.1f %.1fV%.1fM%.1f %.1fh32M%.1f %.1fh16M%.1f %.1fV%.1f", x, a, mid-5, x-16, mid-5, x-8, mid+5, x, mid+5, b)
		d.text(x-24, mid-4, "pin", "+")
	case circuit.Fuse:
		box(13, "sym")
		if slices.Contains(d.sol.Blown, e.e.ID) || d.isFault(e) && d.o.Fault.Fault == circuit.Open {
			ink("M%.1f %.1fv8M%.1f %.1fv-8", x, a, x, b)
			ink("M%.1f %.1fl8 8m0 -8l-8 8", x-4, mid-4)
		} else {
			ink("M%.1f %.1fV%.1f", x, a, b)
		}
	case circuit.Resistor:
		box(15, "sym"+on)
	case circuit.Heater:
		box(20, "sym"+on)
		ink("M%.1f %.1fh20M%.1f %.1fh20M%.1f %.1fh20", x-10, a+9, x-10, mid, x-10, b-9)
	case circuit.Sender:
		box(15, "sym")
		ink("M%.1f %.1fL%.1f %.1fh8", x-16, b, x+14, a)
	case circuit.Lamp:
		r := (b - a) / 2
		fmt.Fprintf(&d.b, `<circle class="sym%s" cx="%.1f" cy="%.1f" r="%.1f"/>`+"\n", on, x, mid, r)
		k := r * math.Sqrt2 / 2
		ink("M%.1f %.1fL%.1f %.1fM%.1f %.1fL%.1f %.1f", x-k, mid-k, x+k, mid+k, x-k, mid+k, x+k, mid-k)
	case circuit.Motor:
		fmt.Fprintf(&d.b, `<circle class="sym%s" cx="%.1f" cy="%.1f" r="%.1f"/>`+"\n", on, x, mid, (b-a)/2)
		letter("M")
	case circuit.Alternator:
		fmt.Fprintf(&d.b, `<circle class="sym" cx="%.1f" cy="%.1f" r="%.1f"/>`+"\n", x, mid, (b-a)/2)
		letter("G")
	case circuit.Diode:
		ink("M%.1f %.1fV%.1fM%.1f %.1fh18l-9 14zM%.1f %.1fh18M%.1f %.1fV%.1f", x, a, mid-7, x-9, mid-7, x-9, mid+7, x, mid+7, b)
	case circuit.Switch:
		d.lever(x, a, b, d.closed(e), false)
	case circuit.Driver:
		box(30, "sym")
		letter("ECU")
	case circuit.Connector:
		ink("M%.1f %.1fV%.1fM%.1f %.1fl8 7l8 -7M%.1f %.1fl8 7l8 -7M%.1f %.1fV%.1f", x, a, mid-3, x-8, mid-8, x-8, mid-1, x, mid+6, b)
		if d.isFault(e) {
			ink("M%.1f %.1fl8 8m0 -8l-8 8", x+8, mid-4)
		}
	case circuit.Ground:
		ink("M%.1f %.1fV%.1fM%.1f %.1fh24M%.1f %.1fh15M%.1f %.1fh6M%.1f %.1fV%.1f", x, a, mid-6, x-12, mid-6, x-7.5, mid, x-3, mid+6, x, mid+6, b)
	default: // a wire
		ink("M%.1f %.1fV%.1f", x, a, b)
		if d.isFault(e) {
			ink("M%.1f %.1fl10 10m0 -10l-10 10", x-5, mid-5)
		}
	}
}

// lever draws a contact: closed as a straight line with its two points, open
// as a lever that stands off; one that rests closed with its stop.
func (d *drawer) lever(x, a, b float64, shut, rests bool) {
	fmt.Fprintf(&d.b, `<circle class="dot" cx="%.1f" cy="%.1f" r="2.6"/><circle class="dot" cx="%.1f" cy="%.1f" r="2.6"/>`+"\n", x, a+5, x, b-5)
	tip := x - 15
	if shut {
		tip = x
	}
	fmt.Fprintf(&d.b, `<path class="ink" d="M%.1f %.1fV%.1fM%.1f %.1fL%.1f %.1fM%.1f %.1fV%.1f"/>`+"\n", x, a, a+5, x, b-5, tip, a+7, x, b-5, b)
	if rests {
		fmt.Fprintf(&d.b, `<path class="ink" d="M%.1f %.1fh9"/>`+"\n", x, a+5)
	}
}

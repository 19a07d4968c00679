package authored

import (
	"bytes"
	"errors"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"ruleout/dialog/circuit"
	"ruleout/kb"
)

// The circuits against the simulator ngspice, which is given each element in
// its own terms: filaments as a formula, the regulator as an amplifier. What
// switches is set as found, and its coil's current is checked against what the
// simulator says it is.

// metered hangs 10 MΩ on every node, as a meter would: a simulator has no
// answer for nodes that hang on nothing but insulation.
func metered(n circuit.Netlist) circuit.Netlist {
	n.Elements = slices.Clone(n.Elements)
	n.Arrangements = slices.Clone(n.Arrangements)
	known := map[string]bool{}
	for i := range n.Arrangements {
		joins := map[string]map[string]string{}
		nodes := map[string]bool{}
		for id, j := range n.Arrangements[i].Joins {
			joins[id] = j
			for _, x := range j {
				nodes[x] = true
			}
		}
		for x := range nodes {
			if x == n.Ground {
				continue
			}
			id := "meter at " + x
			joins[id] = map[string]string{"a": x, "b": n.Ground}
			if !known[id] {
				known[id] = true
				n.Elements = append(n.Elements, circuit.Element{ID: id, Kind: circuit.Resistor, Ohms: circuit.MeterOhms})
			}
		}
		n.Arrangements[i].Joins = joins
	}
	// In a fixed order, whatever the maps gave.
	slices.SortStableFunc(n.Elements, func(a, b circuit.Element) int {
		ma, mb := strings.HasPrefix(a.ID, "meter at "), strings.HasPrefix(b.ID, "meter at ")
		switch {
		case ma && mb:
			return strings.Compare(a.ID, b.ID)
		case ma:
			return 1
		case mb:
			return -1
		}
		return 0
	})
	return n
}

// deck collects cases as separate nets of one simulation.
type deck struct {
	net   strings.Builder
	print []string
	check []func(got map[string]float64)
	cases int
}

// add writes one case and notes what is to be compared.
func (d *deck) add(t *testing.T, c *circuit.Circuit, a *circuit.Arrangement, s circuit.Setup, faults []circuit.Faulted, sol *circuit.Solution) {
	k := d.cases
	d.cases++
	what := fmt.Sprintf("%s, %s, %s, %v", c.Netlist.ID, a.ID, s.ID, faults)
	number := map[string]int{c.Ground: 0}
	node := func(n string) string {
		if n == c.Ground {
			return "0"
		}
		i, ok := number[n]
		if !ok {
			i = len(number)
			number[n] = i
		}
		return fmt.Sprintf("n%d_%d", k, i)
	}
	parts := 0
	resistor := func(x, y string, ohms float64) string {
		parts++
		name := fmt.Sprintf("r%d_%d", k, parts)
		fmt.Fprintf(&d.net, "%s %s %s %.12g\n", name, x, y, ohms)
		return name
	}
	fault := func(id string, kind circuit.FaultKind) (float64, bool) {
		for _, f := range faults {
			if f.Element == id && f.Fault == kind && !slices.Contains(s.Swapped, id) {
				return f.Ohms, true
			}
		}
		return 0, false
	}
	setting := func(control string) string {
		if v, ok := s.Set[control]; ok {
			return v
		}
		for _, x := range c.Controls {
			if x.ID == control {
				return x.Default
			}
		}
		return ""
	}
	pulled := map[string]bool{}
	for _, id := range s.Pulled {
		for _, p := range c.Pulls {
			if p.ID == id {
				for _, e := range p.Elements {
					pulled[e] = true
				}
			}
		}
	}
	names := map[string]string{} // element -> resistor that carries its current
	var consistent []func(v func(string) float64) string
	for i := range c.Elements {
		e := &c.Elements[i]
		j, ok := a.Joins[e.ID]
		if !ok {
			continue
		}
		_, open := fault(e.ID, circuit.Open)
		open = open || pulled[e.ID]
		_, short := fault(e.ID, circuit.Short)
		high, _ := fault(e.ID, circuit.High)
		_, stuckOpen := fault(e.ID, circuit.StuckOpen)
		_, stuckClosed := fault(e.ID, circuit.StuckClosed)
		contact := func(shut bool) float64 {
			if !shut || open {
				return circuit.OpenOhms
			}
			return e.Contact + high
		}
		worked := func() bool {
			v := setting(e.Control)
			x, err := strconv.ParseFloat(v, 64)
			return slices.Contains(e.Closed, v) || err == nil && (e.Over != nil && x > *e.Over || e.Under != nil && x < *e.Under)
		}
		plain := func(ohms float64) {
			switch {
			case open:
				ohms = circuit.OpenOhms
			case short:
				ohms = 0.01
			}
			names[e.ID] = resistor(node(j["a"]), node(j["b"]), ohms+high)
		}
		on := sol.IsOn(e.ID)
		switch e.Kind {
		case circuit.Battery:
			volts, ohms := e.Volts, e.Ohms
			if _, flat := fault(e.ID, circuit.Flat); flat {
				volts, ohms = 10.8, 0.15
			}
			inner := fmt.Sprintf("n%d_b%d", k, i)
			if open {
				ohms = circuit.OpenOhms
			}
			fmt.Fprintf(&d.net, "v%d_%d %s %s %.12g\n", k, i, inner, node(j["-"]), volts)
			names[e.ID] = resistor(node(j["+"]), inner, ohms+high)
		case circuit.Lamp:
			if open || short {
				plain(0)
				break
			}
			x, y := node(j["a"]), node(j["b"])
			fmt.Fprintf(&d.net, "b%d_%d %s %s i = v(%s,%s)/max(%.12g, %.12g*pow(abs(v(%s,%s))/%.12g, 0.45))\n", k, i, x, y, x, y, e.Cold, e.Ohms, x, y, e.Volts)
		case circuit.Sender:
			x, _ := strconv.ParseFloat(setting(e.Control), 64)
			ohms := e.Ohms + e.PerUnit*x
			if e.Beta > 0 {
				ohms = e.Ohms * math.Exp(e.Beta*(1/(x+273.15)-1/298.15))
			}
			plain(ohms)
		case circuit.Motor:
			ohms := e.Stall
			if on {
				ohms = e.Ohms
			}
			if open {
				ohms = circuit.OpenOhms
			}
			names[e.ID] = resistor(node(j["+"]), node(j["-"]), ohms+high)
			_, seized := fault(e.ID, circuit.Seized)
			x, y, total := node(j["+"]), node(j["-"]), ohms+high
			consistent = append(consistent, func(v func(string) float64) string {
				amps := math.Abs(v(x)-v(y)) / total
				if !seized && (on && amps < e.DropOut*0.999 || !on && amps > e.PullIn*1.001) {
					return fmt.Sprintf("%s takes %v A, turning: %v", e.ID, amps, on)
				}
				return ""
			})
		case circuit.Switch:
			names[e.ID] = resistor(node(j["a"]), node(j["b"]), contact((worked() || stuckClosed) && !stuckOpen))
		case circuit.Changeover:
			is := (worked() || stuckClosed) && !stuckOpen
			if n, ok := j["rest"]; ok {
				resistor(node(j["c"]), node(n), contact(!is))
			}
			if n, ok := j["worked"]; ok {
				names[e.ID] = resistor(node(j["c"]), node(n), contact(is))
			}
		case circuit.Relay:
			coil := e.Ohms
			if _, x := fault(e.ID, circuit.CoilOpen); x || open {
				coil = circuit.OpenOhms
			}
			x, y := node(j["86"]), node(j["85"])
			resistor(x, y, coil)
			consistent = append(consistent, func(v func(string) float64) string {
				amps := math.Abs(v(x)-v(y)) / coil
				if on && amps < e.DropOut*0.999 || !on && amps > e.PullIn*1.001 {
					return fmt.Sprintf("%s has %v A in its coil, pulled in: %v", e.ID, amps, on)
				}
				return ""
			})
			make87, hasMake := j["87"]
			if hasMake {
				names[e.ID] = resistor(node(j["30"]), node(make87), contact((on || stuckClosed) && !stuckOpen))
			}
			if n, ok := j["87a"]; ok {
				shut := !on && !stuckClosed
				if !hasMake {
					shut = !on || stuckClosed
				}
				r := resistor(node(j["30"]), node(n), contact(shut && !stuckOpen))
				if !hasMake {
					names[e.ID] = r
				}
			}
		case circuit.Driver:
			names[e.ID] = resistor(node(j["out"]), node(j["com"]), contact((on || stuckClosed) && !stuckOpen))
			if n, ok := j["sense"]; ok {
				resistor(node(n), node(j["com"]), 1e5)
				x, y := node(n), node(j["com"])
				consistent = append(consistent, func(v func(string) float64) string {
					if in := v(x) - v(y); (in < e.Below || in > e.Above) != on {
						return fmt.Sprintf("%s sees %v V, conducts: %v", e.ID, in, on)
					}
					return ""
				})
			}
		case circuit.Alternator:
			d.alternator(k, i, e, j, node, resistor, sol, on, high, open, stuckClosed)
			if leak, ok := fault(e.ID, circuit.Leak); ok {
				resistor(node(j["B+"]), node(j["B-"]), leak)
			}
		default:
			plain(e.Ohms)
		}
		if slices.Contains(sol.Blown, e.ID) {
			// Written again as open: the simulator takes the last value.
			d.print = append(d.print, fmt.Sprintf("alter %s = 1e12", names[e.ID]))
		}
		for _, f := range faults {
			if f.Element != e.ID || e.Kind == circuit.Alternator || slices.Contains(s.Swapped, e.ID) {
				continue
			}
			at := f.At
			if at == "" {
				at = circuit.Terminals(e.Kind)[0]
			}
			switch f.Fault {
			case circuit.Leak:
				resistor(node(j[at]), "0", f.Ohms)
			case circuit.Grounded:
				resistor(node(j[at]), "0", 0.01)
			}
		}
	}
	at := func(name string) string { // a node, or a part's terminal
		el, terminal, ok := strings.Cut(name, ".")
		if !ok {
			return node(name)
		}
		if n := a.Joins[el][terminal]; n != "" || terminal != "87" {
			return node(n)
		}
		return node(a.Joins[el]["87a"])
	}
	for _, b := range s.Bridged {
		resistor(at(b[0]), at(b[1]), 0.02)
	}
	for _, n := range s.Fed {
		resistor(node(c.Supply), node(n), 0.02)
	}
	for _, n := range s.Earthed {
		resistor(node(n), "0", 0.02)
	}
	for _, n := range sol.Nodes[1:] {
		d.print = append(d.print, "print v("+node(n)+")")
	}
	for _, id := range sol.Parts {
		if r, ok := names[id]; ok {
			d.print = append(d.print, "print @"+r+"[i]")
		}
	}
	d.check = append(d.check, func(got map[string]float64) {
		for i, n := range sol.Nodes[1:] {
			v, ok := got["v("+node(n)+")"]
			if want := sol.Volts[i+1]; !ok || math.Abs(v-want) > 1e-3*math.Abs(v)+1e-5 {
				t.Errorf("%s: %s is at %v V, the simulator says %v (%v)", what, n, want, v, ok)
			}
		}
		for i, id := range sol.Parts {
			r, ok := names[id]
			if !ok {
				continue
			}
			a, ok := got["@"+r+"[i]"]
			if want := sol.Amps[i]; !ok || math.Abs(math.Abs(a)-math.Abs(want)) > 1e-3*math.Abs(a)+1e-5 {
				t.Errorf("%s: %s carries %v A, the simulator says %v (%v)", what, id, want, a, ok)
			}
		}
		for _, f := range consistent {
			if wrong := f(func(n string) float64 { return got["v("+n+")"] }); wrong != "" {
				t.Errorf("%s: %s", what, wrong)
			}
		}
	})
}

// alternator writes an amplifier of great gain that holds the sensed node, or
// a source at the top of its range.
func (d *deck) alternator(k, i int, e *circuit.Element, j map[string]string, node func(string) string, resistor func(x, y string, ohms float64) string, sol *circuit.Solution, on bool, high float64, open, full bool) {
	base31, plus := node(j["B-"]), node(j["B+"])
	sense := plus
	if n, ok := j["S"]; ok {
		resistor(node(n), base31, 1e5)
		sense = node(n)
	}
	field := e.Ohms
	if open {
		field = circuit.OpenOhms
	}
	inner := fmt.Sprintf("n%d_e%d", k, i)
	amps, _ := sol.Amp(e.ID)
	if !on {
		resistor(plus, base31, circuit.OpenOhms)
		if n, ok := j["D+"]; ok {
			resistor(node(n), base31, field)
		}
		return
	}
	at := j["B+"]
	if n, ok := j["S"]; ok {
		at = n
	}
	v, _ := sol.Volt(at)
	base, _ := sol.Volt(j["B-"])
	if full || math.Abs(v-base-e.Volts) > 1e-6 {
		fmt.Fprintf(&d.net, "v%d_%d %s %s 16.5\n", k, i, inner, base31)
	} else {
		reference := fmt.Sprintf("n%d_f%d", k, i)
		fmt.Fprintf(&d.net, "v%d_%d %s %s %.12g\n", k, i, reference, base31, e.Volts)
		fmt.Fprintf(&d.net, "e%d_%d %s %s %s %s 1e5\n", k, i, inner, base31, reference, sense)
	}
	ohms := 0.03 + high
	if amps < 1e-9 {
		ohms = circuit.OpenOhms
	}
	resistor(inner, plus, ohms)
	if n, ok := j["D+"]; ok {
		resistor(inner, node(n), field)
	}
}

// run simulates the deck and checks every case.
func (d *deck) run(t *testing.T, spice string) {
	if d.cases == 0 {
		return
	}
	var alter, prints []string
	for _, p := range d.print {
		if strings.HasPrefix(p, "alter") {
			alter = append(alter, p)
		} else {
			prints = append(prints, p)
		}
	}
	text := "circuits\n.options reltol=1e-9 abstol=1e-12 vntol=1e-9 gmin=1e-15 itl1=2000\n" + d.net.String() +
		".control\nset numdgt=12\n" + strings.Join(alter, "\n") + "\nop\n" + strings.Join(prints, "\n") + "\n.endc\n.end\n"
	file := filepath.Join(t.TempDir(), "deck.cir")
	if err := os.WriteFile(file, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	out, err := exec.Command(spice, "-b", file).Output()
	if err != nil && len(out) == 0 {
		t.Fatal("ngspice: ", err)
	}
	got := map[string]float64{}
	for _, line := range bytes.Split(out, []byte("\n")) {
		name, value, ok := strings.Cut(string(line), " = ")
		if x, err := strconv.ParseFloat(strings.TrimSpace(value), 64); ok && err == nil {
			got[strings.TrimSpace(name)] = x
		}
	}
	if len(got) == 0 {
		t.Fatalf("ngspice says nothing: %.2000s", out)
	}
	for _, f := range d.check {
		f(got)
	}
}

// states lists every combination of the controls' settings; numbers are tried
// cold, in between and hot.
func states(c *circuit.Circuit) []circuit.Setup {
	out := []circuit.Setup{{ID: "controls"}}
	for _, x := range c.Controls {
		settings := x.Settings
		if len(settings) == 0 {
			settings = []string{"-10", "20", "95", "105"}
		}
		var more []circuit.Setup
		for _, s := range out {
			for _, v := range settings {
				set := map[string]string{x.ID: v}
				for k, w := range s.Set {
					set[k] = w
				}
				more = append(more, circuit.Setup{ID: s.ID + " " + v, Set: set})
			}
		}
		out = more
	}
	return out
}

// faultsIn lists every fault that the article gives an element of the
// arrangement, in the least, middle and greatest size, and none.
func faultsIn(c *circuit.Circuit, a *circuit.Arrangement) [][]circuit.Faulted {
	out := [][]circuit.Faulted{nil}
	for _, e := range c.Elements {
		if _, ok := a.Joins[e.ID]; !ok {
			continue
		}
		for _, f := range e.Faults {
			if len(f.Only) > 0 && !slices.Contains(f.Only, a.ID) {
				continue
			}
			sizes := f.Magnitudes()
			if len(sizes) == 5 {
				sizes = []float64{sizes[0], sizes[2], sizes[4]}
			}
			for _, ohms := range sizes {
				out = append(out, []circuit.Faulted{{Element: e.ID, Fault: f.Kind, At: f.At, Ohms: ohms}})
			}
		}
	}
	return out
}

func TestAgainstSimulator(t *testing.T) {
	spice, err := exec.LookPath("ngspice")
	if err != nil {
		if os.Getenv("CI") != "" {
			t.Fatal("ngspice is not installed")
		}
		t.Skip("ngspice is not installed: the circuits are not compared with it")
	}
	// All of them take minutes: outside of CI every tenth case is tried.
	every := 10
	if os.Getenv("CI") != "" {
		every = 1
	}
	b, _ := kb.Embedded()
	cases, chatter, at := 0, 0, 0
	for _, article := range b.Circuits {
		n, err := Netlist(article)
		if err != nil {
			t.Fatal(err)
		}
		c, problems := circuit.Compile(metered(n))
		if len(problems) > 0 {
			t.Fatal(problems[0])
		}
		t.Run(article.ID, func(t *testing.T) {
			d := &deck{}
			size := 40
			if slices.ContainsFunc(c.Elements, func(e circuit.Element) bool { return e.Kind == circuit.Alternator }) {
				size = 1 // many amplifiers at once do not converge there
			}
			for i := range c.Arrangements {
				a := &c.Arrangements[i]
				for _, s := range append(states(c), c.Setups...) {
					for _, faults := range faultsIn(c, a) {
						if at++; at%every != 0 {
							continue
						}
						sol, err := c.Solve(a.ID, s, faults...)
						if err != nil {
							if errors.Is(err, circuit.ErrLacks) {
								continue
							}
							t.Fatal(err)
						}
						if len(sol.Chatters) > 0 {
							chatter++
							continue
						}
						d.add(t, c, a, s, faults, sol)
						cases++
						if d.cases == size {
							d.run(t, spice)
							d = &deck{}
						}
					}
				}
			}
			d.run(t, spice)
		})
	}
	t.Logf("%d cases compared, %d passed over because something goes on and off", cases, chatter)
}

package circuit

import (
	"errors"
	"math"
	"slices"
	"testing"
)

// two is a part with two terminals.
func two(a, b string) map[string]string { return map[string]string{"a": a, "b": b} }
func poles(a, b string) map[string]string {
	return map[string]string{"+": a, "-": b}
}

// plain makes a circuit of one arrangement.
func plain(t testing.TB, elements []Element, joins map[string]map[string]string, more ...func(*Netlist)) *Circuit {
	t.Helper()
	n := Netlist{ID: "plain", Ground: "0", Supply: "b", Elements: elements, Arrangements: []Arrangement{{ID: "only", Share: 1, Joins: joins}}}
	for _, f := range more {
		f(&n)
	}
	c, ps := Compile(n)
	for _, p := range ps {
		t.Error(p)
	}
	if c == nil {
		t.FailNow()
	}
	return c
}

func solved(t testing.TB, c *Circuit, s Setup, faults ...Faulted) *Solution {
	t.Helper()
	sol, err := c.Solve(c.Arrangements[0].ID, s, faults...)
	if err != nil {
		t.Fatal(err)
	}
	return sol
}

func wantVolts(t *testing.T, what string, s *Solution, want map[string]float64) {
	t.Helper()
	for _, n := range sortedKeys(want) {
		if v, ok := s.Volt(n); !ok || math.Abs(v-want[n]) > 1e-6 {
			t.Errorf("%s: %s is at %.9f V, want %.9f", what, n, v, want[n])
		}
	}
}

func wantAmps(t *testing.T, what string, s *Solution, want map[string]float64) {
	t.Helper()
	for _, e := range sortedKeys(want) {
		if a, ok := s.Amp(e); !ok || math.Abs(a-want[e]) > 1e-6 {
			t.Errorf("%s: %s carries %.9f A, want %.9f", what, e, a, want[e])
		}
	}
}

// Kuphaldt, Lessons in Electric Circuits, vol. I, ch. 10, branch-current
// method: 28 V and 7 V over 4, 2 and 1 ohm. The sources have next to no
// resistance; the book's figures are for none at all.
func TestPublishedExample(t *testing.T) {
	const least = 1e-4 // ohms, taken off the resistors beside the sources
	c := plain(t, []Element{
		{ID: "v1", Kind: Battery, Volts: 28, Ohms: least}, {ID: "v2", Kind: Battery, Volts: 7, Ohms: least},
		{ID: "r1", Kind: Resistor, Ohms: 4 - least}, {ID: "r2", Kind: Resistor, Ohms: 2}, {ID: "r3", Kind: Resistor, Ohms: 1 - least},
	}, map[string]map[string]string{"v1": poles("1", "0"), "v2": poles("3", "0"), "r1": two("1", "2"), "r2": two("2", "0"), "r3": two("2", "3")})
	s := solved(t, c, Setup{})
	wantVolts(t, "book", s, map[string]float64{"2": 8})
	wantAmps(t, "book", s, map[string]float64{"r1": 5, "r2": 4, "r3": 1})
}

// fan is the constructed relay circuit: 0.02 ohm inside 12 V, a load branch of
// 1 ohm, a coil branch of 80.
func fan(t testing.TB) *Circuit {
	return plain(t, []Element{
		{ID: "battery", Kind: Battery, Volts: 12, Ohms: 0.02},
		{ID: "fuse", Kind: Fuse, Ohms: 0.005, Rating: 1000},
		{ID: "relay", Kind: Relay, Ohms: 79.5, Contact: 0.015, PullIn: 0.08, DropOut: 0.03},
		{ID: "wire", Kind: Wire, Ohms: 0.02},
		{ID: "motor", Kind: Motor, Ohms: 0.94, Stall: 0.20, PullIn: 1, DropOut: 0.5},
		{ID: "ground", Kind: Ground, Ohms: 0.02},
		{ID: "switch", Kind: Switch, Contact: 0.5, Control: "key", Closed: []string{"run"}},
	}, map[string]map[string]string{
		"battery": poles("b", "0"), "fuse": two("b", "f"), "relay": {"30": "f", "87": "k", "86": "s", "85": "0"},
		"wire": two("k", "m"), "motor": poles("m", "g"), "ground": two("g", "0"), "switch": two("b", "s"),
	}, func(n *Netlist) {
		n.Controls = []Control{{ID: "key", Settings: []string{"off", "run"}, Default: "off"}}
		n.Points = []Point{{Node: "m", Title: "fan plug, plus side", Reach: "back"}}
	})
}

func TestFanByHand(t *testing.T) {
	c := fan(t)
	run := Setup{Set: map[string]string{"key": "run"}}
	for _, x := range []struct {
		what   string
		faults []Faulted
		volts  map[string]float64
		load   float64
	}{
		{"healthy", nil, map[string]float64{"b": 48000. / 4081, "f": 11.703013967, "k": 11.526586621, "m": 11.291350159, "g": 960. / 4081, "s": 11.688311688}, 11.761823083},
		{"bad ground", []Faulted{{Element: "ground", Fault: High, Ohms: 1}}, map[string]float64{"b": 16000. / 1347, "f": 11.848552339, "k": 11.759465479, "m": 11.640682999, "g": 2720. / 449, "s": 11.804008909}, 5.939123979},
		{"burnt contact", []Faulted{{Element: "relay", Fault: High, Ohms: 0.5}}, map[string]float64{"b": 144000. / 12163, "f": 11.799720464, "k": 7.734933816, "m": 7.577078024, "g": 0.157855792, "s": 11.765189509}, 7.892789608},
		{"motor stalled", []Faulted{{Element: "motor", Fault: Seized}}, map[string]float64{"b": 208000. / 18671, "f": 10.926035028, "k": 10.283327085, "m": 9.426383161, "g": 0.856943924, "s": 11.070644315}, 42.847196187},
		{"fuse open", []Faulted{{Element: "fuse", Fault: Open}}, map[string]float64{"b": 11.997000750, "f": 0, "k": 0, "m": 0, "g": 0, "s": 11.922019495}, 0},
		{"ground open", []Faulted{{Element: "ground", Fault: Open}}, map[string]float64{"b": 11.997000750, "f": 11.997000750, "k": 11.997000750, "m": 11.997000750, "g": 11.997000750, "s": 11.922019495}, 0},
		{"switch open", []Faulted{{Element: "switch", Fault: StuckOpen}}, map[string]float64{"b": 12, "f": 12, "k": 0, "m": 0, "g": 0, "s": 0}, 0},
	} {
		s := solved(t, c, run, x.faults...)
		wantVolts(t, x.what, s, x.volts)
		wantAmps(t, x.what, s, map[string]float64{"fuse": x.load})
	}
}

// A short at the motor's feed, 1 mΩ to ground, as a part of its own: the
// motor turns at no volts worth the name, so its branch is taken as turning.
func TestShortByHand(t *testing.T) {
	c := plain(t, []Element{
		{ID: "battery", Kind: Battery, Volts: 12, Ohms: 0.02}, {ID: "fuse", Kind: Fuse, Ohms: 0.005, Rating: 1e6},
		{ID: "contact", Kind: Resistor, Ohms: 0.015}, {ID: "wire", Kind: Wire, Ohms: 0.02}, {ID: "motor", Kind: Resistor, Ohms: 0.94},
		{ID: "ground", Kind: Ground, Ohms: 0.02}, {ID: "short", Kind: Resistor, Ohms: 0.001}, {ID: "switch", Kind: Resistor, Ohms: 0.5}, {ID: "coil", Kind: Resistor, Ohms: 79.5},
	}, map[string]map[string]string{
		"battery": poles("b", "0"), "fuse": two("b", "f"), "contact": two("f", "k"), "wire": two("k", "m"), "motor": two("m", "g"),
		"ground": two("g", "0"), "short": two("m", "0"), "switch": two("b", "s"), "coil": two("s", "0"),
	})
	s := solved(t, c, Setup{})
	wantVolts(t, "short", s, map[string]float64{"b": 8.064151622, "f": 7.080693538, "k": 4.130319283, "m": 0.196486943, "g": 0.004093478, "s": 8.013750675})
	wantAmps(t, "short", s, map[string]float64{"fuse": 196.691616983, "battery": -196.792418879})
}

func TestSharedGroundByHand(t *testing.T) {
	for _, x := range []struct{ rg, g, t, a float64 }{
		{0.05, 2304. / 26711, 0.043128299, 1.726629478}, {10, 57600. / 8687, 3.315298722, 0.778174283}, {OpenOhms, 2304. / 215, 5.358139535, 0.186046512},
	} {
		const least = 1e-4
		c := plain(t, []Element{
			{ID: "battery", Kind: Battery, Volts: 12, Ohms: least}, {ID: "lamp", Kind: Resistor, Ohms: 6.9 - least}, {ID: "ground", Kind: Ground, Ohms: x.rg},
			{ID: "tail", Kind: Resistor, Ohms: 28.8}, {ID: "other", Kind: Resistor, Ohms: 28.8},
		}, map[string]map[string]string{"battery": poles("b", "0"), "lamp": two("b", "g"), "ground": two("g", "0"), "tail": two("g", "t"), "other": two("t", "0")})
		s := solved(t, c, Setup{})
		wantVolts(t, "shared ground", s, map[string]float64{"g": x.g, "t": x.t})
		wantAmps(t, "shared ground", s, map[string]float64{"battery": -x.a})
	}
}

func TestOthersByHand(t *testing.T) {
	bridge := plain(t, []Element{
		{ID: "battery", Kind: Battery, Volts: 12, Ohms: 1e-4}, {ID: "ax", Kind: Resistor, Ohms: 100}, {ID: "x0", Kind: Resistor, Ohms: 200},
		{ID: "ay", Kind: Resistor, Ohms: 300}, {ID: "y0", Kind: Resistor, Ohms: 400}, {ID: "xy", Kind: Resistor, Ohms: 50},
	}, map[string]map[string]string{"battery": poles("a", "0"), "ax": two("a", "x"), "x0": two("x", "0"), "ay": two("a", "y"), "y0": two("y", "0"), "xy": two("x", "y")})
	s := solved(t, bridge, Setup{})
	// 0.1 mΩ of battery at 57.5 mA shifts everything by 6 µV at most.
	for n, v := range map[string]float64{"x": 936. / 121, "y": 912. / 121} {
		if got, _ := s.Volt(n); math.Abs(got-v) > 6e-6 {
			t.Errorf("bridge: %s is at %v, want %v", n, got, v)
		}
	}
	wantAmps(t, "bridge", s, map[string]float64{"xy": 3.966942e-3, "battery": -57.520661e-3})

	crank := plain(t, []Element{
		{ID: "battery", Kind: Battery, Volts: 12.6, Ohms: 0.01}, {ID: "cable", Kind: Wire, Ohms: 0.005}, {ID: "emf", Kind: Battery, Volts: 6, Ohms: 0.02}, {ID: "lamp", Kind: Resistor, Ohms: 2.4},
	}, map[string]map[string]string{"battery": poles("b", "0"), "cable": two("b", "m"), "emf": poles("m", "0"), "lamp": two("b", "0")})
	s = solved(t, crank, Setup{})
	wantVolts(t, "cranking", s, map[string]float64{"b": 3600. / 337, "m": 9.745994065})
	wantAmps(t, "cranking", s, map[string]float64{"cable": 187.299703, "battery": -191.750742})

	divider := plain(t, []Element{{ID: "battery", Kind: Battery, Volts: 12, Ohms: 1e-4}, {ID: "top", Kind: Resistor, Ohms: 4700}, {ID: "low", Kind: Resistor, Ohms: 2200}},
		map[string]map[string]string{"battery": poles("b", "0"), "top": two("b", "m"), "low": two("m", "0")})
	wantVolts(t, "unloaded", solved(t, divider, Setup{}), map[string]float64{"m": 3.826086957})
	v, err := divider.Read("only", Check{What: Volts, A: "m", B: "0"})
	if err != nil || math.Abs(v-3.825513684) > 1e-6 {
		t.Errorf("a meter shows %v, want 3.825513684 (%v)", v, err)
	}
	// Supply off: 4.7 kΩ hangs in the air, 2.2 kΩ is left.
	if r, err := divider.Read("only", Check{What: Ohms, A: "m", B: "0"}); err != nil || math.Abs(r-2200) > 1e-3 {
		t.Errorf("ohms %v, want 2200 (%v)", r, err)
	}
}

// Through a lamp that is still fitted an ohmmeter reads the lamp, cold.
func TestOhmsSeeParallelPaths(t *testing.T) {
	c := plain(t, []Element{{ID: "battery", Kind: Battery}, {ID: "switch", Kind: Switch, Control: "key", Closed: []string{"run"}},
		{ID: "lamp", Kind: Lamp, Watts: 21, Volts: 12, Cold: 0.6}, {ID: "wire", Kind: Wire, Ohms: 0.02}},
		map[string]map[string]string{"battery": poles("b", "0"), "switch": two("b", "s"), "wire": two("s", "l"), "lamp": two("l", "0")},
		func(n *Netlist) {
			n.Controls = []Control{{ID: "key", Settings: []string{"off", "run"}, Default: "off"}}
		})
	if r, err := c.Read("only", Check{What: Ohms, A: "s", B: "0"}); err != nil || math.Abs(r-0.62) > 1e-9 {
		t.Errorf("ohms %v, want 0.62 (%v)", r, err)
	}
	if r, err := c.Read("only", Check{What: Ohms, A: "b", B: "s"}); err != nil || r < MeterOver {
		t.Errorf("an open switch reads %v (%v)", r, err)
	}
}

// A relay that cuts its own coil goes on and off.
func TestChatter(t *testing.T) {
	c := plain(t, []Element{{ID: "battery", Kind: Battery}, {ID: "relay", Kind: Relay}, {ID: "load", Kind: Resistor, Ohms: 10}},
		map[string]map[string]string{"battery": poles("b", "0"), "relay": {"30": "b", "87a": "x", "86": "x", "85": "0"}, "load": two("x", "0")})
	s := solved(t, c, Setup{})
	if !slices.Equal(s.Chatters, []string{"relay"}) {
		t.Errorf("chatters: %v", s.Chatters)
	}
	if v, _ := c.Read("only", Check{What: Clicks, Element: "relay"}); Effect(v) != Buzzes {
		t.Errorf("the relay does %v, want a buzz", v)
	}
}

// A relay that holds itself stays in once it is in, and out from rest.
func TestPullInAndDropOut(t *testing.T) {
	for _, x := range []struct {
		volts float64
		on    bool
	}{{6.9, false}, {7.2, true}} {
		c := plain(t, []Element{{ID: "battery", Kind: Battery, Volts: x.volts, Ohms: 0.01}, {ID: "relay", Kind: Relay, Ohms: 80, PullIn: 7. / 80, DropOut: 3. / 80}, {ID: "load", Kind: Resistor, Ohms: 1000}},
			map[string]map[string]string{"battery": poles("b", "0"), "relay": {"86": "b", "85": "0", "30": "b", "87": "0x"}, "load": two("0x", "0")})
		if on := solved(t, c, Setup{}).IsOn("relay"); on != x.on {
			t.Errorf("at %v V the relay is on: %v", x.volts, on)
		}
	}
}

func TestFuseBlows(t *testing.T) {
	c := plain(t, []Element{{ID: "battery", Kind: Battery}, {ID: "fuse", Kind: Fuse, Rating: 10}, {ID: "wire", Kind: Wire, Ohms: 0.02, Faults: []Fault{{Kind: Grounded, Cause: "chafed"}}}, {ID: "lamp", Kind: Lamp, Watts: 55}},
		map[string]map[string]string{"battery": poles("b", "0"), "fuse": two("b", "f"), "wire": two("f", "l"), "lamp": two("l", "0")})
	if s := solved(t, c, Setup{}); len(s.Blown) > 0 {
		t.Errorf("blown without a fault: %v", s.Blown)
	}
	s := solved(t, c, Setup{}, Faulted{Element: "wire", Fault: Grounded, At: "b"})
	if !slices.Equal(s.Blown, []string{"fuse"}) {
		t.Errorf("blown: %v", s.Blown)
	}
	wantVolts(t, "blown", s, map[string]float64{"f": 0, "l": 0})
}

// A filament follows its curve: at half the volts its current is
// 0.5^0.55 of the rated one.
func TestFilament(t *testing.T) {
	c := plain(t, []Element{{ID: "battery", Kind: Battery, Volts: 6, Ohms: 1e-4}, {ID: "lamp", Kind: Lamp, Watts: 24, Volts: 12}},
		map[string]map[string]string{"battery": poles("b", "0"), "lamp": two("b", "0")})
	a, _ := solved(t, c, Setup{}).Amp("lamp")
	if want := 2 * math.Pow(0.5, 0.55); math.Abs(a-want) > 1e-4 {
		t.Errorf("%v A, want %v", a, want)
	}
}

func TestDiodePassesOneWay(t *testing.T) {
	for _, forward := range []bool{true, false} {
		ends := map[string]string{"a": "b", "k": "l"}
		if !forward {
			ends = map[string]string{"k": "b", "a": "l"}
		}
		c := plain(t, []Element{{ID: "battery", Kind: Battery, Volts: 12, Ohms: 0.01}, {ID: "diode", Kind: Diode}, {ID: "load", Kind: Resistor, Ohms: 11.28}},
			map[string]map[string]string{"battery": poles("b", "0"), "diode": ends, "load": two("l", "0")})
		want := 0.0
		if forward {
			want = 1 // (12 - 0.7) V over 0.01 + 0.01 + 11.28 ohms
		}
		wantAmps(t, "diode", solved(t, c, Setup{}), map[string]float64{"load": want})
	}
}

// Floating points and singular nets are named.
func TestFloatingIsNamed(t *testing.T) {
	_, ps := Compile(Netlist{ID: "x", Ground: "0", Supply: "b", Elements: []Element{{ID: "battery", Kind: Battery}, {ID: "lamp", Kind: Lamp, Watts: 5}, {ID: "r", Kind: Resistor, Ohms: 1}, {ID: "q", Kind: Resistor, Ohms: 1}},
		Arrangements: []Arrangement{{ID: "only", Share: 1, Joins: map[string]map[string]string{"battery": poles("b", "0"), "lamp": two("b", "typo"), "r": two("u", "v"), "q": two("v", "u")}}}})
	var got []string
	for _, p := range ps {
		got = append(got, p.Error())
	}
	want := []string{"circuit: only: lamp: typo: floats: nothing but lamp b ends there", "circuit: only: nothing joins to ground: u, v"}
	if !slices.Equal(got, want) {
		t.Errorf("got %q\nwant %q", got, want)
	}
	// The mesh names a node with nothing at all.
	c := fan(t)
	s := c.newSolver()
	sc := c.scene(c.wired[0], &Setup{}, false)
	s.build(sc, nil)
	for i := range s.branches {
		if b := &s.branches[i]; sc.w.nodes[b.a] == "m" || sc.w.nodes[b.b] == "m" {
			b.g = 0
		}
	}
	var fe *FloatError
	if err := s.linear(sc.w); !errors.As(err, &fe) || !slices.Equal(fe.Nodes, []string{"m"}) {
		t.Errorf("got %v, want a FloatError of m", err)
	}
}

// With a known good relay in its place the fan runs again; its fuse is still
// blown.
func TestSwapWithAKnownGoodPart(t *testing.T) {
	c := fan(t)
	s := Setup{Set: map[string]string{"key": "run"}}
	broken := Faulted{Element: "relay", Fault: CoilOpen}
	if solved(t, c, s, broken).IsOn("motor") {
		t.Error("the fan turns without its relay")
	}
	s.Swapped = []string{"relay"}
	if !solved(t, c, s, broken).IsOn("motor") {
		t.Error("the fan stands with a known good relay")
	}
	if solved(t, c, s, Faulted{Element: "fuse", Fault: Open}).IsOn("motor") {
		t.Error("the fan turns without its fuse")
	}
}

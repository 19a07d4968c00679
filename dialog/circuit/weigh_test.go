package circuit

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// drawArranged draws a fan-like circuit in two or three arrangements with a
// handful of faults, some of them in one arrangement only.
func drawArranged(t *rapid.T) *Circuit {
	ohms := func(what string) float64 { return math.Exp(rapid.Float64Range(-3, 3).Draw(t, what)) }
	fault := func(k FaultKind, cause string) Fault {
		f := Fault{Kind: k, Cause: cause, Weight: rapid.Float64Range(0.1, 3).Draw(t, "weight")}
		if rapid.Bool().Draw(t, "only") {
			f.Only = []string{fmt.Sprint("a", rapid.IntRange(0, 1).Draw(t, "in"))}
		}
		return f
	}
	elements := []Element{
		{ID: "battery", Kind: Battery, Volts: 12.5, Ohms: 0.02},
		{ID: "fuse", Kind: Fuse, Rating: 20, Faults: []Fault{fault(Open, "c1"), fault(High, "c2")}},
		{ID: "relay", Kind: Relay, Ohms: 60 + ohms("coil"), Faults: []Fault{fault(CoilOpen, "c3"), fault(High, "c4"), fault(StuckClosed, "c5")}},
		{ID: "switch", Kind: Switch, Control: "key", Closed: []string{"run"}, Faults: []Fault{fault(StuckOpen, "c3"), fault(StuckClosed, "c6")}},
		{ID: "load", Kind: Motor, Ohms: 0.5 + ohms("load"), Faults: []Fault{fault(Open, "c7"), fault(Seized, "c7"), {Kind: High, Cause: "c4"}}},
		{ID: "ground", Kind: Ground, Faults: []Fault{fault(High, "c8")}},
	}
	common := func(m map[string]map[string]string) map[string]map[string]string {
		m["battery"], m["fuse"], m["load"], m["ground"] = poles("b", "0"), two("b", "f"), poles("m", "g"), two("g", "0")
		return m
	}
	n := Netlist{ID: "random", Ground: "0", Supply: "b", Elements: elements,
		Controls: []Control{{ID: "key", Settings: []string{"off", "run"}, Default: "off"}},
		Arrangements: []Arrangement{
			{ID: "a0", Title: "make", Share: rapid.Float64Range(0.1, 2).Draw(t, "s0"), Joins: common(map[string]map[string]string{"switch": two("b", "s"), "relay": {"86": "s", "85": "0", "30": "f", "87": "m"}})},
			{ID: "a1", Title: "break", Share: rapid.Float64Range(0.1, 2).Draw(t, "s1"), Joins: common(map[string]map[string]string{"switch": two("b", "s"), "relay": {"86": "s", "85": "0", "30": "f", "87a": "m"}})},
			{ID: "a2", Title: "switched", Share: rapid.Float64Range(0.1, 2).Draw(t, "s2"), Joins: common(map[string]map[string]string{"switch": two("f", "m")})},
		}}
	c, ps := Compile(n)
	if c == nil {
		t.Fatal(ps)
	}
	return c
}

func drawObservations(t *rapid.T) []Observation {
	checks := []Check{
		{What: Volts, A: "m", B: "0"}, {What: Volts, A: "f", B: "0"}, {What: Volts, A: "g", B: "0"}, {What: Volts, A: "s", B: "0"},
		{What: Ohms, A: "m", B: "g"}, {What: Amps, Element: "load"}, {What: Works, Element: "load"}, {What: Clicks, Element: "relay"},
	}
	var out []Observation
	for k := rapid.IntRange(0, 6).Draw(t, "observations"); k > 0; k-- {
		o := Observation{Check: rapid.SampledFrom(checks).Draw(t, "check"), Reliability: rapid.Float64Range(0.5, 1).Draw(t, "reliability")}
		o.Check.Setup = Setup{Set: map[string]string{"key": rapid.SampledFrom([]string{"off", "run"}).Draw(t, "key")}}
		switch o.Check.What {
		case Volts:
			o.Value = rapid.Float64Range(0, 13).Draw(t, "volts")
		case Ohms, Amps:
			o.Value = math.Exp(rapid.Float64Range(-2, 19).Draw(t, "value"))
		default:
			o.Value = float64(rapid.IntRange(0, Effects-1).Draw(t, "effect"))
		}
		out = append(out, o)
	}
	return out
}

// The composite against the joint enumeration of arrangement, cause, fault and
// size: P(A, s, m | all) is built up as one table, conditioned and summed.
func TestWeighAgainstJointEnumeration(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := drawArranged(t)
		observations := drawObservations(t)
		w, err := c.Weigh(observations, nil)
		if err != nil {
			t.Fatal(err)
		}
		type row struct {
			cause, arrangement string
			p, l               float64
		}
		var table []row
		share := 0.0
		for _, a := range c.Arrangements {
			share += a.Share
		}
		causes := []string{""}
		for _, h := range c.Hypotheses()[1:] {
			causes = append(causes, h.Cause)
		}
		for _, cause := range causes {
			// Every way in which the cause can be there, with its weight.
			type way struct {
				a      *Arrangement
				faults []Faulted
				p      float64
			}
			var ways []way
			for i := range c.Arrangements {
				a := &c.Arrangements[i]
				if cause == "" {
					ways = append(ways, way{a, nil, a.Share / share})
					continue
				}
				total := 0.0
				var here []way
				for _, e := range c.Elements {
					if _, ok := a.Joins[e.ID]; !ok {
						continue
					}
					for _, f := range e.Faults {
						if f.Cause != cause || len(f.Only) > 0 && !slices.Contains(f.Only, a.ID) {
							continue
						}
						weight := f.Weight
						if weight == 0 {
							weight = 1
						}
						total += weight
						for _, ohms := range f.Magnitudes() {
							here = append(here, way{a, []Faulted{{e.ID, f.Kind, f.At, ohms}}, weight / float64(len(f.Magnitudes()))})
						}
					}
				}
				for _, x := range here {
					x.p *= a.Share / share / total
					ways = append(ways, x)
				}
			}
			mass := 0.0
			for _, x := range ways {
				mass += x.p
			}
			for _, x := range ways {
				l := 1.0
				for _, o := range observations {
					v, err := c.Read(x.a.ID, o.Check, x.faults...)
					if err != nil {
						t.Fatal(err)
					}
					l *= c.likeOf(&o, v, c.spread(&o.Check))
				}
				table = append(table, row{cause, x.a.ID, x.p / mass, l})
			}
		}
		sum := map[string]float64{}
		byArrangement := map[string]float64{}
		all := 0.0
		for _, r := range table {
			sum[r.cause] += r.p * r.l
			byArrangement[r.arrangement] += r.p * r.l
			all += r.p * r.l
		}
		same := func(what string, got, want float64) {
			if math.Abs(got-want) > 1e-12*math.Max(want, 1e-300) {
				t.Errorf("%s: %v, joint enumeration says %v", what, got, want)
			}
		}
		same("sound", w.Sound, sum[""])
		for _, x := range w.Causes {
			same(x.Cause, x.L, sum[x.Cause])
		}
		for id, p := range c.ArrangementsAfter(w, func(string) float64 { return 1 }) {
			same(id, p, byArrangement[id]/all)
		}
	})
}

// A pair of which one is not there to be seen weighs as the other alone.
func TestPairWithAFaultThatDoesNotShow(t *testing.T) {
	c := plain(t, []Element{
		{ID: "battery", Kind: Battery}, {ID: "lamp", Kind: Lamp, Watts: 21, Faults: []Fault{{Kind: Open, Cause: "bulb"}}},
		{ID: "other", Kind: Resistor, Ohms: 100, Faults: []Fault{{Kind: Open, Cause: "elsewhere"}}},
	}, map[string]map[string]string{"battery": poles("b", "0"), "lamp": two("b", "0"), "other": two("b", "0")})
	o := []Observation{{Check: Check{What: Works, Element: "lamp"}, Value: float64(Nothing)}}
	w, err := c.Weigh(o, nil)
	if err != nil {
		t.Fatal(err)
	}
	got, err := c.Pair("bulb", "elsewhere", o, nil)
	if err != nil || math.Abs(got-w.Causes[0].L) > 1e-12 {
		t.Errorf("pair %v, alone %v (%v)", got, w.Causes[0].L, err)
	}
	if w.Causes[0].L < 10*w.Sound {
		t.Errorf("a dark lamp speaks for its bulb by %v to %v only", w.Causes[0].L, w.Sound)
	}
}

func TestWeighRejects(t *testing.T) {
	c := fan(t)
	ok := Check{What: Volts, A: "m", B: "0"}
	for what, try := range map[string]func() error{
		"no number":       func() error { _, err := c.Weigh([]Observation{{Check: ok, Value: math.NaN()}}, nil); return err },
		"reliability":     func() error { _, err := c.Weigh([]Observation{{Check: ok, Value: 1, Reliability: 2}}, nil); return err },
		"unknown node":    func() error { _, err := c.Predict(Check{What: Volts, A: "nowhere", B: "0"}); return err },
		"unknown element": func() error { _, err := c.Predict(Check{What: Works, Element: "nothing"}); return err },
		"unknown setting": func() error { _, err := c.Solve("only", Setup{Set: map[string]string{"key": "sideways"}}); return err },
		"no arrangement":  func() error { _, err := c.Weigh(nil, map[string]float64{"other": 1}); return err },
		"size missing":    func() error { _, err := c.Solve("only", Setup{}, Faulted{Element: "fuse", Fault: High}); return err },
	} {
		if err := try(); err == nil || !strings.HasPrefix(err.Error(), "circuit: ") {
			t.Errorf("%s: %v", what, err)
		}
	}
}

func TestHarm(t *testing.T) {
	c := plain(t, []Element{
		{ID: "battery", Kind: Battery}, {ID: "fuse", Title: "fan fuse", Kind: Fuse, Rating: 30}, {ID: "fan", Kind: Motor, Ohms: 1},
		{ID: "output", Title: "computer output", Kind: Driver, Rating: 2, Control: "hot", Closed: []string{"yes"}}, {ID: "coil", Kind: Resistor, Ohms: 80},
		{ID: "bag", Kind: Resistor, Ohms: 2, Keep: "The airbag hangs on this lead."},
	}, map[string]map[string]string{
		"battery": poles("b", "0"), "fuse": two("b", "f"), "fan": poles("f", "0"), "coil": two("b", "s"), "output": {"out": "s", "com": "0"}, "bag": two("y", "0"), "fuse2": nil,
	}, func(n *Netlist) {
		delete(n.Arrangements[0].Joins, "fuse2")
		n.Elements = append(n.Elements, Element{ID: "squib", Kind: Resistor, Ohms: 1000})
		n.Arrangements[0].Joins["squib"] = two("b", "y")
		n.Controls = []Control{{ID: "hot", Settings: []string{"no", "yes"}, Default: "no"}}
	})
	said := func(s Setup) string {
		hs, err := c.Harm(s, nil)
		if err != nil {
			t.Fatal(err)
		}
		var out []string
		for _, h := range hs {
			if !h.Stop {
				t.Errorf("%q is not said to be stopped", h.Text)
			}
			out = append(out, h.Element+": "+h.Text)
		}
		return strings.Join(out, "; ")
	}
	hot := map[string]string{"hot": "yes"}
	for _, x := range []struct{ s, want string }{
		{said(Setup{ID: "s", Bridged: [][2]string{{"f", "0"}}}), "fuse: fan fuse (30 A) would blow"},
		{said(Setup{ID: "s", Set: hot, Fed: []string{"s"}}), "output: computer output would carry"},
		{said(Setup{ID: "s", Fed: []string{"y"}}), "bag: The airbag hangs on this lead."},
		{said(Setup{ID: "s", Earthed: []string{"b"}}), "the lead would carry 417 A"}, // 12.6 V over 0.01 ohms and 0.02 beside the fan's 1.005
	} {
		if !strings.Contains(x.s, x.want) {
			t.Errorf("%q does not say %q", x.s, x.want)
		}
	}
	if s := said(Setup{ID: "s", Set: hot}); s != "" {
		t.Errorf("doing nothing harms: %s", s)
	}
}

func TestExpectAndExplain(t *testing.T) {
	c := plain(t, []Element{
		{ID: "battery", Kind: Battery, Volts: 12}, {ID: "lamp", Kind: Lamp, Watts: 21},
		{ID: "ground", Kind: Ground, Faults: []Fault{{Kind: Open, Cause: "earth-off"}}},
	}, map[string]map[string]string{"battery": poles("b", "0"), "lamp": two("b", "g"), "ground": two("g", "0")})
	ch := Check{What: Volts, A: "g", B: "0"}
	got, err := c.Expect(ch)
	if err != nil || len(got) != 2 {
		t.Fatal(got, err)
	}
	if s := got[0].Words(Volts); got[0].Cause != "" || s != "0.01 V" { // 1.75 A over 5 mΩ
		t.Errorf("sound: %s", s)
	}
	if s := got[1].Words(Volts); got[1].Cause != "earth-off" || s != "12.0 V" {
		t.Errorf("open ground: %s", s)
	}
	ms, err := c.Explain(Observation{Check: ch, Value: 11.9}, func(id string) string { return "the earth is off" })
	if err != nil || len(ms) != 1 || !strings.HasSuffix(ms[0].Text, "This (11.9 V) speaks for the earth is off.") {
		t.Errorf("explained as %+v (%v)", ms, err)
	}
}

// Two causes together against the joint enumeration: every arrangement that
// has both, every fault and size of either, each read for itself.
func TestPairAgainstJointEnumeration(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := drawArranged(t)
		observations := drawObservations(t)
		causes := c.Hypotheses()[1:]
		a := rapid.IntRange(0, len(causes)-2).Draw(t, "a")
		b := rapid.IntRange(a+1, len(causes)-1).Draw(t, "b")
		faults := func(arr *Arrangement, cause string) (out []Faulted, weights []float64) {
			total := 0.0
			for _, e := range c.Elements {
				for _, f := range e.Faults {
					if _, ok := arr.Joins[e.ID]; !ok || f.Cause != cause || len(f.Only) > 0 && !slices.Contains(f.Only, arr.ID) {
						continue
					}
					w := f.Weight
					if w == 0 {
						w = 1
					}
					total += w
					for _, ohms := range f.Magnitudes() {
						out = append(out, Faulted{e.ID, f.Kind, f.At, ohms})
						weights = append(weights, w/float64(len(f.Magnitudes())))
					}
				}
			}
			for i := range weights {
				weights[i] /= total
			}
			return out, weights
		}
		sum, mass := 0.0, 0.0
		for i := range c.Arrangements {
			arr := &c.Arrangements[i]
			fa, wa := faults(arr, causes[a].Cause)
			fb, wb := faults(arr, causes[b].Cause)
			for x := range fa {
				for y := range fb {
					p := arr.Share * wa[x] * wb[y]
					mass += p
					for _, o := range observations {
						v, err := c.Read(arr.ID, o.Check, fa[x], fb[y])
						if err != nil {
							t.Fatal(err)
						}
						p *= c.likeOf(&o, v, c.spread(&o.Check))
					}
					sum += p
				}
			}
		}
		want := math.Pow(Slip, float64(len(observations)))
		if mass > 0 {
			want = sum / mass
		}
		got, err := c.Pair(causes[a].Cause, causes[b].Cause, observations, nil)
		if err != nil || math.Abs(got-want) > 1e-12*want {
			t.Errorf("%s and %s: %v, joint enumeration says %v (%v)", causes[a].Cause, causes[b].Cause, got, want, err)
		}
	})
}

// Two lamps side by side: with one broken the other shines, with both broken
// nothing does, which neither does alone.
func TestTwoFaultsThatOnlyShowTogether(t *testing.T) {
	c := plain(t, []Element{
		{ID: "battery", Kind: Battery, Ohms: 0.01}, {ID: "left", Kind: Relay, Ohms: 80, Faults: []Fault{{Kind: StuckOpen, Cause: "one"}}},
		{ID: "right", Kind: Relay, Ohms: 80, Faults: []Fault{{Kind: StuckOpen, Cause: "two"}}}, {ID: "lamp", Kind: Lamp, Watts: 21},
	}, map[string]map[string]string{"battery": poles("b", "0"), "left": {"86": "b", "85": "0", "30": "b", "87": "x"},
		"right": {"86": "b", "85": "0", "30": "b", "87": "x"}, "lamp": two("x", "0")})
	o := []Observation{{Check: Check{What: Works, Element: "lamp"}, Value: float64(Nothing)}}
	w, err := c.Weigh(o, nil)
	if err != nil {
		t.Fatal(err)
	}
	both, err := c.Pair("one", "two", o, nil)
	if err != nil || both < 10*w.Causes[0].L || both < 10*w.Causes[1].L || both < 10*w.Sound {
		t.Errorf("both %v, one %v, two %v, sound %v (%v)", both, w.Causes[0].L, w.Causes[1].L, w.Sound, err)
	}
}

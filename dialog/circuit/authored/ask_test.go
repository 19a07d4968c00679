package authored

import (
	"math"
	"strings"
	"testing"

	"ruleout/dialog/circuit"
	"ruleout/kb"
)

func fanCircuit(t *testing.T) *circuit.Circuit {
	t.Helper()
	b, _ := kb.Embedded()
	a := b.Circuit("fan-circuit")
	if a == nil {
		t.Fatal("there is no fan circuit")
	}
	c, err := Compile(a)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// "What should I read between 85 and ground with the key on?", engine cold.
func TestWhatShouldIRead(t *testing.T) {
	c := fanCircuit(t)
	ch := circuit.Check{Setup: circuit.Setup{Set: map[string]string{"key": "run"}}, What: circuit.Volts, A: "s", B: "31"}
	got, err := c.Expect(ch, "fan-relay-coil-open", "fan-switch-stuck-closed", "fan-relay-failsafe-coil-open", "fan-switch-failsafe-open")
	if err != nil {
		t.Fatal(err)
	}
	type key struct{ cause, arrangement string }
	// By hand: with the switch open no current flows, so terminal 85 has the
	// battery's voltage; closed, it has the 20 mV share of its contacts at
	// most. Without a coil the meter itself finds nothing there.
	want := map[key]float64{
		{"", "ordinary"}: 12.6, {"fan-relay-coil-open", "ordinary"}: 0, {"fan-switch-stuck-closed", "ordinary"}: 0,
		{"", "fail-safe"}: 0, {"fan-relay-failsafe-coil-open", "fail-safe"}: 0, {"fan-switch-failsafe-open", "fail-safe"}: 12.3,
	}
	seen := 0
	for _, e := range got {
		v, ok := want[key{e.Cause, e.Arrangement}]
		if !ok {
			continue
		}
		seen++
		if math.Abs(e.Low-v) > 0.31 || math.Abs(e.High-v) > 0.31 || e.Missing {
			t.Errorf("%q, %s: %s, want about %g V", e.Cause, e.Arrangement, e.Words(circuit.Volts), v)
		}
	}
	if seen != len(want) {
		t.Errorf("%d of %d answers", seen, len(want))
	}
}

// The fan that starts when the switch is unplugged is fail-safe or run by a
// computer, and it is said what that means.
func TestUnpluggingTellsTheArrangement(t *testing.T) {
	c := fanCircuit(t)
	setup := c.Setups[0]
	for _, s := range c.Setups {
		if s.ID == "switch-off-plug" {
			setup = s
		}
	}
	o := circuit.Observation{Check: circuit.Check{Setup: setup, What: circuit.Works, Element: "fan"}, Value: float64(circuit.Full)}
	w, err := c.Weigh([]circuit.Observation{o}, nil)
	if err != nil {
		t.Fatal(err)
	}
	p := c.ArrangementsAfter(w, func(cause string) float64 {
		if cause == "" {
			return 1
		}
		return 0
	})
	if p["fail-safe"] < 0.5 || p["ordinary"] > 0.2 {
		t.Errorf("a fan that starts is %v", p)
	}
	ms, err := c.Explain(o, func(cause string) string { return cause })
	if err != nil {
		t.Fatal(err)
	}
	for _, m := range ms {
		if m.Arrangement == "fail-safe" && !strings.Contains(m.Text, "this relay has to be energised to stop the fan. A sound circuit shows this (radiator fan runs)") {
			t.Errorf("said: %s", m.Text)
		}
	}
}

// Joining the computer's output to the battery is stopped under the computer's
// arrangement, and nowhere else for that reason.
func TestHarmToTheComputer(t *testing.T) {
	c := fanCircuit(t)
	hs, err := c.Harm(circuit.Setup{ID: "try", Set: map[string]string{"key": "run", "coolant": "105"}, Fed: []string{"s"}}, nil)
	if err != nil {
		t.Fatal(err)
	}
	said := map[string]bool{}
	for _, h := range hs {
		if h.Element == "fan-output" {
			said[h.Arrangement] = true
		}
	}
	if !said["computer"] || len(said) != 1 {
		t.Errorf("warned of the computer in %v", said)
	}
	// An arrangement that has been ruled out is no reason to stop.
	hs, err = c.Harm(circuit.Setup{ID: "try", Earthed: []string{"t"}, Set: map[string]string{"key": "run"}}, map[string]float64{"ordinary": 1, "direct": 0.001})
	if err != nil || len(hs) > 0 {
		t.Errorf("joining the switch terminal to earth is stopped: %+v (%v)", hs, err)
	}
}

// A relay clicks when its contacts move, whichever way: unplugging the switch
// lets go a relay that the switch held, and moves none that was at rest; the
// computer pulls its relay in when the sensor is off its plug.
func TestAClickIsAMove(t *testing.T) {
	c := fanCircuit(t)
	cold, hot := map[string]string{"key": "run"}, map[string]string{"key": "run", "coolant": "105"}
	for _, x := range []struct {
		arrangement string
		set         map[string]string
		pulled      string
		clicks, is  circuit.Effect
	}{
		{"fail-safe", cold, "unplug-switch", circuit.Full, circuit.Nothing},
		{"fail-safe", hot, "unplug-switch", circuit.Nothing, circuit.Nothing},
		{"ordinary", cold, "unplug-switch", circuit.Nothing, circuit.Nothing},
		{"ordinary", hot, "unplug-switch", circuit.Full, circuit.Nothing},
		{"computer", cold, "unplug-sensor", circuit.Full, circuit.Full},
		{"computer", hot, "unplug-sensor", circuit.Nothing, circuit.Full},
		{"ordinary", hot, "pull-fan-relay", circuit.Nothing, circuit.Nothing},
	} {
		ch := circuit.Check{Setup: circuit.Setup{ID: "try", Set: x.set, Pulled: []string{x.pulled}}, What: circuit.Clicks, Element: "fan-relay"}
		clicks, err := c.Read(x.arrangement, ch)
		if err != nil {
			t.Fatal(err)
		}
		ch.What = circuit.Works
		is, err := c.Read(x.arrangement, ch)
		if err != nil {
			t.Fatal(err)
		}
		if circuit.Effect(clicks) != x.clicks || circuit.Effect(is) != x.is {
			t.Errorf("%s, %v, %s: clicks %v, is %v; want %v, %v", x.arrangement, x.set, x.pulled, clicks, is, x.clicks, x.is)
		}
	}
}

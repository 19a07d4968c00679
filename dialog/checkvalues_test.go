package dialog

import (
	"testing"

	"ruleout/kb"
)

// TestTradeValues feeds readings that the trade knows by heart (common
// practice, no source) to the tests they belong to: each must be understood as
// the trade understands it and move the cause that it concerns the right way.
func TestTradeValues(t *testing.T) {
	b, _ := kb.Embedded()
	e, err := New(b, nil, DefaultSettings)
	if err != nil {
		t.Fatal(err)
	}
	probability := func(s *State, id string) float64 { return e.judgeOnly(s).Singles[e.number[id]] }
	for _, c := range []struct {
		name, test string
		value      float64
		outcome    string
		cause      string
		raises     bool
	}{
		{"a relay coil of 78 ohm is sound", "fan-relay-coil", 78, "sound", "fan-relay-coil-open", false},
		{"0.4 ohm between contacts at rest: normally closed, which an ordinary relay with a dead coil is not", "fan-relay-rest-contacts", 0.4, "joined", "fan-relay-contacts-burnt", false},
		{"a fan switch hotter than 210 F that reads under an ohm is closed, as it should be", "fan-switch-hot-ohms", 0.5, "closed", "fan-switch-stuck-open", false},
		{"a blown fuse reads open", "fan-fuse-check", 1e6, "blown", "fan-fuse-blown", true},
	} {
		t.Run(c.name, func(t *testing.T) {
			s, _ := e.Start()
			for _, text := range []string{"it overheats in traffic", "the fan never comes on"} {
				s, _ = e.Step(s, Turn{Text: text})
			}
			before := probability(s, c.cause)
			v := c.value
			s, r := e.Step(s, Turn{Text: "reading", Tap: &Tap{Finding: c.test, Value: &v, Unit: "ohm"}})
			for len(s.Pending) > 0 { // the context of the reading: as it should be
				s, _ = e.Step(s, Turn{Tap: &Tap{Choice: 1}})
			}
			if len(r.Noted) != 1 || r.Noted[0].Outcome != c.outcome {
				t.Fatalf("noted %+v, want outcome %q", r.Noted, c.outcome)
			}
			after := probability(s, c.cause)
			if c.raises && after < 2*before || !c.raises && after > before/2 {
				t.Errorf("%s went from %.4f to %.4f", c.cause, before, after)
			}
		})
	}
	// The engine at 210 F is not too hot yet: the fan is only about to run.
	f := b.Finding("true-temperature")
	if got := bandOf(f.Reading, quantityOf((210.0-32)/1.8, "degC")); got != "normal" {
		t.Errorf("210 F counts as %q, want normal", got)
	}
}

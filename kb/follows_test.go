package kb

import (
	"strings"
	"testing"
)

// row of the cause of the part in the mode, and the finding.
func rowOf(t *testing.T, b *Base, id, part, mode string) (*DerivedFinding, []float64) {
	t.Helper()
	d := b.Derive(id)
	if d == nil {
		t.Fatalf("%s follows from nothing", id)
	}
	for _, r := range d.Rows {
		if r.Cause.Part == part && r.Cause.Mode == mode {
			return d, r.P
		}
	}
	t.Fatalf("%s says nothing of %s %s", id, part, mode)
	return nil, nil
}

func TestDirectionOfActions(t *testing.T) {
	b, _ := Embedded()
	// Expected by trade rules: water brings a flash-over on, drying sends it
	// off; heat brings a cracked joint on, thaw sends ice off.
	for _, x := range []struct{ id, part, mode, more, less string }{
		{"part:ignition-coil:wetting", "ignition-coil", "cracked", "comes", "goes"},
		{"part:ignition-coil:drying", "ignition-coil", "cracked", "while", "comes"},
		{"part:crankshaft-sensor:warm", "crankshaft-sensor", "cracked-solder", "comes", "goes"},
		{"part:crankshaft-sensor:cool", "crankshaft-sensor", "cracked-solder", "while", "comes"},
		{"part:starter-motor:tap", "starter-motor", "worn", "while", "comes"},
		{"go:cap-off", "fuel-tank-vent", "blocked", "while", "comes"},
		{"part:engine-control-unit:key-cycle", "engine-control-unit", "cracked-solder", "while", "comes"},
	} {
		d, p := rowOf(t, b, x.id, x.part, x.mode)
		if p[d.OutcomeIndex(x.more)] <= 2*p[d.OutcomeIndex(x.less)] {
			t.Errorf("%s, %s %s: %s %.3f is not well above %s %.3f", x.id, x.part, x.mode, x.more, p[d.OutcomeIndex(x.more)], x.less, p[d.OutcomeIndex(x.less)])
		}
	}
}

func TestBlindSpots(t *testing.T) {
	b, _ := Embedded()
	for _, x := range []struct {
		means, part, mode string
		least, most       float64
	}{
		{"beep", "battery-positive-cable", "high-resistance", 0, 0.15},
		{"beep", "battery-positive-cable", "open", 0.8, 1},
		{"volts-load", "battery-positive-cable", "high-resistance", 0.8, 1},
		{"by-hand", "wheel-bearing", "noisy", 0.2, 0.4},
		{"counter", "starter-motor", "worn", 0.4, 0.6},
		{"by-eye", "wiring-loom", "broken", 0.05, 0.2},
		{"run", "radiator-fan-relay", "burnt", 0, 0.2},
		{"not-reproduced", "alternator", "worn", 0, 0},
	} {
		if s := b.Sensitivity(x.means, x.part, x.mode); s < x.least || s > x.most {
			t.Errorf("%s of %s %s shows it with %.2f, want %.2f to %.2f", x.means, x.part, x.mode, s, x.least, x.most)
		}
	}
}

func TestSameBlindSpotCountsOnce(t *testing.T) {
	b, _ := Embedded()
	p := b.Part("battery-positive-cable")
	one := b.Tested("part:battery-positive-cable:tested", p, "beep")
	two := b.Tested("part:battery-positive-cable:tested", p, "beep", "volts-open")
	for i := range one.Rows {
		if c := one.Rows[i].Cause; c.Mode == "high-resistance" && one.Rows[i].P[0] != two.Rows[i].P[0] {
			t.Errorf("%s: two tests with one blind spot give %.3f, one %.3f", c.ID, two.Rows[i].P[0], one.Rows[i].P[0])
		}
	}
}

func TestTablesHavePages(t *testing.T) {
	b, _ := Embedded()
	for _, id := range []string{CardMeans, CardComeGo, CardLooks} {
		c := b.Card(id)
		if c == nil {
			t.Fatalf("there is no page %s", id)
		}
		if !strings.Contains(c.Body, "asis") || strings.Count(c.Body, "\n| ") < 10 {
			t.Errorf("%s is no table with its basis:\n%.200s", id, c.Body)
		}
		if h, ok := b.Head(id); !ok || !h.Derived {
			t.Errorf("%s is not marked as derived", id)
		}
	}
}

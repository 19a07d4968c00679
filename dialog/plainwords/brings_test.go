package plainwords

import (
	"slices"
	"testing"

	"ruleout/kb"
)

// TestPartsByTrouble reads parts that are named by their last word only, by which
// of them is meant or by "it", in the light of the trouble told.
func TestPartsByTrouble(t *testing.T) {
	base, problems := kb.Embedded()
	if base == nil {
		t.Fatal(problems)
	}
	r := NewReader(base)
	for _, c := range []struct{ chief, text, want, not string }{
		{"engine-shakes-idle", "new mounts and it shakes even more now", "part:engine-mount:replaced=worse", ""},
		{"suspension-creaks", "both bushes are split", "part:suspension-arm-bush:cracked=yes", ""},
		{"grease-inside-wheel", "the boot's torn", "part:cv-boot:broken=yes", ""},
		{"wet-front-carpet", "lifted the scuttle and the drains were full of leaves", "part:scuttle-drain:blocked=yes", "part:evaporator-drain:blocked=yes"},
		{"glow-cold-start-bad", "new relay, no change", "part:glow-plug-relay:replaced=same", "part:starter-relay:replaced=same"},
		{"hum-with-road-speed", "bearing was noisy, changed the rear left one, still there", "part:wheel-bearing:replaced=same", ""},
		{"misfires-in-wet", "the dizzy cap was damp so I dried it and it ran fine for an hour", "part:distributor-cap:drying=while", ""},
		{"cuts-out-like-a-switch", "wiggled the plug on the crank sensor and it stalled", "part:crankshaft-sensor:wiggle=comes", "part:connector:wiggle=comes"},
		{"brake-pedal-soft", "the front flexi hose is cracked and bulging", "part:brake-hose:swollen=yes", ""},
		{"oil-spots-under", "puddle of oil on my new drive", "", "part:oil-level-and-grade:replaced=same"},
		{"brake-drags", "brakes stuck solid", "", "part:electric-parking-brake:seized=yes"},
	} {
		var got []string
		for _, o := range r.Read(c.text, Context{Chief: c.chief}).Observations {
			got = append(got, o.Finding+"="+o.Outcome)
		}
		if c.want != "" && !slices.Contains(got, c.want) || slices.Contains(got, c.not) {
			t.Errorf("%q (%s): %v, want %s and not %s", c.text, c.chief, got, c.want, c.not)
		}
	}
}

package dialog

import "testing"

// What an owner says of a place on a path is weighed where it can be: what
// comes out of a station came to the points before it, what does not come
// there comes to none behind it. What is heard, or is said of the other end of
// the car, is no such look.
func TestPlacesOnPathsAreRead(t *testing.T) {
	e := engineOf(t)
	for _, x := range []struct{ complaint, said, finding, outcome string }{
		{"cranks fine but won't start, can't hear the fuel pump", "fuel does come out of the filter though", "path:fuel-petrol-way:after-pump:seen", "good"},
		{"cranks fine but won't start, can't hear the fuel pump", "no fuel coming out at the end of the fuel hose", "path:fuel-petrol-way:at-rail:seen", "bad"},
		{"brake pedal goes to the floor", "left rear wheel doesn't get any pressure when i open the bleeder", "path:brake-pressure-way:rear-nipple:seen", "bad"},
		{"passenger footwell is wet after rain", "poured water on the windscreen and nothing came in", "path:rain-way:screen-hose:fed", "works"},
		{"passenger footwell is wet after rain", "poured water in the scuttle under the windscreen and it ran in", "path:rain-way:scuttle:fed", "same"},
		{"cranks but won't fire", "no sound from the fuel pump at all", "", ""},
		{"brake pedal goes to the floor", "does the fluid come out at the rear nipple?", "", ""},
	} {
		s, _ := e.Start()
		s, _ = say(t, e, s, "it runs on petrol", x.complaint)
		before := len(s.Notes)
		s, _ = say(t, e, s, x.said)
		finding, outcome := "", ""
		for _, n := range s.Notes[before:] {
			if f := e.base.Finding(n.Finding); f != nil && f.Path != "" && n.Weighs {
				finding, outcome = n.Finding, n.Outcome
			}
		}
		if finding != x.finding || outcome != x.outcome {
			t.Errorf("%q: %q %q, want %q %q", x.said, finding, outcome, x.finding, x.outcome)
		}
	}
}

package dialog

import (
	"strings"
	"testing"
)

// What harms however the circuit is wired is stopped with the reason, told or
// asked in any words, and no reading or other answer is made of them. What is
// sound practice, left undone or done by a shop is let be.
func TestHarmfulDeeds(t *testing.T) {
	for said, why := range map[string]string{
		"can I pull the battery lead while its running to see if the alternator charges": "holds the alternator's voltage down",
		"I took the battery off with the engine running":                                 "holds the alternator's voltage down",
		"ok to fit a bigger fuse, 40 amp instead of 30?":                                 "the wire is the weakest part",
		"put a 30 amp fuse in instead of the 20":                                         "the wire is the weakest part",
		"the fuse keeps blowing so I put a nail in":                                      "nothing stops the current",
		"can I wrap the fuse in foil":                                                    "nothing stops the current",
		"is it ok to feed 12V to the coolant sensor plug":                                "destroys them",
		"I put 12 volts on the sensor wire to see what happens":                          "destroys them",
		"can i put 12v on the ecu pin":                                                   "destroys them",
		"can i use a test light on the ecu plug":                                         "test lamp draws",
		"can i flash B+ to ground to see if it sparks":                                   "hundreds of amperes",
		"I shorted the alternator to check it":                                           "hundreds of amperes",
		"can i jump the solenoid with a screwdriver":                                     "welds itself",
		"can I spray ether in my diesel":                                                 "lights too early",
		"can I bridge the pump relay and drive home":                                     "feeds a fire",
		"can i use a thin bit of bell wire as a jumper":                                  "mm²",
		"can I unplug the orange cable on the hybrid":                                    "hundreds of volts",
	} {
		x := deedIn(said, false)
		if x == nil {
			t.Errorf("%q: let be", said)
		} else if !strings.Contains(x.deed.why(), why) {
			t.Errorf("%q: %s", said, x.deed.why())
		}
	}
	for _, said := range []string{
		"battery light on while driving", "the battery is flat and the engine won't run", "disconnected the battery to do the seats and now the idle hunts",
		"the garage fitted a bigger fuse", "it has a 30 amp fuse", "fuse blown", "12 volts at the sensor plug", "I get 12 v at the ecu pin with the key on",
		"alternator earth strap looks bad", "alternator is shorted inside", "measured the alternator earth drop", "earthed the lamp wire of the alternator and the lamp lit",
		"never took the battery off with the engine running", "starter relay clicks", "tried start spray and it fires", "thin red wire is broken",
		"bridged 30 and 87 and it runs", "battery went flat with the engine running", "unplugged the coolant sensor and the fan came on",
	} {
		if x := deedIn(said, false); x != nil {
			t.Errorf("%q: stopped: %s", said, x.deed.why())
		}
	}
	e := engineOf(t)
	for i := range deeds {
		if id := deeds[i].article; id != "" {
			if _, ok := e.base.Head(id); !ok {
				t.Errorf("there is no article %q", id)
			}
		}
	}
	s, _ := e.Start()
	s, _ = say(t, e, s, "radiator fan never comes on and it gets hot in traffic")
	before := len(s.Notes)
	if s, r := say(t, e, s, "is it ok to feed 12V to the coolant sensor plug"); len(s.Notes) != before || !strings.HasPrefix(r.Text, "**Don't do that:**") || strings.Contains(r.Text, "harms nothing") {
		t.Errorf("%d notes more:\n%s", len(s.Notes)-before, r.Text)
	}
}

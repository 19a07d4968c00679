package dialog

import (
	"strings"
	"testing"
)

// Whatever is proposed or done at an airbag's wiring stops the talk with the
// reason, in a circuit or not; an airbag's lamp, a belt of the engine, the
// fuel pump's plug and what a shop did do not.
func TestAirbagWiringStops(t *testing.T) {
	for text, want := range map[string]string{
		"can i unplug the yellow plug under the seat?":                              "proposed",
		"should I bridge the two pins of the airbag connector":                      "proposed",
		"I want to measure the clock spring with my multimeter":                     "proposed",
		"what if I take the steering wheel off to look at the horn contact?":        "proposed",
		"i measured ohms across the clock spring and got 2.2 ohms":                  "done",
		"disconnected the yellow connector under the steering column":               "done",
		"took the horn pad off":                                                     "done",
		"I unplugged the connector under the passenger seat and the light went out": "done",
		"the window is dead. I probed the plug under the driver's seat, 12 V there": "done",
		"the airbag light came on after I unplugged the battery":                    "",
		"i replaced the timing belt tensioner":                                      "",
		"measured 12 V at the fuel pump plug under the back seat":                   "",
		"the garage replaced the clock spring last year":                            "",
		"i have not touched the yellow plug under the seat":                         "",
		"the seat belt light stays on and I checked the fuse":                       "",
		"unplugged the trailer module, yellow wire has 12 V":                        "",
		"pulled the yellow fuse, it was fine":                                       "",
		"steering wheel shakes when i take my foot off the brake":                   "",
	} {
		got := ""
		if x := restraintIn(text); x != nil {
			got = "proposed"
			if x.done {
				got = "done"
			}
		}
		if got != want {
			t.Errorf("%q: %q, want %q", text, got, want)
		}
	}
	e := engineOf(t)
	s, _ := e.Start()
	s, _ = say(t, e, s, "the horn is dead and the airbag light is on")
	notes := len(s.Notes)
	s, r := say(t, e, s, "i measured ohms across the clock spring and got 2 ohms")
	if r.Stop == nil || r.Stop.Article != restraintCard || !strings.Contains(r.Text, "I leave out") {
		t.Errorf("the stop is %+v:\n%s", r.Stop, r.Text)
	}
	for _, n := range s.Notes[notes:] {
		if n.Weighs {
			t.Errorf("weighed: %s", n.Title)
		}
	}
}

// No circuit has a check that touches what lies at an airbag, and asking for
// one is stopped.
func TestCircuitsKeepFromAirbags(t *testing.T) {
	e := engineOf(t)
	restraints := 0
	for _, w := range e.circuits {
		for _, el := range w.c.Elements {
			if el.Restraint {
				restraints++
			}
		}
		for _, ch := range w.c.Checks() {
			if at, _ := w.c.AtRestraint(ch); at != "" {
				t.Errorf("%s: %s touches the %s", w.article.ID, w.checkTitle(ch), at)
			}
		}
	}
	if restraints == 0 {
		t.Error("no circuit has anything at an airbag")
	}
	s, _ := e.Start()
	s, _ = say(t, e, s, "the horn is dead", "i don't know how the horn is wired")
	for _, text := range []string{"what should I read at the horn push?", "can I bridge the horn push?"} {
		_, r := say(t, e, s, text)
		if r.Stop == nil && !strings.Contains(r.Text, "Don't do that") {
			t.Errorf("%q is answered:\n%s", text, r.Text)
		}
	}
}

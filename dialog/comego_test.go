package dialog

import (
	"strings"
	"testing"

	"ruleout/kb"
)

func TestActionsAreReadWithTheirDirection(t *testing.T) {
	b, _ := kb.Embedded()
	e, err := New(b, nil, DefaultSettings)
	if err != nil {
		t.Fatal(err)
	}
	for _, x := range []struct{ text, finding, outcome string }{
		{"engine dies when hot, key off and on clears it for a while", "go:key-cycle", "while"},
		{"starter only clicks. tapped the starter and it works", "part:starter-motor:tap", "goes"},
		{"starter only clicks. tapped the starter, made no difference", "tap-starter", "same"},
		{"it misfires. sprayed water on it and it stumbles", "go:wetting", "comes"},
		{"horn dead, wiggled the horn plug and it works for a bit", "part:horn:wiggle", "while"},
	} {
		_, r := e.Replay([]Turn{{Text: x.text}})
		found := false
		for _, n := range r.Noted {
			found = found || n.Finding == x.finding && n.Outcome == x.outcome
		}
		if !found {
			t.Errorf("%q: no %s %s in %+v", x.text, x.finding, x.outcome, r.Noted)
		}
	}
}

// TestMovesAreProposedWithCaution walks through what is proposed for every
// system: an action on a part has its caution before its steps, and none is
// proposed on brakes, steering or airbags that would disturb them.
func TestMovesAreProposedWithCaution(t *testing.T) {
	b, _ := kb.Embedded()
	for i := range b.Parts {
		p := &b.Parts[i]
		for _, a := range b.ComeGoFor(p) {
			if a.Caution == "" && a.ID != "push-home" && a.ID != "key-cycle" {
				t.Errorf("%s of the %s is proposed without a caution", a.ID, p.ID)
			}
			if p.System == "safety-restraint" {
				t.Errorf("%s is proposed on the %s", a.ID, p.ID)
			}
			if (p.System == "brakes" || p.System == "steering") && a.ID != "pump-pedal" && a.ID != "wiggle" && a.ID != "push-home" && a.ID != "key-cycle" && a.ID != "battery-off" {
				t.Errorf("%s is proposed on the %s", a.ID, p.ID)
			}
			for _, s := range filled(a.Steps, p.Name) {
				if strings.Contains(s, "%s") {
					t.Errorf("%s: step %q was not filled in", a.ID, s)
				}
			}
		}
	}
}

func TestBlindSpotIsSaid(t *testing.T) {
	b, _ := kb.Embedded()
	e, err := New(b, nil, DefaultSettings)
	if err != nil {
		t.Fatal(err)
	}
	_, r := e.Replay([]Turn{{Text: "front left wheel has a hum that rises with road speed"}, {Text: "the front left wheel bearing tested good by hand"}})
	if !strings.Contains(r.Text, "hums long before it has play") || !strings.Contains(r.Text, "article:"+kb.CardMeans) {
		t.Errorf("the blind spot of a hand is not said:\n%s", r.Text)
	}
}

package dialog

import (
	"strings"
	"testing"
)

// A story begins with its background: the complaint is what most is told of,
// and the reply says which one is followed.
func TestStoryFindsItsComplaint(t *testing.T) {
	e := engineOf(t)
	s, _ := e.Start()
	_, r := e.Step(s, Turn{Text: "My sister lent me this van in spring and it has been good to me. The horn doesn't work, never has. Anyway, for two weeks it has been overheating in traffic. It gets hot at the lights, it is fine on the motorway, the fan never comes on and the heater blows hot. I had to stop twice on the way to work because the needle goes into the red whenever I queue."})
	if r.Chief != "overheats" {
		t.Errorf("chief is %q", r.Chief)
	}
	if len(r.Noted) < 4 {
		t.Errorf("only %d things noted", len(r.Noted))
	}
}

// A correction says which one; the observation it corrects is changed, in
// sight.
func TestCorrectionChangesWhichOne(t *testing.T) {
	e := engineOf(t)
	s, _ := e.Start()
	s, _ = e.Step(s, Turn{Text: "the right front wheel bearing is worn"})
	_, r := e.Step(s, Turn{Text: "sorry, i meant the left one"})
	if !strings.Contains(r.Text, "left") || !strings.Contains(r.Text, "Changed") {
		t.Errorf("the reply says %q", r.Text)
	}
	for _, n := range r.SoFar {
		if strings.HasPrefix(n.Finding, "part:wheel-bearing") && !strings.Contains(n.Item, "left") {
			t.Errorf("%s is still %q", n.Finding, n.Item)
		}
	}
}

// What no finding takes up is noted without weight, and codes and the person's
// situation are noted as what they are.
func TestNothingToldIsLost(t *testing.T) {
	e := engineOf(t)
	for text, finding := range map[string]string{
		"it whistles like a kettle behind the dash": "said:sense",
		"the ashtray smells of old fish":            "said:sense",
		"overheats, and code P0335 is stored":       "said:code:P0335",
		"overheats and i'm on my own":               "said:circumstance:alone",
	} {
		s, _ := e.Start()
		_, r := e.Step(s, Turn{Text: text})
		found := false
		for _, n := range r.Noted {
			if strings.HasPrefix(n.Finding, finding) {
				found = true
				if n.Weighs {
					t.Errorf("%q: %s weighs", text, n.Finding)
				}
			}
		}
		if !found {
			t.Errorf("%q: %s is not noted: %+v", text, finding, r.Noted)
		}
	}
}

// A turn of several words of which nothing is made is listed as not used.
func TestNothingIsDroppedSilently(t *testing.T) {
	e := engineOf(t)
	for _, text := range []string{"so then what with one thing and another", "and there we all were again", "it was like that for ages"} {
		s, _ := e.Start()
		_, r := e.Step(s, Turn{Text: text})
		if len(r.Noted) == 0 && len(r.Unread) == 0 {
			t.Errorf("%q: neither noted nor listed", text)
		}
	}
}

package dialog

import (
	"strings"
	"testing"

	"ruleout/kb"
)

// A fact about the vehicle can be changed and struck by a tap; what followed
// from it alone goes with it, and it may be asked again.
func TestFactsAreChangedAndStruck(t *testing.T) {
	base, problems := kb.Embedded()
	if bad := problems.Errors(); len(bad) > 0 {
		t.Fatal(bad)
	}
	e, err := New(base, nil, DefaultSettings)
	if err != nil {
		t.Fatal(err)
	}
	tap := func(finding, outcome string) Turn {
		return Turn{Text: "tapped", Tap: &Tap{Finding: finding, Outcome: outcome}}
	}
	s, r := e.Replay([]Turn{{Text: "it gets hot in traffic, its a 1999 diesel, I have a multimeter"}})
	if r.Vehicle["fuel"] != "diesel" || r.Vehicle["ignition"] != "glow" || r.Vehicle["year"] != "1999" || !r.Tools["multimeter"] {
		t.Fatalf("known of the vehicle: %v, tools: %v", r.Vehicle, r.Tools)
	}
	s, r = e.Step(s, tap("vehicle:fuel", "petrol"))
	if r.Vehicle["fuel"] != "petrol" || r.Vehicle["ignition"] == "glow" || len(r.Noted) != 1 || r.Noted[0].OutcomeTitle != "petrol" {
		t.Errorf("after diesel was changed to petrol: %v, noted %v", r.Vehicle, r.Noted)
	}
	s, r = e.Step(s, tap("vehicle:year", "unknown"))
	if _, told := r.Vehicle["year"]; told || !strings.Contains(r.Text, "Struck: year: 1999") {
		t.Errorf("after the year was struck: %v, %s", r.Vehicle, r.Text)
	}
	s, r = e.Step(s, tap("tool:multimeter", "not at hand"))
	if have, told := r.Tools["multimeter"]; have || !told {
		t.Errorf("after the meter was put away: %v", r.Tools)
	}
	s, r = e.Step(s, tap("tool:multimeter", "unknown"))
	if _, told := r.Tools["multimeter"]; told || !strings.Contains(r.Text, "Struck:") {
		t.Errorf("after the meter was struck: %v, %s", r.Tools, r.Text)
	}
	for _, bad := range [][2]string{{"vehicle:year", "2004"}, {"vehicle:year", "unknown"}, {"vehicle:fuel", "coal"}, {"vehicle:wings", "unknown"}, {"tool:multimeter", "unknown"}, {"tool:multimeter", "lent"}} {
		was := s.Vehicle
		_, r = e.Step(s, tap(bad[0], bad[1]))
		if len(r.Vehicle) != len(was) || r.Text == "" {
			t.Errorf("%v: %v, %q", bad, r.Vehicle, r.Text)
		}
	}
	if _, r = e.Step(s, Turn{Text: "undo"}); !strings.Contains(r.Text, "Taken back") {
		t.Errorf("undo after a struck fact: %s", r.Text)
	}
}

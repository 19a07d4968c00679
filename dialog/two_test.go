package dialog

import (
	"slices"
	"strings"
	"testing"

	"ruleout/kb"
)

// toldInTurn tells symptoms by tap, one a turn.
func toldInTurn(e *Engine, symptoms ...string) (*State, *Reply) {
	s, r := e.Start()
	for _, id := range symptoms {
		s, r = e.Step(s, Turn{Tap: &Tap{Finding: id, Outcome: "present"}})
	}
	return s, r
}

func splitOf(r *Reply) *Tap {
	for i := range r.Next.Quick {
		if r.Next.Quick[i].Tap.Request == "split" {
			return &r.Next.Quick[i].Tap
		}
	}
	return nil
}

// Two troubles that share nothing are offered as two cases; what is left out
// weighs here no more, and taking that back is exact.
func TestTwoTroubles(t *testing.T) {
	b, _ := kb.Embedded()
	e, err := New(b, nil, DefaultSettings)
	if err != nil {
		t.Fatal(err)
	}
	for _, x := range []struct {
		first, second string
		two           bool
	}{
		{"loses-coolant", "brakes-squeal", true},
		{"wont-start", "brakes-squeal", true},
		{"overheats", "loses-coolant", false}, // one leak is behind both
		{"battery-flat", "dim-lights", false}, // one alternator is
	} {
		first := x.first
		s, r := toldInTurn(e, first, x.second)
		tap := splitOf(r)
		if (tap != nil) != x.two {
			t.Errorf("%s and %s: offered as two: %v, want %v", first, x.second, tap != nil, x.two)
		}
		if tap == nil {
			continue
		}
		if tap.About != x.second || !strings.Contains(r.Text, "one trouble or two") {
			t.Errorf("%s and %s: the tap is about %q: %s", first, x.second, tap.About, r.Text)
		}
		n, after := e.Step(s, Turn{Text: "two troubles", Tap: tap})
		if n.Chief != first || slices.Contains(n.Also, x.second) || !strings.Contains(after.Text, "case of its own") {
			t.Errorf("%s and %s: after the split the case is about %q and %v: %s", first, x.second, n.Chief, n.Also, after.Text)
		}
		if splitOf(after) != nil {
			t.Errorf("%s and %s: offered again", first, x.second)
		}
		_, alone := toldInTurn(e, first)
		if !slices.EqualFunc(alone.Suspects, after.Suspects, func(p, q Suspect) bool { return p.ID == q.ID && p.Probability == q.Probability }) {
			t.Errorf("%s and %s: left out, the second still weighs", first, x.second)
		}
		_, back := e.Step(n, Turn{Tap: &Tap{Request: "undo"}})
		if !slices.EqualFunc(back.Suspects, r.Suspects, func(p, q Suspect) bool { return p.ID == q.ID && p.Probability == q.Probability }) {
			t.Errorf("%s and %s: undo does not bring the second back", first, x.second)
		}
	}
	// A tap about what was never told says so and changes nothing.
	s, was := toldInTurn(e, "overheats")
	_, r := e.Step(s, Turn{Tap: &Tap{Request: "split", About: "brakes-squeal"}})
	if r.Suspects[0].Probability != was.Suspects[0].Probability || !strings.Contains(r.Text, "no second trouble") {
		t.Errorf("a split of nothing: %s", r.Text)
	}
}

// A complaint told as the answer to another's question keeps its own name: who
// has a cold heater did not come for an engine that gets too hot, and slow
// wipers have nothing to do with it.
func TestTheComplaintKeepsItsName(t *testing.T) {
	e := engineOf(t)
	s, _ := e.Start()
	s, r := say(t, e, s, "heater cold", "wipers slow too")
	if got := e.cameFor(s).ID; got != "heater-cold" {
		t.Errorf("came for %s", got)
	}
	if strings.Contains(r.Text, "gets too hot” first") || splitOf(r) == nil {
		t.Errorf("not offered as two cases:\n%s", r.Text)
	}
}

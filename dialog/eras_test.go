package dialog

import (
	"slices"
	"strings"
	"testing"
)

// TestPartlyCured: what was mended is kept as done, what is left becomes the
// complaint, and the part renewed is no suspect for it.
func TestPartlyCured(t *testing.T) {
	e := engineOf(t)
	s, r := e.Replay([]Turn{
		{Text: "brakes squeal and it pulls to one side when braking"},
		{Text: "renewed the brake pads, better"},
		{Text: "the squeal is gone"},
	})
	if s.Chief != "brake-pulls" || !strings.Contains(r.Text, "stays done") {
		t.Fatalf("the complaint is %s:\n%s", s.Chief, r.Text)
	}
	if len(s.Done) != 1 || s.Eras[0].Symptoms["brakes-squeal"] != "gone" {
		t.Errorf("done %v, eras %+v", s.Done, s.Eras)
	}
	pads := 0.0
	for _, x := range r.Suspects {
		if x.Part == "brake-pad" {
			pads += x.Probability
		}
	}
	_, fresh := e.Replay([]Turn{{Text: "it pulls to one side when braking"}})
	alone := 0.0
	for _, x := range fresh.Suspects {
		if x.Part == "brake-pad" {
			alone += x.Probability
		}
	}
	if pads >= alone && alone > 0 {
		t.Errorf("new pads stand at %.3f for what is left, old ones at %.3f", pads, alone)
	}
}

// TestGoneIsACure: the only trouble went with what was done.
func TestGoneIsACure(t *testing.T) {
	e := engineOf(t)
	s, _ := e.Replay([]Turn{
		{Text: "brakes squeal"},
		{Text: "renewed the brake pads, better"},
		{Tap: &Tap{Finding: "brakes-squeal", Outcome: "absent"}},
	})
	if c := e.base.Cause(s.Proving); c == nil || c.Part != "brake-pad" {
		t.Errorf("the cure to prove is %q", s.Proving)
	}
}

// TestNewAfterAnAction asks once whether a trouble came with the work, and then
// looks at the hand that was there.
func TestNewAfterAnAction(t *testing.T) {
	e := engineOf(t)
	s, r := e.Replay([]Turn{
		{Text: "brakes squeal"},
		{Text: "renewed the brake pads, no change"},
		{Text: "it grinds when braking"},
	})
	if r.Next.Kind != "context" || !strings.Contains(r.Next.Title, "new since") {
		t.Fatalf("asked is %s %q", r.Next.Kind, r.Next.Title)
	}
	_, no := e.Step(s, Turn{Tap: &Tap{Choice: 2}})
	if no.Next.Kind == "context" {
		t.Errorf("asked again: %q", no.Next.Title)
	}
	s2, yes := e.Step(s, Turn{Tap: &Tap{Choice: 1}})
	if !s2.told("event:work-on:brake-pad", "before") || s2.Eras[0].Symptoms["brakes-grind"] != "new" {
		t.Errorf("noted %+v, eras %+v", yes.Noted, s2.Eras)
	}
	// Undo takes it back exactly.
	_, back := e.Step(s2, Turn{Tap: &Tap{Request: "undo"}})
	for i := range back.Suspects {
		if back.Suspects[i].Probability != s.last.Suspects[i].Probability {
			t.Fatalf("after undo %s stands at %v, before at %v", back.Suspects[i].ID, back.Suspects[i].Probability, s.last.Suspects[i].Probability)
		}
	}
}

// TestMovedWithThePart: a trouble told on the other side after the part was
// changed over went with the part.
func TestMovedWithThePart(t *testing.T) {
	e := engineOf(t)
	s, before := e.Replay([]Turn{{Text: "misfires on cylinder 3"}})
	s, r := e.Step(s, Turn{Text: "swapped the ignition coil with cylinder 1, misfire moved with it"})
	if !s.told("part:ignition-coil:swapped", "moved") {
		t.Fatalf("noted %+v", r.Noted)
	}
	if r.Suspects[0].Part != "ignition-coil" || before.Suspects[0].Probability >= r.Suspects[0].Probability {
		t.Errorf("leading is %+v", r.Suspects[0])
	}
	_, stayed := e.Replay([]Turn{{Text: "misfires on cylinder 3"}, {Text: "swapped the ignition coil with cylinder 1, misfire stayed on 3"}})
	for _, x := range stayed.Suspects[:3] {
		if x.Part == "ignition-coil" {
			t.Errorf("the coil still stands at %.3f", x.Probability)
		}
	}
}

func TestSecondHandClearsLess(t *testing.T) {
	e := engineOf(t)
	at := func(text string) float64 {
		_, r := e.Replay([]Turn{{Text: "alternator does not charge"}, {Text: text}})
		p := 0.0
		for _, x := range r.Suspects {
			if x.Part == "alternator" {
				p += x.Probability
			}
		}
		return p
	}
	fresh, used := at("renewed the alternator, no change"), at("renewed the alternator with a used one from a scrapyard, no change")
	if used <= fresh {
		t.Errorf("a second-hand alternator leaves %.3f, a new one %.3f", used, fresh)
	}
}

// TestSwapsAreProposedWhereTheyMayBe over all systems.
func TestSwapsAreProposedWhereTheyMayBe(t *testing.T) {
	e := engineOf(t)
	for i := range e.base.Parts {
		p := &e.base.Parts[i]
		if e.base.MaySwap(p) && (p.Items == "" && !slices.Contains(e.base.KindsOf(p.ID), "relay") || p.System == "brakes" || p.System == "steering" || p.System == "safety-restraint") {
			t.Errorf("the %s may be swapped", p.ID)
		}
	}
	_, r := e.Replay([]Turn{{Text: "misfires on one cylinder"}})
	found := false
	j := e.judge(mustState(e, "misfires on one cylinder"))
	for _, c := range j.checks {
		if c.kind == "swap" {
			found = true
			if len(c.do.cautions) == 0 || len(c.do.steps) < 3 {
				t.Errorf("%s has cautions %v, steps %v", c.id, c.do.cautions, c.do.steps)
			}
		}
	}
	if !found {
		t.Errorf("no swap is proposed for a misfire; next is %s", r.Next.Title)
	}
}

func mustState(e *Engine, text string) *State {
	s, _ := e.Replay([]Turn{{Text: text}})
	return s
}

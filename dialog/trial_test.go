package dialog

import (
	"math"
	"slices"
	"strings"
	"testing"
)

// cured is a case whose last repair was told to have cured it and whose proof
// passed; the cause comes daily.
func onTrialCase(t *testing.T, e *Engine) (*State, *Reply) {
	t.Helper()
	s, _ := e.Start()
	s, _ = tapped(e, s, Tap{Finding: "overheats", Outcome: "present"}, Tap{Finding: "fan-runs", Outcome: "never"},
		Tap{Finding: "fan-direct-feed", Outcome: "runs"}, Tap{Finding: "fan-relay-bench", Outcome: "click-no-contact"},
		Tap{Finding: "repair:renew-fan-relay", Outcome: "cured"})
	if s.Proving != "fan-relay-contacts-burnt" {
		t.Fatalf("%s is to be proven", s.Proving)
	}
	s, r := tapped(e, s, Tap{Request: "proven"})
	if s.Closed != "on trial" || r.Trial == nil || r.Next.ID != "trial-gap" {
		t.Fatalf("closed %q, trial %+v, next %s", s.Closed, r.Trial, r.Next.ID)
	}
	return s, r
}

// The worked example: every third day before, two clean weeks since, is
// exp(-14/3), 1 in 100 that it is luck. Under three gaps the case stays open,
// at three it closes.
func TestTrial(t *testing.T) {
	e := engineOf(t)
	for _, way := range []struct {
		turns  []string
		luck   float64
		closed string
		words  string
	}{
		{[]string{"about every third day"}, 1, "on trial", "every 3 days"},
		{[]string{"about every third day", "a week and nothing"}, math.Exp(-7.0 / 3), "on trial", "1 in 10"},
		{[]string{"about every third day", "two weeks clean"}, math.Exp(-14.0 / 3), "cured", "1 in 100"},
		{[]string{"twice a week", "10 days and no trouble"}, math.Exp(-10 / 3.5), "on trial", "1 in 15"},
		{[]string{"two weeks and no trouble", "it did it every third day"}, math.Exp(-14.0 / 3), "cured", "1 in 100"},
		{[]string{"one trip in five", "16 trips fine"}, math.Exp(-16.0 / 5), "cured", "1 in 25"},
		{[]string{"one trip in five", "8 days fine", "8 trips fine"}, math.Exp(-8.0 / 5), "on trial", "1 in 5"},
		{[]string{"every time"}, 1, "cured", ""},
		{[]string{"every third day", "it hasn't done it for ten days"}, math.Exp(-10.0 / 3), "cured", "1 in 30"},
		{[]string{"I'd say it did it every third day", "all good again, 4 days now"}, math.Exp(-4.0 / 3), "on trial", "1 in 4"},
	} {
		s, _ := onTrialCase(t, e)
		s, r := say(t, e, s, way.turns...)
		if s.Closed != way.closed || r.Trial == nil || math.Abs(r.Trial.Luck-way.luck) > 1e-12 || !strings.Contains(r.Trial.Words, way.words) {
			t.Errorf("%q: closed %q, trial %+v; want %q, luck %g", way.turns, s.Closed, r.Trial, way.closed, way.luck)
		}
		if s.Closed == "cured" && s.Solved != "fan-relay-contacts-burnt" {
			t.Errorf("%q: solved %q", way.turns, s.Solved)
		}
	}
}

// While the trial runs, belief in the mended cause grows with the clean stretch
// by exactly the likelihood ratio 1 : exp(-t/tau) between the repair's outcomes.
func TestTrialMovesBelief(t *testing.T) {
	e := engineOf(t)
	s, _ := onTrialCase(t, e)
	s, _ = say(t, e, s, "every third day")
	k := e.number["fan-relay-contacts-burnt"]
	last := 0.0
	for _, clean := range []string{"1 day clean", "3 days clean", "8 days clean"} {
		n, _ := say(t, e, s, clean)
		p := e.judgeOnly(n.clone()).Singles[k]
		if p <= last {
			t.Errorf("after %s the cause is at %g, before at %g", clean, p, last)
		}
		last = p
		l := n.outcomeOnTrial(&n.Notes[len(n.Notes)-1])
		if len(l) != 4 || l[2] != 1 || math.Abs(l[0]-n.care.trial.Luck) > 1e-15 {
			t.Errorf("after %s the outcomes weigh %v", clean, l)
		}
	}
}

// "It came back" says: wrong cause, failed repair or second cause. The more
// gaps it was away, the less it speaks for a repair that did nothing.
func TestCameBack(t *testing.T) {
	e := engineOf(t)
	s, _ := onTrialCase(t, e)
	before := e.judgeOnly(s.clone()).Singles[e.number["fan-relay-contacts-burnt"]]
	s, _ = say(t, e, s, "every third day")
	soon, r := say(t, e, s, "it came back after a day")
	if r.Closed != "" || soon.Solved != "" || r.Trial != nil || !strings.Contains(r.Text, "after 1 day") || !strings.Contains(r.Text, "wrong cause") {
		t.Errorf("closed %q: %s", r.Closed, r.Text)
	}
	p := func(s *State) float64 {
		_, failed, second := e.backShares(s.clone(), "repair:renew-fan-relay")
		return failed + second
	}
	if got := e.judgeOnly(soon.clone()).Singles[e.number["fan-relay-contacts-burnt"]]; got >= before {
		t.Errorf("belief in the mended cause went from %g to %g", before, got)
	}
	late, _ := say(t, e, s, "it came back after two weeks")
	if p(late) <= p(soon) {
		t.Errorf("back after two weeks leaves %g to a failed repair or second cause, after a day %g", p(late), p(soon))
	}
	w, f, x := e.backShares(late.clone(), "repair:renew-fan-relay")
	if sum := w + f + x; math.Abs(sum-1) > 1e-9 || w < 0 || f <= 0 {
		t.Errorf("the three readings are %g, %g, %g", w, f, x)
	}
	if late.Tried["renew-fan-relay"] != "" {
		t.Error("the job may have to be done again and is barred")
	}
	for _, words := range []string{"it did it again", "it came back", "it's back", "still doing it"} {
		if again, _ := say(t, e, s, words); again.Closed != "" {
			t.Errorf("%q leaves the case %s", words, again.Closed)
		}
	}
	kinds := []string{}
	for _, m := range late.History {
		kinds = append(kinds, m.Kind)
	}
	if !slices.Contains(kinds, "reopened") {
		t.Errorf("the timeline is %v", kinds)
	}
	// The gap that was told once holds for the next trial.
	again, r := tapped(e, late, Tap{Finding: "repair:renew-fan-relay", Outcome: "cured"}, Tap{Request: "proven"})
	if again.Closed != "on trial" || r.Trial == nil || r.Trial.Gap != 3 {
		t.Errorf("the second trial is %+v", r.Trial)
	}
	if len(again.care.back) != 0 {
		t.Error("the job was done once more, and still counts as come back")
	}
	// Another cause mended after it is what the record names.
	other, _ := tapped(e, late, Tap{Finding: "repair:fan-earth-bad", Outcome: "cured"}, Tap{Request: "proven"}, Tap{Request: "clean", About: "9 days"})
	rep := e.Report(other)
	if rep.Status != "cured" || len(rep.Repairs) != 2 || !strings.Contains(rep.Repairs[0].Changed, "came back after 14 days") || rep.Cause == nil || rep.Cause.ID != other.Solved {
		t.Errorf("the record: %s, repairs %+v, cause %+v", rep.Status, rep.Repairs, rep.Cause)
	}
	// A cure seen and never told as a job is noted as one.
	told, _ := e.Start()
	told, _ = tapped(e, told, Tap{Finding: "overheats", Outcome: "present"}, Tap{Finding: "fan-runs", Outcome: "never"}, Tap{Finding: "fan-direct-feed", Outcome: "still"})
	told, _ = say(t, e, told, "it's fixed")
	told, _ = tapped(e, told, Tap{Request: "proven"})
	if rep := e.Report(told); rep.Status != "cured" || len(rep.Repairs) != 1 || rep.Repairs[0].Article != told.Solved {
		t.Errorf("the record of an untold job: %s, %+v", rep.Status, rep.Repairs)
	}
}

// A cure is asked for its proof, and "still doing it" before the proof can have
// shown speaks neither way.
func TestProofOfCure(t *testing.T) {
	e := engineOf(t)
	start := func() *State {
		s, _ := e.Start()
		s, _ = tapped(e, s, Tap{Finding: "overheats", Outcome: "present"}, Tap{Finding: "fan-runs", Outcome: "never"},
			Tap{Finding: "fan-direct-feed", Outcome: "still"}, Tap{Finding: "repair:fan-motor-failed", Outcome: "cured"})
		if s.Proving != "fan-motor-failed" {
			t.Fatalf("%q is to be proven", s.Proving)
		}
		return s
	}
	s, r := say(t, e, start(), "it's fixed")
	if s.Closed != "" || r.Next.Kind != "proof" {
		t.Errorf("closed without proof: %q, %s", s.Closed, r.Next.Kind)
	}
	s, r = say(t, e, start(), "still doing it")
	if s.Proving == "" || r.Next.ID != "shows-after" {
		t.Errorf("too early, and taken for a failure: proving %q, next %s", s.Proving, r.Next.ID)
	}
	early, r := say(t, e, s, "not yet")
	if early.Proving == "" || r.Next.Kind != "proof" || len(early.Tried) != 1 || early.Tried["fan-motor-failed"] != "cured" {
		t.Errorf("not yet: proving %q, tried %v, next %s", early.Proving, early.Tried, r.Next.Kind)
	}
	failed, _ := say(t, e, s, "yes")
	if failed.Proving != "" || failed.Tried["fan-motor-failed"] != "same" {
		t.Errorf("after the warm-up: proving %q, tried %v", failed.Proving, failed.Tried)
	}
	// The proof test's own outcome counts, both ways.
	passed, _ := tapped(e, start(), Tap{Finding: "fan-runs", Outcome: "comes-on"})
	if passed.Closed != "cured" {
		t.Errorf("the proof was seen, and the case is %q", passed.Closed)
	}
	refuted, _ := tapped(e, start(), Tap{Finding: "fan-runs", Outcome: "never"})
	if refuted.Closed != "" || refuted.Proving != "" || refuted.Tried["fan-motor-failed"] != "same" {
		t.Errorf("the proof failed: closed %q, proving %q, tried %v", refuted.Closed, refuted.Proving, refuted.Tried)
	}
	// The part that is named is the one that is proven, whatever was proposed;
	// one that was renewed without a change is not.
	clamp, _ := e.Start()
	clamp, _ = tapped(e, clamp, Tap{Finding: "wont-start", Outcome: "present"}, Tap{Finding: "part:starter-relay:replaced", Outcome: "same"})
	clamp, _ = say(t, e, clamp, "it's fixed")
	if c := e.base.Cause(clamp.Proving); c == nil || c.Part == "starter-relay" {
		t.Errorf("a relay that changed nothing is to be proven: %q", clamp.Proving)
	}
	clamp, _ = say(t, e, clamp, "i cleaned the battery clamps and it's cured")
	if c := e.base.Cause(clamp.Proving); c == nil || !strings.HasPrefix(c.Part, "battery-") {
		t.Errorf("after the clamps %q is to be proven", clamp.Proving)
	}
	open, r := tapped(e, start(), Tap{Request: "unproven"})
	if open.Closed != "not proven" || !strings.Contains(r.Text, "not proven") || e.Report(open).Cause.Sure == "proven" {
		t.Errorf("closed as %q: %s", open.Closed, r.Text)
	}
}

// A trouble that comes and goes: a check is armed as three lines, what is tried
// while it is well is marked so, and its result ends the waiting.
func TestArmed(t *testing.T) {
	e := engineOf(t)
	s, _ := e.Start()
	s, _ = tapped(e, s, Tap{Finding: "overheats", Outcome: "present"}, Tap{Finding: "fan-runs", Outcome: "never"})
	s, r := tapped(e, s, Tap{Request: "sometimes"})
	if len(r.Armed) != 1 || len(r.Armed[0].Lines) != 3 {
		t.Fatalf("armed: %+v\n%s", r.Armed, r.Text)
	}
	a := r.Armed[0]
	test := e.base.Test(a.ID)
	if test == nil || !passing(test) || !strings.Contains(r.Text, "Never by the driver on the move") {
		t.Errorf("%s is armed: %s", a.ID, r.Text)
	}
	if len(test.Hazards)+len(test.Cautions) > 0 && len(a.Cautions) == 0 {
		t.Error("the card leaves the cautions out")
	}
	if r.Next.ID == a.ID {
		t.Error("what is armed is asked for now")
	}
	if i, j := strings.Index(r.Text, "⚠"), strings.Index(r.Text, a.Lines[0]); len(a.Cautions) > 0 && (i < 0 || i > j) {
		t.Error("the caution stands behind the step")
	}
	quiet, _ := tapped(e, s, Tap{Finding: "fan-relay-click", Outcome: "clicks"})
	if n := quiet.Notes[len(quiet.Notes)-1]; n.present != "no" {
		t.Errorf("tried while it is well, and present is %q", n.present)
	}
	finding := test.ID
	if test.Of != "" {
		finding = test.Of
	}
	f := e.base.Finding(finding)
	done, r := tapped(e, s, Tap{Finding: finding, Outcome: f.Outcomes[0].ID})
	if n := done.Notes[len(done.Notes)-1]; n.present != "yes" || len(r.Armed) != 0 {
		t.Errorf("done while it showed: present %q, armed %v", n.present, r.Armed)
	}
	again, r := tapped(e, s, Tap{Request: "arm", About: a.ID})
	if len(again.care.armed) != 1 {
		t.Errorf("armed twice: %s", r.Text)
	}
}

// Every test that can be armed makes a card of three lines; the others are
// refused.
func TestCards(t *testing.T) {
	e := engineOf(t)
	n := 0
	for _, test := range e.base.Tests {
		if !passing(test) {
			continue
		}
		n++
		if len(test.Access) > 0 || test.Minutes > armedMinutes || len(test.Steps) == 0 {
			t.Errorf("%s can't be done where it stands", test.ID)
		}
	}
	if n < 10 {
		t.Errorf("only %d tests can be armed", n)
	}
}

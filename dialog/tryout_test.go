package dialog

import (
	"slices"
	"strings"
	"testing"
)

// Every axis of conditions that has a trial has it proposed, with its caution and
// answers, when the person does not know the answer; put once, not again.
func TestTrialsAreProposed(t *testing.T) {
	e := engineOf(t)
	for i := range e.base.Axes {
		a := &e.base.Axes[i]
		if a.Trial == nil {
			continue
		}
		s, _ := e.Start()
		s.Turns = append(s.Turns, Turn{})
		s.Chief = "rough-idle"
		id := "cond:rough-idle:" + a.ID + ":" + a.Values[0].ID
		if f, table := e.finding(id, ""); f == nil || len(table.Rows) == 0 {
			continue // nothing hangs on it for this trouble
		}
		if len(e.trialChecks(s)) > 0 {
			t.Errorf("%s: a trial is proposed unasked", a.ID)
		}
		s.Passed[id] = dontKnow
		got := e.trialChecks(s)
		if len(got) != 1 {
			t.Errorf("%s: %d trials are proposed", a.ID, len(got))
			continue
		}
		d := got[0].do
		if len(d.steps) == 0 || d.steps[0] != a.Trial.Do || len(d.cautions) == 0 || d.cautions[0] == "" || d.minutes <= 0 || len(d.quick) < 3 || got[0].asks() {
			t.Errorf("%s: proposed is %+v", a.ID, *d)
		}
		s.Passed[trialPut+id] = "put"
		if len(e.trialChecks(s)) > 0 {
			t.Errorf("%s: it is put again", a.ID)
		}
	}
}

// In a talk: not knowing what a condition does leads to the trial, its answer is
// noted as tried, and it is not asked a second time.
func TestTrialInATalk(t *testing.T) {
	e := engineOf(t)
	s, r := e.Replay([]Turn{{Text: "brakes squeal"}})
	put := ""
	for range 16 {
		if r.Next.Kind == "test" && strings.HasPrefix(r.Next.ID, "cond:") {
			put = r.Next.ID
			break
		}
		if r.Next.Kind == "question" {
			s, r = e.Step(s, Turn{Text: "don't know"})
			continue
		}
		s, r = e.Step(s, Turn{Text: "can't do that"})
	}
	if put == "" {
		t.Fatalf("no trial was put; next is %s %s, passed over %v", r.Next.Kind, r.Next.ID, s.Passed)
	}
	if len(r.Next.Cautions) == 0 || len(r.Next.Steps) == 0 || !strings.Contains(r.Text, "⚠") {
		t.Errorf("it is put without caution or step:\n%s", r.Text)
	}
	s, r = e.Step(s, Turn{Text: r.Next.Quick[0].Text, Tap: &r.Next.Quick[0].Tap})
	if !s.known(put) || r.Next.ID == put {
		t.Errorf("after the answer next is %s; noted %+v", r.Next.ID, r.Noted)
	}
	if slices.ContainsFunc(r.SoFar, func(n Noted) bool { return n.Finding == put && n.Certainty < triedBelow }) {
		t.Error("what was tried counts as half remembered")
	}
}

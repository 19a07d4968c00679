package dialog

import (
	"testing"

	"ruleout/kb"
)

// What is only asked, or can't be used, leaves the step on the table and the
// answer to it open.
func TestAskingKeepsTheStep(t *testing.T) {
	base, problems := kb.Embedded()
	if bad := problems.Errors(); len(bad) > 0 {
		t.Fatal(bad)
	}
	e, err := New(base, nil, DefaultSettings)
	if err != nil {
		t.Fatal(err)
	}
	s, r := e.Replay([]Turn{{Text: "one click when I turn the key"}})
	for k := range 6 {
		for _, ask := range []string{"why?", "how?", "what else could it be?", "what did you note?", "is it safe to drive?", "thanks", "zorble"} {
			before := *r.Next
			s, r = e.Step(s, Turn{Text: ask})
			if r.Next.Kind != before.Kind || r.Next.ID != before.ID {
				t.Errorf("step %d: after %q it is %s %q, was %s %q", k, ask, r.Next.Kind, r.Next.ID, before.Kind, before.ID)
			}
		}
		id := r.Next.ID
		if s, r = e.Step(s, Turn{Text: "skip"}); r.Next.ID == id {
			t.Errorf("step %d: %q stays although it was passed", k, id)
		}
	}
}

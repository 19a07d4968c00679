package dialog

import "testing"

// Whatever is said once a case is closed gets an answer.
func TestNoReplyIsEmptyOnceClosed(t *testing.T) {
	e := engineOf(t)
	s, _ := e.Start()
	s, r := say(t, e, s, "the horn doesn't work", "new horn and it works")
	tap := r.Next.Quick[0].Tap // the proof passes
	s, _ = e.Step(s, Turn{Text: r.Next.Quick[0].Text, Tap: &tap})
	if s.Closed == "" {
		t.Fatalf("the case did not close after %q", r.Next.Quick[0].Text)
	}
	for _, text := range []string{"it only does it sometimes", "hmm", "ok then", "thanks", "why?"} {
		s, r = e.Step(s, Turn{Text: text})
		if r.Text == "" {
			t.Errorf("%q: no answer (closed as %q)", text, s.Closed)
		}
	}
}

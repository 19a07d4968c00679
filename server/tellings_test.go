package main

import (
	"slices"
	"strings"
	"testing"

	"ruleout/dialog"
	"ruleout/kb"
)

// TestComplaintByTellings holds talks in which the reader knows the complaint by
// no rule, over all articles and the tellings.
func TestComplaintByTellings(t *testing.T) {
	b, _ := kb.Embedded()
	r, err := openRooms(b, &config{})
	if err != nil {
		t.Fatal(err)
	}
	defer r.index.Close()
	symptoms := func(reply *dialog.Reply) []string {
		var out []string
		for _, n := range reply.Noted {
			if b.Symptom(n.Finding) != nil && n.Outcome == "present" {
				out = append(out, n.Finding)
			}
		}
		return out
	}

	// Words that may be many things are asked about and taken for none.
	s, _ := r.engine.Start()
	s, reply := r.engine.Step(s, dialog.Turn{Text: "my water wont stop dripping on the drive"})
	if got := symptoms(reply); len(got) > 0 || reply.Chief != "" {
		t.Errorf("taken for %v, complaint %q", got, reply.Chief)
	}
	if n := len(reply.Next.Quick); reply.Next.Kind != "which" || n < 3 || reply.Next.Quick[n-1].Text != "none of these" {
		t.Fatalf("next is %+v, want a choice of what it may be", reply.Next)
	}
	// Whoever means none of them says it again, and that is followed.
	s, reply = r.engine.Step(s, dialog.Turn{Text: "none of these"})
	if !strings.Contains(reply.Text, "other words") || reply.Chief != "" {
		t.Errorf("none of these: %q, complaint %q", reply.Text, reply.Chief)
	}
	_, reply = r.engine.Step(s, dialog.Turn{Text: "it loses coolant, top up every week"})
	if reply.Chief != "loses-coolant" {
		t.Errorf("the complaint is %q, want loses-coolant", reply.Chief)
	}

	// What may injure is said before it is known.
	s, _ = r.engine.Start()
	if _, reply = r.engine.Step(s, dialog.Turn{Text: "theres wet on the floor of the garage, rainbow colours"}); reply.Chief == "" && (reply.Stop == nil || reply.Stop.Article != "fuel-drips" || !strings.HasPrefix(reply.Stop.Text, "If it is")) {
		t.Errorf("stop is %+v, want a warning of fuel", reply.Stop)
	}

	// Whoever taps one has told it.
	s, _ = r.engine.Start()
	s, reply = r.engine.Step(s, dialog.Turn{Text: "my water wont stop dripping on the drive"})
	first := reply.Next.Quick[0]
	_, reply = r.engine.Step(s, dialog.Turn{Text: first.Text})
	if sym := b.Symptom(reply.Chief); sym == nil || !strings.EqualFold(sym.Title, first.Text) {
		t.Errorf("%q chosen, the complaint is %q", first.Text, reply.Chief)
	}

	// A part that was renewed is no complaint, nor what the car is.
	for _, text := range []string{"Fitted a new wheel cylinder on that wheel, exactly the same problem.", "2004 saloon, petrol 1.6, manual"} {
		s, _ = r.engine.Start()
		if _, reply = r.engine.Step(s, dialog.Turn{Text: text}); len(symptoms(reply)) > 0 {
			t.Errorf("%q is taken for %v", text, symptoms(reply))
		}
	}

	// A symptom told and denied in one breath is told.
	s, _ = r.engine.Start()
	if _, reply = r.engine.Step(s, dialog.Turn{Text: "i cant get it to go into reverse without a horrible crunch"}); !slices.Contains(symptoms(reply), "gear-crunch") {
		t.Errorf("a crunch is taken for %v", symptoms(reply))
	}
}

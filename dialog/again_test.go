package dialog

import (
	"slices"
	"strings"
	"testing"

	"ruleout/kb"
)

// A part that fails again: what a good mechanic suspects then, in words and in
// the belief.
func TestFailedAgain(t *testing.T) {
	b, _ := kb.Embedded()
	e, err := New(b, nil, DefaultSettings)
	if err != nil {
		t.Fatal(err)
	}
	for _, x := range []struct{ complaint, words, part, up string }{
		{"charge-lamp-on", "it's the third alternator this year", "alternator", "battery-cell-dead"},
		{"fan-runs=never", "the new fan relay has burnt out again", "radiator-fan-relay", "fan-motor-failed"},
		{"belt-squeals", "second drive belt in six months", "drive-belt", "tensioner-weak"},
		{"overheats", "second head gasket in a year", "head-gasket", "thermostat-stuck-closed"},
		{"battery-flat", "this is the third battery this year", "battery", "regulator-undercharges"},
	} {
		finding, outcome, ok := strings.Cut(x.complaint, "=")
		if !ok {
			outcome = "present"
		}
		s, _ := e.Start()
		s, before := e.Step(s, Turn{Tap: &Tap{Finding: finding, Outcome: outcome}})
		s, after := e.Step(s, Turn{Text: x.words})
		want := "part:" + x.part + ":again"
		if !slices.ContainsFunc(after.Noted, func(n Noted) bool { return n.Finding == want && n.Weighs }) {
			t.Errorf("%q: noted %v, want %s", x.words, after.Noted, want)
			continue
		}
		if !strings.Contains(after.Text, "fails again") || !slices.Contains(after.Cites, kb.CardAgain) {
			t.Errorf("%q is answered without what kills it, or its page: %s", x.words, after.Text)
		}
		j := e.judgeOnly(s)
		k := e.number[x.up]
		was := before.probability(x.up)
		if was < 1e-4 {
			was = e.judgeOnly(s.prev).Singles[k]
		}
		if j.Singles[k] < 1.5*was {
			t.Errorf("%q: %s went from %.4f to %.4f, want up", x.words, x.up, was, j.Singles[k])
		}
	}
	for _, words := range []string{"fitted a second battery for the caravan", "put a new relay in, no change", "is it the third relay from the left?"} {
		s, _ := e.Start()
		s, _ = e.Step(s, Turn{Tap: &Tap{Finding: "battery-flat", Outcome: "present"}})
		_, r := e.Step(s, Turn{Text: words})
		for _, n := range r.Noted {
			if strings.HasSuffix(n.Finding, ":again") {
				t.Errorf("%q is taken for a repeat failure", words)
			}
		}
	}
}

// What a chain of damage joins must be looked at once one of them is found.
func TestAlsoLook(t *testing.T) {
	b, _ := kb.Embedded()
	e, _ := New(b, nil, DefaultSettings)
	for id, wants := range map[string][]string{
		"head-gasket-leaks":     {"what may have killed it", "thermostat-stuck-closed"},
		"regulator-overcharges": {"what it may have harmed", "battery-worn-out"},
		"fan-fuse-blown":        {"fan-motor-failed"},
	} {
		for _, want := range wants {
			if got := e.alsoLook(b.Cause(id)); !strings.Contains(got, want) {
				t.Errorf("%s: %q lacks %q", id, got, want)
			}
		}
	}
	// A chain is told at the moment the case closes.
	s, _ := e.Start()
	s, _ = e.Step(s, Turn{Tap: &Tap{Finding: "overcharges", Outcome: "present"}})
	s, _ = e.Step(s, Turn{Tap: &Tap{Finding: "repair:regulator-overcharges", Outcome: "cured"}})
	_, r := e.Step(s, Turn{Tap: &Tap{Request: "proven"}})
	if r.Closed != "cured" || !strings.Contains(r.Text, "article:battery-worn-out") {
		t.Errorf("closed %q, and said: %s", r.Closed, r.Text)
	}
}

// That a part may have been killed is asked of a suspect that others kill.
func TestAsksWhetherItFailedBefore(t *testing.T) {
	b, _ := kb.Embedded()
	e, _ := New(b, nil, DefaultSettings)
	s, _ := e.Start()
	s, _ = e.Step(s, Turn{Tap: &Tap{Finding: "overheats", Outcome: "present"}})
	s, _ = e.Step(s, Turn{Tap: &Tap{Finding: "combustion-leak-test", Outcome: "gas"}})
	j := e.layOut(s)
	if !slices.ContainsFunc(j.checks, func(c candidate) bool { return c.id == "part:head-gasket:again" && c.asks() }) {
		t.Error("with the head gasket leading nothing asks whether it failed before")
	}
}

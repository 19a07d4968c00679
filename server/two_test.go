package main

import (
	"strings"
	"testing"
)

// The page's contract for two troubles: the offer comes as a quick answer whose
// tap, sent back as it came, leaves the second trouble to a case of its own.
func TestTwoTroublesOverHTTP(t *testing.T) {
	p := startProgram(t, t.TempDir())
	c := p.newCase(t)
	p.tell(t, c.ID, map[string]any{"text": "loses coolant", "tap": map[string]any{"finding": "loses-coolant", "outcome": "present"}})
	r := p.tell(t, c.ID, map[string]any{"text": "and the brakes squeal", "tap": map[string]any{"finding": "brakes-squeal", "outcome": "present"}})
	for _, q := range r.Next.Quick {
		if q.Tap.Request != "split" {
			continue
		}
		if q.Tap.About != "brakes-squeal" || !strings.Contains(q.Text, "two troubles") {
			t.Errorf("the offer is %+v", q)
		}
		after := p.tell(t, c.ID, map[string]any{"text": q.Text, "tap": q.Tap})
		if after.Chief != "loses-coolant" || !strings.Contains(after.Text, "case of its own") {
			t.Errorf("about %q: %s", after.Chief, after.Text)
		}
		for _, n := range after.SoFar {
			if n.Finding == "brakes-squeal" && n.Weighs {
				t.Error("what was left out still weighs")
			}
		}
		return
	}
	t.Errorf("two troubles are not offered as two cases: %+v", r.Next.Quick)
}

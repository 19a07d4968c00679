package plainwords

import (
	"slices"
	"testing"

	"ruleout/kb"
)

// TestSaidOf reads words that tell one thing or another by what they are said of
// and what stands beside them.
func TestSaidOf(t *testing.T) {
	base, problems := kb.Embedded()
	if base == nil {
		t.Fatal(problems)
	}
	r := NewReader(base)
	for _, c := range []struct{ text, want, not string }{
		// What never goes without is always there.
		{"it won't go into reverse without a crunch", "gear-crunch=present", "gear-crunch=absent"},
		{"never brakes without squealing", "brakes-squeal=present", "brakes-squeal=absent"},
		{"it brakes without squealing", "", "brakes-squeal=present"},
		// What gets hot stands before it.
		{"the relay gets hot", "", "overheats=present"},
		{"the fuse is too hot to touch", "", "overheats=present"},
		{"the engine gets hot", "overheats=present", ""},
		{"my van gets hot", "overheats=present", ""},
		// An engine that misses lacks no part.
		{"started missing and banging out of the exhaust", "backfires=present", "part:exhaust-pipe-and-hangers:missing=yes"},
		{"the exhaust clamp is missing", "", "backfires=present"},
		// Up and down is no up.
		{"temp gauge creeping up", "overheats=present", ""},
		{"temperature gauge goes up and down", "gauge-how=creeps", "overheats=present"},
	} {
		var got []string
		for _, o := range r.Read(c.text, Context{}).Observations {
			got = append(got, o.Finding+"="+o.Outcome)
		}
		if c.want != "" && !slices.Contains(got, c.want) || slices.Contains(got, c.not) {
			t.Errorf("%q: %v, want %q and not %q", c.text, got, c.want, c.not)
		}
	}
}

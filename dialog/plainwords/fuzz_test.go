package plainwords

import (
	"strings"
	"testing"
)

// FuzzRead checks that any bytes, with and without a question asked, give an
// account that covers every byte once and whose offsets lie in the text.
func FuzzRead(f *testing.F) {
	for _, s := range []string{"", "\x00\xff\xfe", "12,4 volts 3k rpm 1/8", "no no no not not", strings.Repeat("hot ", 200), "the needle was at like 230", "Ω ° µ ’’’", "between 11 and", "a/c n/s w/", "2nd", "?", "-5c", "1,234,567.8"} {
		f.Add(s, "overheats-where")
	}
	f.Add("both", "parasitic-draw")
	r := NewReader(looseBase(f))
	f.Fuzz(func(t *testing.T, text, asked string) {
		for _, ctx := range []Context{{}, {Asked: &Asked{Finding: asked}, Chief: "overheats"}, {Asked: &Asked{Choices: []Meaning{{Finding: "overheats", Outcome: "present"}, {Finding: "steam", Outcome: "present"}}}}, {Asked: &Asked{Finding: "fan-look-round", Settles: []string{"fan-runs", "coolant-level-cold"}}}} {
			checkAccount(t, r.Read(text, ctx))
		}
	})
}

// checkAccount asserts what holds for every account.
func checkAccount(tb interface{ Fatalf(string, ...any) }, a Account) {
	at := 0
	for _, s := range a.Spans {
		if s.Start != at || s.End <= s.Start {
			tb.Fatalf("spans of %q: %v", a.Text, a.Spans)
		}
		at = s.End
	}
	if at != len(a.Text) {
		tb.Fatalf("spans of %q end at %d of %d", a.Text, at, len(a.Text))
	}
	within := func(what string, start, end int) {
		if start < 0 || end > len(a.Text) || start >= end {
			tb.Fatalf("%s at %d-%d of %q", what, start, end, a.Text)
		}
	}
	for _, o := range a.Observations {
		within(o.Finding, o.Start, o.End)
		if o.Certainty < 0 || o.Certainty > 1 {
			tb.Fatalf("certainty %v of %q", o.Certainty, a.Text)
		}
		if o.Outcome == "" && o.Reading == nil || o.Finding == "" {
			tb.Fatalf("empty observation %+v of %q", o, a.Text)
		}
	}
	for _, q := range a.Requests {
		within(q.Kind, q.Start, q.End)
	}
	for _, u := range a.Unplaced {
		within("unplaced", u.Start, u.End)
	}
}

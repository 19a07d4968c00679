package plainwords

import (
	"strings"
	"testing"

	"ruleout/kb"
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

// Thousands of whole stories are read, by the words of all articles, and so is
// each sentence of one after a sentence of another, whatever is being asked.
func TestEveryStoryIsRead(t *testing.T) {
	if testing.Short() {
		t.Skip("reads all histories")
	}
	b, problems := kb.Embedded()
	if b == nil {
		t.Fatal(problems)
	}
	r := NewReader(b)
	var sentences []string
	for i, h := range b.Lists.Histories {
		for k, text := range h.Told {
			ctx := Context{}
			if k > 0 {
				ctx.Chief = b.Symptoms[(7*i+k)%len(b.Symptoms)].ID
			}
			checkAccount(t, r.Read(text, ctx))
			sentences = append(sentences, strings.Split(text, ". ")...)
		}
	}
	joins := []string{". ", ", ", " but ", ", only ", " except ", " and not "}
	findings := b.Findings()
	for i := 0; i < len(sentences); i += 5 {
		other := sentences[(i*7919)%len(sentences)]
		text := sentences[i] + joins[i/5%len(joins)] + other
		checkAccount(t, r.Read(text, Context{Asked: &Asked{Finding: findings[i%len(findings)].ID}, Chief: b.Symptoms[i%len(b.Symptoms)].ID}))
	}
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

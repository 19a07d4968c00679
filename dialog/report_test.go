package dialog

import (
	"fmt"
	"reflect"
	"slices"
	"strings"
	"sync"
	"testing"

	"ruleout/kb"
)

// embedded is an engine over the embedded articles, without an index, made
// once: it is read-only.
var embedded = sync.OnceValues(func() (*Engine, error) {
	b, problems := kb.Embedded()
	if err := problems.Errors(); len(err) > 0 {
		return nil, fmt.Errorf("the articles are faulty: %v", err)
	}
	return New(b, nil, DefaultSettings)
})

func engineOf(t testing.TB) *Engine {
	t.Helper()
	e, err := embedded()
	if err != nil {
		t.Fatal(err)
	}
	return e
}

// say types the turns one after the other; a bare number is the quick answer
// of that place.
func say(t testing.TB, e *Engine, s *State, turns ...string) (*State, *Reply) {
	t.Helper()
	r := s.last
	for _, text := range turns {
		turn := Turn{Text: text}
		var k int
		if _, err := fmt.Sscanf(text, "%d", &k); err == nil && fmt.Sprint(k) == text && r.Next != nil {
			if k > len(r.Next.Quick) {
				t.Fatalf("there are only %d quick answers to %q", len(r.Next.Quick), r.Next.Title)
			}
			tap := r.Next.Quick[k-1].Tap
			turn = Turn{Text: r.Next.Quick[k-1].Text, Tap: &tap}
		}
		s, r = e.Step(s, turn)
	}
	return s, r
}

// tapped gives answers as taps.
func tapped(e *Engine, s *State, taps ...Tap) (*State, *Reply) {
	r := s.last
	for _, tap := range taps {
		s, r = e.Step(s, Turn{Text: "tap", Tap: &tap})
	}
	return s, r
}

// A whole case with a dead fan relay coil: the report names what was told, what
// was read against what was expected, what is out and by what, and the proof.
func TestReport(t *testing.T) {
	e := engineOf(t)
	s, _ := e.Start()
	s, _ = say(t, e, s, "1999 Tolland Carrier 1.9 petrol, gets hot in traffic, fine on the open road. dealer says its the thermostat")
	coil := 1e6
	s, _ = tapped(e, s,
		Tap{Finding: "fan-runs", Outcome: "never"},
		Tap{Finding: "fan-fuse-check", Outcome: "good"},
		Tap{Finding: "fan-direct-feed", Outcome: "runs"},
		Tap{Finding: "fan-relay-coil", Value: &coil, Unit: "ohm"})
	open := e.Report(s)
	if open.Status != "open" || open.Cause == nil || open.Cause.Sure != "suspected" || open.Cause.ID != "fan-relay-coil-open" {
		t.Fatalf("before the repair: %s, cause %+v", open.Status, open.Cause)
	}
	s, _ = tapped(e, s, Tap{Finding: "repair:renew-fan-relay", Outcome: "cured"})
	if p := e.Report(s); p.Status != "proving" || p.Proof == nil || p.Proof.Passed {
		t.Errorf("repaired and not proven is %q, proof %+v", p.Status, p.Proof)
	}
	s, _ = tapped(e, s, Tap{Request: "proven"})
	r := e.Report(s)

	if r.Status != "cured" || r.Cause == nil || r.Cause.ID != "fan-relay-coil-open" || r.Cause.Sure != "proven" || r.Proof == nil || !r.Proof.Passed {
		t.Errorf("status %q, cause %+v, proof %+v", r.Status, r.Cause, r.Proof)
	}
	if !strings.Contains(r.Complaint.Words, "gets hot in traffic") {
		t.Errorf("the complaint's words are %q", r.Complaint.Words)
	}
	find := func(list []Found, id string) *Found {
		for i := range list {
			if list[i].ID == id {
				return &list[i]
			}
		}
		t.Fatalf("%s is not in the report", id)
		return nil
	}
	if f := find(r.Findings, "fan-relay-coil"); f.By != "measured" || f.Expected != e.base.Test("fan-relay-coil").Reading.Expect || !f.Amiss || !strings.Contains(f.Said, "Ω") {
		t.Errorf("the reading stands as %+v", f)
	}
	if f := find(r.Conditions, "overheats-where"); f.Said != "only stopped or in slow traffic" {
		t.Errorf("the condition stands as %+v", f)
	}
	if len(r.RuledOut) == 0 {
		t.Error("nothing is out, though the coil is open")
	}
	for _, o := range r.RuledOut {
		if o.ID == "fan-relay-coil-open" || o.ByTitle == "" || !s.known(o.By) {
			t.Errorf("out by what was not told: %+v", o)
		}
	}
	if r.Circuit == nil || r.Circuit.Article != "fan-circuit" || r.Circuit.Name == "" {
		t.Errorf("the circuit is %+v", r.Circuit)
	}
	// The job's range is the authored one: 5 to 40 and its minutes at the rate.
	job := e.base.Cause("fan-relay-coil-open").Repair
	if len(r.Repairs) != 1 || r.Cost == nil || r.Cost.Parts != (Range{job.Money.Low, job.Money.High}) || r.Cost.Minutes.Low != job.Minutes+e.accessMinutes(job.Access) {
		t.Errorf("repairs %+v, cost %+v", r.Repairs, r.Cost)
	}
	if len(r.Cites) == 0 || len(r.Stops) == 0 {
		t.Errorf("cites %v, stops %v", r.Cites, r.Stops)
	}
	for _, want := range []string{"## Complaint", "## Conditions", "## Findings and readings", "expected:", "## Ruled out, and by what", "## Circuit", "## Cost and time", "## Proof", "## Timeline", "## Articles"} {
		if md := Markdown(r); !strings.Contains(md, want) {
			t.Errorf("the page lacks %q:\n%s", want, md)
		}
	}
	hand := HandOver(open)
	for _, want := range []string{"Need not be repeated", "## Suspected", "in 10", "by what means"} {
		if !strings.Contains(hand, want) {
			t.Errorf("the hand-over lacks %q:\n%s", want, hand)
		}
	}
	if testing.Verbose() {
		t.Log(Markdown(r), hand)
	}
}

// The report changes nothing, is the same each time, and takes its times from
// the caller.
func TestReportIsAView(t *testing.T) {
	e := engineOf(t)
	s, _ := e.Start()
	s, _ = say(t, e, s, "battery flat every monday", "undo", "battery flat every morning")
	first := e.Report(s)
	if again := e.Report(s); !reflect.DeepEqual(first, again) {
		t.Error("two reports of one state differ")
	}
	a, ra := e.Step(s, Turn{Text: "why?"})
	b, rb := e.Replay(append(slices.Clone(s.Turns), Turn{Text: "why?"}))
	if ra.Text != rb.Text || len(a.Notes) != len(b.Notes) {
		t.Error("a report changed the conversation")
	}
	first.At(func(turn int) string { return fmt.Sprint("day ", turn) })
	if len(first.Timeline) == 0 || first.Timeline[0].Kind != "undone" || first.Timeline[0].When != "day 2" {
		t.Errorf("timeline %+v", first.Timeline)
	}
	if md := Markdown(first); !strings.Contains(md, "day 2") {
		t.Error("the times do not stand on the page")
	}
}

// What people type can't pass as headings, links or markup of the page.
func TestReportEscapes(t *testing.T) {
	e := engineOf(t)
	s, _ := e.Start()
	s, _ = say(t, e, s, "# it gets hot in traffic <img src=x> [click](http://x) `rm`")
	md := Markdown(e.Report(s))
	for _, bad := range []string{"<img", "[click](", "\n# it"} {
		if strings.Contains(strings.ReplaceAll(md, `\`+bad, ""), bad) {
			t.Errorf("%q stands unescaped:\n%s", bad, md)
		}
	}
}

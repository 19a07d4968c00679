package dialog

import (
	"encoding/json"
	"flag"
	"fmt"
	"math"
	"reflect"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// likeOf is a state without its past and with the numbers of turns counted
// among those in force, so that a case with turns taken back can be compared
// with the same case told without them.
func likeOf(s *State) map[string]any {
	turn := func(n int) int { return slices.Index(s.InForce, n) + 1 }
	notes := make([]string, len(s.Notes))
	for i, n := range s.Notes {
		n.Turn = turn(n.Turn)
		q := ""
		if n.quantity != nil {
			q = fmt.Sprintf("%+v", *n.quantity)
		}
		n.quantity = nil
		v := math.NaN()
		if n.Value != nil {
			v = *n.Value
		}
		n.Value = nil
		notes[i] = fmt.Sprintf("%+v %v %s", n, v, q)
	}
	eras := slices.Clone(s.Eras)
	for i := range eras {
		eras[i].Turn = turn(eras[i].Turn)
	}
	var told []Turn
	for _, n := range s.InForce {
		told = append(told, s.Turns[n-1])
	}
	supposing := ""
	if x := s.supposedNow(); x != nil {
		supposing = fmt.Sprint(x.What, turn(x.Since))
	}
	var open open
	if s.Open != nil {
		open = *s.Open
	}
	return map[string]any{
		"turns": told, "notes": notes, "vehicle": s.Vehicle, "tools": s.Tools, "chief": s.Chief, "also": fmt.Sprint(s.Also), "open": open,
		"pending": fmt.Sprintf("%+v", s.Pending), "asked": s.Asked, "put": fmt.Sprint(s.Put), "passed": s.Passed, "settled": s.Settled, "eras": fmt.Sprint(eras),
		"tried": s.Tried, "proving": s.Proving, "closed": s.Closed, "solved": s.Solved, "warned": s.Warned, "pointed": s.Pointed, "faint": s.Faint,
		"openAsked": s.OpenAsked, "supposing": supposing, "care": careOf(s),
	}
}

// careOf is what a state keeps of trials, armed checks and parts, in words.
func careOf(s *State) string {
	c := s.care
	trial := Trial{}
	if c.trial != nil {
		trial = *c.trial
	}
	c.trial = nil
	var back []string
	for _, k := range sortedKeys(c.back) {
		back = append(back, fmt.Sprint(k, c.back[k]))
	}
	c.back = nil
	if len(c.armed) == 0 {
		c.armed = nil
	}
	return fmt.Sprintf("%+v %+v %v", c, trial, back)
}

// fewer sets how many cases a property is tried on where the command line does
// not say: each here is a whole conversation, told three times.
func fewer(t *testing.T, checks string) {
	said := false
	flag.Visit(func(f *flag.Flag) { said = said || f.Name == "rapid.checks" })
	f := flag.Lookup("rapid.checks")
	if said || f == nil || f.Value.String() != f.DefValue {
		return
	}
	before := f.Value.String()
	if err := f.Value.Set(checks); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = f.Value.Set(before) })
}

// inForce are the turns that remain.
func inForce(s *State) []Turn {
	var out []Turn
	for _, n := range s.InForce {
		out = append(out, s.Turns[n-1])
	}
	return out
}

// After any sequence of answers, undo, strikes, changes, suppositions, keeps
// and drops the state is that of the turns that remain, told from the start,
// and the next reply is the same to the byte; replaying all turns gives the
// same state and reply as well.
func TestSecondThoughts(t *testing.T) {
	e := engineOf(t)
	complaints := []string{"it gets hot in traffic, fine on the open road", "battery flat every morning", "just one click when i turn the key", "wont start in the wet, cranks fine"}
	words := []string{"undo", "undo", "drop it", "keep it", "why?", "skip", "don't know", "what if it had read 0 V?", "what if the fan did run?", "what if the battery was flat", "still doing it", "it's fixed",
		"its a 1999 petrol", "no wait, the left one", "12.4 volts", "I have no meter", "I replaced the relay, no change", "recap", "it only does it sometimes", "it came back after a week", "the part is on order", "the part is here", "arm it", "start over", "two weeks and no trouble"}
	if testing.Short() {
		fewer(t, "8")
	}
	fewer(t, "25")
	rapid.Check(t, func(t *rapid.T) {
		s, r := e.Start()
		step := func(turn Turn) {
			before := likeOf(s)
			next, reply := e.Step(s, turn)
			if !reflect.DeepEqual(before, likeOf(s)) {
				t.Fatalf("the turn %+v changed the state before it", turn)
			}
			s, r = next, reply
		}
		step(Turn{Text: rapid.SampledFrom(complaints).Draw(t, "complaint")})
		for range rapid.IntRange(1, 12).Draw(t, "turns") {
			switch rapid.IntRange(0, 6).Draw(t, "kind") {
			case 0, 1:
				if r.Next != nil && len(r.Next.Quick) > 0 {
					q := rapid.SampledFrom(r.Next.Quick).Draw(t, "quick")
					tap := q.Tap
					step(Turn{Text: q.Text, Tap: &tap})
				}
			case 2:
				step(Turn{Text: "strike", Tap: &Tap{Strike: rapid.IntRange(0, len(s.Notes)+1).Draw(t, "strike")}})
			case 3:
				if len(s.Notes) > 0 {
					n := rapid.SampledFrom(s.Notes).Draw(t, "note")
					if f, _ := e.finding(n.Finding, n.means); f != nil {
						o := rapid.SampledFrom(f.Outcomes).Draw(t, "outcome")
						request := rapid.SampledFrom([]string{"", "what-if"}).Draw(t, "request")
						tap := Tap{Strike: n.Number, Finding: n.Finding, Outcome: o.ID, Request: request}
						step(Turn{Text: "change", Tap: &tap})
					}
				}
			case 4:
				v := rapid.SampledFrom([]float64{0, 0.4, 12.6, 78}).Draw(t, "value")
				f := rapid.SampledFrom([]string{"fan-relay-coil", "battery-rest-voltage", "parasitic-draw"}).Draw(t, "test")
				step(Turn{Text: "reading", Tap: &Tap{Request: rapid.SampledFrom([]string{"", "what-if"}).Draw(t, "request"), Finding: f, Value: &v}})
			default:
				step(Turn{Text: rapid.SampledFrom(words).Draw(t, "words")})
			}
		}
		told, _ := e.Replay(inForce(s))
		want, got := likeOf(told), likeOf(s)
		for _, k := range sortedKeys(want) {
			if !reflect.DeepEqual(want[k], got[k]) {
				t.Fatalf("%s differs from the case told without what was taken back:\nwant %+v\ngot  %+v", k, want[k], got[k])
			}
		}
		all, last := e.Replay(s.Turns)
		if !reflect.DeepEqual(likeOf(all), got) || !same(last, r) {
			t.Fatal("the replay of all turns differs")
		}
		_, a := e.Step(s, Turn{Text: "what else could it be"})
		_, b := e.Step(told, Turn{Text: "what else could it be"})
		if a.Text != b.Text || !reflect.DeepEqual(a.Suspects, b.Suspects) {
			t.Fatalf("the next reply differs:\n%s\n---\n%s", a.Text, b.Text)
		}
	})
}

func same(a, b *Reply) bool {
	x, err1 := json.Marshal(a)
	y, err2 := json.Marshal(b)
	return err1 == nil && err2 == nil && string(x) == string(y)
}

// A struck finding weighs as if it had never been told.
func TestStruckWeighsNothing(t *testing.T) {
	e := engineOf(t)
	chief := Tap{Finding: "overheats", Outcome: "present"}
	extra := []Tap{{Finding: "fan-runs", Outcome: "never"}, {Finding: "fan-fuse-check", Outcome: "blown"}, {Finding: "part:radiator-fan-relay:replaced", Outcome: "same"}, {Finding: "repair:renew-fan-relay", Outcome: "same"}, {Finding: "repair:renew-fan-relay", Outcome: "cured"}}
	start, _ := e.Start()
	plain, without := tapped(e, start, chief)
	for _, x := range extra {
		s, _ := tapped(e, start, chief, x)
		n := s.Notes[len(s.Notes)-1].Number
		s, got := tapped(e, s, Tap{Strike: n})
		if !reflect.DeepEqual(got.Suspects, without.Suspects) || len(s.Tried) != len(plain.Tried) || s.Proving != plain.Proving {
			t.Errorf("%s struck: suspects %+v, tried %v, proving %q", x.Finding, got.Suspects[0], s.Tried, s.Proving)
		}
	}
}

// What is supposed shows what it would change, and is gone when dropped.
func TestWhatIf(t *testing.T) {
	e := engineOf(t)
	v := 78.0
	s, _ := e.Start()
	s, _ = tapped(e, s, Tap{Finding: "overheats", Outcome: "present"}, Tap{Finding: "fan-runs", Outcome: "never"}, Tap{Finding: "fan-relay-coil", Value: &v, Unit: "ohm"})
	before := e.judgeOnly(s.clone()).Singles
	open := e.number["fan-relay-coil-open"]

	for _, words := range []string{"what if it had read open?", "What if it was open circuit"} {
		f, r := say(t, e, s, words)
		if f.supposed == nil || r.Supposing == nil || !strings.HasPrefix(r.Text, "Supposing ") {
			t.Fatalf("%q supposes nothing: %s", words, r.Text)
		}
		if p := e.judgeOnly(f.clone()).Singles[open]; p < 10*before[open] {
			t.Errorf("%q: the coil goes from %g to %g only", words, before[open], p)
		}
		d, r := say(t, e, f, "drop it")
		if r.Supposing != nil || !reflect.DeepEqual(e.judgeOnly(d.clone()).Singles, before) {
			t.Errorf("%q: dropped, and something is left", words)
		}
		k, r := say(t, e, f, "keep it")
		if r.Supposing != nil || k.Notes[2].struck == false || e.judgeOnly(k.clone()).Singles[open] < 10*before[open] {
			t.Errorf("%q: kept, and it does not count", words)
		}
		var kinds []string
		for _, m := range d.History {
			kinds = append(kinds, m.Kind)
		}
		if fmt.Sprint(kinds) != "[supposed dropped]" {
			t.Errorf("the timeline shows %v", kinds)
		}
	}
	zero := 0.0
	if f, r := tapped(e, s, Tap{Request: "what-if", Finding: "fan-relay-coil", Value: &zero}); f.supposed == nil || r.Supposing == nil {
		t.Error("the tap supposes nothing")
	}
	for _, words := range []string{"what if it's the head gasket", "what if", "what if my brother drives", "drop it", "keep it"} {
		if f, _ := say(t, e, s, words); f.supposed != nil {
			t.Errorf("%q opens a fork", words)
		}
	}
}

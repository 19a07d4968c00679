package dialog

import (
	"encoding/json"
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"ruleout/dialog/plainwords"
	"ruleout/kb"
)

// aPart draws a part that some cause sits in, and a finding of it that follows
// by itself, with one of its outcomes.
func aPart(rt *rapid.T, e *Engine, fits func(*kb.Part) bool) (*kb.Part, string) {
	var parts []*kb.Part
	for i := range e.base.Parts {
		p := &e.base.Parts[i]
		if fits(p) && slices.ContainsFunc(e.base.Causes, func(c *kb.Cause) bool { return c.Part == p.ID }) {
			parts = append(parts, p)
		}
	}
	p := rapid.SampledFrom(parts).Draw(rt, "part")
	kinds := []string{"replaced", "tested"}
	for _, l := range e.base.Lists.Derived.Looks {
		kinds = append(kinds, l.ID)
	}
	id := "part:" + p.ID + ":" + rapid.SampledFrom(kinds).Draw(rt, "what")
	f, _ := e.finding(id, "")
	o := rapid.SampledFrom(f.Outcomes).Draw(rt, "outcome")
	return p, id + "=" + o.ID
}

// complained begins a case with a symptom that the part brings, if any.
func complained(rt *rapid.T, e *Engine, item string) *State {
	s, _ := e.Start()
	s.Turns = append(s.Turns, Turn{})
	sym := rapid.SampledFrom(e.base.Symptoms).Filter(func(y *kb.Symptom) bool { return len(y.Of) == 0 }).Draw(rt, "symptom")
	line := sym.ID + "=present"
	if item != "" {
		line += "@" + item
	}
	if err := e.tell(s, line); err != nil {
		rt.Fatal(err)
	}
	s.Chief = sym.ID
	return s
}

// sameOdds compares the odds of every cause that passes before and after a line
// is told, against none of these, or against the likeliest that passes.
func sameOdds(rt *rapid.T, e *Engine, s *State, line string, most float64, none bool, of func(*kb.Cause) bool) {
	before := e.judgeOnly(s)
	if err := e.tell(s, line); err != nil {
		rt.Fatal(err)
	}
	after := e.judgeOnly(s)
	yardBefore, yardAfter := before.None, after.None
	if !none {
		yardBefore = 0
		for i, c := range e.base.Causes {
			if of(c) && before.Singles[i] > yardBefore {
				yardBefore, yardAfter = before.Singles[i], after.Singles[i]
			}
		}
	}
	for i, c := range e.base.Causes {
		x, y := before.Singles[i], after.Singles[i]
		if !of(c) || x < 1e-9 || y < 1e-9 {
			continue
		}
		was, is := math.Log(x/yardBefore), math.Log(y/yardAfter)
		if math.Abs(was-is) > most {
			rt.Fatalf("%s moved %s by %.2g nat", line, c.ID, is-was)
		}
	}
}

// TestOneItemIsNotAnother: what was done to or seen at the right rear says
// nothing of a trouble at the left front.
func TestOneItemIsNotAnother(t *testing.T) {
	b, _ := kb.Embedded()
	e, err := New(b, nil, DefaultSettings)
	if err != nil {
		t.Fatal(err)
	}
	rapid.Check(t, func(rt *rapid.T) {
		p, line := aPart(rt, e, func(p *kb.Part) bool { return p.Items == "corner" })
		s := complained(rt, e, "front-left")
		sameOdds(rt, e, s, line+"@rear-right", 1e-6, true, func(c *kb.Cause) bool { return c.Part == p.ID })
	})
}

// related are the causes that a chain of damage joins to one of the part's, in
// either direction: of a renewed alternator a worn battery may be the victim.
func related(e *Engine, part string) map[string]bool {
	out := map[string]bool{}
	for _, c := range e.base.Causes {
		for to := range c.LeadsTo {
			if c.Part == part {
				out[to] = true
			}
			if t := e.base.Cause(to); t != nil && t.Part == part {
				out[c.ID] = true
			}
		}
	}
	return out
}

// TestUnrelatedPartSaysNothing: what is found of one part leaves the odds
// between all causes that have nothing to do with it as they were.
func TestUnrelatedPartSaysNothing(t *testing.T) {
	b, _ := kb.Embedded()
	e, err := New(b, nil, DefaultSettings)
	if err != nil {
		t.Fatal(err)
	}
	rapid.Check(t, func(rt *rapid.T) {
		p, line := aPart(rt, e, func(p *kb.Part) bool { return p.Items == "" })
		s := complained(rt, e, "")
		// All others rise alike by the pairs that they make with the part's
		// causes, which none of these cannot; so they are held to each other.
		joined := related(e, p.ID)
		sameOdds(rt, e, s, line, 0.05, false, func(c *kb.Cause) bool { return c.Part != p.ID && !joined[c.ID] })
	})
}

// TestExcuseChangesNothing: what is only an excuse, an opinion or a deduction
// leaves the belief as it was, to the bit.
func TestExcuseChangesNothing(t *testing.T) {
	b, _ := kb.Embedded()
	e, err := New(b, nil, DefaultSettings)
	if err != nil {
		t.Fatal(err)
	}
	rapid.Check(t, func(rt *rapid.T) {
		_, line := aPart(rt, e, func(*kb.Part) bool { return true })
		s := complained(rt, e, "")
		before := e.judgeOnly(s)
		finding, outcome, _ := strings.Cut(line, "=")
		source := rapid.SampledFrom([]string{"excuse", "opinion", "deduction"}).Draw(rt, "source")
		e.note(s, plainwords.Observation{Finding: finding, Outcome: outcome, Source: source, Hedge: "plain", Certainty: e.base.Lists.Derived.Sources[source]}, "", &heard{})
		after := e.judgeOnly(s)
		if !slices.Equal(before.Singles, after.Singles) || before.None != after.None {
			rt.Fatalf("the %s %q moved something", source, line)
		}
	})
}

// TestUndoOfWhatFollows: a finding that follows by itself, taken back, leaves
// the reply's suspects as they were, to the byte.
func TestUndoOfWhatFollows(t *testing.T) {
	b, _ := kb.Embedded()
	e, err := New(b, nil, DefaultSettings)
	if err != nil {
		t.Fatal(err)
	}
	rapid.Check(t, func(rt *rapid.T) {
		sym := rapid.SampledFrom(e.base.Symptoms).Filter(func(y *kb.Symptom) bool { return len(y.Of) == 0 }).Draw(rt, "symptom")
		_, line := aPart(rt, e, func(*kb.Part) bool { return true })
		finding, outcome, _ := strings.Cut(line, "=")
		s, _ := e.Start()
		s, first := e.Step(s, Turn{Tap: &Tap{Finding: sym.ID, Outcome: "present"}})
		s, _ = e.Step(s, Turn{Tap: &Tap{Finding: finding, Outcome: outcome}})
		_, back := e.Step(s, Turn{Tap: &Tap{Request: "undo"}})
		was, _ := json.Marshal(first.Suspects)
		is, _ := json.Marshal(back.Suspects)
		if string(was) != string(is) {
			rt.Fatalf("%s taken back leaves other suspects", line)
		}
	})
}

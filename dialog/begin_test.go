package dialog

import (
	"encoding/json"
	"math"
	"sync"
	"testing"

	"ruleout/dialog/belief"
	"ruleout/dialog/learn"
	"ruleout/kb"
)

// A case begun for a vehicle knows its facts and what they imply, keeps them
// when it is started over, and tells what was corrected.
func TestStartForAVehicle(t *testing.T) {
	e := engine(t)
	g := Given{Vehicle: map[string]string{"fuel": "diesel", "year": "1999", "gearbox": "manual"}}
	s, r := e.StartFor(g)
	if r.Vehicle["ignition"] != "glow" || r.Vehicle["year"] != "1999" {
		t.Errorf("the case begins with %v", r.Vehicle)
	}
	for _, sus := range r.Suspects {
		if c := e.base.Cause(sus.ID); e.applies(s, c.Applies) == 0 && sus.Probability > 0 {
			t.Errorf("%s does not apply to a diesel and is suspected", c.ID)
		}
	}
	s, r = e.Step(s, Turn{Text: "it gets hot in traffic. sorry, it is a petrol"})
	if r.Vehicle["fuel"] != "petrol" {
		t.Fatalf("a fact can't be corrected: %v", r.Vehicle)
	}
	if r.Vehicle["ignition"] != "" {
		t.Errorf("a petrol engine has kept %q of the diesel", r.Vehicle["ignition"])
	}
	if c := s.Corrections(); c["fuel"] != "petrol" || c["year"] != "" || c["gearbox"] != "" {
		t.Errorf("corrections: %v", c)
	}
	if _, r = e.Step(s, Turn{Text: "start over"}); r.Vehicle["fuel"] != "diesel" || r.Chief != "" {
		t.Errorf("started over with %v and %q", r.Vehicle, r.Chief)
	}
}

// The same beginning and turns give the same bytes, and an empty beginning
// those of Start.
func TestStartForReplays(t *testing.T) {
	e := engine(t)
	run := func(g Given) string {
		s, r := e.StartFor(g)
		out, _ := json.Marshal(r)
		for _, text := range []string{"my van gets hot in traffic", "the fan never comes on", "why?"} {
			s, r = e.Step(s, Turn{Text: text})
			b, _ := json.Marshal(r)
			out = append(out, b...)
		}
		return string(out)
	}
	g := Given{Vehicle: map[string]string{"fuel": "petrol"}, Learned: &learn.Counts{Strength: 100, Cases: 7, Causes: map[string]float64{"fan-motor-failed": 3}}}
	if once, again := run(g), run(g); once != again {
		t.Error("two replays differ")
	}
	_, plain := e.Start()
	_, empty := e.StartFor(Given{Learned: &learn.Counts{Strength: 100}})
	a, _ := json.Marshal(plain)
	b, _ := json.Marshal(empty)
	if string(a) != string(b) {
		t.Error("counts of nothing change the beginning")
	}
}

// Before anything is told, the probabilities of causes grow by what the closed
// form says, and that of none of these is its posterior mean.
func TestLearnedPriors(t *testing.T) {
	e := engine(t)
	_, before := e.Start()
	a, b := before.Suspects[0], before.Suspects[1]
	c := &learn.Counts{Strength: 100, Cases: 8, None: 2, Causes: map[string]float64{a.ID: 6}}
	s, after := e.StartFor(Given{Learned: c})
	sum := 0.0
	for _, k := range e.base.Causes {
		sum += k.Frequency.PerThousand * e.applies(&State{}, k.Applies)
	}
	weight := func(s *State, id string) float64 { return e.vehicleWeights(s)[e.number[id]] }
	k := e.base.Cause(a.ID)
	prior := 0.95 * k.Frequency.PerThousand * e.applies(&State{}, k.Applies) / sum
	// In a Dirichlet posterior the odds of a to b, unseen, are (αa+6) : αb.
	plain, _ := e.Start()
	grew := (100*prior + 6) / (100 * prior)
	if got, want := weight(s, a.ID)/weight(s, b.ID), grew*weight(plain, a.ID)/weight(plain, b.ID); math.Abs(got/want-1) > 1e-9 {
		t.Errorf("the odds of %s to %s are %.5g, want %.5g", a.ID, b.ID, got, want)
	}
	if x := after.Suspects[0]; x.ID != a.ID || x.Probability < 2*a.Probability {
		t.Errorf("after six of eight cases %s leads with %.3f, authored %.3f", x.ID, x.Probability, a.Probability)
	}
	if want := (100*0.05 + 2) / 108; math.Abs(e.model(s, nil).None-want) > 1e-12 {
		t.Errorf("none of these has the prior %g, want %g", e.model(s, nil).None, want)
	}
	if belief.DefaultOptions.None != 0.05 {
		t.Error("this test reckons with an authored prior of 0.05 for none of these")
	}
	if x := e.base.Tests[0]; (&State{learned: e.weigh(&learn.Counts{Strength: 100, Checks: map[string]learn.Timing{x.ID: {N: 5, Minutes: 5 * (x.Minutes + 4)}}})}).Takes(x) != x.Minutes+2 {
		t.Error("five timings four minutes longer than authored add two minutes")
	}
}

// ready is one engine over the embedded articles for the tests of this file.
var ready = sync.OnceValues(func() (*Engine, error) {
	b, problems := kb.Embedded()
	if e := problems.Errors(); len(e) > 0 {
		return nil, e
	}
	return New(b, nil, DefaultSettings)
})

func engine(t *testing.T) *Engine {
	t.Helper()
	e, err := ready()
	if err != nil {
		t.Fatal(err)
	}
	return e
}

package dialog

import (
	"math"
	"testing"

	"ruleout/dialog/circuit"
)

// What a conversation gives belief of two faults of one circuit is the solved
// circuit with both in it.
func TestTwoFaultsAreSolved(t *testing.T) {
	e := engineOf(t)
	w := e.wiringOf("horn-circuit")
	s, _ := e.Start()
	s, _ = say(t, e, s, "the horn is dead, not a sound from it", "0 volts at the horn terminal when i press it", "12.4 volts at terminal 30 of the horn relay")
	_, standings := e.evidence(s)
	if len(standings) != 1 || standings[0].w != w || len(standings[0].seen) != 2 {
		t.Fatalf("%d circuits were seen", len(standings))
	}
	st := standings[0]
	var observations []circuit.Observation
	for i := range st.seen {
		sn := &st.seen[i]
		if sn.quantity == nil || sn.sight.x == nil {
			t.Fatalf("%s was not read", sn.Finding)
		}
		observations = append(observations, circuit.Observation{Check: sn.sight.check, Value: sn.quantity.Value, Reliability: math.Min(sn.Certainty, 0.99)})
	}
	pairs := st.coupled()
	if len(pairs) == 0 {
		t.Fatal("no two faults are weighed together")
	}
	hyps := w.c.Hypotheses()
	for _, p := range pairs {
		a, b := hyps[w.of[p.A][0].hypothesis].Cause, hyps[w.of[p.B][0].hypothesis].Cause
		want, err := w.c.Pair(a, b, observations, st.shares)
		if err != nil || math.Abs(p.L-want) > 1e-12*want {
			t.Errorf("%s and %s: %v, solved %v (%v)", a, b, p.L, want, err)
		}
	}
}

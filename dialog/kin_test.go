package dialog

import (
	"math"
	"strings"
	"testing"
)

// A reading that clears one failure of a part clears those that would show the
// same, of which no netlist tells: power at the horn's plug speaks against
// every fault before it, a bad contact in the relay's socket or a corroded
// fuse as much as a blown one.
func TestAReadingClearsWhatShowsTheSame(t *testing.T) {
	e := engineOf(t)
	s, _ := e.Start()
	s, _ = say(t, e, s, "the horn is dead, not a sound from it")
	before := e.judge(s).post.Singles
	s, after := say(t, e, s, "12.6 volts at the horn plug when i press it")
	now := e.judge(s).post.Singles
	for _, cleared := range []string{"fuse-is-burnt", "fuse-is-corroded", "relay-socket-is-burnt", "relay-socket-is-poor-contact-under-load", "relay-socket-is-corroded"} {
		n := e.number[cleared]
		if before[n] < 1e-3 || now[n] > before[n]/10 {
			t.Errorf("%s: %.4f, then %.4f", cleared, before[n], now[n])
		}
	}
	if lead := after.Suspects[0].ID; !strings.HasPrefix(lead, "horn-is-") && !strings.HasPrefix(lead, "body-earth-point-is-") {
		t.Errorf("leads: %s", lead)
	}
}

// What a cause is seen as is a share of one, its likelihood lies between those
// of what it is seen as, with a cause that it is seen as it weighs as that
// alone, and the hypotheses of a circuit have one together.
func TestKinWeighAsWhatTheyAreSeenAs(t *testing.T) {
	e := engineOf(t)
	kin := 0
	for _, w := range e.circuits {
		for _, n := range w.kin {
			kin++
			sum := 0.0
			for _, x := range w.of[n] {
				sum += x.share
			}
			if math.Abs(sum-1) > 1e-12 {
				t.Errorf("%s in %s is seen as %.3f", e.base.Causes[n].ID, w.article.ID, sum)
			}
		}
	}
	if kin == 0 {
		t.Fatal("nothing is kin")
	}
	s, _ := e.Start()
	s, _ = say(t, e, s, "the horn is dead", "12.6 volts at the horn plug when i press it", "0 volts at the horn plug with the horn released")
	standings, _ := e.standings(s)
	if len(standings) != 1 {
		t.Fatalf("%d circuits", len(standings))
	}
	st := standings[0]
	c := st.composite().Composite
	single := map[int]float64{}
	for _, x := range c.Singles {
		single[x.Cause] = x.L
	}
	for _, n := range st.w.kin {
		low, high := math.Inf(1), 0.0
		for _, x := range st.w.of[n] {
			l := single[st.w.cause[x.hypothesis]]
			low, high = min(low, l), max(high, l)
		}
		if l := single[n]; l < low*(1-1e-12) || l > high*(1+1e-12) {
			t.Errorf("%s: %g is not between %g and %g", e.base.Causes[n].ID, l, low, high)
		}
	}
	for _, p := range c.Pairs {
		for _, x := range [][2]int{{p.A, p.B}, {p.B, p.A}} {
			of := st.w.of[x[0]]
			if len(of) == 1 && st.w.cause[of[0].hypothesis] == x[1] && math.Abs(p.L-single[x[1]]) > 1e-12*p.L {
				t.Errorf("%s with %s: %g, alone %g", e.base.Causes[x[0]].ID, e.base.Causes[x[1]].ID, p.L, single[x[1]])
			}
		}
	}
	post := e.judge(s).post
	st.believe(post)
	sum := 0.0
	for _, p := range st.hypothesis {
		if p < 0 {
			t.Errorf("a hypothesis has %g", p)
		}
		sum += p
	}
	if math.Abs(sum-1) > 1e-9 {
		t.Errorf("the hypotheses have %.12f together", sum)
	}
}

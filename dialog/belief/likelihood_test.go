package belief

import (
	"testing"

	"pgregory.net/rapid"
)

// What is said for the plan is what the slow way says.
func TestShows(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := drawModel(t)
		f := drawFinding(t, m, 0, nil)
		prepare(t, m, []Evidence{{Finding: f, Lambda: make1(len(f.Base))}})
		same := func(what string, got, want []float64) {
			for o := range want {
				if !near(got[o], want[o], 1e-12) {
					t.Fatalf("%s: %v, want %v", what, got, want)
				}
			}
		}
		same("base", m.Shows(nil, f), refShows(m, f, nil, false, f.Base))
		same("none", m.ShowsNone(nil, f), refNone(m, f, false, f.Base))
		for a := range m.Causes {
			same("single", m.Shows(nil, f, a), refShows(m, f, []int{a}, false, f.Base))
			for b := a + 1; b < len(m.Causes); b++ {
				same("pair", m.Shows(nil, f, a, b), refShows(m, f, []int{a, b}, false, f.Base))
			}
		}
	})
}

// The prediction of a finding is the probability that Update gives to its
// outcomes, if every pair is listed.
func TestPredict(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := drawModel(t)
		m.NoFold = true
		ev := drawEvidence(t, m)
		f := drawFinding(t, m, 50, nil)
		f.LimitDB = 0
		prepare(t, m, append(ev, Evidence{Finding: f, Lambda: make1(len(f.Base))}))
		p := Update(m, ev)
		before := p.LogEvidence
		for o, got := range p.Predict(f) {
			l := make([]float64, len(f.Base))
			l[o] = 1
			after := Update(m, append(ev[:len(ev):len(ev)], Evidence{Finding: f, Lambda: l}))
			want := nats((after.LogEvidence - before) * float64(nat)).exp()
			if limited(ev) {
				continue // a limited likelihood is no probability
			}
			if !near(got, want, 1e-8) {
				t.Fatalf("outcome %d: %v, want %v", o, got, want)
			}
		}
	})
}

func limited(ev []Evidence) bool {
	for _, e := range ev {
		if e.Finding.LimitDB > 0 {
			return true
		}
	}
	return false
}

// A finding that follows from a recorded one is predicted from it.
func TestBaselineFollows(t *testing.T) {
	m := &Model{Options: DefaultOptions, Causes: []Cause{{ID: "a", Weight: 1}}}
	if err := m.Prepare(); err != nil {
		t.Fatal(err)
	}
	up := &Finding{ID: "up", Base: []float64{0.8, 0.2}}
	f := &Finding{ID: "f", Base: []float64{0.74, 0.26}, Parent: up, Given: [][]float64{{0.9, 0.1}, {0.1, 0.9}}}
	require(t, "unrecorded", Update(m, nil).Baseline(f)[1], 0.8*0.1+0.2*0.9, 1e-12)
	p := Update(m, []Evidence{{Finding: up, Lambda: []float64{0.1, 0.9}}})
	high := 0.2 * 0.9 / (0.2*0.9 + 0.8*0.1)
	require(t, "recorded", p.Baseline(f)[1], (1-high)*0.1+high*0.9, 1e-12)
	require(t, "predicted", p.Predict(f)[1], (1-high)*0.1+high*0.9, 1e-12)
}

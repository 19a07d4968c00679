package belief

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// The weights of all findings add up to the whole ratio of likelihoods.
func TestWeightsAddUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := drawModel(t)
		ev := drawEvidence(t, m)
		prepare(t, m, ev)
		p := Update(m, ev)
		whole := func(h Hypothesis) float64 {
			var causes []int
			if h.A != Nobody {
				causes = append(causes, h.A)
			}
			if h.B != Nobody {
				causes = append(causes, h.B)
			}
			l := 1.0
			for _, tree := range refTrees(ev) {
				shows := func(t *refTree, given []float64) []float64 {
					if h.None() {
						return refNone(m, t.f, t.absent, given)
					}
					return refShows(m, t.f, causes, t.absent, given)
				}
				x := tree.likelihood(tree.f.Base, shows)
				if db := tree.f.LimitDB; db > 0 {
					base := tree.likelihood(tree.f.Base, func(t *refTree, given []float64) []float64 {
						return refShows(m, t.f, nil, t.absent, given)
					})
					x = min(max(x/base, math.Pow(10, -db/10)), math.Pow(10, db/10)) * base
				}
				l *= x
			}
			return l
		}
		leader, _ := p.Leader()
		for c := range m.Causes {
			if m.Causes[c].Weight == 0 || leader.A == c {
				continue
			}
			sum := 0.0
			for _, w := range p.Weights(c) {
				sum += w.Decibans
			}
			want := 10 * math.Log10(whole(Hypothesis{c, Nobody})/whole(leader))
			if !near(sum, want, 1e-6) {
				t.Fatalf("cause %d against %v: %v dB, want %v", c, leader, sum, want)
			}
		}
	})
}

// Ruled out are those and only those that the rule names.
func TestRuledOutByTheRule(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := drawModel(t)
		ev := drawEvidence(t, m)
		prepare(t, m, ev)
		p, before := Update(m, ev), Update(m, nil)
		leader, lead := p.Leader()
		if leader.B != Nobody {
			return
		}
		start := before.None
		if !leader.None() {
			start = before.Singles[leader.A]
		}
		out := map[int]bool{}
		for _, r := range p.RuledOut() {
			out[r.Cause] = true
			for _, w := range p.Weights(r.Cause) {
				if w.Decibans < r.By.Decibans {
					t.Fatalf("cause %d was ruled out more by %s than by %s", r.Cause, w.Finding.ID, r.By.Finding.ID)
				}
			}
		}
		for c := range m.Causes {
			if m.Causes[c].Weight == 0 || leader.A == c || start == 0 {
				continue
			}
			worse := before.Singles[c] / start / (p.Singles[c] / lead)
			if worse > 101 && p.Singles[c] < 0.0049 && !out[c] && len(p.Weights(c)) > 0 && p.Singles[c] > 0 {
				t.Fatalf("cause %d, %v times worse at %v, out: %v", c, worse, p.Singles[c], out[c])
			}
			if out[c] && (worse < 99 || p.Singles[c] > 0.0051) {
				t.Fatalf("cause %d ruled out, only %v times worse at %v", c, worse, p.Singles[c])
			}
		}
	})
}

// mondays is a van that is flat after the weekend: battery, charging, drain.
// All figures invented.
func mondays(t *testing.T) (*Model, map[string]*Finding) {
	t.Helper()
	m := &Model{Options: DefaultOptions, Causes: []Cause{
		{ID: "alternator-weak", System: "charging", Weight: 10},
		{ID: "battery-tired", System: "charging", Weight: 12},
		{ID: "drain-radio", System: "accessories", Weight: 4},
		{ID: "fan-motor-worn", System: "cooling", Weight: 6},
	}}
	fs := map[string]*Finding{
		"flat": {ID: "flat", Base: []float64{0.93, 0.07}, Rows: []Row{
			{Cause: 0, P: []float64{0.3, 0.7}}, {Cause: 1, P: []float64{0.15, 0.85}}, {Cause: 2, P: []float64{0.05, 0.95}}}},
		"weekday": {ID: "weekday", Base: []float64{0.5, 0.5}, Rows: []Row{
			{Cause: 0, P: []float64{0.95, 0.05}}, {Cause: 1, P: []float64{0.5, 0.5}}, {Cause: 2, P: []float64{0.15, 0.85}}}},
		"draw": {ID: "draw", Base: []float64{0.97, 0.03}, Rows: []Row{{Cause: 2, P: []float64{0.02, 0.98}}}},
		"fan":  {ID: "fan", Base: []float64{0.05, 0.95}, Rows: []Row{{Cause: 3, P: []float64{0.98, 0.02}}}},
	}
	if err := m.Prepare(); err != nil {
		t.Fatal(err)
	}
	for _, f := range fs {
		if err := f.Prepare(); err != nil {
			t.Fatal(err)
		}
	}
	return m, fs
}

func said(t *testing.T, f *Finding, outcome int) Evidence {
	t.Helper()
	l, err := HedgeLambda(outcome, len(f.Base), 0.98)
	if err != nil {
		t.Fatal(err)
	}
	return Evidence{Finding: f, Lambda: l, Label: f.ID}
}

func TestWhatRulesOutAndWhatBringsBack(t *testing.T) {
	m, fs := mondays(t)
	ev := []Evidence{said(t, fs["flat"], 1), said(t, fs["weekday"], 1), said(t, fs["draw"], 1)}
	p := Update(m, ev)
	if h, x := p.Leader(); h != (Hypothesis{2, Nobody}) || x < 0.7 {
		t.Fatalf("leader %v with %v", h, x)
	}
	by := map[int]string{}
	for _, r := range p.RuledOut() {
		by[r.Cause] = r.By.Finding.ID
	}
	// The fan motor explains none of the three; the draw weighs most.
	if by[0] != "draw" || by[3] != "draw" {
		t.Errorf("ruled out by %v", by)
	}
	if _, ok := by[2]; ok {
		t.Error("the leader is ruled out")
	}
	ev = append(ev, said(t, fs["fan"], 0))
	back := Update(m, ev)
	for _, r := range back.RuledOut() {
		if r.Cause == 3 {
			t.Error("a fan that stands still does not bring its motor back")
		}
	}
	if len(back.Pairs) == 0 || back.Pairs[len(back.Pairs)-1].A != 2 {
		t.Errorf("drain and fan motor together are not listed: %v", back.Pairs)
	}
}

func TestNoneBySystem(t *testing.T) {
	m, fs := mondays(t)
	rapid.Check(t, func(t *rapid.T) {
		m := drawModel(t)
		ev := drawEvidence(t, m)
		prepare(t, m, ev)
		p := Update(m, ev)
		sum := 0.0
		for _, s := range p.NoneBySystem() {
			sum += s.P
		}
		if len(p.priors.active) > 0 && !near(sum, p.None, 1e-9) {
			t.Fatalf("systems share %v of %v", sum, p.None)
		}
	})
	share := func(ev ...Evidence) map[string]float64 {
		p := Update(m, ev)
		out := map[string]float64{}
		for _, s := range p.NoneBySystem() {
			out[s.System] = s.P / p.None
		}
		return out
	}
	before, after := share(), share(said(t, fs["flat"], 1))
	require(t, "charging at first", before["charging"], 22.0/32, 1e-9)
	if after["charging"] <= before["charging"] || after["cooling"] >= before["cooling"] {
		t.Errorf("a flat battery leaves %v of %v", after, before)
	}
}

// A hint raises what it speaks of, and what it leaves behind is not ruled out by
// that: only findings rule out. All figures invented.
func TestHintsRuleNothingOut(t *testing.T) {
	m := &Model{Causes: []Cause{{ID: "a", Weight: 1}, {ID: "b", Weight: 1}, {ID: "c", Weight: 1}}, Options: DefaultOptions}
	row := func(c int, p float64) Row { return Row{Cause: c, P: []float64{p, 1 - p}} }
	hint := &Finding{ID: "like", Base: []float64{0.0005, 0.9995}, NoneIsBase: true, Hint: true, Rows: []Row{row(0, 0.4)}}
	seen := &Finding{ID: "seen", Base: []float64{0.5, 0.5}, Rows: []Row{row(1, 0.0005)}}
	sure := func(f *Finding) Evidence { return Evidence{Finding: f, Lambda: []float64{1, 0}} }
	ev := []Evidence{sure(hint), sure(seen)}
	prepare(t, m, ev)
	p := Update(m, ev)
	if leader, lead := p.Leader(); leader.A != 0 || lead < 0.9 {
		t.Fatalf("%v leads with %g", leader, lead)
	}
	out := p.RuledOut()
	if len(out) != 1 || out[0].Cause != 1 || out[0].By.Finding != seen {
		t.Errorf("ruled out: %+v, want b by what was seen", out)
	}
	hint.Hint = false
	p = Update(m, ev)
	if out = p.RuledOut(); len(out) != 2 {
		t.Errorf("as a finding it rules out %d causes, want two", len(out))
	}
}

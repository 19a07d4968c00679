package plan

import (
	"math"
	"testing"

	"ruleout/dialog/belief"
)

// TestOilWildcatter: Raiffa, Decision Analysis (1968), in Shenoy's form: drill
// (-70, 50 or 200 thousand if dry, wet or soaking) or leave it, after a
// sounding that costs 10 or at once. The planner knows repairs and the shop, not
// payoffs by cause, so the well is put into its words as costs against walking
// away: drilling is a "repair" that costs 70 and cures; what it brings back is
// worth 120 if wet and 270 if soaking. A hypothesis of n units of mass cured
// saves n times the shop, so with a shop of 270 the belief holds the soaking
// well whole and the wet one as 120/270 of its mass curable; the rest of it, and
// the dry well, is cured by nothing.
func TestOilWildcatter(t *testing.T) {
	const shop = 270.0
	wet := 0.3 * 120 / shop
	m := &belief.Model{Options: belief.DefaultOptions}
	for _, id := range []string{"dry", "soaking", "wet-paying", "wet-rest"} {
		m.Causes = append(m.Causes, belief.Cause{ID: id, Weight: 1})
	}
	show := func(no, open, closed float64) []float64 { return []float64{no, open, closed} }
	sounding := &belief.Finding{ID: "sounding", Base: show(0.41, 0.35, 0.24), NoneIsBase: true, Rows: []belief.Row{
		{Cause: 0, P: show(0.6, 0.3, 0.1)},
		{Cause: 1, P: show(0.1, 0.4, 0.5)},
		{Cause: 2, P: show(0.3, 0.4, 0.3)},
		{Cause: 3, P: show(0.3, 0.4, 0.3)},
	}}
	p := &Problem{
		Belief:  &belief.Posterior{Model: m, Singles: []float64{0.5, 0.2, wet, 0.3 - wet}},
		Repairs: []Repair{{ID: "drill", Cures: []int{1, 2}, Cost: 70}},
		Checks:  []Check{{ID: "sound", Findings: []*belief.Finding{sounding}, Cost: 10, Answer: 1}},
		Shop:    shop,
	}
	if err := p.Validate(); err != nil {
		t.Fatal(err)
	}
	d := Best(p, &Scratch{})
	if got := shop - d.V; math.Abs(got-20) > 1e-9 {
		t.Errorf("drilling at once gains %v thousand, want 20", got)
	}
	if d.Kind != KindCheck || d.ID != "sound" {
		t.Fatalf("proposed %s %s, want the sounding", d.Kind, d.ID)
	}
	if got := shop - d.Total; math.Abs(got-22.5) > 1e-9 {
		t.Errorf("sounding first gains %v thousand, want 22.5", got)
	}
	if math.Abs(d.Worth-2.5) > 1e-9 {
		t.Errorf("worth of the sounding %v thousand, want 2.5", d.Worth)
	}
	// The sounding's outcomes: 0.41, 0.35, 0.24.
	for o, want := range []float64{0.41, 0.35, 0.24} {
		if s := Split(p, 0, 1)[o]; math.Abs(s.P-want) > 1e-9 {
			t.Errorf("P(outcome %d) = %v, want %v", o, s.P, want)
		}
	}
	// A test that tells the truth: 35 without its cost.
	perfect := &belief.Finding{ID: "truth", Base: show(0.5, 0.3, 0.2), NoneIsBase: true, Rows: []belief.Row{
		{Cause: 0, P: show(1, 0, 0)}, {Cause: 1, P: show(0, 0, 1)}, {Cause: 2, P: show(0, 1, 0)}, {Cause: 3, P: show(0, 1, 0)},
	}}
	m.NoClamp = true
	p.Checks[0] = Check{ID: "truth", Findings: []*belief.Finding{perfect}, Answer: 1}
	if got := shop - Best(p, &Scratch{}).Total; math.Abs(got-20-35) > 1e-9 {
		t.Errorf("perfect information gains %v thousand, want 35 more than 20", got)
	}
}

package belief

import (
	"math"
	"testing"
)

// Priors of three causes by hand: weights 1, 2, 3, of which the first two
// exclude one another, and the third leads to the first in a tenth of cases.
func TestPriors(t *testing.T) {
	m := &Model{Options: DefaultOptions, Causes: []Cause{
		{ID: "a", Weight: 1, Group: "pump"},
		{ID: "b", Weight: 2, Group: "pump"},
		{ID: "c", Weight: 3, LeadsTo: []Link{{0, 0.1}}},
		{ID: "d"}, // does not apply
	}}
	m.NoFold = true
	if err := m.Prepare(); err != nil {
		t.Fatal(err)
	}
	p := Update(m, nil)
	require(t, "none", p.None, 0.05, 1e-12)
	require(t, "a", p.Singles[0], 0.95*0.96/6, 1e-11)
	require(t, "b", p.Singles[1], 0.95*0.96*2/6, 1e-11)
	require(t, "c", p.Singles[2], 0.95*0.96*3/6*0.9, 1e-11)
	require(t, "d", p.Singles[3], 0, 0)
	if len(p.Pairs) != 2 {
		t.Fatalf("pairs %v", p.Pairs)
	}
	require(t, "a and c", p.Pairs[0].P, 0.95*0.04*3/9+0.95*0.96*3/6*0.1, 1e-11)
	require(t, "b and c", p.Pairs[1].P, 0.95*0.04*6/9, 1e-11)
	// With lets causes of one part be present together.
	m.Causes[0].With = []int{1}
	if err := m.Prepare(); err != nil {
		t.Fatal(err)
	}
	require(t, "a and b", Update(m, nil).Pairs[0].P, 0.95*0.04*2/11, 1e-11)
}

// renewed is the outcome of renewing a part (same, better, cured): causes 0
// and 1 sit in it, 2 at its connector, 3 elsewhere.
func renewed() *Finding {
	in := []float64{0.05, 0.02, 0.93}
	return &Finding{
		ID: "part:pump:replaced", Base: []float64{0.97, 0.02, 0.01}, NoneIsBase: true,
		Rule: PairReplaced, Split: []float64{0.55, 0.40, 0.05},
		Rows: []Row{{Cause: 0, P: in, InPart: true}, {Cause: 1, P: in, InPart: true}, {Cause: 2, P: []float64{0.65, 0.05, 0.30}}},
	}
}

func TestReplacedPart(t *testing.T) {
	m := &Model{Options: DefaultOptions, Causes: []Cause{{ID: "a", Weight: 1}, {ID: "b", Weight: 1}, {ID: "c", Weight: 1}, {ID: "d", Weight: 1}}}
	f := renewed()
	if err := f.Prepare(); err != nil {
		t.Fatal(err)
	}
	for _, x := range []struct {
		what   string
		causes []int
		same   float64
	}{
		{"in the part", []int{0}, 0.05},
		{"both in the part", []int{0, 1}, 0.05},
		{"one in it, one elsewhere", []int{0, 3}, 0.55},
		{"one in it, one at its connector", []int{1, 2}, 0.55},
		{"at its connector", []int{2}, 0.65},
		{"elsewhere", []int{3}, 0.97},
		{"nowhere", nil, 0.97},
	} {
		require(t, x.what, m.Shows(nil, f, x.causes...)[0], x.same, 1e-12)
	}
	require(t, "none", m.ShowsNone(nil, f)[0], 0.97, 1e-12)
}

// What comes and goes is hardly accused, and hardly cleared, by a check made
// while it was away.
func TestCheckedWhileAbsent(t *testing.T) {
	m := &Model{Options: DefaultOptions, Causes: []Cause{{ID: "constant", Weight: 1, Steady: 1}, {ID: "rare", Weight: 1, Steady: 0.1}}}
	m.PairShare = 0
	if err := m.Prepare(); err != nil {
		t.Fatal(err)
	}
	row := []float64{0.05, 0.95}
	f := &Finding{ID: "beep", Base: []float64{0.9, 0.1}, Rows: []Row{{Cause: 0, P: row}, {Cause: 1, P: row}}}
	ratio := func(absent bool) float64 {
		p := Update(m, []Evidence{{Finding: f, Lambda: []float64{1, 0}, Absent: absent}})
		return p.Singles[1] / p.Singles[0]
	}
	require(t, "present", ratio(false), 1, 1e-9)
	require(t, "absent", ratio(true), (0.1*0.05+0.9*0.9)/0.05, 1e-9)
}

// A limited finding moves a cause by its limit against the baseline and no
// more; evidence may lift or tighten it.
func TestLimitsOfWeight(t *testing.T) {
	m := &Model{Options: DefaultOptions, Causes: []Cause{{ID: "a", Weight: 1}, {ID: "b", Weight: 1}}}
	m.PairShare = 0
	if err := m.Prepare(); err != nil {
		t.Fatal(err)
	}
	f := &Finding{ID: "f", Base: []float64{0.99, 0.01}, LimitDB: 10, NoneIsBase: true, Rows: []Row{{Cause: 0, P: []float64{0.05, 0.95}}}}
	moved := func(limit float64, outcome int) float64 {
		l := []float64{0, 0}
		l[outcome] = 1
		p := Update(m, []Evidence{{Finding: f, Lambda: l, LimitDB: limit}})
		return 10 * math.Log10(p.Singles[0]/p.Singles[1])
	}
	require(t, "for", moved(0, 1), 10, 1e-9)
	require(t, "against", moved(0, 0), -10, 1e-9)
	require(t, "mentioned", moved(2, 1), 2, 1e-9)
	require(t, "lifted", moved(-1, 1), 10*math.Log10(95), 1e-9)
}

// One cause blocks: where both act, it alone is seen.
func TestBlocks(t *testing.T) {
	m := &Model{Options: DefaultOptions, Causes: []Cause{{ID: "dead-battery", Weight: 1}, {ID: "starter-grinds", Weight: 1}}}
	m.NoClamp = true
	f := &Finding{ID: "crank", Ordered: true, Base: []float64{1, 0, 0}, Rows: []Row{
		{Cause: 0, P: []float64{0.2, 0.8, 0}, Blocks: true},
		{Cause: 1, P: []float64{0.5, 0, 0.5}},
	}}
	if err := f.Prepare(); err != nil {
		t.Fatal(err)
	}
	for o, want := range []float64{0.2 * 0.5, 0.8*0.5 + 0.8*0.5, 0.2 * 0.5} {
		require(t, "blocked", m.Shows(nil, f, 0, 1)[o], want, 1e-12)
	}
	f.Rows[0].Blocks = false
	if err := f.Prepare(); err != nil {
		t.Fatal(err)
	}
	for o, want := range []float64{0.2 * 0.5, 0.8 * 0.5, 0.5} {
		require(t, "the worse", m.Shows(nil, f, 0, 1)[o], want, 1e-12)
	}
}

// A pair is listed only if each of its causes is needed; else it counts for
// the needed one.
func TestFolding(t *testing.T) {
	m := &Model{Options: DefaultOptions, Causes: []Cause{{ID: "a", Weight: 1}, {ID: "b", Weight: 1}, {ID: "c", Weight: 1}}}
	if err := m.Prepare(); err != nil {
		t.Fatal(err)
	}
	speaks := func(id string, c int) Evidence {
		return Evidence{Lambda: []float64{0, 1}, Finding: &Finding{ID: id, Base: []float64{0.99, 0.01}, Rows: []Row{{Cause: c, P: []float64{0.1, 0.9}}}}}
	}
	one := Update(m, []Evidence{speaks("f", 0)})
	if len(one.Pairs) != 0 {
		t.Errorf("one needed cause and pairs %v", one.Pairs)
	}
	require(t, "a has all pairs it is in", one.Singles[0], one.Marginal[0], 1e-12)
	two := Update(m, []Evidence{speaks("f", 0), speaks("g", 1)})
	if len(two.Pairs) != 1 || two.Pairs[0].A != 0 || two.Pairs[0].B != 1 || two.Pairs[0].P < 0.5 {
		t.Errorf("two needed causes and pairs %v", two.Pairs)
	}
}

// Bad input is named, and never a panic.
func TestRejected(t *testing.T) {
	models := map[string]Model{
		"order":        {Causes: []Cause{{ID: "b"}, {ID: "a"}}},
		"same id":      {Causes: []Cause{{ID: "a"}, {ID: "a"}}},
		"weight":       {Causes: []Cause{{ID: "a", Weight: -1}}},
		"infinite":     {Causes: []Cause{{ID: "a", Weight: math.Inf(1)}}},
		"not a number": {Causes: []Cause{{ID: "a", Weight: math.NaN()}}},
		"steady":       {Causes: []Cause{{ID: "a", Steady: 2}}},
		"with":         {Causes: []Cause{{ID: "a", With: []int{1}}}},
		"leads to":     {Causes: []Cause{{ID: "a", LeadsTo: []Link{{5, 0.1}}}}},
		"leads round":  {Causes: []Cause{{ID: "a", LeadsTo: []Link{{0, 0.1}}}}},
		"leads much":   {Causes: []Cause{{ID: "a", LeadsTo: []Link{{1, 0.6}, {1, 0.6}}}, {ID: "b"}}},
	}
	for what, m := range models {
		m.Options = DefaultOptions
		if m.Prepare() == nil {
			t.Errorf("model, %s: accepted", what)
		}
	}
	for what, o := range map[string]Options{
		"none":    {None: 1.5, NoneBase: 1},
		"pairs":   {PairShare: -1, NoneBase: 1},
		"mixture": {NoneBase: 0.9},
		"faults":  {NoneBase: 1, MostFaults: -1},
	} {
		if (&Model{Options: o}).Prepare() == nil {
			t.Errorf("options, %s: accepted", what)
		}
	}
	even := []float64{0.5, 0.5}
	round := &Finding{ID: "round", Base: even, Given: [][]float64{even, even}}
	round.Parent = round
	findings := map[string]*Finding{
		"one outcome": {Base: []float64{1}},
		"sum":         {Base: []float64{0.5, 0.4}},
		"negative":    {Base: []float64{1.5, -0.5}},
		"row length":  {Base: even, Rows: []Row{{P: []float64{1}}}},
		"row order":   {Base: even, Rows: []Row{{Cause: 1, P: even}, {Cause: 0, P: even}}},
		"split":       {Base: even, Rule: PairReplaced},
		"rule":        {Base: even, Rule: 7},
		"limit":       {Base: even, LimitDB: -1},
		"given":       {Base: even, Parent: &Finding{ID: "up", Base: even}, Given: [][]float64{even}},
		"no parent":   {Base: even, Given: [][]float64{even, even}},
		"round":       round,
	}
	m := &Model{Options: DefaultOptions, Causes: []Cause{{ID: "a", Weight: 1}, {ID: "b", Weight: 1}}}
	if err := m.Prepare(); err != nil {
		t.Fatal(err)
	}
	before := Update(m, nil)
	for what, f := range findings {
		if f.Prepare() == nil {
			t.Errorf("finding, %s: accepted", what)
		}
		ev := []Evidence{{Finding: f, Lambda: make1(len(f.Base))}}
		if m.Check(ev) == nil {
			t.Errorf("evidence on finding, %s: accepted", what)
		}
		if p := Update(m, ev); p.None != before.None || p.Singles[0] != before.Singles[0] {
			t.Errorf("finding, %s: counted though rejected", what)
		}
	}
	f := &Finding{ID: "f", Base: even}
	for what, e := range map[string]Evidence{
		"no finding":    {Lambda: even},
		"length":        {Finding: f, Lambda: []float64{1}},
		"negative":      {Finding: f, Lambda: []float64{1, -1}},
		"all nought":    {Finding: f, Lambda: []float64{0, 0}},
		"not a number":  {Finding: f, Lambda: []float64{1, math.NaN()}},
		"unknown cause": {Finding: &Finding{ID: "g", Base: even, Rows: []Row{{Cause: 9, P: even}}}, Lambda: even},
	} {
		if m.Check([]Evidence{e}) == nil {
			t.Errorf("evidence, %s: accepted", what)
		}
		if p := Update(m, []Evidence{e}); p.None != before.None {
			t.Errorf("evidence, %s: counted though rejected", what)
		}
	}
}

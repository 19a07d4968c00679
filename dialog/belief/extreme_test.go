package belief

import (
	"fmt"
	"math"
	"testing"
)

// many returns n findings of which the rows are given: recorded is the
// outcome that is nearly certain without a cause if usual, else the other.
func many(n int, name string, usual bool, rows ...Row) []Evidence {
	base := []float64{0.9999, 0.0001}
	if !usual {
		base = []float64{0.0001, 0.9999}
	}
	var ev []Evidence
	for i := range n {
		f := &Finding{ID: fmt.Sprint(name, i), Base: base, NoneIsBase: true, Rows: rows}
		ev = append(ev, Evidence{Finding: f, Lambda: []float64{1, 0}})
	}
	return ev
}

// Two causes that each explain half of what was seen, and both of which speak
// against the rest: only together do they lead, though the product of their
// parts is nothing.
func TestPairFarAboveItsProduct(t *testing.T) {
	m := &Model{Options: DefaultOptions, Causes: []Cause{{ID: "a", Weight: 1}, {ID: "b", Weight: 1}, {ID: "c", Weight: 1}}}
	if err := m.Prepare(); err != nil {
		t.Fatal(err)
	}
	sure, never := []float64{0.9999, 0.0001}, []float64{0.0001, 0.9999}
	var ev []Evidence
	ev = append(ev, many(12, "x", false, Row{Cause: 0, P: sure})...)
	ev = append(ev, many(12, "y", false, Row{Cause: 1, P: sure})...)
	ev = append(ev, many(11, "z", true, Row{Cause: 0, P: never}, Row{Cause: 1, P: never})...)
	got, want := Update(m, ev), refUpdate(m, ev)
	if len(got.Pairs) != 1 || got.Pairs[0].P < 0.9 {
		t.Fatalf("pairs %v", got.Pairs)
	}
	require(t, "the pair", got.Pairs[0].P, want.Pairs[0].P, 1e-9)
	require(t, "none", got.None, want.None, 1e-9)
}

// A hundred and twenty findings that all speak for one cause leave the range
// of a float, and no sum the worse for it.
func TestFarBeyondTheRangeOfFloats(t *testing.T) {
	m := &Model{Options: DefaultOptions, Causes: []Cause{{ID: "a", Weight: 1}, {ID: "b", Weight: 1}, {ID: "c", Weight: 1}}}
	if err := m.Prepare(); err != nil {
		t.Fatal(err)
	}
	ev := many(120, "x", false, Row{Cause: 0, P: []float64{0.9999, 0.0001}})
	p := Update(m, ev)
	// a alone, and the two pairs it is in, are left.
	require(t, "a", p.Singles[0], 1, 1e-12)
	require(t, "b", p.Marginal[1], p.Marginal[2], 1e-15)
	alone, pair := 0.95*0.96/3, 0.95*0.04/3
	require(t, "a and b", p.Marginal[1], pair/(alone+2*pair), 1e-9)
	for _, x := range append(append(p.Singles, p.Marginal...), p.None, p.LogEvidence) {
		if math.IsNaN(x) || math.IsInf(x, 0) {
			t.Fatalf("%v in %v", x, p)
		}
	}
}

// Findings that follow from one another have the sum of their limits, and the
// weights say so one by one.
func TestLimitsInATree(t *testing.T) {
	m := &Model{Options: DefaultOptions, Causes: []Cause{{ID: "a", Weight: 1}, {ID: "b", Weight: 1}}}
	m.PairShare = 0
	if err := m.Prepare(); err != nil {
		t.Fatal(err)
	}
	base, row := []float64{0.999, 0.001}, []float64{0.01, 0.99}
	up := &Finding{ID: "up", Base: base, LimitDB: 10, NoneIsBase: true, Rows: []Row{{Cause: 0, P: row}}}
	down := &Finding{ID: "down", Base: base, LimitDB: 4, NoneIsBase: true, Rows: []Row{{Cause: 0, P: row}}, Parent: up, Given: [][]float64{base, base}}
	ev := []Evidence{{Finding: down, Lambda: []float64{0, 1}}, {Finding: up, Lambda: []float64{0, 1}}}
	p := Update(m, ev)
	require(t, "moved", 10*math.Log10(p.Singles[0]/p.Singles[1]), 14, 1e-9)
	ws := p.WeightsAgainst(Hypothesis{1, Nobody}, Hypothesis{0, Nobody})
	if len(ws) != 2 {
		t.Fatalf("weights %v", ws)
	}
	require(t, ws[0].Finding.ID, ws[0].Decibans, -10, 1e-9)
	require(t, ws[1].Finding.ID, ws[1].Decibans, -4, 1e-9)
}

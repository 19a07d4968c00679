package belief

import (
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// A finding whose likelihoods are written out as a circuit's table says the
// same as the finding.
func TestCompositeSaysTheSameAsAFinding(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := drawModel(t)
		ev := drawEvidence(t, m)
		f := drawFinding(t, m, 50, nil)
		f.NoneIsBase, f.LimitDB, f.Rule = false, 0, PairMeet
		prepare(t, m, append(slices.Clone(ev), Evidence{Finding: f, Lambda: make1(len(f.Base))}))
		m.NoClamp = true
		lambda, err := HedgeLambda(rapid.IntRange(0, len(f.Base)-1).Draw(t, "said"), len(f.Base), 0.9)
		if err != nil {
			t.Fatal(err)
		}
		c := &Composite{ID: "circuit", Base: dot(m.Shows(nil, f), lambda)}
		for i, r := range f.Rows {
			c.Singles = append(c.Singles, Local{r.Cause, dot(m.Shows(nil, f, r.Cause), lambda)})
			for _, s := range f.Rows[i+1:] {
				c.Pairs = append(c.Pairs, LocalPair{r.Cause, s.Cause, dot(m.Shows(nil, f, r.Cause, s.Cause), lambda)})
			}
		}
		one := append(slices.Clone(ev), Evidence{Finding: f, Lambda: lambda})
		other := append(slices.Clone(ev), Evidence{Composite: c})
		if err := m.Check(other); err != nil {
			t.Fatal(err)
		}
		requireSame(t, Update(m, other), Update(m, one), 1e-9)
	})
}

// make1 returns n ones: nothing is known.
func make1(n int) []float64 {
	p := make([]float64, n)
	for i := range p {
		p[i] = 1
	}
	return p
}

func TestCompositeRejected(t *testing.T) {
	m := &Model{Options: DefaultOptions, Causes: []Cause{{ID: "a", Weight: 1}, {ID: "b", Weight: 1}}}
	for what, c := range map[string]*Composite{
		"no base":             {ID: "fan", Singles: []Local{{0, 1}}},
		"unknown cause":       {ID: "fan", Base: 1, Singles: []Local{{2, 1}}},
		"causes out of order": {ID: "fan", Base: 1, Singles: []Local{{1, 1}, {0, 1}}},
		"pair not alone":      {ID: "fan", Base: 1, Singles: []Local{{0, 1}}, Pairs: []LocalPair{{0, 1, 1}}},
		"impossible":          {ID: "fan", Base: 1, Singles: []Local{{0, 0}}},
	} {
		if m.Check([]Evidence{{Composite: c}}) == nil {
			t.Errorf("%s: accepted", what)
		}
	}
}

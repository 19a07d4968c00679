package plan

import (
	"math"
	"testing"

	"ruleout/dialog/belief"
)

// single builds a problem of one cause a repair, ids a, b, c, ...
func single(p, c []float64, shop float64) *Problem {
	m := &belief.Model{Options: belief.DefaultOptions}
	b := &belief.Posterior{Model: m, Singles: append([]float64(nil), p...), None: 1}
	for _, v := range p {
		b.None -= v
	}
	b.None = max(0, b.None)
	q := &Problem{Belief: b, Shop: shop, MinuteCost: 1}
	for i := range p {
		id := string(rune('a' + i))
		m.Causes = append(m.Causes, belief.Cause{ID: id, Weight: p[i]})
		q.Repairs = append(q.Repairs, Repair{ID: id, Cures: []int{i}, Cost: c[i]})
	}
	return q
}

func ids(d Decision) string {
	s := ""
	for _, st := range d.Order {
		s += st.ID
	}
	return s
}

// TestOrderOfRepairs: the constructed rows of the published rule p/c for one
// fault (Kadane and Simon, Ann. Statist. 5, 1977), all 24 orders enumerated.
func TestOrderOfRepairs(t *testing.T) {
	for _, c := range []struct {
		name  string
		p, c  []float64
		order string
		cost  float64
	}{
		{"four parts", []float64{0.40, 0.25, 0.20, 0.15}, []float64{30, 5, 10, 60}, "bcad", 38},
		// Every order costs the same: ids decide.
		{"ties", []float64{0.5, 0.3, 0.2}, []float64{10, 6, 4}, "abc", 13.8},
	} {
		t.Run(c.name, func(t *testing.T) {
			p := single(c.p, c.c, 1e4)
			if err := p.Validate(); err != nil {
				t.Fatal(err)
			}
			d := Best(p, &Scratch{})
			if ids(d) != c.order || d.Pays != len(c.p) {
				t.Errorf("order %s, %d pay; want %s, all", ids(d), d.Pays, c.order)
			}
			// None keeps what float subtraction leaves, times the shop.
			if math.Abs(d.V-c.cost) > 1e-9 {
				t.Errorf("V = %v, want %v", d.V, c.cost)
			}
			if d.Kind != KindRepair || d.ID != c.order[:1] {
				t.Errorf("proposed %s %s", d.Kind, d.ID)
			}
		})
	}
}

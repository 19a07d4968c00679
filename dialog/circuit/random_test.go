package circuit

import (
	"fmt"
	"math"
	"math/big"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// drawNet draws a connected net of batteries, resistors, lamps, diodes, relays
// and motors.
func drawNet(t *rapid.T, linear bool) *Circuit {
	nodes := rapid.IntRange(2, 9).Draw(t, "nodes")
	joins := map[string]map[string]string{"battery": poles("n1", "n0")}
	elements := []Element{{ID: "battery", Kind: Battery, Volts: rapid.Float64Range(5, 15).Draw(t, "volts"), Ohms: rapid.Float64Range(0.005, 0.5).Draw(t, "inside")}}
	ohms := func(what string) float64 { return math.Exp(rapid.Float64Range(-4, 9).Draw(t, what)) }
	kinds := []Kind{Resistor, Battery}
	if !linear {
		kinds = []Kind{Resistor, Resistor, Lamp, Diode, Relay, Motor, Fuse}
	}
	node := func(i int) string { return fmt.Sprint("n", i) }
	add := func(k int, a, b string) {
		e := Element{ID: fmt.Sprint("e", k), Kind: rapid.SampledFrom(kinds).Draw(t, "kind")}
		j := two(a, b)
		switch e.Kind {
		case Battery:
			e.Volts, e.Ohms, j = rapid.Float64Range(0.1, 15).Draw(t, "emf"), ohms("inside"), poles(a, b)
		case Lamp:
			e.Watts = rapid.Float64Range(1, 60).Draw(t, "watts")
		case Diode:
			j = map[string]string{"a": a, "k": b}
		case Motor:
			e.Ohms, j = rapid.Float64Range(0.3, 5).Draw(t, "motor"), poles(a, b)
		case Fuse:
			e.Rating = rapid.Float64Range(1, 40).Draw(t, "rating")
		case Relay:
			j = map[string]string{"86": a, "85": b, "30": node(rapid.IntRange(0, nodes-1).Draw(t, "30")), "87": node(rapid.IntRange(0, nodes-1).Draw(t, "87"))}
		default:
			e.Ohms = ohms("ohms")
		}
		elements = append(elements, e)
		joins[e.ID] = j
	}
	k := 0
	for i := 1; i < nodes; i++ { // a tree, so that all is joined, and a second end for each node
		add(k, node(i), node(rapid.IntRange(0, i-1).Draw(t, "to")))
		add(k+1, node(i), node((i+1)%nodes))
		k += 2
	}
	for n := rapid.IntRange(0, 6).Draw(t, "more"); n > 0; n-- {
		a := rapid.IntRange(0, nodes-1).Draw(t, "a")
		add(k, node(a), node((a+rapid.IntRange(1, nodes-1).Draw(t, "b"))%nodes))
		k++
	}
	c, ps := Compile(Netlist{ID: "random", Ground: "n0", Supply: "n1", Elements: elements, Arrangements: []Arrangement{{ID: "only", Share: 1, Joins: joins}}})
	if c == nil {
		t.Fatal(ps)
	}
	return c
}

// At every node the currents sum to nought, and what the sources give is what
// the rest turns into heat.
func TestConservation(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := drawNet(t, rapid.Bool().Draw(t, "linear"))
		s := c.newSolver()
		sc := c.scene(c.wired[0], &Setup{}, false)
		_, chatter, err := s.settle(sc, nil, 0)
		if err != nil {
			t.Fatal(err)
		}
		if chatter != 0 {
			t.Skip("it goes on and off")
		}
		sum := make([]float64, len(sc.w.nodes))
		scale, given, heat := 1.0, 0.0, 0.0
		for i := range s.branches {
			b, a := &s.branches[i], s.amps(i)
			sum[b.a] += a
			sum[b.b] -= a
			scale = max(scale, math.Abs(a))
			if k := c.kindOf(sc, b); k == Battery {
				given -= a * b.emf
				heat += a * a / b.g
			} else {
				heat += a * (s.volts[b.a] - s.volts[b.b])
			}
		}
		for i, x := range sum[1:] {
			if math.Abs(x) > 1e-9*scale {
				t.Errorf("currents at %s sum to %v A", sc.w.nodes[i+1], x)
			}
		}
		if math.Abs(given-heat) > 1e-9*scale*20 {
			t.Errorf("sources give %v W, the rest takes %v W", given, heat)
		}
		for i := range s.branches { // nothing but a source drives current uphill
			b, a := &s.branches[i], s.amps(i)
			if k := c.kindOf(sc, b); k != Battery && a*(s.volts[b.a]-s.volts[b.b]) < -1e-9*scale {
				t.Errorf("a %s gives power", k)
			}
		}
	})
}

func (c *Circuit) kindOf(sc *scene, b *branch) Kind {
	if b.part < 0 {
		return Resistor
	}
	return sc.w.parts[b.part].e.Kind
}

// exact solves the nodal equations of the branches in fractions, by Gauss and
// Jordan, for the currents put into the nodes; node 0 is ground.
func exact(n int, branches []branch, put []*big.Rat) []*big.Rat {
	rows := make([][]*big.Rat, n)
	for i := range rows {
		rows[i] = make([]*big.Rat, n+1)
		for j := range n {
			rows[i][j] = new(big.Rat)
		}
		rows[i][n] = new(big.Rat).Set(put[i])
	}
	bump := func(i, j int, x *big.Rat) { rows[i][j].Add(rows[i][j], x) }
	for _, b := range branches {
		if b.a == b.b {
			continue
		}
		g := new(big.Rat).SetFloat64(b.g)
		less := new(big.Rat).Neg(g)
		bump(b.a, b.a, g)
		bump(b.b, b.b, g)
		bump(b.a, b.b, less)
		bump(b.b, b.a, less)
		drive := new(big.Rat).Mul(g, new(big.Rat).SetFloat64(b.emf))
		bump(b.a, n, drive)
		bump(b.b, n, new(big.Rat).Neg(drive))
	}
	for k := 1; k < n; k++ {
		for i := k; i < n; i++ {
			if rows[i][k].Sign() != 0 {
				rows[k], rows[i] = rows[i], rows[k]
				break
			}
		}
		for i := 1; i < n; i++ {
			if i == k || rows[i][k].Sign() == 0 {
				continue
			}
			f := new(big.Rat).Quo(rows[i][k], rows[k][k])
			for j := k; j <= n; j++ {
				rows[i][j].Sub(rows[i][j], new(big.Rat).Mul(f, rows[k][j]))
			}
		}
	}
	v := make([]*big.Rat, n)
	v[0] = new(big.Rat)
	for k := 1; k < n; k++ {
		v[k] = new(big.Rat).Quo(rows[k][n], rows[k][k])
	}
	return v
}

// The mesh against the nodal equations solved in fractions, with contacts of
// 0.1 mΩ beside open ones of 1e12 Ω: volts, and the ohms between two points.
func TestMeshAgainstFractions(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := drawNet(t, true)
		s := c.newSolver()
		sc := c.scene(c.wired[0], &Setup{}, false)
		s.build(sc, nil)
		for i := range s.branches {
			switch rapid.IntRange(0, 5).Draw(t, "extreme") {
			case 0:
				s.branches[i].g, s.branches[i].emf = 1/OpenOhms, 0
			case 1:
				s.branches[i].g, s.branches[i].emf = 1/leastOhms, 0
			}
		}
		if err := s.linear(sc.w); err != nil {
			t.Fatal(err)
		}
		n := len(sc.w.nodes)
		put := make([]*big.Rat, n)
		for i := range put {
			put[i] = new(big.Rat)
		}
		for i, v := range exact(n, s.branches, put) {
			want, _ := v.Float64()
			if got := s.volts[i]; math.Abs(got-want) > 1e-10*(1+math.Abs(want)) {
				t.Errorf("%s is at %v V, exactly it is %v", sc.w.nodes[i], got, want)
			}
		}
		a, b := rapid.IntRange(0, n-1).Draw(t, "from"), rapid.IntRange(0, n-1).Draw(t, "to")
		if a == b {
			return
		}
		dead := slices.Clone(s.branches)
		for i := range dead {
			dead[i].emf = 0
		}
		put[a], put[b] = big.NewRat(1, 1), big.NewRat(-1, 1)
		v := exact(n, dead, put)
		want, _ := new(big.Rat).Sub(v[a], v[b]).Float64()
		if got := s.m.between(a, b); math.Abs(got-want) > 1e-10*want {
			t.Errorf("%s to %s: %v ohms, exactly %v", sc.w.nodes[a], sc.w.nodes[b], got, want)
		}
	})
}

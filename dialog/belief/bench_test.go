package belief

import (
	"fmt"
	"math/rand/v2"
	"testing"
)

// synthetic makes a base of the size the plan was drawn up for: 420 causes and
// 658 findings, of which every tenth is a condition of which half the causes
// speak, and every other one is spoken of by about ten.
func synthetic() (*Model, []*Finding) {
	r := rand.New(rand.NewPCG(1, 2))
	m := &Model{Options: DefaultOptions}
	for i := range 420 {
		m.Causes = append(m.Causes, Cause{
			ID:     fmt.Sprintf("c%03d", i),
			Weight: 0.2 + 5*r.Float64()*r.Float64(),
			Group:  fmt.Sprint("part", i/2),
			System: fmt.Sprint("system", i/30),
			Steady: []float64{1, 1, 0.5, 0.1}[r.IntN(4)],
		})
	}
	words := []float64{0.95, 0.85, 0.7, 0.5, 0.3}
	var fs []*Finding
	for i := range 658 {
		n := 2 + r.IntN(3)
		f := &Finding{ID: fmt.Sprintf("f%03d", i), Base: make([]float64, n), Ordered: i%3 == 0}
		for o := range f.Base {
			f.Base[o] = 0.1 / float64(n-1)
		}
		f.Base[0] = 0.9
		share := 10.0 / 420
		if i%10 == 0 {
			share = 0.5
			f.NoneIsBase = true
			f.LimitDB = 10
		}
		for c := range m.Causes {
			if r.Float64() > share {
				continue
			}
			w, said := words[r.IntN(len(words))], 1+r.IntN(n-1)
			p := make([]float64, n)
			for o := range p {
				p[o] = (1 - w) * f.Base[o] / (1 - f.Base[said])
			}
			p[said] = w
			f.Rows = append(f.Rows, Row{Cause: c, P: p})
		}
		if err := f.Prepare(); err != nil {
			panic(err)
		}
		fs = append(fs, f)
	}
	if err := m.Prepare(); err != nil {
		panic(err)
	}
	return m, fs
}

// recorded is what a car with cause 17 shows on n findings: one condition of
// which half the causes speak, then four others, of which two, while they
// last, are such as it speaks of itself; and so on.
func recorded(m *Model, fs []*Finding, n int) []Evidence {
	r := rand.New(rand.NewPCG(3, 4))
	var dense, own, other []*Finding
	for i, f := range fs {
		switch {
		case i%10 == 0:
			dense = append(dense, f)
		case f.row(17) >= 0:
			own = append(own, f)
		default:
			other = append(other, f)
		}
	}
	var ev []Evidence
	take := func(from *[]*Finding) {
		if len(*from) == 0 {
			from = &other
		}
		f := (*from)[0]
		*from = (*from)[1:]
		p := m.Shows(nil, f, 17)
		x, o := r.Float64(), 0
		for x > p[o] && o < len(p)-1 {
			x -= p[o]
			o++
		}
		l, _ := HedgeLambda(o, len(p), 0.95)
		ev = append(ev, Evidence{Finding: f, Lambda: l})
	}
	for len(ev) < n {
		take([]*[]*Finding{&own, &dense, &own, &other, &other}[len(ev)%5])
	}
	return ev
}

func BenchmarkUpdate(b *testing.B) {
	m, fs := synthetic()
	for _, n := range []int{1, 5, 15, 40, 100, 200} {
		ev := recorded(m, fs, n)
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			b.ReportAllocs()
			var s Scratch
			for b.Loop() {
				s.Update(m, ev)
			}
		})
	}
}

func BenchmarkPrepare(b *testing.B) {
	m, _ := synthetic()
	for b.Loop() {
		if err := m.Prepare(); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkRuledOut(b *testing.B) {
	m, fs := synthetic()
	p := Update(m, recorded(m, fs, 15))
	b.ReportAllocs()
	for b.Loop() {
		p.RuledOut()
	}
}

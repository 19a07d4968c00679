package plan

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"ruleout/dialog/belief"
)

// bench is a random knowledge base of the size to plan for and a case in it:
// 420 causes in 24 groups of accesses, 658 checks of which one in ten is a
// dense condition that most causes speak of and one in sixty a look-round.
type bench struct {
	p  Problem
	m  *belief.Model
	ev []belief.Evidence
}

const (
	benchCauses = 420
	benchChecks = 658
)

func newBench(seed uint64, findings int) *bench {
	r := rand.New(rand.NewPCG(seed, 1))
	dist := func(k int) []float64 {
		p, sum := make([]float64, k), 0.0
		for i := range p {
			p[i] = 0.02 + r.ExpFloat64()
			sum += p[i]
		}
		for i := range p {
			p[i] /= sum
		}
		return p
	}
	// A row as articles write them: a word of the scale on one outcome, the
	// rest in proportion to the baseline.
	scale := []float64{0.95, 0.85, 0.70, 0.50, 0.30, 0.15, 0.07, 0.02}
	row := func(base []float64) []float64 {
		o, word := r.IntN(len(base)), scale[r.IntN(len(scale))]
		p := make([]float64, len(base))
		for j := range p {
			p[j] = (1 - word) * base[j] / (1 - base[o])
		}
		p[o] = word
		return p
	}
	m := &belief.Model{Options: belief.DefaultOptions}
	for c := range benchCauses {
		m.Causes = append(m.Causes, belief.Cause{ID: fmt.Sprintf("c%03d", c), Weight: 0.5 + 4*r.ExpFloat64(), System: "s"})
	}
	if err := m.Prepare(); err != nil {
		panic(err)
	}
	b := &bench{m: m}
	p := &b.p
	p.Shop, p.MinuteCost = 400, 1
	for a := range 17 {
		x := Access{ID: fmt.Sprintf("a%02d", a), Cost: 5 + 20*r.ExpFloat64(), Inside: -1}
		if a > 5 && r.IntN(2) == 0 {
			x.Inside = r.IntN(6)
		}
		p.Accesses = append(p.Accesses, x)
	}
	access := func() []int {
		if r.IntN(2) == 0 {
			return nil
		}
		a := r.IntN(17)
		if i := p.Accesses[a].Inside; i >= 0 {
			return []int{i, a}
		}
		return []int{a}
	}
	for c := 0; c < benchCauses; c++ {
		p.Repairs = append(p.Repairs, Repair{ID: fmt.Sprintf("r%03d", c), Cures: []int{c}, Cost: 10 + 80*r.ExpFloat64(), Beta: 0.05, Access: access()})
	}
	all := make([]*belief.Finding, benchChecks)
	for i := range all {
		k := 2 + r.IntN(3)
		f := &belief.Finding{ID: fmt.Sprintf("f%03d", i), Base: dist(k)}
		share := 0.03
		if i%10 == 0 {
			share, f.NoneIsBase = 0.6, true
		}
		for c := range benchCauses {
			if r.Float64() < share {
				f.Rows = append(f.Rows, belief.Row{Cause: c, P: row(f.Base)})
			}
		}
		if err := f.Prepare(); err != nil {
			panic(err)
		}
		all[i] = f
	}
	// The case: one true cause; what it makes is told first.
	truth := r.IntN(benchCauses)
	speaks := func(f *belief.Finding) bool {
		return slices.ContainsFunc(f.Rows, func(x belief.Row) bool { return x.Cause == truth })
	}
	order := r.Perm(benchChecks)
	slices.SortStableFunc(order, func(i, j int) int {
		rank := func(i int) int {
			if speaks(all[i]) {
				return 0
			}
			return 1
		}
		return rank(i) - rank(j)
	})
	known := map[int]bool{}
	// Half of what is told bears on the truth, as far as there is such.
	for n := 0; n < findings; n++ {
		i := order[n/2]
		if n%2 == 1 {
			i = order[len(order)-1-n/2]
		}
		known[i] = true
		f := all[i]
		show := m.Shows(nil, f, truth)
		x, o := r.Float64(), 0
		for ; o < len(show)-1 && x >= show[o]; o++ {
			x -= show[o]
		}
		lambda := make([]float64, len(show))
		for j := range lambda {
			lambda[j] = 0.1 / float64(len(show))
		}
		lambda[o] += 0.9
		b.ev = append(b.ev, belief.Evidence{Finding: f, Lambda: lambda})
	}
	for i, f := range all {
		if known[i] {
			continue
		}
		c := Check{ID: fmt.Sprintf("k%03d", i), Findings: []*belief.Finding{f}, Cost: 1 + 8*r.ExpFloat64()}
		switch {
		case i%60 == 7:
			for range 5 + r.IntN(4) {
				c.Findings = append(c.Findings, all[r.IntN(benchChecks)])
			}
		case i%3 == 0:
			c.Question, c.Cost = true, 0
		default:
			c.Access = access()
		}
		p.Checks = append(p.Checks, c)
	}
	return b
}

// BenchmarkTurn is belief and plan of one turn; it reports the 99th percentile
// over its turns beside the mean.
func BenchmarkTurn(b *testing.B) {
	for _, n := range []int{1, 15, 40, 200} {
		b.Run(fmt.Sprintf("findings=%d", n), func(b *testing.B) {
			const cases = 8
			var all []*bench
			for i := range cases {
				all = append(all, newBench(uint64(i), n))
			}
			turns(b, all)
		})
	}
}

func turns(b *testing.B, all []*bench) {
	plans := make([]Scratch, len(all)) // one a model, as one worker has
	var bs belief.Scratch
	var took, inBelief []time.Duration
	turn := func(i int) {
		x := all[i%len(all)]
		begin := time.Now()
		x.p.Belief = bs.Update(x.m, x.ev)
		inBelief = append(inBelief, time.Since(begin))
		Best(&x.p, &plans[i%len(all)])
		took = append(took, time.Since(begin))
	}
	for i := range all {
		turn(i)
	}
	took, inBelief = took[:0], inBelief[:0]
	b.ReportAllocs()
	for i := 0; b.Loop(); i++ {
		turn(i)
	}
	slices.Sort(took)
	slices.Sort(inBelief)
	b.ReportMetric(float64(took[len(took)*99/100].Nanoseconds()), "p99-ns")
	b.ReportMetric(float64(took[len(took)/2].Nanoseconds()), "p50-ns")
	b.ReportMetric(float64(inBelief[len(inBelief)/2].Nanoseconds()), "belief-p50-ns")
	pairs := 0
	for _, x := range all {
		pairs += len(x.p.Belief.Pairs)
	}
	b.ReportMetric(float64(pairs)/float64(len(all)), "pairs")
}

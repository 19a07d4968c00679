package plan

import (
	"fmt"
	"math/rand/v2"
	"runtime"
	"slices"
	"testing"
	"time"

	"ruleout/dialog/belief"
)

// bench is a case in a random knowledge base of the size to plan for: 420 causes, half of their repairs behind 17 accesses; 658 checks, of which
// eleven are look-rounds of five to eight findings. How many causes a finding
// speaks of, and how strong its baseline is, are drawn as they lie in the
// articles that come with the program.
type bench struct {
	p  Problem
	m  *belief.Model
	ev []belief.Evidence
}

const (
	benchCauses = 420
	benchChecks = 658
)

// Twentieths of the articles' findings, counted over their 608 causes: how many
// causes speak of a symptom or question and of a test, and the greatest figure
// of the baseline. Ten findings more are conditions that most causes speak of.
var (
	askRows   = []int{1, 4, 6, 10, 14, 15, 16, 19, 20, 22, 24, 26, 28, 30, 31, 33, 37, 45, 62, 117, 206}
	testRows  = []int{1, 1, 1, 2, 2, 2, 3, 3, 3, 4, 4, 5, 6, 6, 7, 9, 11, 12, 15, 25, 54}
	baselines = []float64{0.3, 0.5, 0.74, 0.84, 0.88, 0.9, 0.92, 0.94, 0.96, 0.98, 0.995}
)

// benchBase is what all cases share, as all conversations share one base.
type benchBase struct {
	m   *belief.Model
	p   Problem // with every check
	all []*belief.Finding
}

func newBase(seed uint64) *benchBase {
	r := rand.New(rand.NewPCG(seed, 1))
	// The first outcome is the usual one.
	base := func(k int) []float64 {
		p, rest := make([]float64, k), 0.0
		for i := 1; i < k; i++ {
			p[i] = 0.05 + r.ExpFloat64()
			rest += p[i]
		}
		p[0] = baselines[r.IntN(len(baselines))]
		for i := 1; i < k; i++ {
			p[i] *= (1 - p[0]) / rest
		}
		return p
	}
	// A row as articles write them: a word of the scale on one outcome, mostly
	// one that stands out, the rest in proportion to the baseline.
	scale := []float64{0.95, 0.85, 0.70, 0.50, 0.30, 0.15, 0.07, 0.02}
	row := func(base []float64) []float64 {
		o, word := 1+r.IntN(len(base)-1), scale[r.IntN(5)]
		if r.IntN(4) == 0 { // it speaks against the cause
			word = min(scale[5+r.IntN(3)], base[o])
		}
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
	b := &benchBase{m: m}
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
	var tests []*belief.Finding
	for i := range all {
		f := &belief.Finding{ID: fmt.Sprintf("f%03d", i), Base: base(2 + r.IntN(3))}
		share := 0.0
		switch {
		case i%66 == 5:
			share, f.NoneIsBase, f.LimitDB = 0.6, true, 10
		case asks(i):
			share = float64(askRows[r.IntN(len(askRows))]) / 608
		default:
			share = float64(testRows[r.IntN(len(testRows))]) / benchCauses
			tests = append(tests, f)
		}
		for c := range benchCauses {
			if r.Float64() < share {
				f.Rows = append(f.Rows, belief.Row{Cause: c, P: row(f.Base)})
			}
		}
		if len(f.Rows) == 0 {
			f.Rows = append(f.Rows, belief.Row{Cause: r.IntN(benchCauses), P: row(f.Base)})
		}
		if err := f.Prepare(); err != nil {
			panic(err)
		}
		all[i] = f
	}
	b.all = all
	for i, f := range all {
		c := Check{ID: fmt.Sprintf("k%03d", i), Findings: []*belief.Finding{f}, Cost: 1 + 8*r.ExpFloat64()}
		switch {
		case i%60 == 7:
			for range 5 + r.IntN(4) {
				c.Findings = append(c.Findings, tests[r.IntN(len(tests))])
			}
		case asks(i):
			c.Question, c.Cost = true, 0
		default:
			c.Access = access()
		}
		p.Checks = append(p.Checks, c)
	}
	return b
}

// turn is a case with one true cause of which so many findings were told; half
// of them bear on the truth, as far as there are such.
func (base *benchBase) turn(seed uint64, findings int) *bench {
	r := rand.New(rand.NewPCG(seed, 2))
	b := &bench{m: base.m, p: base.p}
	truth := r.IntN(benchCauses)
	speaks := func(f *belief.Finding) bool {
		return slices.ContainsFunc(f.Rows, func(x belief.Row) bool { return x.Cause == truth })
	}
	var own, other []int
	for _, i := range r.Perm(benchChecks) {
		if speaks(base.all[i]) {
			own = append(own, i)
		} else {
			other = append(other, i)
		}
	}
	known := map[int]bool{}
	for n := range findings {
		from := &own
		if n%2 == 1 || len(own) == 0 {
			from = &other
		}
		f := base.all[(*from)[0]]
		known[(*from)[0]] = true
		*from = (*from)[1:]
		show := b.m.Shows(nil, f, truth)
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
	b.p.Checks = nil
	for i, c := range base.p.Checks {
		if !known[i] {
			b.p.Checks = append(b.p.Checks, c)
		}
	}
	return b
}

// asks tells which findings are questions: 45 in a hundred, as in the articles.
func asks(i int) bool { return i%66 == 5 || i*9%20 < 9 }

// BenchmarkTurn is belief and plan of one turn, in processor time: the median
// and the 99th percentile of both together, and of each.
func BenchmarkTurn(b *testing.B) {
	bases := []*benchBase{newBase(0), newBase(1)}
	for _, n := range []int{1, 5, 15, 40, 200} {
		const cases = 16
		var all []*bench
		for _, base := range bases {
			for i := range cases {
				all = append(all, base.turn(uint64(i), n))
			}
		}
		b.Run(fmt.Sprintf("findings=%d", n), func(b *testing.B) { turns(b, all) })
	}
}

func turns(b *testing.B, all []*bench) {
	runtime.LockOSThread()
	defer runtime.UnlockOSThread()
	var ps Scratch
	var bs belief.Scratch
	var whole, first, second []time.Duration
	turn := func(i int) {
		x := all[i%len(all)]
		begin := busy()
		x.p.Belief = bs.Update(x.m, x.ev)
		middle := busy()
		Best(&x.p, &ps)
		end := busy()
		whole, first, second = append(whole, end-begin), append(first, middle-begin), append(second, end-middle)
	}
	for i := range all {
		turn(i)
	}
	whole, first, second = whole[:0], first[:0], second[:0]
	b.ReportAllocs()
	for i := 0; b.Loop(); i++ {
		turn(i)
	}
	report := func(name string, x []time.Duration) {
		slices.Sort(x)
		b.ReportMetric(float64(x[len(x)/2].Microseconds()), name+"p50-µs")
		b.ReportMetric(float64(x[len(x)*99/100].Microseconds()), name+"p99-µs")
	}
	report("", whole)
	report("belief-", first)
	report("plan-", second)
	pairs := 0
	for _, x := range all {
		pairs += len(x.p.Belief.Pairs)
	}
	b.ReportMetric(float64(pairs)/float64(len(all)), "pairs")
}

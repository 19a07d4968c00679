package belief

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// drawDistribution draws one over n outcomes, now and then with a nought.
func drawDistribution(t *rapid.T, n int) []float64 {
	p := make([]float64, n)
	sum := 0.0
	for o := range p {
		p[o] = float64(rapid.SampledFrom([]int{0, 1, 1, 2, 5, 20, 60}).Draw(t, "share"))
		sum += p[o]
	}
	if sum == 0 {
		p[0], sum = 1, 1
	}
	for o := range p {
		p[o] /= sum
	}
	return p
}

func drawModel(t *rapid.T) *Model {
	m := &Model{Options: DefaultOptions}
	m.None = rapid.SampledFrom([]float64{0, 0.05, 0.3}).Draw(t, "none")
	m.PairShare = rapid.SampledFrom([]float64{0, 0.04, 0.5}).Draw(t, "pairs")
	m.NoFold = rapid.Bool().Draw(t, "no fold")
	n := rapid.IntRange(1, 8).Draw(t, "causes")
	for i := range n {
		c := Cause{
			ID:     fmt.Sprintf("c%02d", i),
			Weight: rapid.SampledFrom([]float64{0, 0.5, 1, 3, 10, 40}).Draw(t, "weight"),
			Group:  rapid.SampledFrom([]string{"", "", "pump", "fan"}).Draw(t, "group"),
			Steady: rapid.SampledFrom([]float64{0, 0.1, 0.5, 1}).Draw(t, "steady"),
			System: rapid.SampledFrom([]string{"cooling", "charging"}).Draw(t, "system"),
		}
		if n > 1 {
			other := (i + 1 + rapid.IntRange(0, n-2).Draw(t, "other")) % n
			if rapid.IntRange(0, 3).Draw(t, "links") == 0 {
				c.LeadsTo = []Link{{other, rapid.SampledFrom([]float64{0.05, 0.5, 1}).Draw(t, "link")}}
			}
			if rapid.IntRange(0, 3).Draw(t, "withs") == 0 {
				c.With = []int{other}
			}
		}
		m.Causes = append(m.Causes, c)
	}
	if m.None == 0 || rapid.IntRange(0, 9).Draw(t, "sound") > 0 {
		m.Causes[0].Weight = 2 // some hypothesis is possible
		m.Causes[0].LeadsTo = nil
	}
	return m
}

func drawFinding(t *rapid.T, m *Model, i int, before []*Finding) *Finding {
	n := rapid.IntRange(2, 4).Draw(t, "outcomes")
	f := &Finding{
		ID:         fmt.Sprintf("f%02d", i),
		Base:       drawDistribution(t, n),
		Ordered:    rapid.Bool().Draw(t, "ordered"),
		NoneIsBase: rapid.Bool().Draw(t, "none is base"),
	}
	if rapid.IntRange(0, 4).Draw(t, "replaced") == 0 {
		f.Rule, f.Split = PairReplaced, drawDistribution(t, n)
	}
	if rapid.IntRange(0, 4).Draw(t, "limited") == 0 {
		f.LimitDB = rapid.SampledFrom([]float64{2, 10}).Draw(t, "limit")
	}
	for c := range m.Causes {
		if rapid.IntRange(0, 2).Draw(t, "speaks") == 0 {
			continue
		}
		f.Rows = append(f.Rows, Row{
			Cause:  c,
			P:      drawDistribution(t, n),
			Blocks: rapid.IntRange(0, 3).Draw(t, "blocks") == 0,
			InPart: rapid.Bool().Draw(t, "in part"),
		})
	}
	// The reference limits single findings only.
	if len(before) > 0 && f.LimitDB == 0 && rapid.IntRange(0, 2).Draw(t, "follows") == 0 {
		up := before[rapid.IntRange(0, len(before)-1).Draw(t, "parent")]
		if up.LimitDB == 0 {
			f.Parent = up
			for range up.Base {
				f.Given = append(f.Given, drawDistribution(t, n))
			}
		}
	}
	return f
}

func drawEvidence(t *rapid.T, m *Model) []Evidence {
	var fs []*Finding
	for i := range rapid.IntRange(0, 6).Draw(t, "findings") {
		fs = append(fs, drawFinding(t, m, i, fs))
	}
	var ev []Evidence
	for _, f := range fs {
		if rapid.IntRange(0, 3).Draw(t, "told") == 0 {
			continue
		}
		for w := range rapid.SampledFrom([]int{1, 1, 1, 2, 3}).Draw(t, "witnesses") {
			l, err := HedgeLambda(rapid.IntRange(0, len(f.Base)-1).Draw(t, "said"), len(f.Base),
				rapid.SampledFrom([]float64{0.4, 0.75, 0.95, 1}).Draw(t, "reliability"))
			if err != nil {
				t.Fatal(err)
			}
			if w > 0 { // two certain witnesses that disagree are no evidence
				l, _ = HedgeLambda(0, len(f.Base), 0.6)
			}
			limit := 0.0
			if f.LimitDB > 0 && w > 0 {
				continue // limits of several witnesses add up
			}
			ev = append(ev, Evidence{Finding: f, Lambda: l, LimitDB: limit, Absent: rapid.Bool().Draw(t, "absent"), Label: fmt.Sprint(w)})
		}
	}
	return ev
}

func prepare(t interface {
	Helper()
	Fatal(...any)
}, m *Model, ev []Evidence) {
	t.Helper()
	if err := m.Prepare(); err != nil {
		t.Fatal(err)
	}
	for i := range ev {
		if err := ev[i].Finding.Prepare(); err != nil {
			t.Fatal(err)
		}
	}
	if err := m.Check(ev); err != nil {
		t.Fatal(err)
	}
}

func near(a, b, tolerance float64) bool { return math.Abs(a-b) <= tolerance }

func requireSame(t *rapid.T, got, want *Posterior, tolerance float64) {
	t.Helper()
	if !near(got.None, want.None, tolerance) {
		t.Fatalf("none is %.12f, want %.12f", got.None, want.None)
	}
	for c := range want.Singles {
		if !near(got.Singles[c], want.Singles[c], tolerance) {
			t.Fatalf("cause %d alone is %.12f, want %.12f", c, got.Singles[c], want.Singles[c])
		}
		if !near(got.Marginal[c], want.Marginal[c], tolerance) {
			t.Fatalf("cause %d has %.12f, want %.12f", c, got.Marginal[c], want.Marginal[c])
		}
	}
	pairs := map[[2]int]float64{}
	for _, p := range got.Pairs {
		if p.A >= p.B {
			t.Fatalf("pair %d, %d", p.A, p.B)
		}
		pairs[[2]int{p.A, p.B}] = p.P
	}
	for _, p := range want.Pairs {
		if x := pairs[[2]int{p.A, p.B}]; !near(x, p.P, tolerance) {
			t.Fatalf("pair %d, %d is %.12f, want %.12f", p.A, p.B, x, p.P)
		}
		delete(pairs, [2]int{p.A, p.B})
	}
	for k, x := range pairs {
		if x > tolerance {
			t.Fatalf("pair %v listed with %v", k, x)
		}
	}
}

func TestEqualsEnumeration(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := drawModel(t)
		ev := drawEvidence(t, m)
		prepare(t, m, ev)
		requireSame(t, Update(m, ev), refUpdate(m, ev), 1e-9)
	})
}

func TestSumsToOne(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := drawModel(t)
		ev := drawEvidence(t, m)
		prepare(t, m, ev)
		p := Update(m, ev)
		sum := p.None
		for _, x := range p.Singles {
			sum += x
		}
		for _, q := range p.Pairs {
			sum += q.P
		}
		if !near(sum, 1, 1e-12) {
			t.Fatalf("sums to %v", sum)
		}
	})
}

// allBytes is all that a posterior says, to the last bit.
func allBytes(p *Posterior) string {
	s := fmt.Sprintf("%b %b %b %b %v\n", p.None, p.Singles, p.Marginal, p.LogEvidence, p.RuledOut())
	for _, q := range p.Pairs {
		s += fmt.Sprintf("%d %d %b\n", q.A, q.B, q.P)
	}
	for c := range p.Singles {
		for _, w := range p.Weights(c) {
			s += fmt.Sprintf("%d %s %b\n", c, w.Finding.ID, w.Decibans)
		}
	}
	return s
}

func TestOrderDoesNotMatter(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := drawModel(t)
		ev := drawEvidence(t, m)
		prepare(t, m, ev)
		for i := range ev {
			ev[i].Label = fmt.Sprint(i) // positions differ, contents must not
		}
		want := Update(m, ev)
		shuffled := rapid.Permutation(ev).Draw(t, "order")
		got := Update(m, shuffled)
		got.relabel(shuffled, ev)
		if allBytes(got) != allBytes(want) {
			t.Fatalf("told in another order:\n%s\nwas\n%s", allBytes(got), allBytes(want))
		}
	})
}

// relabel turns positions in one list of evidence into those in another.
func (p *Posterior) relabel(from, to []Evidence) {
	for _, c := range p.components {
		for i := range c.nodes {
			for j, at := range c.nodes[i].evidence {
				c.nodes[i].evidence[j] = slices.IndexFunc(to, func(e Evidence) bool { return e.Label == from[at].Label })
			}
		}
	}
}

func TestUndoAndReuseOfMemory(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := drawModel(t)
		ev := drawEvidence(t, m)
		prepare(t, m, ev)
		if len(ev) == 0 {
			return
		}
		var s Scratch
		before := allBytes(s.Update(m, ev[:len(ev)-1]))
		s.Update(m, ev)
		if after := allBytes(s.Update(m, ev[:len(ev)-1])); after != before {
			t.Fatalf("after undoing:\n%s\nwas\n%s", after, before)
		}
	})
}

func TestGivenOneMore(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := drawModel(t)
		ev := drawEvidence(t, m)
		prepare(t, m, ev)
		if len(ev) == 0 {
			return
		}
		at := rapid.IntRange(0, len(ev)-1).Draw(t, "the one more")
		known, more := slices.Delete(slices.Clone(ev), at, at+1), ev[at]
		want, got := Update(m, append(slices.Clone(known), more)), Update(m, known).Given(known, more)
		want.Marginal = nil
		want.Pairs = nil
		if allBytes(got) != allBytes(want) {
			t.Fatalf("given one more:\n%s\nupdated\n%s", allBytes(got), allBytes(want))
		}
	})
}

func TestModelWithOtherWeights(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := drawModel(t)
		ev := drawEvidence(t, m)
		prepare(t, m, ev)
		own := &Model{Causes: slices.Clone(m.Causes), Options: m.Options}
		var weights []float64
		for i := range own.Causes {
			w := rapid.SampledFrom([]float64{0, 0.01, 0.5}).Draw(t, "weight")
			weights, own.Causes[i].Weight = append(weights, w), w
		}
		if err := own.Prepare(); err != nil {
			t.Fatal(err)
		}
		with, err := m.With(weights)
		if err != nil {
			t.Fatal(err)
		}
		if a, b := allBytes(Update(own, ev)), allBytes(Update(with, ev)); a != b {
			t.Fatalf("with other weights:\n%s\nof its own:\n%s", b, a)
		}
	})
}

func TestFindingWithoutCausesSaysNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := drawModel(t)
		ev := drawEvidence(t, m)
		prepare(t, m, ev)
		f := &Finding{ID: "e-silent", Base: []float64{0.3, 0.7}}
		with := append(slices.Clone(ev), Evidence{Finding: f, Lambda: []float64{0.9, 0.2}, Uniform: 0.5})
		a, b := Update(m, ev), Update(m, with)
		a.LogEvidence, b.LogEvidence = 0, 0
		if allBytes(a) != allBytes(b) {
			t.Fatalf("with:\n%s\nwithout:\n%s", allBytes(b), allBytes(a))
		}
	})
}

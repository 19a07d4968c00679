package belief

import (
	"math"
	"slices"
)

// Nobody is in place of a cause where there is none.
const Nobody = -1

// Hypothesis is one cause, two, or with both Nobody none of these.
type Hypothesis struct{ A, B int }

// None tells whether the hypothesis is "none of these".
func (h Hypothesis) None() bool { return h.A == Nobody }

// Leader returns the hypothesis with the greatest probability shown; of equal
// ones the single before the pair, and the lower cause.
func (p *Posterior) Leader() (Hypothesis, float64) {
	h, most := Hypothesis{Nobody, Nobody}, p.None
	better := func(x float64) bool { return x > most*(1+1e-9) }
	for c, x := range p.Singles {
		if better(x) {
			h, most = Hypothesis{c, Nobody}, x
		}
	}
	for _, q := range p.Pairs {
		if better(q.P) {
			h, most = Hypothesis{q.A, q.B}, q.P
		}
	}
	return h, most
}

// Weight is what one finding says for (positive) or against a suspect, in
// decibans against the leader.
type Weight struct {
	// Evidence are the positions, in the evidence given to Update, of the
	// witnesses of the finding.
	Evidence []int
	Finding  *Finding   // or nil where the evidence is
	Circuit  *Composite // all that was found out about a circuit
	Decibans float64
}

// Weights returns what each recorded finding says about the cause against the
// leader, ordered by finding. The weights do not depend on the order of
// telling and sum to all that was said. Findings that say nothing are left
// out. Of findings that follow from one another the first is weighed alone,
// each later one given those before it.
func (p *Posterior) Weights(cause int) []Weight {
	leader, _ := p.Leader()
	return p.WeightsAgainst(Hypothesis{cause, Nobody}, leader)
}

// WeightsAgainst is Weights for any two hypotheses.
func (p *Posterior) WeightsAgainst(h, leader Hypothesis) []Weight {
	var out []Weight
	for _, st := range p.saidInSteps() {
		if x := st.says(p.priors, h, leader); x != 0 {
			out = append(out, Weight{Evidence: st.evidence, Finding: st.finding, Circuit: st.circuit, Decibans: x.decibans()})
		}
	}
	return out
}

// step is what one finding adds to those before it in its component.
type step struct {
	evidence      []int
	finding       *Finding
	circuit       *Composite
	upto, without *component // without is nil for the first of a component
}

// says returns the weight of the step for h against the leader.
func (s *step) says(pr *priors, h, leader Hypothesis) nats {
	return s.of(pr, h) - s.of(pr, leader)
}

// of returns the weight of the step for h against the baseline.
func (s *step) of(pr *priors, h Hypothesis) nats {
	x := s.upto.log(pr, h)
	if s.without != nil {
		x -= s.without.log(pr, h)
	}
	return x
}

// saidInSteps lists what each recorded finding adds, in the order of
// components. It is made once, when it is first asked for.
func (p *Posterior) saidInSteps() []step {
	p.once.Do(func() {
		for _, c := range p.components {
			if c.composite != nil {
				p.steps = append(p.steps, step{evidence: c.evidence, circuit: c.composite, upto: c})
				continue
			}
			var last *component
			for i := range c.nodes {
				n := &c.nodes[i]
				if n.lambda == nil {
					continue
				}
				upto := c.upto(i)
				p.steps = append(p.steps, step{evidence: n.evidence, finding: n.f, upto: upto, without: last})
				last = upto
			}
		}
	})
	return p.steps
}

// upto returns the component as it was known without the nodes after i.
func (c *component) upto(i int) *component {
	later := false
	for _, n := range c.nodes[i+1:] {
		later = later || n.lambda != nil
	}
	if !later {
		return c
	}
	d := *c
	d.nodes = append([]node(nil), c.nodes...)
	for j := i + 1; j < len(d.nodes); j++ {
		d.nodes[j].lambda, d.nodes[j].uniform = nil, 0
	}
	d.tuples = append([]tuple(nil), c.tuples...)
	d.room()
	d.limit = 0
	d.setLimit()
	d.base = logNats(d.likelihood(nil, 0))
	d.none = d.against(d.likelihoodOfNone())
	d.likelihoods()
	return &d
}

// log returns the log likelihood of the component against the baseline.
func (c *component) log(pr *priors, h Hypothesis) nats {
	if h.None() {
		return c.none
	}
	a, b := c.speaks(pr, h.A), Nobody
	if h.B == Nobody {
		if a < 0 {
			return 0
		}
		return c.tuples[a].alone
	}
	b = c.speaks(pr, h.B)
	switch {
	case a >= 0 && b >= 0:
		return c.pairs[a*len(c.tuples)+b] + c.tuples[a].paired + c.tuples[b].paired
	case a >= 0:
		return c.tuples[a].paired
	case b >= 0:
		return c.tuples[b].paired
	}
	return 0
}

// speaks returns the tuple of the cause, or -1.
func (c *component) speaks(pr *priors, cause int) int {
	at, ok := slices.BinarySearchFunc(c.speakers, pr.place[cause], func(s speaker, place int) int { return s.place - place })
	if !ok {
		return -1
	}
	return c.speakers[at].tuple
}

// RuledOut is a cause that the findings have made negligible, with the finding
// that did most of it.
type RuledOut struct {
	Cause int
	By    Weight
}

// The limits of ruling out. Basis: memory.
const (
	outOdds = 100   // times worse than before, against the leader
	outMost = 0.005 // and at most this probability
)

// RuledOut returns the causes ruled out: those whose odds against the leader
// are at least 100 times worse than before anything was known, hints left out,
// and whose probability is below 0.5 %. By cause.
func (p *Posterior) RuledOut() []RuledOut {
	leader, lead := p.Leader()
	before := p.prior()
	start := before.of(leader)
	if !(start > 0) || !(lead > 0) {
		return nil
	}
	steps := p.saidInSteps()
	of := make([]nats, len(steps)) // what each says of the leader
	for i := range steps {
		of[i] = steps[i].of(p.priors, leader)
	}
	var out []RuledOut
	for _, c := range p.priors.active {
		if leader.A == c || leader.B == c || p.Singles[c] >= outMost {
			continue
		}
		if p.Singles[c]*start*outOdds > before.Singles[c]*lead {
			continue
		}
		var by *step
		most, hints := nats(0), nats(0)
		for i := range steps {
			x := steps[i].of(p.priors, Hypothesis{c, Nobody}) - of[i]
			if steps[i].finding != nil && steps[i].finding.Hint {
				hints += x
			} else if x < most {
				by, most = &steps[i], x
			}
		}
		if hints < 0 && p.Singles[c]*start*outOdds > before.Singles[c]*lead*hints.exp() {
			continue // without the hints it is in play
		}
		if by != nil {
			out = append(out, RuledOut{c, Weight{Evidence: by.evidence, Finding: by.finding, Circuit: by.circuit, Decibans: most.decibans()}})
		}
	}
	return out
}

// prior returns what was believed before any evidence.
func (p *Posterior) prior() *Posterior {
	if p.priors.shown != nil {
		return p.priors.shown()
	}
	return Update(p.Model, nil)
}

// of returns the probability of the hypothesis. Before any evidence nothing is
// needed and no pair is listed: a pair then has what its prior says.
func (p *Posterior) of(h Hypothesis) float64 {
	switch {
	case h.None():
		return p.None
	case h.B == Nobody:
		return p.Singles[h.A]
	}
	for _, q := range p.Pairs {
		if q.A == h.A && q.B == h.B {
			return q.P
		}
	}
	pr := p.priors
	a, b := pr.place[h.A], pr.place[h.B]
	return (pr.pair + pr.share[a] + pr.share[b] + pr.of(min(a, b), max(a, b))).exp()
}

// Prior returns the probability of the cause before any evidence.
func (p *Posterior) Prior(cause int) float64 { return p.prior().Singles[cause] }

// SystemShare is the part of "none of these" that lies in one system.
type SystemShare struct {
	System string
	P      float64
}

// NoneBySystem splits "none of these" by system, in order of first cause, for
// display: a cause unknown in a system is as common as the known ones there
// and shows 0.9 the baseline, 0.1 what the system's causes show on average.
// The shares sum to None.
func (p *Posterior) NoneBySystem() []SystemShare {
	pr := p.priors
	at := map[string]int{}
	var out []SystemShare
	of := make([]int, len(pr.active))
	var weight []float64
	for i, c := range pr.active {
		s, ok := at[p.Model.Causes[c].System]
		if !ok {
			s = len(out)
			at[p.Model.Causes[c].System] = s
			out = append(out, SystemShare{System: p.Model.Causes[c].System})
			weight = append(weight, 0)
		}
		of[i] = s
		weight[s] += pr.weight[c]
	}
	logs := make([]nats, len(out))
	best := never * 1000
	for s := range logs {
		logs[s] = logNats(weight[s])
	}
	sum, total := make([]float64, len(out)), make([]float64, len(out))
	for _, c := range p.components {
		clear(sum)
		clear(total)
		for _, sp := range c.speakers {
			w := pr.weight[pr.active[sp.place]]
			total[of[sp.place]] += w
			sum[of[sp.place]] += float64(w * c.tuples[sp.tuple].alone.exp())
		}
		for s := range logs {
			if total[s] > 0 && !math.IsInf(sum[s], 1) {
				logs[s] += logNats(c.mixBase + float64(c.mixMean*sum[s]/total[s]))
			}
		}
	}
	for _, x := range logs {
		best = max(best, x)
	}
	all := 0.0
	for s, x := range logs {
		out[s].P = ifNear(x - best)
		all += out[s].P
	}
	for s := range out {
		out[s].P *= p.None / all
	}
	return out
}

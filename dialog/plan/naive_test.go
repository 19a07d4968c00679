package plan

import (
	"sort"

	"ruleout/dialog/belief"
)

// The plain form of the rules, hypothesis by hypothesis and with every order
// sorted anew. It is the reference for the factored one.

// state is a belief with what was done to the car.
type state struct {
	b     *belief.Posterior
	open  opened
	tried []bool
	asked int
	faint []bool
	// use holds the findings of each check by which it is valued.
	use map[*Check][]*like
}

func (p *Problem) mass(b *belief.Posterior) float64 {
	t := b.None
	for _, v := range b.Singles {
		t += v
	}
	for _, h := range b.Pairs {
		t += h.P
	}
	return t
}

func (p *Problem) cures(b *belief.Posterior, tried []bool) []float64 {
	w := append([]float64(nil), b.Singles...)
	for _, h := range b.Pairs {
		w[h.A] += h.P / 2
		w[h.B] += h.P / 2
	}
	prob := make([]float64, len(p.Repairs))
	taken := make([]bool, len(w))
	for r := range p.Repairs {
		if tried[r] {
			continue
		}
		for _, c := range p.Repairs[r].Cures {
			if !taken[c] {
				taken[c] = true
				prob[r] += w[c]
			}
		}
		prob[r] *= 1 - p.Repairs[r].Beta
	}
	return prob
}

func (p *Problem) value(s state) (float64, []job, int) {
	jobs := p.order(p.cures(s.b, s.tried), s.open)
	v, pays := payment(jobs, p.mass(s.b), p.Shop)
	return v, jobs, pays
}

// after returns the unnormalised belief after one outcome of each finding.
func (p *Problem) after(b *belief.Posterior, ls []*like, outcome []int) *belief.Posterior {
	n := &belief.Posterior{Model: b.Model, Singles: append([]float64(nil), b.Singles...), Pairs: append([]belief.Pair(nil), b.Pairs...), None: b.None}
	for i, l := range ls {
		o := outcome[i]
		for c := range n.Singles {
			n.Singles[c] *= l.single(c, o)
		}
		for j := range n.Pairs {
			n.Pairs[j].P *= l.pair(n.Pairs[j].A, n.Pairs[j].B, o)
		}
		n.None *= l.none(o)
	}
	return n
}

func each(ls []*like, visit func([]int)) {
	at := make([]int, len(ls))
	for {
		visit(at)
		i := len(ls) - 1
		for ; i >= 0; i-- {
			if at[i]++; at[i] < len(ls[i].f.Base) {
				break
			}
			at[i] = 0
		}
		if i < 0 {
			return
		}
	}
}

// branch returns the cost of a check, the likelihoods of the findings valued
// and the state after it, still with the belief before.
func (p *Problem) branch(s state, c *Check) (float64, []*like, state) {
	n := s
	n.open = append(opened(nil), s.open...)
	cost := p.checkCost(c, s.asked) + p.open(n.open, c.Access)
	n.asked = c.askedAfter(s.asked)
	var ls []*like
	for _, f := range c.Findings {
		ls = append(ls, &like{s.b.Model, f, s.faint})
	}
	if s.use[c] == nil {
		s.use[c] = p.telling(n, ls)
	}
	return cost, s.use[c], n
}

// telling drops the findings of least worth until JointLimit holds.
func (p *Problem) telling(s state, ls []*like) []*like {
	joint := 1
	for _, l := range ls {
		joint = min(joint*len(l.f.Base), JointLimit+1)
	}
	if joint <= JointLimit {
		return ls
	}
	type single struct {
		i    int
		rest float64
	}
	var all []single
	for i, l := range ls {
		x := single{i: i}
		each([]*like{l}, func(o []int) {
			n := s
			n.b = p.after(s.b, []*like{l}, o)
			v, _, _ := p.value(n)
			x.rest += v
		})
		all = append(all, x)
	}
	sort.SliceStable(all, func(i, j int) bool { return rank(all[i].rest) < rank(all[j].rest) })
	joint = 1
	var keep []*like
	for _, x := range all {
		if k := joint * len(ls[x.i].f.Base); k <= JointLimit {
			joint = k
			keep = append(keep, ls[x.i])
		}
	}
	return keep
}

// total is cost + Σ V(b_o) of a check.
func (p *Problem) total(s state, c *Check, v func(state) float64) (float64, float64) {
	cost, ls, n := p.branch(s, c)
	a := c.answer()
	var states []state
	each(ls, func(o []int) {
		m := n
		m.b = p.after(s.b, ls, o)
		states = append(states, m)
	})
	// Only the likeliest outcomes look ahead.
	order := make([]int, len(states))
	for i := range order {
		order[i] = i
	}
	sort.SliceStable(order, func(i, j int) bool {
		return rank(p.mass(states[order[i]].b)) > rank(p.mass(states[order[j]].b))
	})
	sum := 0.0
	for at, i := range order {
		if at < AheadLimit {
			sum += v(states[i])
		} else {
			x, _, _ := p.value(states[i])
			sum += x
		}
	}
	cost *= p.mass(s.b)
	return cost, cost + float64(a*sum) + float64((1-a)*v(n))
}

// naiveBest is Best without any factoring, bound or scratch.
func naiveBest(p *Problem) Decision {
	s := state{b: foldedPairs(p.Belief), open: p.openNow(), tried: make([]bool, len(p.Repairs)), asked: p.Asked, use: map[*Check][]*like{}}
	for i, r := range p.Repairs {
		s.tried[i] = r.Tried
	}
	for _, w := range s.b.Singles {
		s.faint = append(s.faint, w < faint)
	}
	v, jobs, pays := p.value(s)
	d := Decision{V: v, Total: v, Index: -1, Kind: KindShop, Pays: pays}
	cum := 0.0
	for _, j := range jobs {
		cum += j.p
		d.Order = append(d.Order, Step{j.repair, p.Repairs[j.repair].ID, j.p, j.c, cum})
	}
	plain := func(s state) float64 { v, _, _ := p.value(s); return v }
	var checks []Candidate
	for i := range p.Checks {
		c := &p.Checks[i]
		cost, total := p.total(s, c, plain)
		if c.Question && v-total < leastQuestion*v {
			continue
		}
		checks = append(checks, Candidate{Kind: KindCheck, Index: i, ID: c.ID, Cost: cost, Worth: v - total})
	}
	sort.SliceStable(checks, func(i, j int) bool { return rank(v-checks[i].Worth) < rank(v-checks[j].Worth) })
	second := checks[:min(secondChecks, len(checks))]
	// v1 is V1 of a state, leaving out the check just made.
	v1 := func(but int) func(state) float64 {
		return func(s state) float64 {
			least := plain(s)
			for _, c := range second {
				if c.Index != but {
					_, total := p.total(s, &p.Checks[c.Index], plain)
					least = min(least, total)
				}
			}
			return least
		}
	}
	for _, c := range checks[:min(firstChecks, len(checks))] {
		_, c.Total = p.total(s, &p.Checks[c.Index], v1(c.Index))
		d.Candidates = append(d.Candidates, c)
	}
	for _, j := range jobs[:min(firstRepairs, len(jobs))] {
		n := p.naiveRepaired(s, j.repair)
		cost := j.costFor(p, s)
		d.Candidates = append(d.Candidates, Candidate{Kind: KindRepair, Index: j.repair, ID: p.Repairs[j.repair].ID,
			Cost: cost, Worth: v - cost - plain(n), Total: cost + v1(-1)(n)})
	}
	sort.SliceStable(d.Candidates, func(i, j int) bool {
		a, b := d.Candidates[i], d.Candidates[j]
		if x, y := rank(a.Total), rank(b.Total); x != y {
			return x < y
		}
		return a.ID < b.ID
	})
	if len(d.Candidates) > 0 && rank(d.Candidates[0].Total) < rank(v) {
		c := d.Candidates[0]
		d.Kind, d.Index, d.ID, d.Total, d.Worth = c.Kind, c.Index, c.ID, c.Total, c.Worth
	} else if pays > 0 {
		d.Kind, d.Index, d.ID = KindRepair, jobs[0].repair, p.Repairs[jobs[0].repair].ID
	}
	return d
}

// costFor is what the job costs when done first in the state.
func (j job) costFor(p *Problem, s state) float64 {
	o := append(opened(nil), s.open...)
	return (p.Repairs[j.repair].Cost + p.open(o, p.Repairs[j.repair].Access)) * p.mass(s.b)
}

// repaired is the state after the repair that did not cure.
func (p *Problem) naiveRepaired(s state, r int) state {
	n := s
	n.open = append(opened(nil), s.open...)
	p.open(n.open, p.Repairs[r].Access)
	n.tried = append([]bool(nil), s.tried...)
	n.tried[r] = true
	n.asked = 0
	b := &belief.Posterior{Model: s.b.Model, Singles: append([]float64(nil), s.b.Singles...), None: s.b.None}
	cured := make([]bool, len(b.Singles))
	for _, c := range p.Repairs[r].Cures {
		cured[c] = true
		b.Singles[c] *= p.Repairs[r].Beta
	}
	for _, h := range s.b.Pairs {
		if !cured[h.A] && !cured[h.B] {
			b.Pairs = append(b.Pairs, h)
			continue
		}
		for _, c := range []int{h.A, h.B} {
			if cured[c] {
				b.Singles[c] += h.P / 2 * p.Repairs[r].Beta
			} else {
				b.Singles[c] += h.P / 2
			}
		}
	}
	n.b = b
	return n
}

func foldedPairs(b *belief.Posterior) *belief.Posterior {
	n := &belief.Posterior{Model: b.Model, Singles: append([]float64(nil), b.Singles...), None: b.None}
	for _, h := range b.Pairs {
		if h.P >= pairFloor {
			n.Pairs = append(n.Pairs, h)
			continue
		}
		n.Singles[h.A] += h.P / 2
		n.Singles[h.B] += h.P / 2
	}
	return n
}

// like is what a finding shows under every hypothesis.
type like struct {
	m *belief.Model
	f *belief.Finding
	// faint causes show the baseline whatever they say.
	faint []bool
}

func (l *like) single(c, o int) float64 {
	if l.faint[c] {
		return l.m.Shows(nil, l.f)[o]
	}
	return l.m.Shows(nil, l.f, c)[o]
}

func (l *like) pair(a, b, o int) float64 { return l.m.Shows(nil, l.f, a, b)[o] }
func (l *like) none(o int) float64       { return l.m.ShowsNone(nil, l.f)[o] }

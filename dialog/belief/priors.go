package belief

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"sync"
)

// priors holds the prior of every hypothesis. A pair's is factored:
// pair + share[a] + share[b] + special[a,b].
type priors struct {
	active []int     // the causes with a weight, ascending
	place  []int     // of a cause in active, or -1
	weight []float64 // by cause
	// By place in active:
	single []nats
	share  []nats
	pair   nats
	none   nats
	// special corrects the product for pairs that exclude one another (never)
	// or that one cause leads to: row a is special[from[a]:from[a+1]]. All
	// others have rest, which is 0, or never if there are no pairs but special
	// ones.
	special []corrected
	from    []int
	rest    nats
	// most is the greatest special of a row, at least 0.
	most []nats
	// shown is the posterior without evidence, made when it is first asked for.
	shown func() *Posterior
}

// corrected is a pair with this second cause, by place.
type corrected struct {
	b int
	v nats
}

// of returns what corrects the pair of places a < b.
func (p *priors) of(a, b int) nats {
	for _, x := range p.special[p.from[a]:p.from[a+1]] {
		if x.b == b {
			return x.v
		}
	}
	return p.rest
}

// Prepare checks the model and computes its priors. It returns all that is
// wrong with it.
func (m *Model) Prepare() error {
	if err := m.check(); err != nil {
		return err
	}
	m.ready()
	return nil
}

// ready computes the priors.
func (m *Model) ready() {
	m.priors = m.compute()
	m.priors.shown = sync.OnceValue(func() *Posterior { return Update(m, nil) })
}

// check returns everything that is wrong with the model.
func (m *Model) check() error {
	var errs []error
	bad := func(format string, a ...any) { errs = append(errs, fmt.Errorf("belief: "+format, a...)) }
	share := func(x float64) bool { return x >= 0 && x <= 1 }
	if !share(m.None) || !share(m.PairShare) {
		bad("None %v and PairShare %v must lie between 0 and 1", m.None, m.PairShare)
	}
	if !share(m.NoneBase) || !share(m.NoneMean) || math.Abs(m.NoneBase+m.NoneMean-1) > 1e-9 {
		bad("NoneBase %v and NoneMean %v must sum to one", m.NoneBase, m.NoneMean)
	}
	if m.MostFaults < 0 {
		bad("MostFaults %d is negative", m.MostFaults)
	}
	for i := range m.Causes {
		c := &m.Causes[i]
		if i > 0 && m.Causes[i-1].ID >= c.ID {
			bad("cause %q is not in id order after %q", c.ID, m.Causes[i-1].ID)
		}
		if err := m.checkWeight(i); err != nil {
			errs = append(errs, err)
		}
		if !share(c.Steady) {
			bad("cause %q is steady %v, not between 0 and 1", c.ID, c.Steady)
		}
		for _, w := range c.With {
			if w < 0 || w >= len(m.Causes) || w == i {
				bad("cause %q goes with cause %d, which is not another cause", c.ID, w)
			}
		}
		sum := 0.0
		for _, l := range c.LeadsTo {
			if l.To < 0 || l.To >= len(m.Causes) || l.To == i {
				bad("cause %q leads to cause %d, which is not another cause", c.ID, l.To)
			}
			if !share(l.Share) {
				bad("cause %q leads on with share %v, not between 0 and 1", c.ID, l.Share)
			}
			sum += l.Share
		}
		if sum > 1+1e-9 {
			bad("cause %q leads on with shares that sum to %v", c.ID, sum)
		}
		if m.Bernoulli && len(c.LeadsTo) > 0 {
			bad("cause %q leads to others, which independent causes can't", c.ID)
		}
	}
	return errors.Join(errs...)
}

// checkWeight returns what is wrong with the weight of the cause.
func (m *Model) checkWeight(cause int) error {
	if w := m.weight(cause); !(w >= 0) || math.IsInf(w, 0) || m.Bernoulli && w >= 1 {
		return fmt.Errorf("belief: cause %q has weight %v", m.Causes[cause].ID, w)
	}
	return nil
}

// With returns the model with these weights, one a cause, in place of the
// causes' own; all else is shared with m, which Prepare must have accepted.
func (m *Model) With(weights []float64) (*Model, error) {
	if len(weights) != len(m.Causes) {
		return nil, fmt.Errorf("belief: %d weights for %d causes", len(weights), len(m.Causes))
	}
	n := &Model{Causes: m.Causes, Options: m.Options, weights: weights}
	for i := range weights {
		if err := n.checkWeight(i); err != nil {
			return nil, err
		}
	}
	n.ready()
	return n, nil
}

// excluded tells whether the causes can't be present together: one group, and
// neither names the other in With.
func (m *Model) excluded(a, b int) bool {
	ca, cb := &m.Causes[a], &m.Causes[b]
	return ca.Group != "" && ca.Group == cb.Group && !has(ca.With, b) && !has(cb.With, a)
}

func has(list []int, x int) bool {
	for _, v := range list {
		if v == x {
			return true
		}
	}
	return false
}

// compute returns the priors of a model that passed check, without shown.
func (m *Model) compute() *priors {
	p := &priors{place: make([]int, len(m.Causes)), weight: m.weights}
	if p.weight == nil {
		p.weight = make([]float64, len(m.Causes))
		for i := range m.Causes {
			p.weight[i] = m.Causes[i].Weight
		}
	}
	for i := range m.Causes {
		p.place[i] = -1
		if p.weight[i] > 0 {
			p.place[i] = len(p.active)
			p.active = append(p.active, i)
		}
	}
	n := len(p.active)
	p.single, p.share, p.most = make([]nats, n), make([]nats, n), make([]nats, n)
	f := make([]float64, n)
	// next is the next place of the same group, or -1: only such causes can
	// exclude one another.
	next, first := make([]int, n), map[string]int{}
	for i := n - 1; i >= 0; i-- {
		f[i], next[i] = p.weight[p.active[i]], -1
		if g := m.Causes[p.active[i]].Group; g != "" {
			if j, ok := first[g]; ok {
				next[i] = j
			}
			first[g] = i
		}
	}
	sum := func(f []float64) (x float64) {
		for _, v := range f {
			x += v
		}
		return x
	}
	total, pairs := sum(f), 0.0 // pairs sums f f over the pairs allowed
	p.from = append(make([]int, 0, n+1), 0)
	for i, a := range p.active {
		with, at := 0.0, i+1
		for j := next[i]; j >= 0; j = next[j] {
			if m.excluded(a, p.active[j]) {
				p.special = append(p.special, corrected{j, never})
				with += sum(f[at:j])
				at = j + 1
			}
		}
		pairs += float64(f[i] * (with + sum(f[at:])))
		p.from = append(p.from, len(p.special))
	}
	if m.Bernoulli {
		p.bernoulli(m)
		return p
	}
	if n == 0 {
		p.none, p.pair = 0, never
		return p
	}
	pairShare := m.PairShare
	if pairs == 0 || m.MostFaults == 1 {
		pairShare = 0
	}
	p.none = logNats(m.None)
	pair := 0.0 // the factor of f_a f_b
	if pairShare > 0 {
		pair = (1 - m.None) * pairShare / pairs
	}
	p.pair = logNats(pair)
	single := make([]float64, n)
	moved := map[[2]int]float64{} // by places
	for i, a := range p.active {
		p.share[i] = logNats(f[i])
		prior := (1 - m.None) * (1 - pairShare) * f[i] / total
		single[i] = prior
		for _, l := range m.Causes[a].LeadsTo {
			j := p.place[l.To]
			if j < 0 || m.MostFaults == 1 {
				continue // what it leads to does not apply to this vehicle
			}
			moved[[2]int{min(i, j), max(i, j)}] += float64(prior * l.Share)
			single[i] -= float64(prior * l.Share)
		}
		single[i] = max(single[i], 0)
	}
	for i := range p.active {
		p.single[i] = logNats(single[i])
	}
	if len(moved) == 0 {
		return p
	}
	was := p.special
	at := func(i int) []corrected { return was[p.from[i]:p.from[i+1]] }
	rest := p.rest
	if p.pair == never {
		// No pair but those that a cause leads to: any factor will do.
		p.pair, rest = 0, never
	}
	links := make([][2]int, 0, len(moved))
	for k := range moved {
		links = append(links, k)
	}
	slices.SortFunc(links, func(a, b [2]int) int { return slices.Compare(a[:], b[:]) })
	var special []corrected
	from := append(make([]int, 0, n+1), 0)
	for i := range p.active {
		first := len(special)
		for ; len(links) > 0 && links[0][0] == i; links = links[1:] {
			j, add := links[0][1], moved[links[0]]
			if p.of(i, j) != never {
				add += float64(pair * float64(f[i]*f[j]))
			}
			v := logNats(add) - p.pair - p.share[i] - p.share[j]
			p.most[i] = max(p.most[i], v)
			special = append(special, corrected{j, v})
		}
		led := special[first:]
		for _, x := range at(i) {
			if x.v != rest && !slices.ContainsFunc(led, func(y corrected) bool { return y.b == x.b }) {
				special = append(special, x)
			}
		}
		slices.SortFunc(special[first:], func(x, y corrected) int { return x.b - y.b })
		from = append(from, len(special))
	}
	p.special, p.from, p.rest = special, from, rest
	return p
}

// bernoulli sets the priors of causes that are present independently, up to a
// common factor.
func (p *priors) bernoulli(m *Model) {
	for i, a := range p.active {
		f := p.weight[a]
		p.share[i] = logNats(f) - logNats(1-f)
		p.none += logNats(1 - f)
	}
	p.pair = p.none
	for i := range p.active {
		p.single[i] = p.none + p.share[i]
	}
	if m.MostFaults == 1 {
		p.pair = never
	}
}

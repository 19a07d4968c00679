package belief

import "slices"

// Scratch is the memory of Update, kept by the worker that calls it so that
// no turn has to ask for it anew. The zero value is ready. It must not be used
// by two goroutines at once.
type Scratch struct {
	corr             []nats    // by pair, see triangle
	x, alone, up     []nats    // by place
	g, single, whole []float64 // by place
	after            []nats
	w, part          []float64
	at               []int32
	needed           []bool
	pairs            []Pair
}

// grow gives every part the length n and clears it.
func (s *Scratch) grow(n int) {
	if cap(s.after) < n+1 {
		s.x, s.alone, s.up, s.after = make([]nats, n), make([]nats, n), make([]nats, n), make([]nats, n+1)
		s.g, s.single, s.whole, s.needed = make([]float64, n), make([]float64, n), make([]float64, n), make([]bool, n)
		s.w, s.part, s.at = make([]float64, n), make([]float64, n), make([]int32, n)
		s.corr = make([]nats, triangle(n, n))
	}
	s.x, s.alone, s.up, s.after = s.x[:n], s.alone[:n], s.up[:n], s.after[:n+1]
	s.g, s.single, s.whole, s.needed = s.g[:n], s.single[:n], s.whole[:n], s.needed[:n]
	s.w, s.part, s.at = s.w[:n], s.part[:n], s.at[:n]
	s.corr = s.corr[:triangle(n, n)]
	clear(s.single)
	clear(s.whole)
	clear(s.needed)
}

// Update returns what is believed after the evidence, which may come in any
// order. It is exact: every cause alone, every pair and none. Evidence that
// Check rejects is left out.
func Update(m *Model, ev []Evidence) *Posterior {
	var s Scratch
	return s.Update(m, ev)
}

// Update is the function of that name with memory of the caller.
func (s *Scratch) Update(m *Model, ev []Evidence) *Posterior {
	pr := m.priors
	if pr == nil {
		pr = m.compute()
	}
	n := len(pr.active)
	s.grow(n)
	cs := m.components(pr, ev)
	none, base := pr.none, nats(0)
	copy(s.x, pr.share)
	copy(s.alone, pr.single)
	copy(s.up, pr.most)
	copy(s.corr, pr.special)
	for _, c := range cs {
		none += c.none
		base += c.base
		s.add(c)
	}
	post := &Posterior{Model: m, components: cs, priors: pr}
	sets := s.sets(m, pr, cs)
	best := s.best(pr, none, sets)
	s.weigh(pr, best, m.NoFold, post)
	post.finish(s, pr, best, none, sets)
	post.LogEvidence += float64(best+base) / float64(nat)
	post.Impossible = m.NoClamp && best+base < never/2
	return post
}

// add adds one component to the causes that speak of it, and to the pairs of
// which both do.
func (s *Scratch) add(c *component) {
	n := len(s.x)
	for i, a := range c.speakers {
		t := &c.tuples[a.tuple]
		s.alone[a.place] += t.alone
		s.x[a.place] += t.paired
		if t.alone >= twice {
			s.needed[a.place] = true
		}
		row := triangle(a.place, n) - a.place - 1
		pairs := c.pairs[a.tuple*len(c.tuples):][:len(c.tuples)]
		up := nats(0)
		for _, b := range c.speakers[i+1:] {
			d := pairs[b.tuple]
			s.corr[row+b.place] += d
			up = max(up, d)
		}
		s.up[a.place] += up
	}
}

// twice is the log of two, less the rounding of two logs.
var twice = logNats(2) - 8

// excludes tells whether a corrected pair can't be.
func excludes(corr nats) bool { return corr < never/2 }

// best returns the greatest log of prior times likelihood. Rows of pairs that
// can't reach the best so far are passed over.
func (s *Scratch) best(pr *priors, none nats, sets []logSet) nats {
	best := none
	for _, x := range s.alone {
		best = max(best, x)
	}
	for i := range sets {
		best = max(best, sets[i].log)
	}
	n := len(s.x)
	s.after[n] = never * 1000
	for i := n - 1; i >= 0; i-- {
		s.after[i] = max(s.after[i+1], s.x[i])
	}
	for a := 0; a < n-1; a++ {
		most := pr.pair + s.x[a] + s.after[a+1] + s.up[a]
		if most <= best {
			continue
		}
		row := s.corr[triangle(a, n):triangle(a+1, n)]
		for i, corr := range row {
			best = max(best, pr.pair+s.x[a]+s.x[a+1+i]+corr)
		}
	}
	return best
}

// unlisted is the share of the best hypothesis below which a pair is not worth
// listing: half of it is counted for each of its causes. Tens of thousands of
// such pairs would make everything downstream slow and change nothing.
const unlisted = 1e-9

// weigh sums the pairs into single, whole and post.Pairs, all against best.
func (s *Scratch) weigh(pr *priors, best nats, noFold bool, post *Posterior) {
	n := len(s.x)
	s.pairs = s.pairs[:0]
	if n == 0 {
		return
	}
	for b, x := range s.x {
		s.g[b] = (x - s.after[0]).exp()
		s.part[b] = 0.5
		if s.needed[b] {
			s.part[b] = 1
		}
	}
	for a := 0; a < n-1; a++ {
		head := pr.pair + s.x[a] - best
		if head+s.after[a+1]+s.up[a] < -cutoff {
			continue
		}
		w := s.row(a, head)
		whole, single, part := s.whole[a+1:][:len(w)], s.single[a+1:][:len(w)], s.part[a+1:][:len(w)]
		all, rest := 0.0, 0.0
		if noFold || s.needed[a] {
			for i, v := range w {
				whole[i] += v
				all += v
			}
			rest = s.list(pr, a, w, noFold)
		} else {
			for i, v := range w {
				whole[i] += v
				all += v
				p := float64(v * part[i])
				single[i] += p
				rest += v - p
			}
		}
		s.whole[a] += all
		s.single[a] += rest
	}
	post.Pairs = slices.Clone(s.pairs)
}

// row returns the weights of the pairs (a, b) for all b > a. A pair whose
// causes never speak of the same finding is a product; only the others need an
// exponential.
func (s *Scratch) row(a int, head nats) []float64 {
	n := len(s.x)
	corr := s.corr[triangle(a, n):triangle(a+1, n)]
	w, x, g := s.w[:len(corr)], s.x[a+1:][:len(corr)], s.g[a+1:][:len(corr)]
	at := s.at[:len(corr)]
	k := 0
	if top := head + s.after[0]; top < 300*nat {
		factor := top.exp()
		for i, c := range corr {
			w[i] = factor * g[i]
			at[k] = int32(i)
			k += int(uint64(c|-c) >> 63) // one if c is not nought
		}
	} else { // the factor would leave the range of a float
		for i := range corr {
			at[i] = int32(i)
		}
		k = len(corr)
	}
	for _, i := range at[:k] {
		w[i] = ifNear(head + x[i] + corr[i])
	}
	return w
}

// list appends those pairs of the needed cause a that are listed, folds the
// others, and returns what falls to a.
func (s *Scratch) list(pr *priors, a int, w []float64, noFold bool) float64 {
	rest := 0.0
	for i, v := range w {
		b := a + 1 + i
		switch {
		case noFold || s.needed[b] && v >= unlisted:
			if v > 0 {
				s.pairs = append(s.pairs, Pair{A: pr.active[a], B: pr.active[b], P: v})
			}
		case s.needed[b]:
			rest += v / 2
			s.single[b] += v / 2
		default:
			rest += v
		}
	}
	return rest
}

// finish adds the single causes and none, and normalises.
func (p *Posterior) finish(s *Scratch, pr *priors, best, none nats, sets []logSet) {
	n := len(p.Model.Causes)
	p.Singles, p.Marginal = make([]float64, n), make([]float64, n)
	p.None = ifNear(none - best)
	total := p.None
	for i, a := range pr.active {
		w := ifNear(s.alone[i] - best)
		p.Singles[a] = s.single[i] + w
		p.Marginal[a] = s.whole[i] + w
		total += p.Singles[a]
	}
	for i := range p.Pairs {
		total += p.Pairs[i].P
	}
	for _, set := range sets {
		w := ifNear(set.log - best)
		total += w
		p.Sets = append(p.Sets, Set{set.causes, w})
		for _, a := range set.causes {
			p.Marginal[a] += w
		}
	}
	p.None /= total
	for i := range p.Singles {
		p.Singles[i] /= total
		p.Marginal[i] /= total
	}
	for i := range p.Pairs {
		p.Pairs[i].P /= total
	}
	for i := range p.Sets {
		p.Sets[i].P /= total
	}
	p.LogEvidence = float64(logNats(total)) / float64(nat)
}

// ifNear is exp, but nothing beyond the cutoff.
func ifNear(x nats) float64 {
	if x < -cutoff {
		return 0
	}
	return x.exp()
}

package belief

import (
	"slices"
	"sync"
)

// Scratch is the memory of Update, kept by the worker that calls it so that
// no turn has to ask for it anew. The zero value is ready. It must not be used
// by two goroutines at once.
type Scratch struct {
	corr             []nats    // a row of pairs
	x, alone, up     []nats    // by place
	g, single, whole []float64 // by place
	after            []nats
	w, part          []float64
	needed           []bool
	pairs            []Pair
	members          []member // those of place a are members[from[a]:from[a+1]]
	from             []int
	cs               []*component
	brief            bool // marginals are not wanted
}

// member is one place's part in a component: the number of its speaker.
type member struct{ component, speaker int }

// grow gives every part the length n and clears it.
func (s *Scratch) grow(n int) {
	if cap(s.after) < n+1 {
		s.x, s.alone, s.up, s.after = make([]nats, n), make([]nats, n), make([]nats, n), make([]nats, n+1)
		s.g, s.single, s.whole, s.needed = make([]float64, n), make([]float64, n), make([]float64, n), make([]bool, n)
		s.w, s.part, s.corr = make([]float64, n), make([]float64, n), make([]nats, n)
		s.from = make([]int, n+2)
	}
	s.x, s.alone, s.up, s.after = s.x[:n], s.alone[:n], s.up[:n], s.after[:n+1]
	s.g, s.single, s.whole, s.needed = s.g[:n], s.single[:n], s.whole[:n], s.needed[:n]
	s.w, s.part, s.corr, s.from = s.w[:n], s.part[:n], s.corr[:n], s.from[:n+2]
	clear(s.single)
	clear(s.whole)
	clear(s.needed)
}

// Update returns what is believed after the evidence, which may come in any
// order. It is exact: every cause alone, every pair and none. Evidence that
// Check rejects is left out.
func Update(m *Model, ev []Evidence) *Posterior {
	s := scratches.Get().(*Scratch)
	defer scratches.Put(s)
	return s.Update(m, ev)
}

// scratches are kept for those who have none of their own.
var scratches = sync.Pool{New: func() any { return &Scratch{} }}

// Update is the function of that name with memory of the caller.
func (s *Scratch) Update(m *Model, ev []Evidence) *Posterior {
	pr := m.priors
	if pr == nil {
		pr = m.compute()
	}
	s.brief = false
	post := s.update(m, pr, m.components(pr, ev))
	post.Pairs = slices.Clone(post.Pairs)
	return post
}

// Given returns what Update would make of ev and one more, where p is what it
// made of ev. It is to the bit the same, but without pairs and marginals, and
// mostly faster.
func (p *Posterior) Given(ev []Evidence, more Evidence) *Posterior {
	s := scratches.Get().(*Scratch)
	defer scratches.Put(s)
	m := p.Model
	cs, ok := p.with(more, len(ev))
	if !ok {
		cs = m.components(p.priors, append(slices.Clone(ev), more))
	}
	s.brief = true
	post := s.update(m, p.priors, cs)
	post.Pairs = nil
	return post
}

// with returns the components with one more; not ok if the evidence bears on
// what is in one already, or does not stand alone. The evidence has the given
// position.
func (p *Posterior) with(e Evidence, position int) (cs []*component, ok bool) {
	if e.Composite != nil || e.Finding == nil || e.Finding.Parent != nil || p.Model.checkOne(&e) != nil {
		return nil, false
	}
	at := 0
	for i, c := range p.components {
		if c.composite != nil {
			at = i + 1
			continue
		}
		for k := range c.nodes {
			if c.nodes[k].f == e.Finding {
				return nil, false
			}
		}
		switch {
		case c.first < e.id():
			at = i + 1
		case c.first == e.id():
			return nil, false // another finding of this name
		}
	}
	c := p.Model.components(p.priors, []Evidence{e})[0]
	c.nodes[0].evidence[0] = position
	return slices.Insert(slices.Clone(p.components), at, c), true
}

// update does the work of Update. The pairs listed lie in the scratch.
func (s *Scratch) update(m *Model, pr *priors, cs []*component) *Posterior {
	n := len(pr.active)
	s.grow(n)
	none, base := pr.none, nats(0)
	copy(s.x, pr.share)
	copy(s.alone, pr.single)
	copy(s.up, pr.most)
	for _, c := range cs {
		none += c.none
		base += c.base
		s.add(c)
	}
	s.cs = cs
	s.join()
	post := &Posterior{Model: m, components: cs, priors: pr}
	sets := s.sets(m, pr, cs)
	best := s.best(pr, none, sets)
	s.weigh(pr, best, m.NoFold, post)
	post.finish(s, pr, best, none, sets)
	post.LogEvidence += float64(best+base) / float64(nat)
	post.Impossible = m.NoClamp && best+base < never/2
	return post
}

// add adds one component to the causes that speak of it.
func (s *Scratch) add(c *component) {
	for _, a := range c.speakers {
		t := &c.tuples[a.tuple]
		s.alone[a.place] += t.alone
		s.x[a.place] += t.paired
		s.up[a.place] += t.up
		if t.alone >= twice {
			s.needed[a.place] = true
		}
	}
}

// join lists the members of every place, in the order of components.
func (s *Scratch) join() {
	clear(s.from)
	total := 0
	for _, c := range s.cs {
		for _, a := range c.speakers {
			s.from[a.place+2]++
		}
		total += len(c.speakers)
	}
	for i := 2; i < len(s.from); i++ {
		s.from[i] += s.from[i-1]
	}
	if cap(s.members) < total {
		s.members = make([]member, total+total/2)
	}
	s.members = s.members[:total]
	for k, c := range s.cs {
		for i, a := range c.speakers {
			s.members[s.from[a.place+1]] = member{k, i}
			s.from[a.place+1]++
		}
	}
}

// corrections returns what is to be added to x[a]+x[b] for each b > a.
func (s *Scratch) corrections(pr *priors, a int) []nats {
	row := s.corr[:len(s.x)-a-1]
	for i := range row {
		row[i] = pr.rest
	}
	for _, x := range pr.special[pr.from[a]:pr.from[a+1]] {
		row[x.b-a-1] = x.v
	}
	for _, m := range s.members[s.from[a]:s.from[a+1]] {
		c := s.cs[m.component]
		n := len(c.tuples)
		add := c.pairs[c.speakers[m.speaker].tuple*n:][:n]
		for _, b := range c.speakers[m.speaker+1:] {
			row[b.place-a-1] += add[b.tuple]
		}
	}
	return row
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
		for i, corr := range s.corrections(pr, a) {
			best = max(best, pr.pair+s.x[a]+s.x[a+1+i]+corr)
		}
	}
	return best
}

// unlisted is the share of the best hypothesis below which a pair is not worth
// listing: half of it is counted for each of its causes. Tens of thousands of
// such pairs would make everything downstream slow and change nothing.
const unlisted = 1e-6

// weigh sums the pairs into single, whole and post.Pairs, all against best; when
// brief, not into whole.
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
		w := s.row(pr, a, head)
		single, part := s.single[a+1:][:len(w)], s.part[a+1:][:len(w)]
		if !s.brief {
			whole, all := s.whole[a+1:][:len(w)], 0.0
			for i, v := range w {
				whole[i] += v
				all += v
			}
			s.whole[a] += all
		}
		rest := 0.0
		switch {
		case noFold:
			for i, v := range w {
				if v > 0 {
					s.pairs = append(s.pairs, Pair{A: pr.active[a], B: pr.active[a+1+i], P: v})
				}
			}
		case s.needed[a]:
			// Of a pair that is not listed, the other cause gets half if it is
			// needed too, else nothing.
			for i, v := range w {
				if v >= unlisted && part[i] == 1 {
					s.pairs = append(s.pairs, Pair{A: pr.active[a], B: pr.active[a+1+i], P: v})
					continue
				}
				p := float64(v * (part[i] - 0.5))
				single[i] += p
				rest += v - p
			}
		default:
			// The other cause gets all if it is needed, else half.
			for i, v := range w {
				p := float64(v * part[i])
				single[i] += p
				rest += v - p
			}
		}
		s.single[a] += rest
	}
	post.Pairs = s.pairs
}

// row returns the weights of the pairs (a, b) for all b > a: a product, in the
// order of components, in which only those factors are not 1 where both speak.
func (s *Scratch) row(pr *priors, a int, head nats) []float64 {
	w := s.w[:len(s.x)-a-1]
	if top := head + s.after[0]; top > 300*nat || s.up[a] > 300*nat {
		// The factors would leave the range of a float.
		corr := s.corrections(pr, a)
		for i, x := range s.x[a+1:] {
			w[i] = ifNear(head + x + corr[i])
		}
		return w
	} else if pr.rest == never {
		clear(w)
	} else {
		factor := top.exp()
		for i, g := range s.g[a+1:][:len(w)] {
			w[i] = factor * g
		}
	}
	for _, x := range pr.special[pr.from[a]:pr.from[a+1]] {
		w[x.b-a-1] = ifNear(head + s.x[x.b] + x.v)
	}
	for _, m := range s.members[s.from[a]:s.from[a+1]] {
		c := s.cs[m.component]
		n := len(c.tuples)
		by := c.factors[c.speakers[m.speaker].tuple*n:][:n]
		for _, b := range c.speakers[m.speaker+1:] {
			w[b.place-a-1] *= by[b.tuple]
		}
	}
	return w
}

// finish adds the single causes and none, and normalises.
func (p *Posterior) finish(s *Scratch, pr *priors, best, none nats, sets []logSet) {
	n := len(p.Model.Causes)
	p.Singles = make([]float64, n)
	if !s.brief {
		p.Marginal = make([]float64, n)
	}
	p.None = ifNear(none - best)
	total := p.None
	for i, a := range pr.active {
		w := ifNear(s.alone[i] - best)
		p.Singles[a] = s.single[i] + w
		if !s.brief {
			p.Marginal[a] = s.whole[i] + w
		}
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
			if !s.brief {
				p.Marginal[a] += w
			}
		}
	}
	p.None /= total
	for _, a := range pr.active {
		p.Singles[a] /= total
		if !s.brief {
			p.Marginal[a] /= total
		}
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

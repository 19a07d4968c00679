package belief

import (
	"cmp"
	"slices"
	"sync/atomic"
)

// A component is one recorded finding, or a tree of findings that follow from
// one another, at least one of them recorded. Components are independent of
// each other given the causes; within one everything is summed jointly.
type component struct {
	nodes    []node // parents before children
	speakers []speaker
	tuples   []tuple
	// Log likelihoods against the baseline hypothesis, under which no cause
	// that speaks of the component is present.
	base, none nats // base is absolute, none is against base
	limit      nats // 0 means none
	// pairs[a*len(tuples)+b] is what is to be added to a.paired + b.paired
	// where one cause does a and another b.
	pairs     []nats
	factors   []float64 // their exponentials
	replaced  bool
	causes    []Cause    // of the model
	first     string     // the id of the first evidence in the order of content
	composite *Composite // in place of nodes, with
	evidence  []int      // its position
	noClamp   bool
	mixBase   float64
	mixMean   float64
	beta      [][]float64 // by node; scratch
	p         []float64
	meet      []float64
	ks        []*kind
}

// node is one finding of a component.
type node struct {
	f        *Finding
	absent   bool
	parent   int       // or -1
	lambda   []float64 // nil unless recorded
	uniform  float64
	limit    float64 // decibans; 0 or less means none
	evidence []int   // positions in the evidence given
	given    [][]float64
	mean     []float64 // what the causes that speak show on average, or nil
}

// speaker is one cause, by place, and what it does to the component.
type speaker struct{ place, tuple int }

// tuple is what a cause does to each node of a component: nil where it is
// silent. alone is its log likelihood alone, paired what it brings into a pair
// whose other cause is silent.
type tuple struct {
	ks            []*kind
	alone, paired nats
	up            nats // the most that a pair adds, at least 0
}

// order returns the positions of the usable evidence, sorted by content so
// that the order of telling can't matter.
func (m *Model) order(ev []Evidence) []int {
	var out []int
	for i := range ev {
		if m.checkOne(&ev[i]) == nil {
			out = append(out, i)
		}
	}
	slices.SortStableFunc(out, func(i, j int) int {
		a, b := &ev[i], &ev[j]
		absent := 0
		if a.Absent != b.Absent {
			absent = 1
			if b.Absent {
				absent = -1
			}
		}
		return cmp.Or(
			cmp.Compare(a.id(), b.id()),
			absent,
			cmp.Compare(a.Label, b.Label),
			slices.Compare(a.Lambda, b.Lambda),
			cmp.Compare(a.Uniform, b.Uniform),
			cmp.Compare(a.LimitDB, b.LimitDB),
		)
	})
	return out
}

// id names what the evidence is about.
func (e *Evidence) id() string {
	if e.Composite != nil {
		return e.Composite.ID
	}
	return e.Finding.ID
}

// components groups the evidence. Evidence on one finding in one state is
// multiplied: its witnesses count once, sharper.
func (m *Model) components(pr *priors, ev []Evidence) []*component {
	type key struct {
		f      *Finding
		absent bool
	}
	var nodes []node
	var firsts []string // the evidence that brought each node in
	id := ""
	at := map[key]int{}
	var place func(f *Finding, absent bool) int
	place = func(f *Finding, absent bool) int {
		k := key{f, absent}
		if i, ok := at[k]; ok {
			return i
		}
		parent := -1
		if f.Parent != nil {
			parent = place(f.Parent, absent)
		}
		at[k] = len(nodes)
		nodes = append(nodes, node{f: f, absent: absent, parent: parent})
		firsts = append(firsts, id)
		return len(nodes) - 1
	}
	var out []*component
	for _, i := range m.order(ev) {
		e := &ev[i]
		if e.Composite != nil {
			out = append(out, m.composite(pr, e, i))
			continue
		}
		id = e.id()
		nodes[place(e.Finding, e.Absent)].record(e, i)
	}
	// Nodes are grouped by root; a node's number in its component is local.
	of, local := make([]*component, len(nodes)), make([]int, len(nodes))
	for i := range nodes {
		n := &nodes[i]
		if n.parent < 0 {
			of[i] = &component{first: firsts[i], causes: m.Causes, noClamp: m.NoClamp, mixBase: m.NoneBase, mixMean: m.NoneMean}
			out = append(out, of[i])
		} else {
			of[i] = of[n.parent]
			n.parent = local[n.parent]
		}
		local[i] = len(of[i].nodes)
		of[i].nodes = append(of[i].nodes, *n)
	}
	for _, c := range out {
		if c.composite == nil {
			c.prepare(pr)
		}
	}
	return out
}

// record adds one witness to the node.
func (n *node) record(e *Evidence, at int) {
	limit := e.LimitDB
	if limit == 0 {
		limit = e.Finding.LimitDB
	}
	n.evidence = append(n.evidence, at)
	if n.lambda == nil {
		n.lambda, n.uniform, n.limit = slices.Clone(e.Lambda), e.Uniform, limit
		return
	}
	// A reading beside spoken words: the words say how likely they are
	// whatever the state by their mean.
	if n.uniform > 0 || e.Uniform > 0 {
		n.uniform = atLarge(n.lambda, n.uniform) * atLarge(e.Lambda, e.Uniform)
	}
	for o := range n.lambda {
		n.lambda[o] *= e.Lambda[o]
	}
	if n.limit > 0 && limit > 0 {
		n.limit += limit
	} else {
		n.limit = -1
	}
}

// atLarge returns u(x), or the mean of lambda where the witness is no reading.
func atLarge(lambda []float64, uniform float64) float64 {
	if uniform > 0 {
		return uniform
	}
	sum := 0.0
	for _, l := range lambda {
		sum += l
	}
	return sum / float64(len(lambda))
}

// prepare finds who speaks of the component and how likely it is alone.
func (c *component) prepare(pr *priors) {
	for i := range c.nodes {
		n := &c.nodes[i]
		c.replaced = c.replaced || n.f.Rule == PairReplaced
		for _, g := range n.f.Given {
			g = slices.Clone(g)
			if !c.noClamp {
				clamp(g)
			}
			n.given = append(n.given, g)
		}
	}
	c.room()
	c.setLimit()
	keep, was := c.kept(), (*weighed)(nil)
	if keep != nil {
		was = keep.Load()
	}
	if was != nil && was.same(c) {
		c.tuples, c.pairs, c.factors = was.tuples, was.pairs, was.factors
	} else {
		was = nil
	}
	c.speak(pr)
	c.base = logNats(c.likelihood(nil, 0))
	c.none = c.against(c.likelihoodOfNone())
	if was == nil {
		c.likelihoods()
		if keep != nil {
			keep.Store(&weighed{c.nodes[0].lambda, c.limit, c.noClamp, c.tuples, c.pairs, c.factors})
		}
	}
}

// weighed is what the causes make of a recorded finding: it depends on nothing
// but the finding and what was recorded. The last is kept with the finding,
// since most of what weighs in a turn weighed in the turn before; so is what each
// outcome of a check that is proposed would come to.
type weighed struct {
	lambda  []float64
	limit   nats
	noClamp bool
	tuples  []tuple
	pairs   []nats
	factors []float64
}

func (w *weighed) same(c *component) bool {
	return w.limit == c.limit && w.noClamp == c.noClamp && slices.Equal(w.lambda, c.nodes[0].lambda)
}

// kept is where the component's weights are kept, or nil: only those of one
// prepared finding as it is.
func (c *component) kept() *atomic.Pointer[weighed] {
	if len(c.nodes) > 1 || c.nodes[0].absent || c.nodes[0].f.kinds == nil {
		return nil
	}
	n := &c.nodes[0]
	slot := 0
	for o, l := range n.lambda {
		if l == 0 {
			continue
		}
		if slot > 0 {
			slot = 0
			break
		}
		slot = 1 + o
	}
	return &n.f.kinds.weighed[slot]
}

// room makes the memory in which likelihoods are summed.
func (c *component) room() {
	most := 0
	c.beta = make([][]float64, len(c.nodes))
	for i := range c.nodes {
		n := len(c.nodes[i].f.Base)
		c.beta[i] = make([]float64, n)
		most = max(most, n)
	}
	c.p = make([]float64, most)
	c.meet = make([]float64, most)
	c.ks = nil
}

// setLimit sums what each witness may move at most.
func (c *component) setLimit() {
	sum := 0.0
	for i := range c.nodes {
		if n := &c.nodes[i]; n.lambda != nil {
			if n.limit <= 0 {
				return
			}
			sum += n.limit
		}
	}
	c.limit = fromDecibans(sum)
}

// speak collects the speakers, by ascending place, and what they do.
func (c *component) speak(pr *priors) {
	if len(c.nodes) == 1 && !c.nodes[0].absent {
		c.speakOfOne(pr)
		return
	}
	rows := map[int][]*kind{} // by place
	var places []int
	for i := range c.nodes {
		n := &c.nodes[i]
		ks := n.f.prepared()
		mixed := map[[2]float64]*kind{} // by kind and steadiness
		for r := range n.f.Rows {
			at := pr.place[n.f.Rows[r].Cause]
			if at < 0 {
				continue
			}
			k := &ks.list[ks.row[r]]
			if d := c.causes[n.f.Rows[r].Cause].Steady; n.absent && d > 0 && d < 1 {
				key := [2]float64{float64(ks.row[r]), d}
				if mixed[key] == nil {
					x := k.mixed(d, n.f.Base)
					mixed[key] = &x
				}
				k = mixed[key]
			}
			if rows[at] == nil {
				rows[at] = make([]*kind, len(c.nodes))
				places = append(places, at)
			}
			rows[at][i] = k
		}
	}
	slices.Sort(places)
	for _, at := range places {
		c.speakers = append(c.speakers, speaker{at, c.tuple(rows[at])})
	}
	for i := range c.nodes {
		c.mean(pr, i)
	}
}

// speakOfOne is speak for the common case: rows are the speakers, kinds the
// tuples, unless those were kept.
func (c *component) speakOfOne(pr *priors) {
	f := c.nodes[0].f
	ks := f.prepared()
	if c.tuples == nil {
		c.tuples = make([]tuple, len(ks.list))
		all := make([]*kind, len(ks.list))
		for k := range ks.list {
			all[k] = &ks.list[k]
			c.tuples[k].ks = all[k : k+1 : k+1]
		}
	}
	c.speakers = make([]speaker, 0, len(f.Rows))
	for r := range f.Rows {
		if at := pr.place[f.Rows[r].Cause]; at >= 0 {
			c.speakers = append(c.speakers, speaker{at, ks.row[r]})
		}
	}
	c.mean(pr, 0)
}

// tuple returns the number of the tuple with these kinds.
func (c *component) tuple(ks []*kind) int {
	for i := range c.tuples {
		if slices.Equal(c.tuples[i].ks, ks) {
			return i
		}
	}
	c.tuples = append(c.tuples, tuple{ks: ks})
	return len(c.tuples) - 1
}

// mean sets the frequency-weighted mean of what the speakers show on node i.
func (c *component) mean(pr *priors, i int) {
	n := &c.nodes[i]
	if n.f.NoneIsBase {
		return
	}
	total := 0.0
	sum := make([]float64, len(n.f.Base))
	for _, s := range c.speakers {
		k := c.tuples[s.tuple].ks[i]
		if k == nil {
			continue
		}
		w := pr.weight[pr.active[s.place]]
		total += w
		for o := range sum {
			sum[o] += float64(w * k.p[o])
		}
	}
	if total == 0 {
		return
	}
	for o := range sum {
		sum[o] /= total
	}
	n.mean = sum
}

// likelihoods computes the logs of each cause and of two together.
func (c *component) likelihoods() {
	for i := range c.tuples {
		t := &c.tuples[i]
		t.alone = c.against(c.likelihood(t.ks, 1))
		t.paired = t.alone
		if c.replaced {
			t.paired = c.against(c.likelihood(t.ks, 2))
		}
	}
	n := len(c.tuples)
	c.pairs = make([]nats, n*n)
	ks := make([]*kind, 2*len(c.nodes))
	for a := range c.tuples {
		copy(ks, c.tuples[a].ks)
		for b := a; b < n; b++ {
			copy(ks[len(c.nodes):], c.tuples[b].ks)
			d := c.against(c.likelihood(ks, 2)) - c.tuples[a].paired - c.tuples[b].paired
			c.pairs[a*n+b], c.pairs[b*n+a] = d, d
		}
	}
	c.setFactors()
}

// setFactors computes what follows from pairs.
func (c *component) setFactors() {
	n := len(c.tuples)
	c.factors = make([]float64, n*n)
	for a := range c.tuples {
		for b := a; b < n; b++ {
			d := c.pairs[a*n+b]
			c.tuples[a].up, c.tuples[b].up = max(c.tuples[a].up, d), max(c.tuples[b].up, d)
			x := 1.0
			if d != 0 {
				x = d.exp()
			}
			c.factors[a*n+b], c.factors[b*n+a] = x, x
		}
	}
}

// against returns the log of a likelihood against the baseline, within limits.
func (c *component) against(l float64) nats {
	x := logNats(l) - c.base
	if c.limit > 0 {
		x = min(max(x, -c.limit), c.limit)
	}
	return x
}

// likelihood returns that of the evidence if the given number of causes is
// present, of which ks holds, one after the other, the tuples of those that
// speak of the component.
func (c *component) likelihood(ks []*kind, causes int) float64 {
	if n := &c.nodes[0]; len(c.nodes) == 1 && n.lambda != nil && !slices.Contains(ks, nil) {
		p := c.p[:len(n.f.Base)]
		n.f.combine(p, ks, len(ks) < causes, c.meet)
		if !c.noClamp {
			clamp(p)
		}
		return dot(p, n.lambda)
	}
	return c.sum(func(i int) []*kind {
		c.ks = c.ks[:0]
		for k := i; k < len(ks); k += len(c.nodes) {
			if ks[k] != nil {
				c.ks = append(c.ks, ks[k])
			}
		}
		return c.ks
	}, causes)
}

// sum adds over the outcomes of all nodes, from the leaves up: beta is the
// likelihood of what was recorded at and below a node, by its outcome.
func (c *component) sum(at func(node int) []*kind, causes int) float64 {
	c.clear()
	for i := len(c.nodes) - 1; ; i-- {
		n := &c.nodes[i]
		p := c.p[:len(n.f.Base)]
		ks := at(i)
		if len(ks) == 0 && n.parent >= 0 {
			c.up(i, func(above int) float64 { return dot(n.given[above], c.beta[i]) })
			continue
		}
		n.f.combine(p, ks, len(ks) < causes, c.meet)
		if !c.noClamp {
			clamp(p)
		}
		l := dot(p, c.beta[i])
		if i == 0 {
			return l
		}
		c.up(i, func(int) float64 { return l })
	}
}

// likelihoodOfNone is the same under "none of these".
func (c *component) likelihoodOfNone() float64 {
	c.clear()
	for i := len(c.nodes) - 1; ; i-- {
		n := &c.nodes[i]
		if i == 0 {
			return c.ofNone(i, n.f.Base)
		}
		c.up(i, func(above int) float64 { return c.ofNone(i, n.f.Given[above]) })
	}
}

// ofNone returns the likelihood at and below node i under none of these, with
// base the baseline to start from.
func (c *component) ofNone(i int, base []float64) float64 {
	n := &c.nodes[i]
	p := c.p[:len(base)]
	copy(p, base)
	if n.mean != nil && n.uniform == 0 {
		for o := range p {
			p[o] = float64(c.mixBase*p[o]) + float64(c.mixMean*n.mean[o])
		}
	}
	if !c.noClamp {
		clamp(p)
	}
	l := dot(p, c.beta[i])
	if n.mean != nil && n.uniform > 0 {
		// Anything at all: u(x) in place of what the outcomes make likely.
		below := 0.0
		for o := range p {
			if n.lambda[o] > 0 {
				below += p[o] * c.beta[i][o] / n.lambda[o]
			}
		}
		l = float64(c.mixBase*l) + float64(c.mixMean*float64(n.uniform*below))
	}
	return l
}

// clear sets every beta to the node's own lambda.
func (c *component) clear() {
	for i := range c.nodes {
		for o := range c.beta[i] {
			c.beta[i][o] = 1
			if l := c.nodes[i].lambda; l != nil {
				c.beta[i][o] = l[o]
			}
		}
	}
}

// up multiplies the parent's beta by what lies below it.
func (c *component) up(i int, of func(above int) float64) {
	b := c.beta[c.nodes[i].parent]
	for o := range b {
		b[o] *= of(o)
	}
}

func dot(p, l []float64) float64 {
	sum := 0.0
	for o := range p {
		sum += float64(p[o] * l[o])
	}
	return sum
}

package belief

import "math"

// The slow and obvious way: every hypothesis is written out, every joint
// outcome of all findings of a tree is visited, nothing is factored, and
// plain floating point is used throughout.

type refHypothesis struct {
	causes []int
	prior  float64
}

// refHypotheses writes out the priors of none, singles and pairs.
func refHypotheses(m *Model) []refHypothesis {
	var on []int
	total := 0.0
	for c := range m.Causes {
		if m.Causes[c].Weight > 0 {
			on = append(on, c)
			total += m.Causes[c].Weight
		}
	}
	if len(on) == 0 {
		return []refHypothesis{{nil, 1}}
	}
	pairs := 0.0
	for i, a := range on {
		for _, b := range on[i+1:] {
			if !m.excluded(a, b) {
				pairs += m.Causes[a].Weight * m.Causes[b].Weight
			}
		}
	}
	rho := m.PairShare
	if pairs == 0 {
		rho = 0
	}
	out := []refHypothesis{{nil, m.None}}
	single := map[int]float64{}
	moved := map[[2]int]float64{}
	for _, c := range on {
		p := (1 - m.None) * (1 - rho) * m.Causes[c].Weight / total
		single[c] = p
		for _, l := range m.Causes[c].LeadsTo {
			if m.Causes[l.To].Weight > 0 {
				single[c] -= p * l.Share
				moved[[2]int{min(c, l.To), max(c, l.To)}] += p * l.Share
			}
		}
	}
	for _, c := range on {
		out = append(out, refHypothesis{[]int{c}, math.Max(0, single[c])})
	}
	for i, a := range on {
		for _, b := range on[i+1:] {
			p := moved[[2]int{a, b}]
			if !m.excluded(a, b) && rho > 0 {
				p += (1 - m.None) * rho * m.Causes[a].Weight * m.Causes[b].Weight / pairs
			}
			if p > 0 {
				out = append(out, refHypothesis{[]int{a, b}, p})
			}
		}
	}
	return out
}

func refRow(f *Finding, c int) *Row {
	for i := range f.Rows {
		if f.Rows[i].Cause == c {
			return &f.Rows[i]
		}
	}
	return nil
}

func refClamp(m *Model, p []float64) []float64 {
	if m.NoClamp {
		return p
	}
	out := make([]float64, len(p))
	sum, low := 0.0, false
	for o, v := range p {
		low = low || v < 1e-4
		out[o] = math.Max(1e-4, math.Min(1, v))
		sum += out[o]
	}
	if !low {
		return p
	}
	for o := range out {
		out[o] /= sum
	}
	return out
}

func refMix(d float64, p, base []float64) []float64 {
	out := make([]float64, len(p))
	for o := range p {
		out[o] = d*p[o] + (1-d)*base[o]
	}
	return out
}

// refShows is P(o | causes) of a finding, given the outcome of the one it
// follows from.
func refShows(m *Model, f *Finding, causes []int, absent bool, given []float64) []float64 {
	steady := func(c int) float64 {
		if d := m.Causes[c].Steady; absent && d > 0 {
			return d
		}
		return 1
	}
	type said struct {
		p      []float64
		blocks bool
		inPart bool
		d      float64
	}
	var rows []said
	for _, c := range causes {
		if r := refRow(f, c); r != nil {
			rows = append(rows, said{refMix(steady(c), r.P, f.Base), r.Blocks, r.InPart, steady(c)})
		}
	}
	if len(rows) == 0 {
		return refClamp(m, given)
	}
	if f.Rule == PairReplaced && len(causes) == 2 {
		in, d := 0, 1.0
		for _, r := range rows {
			if r.inPart {
				in++
				d = math.Min(d, r.d)
			}
		}
		if in == 1 {
			return refClamp(m, refMix(d, f.Split, f.Base))
		}
		if in == 2 {
			return refClamp(m, refMix(0.5, rows[0].p, rows[1].p))
		}
	}
	if len(rows) == 1 {
		return refClamp(m, rows[0].p)
	}
	n := len(f.Base)
	var q [2]float64
	var d [2][]float64
	for i, r := range rows {
		q[i] = math.Inf(1)
		for o, b := range f.Base {
			if b > 0 {
				q[i] = math.Min(q[i], r.p[o]/b)
			}
		}
		d[i] = make([]float64, n)
		for o := range d[i] {
			if q[i] < 1-1e-12 {
				d[i][o] = (r.p[o] - q[i]*f.Base[o]) / (1 - q[i])
			}
		}
	}
	worse := make([]float64, n)
	for x := range n {
		for y := range n {
			switch w := d[0][x] * d[1][y]; {
			case rows[0].blocks && !rows[1].blocks:
				worse[x] += w
			case rows[1].blocks && !rows[0].blocks:
				worse[y] += w
			case f.Ordered:
				worse[max(x, y)] += w
			default:
				worse[x] += w / 2
				worse[y] += w / 2
			}
		}
	}
	out := make([]float64, n)
	for o := range out {
		out[o] = q[0]*q[1]*f.Base[o] + (1-q[0])*q[1]*d[0][o] + q[0]*(1-q[1])*d[1][o] + (1-q[0])*(1-q[1])*worse[o]
	}
	return refClamp(m, out)
}

// refNone is P(o | none of these).
func refNone(m *Model, f *Finding, absent bool, given []float64) []float64 {
	mean := make([]float64, len(given))
	total := 0.0
	for _, r := range f.Rows {
		c := m.Causes[r.Cause]
		d := 1.0
		if absent && c.Steady > 0 {
			d = c.Steady
		}
		total += c.Weight
		for o, v := range refMix(d, r.P, f.Base) {
			mean[o] += c.Weight * v
		}
	}
	if total == 0 || f.NoneIsBase {
		return refClamp(m, given)
	}
	out := make([]float64, len(given))
	for o := range out {
		out[o] = m.NoneBase*given[o] + m.NoneMean*mean[o]/total
	}
	return refClamp(m, out)
}

// refTree is one finding with those that follow from it.
type refTree struct {
	f        *Finding
	absent   bool
	lambda   []float64
	children []*refTree
}

// refTrees groups the evidence.
func refTrees(ev []Evidence) []*refTree {
	type key struct {
		f      *Finding
		absent bool
	}
	at := map[key]*refTree{}
	var roots []*refTree
	var get func(f *Finding, absent bool) *refTree
	get = func(f *Finding, absent bool) *refTree {
		k := key{f, absent}
		if at[k] != nil {
			return at[k]
		}
		t := &refTree{f: f, absent: absent, lambda: make([]float64, len(f.Base))}
		for o := range t.lambda {
			t.lambda[o] = 1
		}
		at[k] = t
		if f.Parent == nil {
			roots = append(roots, t)
		} else {
			up := get(f.Parent, absent)
			up.children = append(up.children, t)
		}
		return t
	}
	for _, e := range ev {
		t := get(e.Finding, e.Absent)
		for o := range t.lambda {
			t.lambda[o] *= e.Lambda[o]
		}
	}
	return roots
}

// likelihood sums over the outcomes of the tree; shows gives P(o | h, given).
func (t *refTree) likelihood(given []float64, shows func(*refTree, []float64) []float64) float64 {
	sum := 0.0
	for o, p := range shows(t, given) {
		l := p * t.lambda[o]
		for _, c := range t.children {
			l *= c.likelihood(c.f.Given[o], shows)
		}
		sum += l
	}
	return sum
}

// refUpdate returns what Update returns, the slow way. Limits of weight apply
// to trees of one finding only.
func refUpdate(m *Model, ev []Evidence) *Posterior {
	trees := refTrees(ev)
	of := func(t *refTree, causes []int, none bool) float64 {
		l := t.likelihood(t.f.Base, func(t *refTree, given []float64) []float64 {
			if none {
				return refNone(m, t.f, t.absent, given)
			}
			return refShows(m, t.f, causes, t.absent, given)
		})
		return l
	}
	ratio := func(t *refTree, causes []int, none bool) float64 {
		r := of(t, causes, none) / of(t, nil, false)
		if db := t.f.LimitDB; db > 0 {
			r = math.Min(math.Max(r, math.Pow(10, -db/10)), math.Pow(10, db/10))
		}
		return r
	}
	needed := make([]bool, len(m.Causes))
	for c := range m.Causes {
		for _, t := range trees {
			if ratio(t, []int{c}, false) >= 2*(1-1e-11) {
				needed[c] = true
			}
		}
	}
	p := &Posterior{Model: m, Singles: make([]float64, len(m.Causes)), Marginal: make([]float64, len(m.Causes))}
	total, best := 0.0, 0.0
	hs := refHypotheses(m)
	ws := make([]float64, len(hs))
	for i, h := range hs {
		ws[i] = h.prior
		for _, t := range trees {
			ws[i] *= ratio(t, h.causes, len(h.causes) == 0)
		}
		total += ws[i]
		best = math.Max(best, ws[i])
	}
	for i, h := range hs {
		w := ws[i]
		for _, c := range h.causes {
			p.Marginal[c] += w
		}
		switch len(h.causes) {
		case 0:
			p.None = w
		case 1:
			p.Singles[h.causes[0]] += w
		case 2:
			a, b := h.causes[0], h.causes[1]
			switch {
			case m.NoFold || needed[a] && needed[b] && w >= 1e-6*best:
				p.Pairs = append(p.Pairs, Pair{a, b, w})
			case needed[a] && !needed[b]:
				p.Singles[a] += w
			case needed[b] && !needed[a]:
				p.Singles[b] += w
			default:
				p.Singles[a] += w / 2
				p.Singles[b] += w / 2
			}
		}
	}
	p.None /= total
	for c := range p.Singles {
		p.Singles[c] /= total
		p.Marginal[c] /= total
	}
	for i := range p.Pairs {
		p.Pairs[i].P /= total
	}
	return p
}

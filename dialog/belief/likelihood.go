package belief

import "slices"

// Shows writes into p what the finding shows when exactly the causes given
// are present, or its baseline if there are none: one figure an outcome,
// clamped, summing to one. It returns p, anew if p is too short. A finding
// that follows from another one shows its own baseline where no cause given
// speaks of it.
func (m *Model) Shows(p []float64, f *Finding, causes ...int) []float64 {
	if cap(p) < len(f.Base) {
		p = make([]float64, len(f.Base))
	}
	p = p[:len(f.Base)]
	ks := f.prepared()
	var few [2]*kind
	speak := few[:0]
	for _, c := range causes {
		if r := f.row(c); r >= 0 {
			speak = append(speak, &ks.list[ks.row[r]])
		}
	}
	var few8 [fewOutcomes]float64
	scratch := few8[:]
	if len(p) > len(scratch) {
		scratch = make([]float64, len(p))
	}
	f.combine(p, speak, len(speak) < len(causes), scratch)
	if !m.NoClamp {
		clamp(p)
	}
	return p
}

// ShowsNone is Shows under "none of these".
func (m *Model) ShowsNone(p []float64, f *Finding) []float64 {
	return m.showsNone(p, f, f.Base)
}

// showsNone is ShowsNone from the baseline given.
func (m *Model) showsNone(p []float64, f *Finding, base []float64) []float64 {
	p = append(p[:0], base...)
	var few [fewOutcomes]float64
	mean := few[:]
	if len(p) > len(few) {
		mean = make([]float64, len(p))
	}
	mean = mean[:len(p)]
	total := 0.0
	if ks := f.kinds; f.NoneIsBase {
		// the baseline it is
	} else if ks != nil && m.priors != nil && len(ks.list) <= manyKinds {
		// Weigh kind by kind: there are few.
		var weights [manyKinds]float64
		for i, k := range ks.row {
			weights[k] += m.priors.weight[ks.table.Causes[i]]
		}
		for k := range ks.list {
			w := weights[k]
			total += w
			for o, v := range ks.list[k].p {
				mean[o] += float64(w * v)
			}
		}
	} else {
		for i := range f.Rows {
			w := m.weight(f.Rows[i].Cause)
			total += w
			for o, v := range f.Rows[i].P {
				mean[o] += float64(w * v)
			}
		}
	}
	if total > 0 {
		for o := range p {
			p[o] = float64(m.NoneBase*p[o]) + float64(m.NoneMean*mean[o]/total)
		}
	}
	if !m.NoClamp {
		clamp(p)
	}
	return p
}

// manyKinds is more than nearly every finding has, fewOutcomes enough for most.
const (
	manyKinds   = 64
	fewOutcomes = 8
)

// Predict returns the probability of each outcome of a finding that is not
// recorded yet, over everything shown in the posterior. Hypotheses of the same
// kinds are weighed together: there are thousands of pairs and few kinds.
func (p *Posterior) Predict(f *Finding) []float64 {
	m, ks := p.Model, f.prepared()
	n := len(ks.list)
	kindOf := make([]int, len(m.Causes)) // n where the cause is silent
	for c := range kindOf {
		kindOf[c] = n
	}
	for i := range f.Rows {
		kindOf[f.Rows[i].Cause] = ks.row[i]
	}
	alone := make([]float64, n+1)
	for c, w := range p.Singles {
		alone[kindOf[c]] += w
	}
	together := make([]float64, (n+1)*(n+1)) // of two causes, the lesser kind first
	for _, q := range p.Pairs {
		a, b := kindOf[q.A], kindOf[q.B]
		together[min(a, b)*(n+1)+max(a, b)] += q.P
	}
	out := make([]float64, len(f.Base))
	v := make([]float64, len(f.Base))
	scratch := make([]float64, len(f.Base))
	add := func(w float64) {
		for o := range out {
			out[o] += float64(w * v[o])
		}
	}
	base := p.Baseline(f)
	shows := func(w float64, silent bool, speak ...*kind) {
		if w == 0 {
			return
		}
		if len(speak) == 0 {
			copy(v, base)
		} else {
			f.combine(v, speak, silent, scratch)
			if !m.NoClamp {
				clamp(v)
			}
		}
		add(w)
	}
	for k := range ks.list {
		shows(alone[k], false, &ks.list[k])
	}
	shows(alone[n], false)
	for a := range ks.list {
		for b := a; b < n; b++ {
			shows(together[a*(n+1)+b], false, &ks.list[a], &ks.list[b])
		}
		shows(together[a*(n+1)+n], true, &ks.list[a])
	}
	shows(together[n*(n+1)+n], false)
	for _, q := range p.Sets {
		var speak []*kind
		for _, c := range q.Causes {
			if kindOf[c] < n {
				speak = append(speak, &ks.list[kindOf[c]])
			}
		}
		shows(q.P, len(speak) < len(q.Causes), speak...)
	}
	v = m.showsNone(v, f, p.baseline(f))
	add(p.None)
	return out
}

// Baseline returns what the finding shows under causes that speak neither of
// it nor of what it follows from. For a finding without Parent that is its
// baseline; for one that follows from a recorded finding it depends on what
// was recorded there.
func (p *Posterior) Baseline(f *Finding) []float64 {
	out := p.baseline(f)
	if !p.Model.NoClamp {
		clamp(out)
	}
	return out
}

// baseline is Baseline before it is clamped.
func (p *Posterior) baseline(f *Finding) []float64 {
	if f.Parent == nil {
		return slices.Clone(f.Base)
	}
	up := p.Baseline(f.Parent)
	if l := p.recorded(f.Parent); l != nil {
		total := dot(up, l)
		for o := range up {
			up[o] *= l[o]
			if total > 0 {
				up[o] /= total
			}
		}
	}
	out := make([]float64, len(f.Base))
	for o, w := range up {
		for i, g := range f.Given[o] {
			out[i] += float64(w * g)
		}
	}
	return out
}

// recorded returns the likelihoods of what was recorded of the finding, or
// nil.
func (p *Posterior) recorded(f *Finding) []float64 {
	for _, c := range p.components {
		for i := range c.nodes {
			if c.nodes[i].f == f && c.nodes[i].lambda != nil {
				return c.nodes[i].lambda
			}
		}
	}
	return nil
}

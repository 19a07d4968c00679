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
	var scratch []float64
	if len(speak) > 1 {
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
	var few [8]float64 // most findings have no more outcomes
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

// manyKinds is more than nearly every finding has.
const manyKinds = 64

// Predict returns the probability of each outcome of a finding that is not
// recorded yet, over everything shown in the posterior.
func (p *Posterior) Predict(f *Finding) []float64 {
	m := p.Model
	out := make([]float64, len(f.Base))
	v := make([]float64, len(f.Base))
	add := func(w float64) {
		for o := range out {
			out[o] += float64(w * v[o])
		}
	}
	silent := 0.0
	for c, w := range p.Singles {
		if f.row(c) < 0 {
			silent += w
			continue
		}
		v = m.Shows(v, f, c)
		add(w)
	}
	free := p.baseline(f)
	base := p.Baseline(f)
	copy(v, base)
	add(silent)
	several := func(w float64, causes ...int) {
		speaks := false
		for _, c := range causes {
			speaks = speaks || f.row(c) >= 0
		}
		if speaks {
			v = m.Shows(v, f, causes...)
		} else {
			copy(v, base)
		}
		add(w)
	}
	for _, q := range p.Pairs {
		several(q.P, q.A, q.B)
	}
	for _, q := range p.Sets {
		several(q.P, q.Causes...)
	}
	v = m.showsNone(v, f, free)
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

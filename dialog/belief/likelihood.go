package belief

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
	var scratch [2][]float64
	if len(speak) > 1 {
		scratch[0] = make([]float64, len(p))
	}
	f.combine(p, speak, len(speak) < len(causes), &scratch)
	if !m.NoClamp {
		clamp(p)
	}
	return p
}

// ShowsNone is Shows under "none of these".
func (m *Model) ShowsNone(p []float64, f *Finding) []float64 {
	p = append(p[:0], f.Base...)
	mean := make([]float64, len(p))
	total := 0.0
	if !f.NoneIsBase {
		for i := range f.Rows {
			w := m.Causes[f.Rows[i].Cause].Weight
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

// Predict returns the probability of each outcome of a finding that is not
// recorded yet, over everything shown in the posterior.
func (p *Posterior) Predict(f *Finding) []float64 {
	m := p.Model
	out := make([]float64, len(f.Base))
	var v []float64
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
	v = m.Shows(v, f)
	add(silent)
	for i := range p.Pairs {
		v = m.Shows(v, f, p.Pairs[i].A, p.Pairs[i].B)
		add(p.Pairs[i].P)
	}
	for i := range p.Sets {
		v = m.Shows(v, f, p.Sets[i].Causes...)
		add(p.Sets[i].P)
	}
	v = m.ShowsNone(v, f)
	add(p.None)
	return out
}

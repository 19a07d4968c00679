package plan

import "ruleout/dialog/belief"

// like is what a check's finding shows under every hypothesis that it speaks
// of; all others show its baseline.
type like struct {
	f    *belief.Finding
	row  map[int][]float64
	none []float64
}

func newLike(m *belief.Model, f *belief.Finding) *like {
	l := &like{f: f, row: map[int][]float64{}, none: append([]float64(nil), f.Base...)}
	mean, weight := make([]float64, len(f.Base)), 0.0
	for _, r := range f.Rows {
		l.row[r.Cause] = r.P
		weight += m.Causes[r.Cause].Weight
		for o, v := range r.P {
			mean[o] += m.Causes[r.Cause].Weight * v
		}
	}
	if !f.NoneIsBase && weight > 0 {
		for o := range mean {
			l.none[o] = m.NoneBase*f.Base[o] + m.NoneMean*mean[o]/weight
		}
	}
	return l
}

func (l *like) single(c, o int) float64 {
	if p, ok := l.row[c]; ok {
		return p[o]
	}
	return l.f.Base[o]
}

func (l *like) pair(a, b, o int) float64 {
	pa, oka := l.row[a]
	pb, okb := l.row[b]
	switch {
	case oka && okb:
		return (pa[o] + pb[o]) / 2
	case oka:
		return pa[o]
	case okb:
		return pb[o]
	}
	return l.f.Base[o]
}

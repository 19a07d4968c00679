package belief

import "math/bits"

// least is the smallest likelihood that an outcome keeps: nobody knows better
// than one in ten thousand.
const least = 1e-4

// clamp raises every figure to at least 1e-4 and renormalises.
func clamp(p []float64) {
	low := false
	for _, v := range p {
		low = low || v < least
	}
	if !low {
		return
	}
	sum := 0.0
	for o, v := range p {
		p[o] = min(max(v, least), 1)
		sum += p[o]
	}
	for o := range p {
		p[o] /= sum
	}
}

// combine writes into p what the finding shows when the causes of the kinds ks
// are present together, or the baseline if there are none. silent tells that
// another cause is present that does not speak of the finding.
func (f *Finding) combine(p []float64, ks []*kind, silent bool, scratch []float64) {
	if f.Rule == PairReplaced && f.replaced(p, ks, silent) {
		return
	}
	switch len(ks) {
	case 0:
		copy(p, f.Base)
	case 1:
		copy(p, ks[0].p)
	case 2:
		f.meetTwo(p, ks[0], ks[1], scratch)
	default:
		f.meetMany(p, ks, scratch)
	}
}

// meetTwo is the rule for two causes: each acts with chance 1-q; if none acts
// the baseline shows, if one acts its d, if both act the worse outcome (or the
// mean, if outcomes have no order), unless one of them blocks the other.
func (f *Finding) meetTwo(p []float64, a, b *kind, scratch []float64) {
	both := scratch[:len(p)]
	f.both(both, a, b)
	qq, aa := a.q*b.q, (1-a.q)*b.q
	bb, ab := a.q*(1-b.q), (1-a.q)*(1-b.q)
	for o := range p {
		v := float64(qq*f.Base[o]) + float64(aa*a.d[o])
		v += float64(bb * b.d[o])
		p[o] = v + float64(ab*both[o])
	}
}

// both writes what shows when both causes act.
func (f *Finding) both(m []float64, a, b *kind) {
	switch {
	case a.blocks && !b.blocks:
		copy(m, a.d)
	case b.blocks && !a.blocks:
		copy(m, b.d)
	case f.Ordered:
		fa, fb, before := 0.0, 0.0, 0.0
		for o := range m {
			fa += a.d[o]
			fb += b.d[o]
			m[o] = float64(fa*fb) - before
			before = float64(fa * fb)
		}
	default:
		for o := range m {
			m[o] = (a.d[o] + b.d[o]) / 2
		}
	}
}

// meetMany extends the rule to any number of causes: the sum over the sets of
// those that act. Those that block among them decide.
func (f *Finding) meetMany(p []float64, ks []*kind, scratch []float64) {
	shown := scratch[:len(p)]
	for o := range p {
		p[o] = 0
	}
	for set := uint(0); set < 1<<len(ks); set++ {
		w, blocking := 1.0, uint(0)
		for i, k := range ks {
			if set>>i&1 == 0 {
				w *= k.q
				continue
			}
			w *= 1 - k.q
			if k.blocks {
				blocking |= 1 << i
			}
		}
		acting := set
		if blocking != 0 {
			acting = blocking
		}
		f.acting(shown, ks, acting)
		for o := range p {
			p[o] += float64(w * shown[o])
		}
	}
}

// acting writes what shows when exactly the causes of the set act.
func (f *Finding) acting(m []float64, ks []*kind, set uint) {
	if set == 0 {
		copy(m, f.Base)
		return
	}
	if f.Ordered {
		before := 0.0
		sums := make([]float64, len(ks))
		for o := range m {
			all := 1.0
			for i, k := range ks {
				if set>>i&1 == 1 {
					sums[i] += k.d[o]
					all *= sums[i]
				}
			}
			m[o], before = all-before, all
		}
		return
	}
	n := float64(bits.OnesCount(set))
	for o := range m {
		m[o] = 0
		for i, k := range ks {
			if set>>i&1 == 1 {
				m[o] += k.d[o] / n
			}
		}
	}
}

// replaced is the rule for the outcome of renewing a part. It reports false
// where no cause present sits in the part: then the causes meet as elsewhere.
// All in the part: their mean, which is any of them where they agree. Some in
// it and some not: Split.
func (f *Finding) replaced(p []float64, ks []*kind, silent bool) bool {
	in, shown := 0, 1.0
	for _, k := range ks {
		if k.inPart {
			in++
			shown = min(shown, k.shown)
		}
	}
	if in == 0 {
		return false
	}
	if in < len(ks) || silent {
		for o := range p {
			p[o] = float64(shown*f.Split[o]) + float64((1-shown)*f.Base[o])
		}
		return true
	}
	for o := range p {
		p[o] = 0
		for _, k := range ks {
			p[o] += k.p[o] / float64(in)
		}
	}
	return true
}

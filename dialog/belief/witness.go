package belief

import "fmt"

// HedgeLambda is the likelihood of a statement that names one of k outcomes,
// from a source that is right with chance r and else says anything:
// r [o is what was said] + (1-r)/k.
func HedgeLambda(outcome, k int, r float64) ([]float64, error) {
	if outcome < 0 || outcome >= k {
		return nil, fmt.Errorf("belief: outcome %d of %d", outcome, k)
	}
	if !(r >= 0 && r <= 1) {
		return nil, fmt.Errorf("belief: reliability %v is not between 0 and 1", r)
	}
	l := make([]float64, k)
	for o := range l {
		l[o] = (1 - r) / float64(k)
	}
	l[outcome] += r
	return l, nil
}

// Combine multiplies the likelihoods of independent witnesses of one finding.
// The same source asked again is not another witness: its latest word alone
// is given.
func Combine(witnesses ...[]float64) ([]float64, error) {
	if len(witnesses) == 0 {
		return nil, fmt.Errorf("belief: no witness")
	}
	l := append([]float64(nil), witnesses[0]...)
	for _, w := range witnesses[1:] {
		if len(w) != len(l) {
			return nil, fmt.Errorf("belief: witnesses of %d and %d outcomes", len(l), len(w))
		}
		for o := range l {
			l[o] *= w[o]
		}
	}
	return l, nil
}

package belief

import "sync"

// Posterior is the state of belief over single causes, listed pairs of two
// needed causes and "none of these", in which the pairs that are not needed
// have been folded into their singles. Everything shown sums to one.
//
// A cause is needed if it makes at least one recorded finding at least twice
// as likely as the baseline does. A pair of which only one is needed is folded
// into that one; of two unneeded, or too unlikely ever to be shown (below 1e-6
// of the best hypothesis), half into each.
//
// A posterior is never changed, so many may read it at once.
type Posterior struct {
	Model *Model
	// Singles holds one probability a cause.
	Singles []float64
	// Pairs are the listed pairs by ascending A, then B, with A < B.
	Pairs []Pair
	// Sets are the hypotheses of three causes or more, only where the options
	// ask for them.
	Sets []Set
	None float64
	// Marginal is the probability that the cause is present, alone or with
	// others, before anything was folded.
	Marginal []float64
	// LogEvidence is the natural logarithm of the probability of all the
	// evidence, in the scale of its lambdas.
	LogEvidence float64
	// Impossible means that no hypothesis allows the evidence, which happens
	// only with NoClamp; the probabilities then mean nothing.
	Impossible bool

	components []*component
	priors     *priors
	once       sync.Once // fills steps
	steps      []step
}

// Pair is the hypothesis that two causes are present together.
type Pair struct {
	A, B int
	P    float64
}

// Set is the hypothesis that these causes are present together, ascending.
type Set struct {
	Causes []int
	P      float64
}

// InPlay tells whether the cause has a weight in the model.
func (p *Posterior) InPlay(cause int) bool { return p.priors.place[cause] >= 0 }

package belief

// Posterior is the state of belief over single causes, listed pairs of two
// needed causes and "none of these", in which the pairs that are not needed
// have been folded into their singles. Everything shown sums to one.
type Posterior struct {
	Model *Model
	// Singles holds one probability a cause.
	Singles []float64
	// Pairs are the listed pairs by ascending A, then B, with A < B.
	Pairs []Pair
	None  float64
}

// Pair is the hypothesis that two causes are present together.
type Pair struct {
	A, B int
	P    float64
}

package plan

import "math"

// rank rounds x to about 1e-9 of itself and returns an integer that sorts like
// x. Values that differ only by rounding errors get the same rank (but for the
// rare pair on either side of a step), so that ids decide between them.
func rank(x float64) int64 {
	const drop = 22 // of the 52 bits of the fraction: 2^-30 = 0.93e-9 remain
	if x == 0 {
		return 0 // +0 and -0
	}
	if x < 0 {
		return -rank(-x)
	}
	return int64((math.Float64bits(x) + 1<<(drop-1)) >> drop)
}

// ratio is p/c with 0/0 = 0: what never cures is never worth its cost.
func ratio(p, c float64) float64 {
	if p <= 0 {
		return 0
	}
	return p / c
}

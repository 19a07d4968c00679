// Package learn counts closed cases: how often each cause was the one, and how
// long checks took. It is pure: values in, values out. Start at Ledger, whose
// entries are the closed cases, Counts, which sums them up, and Mean, which
// weighs the counts against what was authored.
package learn

// DefaultStrength is how many closed cases the authored frequencies together
// are worth. Basis: memory; a small garage closes about as many in some years.
const DefaultStrength = 100.0

// MinutesStrength is how many timings the authored minutes of a check are
// worth. Basis: memory.
const MinutesStrength = 5.0

// Mean is the posterior mean of one category of a Dirichlet distribution that
// was seen count times in total draws: (strength·prior + count) / (strength +
// total). Prior is the category's prior mean, strength the sum of the prior's
// parameters. Source: Gelman and others, Bayesian Data Analysis, section 3.4.
// With neither strength nor draws it is the prior.
func Mean(strength, prior, count, total float64) float64 {
	if strength+total == 0 {
		return prior
	}
	return (float64(strength*prior) + count) / (strength + total)
}

// Factor is by how much the weight of a category grows against one that was
// never seen: its Mean over strength·prior/(strength+total), which all unseen
// categories share.
func Factor(strength, prior, count float64) float64 {
	if count == 0 {
		return 1
	}
	return 1 + count/float64(strength*prior)
}

// Duration is the mean minutes of a check: the authored ones weigh as much as
// strength timings. Half minutes are the finest that is said.
func Duration(strength, authored, sum, n float64) float64 {
	if n == 0 {
		return authored
	}
	return round(2*(float64(strength*authored)+sum)/(strength+n)) / 2
}

func round(x float64) float64 { return float64(int64(x + 0.5)) }

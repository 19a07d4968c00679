// Package belief computes how likely each cause is, given what is known. It is
// pure: values in, values out, no clock, no randomness, and the same bytes on
// every machine and in every order of telling.
//
// # Hypotheses and priors
//
// Each applicable cause alone, each pair, and "none of these". With f_c the
// frequency of cause c and F their sum,
//
//	P(none)  = π0
//	P(c)     = (1-π0) (1-ρ) f_c / F
//	P(a, b)  = (1-π0) ρ f_a f_b / Σ f_i f_j   over the pairs that can be
//
// Causes of one Group exclude one another, unless one names the other in With.
// LeadsTo moves a share of a cause's own prior to the pair.
//
// # One finding
//
// Lambda holds, for each outcome, how likely all its witnesses are; so
//
//	L(h) = Σ_o P(o|h) λ(o)
//
// A cause without a row shows the baseline. Every P(o|h) is kept at or above
// 1e-4. For two causes, with
//
//	q_i    = min P(o|i) / base(o)  over the outcomes with base(o) > 0
//	D_i(o) = (P(o|i) - q_i base(o)) / (1 - q_i)
//
// the finding shows
//
//	P(o|a,b) = q_a q_b base(o) + (1-q_a) q_b D_a(o) + q_a (1-q_b) D_b(o)
//	         + (1-q_a) (1-q_b) M(o)
//
// M is the distribution of the worse of two outcomes where outcomes have an
// order, else the mean; if just one of the two causes blocks the finding, its
// D. For two outcomes and causes that promote one of them this is noisy-OR.
// The outcome of renewing a part has a rule of its own, PairReplaced.
//
// None of these shows 0.9 base + 0.1 the frequency-weighted mean of the rows,
// or for a reading 0.9 base + 0.1 u(x), or the bare baseline.
//
// Under a cause that comes and goes, a finding taken while the trouble was
// absent (Evidence.Absent) shows d P(o|c) + (1-d) base(o), d being its Steady.
//
// Findings that follow from one another (Parent, Given) are summed jointly.
//
// All findings of a circuit are one Composite: a table of likelihoods by fault
// and by two faults, made elsewhere.
//
// # All findings
//
// With ℓ the sum of logarithms over all findings and 0 the baseline,
//
//	ℓ(a,b) = ℓ(a) + ℓ(b) - ℓ(0) + Σ log P(e|a,b) P(e|0) / (P(e|a) P(e|b))
//
// where the sum runs over findings of which both speak. Logarithms are
// integers of 2^-40 nat, so their sums are exact.
//
// # What is shown
//
// A cause is needed if it makes a recorded finding at least twice as likely as
// the baseline does. Pairs of two needed causes are listed. A pair of which
// one is needed counts for that one; of two unneeded, half for each. So do
// pairs below 1e-6 of the best hypothesis, which nobody would ever be shown.
//
// A cause is ruled out if its odds against the leader are at least 100 times
// worse than they were at first, and it has less than 0.5 %.
package belief

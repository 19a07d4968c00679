package belief

// Model is what does not change within a case but for the vehicle: the causes
// with their weights. Prepare must accept it before use; after that it is not
// changed and may be read by any number of conversations at once.
type Model struct {
	Causes []Cause
	Options

	weights []float64 // in place of the causes' own, or nil
	priors  *priors
}

// weight returns the weight of the cause in this model.
func (m *Model) weight(cause int) float64 {
	if m.weights != nil {
		return m.weights[cause]
	}
	return m.Causes[cause].Weight
}

// Options are the constants of reasoning section 1.
type Options struct {
	// None is the prior of "none of these", PairShare the share of the rest
	// that two causes together have.
	None, PairShare float64
	// NoneBase and NoneMean weigh baseline and mean under "none of these".
	NoneBase, NoneMean float64

	// The rest serves comparison with other programs.

	// Bernoulli takes each Weight as the probability that the cause is
	// present, independent of the others; None and PairShare are then unused.
	Bernoulli bool
	// MostFaults is the greatest number of causes present together; 0 means
	// two. More than two are enumerated set by set, which is slow.
	MostFaults int
	// NoClamp leaves likelihoods below 1e-4 as they are.
	NoClamp bool
	// NoFold lists every pair, needed or not.
	NoFold bool
}

// DefaultOptions are the starting values; basis: memory.
var DefaultOptions = Options{None: 0.05, PairShare: 0.04, NoneBase: 0.9, NoneMean: 0.1}

// Cause is one single-cause hypothesis. Causes are given in id order; their
// position is their number everywhere.
type Cause struct {
	ID     string
	System string
	// Weight is the frequency per thousand, times the share of vehicles to
	// which the cause applies; 0 takes it out.
	Weight float64
	// Group is the part and place: causes of one non-empty group exclude one
	// another, but for those in With.
	Group string
	With  []int
	// LeadsTo moves a share of this cause's single prior to a pair.
	LeadsTo []Link
	// Steady is the chance that the fault shows when the car is checked while
	// the trouble is absent: 1 constant, 0.5 daily, 0.1 rare; 0 means 1.
	Steady float64
}

// Link is a share of a cause's cases that bring another cause.
type Link struct {
	To    int
	Share float64
}

// PairRule says how two causes share one finding.
type PairRule int

// The rules of reasoning sections 2 and 5.
const (
	PairMeet     PairRule = iota // both act, the worse or the mean is seen
	PairReplaced                 // the outcome of renewing a part
)

// Finding is the likelihood table of one finding. Prepare checks it and makes
// its use fast; after that it is not changed.
type Finding struct {
	ID string
	// Base is the baseline over the outcomes; it sums to one.
	Base []float64
	// Ordered means that the outcomes run from harmless to worst.
	Ordered bool
	// Rows holds the causes that speak of the finding, by ascending cause.
	Rows []Row
	Rule PairRule
	// Split is used by PairReplaced only: the distribution when one cause of
	// a pair sits in the part and the other elsewhere.
	Split []float64
	// NoneIsBase: under "none of these" the finding shows its baseline (part
	// states, events, conditions); otherwise 0.9 base + 0.1 mean.
	NoneIsBase bool
	// Hint: the finding raises what it speaks of and rules nothing else out.
	Hint bool
	// LimitDB bounds how far one witness of this finding moves a cause
	// against the baseline, in decibans; 0 means no limit.
	LimitDB float64
	// Parent and Given make the finding follow from another one: under causes
	// without a row it is distributed as Given[parent outcome].
	Parent *Finding
	Given  [][]float64

	kinds *kinds
}

// Row is what one cause makes a finding show.
type Row struct {
	Cause  int
	P      []float64 // over the outcomes, sums to one
	Blocks bool      // this cause alone decides in a pair
	InPart bool      // PairReplaced: the cause sits in the renewed part
}

// Evidence is everything that bears on one finding: the product of its
// witnesses' likelihoods of each outcome, in any positive scale.
type Evidence struct {
	Finding *Finding
	// Composite stands in place of Finding and Lambda for all that was found
	// out about one circuit.
	Composite *Composite
	Lambda    []float64
	// Absent means that the trouble was absent at the time: causes that come
	// and go are mixed with the baseline by their Steady.
	Absent bool
	// Label names the evidence in explanations.
	Label string
	// Uniform is u(x) of a reading, in the scale of Lambda: under "none of
	// these" a reading is 0.9 baseline + 0.1 anything at all. 0 means that the
	// evidence is not a reading.
	Uniform float64
	// LimitDB replaces the finding's limit for this evidence; 0 keeps it, and
	// a negative one lifts it (a sight of broken, a swap, an isolation).
	LimitDB float64
}

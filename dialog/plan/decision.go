package plan

// Kind says what is proposed.
type Kind string

// The kinds of step.
const (
	KindCheck  Kind = "check"
	KindRepair Kind = "repair"
	KindShop   Kind = "shop"
)

// Decision is the step to take next with the figures behind it. All costs are
// in the unit of Problem.Shop.
type Decision struct {
	Kind Kind
	// Index counts in Problem.Checks or Problem.Repairs; -1 for the shop.
	Index int
	ID    string
	// V is the expected cost to cure without any further check.
	V float64
	// Total is the expected cost to cure with this step first, looking one
	// more check ahead. V - Total is what the step saves on average.
	Total float64
	// Worth is what this step alone saves, its cost paid; it may be negative.
	Worth float64
	// Candidates are the steps compared, best first.
	Candidates []Candidate
	// Order holds the repairs in the order in which they would be tried; the
	// first Pays of them are tried before the shop takes over.
	Order []Step
	Pays  int

	// By check: what it can't be worth more than, and what it is worth where
	// that was found out, else NaN.
	upper, worth []float64
}

// Candidate is one step that was considered.
type Candidate struct {
	Kind  Kind
	Index int
	ID    string
	// Cost is what the step itself costs, with the accesses it opens.
	Cost float64
	// Worth and Total are as in Decision.
	Worth, Total float64
}

// Step is one repair of the order.
type Step struct {
	Repair int // in Problem.Repairs
	ID     string
	// P is the chance that it cures, Cost its cost with the accesses that it
	// is the first to open, Cumulative the chance of a cure up to and with it.
	P, Cost, Cumulative float64
}

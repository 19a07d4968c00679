package plan

import "ruleout/dialog/belief"

// Problem is everything the choice of the next step depends on.
type Problem struct {
	Belief *belief.Posterior
	// Repairs, Checks and Accesses are in id order.
	Repairs  []Repair
	Checks   []Check
	Accesses []Access
	// Shop is the cost of handing over, in the same unit as all costs.
	Shop float64
	// Asked counts the questions since the last act.
	Asked int
	// MinuteCost turns minutes into cost.
	MinuteCost float64
}

// Repair is one job with the causes it cures.
type Repair struct {
	ID     string
	Cures  []int
	Cost   float64 // money, time and the trial, without access
	Access []int   // accesses needed, each with those it lies inside
	// Beta is the chance that the job does not cure a cause that it should.
	Beta float64
	// Tried means that it was done already: it is not proposed again.
	Tried bool
}

// Check is one thing to find out.
type Check struct {
	ID string
	// Findings are what it settles: one, or several for a look-round.
	Findings []*belief.Finding
	Cost     float64 // without access; for a question without the 20 s + 10 s
	Access   []int
	// Answer is the chance that the person can answer; 0 means 0.9.
	Answer   float64
	Question bool
}

// Access opens the way to what lies behind it; Inside is the access that must
// be open first, or -1.
type Access struct {
	ID     string
	Cost   float64
	Inside int
	Open   bool
}

package plan

// What a question costs in seconds; basis: memory.
const (
	questionSeconds = 20.0 // to read and answer one
	questionMore    = 10.0 // for each one already asked since the last act
	defaultAnswer   = 0.9  // the chance that the person can answer
	// leastQuestion is the share of V that a question must be worth.
	leastQuestion = 0.01
)

// checkCost is the cost of a check without its accesses, after asked questions
// in a row.
func (p *Problem) checkCost(c *Check, asked int) float64 {
	if !c.Question {
		return c.Cost
	}
	seconds := questionSeconds + float64(questionMore*float64(asked))
	return c.Cost + float64(seconds*p.MinuteCost)/60
}

// askedAfter counts the questions in a row once the check is made.
func (c *Check) askedAfter(asked int) int {
	if c.Question {
		return asked + 1
	}
	return 0
}

// answer is the chance that the person can answer.
func (c *Check) answer() float64 {
	if c.Answer == 0 {
		return defaultAnswer
	}
	return c.Answer
}

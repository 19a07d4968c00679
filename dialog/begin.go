package dialog

import (
	"maps"

	"ruleout/dialog/belief"
	"ruleout/dialog/learn"
	"ruleout/kb"
)

// Given is what a case begins with. It is stored with the case, so that the
// case always replays from the same.
type Given struct {
	// Vehicle holds facts from a vehicle sheet, by attribute: an id of the list
	// of vehicle attributes, or year, mileage, engine-litres, make-unknown.
	Vehicle map[string]string `json:"vehicle,omitempty"`
	// Learned are the counts of closed cases; nil means the authored figures.
	Learned *learn.Counts `json:"learned,omitempty"`
}

// StartFor is Start for a vehicle that is known, judged with what closed cases
// taught. Facts that no list knows are kept and weigh nothing.
func (e *Engine) StartFor(g Given) (*State, *Reply) {
	s, _ := e.Start()
	e.begin(s, g)
	return s, s.last
}

// begin gives a case that has just been started what is known beforehand.
func (e *Engine) begin(s *State, g Given) {
	if len(g.Vehicle) == 0 && g.Learned == nil {
		return
	}
	for _, k := range sortedKeys(g.Vehicle) {
		if v := g.Vehicle[k]; v != "" {
			s.Vehicle[k] = v
		}
	}
	for _, k := range sortedKeys(g.Vehicle) { // what they imply, after all were told
		e.learn(s, k, g.Vehicle[k])
	}
	s.given, s.learned = g, e.weigh(g.Learned)
	s.weights, s.model = nil, nil
	// The opening question is the same: it is put once.
	s.last = e.answer(s, &heard{})
}

// Corrections are the facts in which the case now differs from those it began
// with: told since, or told otherwise.
func (s *State) Corrections() map[string]string {
	out := maps.Clone(s.Vehicle)
	maps.DeleteFunc(out, func(k, v string) bool { return s.given.Vehicle[k] == v })
	return out
}

// learned is what closed cases make of the authored figures.
type learned struct {
	counts learn.Counts
	// factor multiplies the frequency of each cause.
	factor []float64
	anyCar *belief.Model
}

// weigh takes the authored frequencies as the prior of a Dirichlet
// distribution over the causes and none of these. A cause's prior mean is its
// frequency times the share of vehicles it applies to.
func (e *Engine) weigh(c *learn.Counts) *learned {
	if c == nil || c.Strength <= 0 || c.Cases == 0 && len(c.Checks) == 0 {
		return nil
	}
	o := belief.DefaultOptions
	o.None = learn.Mean(c.Strength, o.None, float64(c.None), float64(c.Cases))
	l := &learned{counts: *c, factor: make([]float64, len(e.base.Causes)), anyCar: &belief.Model{Options: o, Causes: e.anyCar.Causes}}
	weights, sum, nobody := make([]float64, len(e.base.Causes)), 0.0, &State{}
	for i, k := range e.base.Causes {
		weights[i] = k.Frequency.PerThousand * e.applies(nobody, k.Applies)
		sum += weights[i]
	}
	for i, k := range e.base.Causes {
		l.factor[i] = 1
		if weights[i] > 0 {
			l.factor[i] = learn.Factor(c.Strength, (1-belief.DefaultOptions.None)*weights[i]/sum, c.Causes[k.ID])
		}
	}
	return l
}

// frequency is how often a cause is the one, per thousand, with what closed
// cases taught.
func (s *State) frequency(i int, c *kb.Cause) float64 {
	if s.learned == nil {
		return c.Frequency.PerThousand
	}
	return float64(c.Frequency.PerThousand * s.learned.factor[i])
}

// carOf is the model of any car, with the learned prior of none of these.
func (e *Engine) carOf(s *State) *belief.Model {
	if s.learned == nil {
		return e.anyCar
	}
	return s.learned.anyCar
}

// Takes is how many minutes a test takes, without bringing the car into its
// state.
func (s *State) Takes(t *kb.Test) float64 {
	if s.learned == nil {
		return t.Minutes
	}
	c := s.learned.counts.Checks[t.ID]
	return learn.Duration(learn.MinutesStrength, t.Minutes, c.Minutes, float64(c.N))
}

// FrequencyWith is how often a cause is the one, per thousand, after these
// counts; 0 for a cause that there is none of.
func (e *Engine) FrequencyWith(c learn.Counts, cause string) float64 {
	k := e.base.Cause(cause)
	if k == nil {
		return 0
	}
	return (&State{learned: e.weigh(&c)}).frequency(e.number[cause], k)
}

// NonePrior is the prior of "none of these" after these counts.
func (e *Engine) NonePrior(c learn.Counts) float64 {
	return e.carOf(&State{learned: e.weigh(&c)}).None
}

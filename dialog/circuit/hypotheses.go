package circuit

import "slices"

// Hypothesis is one local hypothesis: a cause, or the sound circuit where
// Cause is empty.
type Hypothesis struct {
	Cause string
	// Possible tells, by arrangement, whether the cause can be there.
	Possible []bool
}

// variant is one hypothesis in one arrangement in one size, with its share
// among the hypothesis's variants of that arrangement.
type variant struct {
	arrangement, hypothesis int
	weight                  float64
	faults                  []Faulted
}

// Hypotheses returns the sound circuit and, in id order, every cause.
func (c *Circuit) Hypotheses() []Hypothesis { return slices.Clone(c.priors) }

// faultsOf lists the faults of a cause in an arrangement, in order.
func (c *Circuit) faultsOf(w *wired, cause string) (out []Faulted, weight []float64) {
	arr := c.Arrangements[w.arrangement].ID
	for i := range w.parts {
		for _, f := range w.parts[i].e.Faults {
			if f.Cause != cause || len(f.Only) > 0 && !slices.Contains(f.Only, arr) {
				continue
			}
			share := f.Weight
			if share == 0 {
				share = 1
			}
			sizes := f.Magnitudes()
			for _, ohms := range sizes {
				out = append(out, Faulted{Element: w.parts[i].e.ID, Fault: f.Kind, At: f.At, Ohms: ohms})
				weight = append(weight, share/float64(len(sizes)))
			}
		}
	}
	sum := 0.0
	for _, x := range weight {
		sum += x
	}
	for i := range weight {
		weight[i] /= sum
	}
	return out, weight
}

// enumerate lists the hypotheses and their variants.
func (c *Circuit) enumerate() {
	causes := map[string]bool{}
	for _, e := range c.Elements {
		for _, f := range e.Faults {
			causes[f.Cause] = true
		}
	}
	for h, cause := range append([]string{""}, sortedKeys(causes)...) {
		hyp := Hypothesis{Cause: cause, Possible: make([]bool, len(c.wired))}
		for a, w := range c.wired {
			if cause == "" {
				hyp.Possible[a] = true
				c.variants = append(c.variants, variant{a, h, 1, nil})
				continue
			}
			faults, weight := c.faultsOf(w, cause)
			for i := range faults {
				hyp.Possible[a] = true
				c.variants = append(c.variants, variant{a, h, weight[i], faults[i : i+1]})
			}
		}
		if slices.Contains(hyp.Possible, true) {
			c.priors = append(c.priors, hyp)
		}
	}
	// Number the variants by the hypotheses that are left.
	at := map[string]int{}
	for i, h := range c.priors {
		at[h.Cause] = i
	}
	ids := append([]string{""}, sortedKeys(causes)...)
	for i := range c.variants {
		c.variants[i].hypothesis = at[ids[c.variants[i].hypothesis]]
	}
}

// Typical is the fault by which a cause mostly shows in an arrangement, in its
// middle size; false where the cause can't be there.
func (c *Circuit) Typical(arrangement, cause string) (Faulted, bool) {
	w, err := c.arrangement(arrangement)
	if err != nil || cause == "" {
		return Faulted{}, false
	}
	faults, weight := c.faultsOf(w, cause)
	type kind struct {
		e string
		f FaultKind
	}
	sum := map[kind]float64{}
	best := -1
	for i, f := range faults {
		k := kind{f.Element, f.Fault}
		sum[k] += weight[i]
		if best < 0 || sum[k] > sum[kind{faults[best].Element, faults[best].Fault}] {
			best = i
		}
	}
	if best < 0 {
		return Faulted{}, false
	}
	k := kind{faults[best].Element, faults[best].Fault}
	var same []Faulted
	for _, f := range faults {
		if (kind{f.Element, f.Fault}) == k {
			same = append(same, f)
		}
	}
	return same[len(same)/2], true
}

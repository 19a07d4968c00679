package circuit

import "math"

// Mind is what is believed of a circuit: the weight of every variant, that is
// of hypothesis, arrangement and size together.
type Mind struct {
	c      *Circuit
	t      *Table
	weight []float64
}

// Begin returns the belief before anything is known. Weight gives each
// hypothesis ("" sound) its prior, shares each arrangement (empty: the
// netlist's own).
func (c *Circuit) Begin(t *Table, weight func(cause string) float64, shares map[string]float64) (*Mind, error) {
	prior, err := c.prior(shares)
	if err != nil {
		return nil, err
	}
	m := &Mind{c, t, make([]float64, len(c.variants))}
	mass := make([]float64, len(c.priors))
	for h, hyp := range c.priors {
		for a, ok := range hyp.Possible {
			if ok {
				mass[h] += prior[a]
			}
		}
	}
	for v, x := range c.variants {
		if mass[x.hypothesis] > 0 {
			m.weight[v] = weight(c.priors[x.hypothesis].Cause) * x.weight * prior[x.arrangement] / mass[x.hypothesis]
		}
	}
	m.normalise()
	return m, nil
}

func (m *Mind) normalise() {
	sum := 0.0
	for _, w := range m.weight {
		sum += w
	}
	if sum > 0 {
		for v := range m.weight {
			m.weight[v] /= sum
		}
	}
}

// Saw takes in what the check with that number in the table showed.
func (m *Mind) Saw(check int, value, reliability float64) {
	for v := range m.weight {
		m.weight[v] *= like(m.t.Checks[check].What, m.t.At(v, check), value, reliability, m.t.spread[check])
	}
	m.normalise()
}

// Causes returns the probability of each hypothesis.
func (m *Mind) Causes() map[string]float64 {
	out := map[string]float64{}
	for v, x := range m.c.variants {
		out[m.c.priors[x.hypothesis].Cause] += m.weight[v]
	}
	return out
}

// Arrangements returns the probability of each arrangement.
func (m *Mind) Arrangements() map[string]float64 {
	out := map[string]float64{}
	for v, x := range m.c.variants {
		out[m.c.Arrangements[x.arrangement].ID] += m.weight[v]
	}
	return out
}

// Gain returns how many bits a check is expected to tell about the causes,
// with readings sorted into bands. A check that nobody can make because the
// likeliest arrangement lacks its point tells that as well.
func (m *Mind) Gain(check int) float64 {
	n := len(m.c.priors)
	joint := map[int][]float64{}
	bands := []int{}
	for v, x := range m.c.variants {
		if m.weight[v] == 0 {
			continue
		}
		b := Band(m.t.Checks[check].What, m.t.At(v, check))
		row := joint[b]
		if row == nil {
			row = make([]float64, n)
			joint[b] = row
			bands = append(bands, b)
		}
		row[x.hypothesis] += m.weight[v]
	}
	whole := make([]float64, n)
	after := 0.0
	for _, b := range bands {
		p := 0.0
		for h, w := range joint[b] {
			whole[h] += w
			p += w
		}
		after += bitsOf(joint[b], p)
	}
	return bitsOf(whole, 1) - after
}

// Bits is the entropy of the causes.
func (m *Mind) Bits() float64 {
	p := make([]float64, len(m.c.priors))
	for v, x := range m.c.variants {
		p[x.hypothesis] += m.weight[v]
	}
	return bitsOf(p, 1)
}

// bitsOf is total times the entropy of the weights as shares of it.
func bitsOf(weights []float64, total float64) float64 {
	s := 0.0
	for _, w := range weights {
		if w > 0 {
			s -= w * math.Log2(w/total)
		}
	}
	return s
}

// Next returns the check that is expected to tell most about the causes, the
// first of equals, and how much in bits; -1 if none tells at least 0.01.
func (m *Mind) Next(done map[int]bool) (int, float64) {
	best, most := -1, 0.01
	for k := range m.t.Checks {
		if done[k] {
			continue
		}
		if g := m.Gain(k); g > most+1e-9 {
			best, most = k, g
		}
	}
	return best, most
}

// Lacks takes in that the car has no such point or part.
func (m *Mind) Lacks(check int) {
	for v := range m.weight {
		if !math.IsNaN(m.t.At(v, check)) {
			m.weight[v] *= Slip
		}
	}
	m.normalise()
}

// Truths lists the variants of a cause as numbers of the table, one for each
// arrangement, fault and size: what a simulated user may have.
func (c *Circuit) Truths(cause string) []int {
	var out []int
	for v, x := range c.variants {
		if c.priors[x.hypothesis].Cause == cause {
			out = append(out, v)
		}
	}
	return out
}

// ArrangementOf returns the arrangement of a variant.
func (c *Circuit) ArrangementOf(variant int) string {
	return c.Arrangements[c.variants[variant].arrangement].ID
}

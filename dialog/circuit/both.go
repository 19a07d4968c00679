package circuit

import "math"

// Couples are two causes of a circuit present together, in every way in which
// that can be: arrangement, and the fault and size of either. They are solved
// anew, since two faults may do what neither does alone: two poor joints that
// together let a relay drop out, two lamps of which each would have shone for
// the other.
type Couples struct {
	Pairs []Couple
	c     *Circuit
	ways  []variant
}

// Couple is two causes, A before B among the hypotheses, with their ways from
// From up to To.
type Couple struct {
	A, B     string
	From, To int
}

// Couples lists every two causes that an arrangement can have together.
func (c *Circuit) Couples() *Couples {
	var pairs [][2]string
	for i, a := range c.priors {
		for _, b := range c.priors[i+1:] {
			if a.Cause != "" {
				pairs = append(pairs, [2]string{a.Cause, b.Cause})
			}
		}
	}
	return c.couples(pairs)
}

func (c *Circuit) couples(pairs [][2]string) *Couples {
	k := &Couples{c: c}
	for _, p := range pairs {
		from := len(k.ways)
		for i, w := range c.wired {
			fa, wa := c.faultsOf(w, p[0])
			fb, wb := c.faultsOf(w, p[1])
			for x := range fa {
				for y := range fb {
					k.ways = append(k.ways, variant{arrangement: i, weight: float64(wa[x] * wb[y]), faults: []Faulted{fa[x], fb[y]}})
				}
			}
		}
		if len(k.ways) > from {
			k.Pairs = append(k.Pairs, Couple{p[0], p[1], from, len(k.ways)})
		}
	}
	return k
}

// Ways is the number of ways of all pairs.
func (k *Couples) Ways() int { return len(k.ways) }

// ArrangementAt is the place of the arrangement of a way.
func (k *Couples) ArrangementAt(way int) int { return k.ways[way].arrangement }

// Predict returns what a check shows in each way.
func (k *Couples) Predict(ch Check) ([]float64, error) {
	if err := k.c.checkCheck(&ch); err != nil {
		return nil, err
	}
	return k.c.predictIn(k.ways, ch)
}

// Couple is the likelihood of all that was seen with both causes present,
//
//	Σ_A P(A | both) Σ_m P(m) Π_o P(o | both, A, m)
//
// on the scale of Weights, and the same by arrangement. Like is the product
// over all that was seen, in each way.
func (s *Stand) Couple(k *Couples, pair int, like []float64) (l float64, by []float64) {
	p := &k.Pairs[pair]
	by = make([]float64, len(s.prior))
	mass, at := 0.0, -1
	for w := p.From; w < p.To; w++ {
		x := &k.ways[w]
		if x.arrangement != at {
			at = x.arrangement
			mass += s.prior[at]
		}
		by[at] += float64(float64(s.prior[at]*x.weight) * like[w])
	}
	if mass == 0 {
		return math.Pow(Slip, float64(s.seen)), by
	}
	for a := range by {
		by[a] /= mass
		l += by[a]
	}
	return l, by
}

// Pair returns the likelihood of the observations with two causes present
// together, on the scale of Weigh.
func (c *Circuit) Pair(a, b string, observations []Observation, shares map[string]float64) (float64, error) {
	s, err := c.Stand(shares)
	if err != nil {
		return 0, err
	}
	k := c.couples([][2]string{{a, b}})
	like := make([]float64, k.Ways())
	for w := range like {
		like[w] = 1
	}
	for _, o := range observations {
		x, err := k.Predict(o.Check)
		if err != nil {
			return 0, err
		}
		l, err := c.Likes(o, x)
		if err != nil {
			return 0, err
		}
		for w := range like {
			like[w] *= l[w]
		}
	}
	if len(k.Pairs) == 0 {
		return math.Pow(Slip, float64(len(observations))), nil
	}
	l, _ := s.Couple(k, 0, like)
	return l, nil
}

package belief

// logSet is a hypothesis of three causes or more with the log of its prior
// times its likelihood.
type logSet struct {
	causes []int
	log    nats
}

// sets enumerates the hypotheses of more than two causes, if the options ask
// for them.
func (s *Scratch) sets(m *Model, pr *priors, cs []*component) []logSet {
	if !m.Bernoulli || m.MostFaults < 3 {
		return nil
	}
	n := len(pr.active)
	var out []logSet
	var places []int
	var extend func(from int)
	extend = func(from int) {
		if len(places) > 2 {
			out = append(out, logSet{log: pr.logOf(cs, places)})
			for _, at := range places {
				out[len(out)-1].causes = append(out[len(out)-1].causes, pr.active[at])
			}
		}
		if len(places) == m.MostFaults {
			return
		}
	next:
		for at := from; at < n; at++ {
			for _, other := range places {
				if excludes(pr.of(other, at)) {
					continue next
				}
			}
			places = append(places, at)
			extend(at + 1)
			places = places[:len(places)-1]
		}
	}
	extend(0)
	return out
}

// logOf returns the log of prior times likelihood of the causes at the places,
// against the baseline.
func (pr *priors) logOf(cs []*component, places []int) nats {
	sum := pr.pair
	for _, at := range places {
		sum += pr.share[at]
	}
	for _, c := range cs {
		if c.composite != nil {
			sum += c.logOfMany(places)
			continue
		}
		var ks []*kind
		for _, sp := range c.speakers {
			for _, at := range places {
				if sp.place == at {
					ks = append(ks, c.tuples[sp.tuple].ks...)
				}
			}
		}
		sum += c.against(c.likelihood(ks, len(places)))
	}
	return sum
}

// logOfMany extends a circuit's table to more than two faults: each pair
// corrects the product as if the others were not there.
func (c *component) logOfMany(places []int) nats {
	var tuples []int
	sum := nats(0)
	for _, sp := range c.speakers {
		for _, at := range places {
			if sp.place == at {
				sum += c.tuples[sp.tuple].paired
				for _, t := range tuples {
					sum += c.pairs[t*len(c.tuples)+sp.tuple]
				}
				tuples = append(tuples, sp.tuple)
			}
		}
	}
	return sum
}

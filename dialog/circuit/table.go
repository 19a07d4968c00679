package circuit

import "math"

// Table holds what every check of the netlist shows under every variant.
type Table struct {
	Checks []Check
	values []float64 // variant × check
	spread []float64 // of each check
}

// At returns what a check shows under a variant.
func (t *Table) At(variant, check int) float64 { return t.values[variant*len(t.Checks)+check] }

// Tabulate solves every setup once for each variant. The result depends on
// the netlist alone: make it once and keep it.
func (c *Circuit) Tabulate() (*Table, error) {
	t := &Table{Checks: c.Checks()}
	n := len(t.Checks)
	t.values = make([]float64, len(c.variants)*n)
	for k := range t.Checks {
		t.spread = append(t.spread, c.spread(&t.Checks[k]))
	}
	s := c.newSolver()
	for from := 0; from < n; {
		// Checks of one setup stand together; those with the supply off are
		// solved apart.
		to := from + 1
		off, bench := t.Checks[from].What.ohms(), t.Checks[from].What == Bench
		for to < n && t.Checks[to].Setup.ID == t.Checks[from].Setup.ID && t.Checks[to].What.ohms() == off && (t.Checks[to].What == Bench) == bench {
			to++
		}
		err := s.predict(c.variants, t.Checks[from:to], off, func(v, k int, x float64) { t.values[v*n+from+k] = x })
		if err != nil {
			return nil, err
		}
		from = to
	}
	return t, nil
}

// LogPoints returns n points evenly spaced on a log scale from from to to,
// both included; the one point if they are equal.
func LogPoints(from, to float64, n int) []float64 {
	if from == to || n < 2 {
		return []float64{from}
	}
	out := make([]float64, n)
	for i := range out {
		out[i] = from * math.Exp(math.Log(to/from)*float64(i)/float64(n-1))
	}
	return out
}

// Column returns what one check shows under every variant.
func (t *Table) Column(check int) []float64 {
	out := make([]float64, 0, len(t.values)/len(t.Checks))
	for at := check; at < len(t.values); at += len(t.Checks) {
		out = append(out, t.values[at])
	}
	return out
}

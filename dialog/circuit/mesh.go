package circuit

// mesh is a network of conductances between nodes, node 0 being ground, and
// the currents put into them. It is solved by eliminating node after node
// (each star becomes a mesh): with positive conductances nothing is ever
// subtracted, so a point that hangs on 1e12 Ω beside wires of 1 mΩ comes out
// as exactly as any other. A dense factorisation with pivots would lose it
// (sixteen digits are less than that ratio), and takes longer on circuits of
// this size.
type mesh struct {
	n    int       // nodes, with ground
	g    []float64 // n×n, the lower triangle, siemens
	put  []float64 // amperes put into each node
	sum  []float64 // of the conductances left at elimination
	volt []float64
}

func (m *mesh) reset(n int) {
	if m.n != n {
		*m = mesh{n: n, g: make([]float64, n*n), put: make([]float64, n), sum: make([]float64, n), volt: make([]float64, n)}
		return
	}
	clear(m.g)
	clear(m.put)
}

// join adds a conductance between two nodes.
func (m *mesh) join(a, b int, g float64) {
	if a < b {
		a, b = b, a
	}
	m.g[a*m.n+b] += g
}

// eliminate factors the conductances in place. It returns the first node that
// nothing joins to ground, or 0.
func (m *mesh) eliminate() int {
	for k := m.n - 1; k > 0; k-- {
		row := m.g[k*m.n : k*m.n+k]
		s := 0.0
		for _, g := range row {
			s += g
		}
		m.sum[k] = s
		if !(s > 0) {
			return k
		}
		for i := 1; i < k; i++ {
			if row[i] == 0 {
				continue
			}
			f := row[i] / s
			to := m.g[i*m.n : i*m.n+i]
			for j := range to {
				to[j] += float64(f * row[j])
			}
		}
	}
	return 0
}

// solve finds the volts of every node for the currents put in; put is used up.
func (m *mesh) solve(put, volt []float64) {
	for k := m.n - 1; k > 0; k-- {
		if put[k] == 0 {
			continue
		}
		row := m.g[k*m.n : k*m.n+k]
		f := put[k] / m.sum[k]
		for i, g := range row {
			put[i] += float64(f * g)
		}
	}
	volt[0] = 0
	for k := 1; k < m.n; k++ {
		v := put[k]
		for j, g := range m.g[k*m.n : k*m.n+k] {
			v += float64(g * volt[j])
		}
		volt[k] = v / m.sum[k]
	}
}

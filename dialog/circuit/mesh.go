package circuit

import (
	"math"

	"gonum.org/v1/gonum/blas"
	"gonum.org/v1/gonum/blas/blas64"
	"gonum.org/v1/gonum/lapack/lapack64"
)

// mesh is a network of conductances with sources between nodes, node 0 being
// ground. Its unknowns are not the volts of the nodes but those across the
// branches of the heaviest spanning tree, one for each node up to its parent;
// there is one equation for each branch of the tree: the currents through the
// cut that it alone bridges sum to nought.
//
// In that choice lies the accuracy. A point that hangs on 1e12 Ω beside wires
// of 0.1 mΩ is lost in the nodal equations, whose diagonal sums conductances
// further apart than the sixteen digits of a float. A cut is summed only from
// what crosses it, and nothing that crosses weighs more than the branch of the
// tree, so the matrix, scaled by its diagonal, is well conditioned whatever
// the ratios, and Cholesky keeps all digits.
type mesh struct {
	n      int       // nodes, with ground
	g      []float64 // n×n, the lower triangle, siemens
	push   []float64 // n×n, lower: amperes that sources drive from the higher node to the lower
	parent []int     // in the tree; 0 for what hangs on ground
	depth  []int
	order  []int // nodes from ground outwards
	weight []float64
	cut    blas64.Symmetric  // siemens that cross the cuts of two branches, upper triangle
	upper  blas64.Triangular // its Cholesky factor
	right  []float64         // amperes that sources drive through each cut
	across []float64         // volts across each branch of the tree
	cycle  []int
	signs  []float64
}

func (m *mesh) reset(n int) {
	if m.n != n {
		*m = mesh{n: n, g: make([]float64, n*n), push: make([]float64, n*n), parent: make([]int, n), depth: make([]int, n), weight: make([]float64, n)}
		m.cut = blas64.Symmetric{N: n - 1, Stride: max(n-1, 1), Uplo: blas.Upper, Data: make([]float64, (n-1)*(n-1))}
		m.right, m.across = make([]float64, n-1), make([]float64, n-1)
		return
	}
	clear(m.g)
	clear(m.push)
}

// join adds a branch of g siemens from a to b with a source in it: it carries
// g·(Va − Vb − emf).
func (m *mesh) join(a, b int, g, emf float64) {
	if a < b {
		a, b, emf = b, a, -emf
	}
	m.g[a*m.n+b] += g
	if emf != 0 {
		m.push[a*m.n+b] -= float64(g * emf)
	}
}

// span grows the heaviest tree from ground, the lower node first of equals. It
// returns the nodes that nothing joins to ground.
func (m *mesh) span() []int {
	n := m.n
	m.order = append(m.order[:0], 0)
	for i := range m.parent {
		m.parent[i], m.depth[i], m.weight[i] = -1, 0, m.g[i*n]
	}
	m.weight[0] = math.Inf(1)
	m.parent[0] = 0
	from := 0
	for len(m.order) < n {
		best := -1
		for i := 1; i < n; i++ {
			if m.depth[i] > 0 {
				continue
			}
			g := m.g[max(i, from)*n+min(i, from)]
			if g > 0 && (m.parent[i] < 0 || g > m.weight[i]) {
				m.parent[i], m.weight[i] = from, g
			}
			if m.parent[i] >= 0 && (best < 0 || m.weight[i] > m.weight[best]) {
				best = i
			}
		}
		if best < 0 {
			var loose []int
			for i := 1; i < n; i++ {
				if m.depth[i] == 0 {
					loose = append(loose, i)
				}
			}
			return loose
		}
		m.depth[best] = m.depth[m.parent[best]] + 1
		m.order = append(m.order, best)
		from = best
	}
	return nil
}

// walk sets cycle to the tree's branches between two nodes, each named by its
// outer node, and signs to +1 on the way down from a, −1 on the way up to b.
func (m *mesh) walk(a, b int) {
	m.cycle, m.signs = m.cycle[:0], m.signs[:0]
	for a != b {
		if m.depth[a] >= m.depth[b] {
			m.cycle, m.signs = append(m.cycle, a-1), append(m.signs, 1)
			a = m.parent[a]
		} else {
			m.cycle, m.signs = append(m.cycle, b-1), append(m.signs, -1)
			b = m.parent[b]
		}
	}
}

// factor sums the cuts and factorises them. It returns the nodes that nothing
// joins to ground, nil if there are none.
func (m *mesh) factor() []int {
	if m.n < 2 {
		return nil
	}
	if loose := m.span(); loose != nil {
		return loose
	}
	clear(m.cut.Data)
	clear(m.right)
	for a := 1; a < m.n; a++ {
		for b := 0; b < a; b++ {
			g, push := m.g[a*m.n+b], m.push[a*m.n+b]
			if g == 0 {
				continue
			}
			m.walk(a, b)
			for x, i := range m.cycle {
				if push != 0 {
					m.right[i] -= m.signs[x] * push
				}
				for y, j := range m.cycle {
					if j >= i {
						m.cut.Data[i*m.cut.Stride+j] += float64(m.signs[x] * m.signs[y] * g)
					}
				}
			}
		}
	}
	var ok bool
	if m.upper, ok = lapack64.Potrf(m.cut); !ok {
		// What a tree spans is positive definite; only numbers that are none
		// get here.
		return append([]int(nil), m.order[1:]...)
	}
	return nil
}

// tree finds the volts across the branches of the tree from the amperes
// through their cuts.
func (m *mesh) tree() {
	copy(m.across, m.right)
	if m.n > 1 {
		x := blas64.Vector{N: m.n - 1, Inc: 1, Data: m.across}
		blas64.Trsv(blas.Trans, m.upper, x)
		blas64.Trsv(blas.NoTrans, m.upper, x)
	}
}

// solve finds the volts of every node.
func (m *mesh) solve(volt []float64) {
	m.tree()
	volt[0] = 0
	for _, k := range m.order[1:] {
		volt[k] = volt[m.parent[k]] + m.across[k-1]
	}
}

// between is the resistance between two nodes: the volts between them for one
// ampere from the one to the other.
func (m *mesh) between(a, b int) float64 {
	if a == b {
		return 0
	}
	clear(m.right)
	m.walk(a, b)
	for x, i := range m.cycle {
		m.right[i] = m.signs[x]
	}
	m.tree()
	ohms := 0.0
	for x, i := range m.cycle {
		ohms += float64(m.signs[x] * m.across[i])
	}
	return ohms
}

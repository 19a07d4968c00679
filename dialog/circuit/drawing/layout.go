package drawing

import (
	"math"
	"slices"
	"sort"

	"ruleout/dialog/circuit"
)

// edge is one symbol: an element, or a coil or contact of one, from its upper
// to its lower node.
type edge struct {
	e        *circuit.Element
	shape    shape
	from, to string // nodes
	// upFirst says that the upper node is the element's first terminal.
	upFirst bool
	jumper  bool
	label   string
	upper   string // terminal numbers at its ends, "" for none
	lower   string
}

// node is where edges meet.
type node struct {
	row    int
	column int
	y      float64
}

// column is a chain of edges drawn one below the other.
type column struct {
	edges []*edge
	top   string // node where it begins
	end   string // node where it ends
}

// plan is a drawing laid out: the supply at the top, the ground at the bottom,
// one chain of parts a column.
type plan struct {
	supply, ground string
	edges          []*edge
	nodes          map[string]*node
	names          []string // of the nodes, sorted
	columns        []*column
	rows           int
}

// lay lays the edges out.
func lay(edges []*edge, supply, ground string) *plan {
	p := &plan{supply: supply, ground: ground, edges: edges, nodes: map[string]*node{}}
	for _, e := range edges {
		p.nodes[e.from], p.nodes[e.to] = &node{}, &node{}
	}
	for n := range p.nodes {
		p.names = append(p.names, n)
	}
	sort.Strings(p.names)
	p.direct()
	p.rank()
	p.chain()
	p.order()
	p.place()
	return p
}

// direct turns every edge downwards: from the node of higher potential, were
// all parts alike and all switches closed, to the lower. So there are no
// circles.
func (p *plan) direct() {
	v := map[string]float64{p.supply: 1}
	fixed := map[string]bool{p.supply: true, p.ground: true}
	for _, e := range p.edges {
		// A source of its own, inside a control unit, stands half way up.
		if n := e.from; !e.jumper && e.e.Kind == circuit.Battery && n != p.supply && n != p.ground {
			v[n], fixed[n] = 0.5, true
		}
	}
	for range 400 {
		for _, n := range p.names {
			if fixed[n] {
				continue
			}
			sum, k := 0.0, 0.0
			for _, e := range p.edges {
				switch n {
				case e.from:
					sum += v[e.to]
					k++
				case e.to:
					sum += v[e.from]
					k++
				}
			}
			if k > 0 {
				v[n] = sum / k
			}
		}
	}
	for _, e := range p.edges {
		a, b := math.Round(v[e.from]*1e6), math.Round(v[e.to]*1e6)
		if a < b || a == b && (e.from == p.ground || e.to != p.ground && e.from > e.to) {
			e.from, e.to, e.upFirst = e.to, e.from, !e.upFirst
			e.upper, e.lower = e.lower, e.upper
		}
	}
}

// rank gives each node the row of the longest chain that leads to it.
func (p *plan) rank() {
	for range p.names {
		for _, e := range p.edges {
			if r := p.nodes[e.from].row + 1; e.from != p.ground && r > p.nodes[e.to].row && r <= len(p.names) {
				p.nodes[e.to].row = r
			}
		}
	}
	for _, n := range p.names {
		p.rows = max(p.rows, p.nodes[n].row)
	}
	p.nodes[p.ground].row = p.rows
}

// chain cuts the edges into columns: each goes down as far as it can.
func (p *plan) chain() {
	used := map[*edge]bool{}
	depth := map[string]int{}
	for range p.names {
		for _, e := range p.edges {
			depth[e.from] = max(depth[e.from], depth[e.to]+1)
		}
	}
	next := func(n string) *edge {
		var best *edge
		for _, e := range p.edges {
			if !used[e] && e.from == n && (best == nil || depth[e.to] > depth[best.to]) {
				best = e
			}
		}
		return best
	}
	names := slices.Clone(p.names)
	sort.SliceStable(names, func(i, j int) bool { return p.nodes[names[i]].row < p.nodes[names[j]].row })
	for _, start := range names {
		for {
			e := next(start)
			if e == nil {
				break
			}
			c := &column{top: start}
			for e != nil {
				used[e] = true
				c.edges = append(c.edges, e)
				c.end = e.to
				if e.to == p.ground {
					break
				}
				e = next(e.to)
			}
			p.columns = append(p.columns, c)
		}
	}
}

// home is the column in which each node stands: the first that passes it.
func (p *plan) home() map[string]int {
	home := map[string]int{}
	for i, c := range p.columns {
		for _, n := range c.passes() {
			if _, ok := home[n]; !ok {
				home[n] = i
			}
		}
	}
	return home
}

// battery reports whether it is the battery's own column.
func (c *column) battery() bool {
	e := c.edges[0]
	return !e.jumper && e.e.Kind == circuit.Battery
}

func (c *column) passes() []string {
	out := []string{c.top}
	for _, e := range c.edges {
		out = append(out, e.to)
	}
	return out
}

// order puts columns that are joined side by side: columns are swapped as long
// as the cross connections get shorter.
func (p *plan) order() {
	length := func() int {
		sum := 0
		at := map[string][]int{}
		for i, c := range p.columns {
			for _, n := range c.passes() {
				if n != p.supply && n != p.ground {
					at[n] = append(at[n], i)
				}
			}
		}
		for _, n := range p.names {
			if x := at[n]; len(x) > 1 {
				sum += slices.Max(x) - slices.Min(x)
			}
		}
		return sum
	}
	// The battery stands at the left, as people draw it.
	sort.SliceStable(p.columns, func(i, j int) bool { return p.columns[i].battery() && !p.columns[j].battery() })
	best := length()
	for improved := true; improved; {
		improved = false
		for i := range p.columns {
			for j := range p.columns {
				if i == j || p.columns[i].battery() || p.columns[j].battery() {
					continue
				}
				was := slices.Clone(p.columns)
				c := p.columns[i]
				p.columns = slices.Insert(slices.Delete(p.columns, i, i+1), min(j, len(p.columns)-1), c)
				if l := length(); l < best {
					best, improved = l, true
				} else {
					p.columns = was
				}
			}
		}
	}
}

// place gives each node its column and a height of its own, so that no two
// cross connections lie on one line.
func (p *plan) place() {
	home := p.home()
	byRow := map[int][]string{}
	for _, n := range p.names {
		p.nodes[n].column = home[n]
		byRow[p.nodes[n].row] = append(byRow[p.nodes[n].row], n)
	}
	for row := 0; row <= p.rows; row++ {
		list := byRow[row]
		sort.SliceStable(list, func(i, j int) bool { return p.nodes[list[i]].column < p.nodes[list[j]].column })
		for k, n := range list {
			step := 0.0
			if len(list) > 1 {
				step = float64(k)*nodeSpread/float64(len(list)-1) - nodeSpread/2
			}
			p.nodes[n].y = top + float64(row)*rowHeight + step
		}
	}
	p.nodes[p.supply].y = top
	p.nodes[p.ground].y = top + float64(p.rows)*rowHeight
}

// Sizes of the drawing.
const (
	rowHeight   = 86.0
	columnWidth = 172.0
	left        = 56.0
	top         = 64.0
	nodeSpread  = 22.0 // by how much nodes of one row differ in height
	symbol      = 34.0 // height of a symbol
)

func (p *plan) x(column int) float64 { return left + float64(column)*columnWidth }

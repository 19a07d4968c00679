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
	label   string // of a lead
	upper   string // terminal numbers at its ends, "" for none
	lower   string
	said    []caption // beside it, line by line
}

// caption is a line of text in a class of the style sheet.
type caption struct{ class, text string }

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
	middles        []float64 // heights of the symbols below each row of nodes
	bottom         float64
}

// lay finds the columns and rows of the edges; place gives them their heights
// once it is known what is written beside them.
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
		if n != p.ground {
			p.rows = max(p.rows, p.nodes[n].row+1) // nothing hangs below the ground
		}
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
// cross connections lie on one line. A row is as high as what is written in it;
// the first begins at top.
func (p *plan) place(top float64) {
	home := p.home()
	byRow := map[int][]string{}
	for _, n := range p.names {
		p.nodes[n].column = home[n]
		byRow[p.nodes[n].row] = append(byRow[p.nodes[n].row], n)
	}
	y := top
	for row := 0; row <= p.rows; row++ {
		list := byRow[row]
		sort.SliceStable(list, func(i, j int) bool { return p.nodes[list[i]].column < p.nodes[list[j]].column })
		for k, n := range list {
			p.nodes[n].y = y + float64(k)*nodeText
		}
		y += float64(max(len(list)-1, 0)) * nodeText
		h := rowHeight
		for _, e := range p.edges {
			if p.nodes[e.from].row == row {
				h = max(h, float64(len(e.said))*lineHeight+nodeText+8)
			}
		}
		// Of what is left between the rows, the volts at the lower nodes take
		// some.
		p.middles = append(p.middles, y+(h-nodeText)/2)
		y += h
	}
	p.bottom = p.nodes[p.ground].y
}

// middle is the height of an edge's symbol: half way down the first row below
// its upper node. Cross connections run at the heights of nodes, so none runs
// through a symbol or what is written beside it, however long the edge.
func (p *plan) middle(e *edge) float64 {
	return p.middles[p.nodes[e.from].row]
}

// Sizes of the drawing.
const (
	rowHeight   = 72.0 // from the nodes of a row to those of the next, at least
	columnWidth = 186.0
	left        = 56.0
	nodeText    = 16.0 // height of what stands above a node; nodes of a row differ by it
	symbol      = 34.0 // height of a symbol
	lineHeight  = 13.0
	beside      = 24.0  // from the wire to what is written beside a symbol
	besideWidth = 120.0 // of that: terminal numbers of the next column follow
	titleHeight = 18.0
)

func (p *plan) x(column int) float64 { return left + float64(column)*columnWidth }

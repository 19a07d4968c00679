package circuit

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
)

// Circuit is a netlist made ready: checked and wired in every arrangement.
// It is not changed after Compile and may be used from anywhere at once.
type Circuit struct {
	Netlist
	wired    []*wired
	element  map[string]int
	control  map[string]int
	pull     map[string]int
	points   map[string]int
	shares   []float64
	priors   []Hypothesis
	variants []variant
}

// wired is one arrangement: its elements with the nodes of their terminals.
type wired struct {
	arrangement int
	nodes       []string // nodes[0] is ground
	index       map[string]int
	// alias finds a node by the terminal of a part: "fan-relay.87".
	alias     map[string]int
	parts     []part
	byElement []int // part of each element of the netlist, or -1
}

// node finds a node by its name or by a part's terminal.
func (w *wired) node(name string) (int, bool) {
	i, ok := w.index[name]
	if !ok {
		i, ok = w.alias[name]
	}
	return i, ok
}

// part is an element in an arrangement.
type part struct {
	e  *Element
	ei int
	at [5]int // nodes of its terminals, -1 where unjoined
	// bit is the place of its on or off in the state, -1 for none.
	bit int
}

// Problem is one thing wrong with a netlist.
type Problem struct {
	// Arrangement and Element say where; either may be empty.
	Arrangement, Element string
	// Terminal or node that is meant, if any.
	At   string
	What string
}

func (p Problem) Error() string {
	var b strings.Builder
	for _, s := range []string{p.Arrangement, p.Element, p.At} {
		if s != "" {
			fmt.Fprintf(&b, "%s: ", s)
		}
	}
	return "circuit: " + b.String() + p.What
}

// Compile checks a netlist and makes it ready. Every problem is reported, the
// ones in the shape of the netlist as well as parts that float: an element
// joined to nothing at one end, or nodes that nothing joins to ground.
func Compile(n Netlist) (*Circuit, []Problem) {
	c := &Circuit{Netlist: n, element: map[string]int{}, control: map[string]int{}, pull: map[string]int{}, points: map[string]int{}}
	c.Elements = slices.Clone(n.Elements)
	for i := range c.Elements {
		c.Elements[i] = c.Elements[i].withDefaults()
		c.element[c.Elements[i].ID] = i
	}
	for i, x := range n.Controls {
		c.control[x.ID] = i
	}
	for i, x := range n.Pulls {
		c.pull[x.ID] = i
	}
	for i, x := range n.Points {
		c.points[x.Node] = i
	}
	problems := c.check()
	if len(problems) > 0 {
		return nil, problems
	}
	total := 0.0
	for i := range c.Arrangements {
		w := c.wire(i)
		c.wired = append(c.wired, w)
		problems = append(problems, c.floating(w)...)
		total += c.Arrangements[i].Share
	}
	if len(problems) > 0 {
		return nil, problems
	}
	for _, a := range c.Arrangements {
		c.shares = append(c.shares, a.Share/total)
	}
	c.enumerate()
	return c, nil
}

// wire numbers the nodes of an arrangement in the order of elements and
// terminals.
func (c *Circuit) wire(a int) *wired {
	w := &wired{arrangement: a, index: map[string]int{c.Ground: 0}, alias: map[string]int{}, nodes: []string{c.Ground}, byElement: make([]int, len(c.Elements))}
	bits := 0
	for ei := range c.Elements {
		e := &c.Elements[ei]
		w.byElement[ei] = -1
		joins, ok := c.Arrangements[a].Joins[e.ID]
		if !ok {
			continue
		}
		p := part{e: e, ei: ei, at: [5]int{-1, -1, -1, -1, -1}, bit: -1}
		for t, name := range terminals[e.Kind] {
			node, ok := joins[name]
			if !ok {
				continue
			}
			i, known := w.index[node]
			if !known {
				i = len(w.nodes)
				w.index[node] = i
				w.nodes = append(w.nodes, node)
			}
			p.at[t] = i
			w.alias[e.ID+"."+name] = i
		}
		// People call the contact that feeds the load 87, whether it rests open
		// or closed.
		if i, ok := w.alias[e.ID+".87a"]; ok && e.Kind == Relay {
			if _, has := w.alias[e.ID+".87"]; !has {
				w.alias[e.ID+".87"] = i
			}
		}
		switch e.Kind {
		case Relay, Motor, Driver, Alternator:
			p.bit = bits
			bits++
		}
		w.byElement[ei] = len(w.parts)
		w.parts = append(w.parts, p)
	}
	return w
}

// floating reports nodes at which only one terminal ends, and groups of nodes
// that nothing joins to ground, open contacts counted as joints.
func (c *Circuit) floating(w *wired) []Problem {
	var problems []Problem
	name := c.Arrangements[w.arrangement].ID
	ends := make([]int, len(w.nodes))
	last := make([]string, len(w.nodes))
	root := make([]int, len(w.nodes))
	for i := range root {
		root[i] = i
	}
	var find func(i int) int
	find = func(i int) int {
		if root[i] != i {
			root[i] = find(root[i])
		}
		return root[i]
	}
	for _, p := range w.parts {
		first := -1
		for t, n := range p.at {
			if n < 0 {
				continue
			}
			ends[n]++
			last[n] = p.e.ID + " " + terminals[p.e.Kind][t]
			// Coil and contacts of a relay have nothing in common but the relay.
			if first >= 0 && !(p.e.Kind == Relay && t == 2) {
				root[find(n)] = find(first)
			}
			first = n
		}
	}
	for i := 1; i < len(ends); i++ {
		if ends[i] == 1 {
			problems = append(problems, Problem{Arrangement: name, Element: strings.Fields(last[i])[0], At: w.nodes[i], What: fmt.Sprintf("floats: nothing but %s ends there", last[i])})
		}
	}
	var loose []string
	for i := 1; i < len(root); i++ {
		if find(i) != find(0) {
			loose = append(loose, w.nodes[i])
		}
	}
	if len(loose) > 0 {
		problems = append(problems, Problem{Arrangement: name, What: "nothing joins to ground: " + strings.Join(loose, ", ")})
	}
	return problems
}

// check reports what is wrong with the shape of the netlist.
func (c *Circuit) check() []Problem {
	var ps []Problem
	bad := func(arr, el, at, format string, args ...any) {
		ps = append(ps, Problem{arr, el, at, fmt.Sprintf(format, args...)})
	}
	if c.Ground == "" || c.Supply == "" {
		bad("", "", "", "ground and supply must be named")
	}
	if len(c.Arrangements) == 0 {
		bad("", "", "", "there is no arrangement")
	}
	arrangements := map[string]bool{}
	for _, a := range c.Arrangements {
		if arrangements[a.ID] {
			bad(a.ID, "", "", "is given twice")
		}
		arrangements[a.ID] = true
		if !(a.Share > 0 && a.Share < 1e6) {
			bad(a.ID, "", "", "share must be above 0")
		}
	}
	seen := map[string]bool{}
	for _, e := range c.Elements {
		ps = append(ps, c.checkElement(&e, arrangements)...)
		if seen[e.ID] {
			bad("", e.ID, "", "is given twice")
		}
		seen[e.ID] = true
	}
	for _, a := range c.Arrangements {
		bits := 0
		for _, id := range sortedKeys(a.Joins) {
			i, ok := c.element[id]
			if !ok {
				bad(a.ID, id, "", "there is no such element")
				continue
			}
			e := &c.Elements[i]
			switch e.Kind {
			case Relay, Motor, Driver, Alternator:
				bits++
			}
			for _, t := range sortedKeys(a.Joins[id]) {
				if !slices.Contains(terminals[e.Kind], t) {
					bad(a.ID, id, t, "a %s has no such terminal, but %s", e.Kind, strings.Join(terminals[e.Kind], ", "))
				} else if a.Joins[id][t] == "" {
					bad(a.ID, id, t, "is joined to nothing")
				}
			}
			for _, t := range terminals[e.Kind] {
				if _, ok := a.Joins[id][t]; !ok && !Optional(e.Kind, t) {
					bad(a.ID, id, t, "is not joined")
				}
			}
		}
		if bits > 64 {
			bad(a.ID, "", "", "more than 64 relays, motors and drivers")
		}
	}
	for _, p := range c.Pulls {
		for _, id := range p.Elements {
			if _, ok := c.element[id]; !ok {
				bad("", id, p.ID, "there is no such element to pull")
			}
		}
	}
	nodes := map[string]bool{}
	for _, a := range c.Arrangements {
		for id, j := range a.Joins {
			for t, n := range j {
				nodes[n], nodes[id+"."+t] = true, true
				if t == "87a" {
					nodes[id+".87"] = true
				}
			}
		}
	}
	for _, p := range c.Points {
		if !nodes[p.Node] {
			bad("", "", p.Node, "no element ends at this point")
		}
		if !slices.Contains([]string{"probe", "back", "none"}, p.Reach) {
			bad("", "", p.Node, "reach must be probe, back or none")
		}
	}
	setups := map[string]bool{}
	for i := range c.Setups {
		ps = append(ps, c.checkSetup(&c.Setups[i], nodes)...)
		if setups[c.Setups[i].ID] {
			bad("", "", c.Setups[i].ID, "is given twice")
		}
		setups[c.Setups[i].ID] = true
	}
	return ps
}

func (c *Circuit) checkElement(e *Element, arrangements map[string]bool) []Problem {
	var ps []Problem
	bad := func(at, format string, args ...any) {
		ps = append(ps, Problem{"", e.ID, at, fmt.Sprintf(format, args...)})
	}
	if terminals[e.Kind] == nil {
		bad("", "there is no kind of element %q", e.Kind)
		return ps
	}
	for _, v := range []float64{e.Volts, e.Ohms, e.Stall, e.Contact, e.Watts, e.Cold, e.Rating, e.PullIn, e.DropOut, e.Area, e.Length, e.Beta, e.Below, e.Above, e.Tolerance} {
		if !(v >= 0 && v <= OpenOhms) {
			bad("", "a value is negative, too large or no number")
			break
		}
	}
	if e.DropOut > e.PullIn {
		bad("", "lets go above the current at which it pulls in")
	}
	switch e.Kind {
	case Resistor, Heater, Motor, Sender, Lamp:
		if e.Ohms == 0 {
			bad("", "its resistance is missing")
		}
	case Fuse:
		if e.Rating == 0 {
			bad("", "its rating is missing")
		}
	case Switch, Changeover:
		if e.Control == "" {
			bad("", "nothing works it: name its control")
		}
	}
	if e.Control != "" {
		i, ok := c.control[e.Control]
		switch {
		case !ok:
			bad("", "there is no control %q", e.Control)
		case len(e.Closed) > 0:
			for _, s := range e.Closed {
				if !slices.Contains(c.Controls[i].Settings, s) {
					bad("", "control %q has no setting %q", e.Control, s)
				}
			}
		case (e.Over != nil || e.Under != nil || e.Kind == Sender) && len(c.Controls[i].Settings) > 0:
			bad("", "control %q is not a number", e.Control)
		}
	}
	for _, f := range e.Faults {
		if !slices.Contains(faultKinds[e.Kind], f.Kind) {
			bad(string(f.Kind), "a %s can't have that fault", e.Kind)
		}
		if f.Cause == "" {
			bad(string(f.Kind), "belongs to no cause")
		}
		if f.At != "" && !slices.Contains(terminals[e.Kind], f.At) {
			bad(string(f.Kind), "a %s has no terminal %q", e.Kind, f.At)
		}
		if f.From < 0 || f.To < f.From || (f.From == 0) != (f.To == 0) || f.To > OpenOhms {
			bad(string(f.Kind), "its magnitude needs both ends, in order, above 0")
		}
		for _, a := range f.Only {
			if !arrangements[a] {
				bad(string(f.Kind), "there is no arrangement %q", a)
			}
		}
	}
	return ps
}

func (c *Circuit) checkSetup(s *Setup, nodes map[string]bool) []Problem {
	var ps []Problem
	bad := func(format string, args ...any) {
		ps = append(ps, Problem{"", "", s.ID, fmt.Sprintf(format, args...)})
	}
	for _, id := range sortedKeys(s.Set) {
		i, ok := c.control[id]
		if !ok {
			bad("there is no control %q", id)
			continue
		}
		x := c.Controls[i]
		if len(x.Settings) > 0 && !slices.Contains(x.Settings, s.Set[id]) {
			bad("control %q has no setting %q", id, s.Set[id])
		} else if _, err := strconv.ParseFloat(s.Set[id], 64); len(x.Settings) == 0 && err != nil {
			bad("control %q needs a number, not %q", id, s.Set[id])
		}
	}
	for _, id := range s.Pulled {
		if _, ok := c.pull[id]; !ok {
			bad("there is nothing to pull named %q", id)
		}
	}
	var named []string
	for _, p := range slices.Concat(s.Bridged, s.Across, s.Ohms) {
		named = append(named, p[0], p[1])
	}
	for _, n := range slices.Concat(named, s.Fed, s.Earthed, s.Volts) {
		if !nodes[n] {
			bad("there is no node %q", n)
		}
	}
	for _, id := range slices.Concat(s.Amps, s.Watch, s.Swapped) {
		if _, ok := c.element[id]; !ok {
			bad("there is no element %q", id)
		}
	}
	return ps
}

// Package drawing draws a circuit as a schematic: the supply rail at the top,
// ground at the bottom, one chain of parts a column, in the symbols of the
// trade (IEC 60617 shapes). What is live is thick, what carries current has
// arrows with its amperes, what is dead is dashed, and the fault is boxed and
// named: all of it can be read without colour. Start at Draw.
package drawing

import (
	"fmt"
	"html"
	"math"
	"slices"
	"strings"

	"ruleout/dialog/circuit"
)

// Options say what is drawn.
type Options struct {
	Arrangement string
	Setup       circuit.Setup
	// Fault is drawn if it names an element; FaultTitle says it in words.
	Fault      circuit.Faulted
	FaultTitle string
	Title      string
	// Terminals are numbers of nodes by DIN 72552.
	Terminals map[string]string
}

// Drawing is a circuit drawn: a document of its own, and the same in
// sentences.
type Drawing struct {
	SVG   string
	Words []string
}

// Draw draws a circuit. The error says what the circuit does not have; a state
// that an arrangement lacks is circuit.ErrLacks.
func Draw(c *circuit.Circuit, o Options) (*Drawing, error) {
	d := &drawer{c: c, o: o}
	if err := d.solve(); err != nil {
		return nil, err
	}
	d.edges = d.gather()
	d.p = lay(d.edges, c.Supply, c.Ground)
	for _, e := range d.p.edges {
		e.said = d.caption(e)
	}
	return &Drawing{d.write(), d.summary()}, nil
}

// drawer draws one circuit.
type drawer struct {
	c        *circuit.Circuit
	o        Options
	arr      *circuit.Arrangement
	sol      *circuit.Solution
	volts    map[string]float64 // as a meter shows them
	edges    []*edge
	p        *plan
	b        strings.Builder
	parts    map[string]int
	elements map[string]*circuit.Element
}

// shape is a symbol.
type shape string

const (
	plain    shape = "plain"
	coil     shape = "coil"
	contact  shape = "contact"  // relay 30-87, changeover c-worked
	resting  shape = "resting"  // relay 30-87a, changeover c-rest
	sensing  shape = "sensing"  // input of a control unit or regulator
	charging shape = "charging" // field of an alternator
	jumper   shape = "jumper"
)

func (d *drawer) solve() error {
	for i := range d.c.Arrangements {
		if d.c.Arrangements[i].ID == d.o.Arrangement {
			d.arr = &d.c.Arrangements[i]
		}
	}
	var faults []circuit.Faulted
	if d.o.Fault.Element != "" {
		faults = append(faults, d.o.Fault)
	}
	sol, err := d.c.Solve(d.o.Arrangement, d.o.Setup, faults...)
	if err != nil {
		return err
	}
	d.sol, d.parts, d.elements, d.volts = sol, map[string]int{}, map[string]*circuit.Element{}, map[string]float64{}
	for i, id := range sol.Parts {
		d.parts[id] = i
	}
	for i := range d.c.Elements {
		d.elements[d.c.Elements[i].ID] = &d.c.Elements[i]
	}
	for _, n := range sol.Nodes {
		v, err := d.c.Read(d.o.Arrangement, circuit.Check{Setup: d.o.Setup, What: circuit.Volts, A: n, B: d.c.Ground}, faults...)
		if err != nil {
			return err
		}
		d.volts[n] = v
	}
	return nil
}

// gather lists the edges of the arrangement, in the order of elements.
func (d *drawer) gather() []*edge {
	var out []*edge
	for i := range d.c.Elements {
		e := &d.c.Elements[i]
		j, ok := d.arr.Joins[e.ID]
		if !ok {
			continue
		}
		add := func(a, b string, s shape, ends bool) {
			if j[a] == "" || j[b] == "" || j[a] == j[b] {
				return
			}
			x := &edge{e: e, shape: s, from: j[a], to: j[b], upFirst: true}
			if ends {
				x.upper, x.lower = a, b
			}
			out = append(out, x)
		}
		switch e.Kind {
		case circuit.Relay:
			add("86", "85", coil, true)
			add("30", "87", contact, true)
			add("30", "87a", resting, true)
		case circuit.Changeover:
			add("c", "worked", contact, false)
			add("c", "rest", resting, false)
		case circuit.Driver:
			add("out", "com", plain, false)
			add("sense", "com", sensing, false)
		case circuit.Alternator:
			add("B+", "B-", plain, true)
			add("D+", "B-", charging, true)
			add("S", "B-", sensing, true)
		default:
			t := circuit.Terminals(e.Kind)
			add(t[0], t[1], plain, false)
		}
	}
	lead := func(a, b, label string) {
		a, b = d.resolve(a), d.resolve(b)
		if a != "" && b != "" && a != b {
			out = append(out, &edge{shape: jumper, jumper: true, from: a, to: b, upFirst: true, label: label})
		}
	}
	for _, b := range d.o.Setup.Bridged {
		lead(b[0], b[1], "jumper lead")
	}
	for _, n := range d.o.Setup.Fed {
		lead(d.c.Supply, n, "fed by a lead")
	}
	for _, n := range d.o.Setup.Earthed {
		lead(n, d.c.Ground, "earthed by a lead")
	}
	return out
}

// resolve is the node of a name that may be a part's terminal.
func (d *drawer) resolve(name string) string {
	el, terminal, ok := strings.Cut(name, ".")
	if !ok {
		return name
	}
	if n := d.arr.Joins[el][terminal]; n != "" {
		return n
	}
	if terminal == "87" {
		return d.arr.Joins[el]["87a"]
	}
	return ""
}

// state of a wire.
type state string

const (
	live  state = "live"  // nearly the supply's volts
	part  state = "part"  // something between
	dead  state = "dead"  // no volts, hanging on nothing
	earth state = "earth" // no volts, on ground
)

func (d *drawer) state(n string) state {
	supply := math.Max(math.Abs(d.volts[d.c.Supply]), 1)
	switch v := math.Abs(d.volts[n]); {
	case v > 0.8*supply:
		return live
	case v > 0.25:
		return part
	case n == d.c.Ground || d.grounded(n) || d.flows(n):
		return earth
	}
	return dead
}

// flows reports whether current passes a node: without volts it can only come
// from there to ground, through an output of a computer too.
func (d *drawer) flows(n string) bool {
	return slices.ContainsFunc(d.edges, func(e *edge) bool {
		return (e.from == n || e.to == n) && math.Abs(d.amps(e)) >= eye
	})
}

// grounded reports whether a node without volts is on ground, by the ohms that
// a meter would find with the supply off.
func (d *drawer) grounded(n string) bool {
	var faults []circuit.Faulted
	if d.o.Fault.Element != "" {
		faults = append(faults, d.o.Fault)
	}
	ohms, err := d.c.Read(d.o.Arrangement, circuit.Check{Setup: d.o.Setup, What: circuit.Ohms, A: n, B: d.c.Ground}, faults...)
	return err == nil && ohms < 1000
}

// amps is the current through an edge, downwards positive; of a coil it is
// found from its volts.
func (d *drawer) amps(e *edge) float64 {
	if d.second(e) {
		return d.through(e)
	}
	i, ok := d.parts[e.e.ID]
	if !ok {
		return 0
	}
	v := d.volts[e.from] - d.volts[e.to]
	switch e.shape {
	case coil:
		if d.isFault(e) && d.o.Fault.Fault == circuit.CoilOpen || d.pulled(e.e.ID) {
			return 0
		}
		return v / e.e.Ohms
	case sensing, charging:
		return math.NaN()
	case contact, resting:
		if !d.closed(e) {
			return 0
		}
	}
	a := d.sol.Amps[i]
	if !e.upFirst {
		a = -a
	}
	return a
}

// second reports whether the solver tells nothing of an edge's current: it is
// a lead, or the resting contact of a part that has a working one too.
func (d *drawer) second(e *edge) bool {
	if e.jumper {
		return true
	}
	j := d.arr.Joins[e.e.ID]
	return e.shape == resting && (e.e.Kind == circuit.Changeover || j["87"] != "")
}

// through is the current through such an edge: what the parts at one of its
// ends leave over; not a number where that end is a rail or has another one.
func (d *drawer) through(e *edge) float64 {
	if !e.jumper && !d.closed(e) {
		return 0
	}
	for _, n := range []string{e.from, e.to} {
		if n == d.c.Supply || n == d.c.Ground {
			continue
		}
		sum := 0.0 // into the node
		for _, x := range d.edges {
			if x == e || x.from != n && x.to != n {
				continue
			}
			a := 0.0
			switch {
			case x.shape == sensing: // next to nothing
			case !d.second(x):
				a = d.amps(x)
			case x.jumper || d.closed(x):
				a = math.NaN()
			}
			if x.from == n {
				a = -a
			}
			sum += a
		}
		if math.IsNaN(sum) {
			continue
		}
		if e.to == n {
			return -sum
		}
		return sum
	}
	return math.NaN()
}

func (d *drawer) pulled(element string) bool {
	for _, id := range d.o.Setup.Pulled {
		for _, p := range d.c.Pulls {
			if p.ID == id && slices.Contains(p.Elements, element) {
				return true
			}
		}
	}
	return false
}

func (d *drawer) isFault(e *edge) bool {
	if e.jumper || d.o.Fault.Element != e.e.ID {
		return false
	}
	switch d.o.Fault.Fault {
	case circuit.CoilOpen, circuit.CoilShort:
		return e.shape == coil
	case circuit.StuckOpen, circuit.StuckClosed:
		return e.shape != coil && e.shape != sensing
	case circuit.High:
		return e.shape != coil && e.shape != sensing && e.shape != charging
	}
	return e.shape != sensing
}

// closed reports whether a contact is closed, by the volts across it: two
// nodes that are one have none.
func (d *drawer) closed(e *edge) bool {
	if d.pulled(e.e.ID) {
		return false
	}
	if e.shape == contact || e.shape == resting {
		if e.e.Kind == circuit.Relay {
			on := d.sol.IsOn(e.e.ID)
			shut := on == (e.shape == contact)
			if f := d.o.Fault; f.Element == e.e.ID {
				switch f.Fault {
				case circuit.StuckOpen:
					return false
				case circuit.StuckClosed:
					return e.shape == contact || d.arr.Joins[e.e.ID]["87"] == ""
				}
			}
			return shut
		}
	}
	if e.e.Kind == circuit.Driver {
		on := d.sol.IsOn(e.e.ID)
		if f := d.o.Fault; f.Element == e.e.ID && f.Fault == circuit.StuckClosed {
			return true
		} else if f.Element == e.e.ID && f.Fault == circuit.StuckOpen {
			return false
		}
		return on
	}
	a, ok := d.sol.Amp(e.e.ID)
	if ok && math.Abs(a) > 1e-6 && e.shape == plain {
		return true
	}
	ohms := d.across(e)
	return ohms < 1e6
}

// across is what a meter finds across an edge with the part alone.
func (d *drawer) across(e *edge) float64 {
	t := circuit.Terminals(e.e.Kind)
	a, b := t[0], t[1]
	switch {
	case e.e.Kind == circuit.Changeover && e.shape == contact:
		a, b = "c", "worked"
	case e.e.Kind == circuit.Changeover:
		a, b = "c", "rest"
	}
	var faults []circuit.Faulted
	if d.o.Fault.Element != "" {
		faults = append(faults, d.o.Fault)
	}
	x, err := d.c.Read(d.o.Arrangement, circuit.Check{Setup: d.o.Setup, What: circuit.Bench, Element: e.e.ID, A: a, B: b}, faults...)
	if err != nil || math.IsNaN(x) {
		return circuit.OpenOhms
	}
	return x
}

// eye is the current from which it is shown, amperes.
const eye = 0.001

// leastWidth is room for the legend.
const leastWidth = 480.0

func (d *drawer) write() string {
	p := d.p
	width := max(p.x(len(p.columns)-1)+columnWidth, leastWidth)
	titles := wrap(d.o.Title, int((width-28)/9.6))
	p.place(28 + float64(len(titles))*titleHeight + 18)
	height := p.bottom + 96
	lines := d.summary()
	fmt.Fprintf(&d.b, `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 %.0f %.0f" width="%.0f" height="%.0f" role="img" aria-labelledby="t d" font-family="system-ui,sans-serif" font-size="12">`, width, height, width, height)
	fmt.Fprintf(&d.b, "\n<title id=\"t\">%s</title>\n<desc id=\"d\">%s</desc>\n", esc(d.o.Title), esc(strings.Join(lines, " ")))
	d.b.WriteString(style)
	fmt.Fprintf(&d.b, `<rect class="paper" width="%.0f" height="%.0f"/>`+"\n", width, height)
	for k, l := range titles {
		d.text(14, 22+float64(k)*titleHeight, "title", l)
	}
	d.rails(width)
	d.crossings()
	for i, c := range p.columns {
		d.column(i, c)
	}
	d.nodes()
	d.legend(height)
	d.b.WriteString("</svg>\n")
	return d.b.String()
}

const style = `<style>
.paper{fill:#fff}
text{fill:#111}
.title{font-size:14px;font-weight:700}
.wire{fill:none;stroke-linecap:round}
.live{stroke:#b00020;stroke-width:3.4}
.part{stroke:#a05a00;stroke-width:3.4;stroke-dasharray:9 5}
.dead{stroke:#6b6b6b;stroke-width:1.6;stroke-dasharray:3 4}
.earth{stroke:#0b4f9c;stroke-width:1.8}
.sym{fill:#fff;stroke:#111;stroke-width:1.7}
.ink{fill:none;stroke:#111;stroke-width:1.7;stroke-linecap:round}
.on{fill:#ffe9a8}
.fault{fill:#fff3f3;stroke:#b00020;stroke-width:2.2;stroke-dasharray:6 3}
.lead{stroke:#6a1b9a;stroke-width:4}
.name{font-size:12px}
.amps{font-weight:700}
.volts{font-size:11px;font-weight:700}
.pin{font-size:10.5px;fill:#333;text-anchor:end}
.flag{font-weight:700;fill:#b00020}
.dot{fill:#111}
.arrow{fill:#b00020;stroke:none}
.small{font-size:11px;fill:#333}
</style>
`

func esc(s string) string { return html.EscapeString(s) }

func (d *drawer) line(x1, y1, x2, y2 float64, class string) {
	fmt.Fprintf(&d.b, `<path class="wire %s" d="M%.1f %.1fL%.1f %.1f"/>`+"\n", class, x1, y1, x2, y2)
}

func (d *drawer) text(x, y float64, class, s string) {
	if s != "" {
		fmt.Fprintf(&d.b, `<text class="%s" x="%.1f" y="%.1f">%s</text>`+"\n", class, x, y, esc(s))
	}
}

// rails draws supply and ground over the whole width.
func (d *drawer) rails(width float64) {
	bottom, top := d.p.nodes[d.p.ground].y, d.p.nodes[d.p.supply].y
	d.line(20, top, width-20, top, string(d.state(d.c.Supply)))
	d.line(20, bottom, width-20, bottom, "earth")
	d.text(20, top-8, "volts", "+ "+d.terminal(d.c.Supply)+"  "+circuit.Words(circuit.Volts, d.volts[d.c.Supply]))
	d.text(20, bottom+15, "volts", "earth "+d.terminal(d.c.Ground))
	// The earth symbol.
	x := width - 34
	for k, w := range []float64{12, 8, 4} {
		y := bottom + 6 + float64(k)*4
		d.line(x-w, y, x+w, y, "earth")
	}
	d.line(x, bottom, x, bottom+6, "earth")
}

func (d *drawer) terminal(n string) string {
	if t := d.o.Terminals[n]; t != "" {
		return t
	}
	if n == d.c.Supply || n == d.c.Ground {
		return n
	}
	return ""
}

// pinned reports whether a number of the trade stands at a part that ends at a
// node already, or another one of the same contact: 87a at what is 87 where
// the circuit is wired otherwise.
func (d *drawer) pinned(n, number string) bool {
	return slices.ContainsFunc(d.p.edges, func(e *edge) bool {
		return e.from == n && strings.HasPrefix(e.upper, number) || e.to == n && strings.HasPrefix(e.lower, number)
	})
}

// crossings draws the horizontal connections of nodes that stand in several
// columns, with a hop over every wire they only pass.
func (d *drawer) crossings() {
	p := d.p
	at := map[string][]int{}
	for i, c := range p.columns {
		for _, n := range c.passes() {
			if n != p.supply && n != p.ground && !slices.Contains(at[n], i) {
				at[n] = append(at[n], i)
			}
		}
	}
	for _, n := range p.names {
		cols := at[n]
		if len(cols) < 2 {
			continue
		}
		slices.Sort(cols)
		y := p.nodes[n].y
		class := string(d.state(n))
		from, to := cols[0], cols[len(cols)-1]
		path := fmt.Sprintf("M%.1f %.1f", p.x(from), y)
		for i := from + 1; i <= to; i++ {
			x := p.x(i)
			if i < to && !slices.Contains(cols, i) && d.spans(i, y) {
				path += fmt.Sprintf("L%.1f %.1fA6 6 0 0 1 %.1f %.1f", x-6, y, x+6, y)
			} else {
				path += fmt.Sprintf("L%.1f %.1f", x, y)
			}
		}
		fmt.Fprintf(&d.b, `<path class="wire %s" d="%s"/>`+"\n", class, path)
	}
}

// spans reports whether a column has a wire at a height.
func (d *drawer) spans(i int, y float64) bool {
	c := d.p.columns[i]
	return d.p.nodes[c.top].y < y && y < d.p.nodes[c.end].y
}

// column draws the chain of parts at its place.
func (d *drawer) column(i int, c *column) {
	x := d.p.x(i)
	for _, e := range c.edges {
		y1, y2 := d.p.nodes[e.from].y, d.p.nodes[e.to].y
		mid := d.p.middle(e)
		a, b := mid-symbol/2, mid+symbol/2
		upper, lower := string(d.state(e.from)), string(d.state(e.to))
		d.line(x, y1, x, a, upper)
		d.line(x, b, x, y2, lower)
		amps := d.amps(e)
		if math.Abs(amps) >= eye {
			d.arrow(x, b+7, amps > 0)
		}
		d.symbol(e, x, a, b, mid)
		y := mid - float64(len(e.said))*lineHeight/2 + 10
		for k, l := range e.said {
			d.text(x+beside, y+float64(k)*lineHeight, l.class, l.text)
		}
		if e.upper != "" {
			at := x - symbol/2 - 3
			if d.isFault(e) {
				at -= 5 // clear of the frame round the fault
			}
			d.text(at, a+4, "pin", e.upper)
			d.text(at, b+4, "pin", e.lower)
		}
	}
}

func (d *drawer) arrow(x, y float64, down bool) {
	s := 1.0
	if !down {
		s = -1
	}
	fmt.Fprintf(&d.b, `<path class="arrow" d="M%.1f %.1fl-6 %.1fh12z"/>`+"\n", x, y+5*s, -9*s)
}

// caption names a part, its current, what it does and what is wrong with it.
func (d *drawer) caption(e *edge) []caption {
	var out []caption
	add := func(class, s string) {
		each := 7.0 // width of a letter, on the wide side
		if class != "name" {
			each = 8 // bold
		}
		for _, l := range wrap(s, int(besideWidth/each)) {
			out = append(out, caption{class, l})
		}
	}
	var said []string
	if amps := math.Abs(d.amps(e)); amps >= eye {
		said = append(said, circuit.Words(circuit.Amps, amps))
	}
	if e.jumper {
		add("flag", e.label)
	} else {
		name := e.e.Title
		switch e.shape {
		case coil:
			name += ": coil"
		case contact, resting:
			if e.e.Kind == circuit.Relay {
				name += ": contact"
			}
		case sensing:
			name += ": senses"
		case charging:
			name += ": field"
		}
		add("name", name)
		if s := d.does(e); s != "" {
			said = append(said, s)
		}
	}
	if len(said) > 0 {
		add("amps", strings.Join(said, " "))
	}
	if d.isFault(e) {
		add("flag", "✕ "+d.o.FaultTitle)
	}
	return out
}

// does says in a word what a part does.
func (d *drawer) does(e *edge) string {
	if d.pulled(e.e.ID) {
		return "unplugged"
	}
	if slices.Contains(d.o.Setup.Swapped, e.e.ID) {
		return "changed"
	}
	if slices.Contains(d.sol.Blown, e.e.ID) {
		return "blown"
	}
	if slices.Contains(d.sol.Chatters, e.e.ID) {
		return "on and off"
	}
	switch e.shape {
	case coil:
		if d.sol.IsOn(e.e.ID) {
			return "pulled in"
		}
		return "at rest"
	case contact, resting:
		if d.closed(e) {
			return "closed"
		}
		return "open"
	case sensing, charging:
		return ""
	}
	switch e.e.Kind {
	case circuit.Switch, circuit.Driver:
		if d.closed(e) {
			return "closed"
		}
		return "open"
	case circuit.Motor, circuit.Lamp, circuit.Heater:
		v, err := d.c.Read(d.o.Arrangement, circuit.Check{Setup: d.o.Setup, What: circuit.Works, Element: e.e.ID}, d.faults()...)
		if err != nil || math.IsNaN(v) {
			return ""
		}
		return d.c.EffectWords(e.e.ID, circuit.Effect(v))
	}
	return ""
}

func (d *drawer) faults() []circuit.Faulted {
	if d.o.Fault.Element == "" {
		return nil
	}
	return []circuit.Faulted{d.o.Fault}
}

// nodes draws the dots, with volts and terminal numbers.
func (d *drawer) nodes() {
	p := d.p
	ends := map[string]int{}
	for _, e := range p.edges {
		ends[e.from]++
		ends[e.to]++
	}
	for _, n := range p.names {
		if n == p.supply || n == p.ground {
			continue
		}
		x, y := p.x(p.nodes[n].column), p.nodes[n].y
		if ends[n] > 2 {
			for i, c := range p.columns {
				if slices.Contains(c.passes(), n) {
					fmt.Fprintf(&d.b, `<circle class="dot" cx="%.1f" cy="%.1f" r="3.4"/>`+"\n", p.x(i), y)
				}
			}
		} else {
			fmt.Fprintf(&d.b, `<circle class="dot" cx="%.1f" cy="%.1f" r="2"/>`+"\n", x, y)
		}
		said := circuit.Words(circuit.Volts, d.volts[n])
		if t := d.terminal(n); t != "" && !d.pinned(n, t) {
			said = t + ": " + said
		}
		d.text(x+8, y-4, "volts", said)
	}
}

func (d *drawer) legend(height float64) {
	y := height - 40
	x := 20.0
	for _, k := range []struct {
		class, text string
	}{{"live", "live"}, {"part", "some volts"}, {"earth", "on earth"}, {"dead", "dead"}} {
		d.line(x, y, x+26, y, k.class)
		d.text(x+32, y+4, "small", k.text)
		x += 44 + 7.2*float64(len(k.text))
	}
	d.arrow(x+4, y, true)
	d.text(x+14, y+4, "small", "current")
	d.text(20, height-16, "small", "Volts against earth, as a meter shows them; typical values.")
}

// summary says the drawing in sentences, for those who can't see it.
func (d *drawer) summary() []string {
	var out []string
	var flows, holds []string
	for _, e := range d.p.edges {
		if e.jumper {
			out = append(out, upper(e.label)+".")
			continue
		}
		name := e.e.Title
		switch e.shape {
		case coil:
			name = "coil of the " + name
		case contact, resting:
			name = "contact of the " + name
		case sensing, charging:
			continue
		}
		if a := d.amps(e); math.Abs(a) >= eye {
			flows = append(flows, name+" "+circuit.Words(circuit.Amps, math.Abs(a)))
		} else if s := d.does(e); s != "" {
			holds = append(holds, name+" "+s)
		}
		if d.isFault(e) {
			out = append(out, "Fault: "+name+", "+d.o.FaultTitle+".")
		}
	}
	if len(flows) > 0 {
		out = append(out, "Current flows through "+strings.Join(flows, ", ")+".")
	} else {
		out = append(out, "No current flows.")
	}
	if len(holds) > 0 {
		out = append(out, upper(strings.Join(holds, ", "))+".")
	}
	return out
}

func upper(s string) string {
	if s == "" {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}

// wrap breaks a name into lines of about so many letters.
func wrap(s string, most int) []string {
	var out []string
	line := ""
	for _, w := range strings.Fields(s) {
		if line != "" && len([]rune(line))+1+len([]rune(w)) > most {
			out = append(out, line)
			line = ""
		}
		if line != "" {
			line += " "
		}
		line += w
	}
	out = append(out, line)
	return out
}

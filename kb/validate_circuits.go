package kb

import (
	"slices"
	"strconv"
	"strings"
)

// din72552 holds the terminal numbers that a point may carry. Published: DIN
// 72552, and ISO 7588 for plug-in relays (public lists).
var din72552 = strings.Fields("1 4 15 15a 17 19 30 30a 31 31b 32 33 33a 33b 49 49a 50 51 53 53a 54 55 56 56a 56b 58 61 85 86 87 87a B+ B- D+ DF")

// checkCircuit checks a circuit: that its names hold together, that nothing
// floats in any arrangement, and that every fault belongs to a cause.
func (c *checker) checkCircuit(e *entry, a *Circuit) {
	c.head(e, a.Title, a.System, a.Body)
	c.text(e, p("ground"), a.Ground)
	c.text(e, p("supply"), a.Supply)
	c.said(e, p("said"), a.Said)

	controls := map[string]*CircuitControl{}
	for i := range a.Controls {
		x := &a.Controls[i]
		c.checkID(e, p("controls", i, "id"), x.ID)
		c.once(e, p("controls", i, "id"), x.ID, controls[x.ID] != nil)
		controls[x.ID] = x
		c.setting(e, p("controls", i, "default"), x, x.Default)
		for _, v := range sortedKeys(x.Said) {
			c.setting(e, p("controls", i, "said", v), x, v)
			c.said(e, p("controls", i, "said", v), x.Said[v])
		}
	}
	elements := map[string]*CircuitElement{}
	used := map[string]bool{}
	for i := range a.Elements {
		x := &a.Elements[i]
		c.checkID(e, p("elements", i, "id"), x.ID)
		c.once(e, p("elements", i, "id"), x.ID, elements[x.ID] != nil)
		elements[x.ID] = x
		c.checkElement(e, p("elements", i), a, x, controls)
	}
	nodes := map[string]bool{}
	for i := range a.Arrangements {
		c.checkArrangement(e, p("arrangements", i), a, &a.Arrangements[i], elements, nodes, used)
	}
	if len(a.Arrangements) == 0 {
		c.fail(e, p("arrangements"), "", "there is no arrangement")
	}
	for i := range a.Elements {
		if !used[a.Elements[i].ID] && len(a.Arrangements) > 0 {
			c.fail(e, p("elements", i, "id"), "join it or leave it out", "element %q is in no arrangement", a.Elements[i].ID)
		}
	}
	node := func(path []any, id string) {
		if el, terminal, ok := strings.Cut(id, "."); ok && elements[el] != nil && slices.Contains(circuitKinds[elements[el].Type].terminals, terminal) {
			return // named by a part's terminal: its node differs between arrangements
		}
		if !nodes[id] {
			c.fail(e, path, didYouMean(id, sortedKeys(nodes)), "no element ends at node %q", id)
		}
	}
	reach := map[string]bool{}
	for i, x := range a.Points {
		node(p("points", i, "node"), x.Node)
		c.once(e, p("points", i, "node"), x.Node, reach[x.Node])
		reach[x.Node] = x.Reach != "none"
		c.text(e, p("points", i, "title"), x.Title)
		c.oneOf(e, p("points", i, "reach"), x.Reach, "probe", "back", "none")
		if x.Terminal != "" && !slices.Contains(din72552, x.Terminal) {
			c.fail(e, p("points", i, "terminal"), didYouMean(x.Terminal, din72552), "%q is no terminal number of DIN 72552", x.Terminal)
		}
	}
	element := func(path []any, id string) {
		if elements[id] == nil {
			c.fail(e, path, didYouMean(id, sortedKeys(elements)), "there is no element %q", id)
		}
	}
	pulls, pullable := map[string]bool{}, map[string]bool{}
	for i, x := range a.Pulls {
		c.checkID(e, p("pulls", i, "id"), x.ID)
		c.once(e, p("pulls", i, "id"), x.ID, pulls[x.ID])
		pulls[x.ID] = true
		c.text(e, p("pulls", i, "title"), x.Title)
		for k, id := range x.Elements {
			element(p("pulls", i, "elements", k), id)
			pullable[id] = true
		}
	}
	setups := map[string]bool{}
	for i := range a.Setups {
		x, path := &a.Setups[i], p("setups", i)
		c.checkID(e, under(path, "id"), x.ID)
		c.once(e, under(path, "id"), x.ID, setups[x.ID])
		setups[x.ID] = true
		c.text(e, under(path, "title"), x.Title)
		for _, id := range sortedKeys(x.Set) {
			if controls[id] == nil {
				c.fail(e, under(path, "set", id), didYouMean(id, sortedKeys(controls)), "there is no control %q", id)
			} else {
				c.setting(e, under(path, "set", id), controls[id], x.Set[id])
			}
		}
		for k, id := range x.Pulled {
			if !pulls[id] {
				c.fail(e, under(path, "pulled", k), didYouMean(id, sortedKeys(pulls)), "there is nothing to pull named %q", id)
			}
		}
		for k, id := range x.Swapped {
			element(under(path, "swapped", k), id)
			if elements[id] != nil && !pullable[id] {
				c.fail(e, under(path, "swapped", k), "name one that can be pulled", "nobody can swap %q", id)
			}
		}
		probe := func(key string, k int, n string) {
			node(under(path, key, k), n)
			if nodes[n] && !reach[n] && n != a.Ground {
				c.fail(e, under(path, key, k), "list it under points, or measure elsewhere", "nobody can put a probe at %q", n)
			}
		}
		for k, n := range x.Volts {
			probe("volts", k, n)
		}
		for k, n := range x.Fed {
			probe("fed", k, n)
		}
		for k, n := range x.Earthed {
			probe("earthed", k, n)
		}
		for key, pairs := range map[string][][2]string{"across": x.Across, "ohms": x.Ohms, "bridged": x.Bridged} {
			for k, pair := range pairs {
				probe(key, k, pair[0])
				probe(key, k, pair[1])
			}
		}
		for k, b := range x.Bench {
			element(under(path, "bench", k), b[0])
			if el := elements[b[0]]; el != nil {
				for _, t := range b[1:] {
					if terminals := circuitKinds[el.Type].terminals; !slices.Contains(terminals, t) {
						c.fail(e, under(path, "bench", k), didYouMean(t, terminals), "a %s has no terminal %q", el.Type, t)
					}
				}
			}
		}
		for k, id := range x.Amps {
			element(under(path, "amps", k), id)
		}
		for k, id := range x.Watch {
			element(under(path, "watch", k), id)
		}
		c.notNegative(e, under(path, "minutes"), x.Minutes)
		if len(x.Fed)+len(x.Bridged)+len(x.Earthed) > 0 && len(x.Cautions) == 0 {
			c.fail(e, under(path, "id"), "say what to watch for: a fused lead, what may start to turn", "setup %q bridges or feeds without a caution", x.ID)
		}
	}
	c.checkObserved(e, a, setups, nodes, elements)
	c.unfaulted(e, a)
}

// once reports an id given twice.
func (c *checker) once(e *entry, path []any, id string, seen bool) {
	if seen {
		c.fail(e, path, "", "%q is given twice", id)
	}
}

// setting reports one that the control can't have.
func (c *checker) setting(e *entry, path []any, x *CircuitControl, s string) {
	if len(x.Settings) > 0 {
		if !slices.Contains(x.Settings, s) {
			c.fail(e, path, didYouMean(s, x.Settings), "control %q has no setting %q", x.ID, s)
		}
	} else if _, err := strconv.ParseFloat(s, 64); err != nil {
		c.fail(e, path, "give a number", "control %q can't be %q", x.ID, s)
	}
}

func (c *checker) checkElement(e *entry, path []any, a *Circuit, x *CircuitElement, controls map[string]*CircuitControl) {
	kind, ok := circuitKinds[x.Type]
	if !ok {
		c.fail(e, under(path, "kind"), didYouMean(x.Type, sortedKeys(circuitKinds)), "there is no kind of element %q", x.Type)
		return
	}
	c.text(e, under(path, "title"), x.Title)
	c.basis(e, under(path, "basis"), x.Basis)
	if x.Part != "" {
		c.ref(e, under(path, "part"), "parts", x.Part)
	}
	c.share(e, under(path, "tolerance"), x.Tolerance)
	for key, v := range map[string]float64{
		"volts": x.Volts, "ohms": x.Ohms, "stall": x.Stall, "contact": x.Contact, "watts": x.Watts, "cold": x.Cold, "rating": x.Rating,
		"pull_in": x.PullIn, "drop_out": x.DropOut, "area": x.Area, "length": x.Length, "beta": x.Beta, "below": x.Below, "above": x.Above,
	} {
		c.notNegative(e, under(path, key), v)
	}
	need := map[string]float64{}
	switch x.Type {
	case "resistor", "heater", "motor", "sender":
		need["ohms"] = x.Ohms
	case "lamp":
		need["watts"] = x.Watts
	case "fuse":
		need["rating"] = x.Rating
	}
	for key, v := range need {
		if v == 0 {
			c.fail(e, path, "", "a %s needs its %s", x.Type, key)
		}
	}
	control := controls[x.Control]
	switch {
	case x.Control != "" && control == nil:
		c.fail(e, under(path, "control"), didYouMean(x.Control, sortedKeys(controls)), "there is no control %q", x.Control)
	case x.Control == "" && (x.Type == "switch" || x.Type == "changeover"):
		c.fail(e, path, "name its control", "nothing works the %s %q", x.Type, x.ID)
	case control != nil:
		for k, s := range x.Closed {
			if !slices.Contains(control.Settings, s) {
				c.fail(e, under(path, "closed", k), didYouMean(s, control.Settings), "control %q has no setting %q", control.ID, s)
			}
		}
		if (x.Over != nil || x.Under != nil || x.Type == "sender") && len(control.Settings) > 0 {
			c.fail(e, under(path, "control"), "", "control %q is not a number", control.ID)
		}
	}
	arrangements := map[string]bool{}
	for _, r := range a.Arrangements {
		arrangements[r.ID] = true
	}
	for i := range x.Faults {
		f, at := &x.Faults[i], under(path, "faults", i)
		c.oneOf(e, under(at, "fault"), f.Fault, kind.faults...)
		switch {
		case f.Cause != "" && f.Derived != nil:
			c.fail(e, under(at, "derived"), "keep one of them", "the fault has a cause and is derived")
		case f.Cause != "":
			// What is derived of the part can take over the fault without its cause.
			where := at
			if adoptable(c.base.Part(x.Part), f.Fault) {
				where = under(at, "cause")
			}
			c.cut(e, where, func() bool { return c.ref(e, under(at, "cause"), string(KindCause), f.Cause) })
		case f.Derived != nil:
			if c.ref(e, under(at, "derived", "part"), "parts", f.Derived.Part) && c.ref(e, under(at, "derived", "mode"), "modes", f.Derived.Mode) {
				if part := c.base.Part(f.Derived.Part); part != nil && part.Modes[f.Derived.Mode] == 0 {
					c.fail(e, under(at, "derived", "mode"), didYouMean(f.Derived.Mode, sortedKeys(part.Modes)), "part %q is not said to fail as %q", part.ID, f.Derived.Mode)
				}
			}
		case !adoptable(c.base.Part(x.Part), f.Fault):
			c.fail(e, under(at, "fault"), "name a cause, or part and mode under derived", "the fault belongs to no cause")
		}
		if f.At != "" && !slices.Contains(kind.terminals, f.At) {
			c.fail(e, under(at, "at"), didYouMean(f.At, kind.terminals), "a %s has no terminal %q", x.Type, f.At)
		}
		for k, id := range f.Only {
			if !arrangements[id] {
				c.fail(e, under(at, "only", k), didYouMean(id, sortedKeys(arrangements)), "there is no arrangement %q", id)
			}
		}
		c.notNegative(e, under(at, "weight"), f.Weight)
		if f.From < 0 || f.To < f.From || (f.From == 0) != (f.To == 0) {
			c.fail(e, under(at, "from"), "give both ends in ohms", "the magnitude from %g to %g is no range above 0", f.From, f.To)
		}
	}
}

func (c *checker) checkArrangement(e *entry, path []any, a *Circuit, r *CircuitArrangement, elements map[string]*CircuitElement, nodes, used map[string]bool) {
	c.checkID(e, under(path, "id"), r.ID)
	c.text(e, under(path, "title"), r.Title)
	c.text(e, under(path, "tells"), r.Tells)
	c.basis(e, under(path, "basis"), r.Basis)
	if !(r.Share > 0) {
		c.fail(e, under(path, "share"), "", "the share of arrangement %q is not above 0", r.ID)
	}
	c.checkApplies(e, under(path, "applies"), &r.Applies)
	ends, last := map[string]int{}, map[string]string{}
	joined := map[string]string{} // towards another node of the same net
	var root func(n string) string
	root = func(n string) string {
		if to, ok := joined[n]; ok {
			return root(to)
		}
		return n
	}
	sound := true
	for _, id := range sortedKeys(r.Joins) {
		at := under(path, "joins", id)
		x := elements[id]
		if x == nil {
			c.fail(e, at, didYouMean(id, sortedKeys(elements)), "there is no element %q", id)
			sound = false
			continue
		}
		used[id] = true
		t, err := r.Terminals(x)
		if err != nil {
			c.fail(e, at, "", "%s: %v", id, err)
			sound = false
			continue
		}
		first := map[bool]string{}
		for _, name := range circuitKinds[x.Type].terminals {
			n := t[name]
			if n == "" {
				continue
			}
			nodes[n] = true
			ends[n]++
			last[n] = id
			// Coil and contacts of a relay are nets of their own.
			coil := x.Type == "relay" && (name == "85" || name == "86")
			if f := first[coil]; f != "" && root(f) != root(n) {
				joined[root(n)] = root(f)
			}
			first[coil] = n
		}
	}
	if !sound {
		return
	}
	var loose []string
	for _, n := range sortedKeys(ends) {
		if ends[n] == 1 {
			c.fail(e, under(path, "joins", last[n]), "join something else to it", "%q floats: only %s ends at node %q", r.ID, last[n], n)
		}
		if root(n) != root(a.Ground) {
			loose = append(loose, n)
		}
	}
	if len(loose) > 0 {
		c.fail(e, under(path, "joins"), "", "nothing joins to ground: %s", strings.Join(loose, ", "))
	}
	for _, n := range []string{a.Ground, a.Supply} {
		if ends[n] == 0 {
			c.fail(e, under(path, "joins"), "", "nothing ends at %q", n)
		}
	}
}

// unfaulted warns of electrical causes of the circuit's own parts that no
// fault belongs to: the solver would not know them.
func (c *checker) unfaulted(e *entry, a *Circuit) {
	parts, has := map[string]int{}, map[string]bool{}
	for i := range a.Elements {
		x := &a.Elements[i]
		if x.Part != "" {
			if _, ok := parts[x.Part]; !ok {
				parts[x.Part] = i
			}
		}
		for k := range x.Faults {
			has[x.Faults[k].CauseID()] = true
		}
	}
	for _, cause := range c.base.Causes {
		i, ok := parts[cause.Part]
		mode := c.base.Mode(cause.Mode)
		if !ok || has[cause.ID] || cause.System != a.System || cause.Derived || mode == nil || !mode.Electrical {
			continue
		}
		c.warn(e, p("elements", i, "id"), "add it to the faults", "no fault belongs to cause %q of part %q", cause.ID, cause.Part)
	}
}

// checkCircuitFault checks what a cause says of its fault in a circuit: the
// circuit must say the same.
func (c *checker) checkCircuitFault(e *entry, cause string, f *CircuitFault) {
	if !c.ref(e, p("circuit", "circuit"), string(KindCircuit), f.Circuit) {
		return
	}
	a := c.base.circuits[f.Circuit]
	if a == nil {
		return
	}
	var ids []string
	for i := range a.Elements {
		x := &a.Elements[i]
		ids = append(ids, x.ID)
		if x.ID != f.Element {
			continue
		}
		for k := range x.Faults {
			if x.Faults[k].Fault == f.Fault && x.Faults[k].CauseID() == cause {
				return
			}
		}
		c.fail(e, p("circuit", "fault"), "", "circuit %q does not give element %q the fault %q of cause %q", a.ID, x.ID, f.Fault, cause)
		return
	}
	c.fail(e, p("circuit", "element"), didYouMean(f.Element, ids), "circuit %q has no element %q", a.ID, f.Element)
}

package kb

import (
	"slices"
	"strings"
)

// Row is the distribution of a finding's outcomes under one cause.
type Row struct {
	Cause *Cause
	P     []float64
	// InPart means that the cause sits in the part that was renewed.
	InPart bool
}

// DerivedFinding is a finding that nobody authors, with what each cause makes
// of it. Causes without a row show the baseline.
type DerivedFinding struct {
	Finding
	// Near marks sights that are near proof; they may weigh more than other
	// derived findings.
	Near bool
	// Replaced marks the outcome of renewing a part; Split is then the
	// distribution for two causes of which one sits in that part.
	Replaced bool
	Split    []float64
	Rows     []Row
}

// Relations are the outcomes of a condition, in the order of their table.
var Relations = []string{"only", "worse", "same", "better", "never"}

// Effects are the outcomes of renewing a part.
var Effects = []string{"same", "better", "cured", "worse"}

// workModes are the ways in which a hand that was there can have left a part.
// Basis: memory.
var workModes = []string{"loose", "missing", "misfitted", "wrong-part", "crossed", "badly-tightened", "unplugged", "detached", "trapped-object", "out-of-adjustment", "air-in-it", "overfilled", "damaged", "value-lost"}

// How often work on a part came just before, when the cause is a mode of work
// at that part, at its neighbour, or any other mode of that part (a new part
// that is bad). Basis: memory.
const (
	workOnPart      = 0.35
	workOnNeighbour = 0.15
	workOtherMode   = 0.06
	// The same for what a hand leaves without anything being left off: a joint
	// that leaks, a belt that slips.
	resultOnPart      = 0.15
	resultOnNeighbour = 0.08
	workOnFluid       = 0.2
)

// workResults are such modes. Basis: memory.
var workResults = []string{"slipping", "leaking", "low", "noisy", "sucking-air", "perished", "cracked", "contaminated"}

// fluidModes are what work on one part leaves in a fluid that it shares with
// others, wherever that shows. Basis: memory.
var fluidModes = []string{"air-in-it", "overfilled", "wrong-part", "sucking-air"}

// Derive returns the derived finding with the id (see FindingKind), or nil
// when the id names none.
func (b *Base) Derive(id string) *DerivedFinding {
	f := strings.Split(id, ":")
	switch {
	case len(f) == 3 && f[0] == "part" && b.Part(f[1]) != nil:
		return b.derivePart(id, b.Part(f[1]), f[2])
	case len(f) == 2 && f[0] == "go" && b.ComeGo(f[1]) != nil:
		return b.deriveGo(id, b.ComeGo(f[1]))
	case len(f) == 4 && f[0] == "cond":
		return b.deriveCondition(id, f[1], f[2], f[3])
	case len(f) >= 2 && len(f) <= 3 && f[0] == "event":
		part := ""
		if len(f) == 3 {
			part = f[2]
		}
		return b.deriveEvent(id, f[1], part)
	}
	return nil
}

// spread gives the named outcome the probability p and the others the rest in
// proportion to the baseline.
func spread(base []float64, at int, p float64) []float64 {
	out := make([]float64, len(base))
	rest := 1 - base[at]
	for i, v := range base {
		if i != at && rest > 0 {
			out[i] = v * (1 - p) / rest
		}
	}
	out[at] = p
	return out
}

func titled(pairs ...string) []Outcome {
	out := make([]Outcome, 0, len(pairs)/2)
	for i := 0; i+1 < len(pairs); i += 2 {
		out = append(out, Outcome{ID: pairs[i], Title: pairs[i+1]})
	}
	return out
}

func (b *Base) derivePart(id string, p *Part, what string) *DerivedFinding {
	d := &DerivedFinding{Finding: Finding{ID: id, Kind: FindingPart, System: p.System, Article: p.ID}}
	switch what {
	case "replaced":
		return b.Renewed(id, p, "")
	case "swapped":
		return b.deriveSwap(id, p)
	case AgainSuffix:
		return b.deriveAgain(id, p)
	case "tested", "good":
		return b.Tested(id, p, "unsaid")
	}
	for i := range b.Lists.Derived.Looks {
		if l := &b.Lists.Derived.Looks[i]; l.ID == what {
			base := l.Base
			if v, ok := p.Looks[l.ID]; ok {
				base = v
			}
			d.Title = p.Name + " " + l.Title
			d.Ask = "Is the " + p.Name + " " + l.Title + "?"
			d.Near = l.Near
			d.Outcomes = titled("yes", "yes", "no", "no")
			d.Base = []float64{base, 1 - base}
			for _, c := range b.Causes {
				if c.Part != p.ID {
					continue
				}
				v, ok := l.Modes[c.Mode]
				if !ok {
					continue
				}
				if !l.Sound {
					v = max(v, base) // a fault hides no look that healthy ones have
				}
				d.Rows = append(d.Rows, Row{Cause: c, P: []float64{v, 1 - v}})
			}
			return d
		}
	}
	if a := b.ComeGo(what); a != nil {
		return b.deriveComeGo(id, p, a)
	}
	return nil
}

// Tested returns the finding "this part was tested by these means": good or
// bad. A means that is not in the table counts as "unsaid". Several means of
// one part that all called it good count as the sharpest of them: where they
// share a blind spot they are one test.
func (b *Base) Tested(id string, p *Part, means ...string) *DerivedFinding {
	good := b.Lists.Derived.GoodElsewhere
	d := &DerivedFinding{Finding: Finding{
		ID: id, Kind: FindingPart, System: p.System, Article: p.ID,
		Title: p.Name + " tested", Ask: "Does the " + p.Name + " test good?",
		Outcomes: titled("good", "good", "bad", "bad"),
		Base:     []float64{good, 1 - good},
	}}
	for _, c := range b.Causes {
		if c.Part != p.ID {
			continue
		}
		bad := 1 - good
		for _, m := range means {
			bad = max(bad, b.sensitivityTo(m, c))
		}
		d.Rows = append(d.Rows, Row{Cause: c, P: []float64{1 - bad, bad}})
	}
	return d
}

// sensitivityTo is Sensitivity to a cause: a test of the part tells less of
// its plug and lead.
func (b *Base) sensitivityTo(means string, c *Cause) float64 {
	s := b.Sensitivity(means, c.Part, c.Mode)
	if b.PlaceOf(c) != "part" {
		s /= 2
	}
	return s
}

func (b *Base) deriveCondition(id, symptom, axis, value string) *DerivedFinding {
	a, v := b.axisValue(axis, value)
	if v == nil {
		return nil
	}
	base := make([]float64, len(Relations))
	for i, r := range Relations {
		base[i] = b.Lists.Derived.ConditionBase[r]
	}
	base = normalised(base)
	d := &DerivedFinding{Finding: Finding{
		ID: id, Kind: FindingCondition, Article: symptom, Axis: axis,
		Title: v.Title, Ask: strings.ReplaceAll(a.Ask, "%s", symptom),
		Outcomes: titled("only", "only "+v.Title, "worse", "worse "+v.Title, "same", "no different "+v.Title, "better", "better "+v.Title, "never", "never "+v.Title),
		Base:     base,
	}}
	rules := b.conditionRules(axis, value)
	for _, c := range b.Causes {
		rel, how, _ := c.conditionOf(symptom, axis, v, rules)
		if i := slices.Index(Relations, rel); i >= 0 {
			p := spread(base, i, how)
			// "Only" and "worse" are one thing said more or less sharply.
			if rel == "only" || rel == "worse" {
				other := 1 - i
				p[other] = max(p[other], how/2)
				p = normalised(p)
			}
			d.Rows = append(d.Rows, Row{Cause: c, P: p})
		}
	}
	return d
}

// conditionRules are the rows of the table that speak of one value of an axis.
func (b *Base) conditionRules(axis, value string) (rules []*ConditionRule) {
	for i := range b.Lists.Derived.Conditions {
		if r := &b.Lists.Derived.Conditions[i]; r.Axis == axis && r.Value == value {
			rules = append(rules, r)
		}
	}
	return rules
}

// conditionOf returns the relation that a cause shows on one value of an
// axis, from its own statement, from its statement on the opposite value, or
// from the table's rules for the value; then also the place of the rule among
// them, else -1.
func (c *Cause) conditionOf(symptom, axis string, v *AxisValue, rules []*ConditionRule) (string, float64, int) {
	for i := range c.When {
		w := &c.When[i]
		if w.Axis != axis || w.Symptom != "" && symptom != "*" && w.Symptom != symptom {
			continue
		}
		how, _ := w.How.Value()
		if w.Value == v.ID {
			return w.Relation, how, -1
		}
		if v.Opposite != "" && w.Value == v.Opposite {
			if i := slices.Index(Relations, w.Relation); i >= 0 {
				return Relations[len(Relations)-1-i], how, -1
			}
		}
	}
	best := ""
	how := 0.0
	special, at := -1, -1
	for i, r := range rules {
		if len(r.Modes) > 0 && !slices.Contains(r.Modes, c.Mode) ||
			len(r.Systems) > 0 && !slices.Contains(r.Systems, c.System) ||
			len(r.Parts) > 0 && !slices.Contains(r.Parts, c.Part) {
			continue
		}
		s := 0
		if len(r.Parts) > 0 {
			s += 4
		}
		if len(r.Systems) > 0 {
			s += 2
		}
		if len(r.Modes) > 0 {
			s++
		}
		if s > special {
			special, best, how, at = s, r.Relation, r.How, i
		}
	}
	return best, how, at
}

// AxisValue returns an axis of conditions with one of its values, or nil.
func (b *Base) AxisValue(axis, value string) (*Axis, *AxisValue) { return b.axisValue(axis, value) }

func (b *Base) axisValue(axis, value string) (*Axis, *AxisValue) {
	for i := range b.Lists.Axes {
		a := &b.Lists.Axes[i]
		if a.ID != axis {
			continue
		}
		for j := range a.Values {
			if a.Values[j].ID == value {
				return a, &a.Values[j]
			}
		}
	}
	return nil, nil
}

func (b *Base) deriveEvent(id, event, part string) *DerivedFinding {
	e := b.event(event)
	if e == nil || part != "" && b.Part(part) == nil {
		return nil
	}
	d := &DerivedFinding{Finding: Finding{
		ID: id, Kind: FindingEvent, Article: event, Title: e.Title,
		Ask:      "Was there this before it began: " + e.Title + "?",
		Outcomes: titled("before", "just before it began", "no", "no"),
		Base:     []float64{e.Base, 1 - e.Base},
	}}
	if part != "" {
		d.Title += " " + b.Part(part).Name
		d.System = b.Part(part).System
	}
	for _, c := range b.Causes {
		if p, _ := b.cameBefore(e, c, part); p > e.Base {
			d.Rows = append(d.Rows, Row{Cause: c, P: []float64{p, 1 - p}})
		}
	}
	return d
}

func (b *Base) event(id string) *Event {
	for i := range b.Lists.Events {
		if b.Lists.Events[i].ID == id {
			return &b.Lists.Events[i]
		}
	}
	return nil
}

// cameBefore says how often the event, on the part if one is named, came just
// before when it is the cause, and the row of the table that says so; no row
// where the cause's article does.
func (b *Base) cameBefore(e *Event, c *Cause, part string) (p float64, row string) {
	if l, ok := c.Events[e.ID]; ok {
		p, _ = l.Value()
	}
	if part != "" && e.OnPart {
		if hand := b.handAt(c, part); handWasThere[hand] > p {
			p, row = handWasThere[hand], hand
		}
	}
	for _, r := range e.Raises {
		if len(r.Parts) > 0 && !slices.Contains(r.Parts, c.Part) ||
			len(r.Systems) > 0 && !slices.Contains(r.Systems, c.System) ||
			len(r.Modes) > 0 && !slices.Contains(r.Modes, c.Mode) ||
			e.OnPart && len(r.Parts) == 0 && part != "" && c.Part != part {
			continue
		}
		if r.Before > p {
			p, row = r.Before, e.Title
		}
	}
	return p, row
}

// handWasThere is how often work on a part came just before, by where the cause
// sits and what it is: the rows of a table.
var handWasThere = map[string]float64{
	handOnPart:       workOnPart,
	handResult:       resultOnPart,
	handOther:        workOtherMode,
	handBeside:       workOnNeighbour,
	handBesideResult: resultOnNeighbour,
	handFluid:        workOnFluid,
}

const (
	handOnPart       = "work on the part itself, left so by a hand"
	handResult       = "work on the part itself, what work brings about"
	handOther        = "work on the part itself, any other fault of it"
	handBeside       = "work on its neighbour, left so by a hand"
	handBesideResult = "work on its neighbour, what work brings about"
	handFluid        = "work on what holds the same fluid, air or the wrong kind or level of it"
)

// handAt is the row of handWasThere for a cause after work on the part, or "".
func (b *Base) handAt(c *Cause, part string) string {
	work, result := slices.Contains(workModes, c.Mode), slices.Contains(workResults, c.Mode)
	beside := slices.Contains(b.Part(part).Neighbours, c.Part) || b.Part(c.Part) != nil && slices.Contains(b.Part(c.Part).Neighbours, part)
	switch {
	case c.Part == part && work:
		return handOnPart
	case c.Part == part && result:
		return handResult
	case c.Part == part:
		return handOther
	case b.sameFluid(c.Part, part) && slices.Contains(fluidModes, c.Mode):
		return handFluid
	case beside && work:
		return handBeside
	case beside && result:
		return handBesideResult
	}
	return ""
}

// sameFluid reports whether the parts hold the same fluid.
func (b *Base) sameFluid(x, y string) bool {
	p, q := b.Part(x), b.Part(y)
	return p != nil && q != nil && p.Shares["fluid"] != "" && p.Shares["fluid"] == q.Shares["fluid"]
}

// PlaceOf says where a cause sits: part, connector or lead.
func (b *Base) PlaceOf(c *Cause) string {
	if c.Place != "" {
		return c.Place
	}
	if m := b.Mode(c.Mode); m != nil && m.Place != "" {
		return m.Place
	}
	return "part"
}

func normalised(p []float64) []float64 {
	sum := 0.0
	for _, v := range p {
		sum += v
	}
	out := make([]float64, len(p))
	for i, v := range p {
		if sum > 0 {
			out[i] = v / sum
		} else {
			out[i] = 1 / float64(len(p))
		}
	}
	return out
}

package kb

import (
	"math"
	"strings"
)

// shares of a whole that a list states may miss one by this much.
const shareTolerance = 0.02

func (c *checker) checkLists() {
	for _, kind := range sortedKeys(listTypes) {
		for _, e := range c.set.inOrder(kind) {
			if kind != "synonyms" && kind != "vocabulary" && kind != "ways" && kind != "tellings" && kind != "histories" && kind != "usage" {
				c.checkID(e, p("id"), e.id)
			}
			switch v := e.value.(type) {
			case *System:
				c.text(e, p("title"), v.Title)
				c.said(e, p("said"), v.Said)
			case *Part:
				c.checkPart(e, v)
			case *Mode:
				c.text(e, p("title"), v.Title)
				c.said(e, p("said"), v.Said)
				c.oneOf(e, p("place"), v.Place, places...)
			case *Axis:
				c.checkAxis(e, v)
			case *Event:
				c.checkEvent(e, v)
			case *Attribute:
				c.checkAttribute(e, v)
			case *Tool:
				c.text(e, p("title"), v.Title)
				c.said(e, p("said"), v.Said)
			case *Access:
				c.text(e, p("title"), v.Title)
				c.notNegative(e, p("minutes"), v.Minutes)
				if v.Inside != "" {
					c.ref(e, p("inside"), "access", v.Inside)
				}
				c.refs(e, p("hazards"), "hazards", v.Hazards)
			case *State:
				c.text(e, p("title"), v.Title)
				c.text(e, p("do"), v.Do)
				c.notNegative(e, p("minutes"), v.Minutes)
				c.said(e, p("said"), v.Said)
			case *Hazard:
				c.text(e, p("title"), v.Title)
				c.text(e, p("caution"), v.Caution)
			case *Sign:
				c.checkSign(e, v)
			case *Effect:
				c.checkEffect(e, v)
			case *Ways:
				c.checkWays(e, v)
			case *History:
				c.checkHistory(e, v)
			case *Telling:
				c.checkTelling(e, v)
			case *PartKind, *BlindSpot:
				c.checkFollows(e, v)
			case *Indication:
				c.checkIndication(e, v)
			case *Word:
				c.checkWord(e, v)
			case *Usage:
				c.checkUsage(e, v)
			case *Synonym:
				if len(v.Forms) == 0 {
					c.fail(e, p("forms"), "", "term %q has no other forms", v.Term)
				}
				c.said(e, p("forms"), v.Forms)
				c.basis(e, p("basis"), v.Basis)
			}
		}
	}
}

func (c *checker) checkPart(e *entry, v *Part) {
	c.text(e, p("name"), v.Name)
	c.ref(e, p("system"), "systems", v.System)
	c.said(e, p("names"), v.Names)
	if v.Items != "" {
		c.oneOf(e, p("items"), v.Items, "corner", "side", "cylinder", "lamp", "several")
	}
	c.refs(e, p("neighbours"), "parts", v.Neighbours)
	c.refs(e, p("fed_by"), "parts", v.FedBy)
	c.refs(e, p("earthed_at"), "parts", v.EarthedAt)
	c.refs(e, p("signals_to"), "parts", v.SignalsTo)
	sum := 0.0
	for _, id := range sortedKeys(v.Modes) {
		c.ref(e, p("modes", id), "modes", id)
		c.share(e, p("modes", id), v.Modes[id])
		sum += v.Modes[id]
	}
	if len(v.Modes) > 0 && math.Abs(sum-1) > shareTolerance {
		c.fail(e, p("modes"), "", "the shares of the failure modes sum to %.3g, not 1", sum)
	}
	c.checkApplies(e, p("applies"), &v.Applies)
	for _, id := range sortedKeys(v.Called) {
		c.text(e, p("called", id), v.Called[id])
		if v.Modes[id] == 0 {
			c.fail(e, p("called", id), didYouMean(id, sortedKeys(v.Modes)), "part %q is not said to fail as %q", v.ID, id)
		}
	}
	looks := c.lookIDs()
	for _, id := range sortedKeys(v.Looks) {
		if !contains(looks, id) {
			c.fail(e, p("looks", id), didYouMean(id, looks), "there is no look %q in lists/derived.yaml", id)
		}
		c.share(e, p("looks", id), v.Looks[id])
	}
	c.refs(e, p("access"), "access", v.Access)
	if v.Severity != "" {
		c.oneOf(e, p("severity"), v.Severity, severities...)
	}
	c.notNegative(e, p("per_thousand"), v.PerThousand)
	c.basis(e, p("basis"), v.Basis)
}

func (c *checker) lookIDs() []string {
	var out []string
	for _, l := range c.base.Derived.Looks {
		out = append(out, l.ID)
	}
	return out
}

func (c *checker) checkAxis(e *entry, v *Axis) {
	c.text(e, p("title"), v.Title)
	c.text(e, p("ask"), v.Ask)
	if strings.Count(v.Ask, "%") > strings.Count(v.Ask, "%s") || strings.Count(v.Ask, "%s") > 1 {
		c.fail(e, p("ask"), "", "the question may hold %%s once, for the symptom, and no other %%")
	}
	if len(v.Values) == 0 {
		c.fail(e, p("values"), "", "the axis has no values")
	}
	seen := map[string]bool{}
	for _, x := range v.Values {
		seen[x.ID] = true
	}
	twice := map[string]bool{}
	for i, x := range v.Values {
		c.checkID(e, p("values", i, "id"), x.ID)
		if twice[x.ID] {
			c.fail(e, p("values", i, "id"), "", "value %q is given twice", x.ID)
		}
		twice[x.ID] = true
		c.text(e, p("values", i, "title"), x.Title)
		c.said(e, p("values", i, "said"), x.Said)
		if x.Opposite != "" && (!seen[x.Opposite] || x.Opposite == x.ID) {
			c.fail(e, p("values", i, "opposite"), didYouMean(x.Opposite, sortedKeys(seen)), "the axis has no other value %q", x.Opposite)
		}
	}
	if tr := v.Trial; tr != nil {
		c.text(e, p("trial", "do"), tr.Do)
		c.text(e, p("trial", "caution"), tr.Caution)
		c.notNegative(e, p("trial", "minutes"), tr.Minutes)
	}
}

func (c *checker) checkEvent(e *entry, v *Event) {
	c.text(e, p("title"), v.Title)
	c.said(e, p("said"), v.Said)
	c.share(e, p("base"), v.Base)
	if v.Base == 0 {
		c.fail(e, p("base"), "", "the event needs a base above 0")
	}
	for i, r := range v.Raises {
		c.refs(e, p("raises", i, "parts"), "parts", r.Parts)
		c.refs(e, p("raises", i, "systems"), "systems", r.Systems)
		c.refs(e, p("raises", i, "modes"), "modes", r.Modes)
		c.share(e, p("raises", i, "before"), r.Before)
		if r.Before < v.Base {
			c.warn(e, p("raises", i, "before"), "", "%g is no more than the event's base %g: it raises nothing", r.Before, v.Base)
		}
	}
	c.basis(e, p("basis"), v.Basis)
}

func (c *checker) checkAttribute(e *entry, v *Attribute) {
	c.text(e, p("title"), v.Title)
	c.text(e, p("ask"), v.Ask)
	c.basis(e, p("basis"), v.Basis)
	sum := 0.0
	seen := map[string]bool{}
	for i, x := range v.Values {
		c.checkID(e, p("values", i, "id"), x.ID)
		if seen[x.ID] {
			c.fail(e, p("values", i, "id"), "", "value %q is given twice", x.ID)
		}
		seen[x.ID] = true
		c.text(e, p("values", i, "title"), x.Title)
		c.said(e, p("values", i, "said"), x.Said)
		c.share(e, p("values", i, "share"), x.Share)
		sum += x.Share
		for k, y := range x.ByYear {
			if !(y[1] >= 0 && y[1] <= 1) {
				c.fail(e, p("values", i, "by_year"), "", "the share %v in %v is not between 0 and 1", y[1], y[0])
			}
			if k > 0 && y[0] <= x.ByYear[k-1][0] {
				c.fail(e, p("values", i, "by_year"), "", "the year %v does not come after %v", y[0], x.ByYear[k-1][0])
			}
		}
		// An implication is a vehicle fact as "applies" states one.
		for _, id := range sortedKeys(x.Implies) {
			c.checkApplies(e, p("values", i), &Applies{Vehicle: map[string][]string{id: {x.Implies[id]}}})
		}
	}
	if math.Abs(sum-1) > shareTolerance {
		c.fail(e, p("values"), "", "the shares of the values sum to %.3g, not 1", sum)
	}
	for _, x := range v.Values {
		for _, y := range x.ByYear {
			sum := 0.0
			for i := range v.Values {
				sum += v.Values[i].ShareIn(int(y[0]))
			}
			if math.Abs(sum-1) > shareTolerance {
				c.fail(e, p("values"), "", "the shares of the values in %v sum to %.3g, not 1", y[0], sum)
			}
		}
	}
}

// checkDerived checks the table of lists/derived.yaml.
func (c *checker) checkDerived() {
	e, d := c.set.derivedE, &c.set.derived
	if e == nil {
		return
	}
	c.basis(e, p("basis"), d.Basis)
	for _, m := range []struct {
		key   string
		table map[string]float64
	}{{"sources", d.Sources}, {"hedges", d.Hedges}} {
		for _, id := range sortedKeys(m.table) {
			c.share(e, p(m.key, id), m.table[id])
		}
	}
	for _, place := range sortedKeys(d.Replaced) {
		c.whole(e, p("replaced", place), d.Replaced[place])
	}
	c.checkSwaps(e, d)
	c.whole(e, p("together", "point"), d.Together.Point)
	c.whole(e, p("condition_base"), d.ConditionBase)
	for _, means := range sortedKeys(d.Means) {
		c.modeShares(e, p("means", means), d.Means[means])
	}
	for _, means := range sortedKeys(d.MeansSaid) {
		if _, ok := d.Means[means]; !ok {
			c.fail(e, p("means_said", means), didYouMean(means, sortedKeys(d.Means)), "there is no way of testing %q", means)
		}
	}
	c.share(e, p("good_elsewhere"), d.GoodElsewhere)
	for key, v := range map[string]float64{"base": d.Again.Base, "killer": d.Again.Killer, "serves": d.Again.Serves, "plug": d.Again.Plug, "in_part": d.Again.InPart} {
		c.share(e, p("again", key), v)
	}
	if d.Again != (Again{}) {
		c.basis(e, p("again", "basis"), d.Again.Basis)
	}
	seen := map[string]bool{}
	for i, l := range d.Looks {
		at := p("looks", i)
		c.checkID(e, under(at, "id"), l.ID)
		if seen["look "+l.ID] {
			c.fail(e, under(at, "id"), "", "look %q is given twice", l.ID)
		}
		seen["look "+l.ID] = true
		c.share(e, under(at, "base"), l.Base)
		c.modeShares(e, under(at, "modes"), l.Modes)
		c.said(e, under(at, "said"), l.Said)
	}
	for i, g := range d.ComeGo {
		at := p("come_go", i)
		c.checkID(e, under(at, "id"), g.ID)
		if seen["action "+g.ID] {
			c.fail(e, under(at, "id"), "", "action %q is given twice", g.ID)
		}
		seen["action "+g.ID] = true
		if seen["look "+g.ID] {
			c.fail(e, under(at, "id"), "", "%q is a look already", g.ID)
		}
		c.share(e, under(at, "base"), g.Base)
		c.modeShares(e, under(at, "modes"), g.Modes)
		c.said(e, under(at, "said"), g.Said)
		c.checkComeGo(e, at, g)
	}
	for i, r := range d.Conditions {
		at := p("conditions", i)
		c.axisValue(e, under(at, "axis"), under(at, "value"), r.Axis, r.Value)
		c.refs(e, under(at, "modes"), "modes", r.Modes)
		c.refs(e, under(at, "systems"), "systems", r.Systems)
		c.refs(e, under(at, "parts"), "parts", r.Parts)
		c.oneOf(e, under(at, "relation"), r.Relation, relations...)
		c.share(e, under(at, "how"), r.How)
	}
	c.checkPathTable(e, &d.Paths)
	c.notNegative(e, p("limit_derived"), d.LimitDerived)
	c.notNegative(e, p("limit_mentioned"), d.LimitMentioned)
}

// whole reports shares that are out of range or don't sum to one.
func (c *checker) whole(e *entry, path []any, m map[string]float64) {
	sum := 0.0
	for _, id := range sortedKeys(m) {
		c.share(e, under(path, id), m[id])
		sum += m[id]
	}
	if len(m) > 0 && math.Abs(sum-1) > SumTolerance {
		c.fail(e, path, "", "the shares sum to %.3g, not 1", sum)
	}
}

// modeShares checks a table by failure mode; the key "" stands for any other.
func (c *checker) modeShares(e *entry, path []any, m map[string]float64) {
	for _, id := range sortedKeys(m) {
		if id != "" {
			c.ref(e, under(path, id), "modes", id)
		}
		c.share(e, under(path, id), m[id])
	}
}

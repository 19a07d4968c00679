package kb

import (
	"slices"
	"strings"
)

// Again is what it tells that a part failed once more after it was renewed:
// how often that is told of a car whose fault is a cause that kills the part,
// one in what feeds, earths or drives it or drips on it, one at its plug, one
// in the part itself, or any other (base).
type Again struct {
	Basis  Basis   `yaml:"basis" json:"basis"`
	Base   float64 `yaml:"base" json:"base"`
	Killer float64 `yaml:"killer" json:"killer"`
	Serves float64 `yaml:"serves" json:"serves"`
	Plug   float64 `yaml:"plug" json:"plug"`
	InPart float64 `yaml:"in_part" json:"in_part"`
}

// AgainSuffix ends the id of the finding "this part failed again after it was
// renewed".
const AgainSuffix = "again"

// Killers are the causes that kill what a cause has ruined, by either article,
// in id order.
func (b *Base) Killers(c *Cause) []*Cause {
	var out []*Cause
	for _, k := range b.Causes {
		if slices.Contains(c.KilledBy, k.ID) || k.LeadsTo[c.ID] > 0 {
			out = append(out, k)
		}
	}
	return out
}

// Harms are the causes that a cause brings with it, by either article, in id
// order.
func (b *Base) Harms(c *Cause) []*Cause {
	var out []*Cause
	for _, h := range b.Causes {
		if c.LeadsTo[h.ID] > 0 || slices.Contains(h.KilledBy, c.ID) {
			out = append(out, h)
		}
	}
	return out
}

// deriveAgain is the finding "the part failed again after it was renewed":
// suspicion moves to what kills, feeds, earths or drives it, and to the same
// fault in the new one.
func (b *Base) deriveAgain(id string, p *Part) *DerivedFinding {
	a := &b.Lists.Derived.Again
	if a.Base <= 0 {
		return nil // nobody says what it tells
	}
	d := &DerivedFinding{Finding: Finding{
		ID: id, Kind: FindingPart, System: p.System, Article: p.ID,
		Title: p.Name + " failed again after it was renewed", Ask: "Has the " + p.Name + " failed before, not long after it was renewed?",
		Outcomes: titled("yes", "yes", "no", "no"), Base: []float64{a.Base, 1 - a.Base},
	}}
	killers := map[string]bool{}
	for _, c := range b.Causes {
		if c.Part == p.ID {
			for _, k := range b.Killers(c) {
				killers[k.ID] = true
			}
		}
	}
	for _, c := range b.Causes {
		v := 0.0
		switch {
		case c.Part == p.ID && b.PlaceOf(c) != "part":
			v = a.Plug
		case c.Part == p.ID:
			v = a.InPart
		case killers[c.ID]:
			v = a.Killer
		case b.servesPart(c, p):
			v = a.Serves
		}
		if v > 0 {
			d.Rows = append(d.Rows, Row{Cause: c, P: []float64{v, 1 - v}})
		}
	}
	return d
}

// servesPart reports whether the cause sits in what feeds, earths or drives
// the part, or leaks beside it.
func (b *Base) servesPart(c *Cause, p *Part) bool {
	return slices.Contains(p.FedBy, c.Part) || slices.Contains(p.EarthedAt, c.Part) || p.Shares["belt"] == c.Part ||
		c.Mode == "leaking" && slices.Contains(p.Neighbours, c.Part)
}

// CardAgain is the page of what kills what.
const CardAgain = "table-again"

// againTable lists what kills what, with the basis of the figures.
func (b *Base) againTable() string {
	var t table
	t.WriteString("A part that fails again soon after it was renewed is killed by something, as a rule, or the new one has the same fault. Find what kills it before the next one is fitted.\n\n")
	t.head("what failed", "what may have killed it")
	for _, c := range b.Causes {
		ks := b.Killers(c)
		if c.Derived || len(ks) == 0 {
			continue
		}
		var names []string
		for _, k := range ks {
			names = append(names, "["+k.Title+"](article:"+k.ID+")")
		}
		t.row("["+c.Title+"](article:"+c.ID+")", strings.Join(names, "; "))
	}
	a := &b.Lists.Derived.Again
	t.WriteString("\nHow often a second failure is told, by where the fault sits:\n\n")
	t.head("where", "told")
	t.row("in what kills it", percent(a.Killer))
	t.row("in what feeds, earths or drives it, or leaks beside it", percent(a.Serves))
	t.row("at its plug or lead", percent(a.Plug))
	t.row("in the part itself", percent(a.InPart))
	t.row("elsewhere", percent(a.Base))
	t.WriteString("\nBasis: " + string(a.Basis) + ".\n")
	return t.String()
}

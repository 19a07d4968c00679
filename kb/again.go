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
	killers := b.killersOf(p)
	how := map[string]float64{"plug": a.Plug, "in-part": a.InPart, "killer": a.Killer, "serves": a.Serves}
	for _, c := range b.Causes {
		if v := how[b.againPlace(c, p, killers)]; v > 0 {
			d.Rows = append(d.Rows, Row{Cause: c, P: []float64{v, 1 - v}})
		}
	}
	return d
}

// againTitles name where a fault sits that made a part fail again.
var againTitles = map[string]string{
	"killer": "in what kills it", "serves": "in what feeds, earths or drives it, or leaks beside it",
	"plug": "at its plug or lead", "in-part": "in the part itself",
}

// againPlace is where the cause sits for a part that failed again, "" elsewhere.
func (b *Base) againPlace(c *Cause, p *Part, killers map[string]bool) string {
	switch {
	case c.Part == p.ID && b.PlaceOf(c) != "part":
		return "plug"
	case c.Part == p.ID:
		return "in-part"
	case killers[c.ID]:
		return "killer"
	case b.servesPart(c, p):
		return "serves"
	}
	return ""
}

// killersOf are the causes that kill any failure of the part.
func (b *Base) killersOf(p *Part) map[string]bool {
	killers := map[string]bool{}
	for _, c := range b.Causes {
		if c.Part == p.ID {
			for _, k := range b.Killers(c) {
				killers[k.ID] = true
			}
		}
	}
	return killers
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
	t.row(againTitles["killer"], percent(a.Killer))
	t.row(againTitles["serves"], percent(a.Serves))
	t.row(againTitles["plug"], percent(a.Plug))
	t.row(againTitles["in-part"], percent(a.InPart))
	t.row("elsewhere", percent(a.Base))
	t.WriteString("\nBasis: " + string(a.Basis) + ".\n")
	return t.String()
}

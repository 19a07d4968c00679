package kb

import "slices"

// Follows are the tables from which findings and causes follow for every part
// without a line of authoring, beside those of Derived.
type Follows struct {
	Kinds       []PartKind   `yaml:"-" json:"kinds"`
	BlindSpots  []BlindSpot  `yaml:"-" json:"blind_spots"`
	Indications []Indication `yaml:"-" json:"indications"`
}

// PartKind groups parts that are tested, moved about and coaxed alike.
type PartKind struct {
	ID    string   `yaml:"id" json:"id"`
	Title string   `yaml:"title" json:"title"`
	Parts []string `yaml:"parts" json:"parts"`
	Basis Basis    `yaml:"basis" json:"basis"`
}

// BlindSpot says what a way of testing shows of a kind of part in the named
// failure modes: Shows is the chance that the test shows such a fault. No
// kinds or no modes means any.
type BlindSpot struct {
	ID    string   `yaml:"id" json:"id"`
	Means []string `yaml:"means" json:"means"`
	Kinds []string `yaml:"kinds,omitempty" json:"kinds,omitempty"`
	Modes []string `yaml:"modes,omitempty" json:"modes,omitempty"`
	Shows float64  `yaml:"shows" json:"shows"`
	// Says is the reason in a person's words, as half a sentence.
	Says  string `yaml:"says" json:"says"`
	Basis Basis  `yaml:"basis" json:"basis"`
}

func followsOf(s *set) Follows {
	return Follows{
		Kinds:       values[PartKind](s, "kinds"),
		BlindSpots:  values[BlindSpot](s, "means"),
		Indications: values[Indication](s, "real"),
	}
}

// indexKinds notes the kinds of each part.
func (b *Base) indexKinds() {
	b.kinds = map[string][]string{}
	for _, k := range b.Kinds {
		for _, p := range k.Parts {
			b.kinds[p] = append(b.kinds[p], k.ID)
		}
	}
}

// KindsOf returns the kinds of a part in id order.
func (b *Base) KindsOf(part string) []string { return b.kinds[part] }

// isKind reports whether the part is of one of the kinds; none means any.
func (b *Base) isKind(part string, kinds []string) bool {
	return len(kinds) == 0 || slices.ContainsFunc(b.kinds[part], func(k string) bool { return slices.Contains(kinds, k) })
}

// BlindSpotOf returns the blind spot that decides what the means shows of the
// part in the mode, or nil where the general table does. The lowest decides.
func (b *Base) BlindSpotOf(means, part, mode string) *BlindSpot {
	var best *BlindSpot
	for i := range b.BlindSpots {
		s := &b.BlindSpots[i]
		if slices.Contains(s.Means, means) && (len(s.Modes) == 0 || slices.Contains(s.Modes, mode)) &&
			b.isKind(part, s.Kinds) && (best == nil || s.Shows < best.Shows) {
			best = s
		}
	}
	return best
}

// Sensitivity is the chance that the means shows the part to be bad when it
// has failed in this mode.
func (b *Base) Sensitivity(means, part, mode string) float64 {
	if s := b.BlindSpotOf(means, part, mode); s != nil {
		return s.Shows
	}
	row, ok := b.Derived.Means[means]
	if !ok {
		row = b.Derived.Means["unsaid"]
	}
	if v, ok := row[mode]; ok {
		return v
	}
	return row[""]
}

// byMode reads a table by failure mode; "" stands for any other.
func byMode(t map[string]float64, mode string, missing float64) float64 {
	if v, ok := t[mode]; ok {
		return v
	}
	if v, ok := t[""]; ok {
		return v
	}
	return missing
}

// Effects of an action on a trouble, in the order of ComeGo findings.
var comeGoOutcomes = []string{
	"goes", "sends it off", "while", "sends it off for a while", "comes", "brings it on", "none", "no effect",
}

// saysWhile is how often somebody whose trouble will come back has seen that
// yet when telling that it went. Basis: memory.
const saysWhile = 0.5

// byChance splits a chance of change over what it was: what goes by chance
// goes as often as it comes.
func byChance(chance float64) []float64 {
	return []float64{0.35 * chance, 0.15 * chance, 0.5 * chance, 1 - chance}
}

// rowOver is the effect on a cause of the mode. What comes by chance comes
// here too, unless the action tells against the mode.
func (g *ComeGo) rowOver(base []float64, v float64, mode string) []float64 {
	row := g.effect(v, mode)
	if v < 1-base[len(base)-1] {
		return row
	}
	for i := range row[:len(row)-1] {
		row[i] = max(row[i], base[i])
	}
	return normalised(row)
}

// effect is the distribution over goes, while, comes and none when the action
// changes anything with chance v.
func (g *ComeGo) effect(v float64, mode string) []float64 {
	brings := byMode(g.Brings, mode, 0.3)
	while := byMode(g.ForAWhile, mode, 0.5) * saysWhile
	comes := v * brings
	return []float64{(v - comes) * (1 - while), (v - comes) * while, comes, 1 - v}
}

// On returns the action as it is on a part.
func (g *ComeGo) On(b *Base, part string) *ComeGo {
	for i := range g.Of {
		if x := &g.Of[i]; b.isKind(part, x.Kinds) {
			on := *g
			on.Base, on.Modes = x.Base, x.Modes
			if x.Brings != nil {
				on.Brings = x.Brings
			}
			if x.ForAWhile != nil {
				on.ForAWhile = x.ForAWhile
			}
			if x.Proposed {
				on.Kinds, on.Never = x.Kinds, nil
				on.Caution, on.Minutes, on.Steps = x.Caution, x.Minutes, x.Steps
			}
			return &on
		}
	}
	return g
}

// rowTitle is the row of the table of actions that holds for the part.
func (g *ComeGo) rowTitle(b *Base, part string) string {
	for i := range g.Of {
		if x := &g.Of[i]; b.isKind(part, x.Kinds) {
			return g.ofTitle(b, x)
		}
	}
	return g.Title
}

func (g *ComeGo) ofTitle(b *Base, x *ComeGoOf) string { return g.Title + ": " + b.kindTitles(x.Kinds) }

// lead is the chance that the action on the part changes a trouble that is its
// shorted lead, and whether anything is known of that.
func (g *ComeGo) lead(b *Base, part string) (float64, bool) {
	for i := range g.Of {
		if x := &g.Of[i]; b.isKind(part, x.Kinds) {
			return x.Lead, x.Lead > 0
		}
	}
	return 0, false
}

// deriveComeGo is the finding "what the action on the part did".
func (b *Base) deriveComeGo(id string, p *Part, a *ComeGo) *DerivedFinding {
	d := &DerivedFinding{Near: a.Isolates, Finding: Finding{ID: id, Kind: FindingPart, System: p.System, Article: p.ID,
		Title: a.Title + ": " + p.Name, Ask: "What happens with this: " + a.Title + ", " + p.Name + "?",
		Outcomes: titled(comeGoOutcomes...)}}
	lead, leads := a.lead(b, p.ID)
	a = a.On(b, p.ID)
	d.Base = a.byBase()
	for _, c := range b.Causes {
		if v := byMode(a.Modes, c.Mode, -1); c.Part == p.ID && v >= 0 {
			d.Rows = append(d.Rows, Row{Cause: c, P: a.rowOver(d.Base, v, c.Mode)})
		} else if leads && b.isLead(c) {
			d.Rows = append(d.Rows, Row{Cause: c, P: a.effect(lead, c.Mode)})
		}
	}
	return d
}

// byBase is what a trouble of another kind shows. Mostly that is chance; where
// most change, a part that is well answers to this.
func (g *ComeGo) byBase() []float64 {
	if g.Base > 0.5 {
		return g.effect(g.Base, "")
	}
	return byChance(g.Base)
}

// isLead reports whether the cause is a lead or plug with its wire to metal.
func (b *Base) isLead(c *Cause) bool {
	return (c.Mode == "shorted" || c.Mode == "chafed") && b.isKind(c.Part, []string{"cable", "contact"})
}

// wide is how far an action done to the car as a whole reaches a part that
// nobody named. Basis: memory.
const wide = 0.7

// deriveGo is the finding "what the action did", when no part was named: every
// cause that the action reaches may show it.
func (b *Base) deriveGo(id string, a *ComeGo) *DerivedFinding {
	d := &DerivedFinding{Finding: Finding{ID: id, Kind: FindingPart, Article: CardComeGo, Title: a.Title,
		Ask: "What happens with this: " + a.Title + "?", Outcomes: titled(comeGoOutcomes...)}}
	chance := min(0.5, 2*a.Base)
	d.Base = byChance(chance)
	for _, c := range b.Causes {
		if on := a.On(b, c.Part); b.reached(a, on, c) {
			d.Rows = append(d.Rows, Row{Cause: c, P: on.rowOver(d.Base, wide*on.Modes[c.Mode], c.Mode)})
		}
	}
	return d
}

// reached reports whether an action without a part may have been on the cause;
// on is what the action is on its part.
func (b *Base) reached(a, on *ComeGo, c *Cause) bool {
	if v, ok := on.Modes[c.Mode]; !ok || v <= 0 {
		return false
	}
	switch {
	case on != a || b.isKind(c.Part, a.Kinds) || a.Reaches == "any":
		return true
	case a.Reaches == "electrical":
		m := b.Mode(c.Mode)
		return m != nil && m.Electrical
	}
	return false
}

// ComeGoFor returns the actions that may be proposed as a check of the part,
// in the order of the table.
func (b *Base) ComeGoFor(p *Part) []*ComeGo {
	var out []*ComeGo
	for i := range b.Derived.ComeGo {
		a := b.Derived.ComeGo[i].On(b, p.ID)
		if len(a.Kinds) > 0 && len(a.Steps) > 0 && b.isKind(p.ID, a.Kinds) && !slices.Contains(a.Never, p.System) {
			out = append(out, a)
		}
	}
	return out
}

// ComeGo returns the action with the id, or nil.
func (b *Base) ComeGo(id string) *ComeGo {
	for i := range b.Derived.ComeGo {
		if b.Derived.ComeGo[i].ID == id {
			return &b.Derived.ComeGo[i]
		}
	}
	return nil
}

package kb

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
)

// Figures of the long tail. Basis: memory.
const (
	// derivedShare is what the derived causes have of the prior of a system
	// that is written up; writtenUp is the share of the failures of its parts,
	// by their rates and modes, of which articles must tell for that. In a
	// system without articles the derived causes stand for the whole of it, and
	// nearly so in one of which a few failures are written about.
	derivedShare = 0.15
	writtenUp    = 0.5
	// derivedModes is how many modes of a part get a page of their own.
	derivedModes = 4
	// inherited is how far a mode nobody wrote about shows what the authored
	// mode of the same part shows.
	inherited    = 0.7
	derivedHow   = "often" // how often a sign keeps to its condition
	derivedBasis = "memory"
)

// work is what a repair in a system takes when no article says so: minutes,
// parts, dangers. Basis: memory.
type work struct {
	minutes, low, high float64
	difficulty         string
	hazards            []string
}

var workIn = map[string]work{
	"brakes":           {90, 15, 120, "medium", []string{"jacking"}},
	"steering":         {120, 20, 200, "hard", []string{"jacking"}},
	"suspension":       {120, 20, 150, "hard", []string{"jacking"}},
	"wheels":           {40, 5, 90, "easy", []string{"jacking"}},
	"clutch":           {180, 20, 200, "hard", []string{"jacking"}},
	"gearbox-manual":   {180, 10, 300, "hard", []string{"jacking"}},
	"gearbox-auto":     {180, 20, 500, "hard", []string{"jacking"}},
	"driveline":        {150, 30, 250, "hard", []string{"jacking"}},
	"exhaust":          {90, 15, 180, "medium", []string{"jacking", "hot-parts"}},
	"engine":           {120, 10, 250, "hard", []string{"hot-parts", "belt"}},
	"ignition":         {45, 8, 120, "easy", []string{"high-tension"}},
	"fuel":             {75, 8, 180, "medium", []string{"fuel"}},
	"air":              {45, 5, 150, "easy", []string{"hot-parts"}},
	"sensors":          {45, 15, 150, "medium", nil},
	"cooling":          {75, 10, 150, "medium", []string{"hot-coolant", "fan"}},
	"heating-ac":       {90, 10, 150, "medium", []string{"refrigerant"}},
	"starting":         {75, 5, 150, "medium", []string{"battery", "cranking"}},
	"charging":         {75, 5, 200, "medium", []string{"battery"}},
	"body-electrics":   {60, 2, 100, "medium", nil},
	"lighting":         {25, 2, 60, "easy", nil},
	"accessories":      {45, 2, 80, "easy", nil},
	"safety-restraint": {60, 20, 200, "shop", []string{"airbag"}},
	"water-ingress":    {60, 2, 60, "easy", nil},
	"body":             {45, 2, 80, "easy", nil},
}

// deriveLongTail adds the symptoms of the signs and, for each credible mode of
// each part that no article covers, a cause of its own. All are marked.
func (b *Base) deriveLongTail() {
	if len(b.Signs) == 0 {
		return // nothing says what a failure nobody wrote about would show
	}
	b.deriveSymptoms()
	covered := b.coveredByCircuits()
	inCircuits := b.derivedInCircuits()
	siblings := map[string][]*Cause{}
	// Of a thousand older cars, by system: all failures of its parts, and those
	// of which an article tells.
	rates, told := map[string]float64{}, map[string]float64{}
	for _, c := range b.Causes {
		for _, mode := range c.Covers {
			covered[c.Part+"/"+mode] = true
		}
		if p := b.Part(c.Part); p == nil || p.Items != "" && p.System != c.System {
			// One use of a part that is everywhere: the fan's fuse says nothing
			// of the radio's.
			continue
		}
		b.showSigns(c)
		covered[c.Part+"/"+c.Mode] = true
		siblings[c.Part] = append(siblings[c.Part], c)
	}
	var added []*Cause
	minor := map[string]bool{}
	for i := range b.Parts {
		p := &b.Parts[i]
		for _, mode := range sortedKeys(p.Modes) {
			rate := p.PerThousand * p.Modes[mode]
			rates[p.System] += rate
			if covered[p.ID+"/"+mode] {
				told[p.System] += rate
			}
		}
		for k, mode := range mainModes(p, inCircuits[p.ID]) {
			if covered[p.ID+"/"+mode] || b.modes[mode] == nil {
				continue
			}
			c := b.deriveCause(p, b.modes[mode], siblings[p.ID])
			if len(c.Shows) == 0 || b.heads[c.ID].ID != "" {
				continue
			}
			added = append(added, c)
			minor[c.ID] = k >= derivedModes
		}
	}
	b.limitDerived(added, func(system string) bool { return told[system] >= writtenUp*rates[system] })
	for _, c := range added {
		b.causes[c.ID] = c
		b.heads[c.ID] = Head{Kind: KindCause, ID: c.ID, Title: c.Title, System: c.System, Body: c.Body, Derived: true, Minor: minor[c.ID]}
	}
	b.Causes = append(b.Causes, added...)
	slices.SortFunc(b.Causes, func(x, y *Cause) int { return strings.Compare(x.ID, y.ID) })
	b.computeRows()
}

// limitDerived keeps the derived causes of a system that is written up to
// derivedShare of its prior.
func (b *Base) limitDerived(added []*Cause, writtenUp func(system string) bool) {
	authored, derived := map[string]float64{}, map[string]float64{}
	for _, c := range b.Causes {
		authored[c.System] += c.Frequency.PerThousand
	}
	for _, c := range added {
		derived[c.System] += b.rate(c)
	}
	for _, c := range added {
		limit := authored[c.System] * derivedShare / (1 - derivedShare)
		if authored[c.System] > 0 && writtenUp(c.System) && derived[c.System] > limit {
			c.Frequency.PerThousand *= limit / derived[c.System]
		}
	}
}

// showSigns lets an authored cause show the signs that its part and mode
// bring, where its article says nothing of them.
func (b *Base) showSigns(c *Cause) {
	for i := range b.Signs {
		g := &b.Signs[i]
		if _, said := c.Shows[g.ID]; said || b.symptoms[g.ID] == nil || !b.symptoms[g.ID].Derived {
			continue
		}
		for _, f := range g.From {
			if f.Part != c.Part || len(f.Modes) > 0 && !slices.Contains(f.Modes, c.Mode) {
				continue
			}
			c.Shows[g.ID] = map[string]Likelihood{"present": f.How.asFigure()}
			for _, when := range f.When {
				if axis, value, relation, ok := cutCondition(when); ok {
					c.When = append(c.When, Condition{Symptom: g.ID, Axis: axis, Value: value, Relation: relation, How: derivedHow})
				}
			}
		}
	}
}

// telltale are the modes of which a look or an event speaks by itself, so that
// they get a page however rare: what a hand left so, and what is seen at once.
var telltale = append([]string{"broken", "leaking"}, workModes...)

// derivedInCircuits lists, by part, the modes to which circuits give a fault
// without an article.
func (b *Base) derivedInCircuits() map[string][]string {
	out := map[string][]string{}
	for _, a := range b.Circuits {
		for i := range a.Elements {
			for _, f := range a.Elements[i].Faults {
				if f.Derived != nil {
					out[f.Derived.Part] = append(out[f.Derived.Part], f.Derived.Mode)
				}
			}
		}
	}
	return out
}

// mainModes are the likeliest modes of a part, ties by name, the telltale ones
// and the others named.
func mainModes(p *Part, others []string) []string {
	ms := sortedKeys(p.Modes)
	slices.SortStableFunc(ms, func(x, y string) int { return cmp.Compare(p.Modes[y], p.Modes[x]) })
	main := slices.Clone(ms[:min(derivedModes, len(ms))])
	for _, m := range ms[len(main):] {
		if slices.Contains(telltale, m) || slices.Contains(others, m) {
			main = append(main, m)
		}
	}
	return main
}

// deriveSymptoms makes a symptom of every sign.
func (b *Base) deriveSymptoms() {
	for i := range b.Signs {
		g := &b.Signs[i]
		if _, taken := b.heads[g.ID]; taken {
			continue
		}
		var names []string
		for _, f := range g.From {
			if p := b.Part(f.Part); p != nil {
				name := p.Name
				if len(f.Modes) > 0 {
					name += ", " + b.modeTitles(f.Modes)
				}
				names = append(names, name+" ("+f.How.inTable()+")")
			}
		}
		s := &Symptom{
			Kind: KindSymptom, ID: g.ID, Title: g.Title, System: g.System, KnownBy: g.KnownBy, Said: g.Said,
			Base: Likelihood(fmt.Sprint(g.Base)), Danger: g.Danger, Derived: true,
			Body: fmt.Sprintf("Derived, not authored: there is no full article about this yet. It can come from these; in brackets how often such a failure shows it (basis: %s): %s. What is known of each is on its own page; a check there is a look, a swap or a feed, not a recipe.\n", g.Basis, strings.Join(names, "; ")),
		}
		b.Symptoms = append(b.Symptoms, s)
		b.symptoms[s.ID] = s
		b.heads[s.ID] = Head{Kind: KindSymptom, ID: s.ID, Title: s.Title, System: s.System, Body: s.Body, Derived: true}
		b.findings[s.ID] = &Finding{
			ID: s.ID, Kind: FindingSymptom, Title: s.Title, Article: s.ID, System: s.System,
			Outcomes: []Outcome{{ID: "present", Title: "present", Said: s.Said, Base: s.Base}, {ID: "absent", Title: "absent"}},
			Base:     []float64{g.Base, 1 - g.Base},
		}
	}
	slices.SortFunc(b.Symptoms, func(x, y *Symptom) int { return strings.Compare(x.ID, y.ID) })
}

// rate is how often a cause is the one among a thousand older cars of any kind
// with trouble.
func (b *Base) rate(c *Cause) float64 {
	return c.Frequency.PerThousand * b.shareOf(c.Applies)
}

// deriveCause makes the page of one part in one mode; siblings are the
// authored modes of the part.
func (b *Base) deriveCause(p *Part, m *Mode, siblings []*Cause) *Cause {
	w, ok := workIn[p.System]
	if !ok {
		w = work{60, 5, 120, "medium", nil}
	}
	severity := p.Severity
	if severity == "" {
		severity = "nuisance"
	}
	if severity == "injury" && (!slices.Contains(dangerousDriving, p.System) || p.System == "fuel" && !b.letsFuelOut(p, m.ID)) {
		// The part can hurt whoever works on it, not whoever drives on.
		severity = "damage"
	}
	called := cmp.Or(p.Called[m.ID], m.Title)
	c := &Cause{
		Kind: KindCause, ID: p.ID + "-is-" + m.ID, Derived: true,
		Title: upperFirst(p.Name) + ": " + called, System: p.System, Part: p.ID, Mode: m.ID,
		Frequency: Frequency{PerThousand: p.PerThousand * p.Modes[m.ID] / b.having(p), Basis: derivedBasis},
		Applies:   p.Applies,
		Shows:     map[string]map[string]Likelihood{},
		Severity:  severity,
		Driving:   drivingBy[severity],
		Repair: Repair{
			Do:      fmt.Sprintf("Put right or renew the %s (%s)", p.Name, called),
			Minutes: w.minutes, Money: Money{Low: w.low, High: w.high, Basis: derivedBasis}, Parts: []string{p.Name},
			Difficulty: w.difficulty, Access: p.Access, Hazards: w.hazards,
			Steps: []string{
				fmt.Sprintf("Find it: %s. Make sure by a look, a swap with a known good one, or by isolating it that this is it.", p.Place),
				"Put it right or renew it as the car's own manual says; where the manual or the law asks for a licensed shop, that comes first.",
				"Check what it hangs on too: plug, feed, earth, pipe, fixings.",
			},
		},
		Proof: Proof{Do: "Bring about the condition in which it showed, several times: it must stay away.", ShowsAfter: "at once"},
	}
	if m.ComesAndGoes {
		c.Comes = "daily"
	}
	var signs []string
	for i := range b.Signs {
		g := &b.Signs[i]
		for _, f := range g.From {
			if f.Part != p.ID || len(f.Modes) > 0 && !slices.Contains(f.Modes, m.ID) {
				continue
			}
			c.Shows[g.ID] = map[string]Likelihood{"present": f.How.asFigure()}
			signs = append(signs, "["+b.heads[g.ID].Title+"](article:"+g.ID+") ("+f.How.inTable()+")")
			for _, when := range f.When {
				if axis, value, relation, ok := cutCondition(when); ok {
					c.When = append(c.When, Condition{Symptom: g.ID, Axis: axis, Value: value, Relation: relation, How: derivedHow})
				}
			}
		}
	}
	if job := b.renewal(siblings); job != nil && b.PlaceOf(c) == "part" {
		action := job.Repair.Action
		if action == "" {
			action = job.ID
		}
		c.Repair = job.Repair
		c.Repair.Action = action
	}
	b.affect(c)
	for _, x := range b.EffectsOfCause(c) {
		signs = append(signs, "["+x.Title+"](article:"+CardEffects+"#"+RowID(x.Title)+") (basis: "+string(x.Basis)+")")
	}
	b.inherit(c, siblings)
	for _, s := range siblings {
		signs = append(signs, "much of what the ["+s.Title+"](article:"+s.ID+") shows")
	}
	also := ""
	if len(p.Names) > 0 {
		also = " Owners also say " + strings.Join(p.Names, ", ") + "."
	}
	c.Body = fmt.Sprintf("Derived, not authored: this page follows from the list of parts (%s, %s).%s\n\nIt can show as: %s. It is the one in about %.2g of a thousand troubled cars that have the part, by the part's own rate and the share of this failure in it (basis: %s).\n\nNobody has written down how to test it on its own. A look, a swap with a known good one, or isolating it tells as a rule.\n",
		p.Name, p.Place, also, strings.Join(signs, "; "), c.Frequency.PerThousand, c.Frequency.Basis)
	return c
}

// coveredByCircuits marks the parts in the modes that an authored cause stands
// for as a fault of a circuit: the article about the motor's worn brushes that
// has the motor open as well covers the open motor.
func (b *Base) coveredByCircuits() map[string]bool {
	covered := map[string]bool{}
	for _, a := range b.Circuits {
		for i := range a.Elements {
			for k := range a.Elements[i].Faults {
				f := &a.Elements[i].Faults[k]
				if c := b.causes[f.Cause]; c != nil && len(showsAs[f.Fault]) > 0 {
					covered[c.Part+"/"+showsAs[f.Fault][0]] = true
				}
			}
		}
	}
	return covered
}

// renewal is the likeliest authored cause in the part itself whose job is to
// renew it: that job cures whatever else has failed in the part; nil if none is.
func (b *Base) renewal(siblings []*Cause) *Cause {
	var best *Cause
	for _, s := range siblings {
		if b.PlaceOf(s) == "part" && strings.HasPrefix(s.Repair.Do, "Renew ") && (best == nil || b.rate(s) > b.rate(best)) {
			best = s
		}
	}
	return best
}

// inherit takes over what the authored modes of the same part show on average,
// by how often each is the one, weakened: the symptoms, and of the tests those
// of the part itself. Other tests tell one mode from another.
func (b *Base) inherit(c *Cause, siblings []*Cause) {
	total := 0.0
	mean := map[string][]float64{}
	for _, s := range siblings {
		total += b.rate(s)
		for id := range b.rows[s.ID] {
			if f := b.findings[id]; c.Shows[id] == nil && (f.Kind != FindingTest || b.testsPart(id, c.Part)) {
				mean[id] = make([]float64, len(f.Outcomes))
			}
		}
	}
	for _, id := range sortedKeys(mean) {
		f, p := b.findings[id], mean[id]
		for _, s := range siblings {
			row := b.rows[s.ID][id]
			if row == nil {
				row = f.Base
			}
			for o := range p {
				p[o] += row[o] * b.rate(s) / total
			}
		}
		for o := range p {
			p[o] = f.Base[o] + inherited*(p[o]-f.Base[o])
		}
		c.Shows[id] = f.written(p)
	}
}

// testsPart reports whether the finding is settled by a test of the part alone.
func (b *Base) testsPart(finding, part string) bool {
	return slices.ContainsFunc(b.Tests, func(t *Test) bool {
		return t.Part == part && (t.ID == finding && t.Of == "" || t.Of == finding)
	})
}

// dangerousDriving names the systems whose failures make driving dangerous.
var dangerousDriving = []string{"brakes", "steering", "suspension", "wheels", "driveline", "fuel", "safety-restraint", "body"}

// fuelOut names the modes in which fuel gets out and can burn; without it a
// part of the fuel system that fails only leaves one standing.
var fuelOut = []string{"leaking", "perished", "cracked", "chafed", "loose", "detached", "missing", "corroded", "gnawed", "damaged", "misfitted", "badly-tightened"}

// letsFuelOut reports whether fuel gets out when a part of the fuel system fails
// so: of an electrical one only the terminals corrode.
func (b *Base) letsFuelOut(p *Part, mode string) bool {
	return slices.Contains(fuelOut, mode) && !(mode == "corroded" && b.isKind(p.ID, []string{"motor", "sensor", "solenoid", "switch", "relay"}))
}

// drivingBy says how bad it is to go on driving, by severity alone.
var drivingBy = map[string]string{
	"injury":   "Do not drive with it: have it put right first.",
	"damage":   "Drive only as far as you must; it can get dearer.",
	"nuisance": "It can be driven while it gets no worse.",
}

// cutCondition splits "axis/value relation".
func cutCondition(s string) (axis, value, relation string, ok bool) {
	where, relation, ok := strings.Cut(s, " ")
	if !ok {
		return "", "", "", false
	}
	axis, value, ok = strings.Cut(where, "/")
	return axis, value, relation, ok && slices.Contains(Relations, relation)
}

func upperFirst(s string) string {
	if s == "" {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}

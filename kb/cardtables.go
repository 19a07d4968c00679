package kb

import (
	"fmt"
	"slices"
	"strings"
)

func (b *Base) renewedTable() string {
	var t table
	d := &b.Derived
	t.WriteString("What the trouble does after a part was renewed, by where the fault sits. It clears that one part, never its feed, earth, pipe, mate or the other side. A part fitted before the trouble began is [what came just before](article:" + CardBefore + "), not this; what was put in can be bad itself ([how often](article:" + CardSwap + ")). Basis of all figures: " + string(d.Basis) + ".\n\n")
	t.head("Fault sits", "No change", "Better, not gone", "Cured", "Worse")
	for _, place := range sortedKeys(d.Replaced) {
		r := d.Replaced[place]
		t.row(placeTitles[place], percent(r["same"]), percent(r["better"]), percent(r["cured"]), percent(r["worse"]))
	}
	return t.String()
}

// ruleTitle names the rule at a place among those of one value of an axis.
func ruleTitle(v *AxisValue, at int) string { return fmt.Sprintf("%s (%d)", v.Title, at+1) }

func (b *Base) conditionsTable() string {
	var t table
	t.WriteString("When the trouble of a fault shows as a rule. The most particular row counts: parts before systems before faults; what an article says of its own cause goes before all of them. A trouble of another kind is said to be")
	for i, r := range Relations {
		sep := ","
		if i == 0 {
			sep = ""
		}
		fmt.Fprintf(&t, "%s “%s” %s of the time", sep, r, percent(b.Derived.ConditionBase[r]))
	}
	t.WriteString(". Basis of all figures: " + string(b.Derived.Basis) + ".\n\n")
	t.head("When", "Parts", "Systems", "Faults", "Then it is", "How often so")
	for i := range b.Lists.Axes {
		for k := range b.Lists.Axes[i].Values {
			v := &b.Lists.Axes[i].Values[k]
			for at, r := range b.conditionRules(b.Lists.Axes[i].ID, v.ID) {
				faults := "any"
				if len(r.Modes) > 0 {
					faults = b.modeTitles(r.Modes)
				}
				t.row(ruleTitle(v, at), b.partNames(r.Parts), b.systemTitles(r.Systems), faults, r.Relation, percent(r.How))
			}
		}
	}
	return t.String()
}

func (b *Base) partNames(ids []string) string {
	if len(ids) == 0 {
		return "any"
	}
	var out []string
	for _, id := range ids {
		if p := b.Part(id); p != nil {
			out = append(out, p.Name)
		}
	}
	return strings.Join(out, ", ")
}

func (b *Base) systemTitles(ids []string) string {
	if len(ids) == 0 {
		return "any"
	}
	var out []string
	for i := range b.Lists.Systems {
		if s := &b.Lists.Systems[i]; slices.Contains(ids, s.ID) {
			out = append(out, strings.ToLower(s.Title))
		}
	}
	return strings.Join(out, ", ")
}

func (b *Base) beforeTable() string {
	var t table
	t.WriteString("How often something came just before, by what the fault is. Every hand that was there counts, one's own checks too.\n\n")
	t.head("Work", "Came just before", "Faults", "Basis")
	for _, hand := range []string{handOnPart, handResult, handOther, handFluid, handBeside, handBesideResult} {
		faults := "any other"
		switch hand {
		case handOnPart, handBeside:
			faults = b.modeTitles(workModes)
		case handResult, handBesideResult:
			faults = b.modeTitles(workResults)
		case handFluid:
			faults = b.modeTitles(fluidModes)
		}
		t.row(hand, percent(handWasThere[hand]), faults, string(derivedBasis))
	}
	t.WriteString("\n")
	t.head("What happened", "With any trouble", "Just before, when it is", "Basis")
	for i := range b.Lists.Events {
		e := &b.Lists.Events[i]
		var cells []string
		for _, r := range e.Raises {
			var of []string
			if len(r.Parts) > 0 {
				of = append(of, b.partNames(r.Parts))
			}
			if len(r.Systems) > 0 {
				of = append(of, b.systemTitles(r.Systems))
			}
			if len(r.Modes) > 0 {
				of = append(of, b.modeTitles(r.Modes))
			}
			cells = append(cells, strings.Join(of, "; ")+": "+percent(r.Before))
		}
		t.row(e.Title, percent(e.Base), strings.Join(cells, " · "), string(e.Basis))
	}
	return t.String()
}

func (b *Base) togetherTable() string {
	var t table
	g := &b.Derived.Together
	t.WriteString("One failed feed, earth or belt shows in everything that hangs on it. “" + g.Question.Ask + "” tells it from a fault of one thing. Basis of all figures: " + string(b.Derived.Basis) + ".\n\n")
	head := []string{"Fault sits"}
	point, other := []string{togetherRow}, []string{"elsewhere"}
	for _, o := range g.Question.Outcomes {
		head = append(head, o.Title)
		point = append(point, percent(g.Point[o.ID]))
		base, _ := o.Base.Value()
		other = append(other, percent(base))
	}
	t.head(head...)
	t.row(point...)
	t.row(other...)
	t.WriteString("\nWhat hangs on each of them, as a rule; cars differ.\n\n")
	t.head("Shared point", "On it hang")
	for _, id := range b.SharedPoints() {
		var names []string
		for i := range b.Parts {
			if p := &b.Parts[i]; p.ID != id && slices.Contains(p.hangsOn(), id) {
				names = append(names, p.Name)
			}
		}
		t.row(upperFirst(b.Part(id).Name), strings.Join(names, ", "))
	}
	return t.String()
}

// togetherRow is the row of a shared point.
const togetherRow = "at a shared point"

// realTitle names the row of an indication.
func (b *Base) realTitle(x *Indication) string { return idWords(x.ID) }

func (b *Base) realTable() string {
	var t table
	t.WriteString("What is known only by a gauge, a lamp, a code or a meter can be wrong. The sign beside it tells; until it was seen, a dangerous one is taken as true.\n\n")
	t.head("Indication", "Said of", "Parts that indicate it", "Sign beside it", "When it is real", "When only the indication is wrong", "Basis")
	for i := range b.Indications {
		x := &b.Indications[i]
		var of, by []string
		for _, id := range x.Symptoms {
			if s := b.symptoms[id]; s != nil {
				of = append(of, "["+s.Title+"](article:"+id+")")
			}
		}
		if len(x.KnownBy) > 0 {
			of = append(of, "any other known by "+strings.Join(x.KnownBy, ", "))
		}
		for _, f := range x.By {
			if p := b.Part(f.Part); p != nil {
				name := p.Name
				if len(f.Modes) > 0 {
					name += " (" + b.modeTitles(f.Modes) + ")"
				}
				by = append(by, name+": "+f.How.inTable())
			}
		}
		if len(x.Kinds) > 0 {
			by = append(by, b.kindTitles(x.Kinds))
		}
		if x.Itself != "" {
			t.row(b.realTitle(x), strings.Join(of, "; "), strings.Join(by, "; "), "none: "+x.Itself, "", "", string(x.Basis))
			continue
		}
		var sign, real, wrong []string
		for k := range x.Signs {
			g := &x.Signs[k]
			f, ask := b.findings[g.Finding], ""
			switch {
			case g.Question != nil:
				f, ask = &Finding{Outcomes: g.Question.Outcomes}, g.Question.Ask
			case f != nil:
				ask = f.Title
			default: // a look along a path, of which the table is made later
				ask = idWords(strings.ReplaceAll(strings.TrimPrefix(g.Finding, "path:"), ":", " "))
			}
			said := "as the articles say"
			if len(g.Real) > 0 {
				said = likelihoodWords(f, g.Real)
			}
			sign, real = append(sign, ask), append(real, said)
			wrong = append(wrong, likelihoodWords(f, g.False))
		}
		t.row(b.realTitle(x), strings.Join(of, "; "), strings.Join(by, "; "), strings.Join(sign, " · "), strings.Join(real, " · "), strings.Join(wrong, " · "), string(x.Basis))
	}
	return t.String()
}

// inTable is the likelihood as a table has it: the author's word, or a figure.
func (l Likelihood) inTable() string {
	if v, ok := l.Value(); ok && !l.IsWord() {
		return percent(v)
	}
	return string(l)
}

// likelihoodWords says what an author said of the outcomes of a finding, in
// their order where it is known.
func likelihoodWords(f *Finding, said map[string]Likelihood) string {
	var out []string
	name := func(id, title string) {
		v, ok := said[id]
		if !ok {
			return
		}
		out = append(out, title+" "+v.inTable())
	}
	if f == nil {
		for _, id := range sortedKeys(said) {
			name(id, id)
		}
		return strings.Join(out, ", ")
	}
	for _, o := range f.Outcomes {
		name(o.ID, o.Title)
	}
	return strings.Join(out, ", ")
}

// pathRow names a row of the table of paths.
func pathRow(way, side, effect string) string {
	return wayWords[way] + ", " + effectWords[effect] + " " + side
}

// The words for what a look at a point is and for what a failure does.
var (
	wayWords    = map[string]string{"seen": "looked at", "fed": "fed in there", "shut": "shut off there", "opened": "opened there"}
	effectWords = map[string]string{"cut": "nothing passes", "weak": "too little passes", "leak": "it gets out or air gets in", "wrong": "it passes when it should not"}
)

func (b *Base) pathsTable() string {
	var t table
	p := &b.Derived.Paths
	t.WriteString("What a look at a point of a path shows, by whether the fault lies before or behind the point and by what it does to what passes. Basis of all figures: " + string(p.Basis) + ".\n\n")
	t.head("Point and fault", "Shows")
	for _, way := range PathWays {
		w := p.Ways[way]
		cell := func(row map[string]float64) string {
			var out []string
			for _, o := range PathOutcomes[way] {
				if v := row[o]; v > 0 {
					out = append(out, o+" "+percent(v))
				}
			}
			return strings.Join(out, ", ")
		}
		for _, side := range []struct {
			name string
			rows map[string]map[string]float64
		}{{"before it", w.Before}, {"behind it", w.Behind}} {
			for _, effect := range PathEffects {
				if row, ok := side.rows[effect]; ok {
					t.row(pathRow(way, side.name, effect), cell(row))
				}
			}
		}
		t.row(wayWords[way]+", fault off the path", cell(w.Base))
	}
	t.WriteString("\nWhat a failure does to what passes, as shares:\n\n")
	t.head("Fault", "Does", "Of a part that only commands")
	for _, m := range sortedKeys(p.Effects) {
		title := m
		if x := b.Mode(m); x != nil {
			title = x.Title
		}
		t.row(title, effectShares(p.Effects[m]), effectShares(p.Commanded[m]))
	}
	return t.String()
}

func effectShares(m map[string]float64) string {
	var out []string
	for _, e := range PathEffects {
		if m[e] > 0 {
			out = append(out, effectWords[e]+" "+percent(m[e]))
		}
	}
	return strings.Join(out, ", ")
}

func (b *Base) effectsTable() string {
	var t table
	t.WriteString("What a failure does to the car, whatever the part. Parts without an article of their own show it so.\n\n")
	t.head("What it does", "Shows", "Parts", "Basis")
	for i := range b.Effects {
		x := &b.Effects[i]
		var shows, from []string
		for _, id := range sortedKeys(x.Shows) {
			if f := b.findings[id]; f != nil {
				shows = append(shows, f.Title+": "+likelihoodWords(f, x.Shows[id]))
			}
		}
		for _, f := range x.From {
			if p := b.Part(f.Part); p != nil {
				name := p.Name
				if len(f.Modes) > 0 {
					name += " (" + b.modeTitles(f.Modes) + ")"
				}
				if f.Share > 0 {
					name += ", in " + percent(f.Share) + " of its places"
				}
				from = append(from, name)
			}
		}
		t.row(x.Title, strings.Join(shows, "; "), strings.Join(from, "; "), string(x.Basis))
	}
	return t.String()
}

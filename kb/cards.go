package kb

import (
	"fmt"
	"slices"
	"strings"
)

// Ids of the pages on which the tables stand, for replies that rest on a row.
const (
	CardMeans  = "table-means"
	CardComeGo = "table-come-go"
	CardLooks  = "table-looks"
	CardSwap   = "table-swap"

	CardRenewed    = "table-renewed"
	CardConditions = "table-conditions"
	CardBefore     = "table-before"
	CardTogether   = "table-together"
	CardReal       = "table-real"
	CardPaths      = "table-paths"
	CardEffects    = "table-effects"
)

// deriveCards makes a page of each table from which findings follow, so that
// every row and its basis is one tap away from the reply that used it.
func (b *Base) deriveCards() {
	if len(b.Signs) == 0 {
		return
	}
	b.addCard(CardMeans, "What each kind of test misses", b.meansTable())
	b.addCard(CardComeGo, "What makes a trouble come or go", b.comeGoTable())
	b.addCard(CardLooks, "What a look at a part tells", b.looksTable())
	b.addCard(CardSwap, "Change it over and see", b.swapTable())
	b.addCard(CardAgain, "What kills what: a part that fails again", b.againTable())
	b.addCard(CardRenewed, "What a renewed part tells", b.renewedTable())
	b.addCard(CardConditions, "When a fault shows", b.conditionsTable())
	b.addCard(CardBefore, "What came just before, and the hand that was there", b.beforeTable())
	b.addCard(CardTogether, "Shared points: feeds, earths and belts", b.togetherTable())
	b.addCard(CardReal, "Is it real? Gauges, lamps, codes and meters", b.realTable())
	b.addCard(CardPaths, "What a look along a path tells", b.pathsTable())
	b.addCard(CardEffects, "What a failure does, whatever the part", b.effectsTable())
}

func (b *Base) addCard(id, title, body string) {
	if _, taken := b.heads[id]; taken {
		return // the user's own page of that name stands
	}
	c := &Card{Kind: KindCard, ID: id, Title: title, System: "reference", Said: []string{strings.ToLower(title)}, Body: body}
	b.Cards = append(b.Cards, c)
	slices.SortFunc(b.Cards, func(x, y *Card) int { return strings.Compare(x.ID, y.ID) })
	b.cards[id] = c
	b.heads[id] = Head{Kind: KindCard, ID: id, Title: title, System: c.System, Body: body, Derived: true}
}

// table is a Markdown table with the basis of its figures under it.
type table struct{ strings.Builder }

func (t *table) row(cells ...string) {
	for i, c := range cells {
		cells[i] = strings.ReplaceAll(c, "|", "/")
	}
	t.WriteString("| " + strings.Join(cells, " | ") + " |\n")
}

func (t *table) head(cells ...string) {
	t.row(cells...)
	t.WriteString("|" + strings.Repeat(" --- |", len(cells)) + "\n")
}

func percent(v float64) string { return fmt.Sprintf("%.0f %%", 100*v) }

// placeTitles name where a fault sits in the rows of tables.
var placeTitles = map[string]string{
	"in-part": "in the part", "relay": "in a relay", "connector": "at its plug, connector or lead", "elsewhere": "elsewhere",
	"split": "one in the part, one elsewhere",
}

// idWords is an id as words.
func idWords(id string) string { return strings.ReplaceAll(id, "-", " ") }

func meansWords(means []string) string {
	var out []string
	for _, m := range means {
		out = append(out, idWords(m))
	}
	return strings.Join(out, ", ")
}

// byModeWords is a table by failure mode in one cell; "" is any other fault.
func (b *Base) byModeWords(t map[string]float64) string {
	var cells []string
	for _, m := range sortedKeys(t) {
		title := m
		if x := b.Mode(m); x != nil {
			title = x.Title
		}
		if m != "" {
			cells = append(cells, title+" "+percent(t[m]))
		}
	}
	if v, ok := t[""]; ok {
		cells = append(cells, "any other fault "+percent(v))
	}
	return strings.Join(cells, "; ")
}

func (b *Base) kindTitles(ids []string) string {
	var out []string
	for _, k := range b.Kinds {
		if slices.Contains(ids, k.ID) {
			out = append(out, k.Title)
		}
	}
	if len(out) == 0 {
		return "any part"
	}
	return strings.Join(out, ", ")
}

func (b *Base) modeTitles(ids []string) string {
	var out []string
	for _, id := range ids {
		if m := b.Mode(id); m != nil {
			out = append(out, m.Title)
		}
	}
	if len(out) == 0 {
		return "any fault"
	}
	return strings.Join(out, ", ")
}

func (b *Base) meansTable() string {
	var t table
	t.WriteString("A test that a part passed clears it only of the faults that the test would have shown. Good tests with the same blind spot count once.\n\n")
	t.head("Blind spot", "Test", "Of", "Fault", "Would show it", "Why", "Basis")
	for i := range b.BlindSpots {
		s := &b.BlindSpots[i]
		t.row(idWords(s.ID), meansWords(s.Means), b.kindTitles(s.Kinds), b.modeTitles(s.Modes), percent(s.Shows), s.Says, string(s.Basis))
	}
	t.WriteString("\nWhere none of these is met, a test shows the fault as often as this, half as often where the fault sits at the plug or in the lead; a part that is well passes " + percent(b.Derived.GoodElsewhere) + " of the time. Basis of all figures: " + string(b.Derived.Basis) + ".\n\n")
	t.head("Test", "Would show it, by fault")
	for _, m := range sortedKeys(b.Derived.Means) {
		t.row(idWords(m), b.byModeWords(b.Derived.Means[m]))
	}
	return t.String()
}

func (b *Base) comeGoTable() string {
	var t table
	t.WriteString("What is done, what it does to a trouble of each failure mode (chance that it changes anything; how much of that brings the trouble on; how much of the rest holds only for a while), and the caution that stands before it. Basis of all figures: " + string(b.Derived.Basis) + ".\n\n")
	t.head("Done", "Fault: changes, of that brings it on, of the rest for a while", "By chance", "Caution")
	for i := range b.Derived.ComeGo {
		a := &b.Derived.ComeGo[i]
		var cells []string
		for _, m := range sortedKeys(a.Modes) {
			title := m
			if x := b.Mode(m); x != nil {
				title = x.Title
			}
			cells = append(cells, fmt.Sprintf("%s: %s, %s, %s", title, percent(a.Modes[m]), percent(byMode(a.Brings, m, 0.3)), percent(byMode(a.ForAWhile, m, 0.5))))
		}
		t.row(a.Title, strings.Join(cells, "; "), percent(a.Base), a.Caution)
	}
	t.WriteString("\nTo some kinds of part it means something else:\n\n")
	t.head("Done to", "Why", "Fault: changes", "By chance", "Caution")
	for i := range b.Derived.ComeGo {
		for k := range b.Derived.ComeGo[i].Of {
			a, x := &b.Derived.ComeGo[i], &b.Derived.ComeGo[i].Of[k]
			of := b.byModeWords(x.Modes)
			if x.Lead > 0 {
				of += "; its lead shorted " + percent(x.Lead)
			}
			t.row(a.ofTitle(b, x), x.Why, of, percent(x.Base), x.Caution)
		}
	}
	return t.String()
}

func (b *Base) looksTable() string {
	var t table
	t.WriteString("How often a healthy old car shows the look, and how often a part that failed so does. Only broken, missing, unplugged and leaking now are near proof, of that state alone. Basis of all figures: " + string(b.Derived.Basis) + "; some parts have a base of their own.\n\n")
	t.head("Look", "On healthy old cars", "Near proof", "When the part has failed so")
	for _, l := range b.Derived.Looks {
		near := "no"
		if l.Near {
			near = "yes"
		}
		var cells []string
		for _, m := range sortedKeys(l.Modes) {
			if x := b.Mode(m); x != nil {
				cells = append(cells, x.Title+" "+percent(l.Modes[m]))
			}
		}
		t.row(l.Title, percent(l.Base), near, strings.Join(cells, "; "))
	}
	return t.String()
}

func (b *Base) swapTable() string {
	var t table
	d := &b.Derived
	t.WriteString("Where the trouble is after a part was changed over with its twin, by where the fault sits. Never done to find out in: " + strings.Join(d.NeverSwapped, ", ") + ". Basis of all figures: " + string(d.Basis) + ".\n\n")
	t.head("Fault sits", "Moved with the part", "Stayed", "Gone", "Unclear")
	for _, place := range sortedKeys(d.Swapped) {
		r := d.Swapped[place]
		t.row(placeTitles[place], percent(r["moved"]), percent(r["stayed"]), percent(r["gone"]), percent(r["unclear"]))
	}
	t.WriteString("\nWhat was put in can be bad itself:\n\n")
	t.head("Put in", "Bad")
	t.row("new", percent(d.Replaced["in-part"]["same"]))
	for _, k := range sortedKeys(d.Spare) {
		t.row(k, percent(d.Spare[k]))
	}
	return t.String()
}

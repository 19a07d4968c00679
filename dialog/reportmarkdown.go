package dialog

import (
	"fmt"
	"slices"
	"strings"
)

// Markdown writes a report as a page: headings, lists and links of the form
// [title](article:ID).
func Markdown(r *Report) string {
	d := &page{}
	d.line("# %s", escaped(r.Title))
	d.para(r.StatusText)
	d.facts(r)
	d.complaint(r)
	d.found("Conditions", r.Conditions)
	d.found("What went before", r.Events)
	d.found("Findings and readings", r.Findings)
	d.found("Said, and not counted", r.Opinions)
	d.ruledOut(r)
	d.cause(r)
	d.circuit(r)
	d.repairs(r)
	d.proof(r)
	d.cost(r)
	d.decision(r)
	d.armed(r)
	d.list("Warnings given", r.Stops)
	d.list("Cautions given", r.Cautions)
	d.timeline(r)
	d.list("What remains open", r.Open)
	d.cites(r)
	return d.String()
}

// HandOver writes what a shop needs: what was found and by what means, what
// not to repeat, what is suspected, and what was done to the car.
func HandOver(r *Report) string {
	d := &page{}
	d.line("# For the workshop: %s", escaped(lowerFirst(r.Title)))
	d.para("Notes of the owner's own checks. " + r.StatusText + " Judge them by the means stated; probabilities come from a knowledge base, not from measurement.")
	d.facts(r)
	d.complaint(r)
	d.found("When it shows", r.Conditions)
	d.found("What went before", r.Events)
	d.found("Found, and by what means", r.Findings)
	var again []string
	for _, f := range r.Findings {
		if f.Test != "" && slices.Contains([]string{saidBy["measured"], saidBy["tried"], saidBy["seen"]}, f.By) {
			again = append(again, fmt.Sprintf("%s: %s, %s", f.Title, f.Said, f.By))
		}
	}
	for _, x := range r.Repairs {
		again = append(again, x.Title+": "+lowerFirst(x.Changed))
	}
	d.list("Need not be repeated without a reason", again)
	d.ruledOut(r)
	if r.Cause != nil && r.Cause.Sure != "suspected" {
		d.cause(r)
	} else {
		d.suspects(r)
	}
	d.circuit(r)
	d.list("What remains open", r.Open)
	return d.String()
}

// page gathers Markdown.
type page struct{ strings.Builder }

func (d *page) line(format string, args ...any) { fmt.Fprintf(d, format+"\n", args...) }

func (d *page) para(t string) {
	if t != "" {
		d.line("\n%s", t)
	}
}

func (d *page) head(t string) { d.line("\n## %s\n", t) }

func (d *page) list(head string, lines []string) {
	if len(lines) == 0 {
		return
	}
	d.head(head)
	for _, l := range lines {
		d.line("- %s", oneLine(l))
	}
}

func (d *page) facts(r *Report) {
	var parts []string
	for _, f := range r.Vehicle {
		parts = append(parts, f.Title+" "+escaped(f.Value))
	}
	if len(parts) > 0 {
		d.para("Vehicle: " + strings.Join(parts, ", ") + ".")
	}
}

func (d *page) complaint(r *Report) {
	if r.Complaint.Title == "" {
		return
	}
	d.head("Complaint")
	d.line("%s", sentence(upperFirst(r.Complaint.Title)))
	if r.Complaint.Words != "" {
		d.line("\n> %s", escaped(r.Complaint.Words))
	}
	if len(r.Complaint.Also) > 0 {
		d.line("\nAlso: %s", sentence(lowerFirst(strings.Join(r.Complaint.Also, ", "))))
	}
}

func (d *page) found(head string, list []Found) {
	var lines []string
	for _, f := range list {
		l := fmt.Sprintf("%s: **%s** (%s", escaped(upperFirst(f.Title)), escaped(f.Said), f.By)
		if f.When != "" {
			l += ", " + f.When
		}
		if f.Present == "no" {
			l += ", while the trouble was absent"
		}
		l += ")"
		if f.Expected != "" {
			l += "; expected: " + strings.TrimSuffix(f.Expected, ".")
		}
		if f.Tells != "" {
			l += ". " + f.Tells
		}
		lines = append(lines, sentence(l))
	}
	d.list(head, lines)
}

func (d *page) ruledOut(r *Report) {
	var lines []string
	for _, x := range r.RuledOut {
		lines = append(lines, fmt.Sprintf("[%s](article:%s), by %s: %s", x.Title, x.ID, lowerFirst(x.ByTitle), lowerFirst(x.ByOutcome)))
	}
	if r.RuledOutMore > 0 && len(lines) > 0 {
		lines = append(lines, fmt.Sprintf("and %d more that never were likely", r.RuledOutMore))
	}
	d.list("Ruled out, and by what", lines)
}

func (d *page) suspects(r *Report) {
	var lines []string
	for _, s := range r.Suspects {
		l := fmt.Sprintf("[%s](article:%s): %s", s.Title, s.ID, s.Plain)
		if len(s.For) > 0 {
			l += fmt.Sprintf("; for it %s (%s)", lowerFirst(s.For[0].Title), lowerFirst(s.For[0].Outcome))
		}
		if len(s.Against) > 0 {
			l += fmt.Sprintf("; against it %s (%s)", lowerFirst(s.Against[0].Title), lowerFirst(s.Against[0].Outcome))
		}
		lines = append(lines, l)
	}
	if len(lines) > 0 {
		lines = append(lines, "something else: "+plain(r.NoneOfThese))
	}
	d.list("Suspected", lines)
}

func (d *page) cause(r *Report) {
	if r.Cause == nil {
		d.suspects(r)
		return
	}
	c := r.Cause
	d.head(map[string]string{"proven": "Cause", "on trial": "Cause, on trial", "suspected": "Suspected cause"}[c.Sure])
	d.line("[%s](article:%s)%s", c.Title, c.ID, map[bool]string{true: "."}[c.Sure == "proven"]+map[bool]string{true: ", " + c.Plain + "."}[c.Sure != "proven"])
	var why []string
	for _, w := range c.For {
		if len(why) < 4 {
			why = append(why, lowerFirst(w.Title)+" ("+lowerFirst(w.Outcome)+")")
		}
	}
	if len(why) > 0 {
		d.line("\nIt stands on: %s.", list(why))
	}
	if c.Sure != "proven" && c.Driving != "" {
		d.line("\nDriving meanwhile: %s", sentence(c.Driving))
	}
}

func (d *page) circuit(r *Report) {
	if r.Circuit == nil {
		return
	}
	d.head("Circuit")
	d.line("[%s](article:%s): fault at the %s (%s).", r.Circuit.Title, r.Circuit.Article, lowerFirst(r.Circuit.Name), r.Circuit.Fault)
}

func (d *page) repairs(r *Report) {
	var lines []string
	for _, x := range r.Repairs {
		l := strings.TrimSuffix(x.Title, ".") + ": " + lowerFirst(x.Changed)
		if x.When != "" {
			l += " (" + x.When + ")"
		}
		lines = append(lines, sentence(l))
	}
	if len(lines) == 0 && r.Cause != nil {
		lines = append(lines, "To do: "+sentence(lowerFirst(r.Cause.Repair)))
	}
	d.list("Repair", lines)
}

func (d *page) proof(r *Report) {
	if r.Proof == nil {
		return
	}
	d.head("Proof")
	state := "Not seen yet"
	if r.Proof.Passed {
		state = "Seen"
	}
	d.line("%s: %s It shows %s.", state, sentence(r.Proof.Do), r.Proof.ShowsAfter)
	if r.Proof.Said != "" {
		d.line("\n%s", sentence(r.Proof.Said))
	}
}

func (d *page) cost(r *Report) {
	if r.Cost == nil {
		return
	}
	d.head("Cost and time")
	d.line("Parts %s, %s of work; with your time %s in all (%s).", r.Cost.Parts.say(), r.Cost.Minutes.sayMinutes(), r.Cost.Total.say(), r.Cost.Basis)
	if r.MinutesSpent > 0 {
		d.line("\nChecks and jobs done so far: about %s by the articles.", minutes(r.MinutesSpent))
	}
}

func (d *page) decision(r *Report) {
	x := r.Decision
	if x == nil || r.Cause == nil {
		return
	}
	d.head("Repair, stopgap or shop")
	d.line("- Repair: parts %s, %s; chance that it cures: %s.", x.Cost.Parts.say(), x.Cost.Minutes.sayMinutes(), plain(x.Cures))
	d.line("- Stopgap: %s", oneLine(x.stopgapText()))
	d.line("- Shop: about %s to find and mend it.", x.Shop.say())
	d.line("- Driving meanwhile: %s.", x.Risk)
	d.line("- What pays now: %s", sentence(x.Advice))
}

func (d *page) armed(r *Report) {
	for _, a := range r.Armed {
		d.list("Card for when it shows: "+lowerFirst(a.Title), append(slices.Clone(a.Cautions), a.Lines...))
	}
}

func (d *page) timeline(r *Report) {
	var lines []string
	for _, m := range r.Timeline {
		l := fmt.Sprintf("turn %d", m.Turn)
		if m.When != "" {
			l = m.When
		}
		l += ", " + strings.ReplaceAll(m.Kind, "-", " ") + ": " + escaped(m.Text)
		if !m.InForce {
			l = "~~" + l + "~~ (taken back)"
		}
		lines = append(lines, l)
	}
	d.list("Timeline", lines)
}

func (d *page) cites(r *Report) {
	var lines []string
	for _, c := range r.Cites {
		lines = append(lines, fmt.Sprintf("[%s](article:%s)", c.Title, c.ID))
	}
	d.list("Articles this stands on", lines)
}

// oneLine folds the white space of a text, so that it can stand in a list.
func oneLine(t string) string { return strings.Join(strings.Fields(t), " ") }

// escaped is a person's own words without meaning as Markdown.
func escaped(t string) string { return marks.Replace(oneLine(t)) }

var marks = strings.NewReplacer(`\`, `\\`, "`", "\\`", "*", `\*`, "_", `\_`, "[", `\[`, "]", `\]`, "<", `\<`, ">", `\>`, "#", `\#`, "~", `\~`, "!", `\!`, "|", `\|`)

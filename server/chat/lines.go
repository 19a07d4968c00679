package chat

import (
	"math"
	"slices"
	"strings"
	"sync"

	"ruleout/server/casebook"
)

// lines are what the cases came to, as far as it is known: read from the file
// once, made anew for cases that went on.
type lines struct {
	mu    sync.Mutex
	read  bool
	known map[string]casebook.Line
	// version grows with every change, for whoever keeps something made of them.
	version int
}

// Listed is a case as a list shows it.
type Listed struct {
	casebook.Summary
	State string   `json:"state"`
	Title string   `json:"title"`
	Recap []string `json:"recap"`
	// Vehicle is the vehicle in words, Sheet the id of its sheet, if any.
	Vehicle string   `json:"vehicle,omitempty"`
	Sheet   string   `json:"sheet,omitempty"`
	Armed   []string `json:"armed,omitempty"`
}

// List returns the cases that have a turn, newest first.
func (d *Desk) List() ([]Listed, error) {
	list, known, err := d.refresh()
	if err != nil {
		return nil, err
	}
	sheets, err := d.book.VehicleOf()
	if err != nil {
		return nil, err
	}
	out := make([]Listed, len(list))
	for i, s := range list {
		l := known[s.ID]
		out[i] = Listed{Summary: s, State: l.State, Title: l.Title, Recap: orEmpty(l.Recap), Vehicle: l.Vehicle, Sheet: sheets[s.ID], Armed: l.Armed}
	}
	return out, nil
}

// refresh brings the lines up to date and returns them with the cases, newest
// first.
func (d *Desk) refresh() ([]casebook.Summary, map[string]casebook.Line, error) {
	list, err := d.book.List()
	if err != nil {
		return nil, nil, err
	}
	d.lines.mu.Lock()
	defer d.lines.mu.Unlock()
	if !d.lines.read {
		if d.lines.known, err = d.book.Lines(); err != nil {
			return nil, nil, err
		}
		d.lines.read = true
	}
	fresh := map[string]casebook.Line{}
	here := make(map[string]casebook.Line, len(list))
	for _, s := range list {
		l, ok := d.lines.known[s.ID]
		if !ok || l.Turns != s.Turns {
			if l, err = d.line(s.ID); notFound(err) {
				continue // deleted meanwhile
			} else if err != nil {
				return nil, nil, err
			}
			fresh[s.ID] = l
		}
		here[s.ID] = l
	}
	if len(fresh) > 0 || len(here) != len(d.lines.known) {
		d.lines.known = here
		d.lines.version++
	}
	if len(fresh) > 0 {
		if err := d.book.KeepLines(fresh); err != nil {
			return nil, nil, err
		}
	}
	return slices.DeleteFunc(list, func(s casebook.Summary) bool { _, ok := here[s.ID]; return !ok }), here, nil
}

// line makes the line of a case from where it stands.
func (d *Desk) line(id string) (casebook.Line, error) {
	c, err := d.peek(id)
	if err != nil {
		return casebook.Line{}, err
	}
	c.mu.Lock()
	defer c.mu.Unlock()
	c.follow(d.Engine())
	r := c.engine.Report(c.state)
	l := casebook.Line{Turns: len(c.turns), State: r.Status, Title: r.Complaint.Title, Chief: r.Complaint.ID, Minutes: c.timed()}
	if l.Title == "" && len(c.turns) > 0 {
		l.Title = firstWords(c.turns[0].Turn.Text)
	}
	var facts, found, said []string
	for _, f := range r.Vehicle {
		facts = append(facts, f.Value)
	}
	for _, x := range slices.Concat(r.Conditions, r.Events, r.Findings) {
		found = append(found, x.Title+": "+x.Said)
	}
	if k := r.Cause; k != nil && k.Sure == "proven" {
		l.Causes = []string{k.ID}
		found = append(found, k.Title)
	}
	for _, x := range r.Repairs {
		found = append(found, x.Title)
	}
	for _, x := range c.turns {
		if x.Turn.Tap == nil { // what was tapped is the article's wording
			said = append(said, x.Turn.Text)
		}
	}
	l.Vehicle, l.Found, l.Said = strings.Join(facts, ", "), cut(strings.Join(found, "\n")), cut(strings.Join(said, "\n"))
	l.Recap = c.recap()
	if e := c.ended(); e != nil && r.Status != "cured" {
		l.State, l.Recap = e.As, append(l.Recap[:min(2, len(l.Recap))], endedWords(e))
		l.Said += "\n" + e.Note
	}
	if n := len(c.turns); n > 0 {
		for _, a := range c.turns[n-1].Reply.Armed {
			l.Armed = append(l.Armed, a.Title+": "+strings.Join(append(slices.Clone(a.Cautions), a.Lines...), " "))
		}
	}
	return l, nil
}

// lineWordsMost is how much of a case's words the search looks at, in bytes.
const lineWordsMost = 32 << 10

func cut(text string) string {
	return strings.ToValidUTF8(text[:min(len(text), lineWordsMost)], "")
}

// firstWords are the first words of a turn, to stand in a list.
func firstWords(text string) string {
	first := []rune(strings.Join(strings.Fields(text), " "))
	if len(first) > 120 {
		first = append(first[:119], '…')
	}
	if len(first) == 0 {
		return "(no words)"
	}
	return string(first)
}

// A timing counts when it lies within a quarter and four times what the
// article says: less is an answer from memory, more a pause.
const timingWithin = 4.0

// timed is how long checks took: from the reply that proposed one to the turn
// that told its outcome, less what brings the car into its state.
func (c *conversation) timed() map[string]float64 {
	out := map[string]float64{}
	for i := 1; i < len(c.turns); i++ {
		n := c.turns[i-1].Reply.Next
		if n == nil || n.Kind != "test" {
			continue
		}
		t := c.engine.Base().Test(n.Article)
		if t == nil || t.Minutes <= 0 {
			continue
		}
		told := false
		for _, x := range c.turns[i].Reply.Noted {
			told = told || x.Finding == n.ID
		}
		minutes := c.turns[i].When.Sub(c.turns[i-1].When).Minutes() - (n.Minutes - c.state.Takes(t))
		if told && minutes >= t.Minutes/timingWithin && minutes <= t.Minutes*timingWithin {
			out[t.ID] = math.Round(minutes*10) / 10
		}
	}
	if len(out) == 0 {
		return nil
	}
	return out
}

package dialog

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"ruleout/dialog/circuit"
	"ruleout/dialog/circuit/drawing"
	"ruleout/kb"
)

// ErrNoDrawing means that there is no such circuit, arrangement, state or
// cause to draw.
var ErrNoDrawing = errors.New("there is no such drawing")

// Draw draws a circuit in one arrangement: as an SVG document, and in words
// for those who can't see it. Setup is a state of the article, empty for all
// controls at rest; cause is what is wrong in it, empty for nothing.
func (e *Engine) Draw(circuitID, arrangement, setup, cause string) (svg, words string, err error) {
	w := e.wiringOf(circuitID)
	if w == nil {
		return "", "", fmt.Errorf("%w: circuit %q", ErrNoDrawing, circuitID)
	}
	i := slices.IndexFunc(w.article.Arrangements, func(a kb.CircuitArrangement) bool { return a.ID == arrangement })
	if i < 0 {
		return "", "", fmt.Errorf("%w: arrangement %q of %q", ErrNoDrawing, arrangement, circuitID)
	}
	o := drawing.Options{Arrangement: arrangement, Terminals: map[string]string{}, Title: w.article.Title + ": " + w.article.Arrangements[i].Title}
	o.Setup = circuit.Setup{ID: "rest"}
	if setup != "" {
		su := w.setup(setup)
		if su == nil {
			return "", "", fmt.Errorf("%w: state %q of %q", ErrNoDrawing, setup, circuitID)
		}
		o.Setup, _ = w.state(setup)
		o.Title += "; " + su.Title
	}
	if cause != "" {
		n, known := e.number[cause]
		f, can := w.c.Typical(arrangement, cause)
		if !known || !can {
			return "", "", fmt.Errorf("%w: %q in arrangement %q of %q", ErrNoDrawing, cause, arrangement, circuitID)
		}
		o.Fault, o.FaultTitle = f, faultWords(f)
		o.Title += "; " + lowerFirst(brief(e.base.Causes[n].Title))
	}
	for _, p := range w.article.Points {
		if p.Terminal != "" {
			o.Terminals[p.Node] = p.Terminal
		}
	}
	d, err := drawing.Draw(w.c, o)
	if err != nil {
		return "", "", fmt.Errorf("%w: %w", ErrNoDrawing, err)
	}
	return d.SVG, strings.Join(d.Words, " "), nil
}

// faultWords says a fault shortly.
func faultWords(f circuit.Faulted) string {
	words := map[circuit.FaultKind]string{
		circuit.Open: "open", circuit.High: "resistance " + circuit.Words(circuit.Ohms, f.Ohms), circuit.Short: "shorted", circuit.Leak: "leaks, " + circuit.Words(circuit.Ohms, f.Ohms),
		circuit.Grounded: "touches ground", circuit.StuckOpen: "never closes", circuit.StuckClosed: "never opens", circuit.CoilOpen: "coil open",
		circuit.CoilShort: "coil shorted", circuit.Seized: "seized", circuit.Flat: "flat",
	}
	return words[f.Fault]
}

// CircuitPage is what the page of a circuit offers to draw and says beside it.
type CircuitPage struct {
	Arrangements, Setups, Causes []Choice
	// Alike are groups of causes that no check of the circuit tells apart, in
	// words.
	Alike []string
}

// Choice is one thing to choose, with its title.
type Choice struct{ ID, Title string }

// CircuitPage describes the page of a circuit; false if there is none.
func (e *Engine) CircuitPage(id string) (CircuitPage, bool) {
	w := e.wiringOf(id)
	if w == nil {
		return CircuitPage{}, false
	}
	var p CircuitPage
	for _, a := range w.article.Arrangements {
		p.Arrangements = append(p.Arrangements, Choice{a.ID, a.Title})
	}
	for _, s := range w.article.Setups {
		p.Setups = append(p.Setups, Choice{s.ID, s.Title})
	}
	for _, n := range w.cause {
		if n >= 0 {
			p.Causes = append(p.Causes, Choice{e.base.Causes[n].ID, e.base.Causes[n].Title})
		}
	}
	w.tabulated()
	if w.table == nil {
		return p, true
	}
	for _, g := range w.alike {
		var names []string
		sound := false
		for _, cause := range g {
			if n, ok := e.number[cause]; ok {
				names = append(names, lowerFirst(brief(e.base.Causes[n].Title)))
			}
			sound = sound || cause == ""
		}
		text := upperFirst(strings.Join(names, ", ")) + " look alike from every point that can be reached; a look at the parts or a trial repair tells them apart."
		if sound {
			text = upperFirst(strings.Join(names, ", ")) + " shows in nothing that can be reached here: only a look at the part tells."
		}
		p.Alike = append(p.Alike, text)
	}
	return p, true
}

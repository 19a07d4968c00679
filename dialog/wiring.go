package dialog

import (
	"fmt"
	"strings"
	"sync"

	"ruleout/dialog/circuit"
	"ruleout/dialog/circuit/authored"
	"ruleout/kb"
)

// wiring is a circuit article made ready: its solver and the causes that its
// faults belong to.
type wiring struct {
	article *kb.Circuit
	c       *circuit.Circuit
	// cause is the number of each hypothesis's cause, -1 for the sound circuit
	// and for causes that are not in the articles.
	cause []int
	// of finds what a cause is seen as: its own hypothesis or, of one that no
	// fault of the netlist is named for, those of its kin.
	of map[int][]seenAs
	// kin are the causes of the second sort, in the order of their numbers.
	kin []int
	// sound is the variant without a fault of each arrangement.
	sound []int
	// words name the circuit when people speak of it.
	words map[string]bool

	tabulate sync.Once
	table    *circuit.Table
	alike    [][]string     // causes that no check tells apart
	column   map[string]int // of the table, by the id of the check

	couple sync.Once
	both   *circuit.Couples
	bothOf [][2]int // the causes of each couple
}

// mapped is a finding of an article that a circuit knows as something seen.
type mapped struct {
	w *wiring
	o *kb.CircuitObserved
}

// compileCircuits makes every circuit ready and files the findings of other
// articles that they know.
func (e *Engine) compileCircuits() error {
	e.mapped = map[string]mapped{}
	for _, a := range e.base.Circuits {
		c, err := authored.Compile(a)
		if err != nil {
			return err
		}
		w := &wiring{article: a, c: c, of: map[int][]seenAs{}, words: circuitNames(a)}
		for h, hyp := range c.Hypotheses() {
			n, ok := e.number[hyp.Cause]
			if !ok {
				n = -1
			} else {
				w.of[n] = []seenAs{{h, 1}}
			}
			w.cause = append(w.cause, n)
		}
		w.sound = make([]int, len(c.Arrangements))
		for _, v := range c.Truths("") {
			w.sound[c.ArrangementAt(v)] = v
		}
		e.circuits = append(e.circuits, w)
		for i := range a.Observed {
			if o := &a.Observed[i]; e.mapped[o.Finding].w == nil {
				e.mapped[o.Finding] = mapped{w, o}
			}
		}
	}
	return nil
}

// wiringOf returns the circuit with the id, or nil.
func (e *Engine) wiringOf(id string) *wiring {
	for _, w := range e.circuits {
		if w.article.ID == id {
			return w
		}
	}
	return nil
}

// predict returns what a check shows under every variant: from the table of
// all authored checks, made once, or solved for itself. The error is nil for
// every check that parseCheck returns.
func (w *wiring) predict(id string, ch circuit.Check) ([]float64, error) {
	if w.setup(ch.Setup.ID) == nil {
		return w.c.Predict(ch)
	}
	w.tabulated()
	k, ok := w.column[id]
	if w.table == nil || !ok {
		return w.c.Predict(ch)
	}
	return w.table.Column(k), nil
}

// tabulated makes the table of all authored checks, once.
func (w *wiring) tabulated() {
	w.tabulate.Do(func() {
		t, err := w.c.Tabulate()
		if err != nil {
			return
		}
		w.column = map[string]int{}
		for k := range t.Checks {
			w.column[w.checkID(t.Checks[k])] = k
		}
		w.table, w.alike = t, w.c.Groups(t)
	})
}

// setup returns the authored setup with the id, or nil.
func (w *wiring) setup(id string) *kb.CircuitSetup {
	for i := range w.article.Setups {
		if w.article.Setups[i].ID == id {
			return &w.article.Setups[i]
		}
	}
	return nil
}

func (w *wiring) point(node string) *kb.CircuitPoint {
	for i := range w.article.Points {
		if w.article.Points[i].Node == node {
			return &w.article.Points[i]
		}
	}
	return nil
}

func (w *wiring) element(id string) *kb.CircuitElement {
	for i := range w.article.Elements {
		if w.article.Elements[i].ID == id {
			return &w.article.Elements[i]
		}
	}
	return nil
}

func (w *wiring) pull(id string) *kb.CircuitPull {
	for i := range w.article.Pulls {
		if w.article.Pulls[i].ID == id {
			return &w.article.Pulls[i]
		}
	}
	return nil
}

// terminalWords names a node that is named by a part's terminal.
func (w *wiring) terminalWords(node string) string {
	el, terminal, ok := strings.Cut(node, ".")
	if !ok {
		return "point " + node
	}
	return "terminal " + terminal + " of the " + w.elementTitle(el)
}

// place names a node for people, with its terminal number if it has one.
func (w *wiring) place(node string) string {
	if node == w.article.Ground {
		return "the battery's negative post"
	}
	p := w.point(node)
	if p == nil {
		return w.terminalWords(node)
	}
	if p.Terminal != "" && !hasPhrase(asciiLower(p.Title), asciiLower(p.Terminal)) {
		return fmt.Sprintf("%s (terminal %s)", p.Title, p.Terminal)
	}
	return p.Title
}

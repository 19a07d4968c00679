package dialog

import "strings"

// doable is what a person is to do or say for a check that no article words:
// it follows from a table.
type doable struct {
	title    string
	why      string // empty: what it splits
	steps    []string
	cautions []string
	alone    string
	minutes  float64
	quick    []Quick
	article  string
	question bool // answered without touching the car
}

// doableNext words such a check.
func (e *Engine) doableNext(c candidate, n *Next) *Next {
	d := c.do
	n.Kind, n.Title, n.Article, n.Minutes = "test", d.title, d.article, d.minutes
	if d.question {
		n.Kind = "question"
	}
	n.Why = d.why
	if n.Why == "" {
		n.Why = e.splitWords(n)
	}
	n.Steps, n.Cautions, n.Alone, n.Quick = d.steps, d.cautions, d.alone, d.quick
	return n
}

// doableCost is what it costs: its minutes, and its dangers.
func (e *Engine) doableCost(d *doable) float64 {
	return d.minutes*e.settings.MinuteCost + riskOfHazard*float64(len(d.cautions))
}

// taps offers outcomes of a finding by the words given, in pairs of words and
// outcome.
func taps(finding string, pairs ...string) []Quick {
	var out []Quick
	for i := 0; i+1 < len(pairs); i += 2 {
		out = append(out, Quick{Text: pairs[i], Tap: Tap{Finding: finding, Outcome: pairs[i+1]}})
	}
	return out
}

var cannotTap = Quick{Text: "can't do that", Tap: Tap{Request: "cannot"}}

// filled puts the part's name in place of %s in each step.
func filled(steps []string, name string) []string {
	out := make([]string, len(steps))
	for i, s := range steps {
		out[i] = strings.ReplaceAll(s, "%s", name)
	}
	return out
}

package kb

import (
	"fmt"
	"strings"
)

// Ways are more ways of saying what a finding shows, written as patterns: the
// everyday names of the thing, of the noise and of the moment multiply, so that
// a line stands for dozens of sentences. They are for the reader alone; what is
// shown to people is the sign's or article's own Said.
type Ways struct {
	// For is a symptom, or a finding and its outcome: "fan-runs=never".
	For string `yaml:"for" json:"for"`
	// Said holds patterns, see Slots.
	Said  []string `yaml:"said" json:"said"`
	Basis Basis    `yaml:"basis" json:"basis"`
}

// Target cuts For into the finding and its outcome, "present" for a symptom.
func (w Ways) Target() (finding, outcome string) { return target(w.For) }

func target(written string) (finding, outcome string) {
	finding, outcome, ok := strings.Cut(written, "=")
	if !ok {
		outcome = "present"
	}
	return finding, outcome
}

// Slots cuts a pattern into its plain pieces and its groups, each as a list of
// alternatives. A group in round brackets stands for one of its alternatives,
// of which one may be empty: "(front|) (discs|brakes) (howl|moan)" is three
// slots and eight wordings.
func Slots(pattern string) ([][]string, error) {
	var out [][]string
	for rest := pattern; rest != ""; {
		plain, group := rest, ""
		if open := strings.IndexByte(rest, '('); open < 0 {
			rest = ""
		} else {
			end := strings.IndexByte(rest, ')')
			if end < open || strings.IndexByte(rest[open+1:end], '(') >= 0 {
				return nil, fmt.Errorf("brackets do not match in %q", pattern)
			}
			plain, group, rest = rest[:open], rest[open+1:end], rest[end+1:]
		}
		if strings.ContainsAny(plain, "|)") {
			return nil, fmt.Errorf("alternatives outside brackets in %q", pattern)
		}
		if plain = strings.Join(strings.Fields(plain), " "); plain != "" {
			out = append(out, []string{plain})
		}
		if group != "" {
			out = append(out, strings.Split(group, "|"))
		}
	}
	if len(out) == 0 {
		return nil, fmt.Errorf("%q says nothing", pattern)
	}
	return out, nil
}

// sayable checks that what an entry is for is a finding that there is.
func (c *checker) sayable(e *entry, written string) {
	finding, outcome := target(written)
	f := c.base.Finding(finding)
	_, sign := c.set.entries["signs"][finding]
	switch {
	case f == nil && !sign && c.base.symptoms[finding] == nil:
		c.fail(e, p("for"), "", "no finding %q", finding)
	case f != nil && f.OutcomeIndex(outcome) < 0:
		c.fail(e, p("for"), "", "finding %q has no outcome %q", finding, outcome)
	}
}

// checkWays checks that the patterns can be read and say something of a finding
// that there is.
func (c *checker) checkWays(e *entry, w *Ways) {
	c.sayable(e, w.For)
	c.said(e, p("said"), w.Said)
	for i, s := range w.Said {
		if _, err := Slots(s); err != nil {
			c.fail(e, p("said", i), "", "%v", err)
		}
	}
	c.basis(e, p("basis"), w.Basis)
}

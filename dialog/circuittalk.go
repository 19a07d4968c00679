package dialog

import (
	"fmt"
	"strings"

	"ruleout/dialog/circuit"
	"ruleout/kb"
)

// circuitNames are the words by which people mean this circuit rather than
// another: those of its title and of the way it is asked for.
func circuitNames(a *kb.Circuit) map[string]bool {
	out := map[string]bool{}
	for _, t := range append([]string{a.Title}, a.Said...) {
		for _, word := range strings.FieldsFunc(strings.ToLower(t), func(r rune) bool { return r < 'a' || r > 'z' }) {
			if len(word) >= 3 && !common[word] {
				out[word] = true
				out[strings.TrimSuffix(word, "s")] = true
			}
		}
	}
	return out
}

// common are words that name no circuit by themselves.
var common = wordSet(`circuit circuits wiring diagram wired wire wires relay know dont don find with what this that electric
	electrical draw draws drawing drawn current while parked pull pulling fuses fuse draws light lights switch switches resistor pack works motor two start starts
	one from when only power how the for and are has why can not its`)

func wordSet(s string) map[string]bool {
	out := map[string]bool{}
	for _, w := range strings.Fields(s) {
		out[w] = true
	}
	return out
}

// stateWords says a state of the car for people.
func (w *wiring) stateWords(s circuit.Setup) string {
	if x := w.setup(s.ID); x != nil {
		return x.Title
	}
	var parts []string
	for _, c := range w.article.Controls {
		v, set := s.Set[c.ID]
		if !set {
			v = c.Default
		}
		if len(c.Settings) == 0 {
			if set {
				if said := c.Said[v]; len(said) > 0 {
					parts = append(parts, said[0])
				} else {
					parts = append(parts, fmt.Sprintf("%s at %s %s", c.Title, v, c.Unit))
				}
			}
			continue
		}
		if set || c.ID == "key" {
			parts = append(parts, w.settingWords(&c, v))
		}
	}
	for _, id := range s.Pulled {
		parts = append(parts, w.pulledWords(id))
	}
	if fedByName(s) {
		el, _, _ := strings.Cut(s.Fed[0], ".")
		parts = append(parts, w.elementTitle(el)+" fed straight from the battery")
		s.Fed, s.Earthed = nil, nil
	}
	for _, b := range s.Bridged {
		if x, _, ok := strings.Cut(b[0], "."); ok && b[0] == x+".a" && b[1] == x+".b" {
			parts = append(parts, w.elementTitle(x)+" bridged")
			continue
		}
		parts = append(parts, w.shortPlace(b[0])+" joined to "+w.shortPlace(b[1]))
	}
	for _, n := range s.Fed {
		parts = append(parts, w.shortPlace(n)+" fed from the battery")
	}
	for _, n := range s.Earthed {
		parts = append(parts, w.shortPlace(n)+" joined to earth")
	}
	for _, id := range s.Swapped {
		if el := w.element(id); el != nil {
			parts = append(parts, el.Title+" changed for a known good one")
		}
	}
	return strings.Join(parts, ", ")
}

func (w *wiring) settingWords(c *kb.CircuitControl, v string) string {
	if c.ID == "key" {
		return map[string]string{"off": "key off", "run": "key on", "start": "key at start"}[v]
	}
	if said := c.Said[v]; len(c.Settings) == 0 && len(said) > 0 {
		return said[0]
	}
	return c.Title + " " + v
}

// pulledWords says what a pull leaves: "fan switch unplugged".
func (w *wiring) pulledWords(id string) string {
	p := w.pull(id)
	if p == nil {
		return ""
	}
	for _, verb := range []string{"unplug ", "pull ", "disconnect ", "take "} {
		if rest, ok := strings.CutPrefix(p.Title, verb); ok {
			done := map[string]string{"unplug ": "unplugged", "pull ": "pulled", "disconnect ": "disconnected", "take ": "taken off"}[verb]
			rest = strings.TrimPrefix(rest, "the ")
			return rest + " " + done
		}
	}
	return p.Title + ": done"
}

// shortPlace names a node shortly: by its terminal where it has one.
func (w *wiring) shortPlace(node string) string {
	if node == w.article.Ground {
		return "earth"
	}
	p := w.point(node)
	switch {
	case p == nil:
		return w.terminalWords(node)
	case p.Terminal != "":
		return p.Terminal
	}
	return p.Title
}

// checkTitle names a check as a finding.
func (w *wiring) checkTitle(ch circuit.Check) string {
	if el := w.element(ch.Element); ch.What == circuit.Bench && (el == nil || el.Control == "") {
		return w.seenWords(ch) // out of the car no key matters
	}
	return w.seenWords(ch) + " (" + w.stateWords(ch.Setup) + ")"
}

func (w *wiring) seenWords(ch circuit.Check) string {
	switch ch.What {
	case circuit.Volts:
		if ch.B == w.article.Ground {
			return "volts at " + w.place(ch.A)
		}
		return "volts between " + w.place(ch.A) + " and " + w.place(ch.B)
	case circuit.Ohms:
		return "ohms between " + w.place(ch.A) + " and " + w.place(ch.B)
	case circuit.Bench:
		return fmt.Sprintf("ohms of the %s, taken out, %s", w.elementTitle(ch.Element), ends(ch))
	case circuit.Amps:
		return "amperes through the " + w.elementTitle(ch.Element)
	}
	return w.elementTitle(ch.Element)
}

// ends names the terminals between which a part is measured; those of one that
// has only two carry no number.
func ends(ch circuit.Check) string {
	if ch.A == "a" && ch.B == "b" {
		return "across its two terminals"
	}
	return "between " + ch.A + " and " + ch.B
}

func (w *wiring) elementTitle(id string) string {
	if el := w.element(id); el != nil {
		return el.Title
	}
	return id
}

// askWords puts a check as a question.
func (w *wiring) askWords(ch circuit.Check) string {
	switch ch.What {
	case circuit.Works:
		return fmt.Sprintf("What %s the %s do with %s?", does(w.elementTitle(ch.Element)), w.elementTitle(ch.Element), w.stateWords(ch.Setup))
	case circuit.Clicks:
		return fmt.Sprintf("Does the %s click when you bring about: %s?", w.elementTitle(ch.Element), w.stateWords(ch.Setup))
	}
	return fmt.Sprintf("What does the meter show: %s, with %s?", w.seenWords(ch), w.stateWords(ch.Setup))
}

// does is the verb for a part: brake lamps do, a horn does.
func does(title string) string {
	if strings.HasSuffix(title, "s") && !strings.HasSuffix(title, "ss") {
		return "do"
	}
	return "does"
}

// leads says where the meter's leads go.
func (w *wiring) leads(ch circuit.Check) string {
	switch ch.What {
	case circuit.Volts:
		if ch.B == w.article.Ground {
			return "red at " + w.reached(ch.A) + ", black on the battery's negative post"
		}
		return "red at " + w.reached(ch.A) + ", black at " + w.reached(ch.B)
	case circuit.Ohms:
		return w.reached(ch.A) + " and " + w.reached(ch.B) + ", the supply off"
	case circuit.Bench:
		if ch.A == "a" && ch.B == "b" {
			return fmt.Sprintf("its two terminals, the %s taken out", w.elementTitle(ch.Element))
		}
		return fmt.Sprintf("terminals %s and %s of the %s, taken out", ch.A, ch.B, w.elementTitle(ch.Element))
	}
	return "in line with the " + w.elementTitle(ch.Element)
}

func (w *wiring) reached(node string) string {
	p := w.point(node)
	if p != nil && p.Reach == "back" {
		return w.place(node) + ", from behind the plug"
	}
	return w.place(node)
}

package circuit

import (
	"fmt"
	"math"
	"strings"
)

// Expected is what a check shows under one hypothesis in one arrangement, over
// the sizes its fault can have.
type Expected struct {
	Cause       string // "" sound
	Arrangement string
	Low, High   float64
	Missing     bool
}

// Expect answers "what should I read there?": for each arrangement the sound
// value first, then that under each of the causes (all of them if none is
// named).
func (c *Circuit) Expect(ch Check, causes ...string) ([]Expected, error) {
	x, err := c.Predict(ch)
	if err != nil {
		return nil, err
	}
	return c.ExpectOf(x, causes...), nil
}

// ExpectOf is Expect of a check that Predict made x of.
func (c *Circuit) ExpectOf(x []float64, causes ...string) []Expected {
	want := map[string]bool{"": true}
	for _, id := range causes {
		want[id] = true
	}
	var out []Expected
	for a := range c.wired {
		for h, hyp := range c.priors {
			if !hyp.Possible[a] || len(causes) > 0 && !want[hyp.Cause] {
				continue
			}
			e := Expected{Cause: hyp.Cause, Arrangement: c.Arrangements[a].ID, Low: math.Inf(1), High: math.Inf(-1)}
			for v, y := range c.variants {
				if y.arrangement != a || y.hypothesis != h {
					continue
				}
				if math.IsNaN(x[v]) {
					e.Missing, e.Low, e.High = true, 0, 0
					break
				}
				e.Low, e.High = min(e.Low, x[v]), max(e.High, x[v])
			}
			out = append(out, e)
		}
	}
	return out
}

// Words writes a value of an observation for people.
func Words(w What, v float64) string {
	switch w {
	case Volts:
		// A meter on its 20 V range shows hundredths.
		if v = math.Round(v*100) / 100; math.Abs(v) >= 10 {
			return fmt.Sprintf("%.1f V", v)
		}
		return fmt.Sprintf("%.2f V", v+0)
	case Amps:
		if math.Abs(v) < 0.0995 {
			return trim(v*1000, 0.5, "mA")
		}
		return trim(v, 0.005, "A")
	case Ohms, Bench:
		switch {
		case v >= MeterOver:
			return "no reading (open)"
		case v >= 1e6:
			return trim(v/1e6, 0, "MΩ")
		case v >= 1e3:
			return trim(v/1e3, 0, "kΩ")
		}
		return trim(v, 0.05, "Ω")
	}
	if v < 0 || v >= Effects || math.IsNaN(v) {
		return "nothing known"
	}
	if w == Clicks {
		return [...]string{"no click", "a weak click", "one click", "one click", "it buzzes"}[Effect(v)]
	}
	return [...]string{"nothing", "weakly", "fully", "the other way round", "on and off by itself"}[Effect(v)]
}

// does says what a part does, by kind and effect.
var does = map[Kind][Effects]string{
	Motor:  {"stands still", "runs slowly", "runs", "runs the other way round", "starts and stops by itself"},
	Lamp:   {"stays dark", "glows dimly", "lights", "lights", "goes on and off by itself"},
	Relay:  {"does not click", "clicks weakly", "clicks", "clicks", "buzzes"},
	Heater: {"does nothing", "works weakly", "works", "works", "works on and off by itself"},
}

// Say writes what a check shows: a reading, or what the part does.
func (c *Circuit) Say(ch Check, v float64) string {
	if ch.What != Works && ch.What != Clicks {
		return Words(ch.What, v)
	}
	i, ok := c.element[ch.Element]
	if !ok || v < 0 || v >= Effects || math.IsNaN(v) {
		return "nothing known"
	}
	title, words := c.Elements[i].Title, c.EffectWords(ch.Element, Effect(v))
	if strings.HasSuffix(title, "s") { // brake lamps stay dark, a lamp stays dark
		verb, rest, _ := strings.Cut(words, " ")
		if verb = strings.TrimSuffix(verb, "s"); verb == "doe" {
			verb = "do"
		}
		words = strings.TrimSpace(verb + " " + rest)
	}
	return title + " " + words
}

// trim writes three digits, and nought for what lies below a meter's eye.
func trim(v, eye float64, unit string) string {
	if math.Abs(v) <= eye {
		return "0 " + unit
	}
	s := fmt.Sprintf("%.3g", v)
	if strings.Contains(s, "e") {
		s = fmt.Sprintf("%.0f", v)
	}
	return s + " " + unit
}

// Words writes what is expected, as a range where the size of the fault
// matters.
func (e Expected) Words(w What) string {
	if e.Missing {
		return "there is no such point"
	}
	a, b := Words(w, e.Low), Words(w, e.High)
	if a == b {
		return a
	}
	return a + " to " + b
}

// Meaning is what a reading tells in one arrangement.
type Meaning struct {
	Arrangement string
	// Fits are the causes ("" sound) under which the reading is to be
	// expected, Against those under which it is not, in id order.
	Fits, Against []string
	Text          string
}

// fits is the likelihood ratio to a value that may be anything from which a
// reading counts as expected.
const fits = 1.0

// Explain says what an observation means in each arrangement. Name gives the
// title of a cause.
func (c *Circuit) Explain(o Observation, name func(cause string) string) ([]Meaning, error) {
	x, err := c.Predict(o.Check)
	if err != nil {
		return nil, err
	}
	spread := c.spread(&o.Check)
	var out []Meaning
	for a := range c.wired {
		m := Meaning{Arrangement: c.Arrangements[a].ID}
		for h, hyp := range c.priors {
			if !hyp.Possible[a] {
				continue
			}
			l := 0.0
			for v, y := range c.variants {
				if y.arrangement == a && y.hypothesis == h {
					l += y.weight * c.likeOf(&o, x[v], spread)
				}
			}
			if l >= fits {
				m.Fits = append(m.Fits, hyp.Cause)
			} else {
				m.Against = append(m.Against, hyp.Cause)
			}
		}
		m.Text = c.meaning(a, &m, o, name)
		out = append(out, m)
	}
	return out, nil
}

func (c *Circuit) meaning(a int, m *Meaning, o Observation, name func(string) string) string {
	arr := &c.Arrangements[a]
	var b strings.Builder
	fmt.Fprintf(&b, "If it is wired as %s: ", arr.Title)
	if t := strings.TrimSpace(arr.Tells); t != "" {
		b.WriteString(t)
		b.WriteString(" ")
	}
	var names []string
	sound := false
	for _, id := range m.Fits {
		if id == "" {
			sound = true
			continue
		}
		names = append(names, name(id))
	}
	shown := c.Say(o.Check, o.Value)
	switch {
	case sound && len(names) == 0:
		fmt.Fprintf(&b, "A sound circuit shows this (%s).", shown)
	case sound:
		fmt.Fprintf(&b, "A sound circuit shows this (%s); it leaves %s possible all the same.", shown, list(names))
	case len(names) == 0:
		fmt.Fprintf(&b, "Nothing I know of shows this (%s).", shown)
	default:
		fmt.Fprintf(&b, "This (%s) speaks for %s.", shown, list(names))
	}
	return b.String()
}

func list(names []string) string {
	switch n := len(names); n {
	case 0:
		return "nothing"
	case 1:
		return names[0]
	default:
		return strings.Join(names[:n-1], ", ") + " or " + names[n-1]
	}
}

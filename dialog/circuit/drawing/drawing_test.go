package drawing

import (
	"encoding/xml"
	"errors"
	"html"
	"io"
	"regexp"
	"strings"
	"testing"

	"ruleout/dialog/circuit"
	"ruleout/dialog/circuit/authored"
	"ruleout/kb"
)

// wellFormed reads a document to its end.
func wellFormed(s string) error {
	d := xml.NewDecoder(strings.NewReader(s))
	for {
		if _, err := d.Token(); err == io.EOF {
			return nil
		} else if err != nil {
			return err
		}
	}
}

// Every circuit is drawn in every arrangement and state, with every fault that
// can be there: well-formed, every part by its name, the fault named.
func TestEveryCircuitIsDrawn(t *testing.T) {
	b, _ := kb.Embedded()
	drawn := 0
	for _, a := range b.Circuits {
		c, err := authored.Compile(a)
		if err != nil {
			t.Fatal(err)
		}
		for _, r := range c.Arrangements {
			for k, s := range c.Setups {
				draw := func(cause string) {
					f, ok := c.Typical(r.ID, cause)
					if cause != "" && !ok {
						return
					}
					x, err := Draw(c, Options{Arrangement: r.ID, Setup: s, Fault: f, FaultTitle: "broken here", Title: a.Title})
					if errors.Is(err, circuit.ErrLacks) {
						return
					}
					if err != nil {
						t.Fatalf("%s, %s, %s: %v", a.ID, r.ID, s.ID, err)
					}
					drawn++
					if err := wellFormed(x.SVG); err != nil {
						t.Fatalf("%s, %s, %s: %v", a.ID, r.ID, s.ID, err)
					}
					text := words(x.SVG)
					for _, e := range c.Elements {
						if _, ok := r.Joins[e.ID]; ok && !strings.Contains(text, strings.Fields(e.Title)[0]) {
							t.Errorf("%s, %s: %q is not drawn", a.ID, r.ID, e.Title)
						}
					}
					if fault := strings.Contains(x.SVG, "✕ broken here"); fault != (cause != "") {
						t.Errorf("%s, %s, %s: fault %q is drawn: %v", a.ID, r.ID, s.ID, cause, fault)
					}
				}
				draw("")
				if k == 0 {
					for _, h := range c.Hypotheses()[1:] {
						draw(h.Cause)
					}
				}
			}
		}
	}
	t.Logf("%d drawings", drawn)
}

var texts = regexp.MustCompile(`<text[^>]*>([^<]*)</text>`)

func words(svg string) string {
	var out []string
	for _, m := range texts.FindAllStringSubmatch(svg, -1) {
		out = append(out, html.UnescapeString(m[1]))
	}
	return strings.Join(out, " ")
}

// What is live, dead and flowing is told apart by more than colour, and follows
// from the state: the fan of an ordinary circuit, cold and hot.
func TestLiveAndDead(t *testing.T) {
	b, _ := kb.Embedded()
	c, err := authored.Compile(b.Circuit("fan-circuit"))
	if err != nil {
		t.Fatal(err)
	}
	at := func(set map[string]string, pulled ...string) *Drawing {
		x, err := Draw(c, Options{Arrangement: "ordinary", Setup: circuit.Setup{ID: "try", Set: set, Pulled: pulled}})
		if err != nil {
			t.Fatal(err)
		}
		return x
	}
	cold, hot := at(map[string]string{"key": "run"}), at(map[string]string{"key": "run", "coolant": "105"})
	if w := strings.Join(cold.Words, " "); !strings.Contains(w, "No current flows") || !strings.Contains(w, "contact of the fan relay open") {
		t.Errorf("cold: %s", w)
	}
	if w := strings.Join(hot.Words, " "); !strings.Contains(w, "radiator fan 14.7 A") || !strings.Contains(w, "coil of the fan relay 0.156 A") {
		t.Errorf("hot: %s", w)
	}
	if n := strings.Count(cold.SVG, `class="arrow"`); n != 1 { // the legend's
		t.Errorf("cold: %d arrows", n)
	}
	if n := strings.Count(hot.SVG, `class="arrow"`); n < 8 {
		t.Errorf("hot: %d arrows", n)
	}
	for _, class := range []string{"live", "dead", "earth"} {
		if !strings.Contains(cold.SVG, `wire `+class+`"`) {
			t.Errorf("cold: nothing is drawn as %s", class)
		}
	}
	if out := at(map[string]string{"key": "run", "coolant": "105"}, "pull-fan-relay"); !strings.Contains(out.SVG, "unplugged") {
		t.Error("a pulled relay is not drawn as pulled")
	}
}

// No two nodes of one drawing share a height in which their cross connections
// would run into one another, and every part hangs below what feeds it.
func TestLayout(t *testing.T) {
	b, _ := kb.Embedded()
	for _, a := range b.Circuits {
		c, err := authored.Compile(a)
		if err != nil {
			t.Fatal(err)
		}
		for i := range c.Arrangements {
			d := &drawer{c: c, o: Options{Arrangement: c.Arrangements[i].ID, Setup: circuit.Setup{ID: "rest"}}}
			if err := d.solve(); err != nil {
				t.Fatal(err)
			}
			p := lay(d.gather(), c.Supply, c.Ground)
			p.place(64)
			seen := map[float64]string{}
			for _, n := range p.names {
				if y := p.nodes[n].y; seen[y] != "" {
					t.Errorf("%s, %s: nodes %s and %s stand at one height", a.ID, c.Arrangements[i].ID, n, seen[y])
				} else {
					seen[y] = n
				}
			}
			k := 0
			for _, col := range p.columns {
				k += len(col.edges)
				for _, e := range col.edges {
					if p.nodes[e.from].y+symbol > p.nodes[e.to].y {
						t.Errorf("%s, %s: no room for a part from %s to %s", a.ID, c.Arrangements[i].ID, e.from, e.to)
					}
				}
			}
			if k != len(p.edges) {
				t.Errorf("%s, %s: %d of %d parts are in a column", a.ID, c.Arrangements[i].ID, k, len(p.edges))
			}
		}
	}
}

func BenchmarkDraw(b *testing.B) {
	base, _ := kb.Embedded()
	c, err := authored.Compile(base.Circuit("fan-circuit"))
	if err != nil {
		b.Fatal(err)
	}
	s := circuit.Setup{ID: "try", Set: map[string]string{"key": "run", "coolant": "105"}}
	for b.Loop() {
		if _, err := Draw(c, Options{Arrangement: "series", Setup: s}); err != nil {
			b.Fatal(err)
		}
	}
}

package dialog

import (
	"slices"
	"strings"
	"testing"

	"ruleout/kb"
)

// Where a trouble is known by a gauge or lamp alone, the sign that tells
// whether it is real is looked for first, after the danger is said. The answer
// in a person's words is read. Once something beside it is known, it is not
// asked.
func TestIsItReal(t *testing.T) {
	b, _ := kb.Embedded()
	e, err := New(b, nil, DefaultSettings)
	if err != nil {
		t.Fatal(err)
	}
	for _, x := range []struct {
		said, asks, answer, outcome string
		stop                        bool
	}{
		{"needle in the red", "real:coolant-hot", "no steam, hoses only warm", "cool", true},
		{"needle in the red", "real:coolant-hot", "hoses far too hot to hold", "boils", true},
		{"my oil light is on", "real:oil-pressure", "no knocking or rattling, engine runs quiet", "quiet", true},
		{"oil light is on", "real:oil-pressure", "tappets rattle with the light on", "noisy", true},
		{"brake warning light is on", "real:brake-lamp", "level is fine and the pedal is hard", "both-good", true},
		{"red brake light on", "real:brake-lamp", "fluid low but pedal firm", "low", true},
		{"engine light flashing", "real:flashing-lamp", "shudders when the light flashes", "shakes", true},
		{"tyre pressure light on", "real:tyre-lamp", "all four pressures are correct", "all-right", true},
		{"fuel gauge stuck on empty", "real:fuel-contents", "hardly took any fuel with the gauge on empty", "differs", false},
		{"door ajar light stays on", "real:door-lamp", "goes out when I slam the door", "goes-out", false},
		{"bulb out warning", "real:bulb-lamp", "every bulb works", "all-light", false},
		{"check engine light on", "real:lamps-and-codes", "apart from the light it drives fine", "nothing", false},
	} {
		s, _ := e.Start()
		s, r := e.Step(s, Turn{Text: x.said})
		if r.Next.ID != x.asks {
			t.Errorf("%q: next is %s %q, want %s", x.said, r.Next.ID, r.Next.Title, x.asks)
		}
		stop := strings.Index(r.Text, "**Stop.**")
		if x.stop && (stop < 0 || stop > strings.Index(r.Text, r.Next.Title)) {
			t.Errorf("%q: the danger does not come first: %s", x.said, r.Text)
		}
		s, _ = e.Step(s, Turn{Text: x.answer})
		if !s.told(x.asks, x.outcome) {
			t.Errorf("%q, %q: %s is not %s", x.said, x.answer, x.asks, x.outcome)
		}
	}
	s, r := toldInTurn(e, "overheats", "steam")
	if r.Next.ID == "real:coolant-hot" || s.known("real:coolant-hot") {
		t.Error("overheats with steam: whether it is hot is asked all the same")
	}
	s, _ = e.Start()
	s, _ = e.Step(s, Turn{Text: "brake warning light is on"})
	_, r = e.Step(s, Turn{Text: "level is fine and the pedal is hard"})
	if !strings.Contains(r.Text, "Do not drive it until") {
		t.Errorf("a doubt of the lamp took the danger away: %s", r.Text)
	}
}

// Every symptom known only by a gauge, lamp, code or meter has its sign, or the
// reason why there is none.
func TestEveryIndicationIsDoubted(t *testing.T) {
	b, _ := kb.Embedded()
	for _, s := range b.Symptoms {
		by := slices.Contains([]string{"gauge", "lamp", "code", "meter"}, s.KnownBy) && len(s.Of) == 0
		if x := b.IndicationOf(s.ID); by != (x != nil) {
			t.Errorf("%s is known by %s: indication %v", s.ID, s.KnownBy, x)
		}
	}
}

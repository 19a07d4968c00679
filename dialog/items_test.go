package dialog

import (
	"math"
	"testing"

	"ruleout/dialog/belief"
	"ruleout/kb"
)

func TestItemShare(t *testing.T) {
	for _, x := range []struct {
		item, about string
		want        float64
	}{
		{"front-left", "", 0.25}, {"left", "", 0.5}, {"front-left", "front-left", 1},
		{"front-left", "left", 0.5}, {"left", "front-left", 1}, {"rear-left", "front-left", 0},
		{"left", "right", 0}, {"nearside", "left", 0.5}, {"cylinder-2", "", 0.25}, {"cylinder-2", "cylinder-3", 0}, {"cylinder-3", "cylinder-3", 1},
	} {
		if got := itemShare(x.item, x.about); got != x.want {
			t.Errorf("itemShare(%q, %q) = %v, want %v", x.item, x.about, got, x.want)
		}
	}
}

// TestItemisedIsExact compares with the sum over which item it is.
func TestItemisedIsExact(t *testing.T) {
	f := &belief.Finding{ID: "f", Base: []float64{0.9, 0.1}, Rows: []belief.Row{{Cause: 0, P: []float64{0.2, 0.8}}}}
	ev := []itemEvidence{
		{belief.Evidence{Finding: f, Lambda: []float64{0.95, 0.05}}, 0.25},
		{belief.Evidence{Finding: f, Lambda: []float64{0.6, 0.4}}, 0.25},
		{belief.Evidence{Finding: f, Lambda: []float64{0.1, 0.9}}, 0.5},
	}
	want := 0.0
	for i := range ev {
		p := ev[i].share
		for k := range ev {
			row := f.Base
			if k == i {
				row = f.Rows[0].P
			}
			p *= dotOf(row, ev[k].Lambda)
		}
		want += p
	}
	got := 1.0
	for _, x := range itemised(ev) {
		got *= dotOf(x.Finding.Rows[0].P, x.Lambda)
	}
	if math.Abs(got-want) > 1e-12 {
		t.Errorf("likelihood of the three items %.12f, summed by item %.12f", got, want)
	}
}

// TestOtherItemMovesNothing: what is told of one corner leaves a complaint
// about another corner as it was.
func TestOtherItemMovesNothing(t *testing.T) {
	b, _ := kb.Embedded()
	e, err := New(b, nil, DefaultSettings)
	if err != nil {
		t.Fatal(err)
	}
	for _, x := range []struct{ complaint, other, same string }{
		{"grinding noise from the brakes front left", "new rear right brake caliper, no change", "new front left brake caliper, no change"},
		{"front left wheel has a hum that rises with road speed", "the right rear wheel bearing tested good by hand", "the front left wheel bearing tested good by hand"},
	} {
		s, before := e.Replay([]Turn{{Text: x.complaint}})
		_, after := e.Step(s, Turn{Text: x.other})
		if len(after.Noted) == 0 || after.Noted[0].Item == "" {
			t.Fatalf("%q was not read as about one item: %+v", x.other, after.Noted)
		}
		for i := range before.Suspects {
			if d := math.Abs(before.Suspects[i].Probability - after.probability(before.Suspects[i].ID)); d > 1e-6 {
				t.Errorf("%q then %q moves %s by %.6f", x.complaint, x.other, before.Suspects[i].ID, d)
			}
		}
		_, same := e.Step(s, Turn{Text: x.same})
		if same.Suspects[0].Probability == before.Suspects[0].Probability {
			t.Errorf("%q changes nothing", x.same)
		}
	}
}

package plainwords

import (
	"bytes"
	"strings"
	"testing"
)

func TestChoices(t *testing.T) {
	r := NewReader(looseBase(t))
	asked := &Asked{Choices: []Meaning{{Finding: "overheats", Outcome: "present"}, {Finding: "steam", Outcome: "present"}, {Finding: "loses-coolant", Outcome: "present"}}}
	for text, want := range map[string]string{"the second one": "steam", "2": "steam", "first": "overheats", "the last one": "loses-coolant", "losing coolant": "loses-coolant", "third": "loses-coolant"} {
		a := r.Read(text, Context{Asked: asked})
		got := ""
		for _, o := range a.Observations {
			if o.Answer {
				got = o.Finding
			}
		}
		if got != want {
			t.Errorf("%q chose %q, want %q", text, got, want)
		}
	}
	if a := r.Read("neither", Context{Asked: asked}); !facts(a)["?neither"] {
		t.Errorf("neither: %+v", a.Requests)
	}
}

// An answer and new facts in one turn give all of them.
func TestAnswerWithFacts(t *testing.T) {
	r := NewReader(looseBase(t))
	have := facts(r.Read("never comes on, and it's a diesel. new thermostat, no change", Context{Asked: &Asked{Finding: "fan-runs"}, Chief: "overheats"}))
	for _, want := range []string{"fan-runs=never", "@fuel=diesel", "part:thermostat:replaced=same"} {
		if !have[want] {
			t.Errorf("%s is missing in %v", want, have)
		}
	}
}

func TestLookRound(t *testing.T) {
	r := NewReader(looseBase(t))
	asked := &Asked{Finding: "fan-look-round", Settles: []string{"coolant-level-cold", "top-hose-feel"}}
	have := facts(r.Read("coolant is low, bottom hose is cold", Context{Asked: asked}))
	if !have["coolant-level-cold=low"] || !have["top-hose-feel=bottom-cold"] {
		t.Errorf("%v", have)
	}
}

// What is put right within the turn replaces what was said before it.
func TestCorrection(t *testing.T) {
	r := NewReader(looseBase(t))
	a := r.Read("12.4 volts, no wait, 11.4 volts", Context{Asked: &Asked{Finding: "battery-rest-voltage"}})
	if len(a.Observations) != 1 || a.Observations[0].Reading == nil || a.Observations[0].Reading.Value != 11.4 {
		t.Errorf("%+v", a.Observations)
	}
}

func TestCertainty(t *testing.T) {
	r := NewReader(looseBase(t))
	certainty := func(text string) float64 {
		for _, o := range r.Read(text, Context{Chief: "overheats"}).Observations {
			if o.Finding == "fan-runs" {
				return o.Certainty
			}
		}
		return -1
	}
	plain, think, maybe := certainty("fan never comes on"), certainty("fan never comes on i think"), certainty("maybe the fan never comes on")
	if !(plain > think && think > maybe && maybe > 0) {
		t.Errorf("plain %v, think %v, maybe %v", plain, think, maybe)
	}
}

// Hostile turns: binary, a megabyte of one word, of letters without a blank,
// of numbers.
func TestHostile(t *testing.T) {
	r := NewReader(looseBase(t))
	binary := make([]byte, 4096)
	for i := range binary {
		binary[i] = byte(i * 7)
	}
	for _, text := range []string{"", " ", string(binary), strings.Repeat("hot ", 1<<13), strings.Repeat("x", 1<<20), strings.Repeat("1", 1<<16), strings.Repeat("12.4v battery ", 1<<12), string(bytes.Repeat([]byte{0xff}, 1<<12))} {
		for _, asked := range []*Asked{nil, {Finding: "battery-rest-voltage"}, {Finding: "nothing-known"}, {Choices: []Meaning{{Finding: "x"}}}} {
			checkAccount(t, r.Read(text, Context{Asked: asked}))
		}
	}
	for _, text := range []string{"gets hot in traffic, no change. ", "in traffic it drops the new pump reads 12 volts "} {
		checkAccount(t, r.Read(strings.Repeat(text, 1<<20/len(text)), Context{}))
	}
}

// A look that follows by itself is answered by yes and no, though no article asks
// for it; a "no" to something else is none.
func TestAnswersALook(t *testing.T) {
	r := NewReader(looseBase(t))
	asked := Context{Asked: &Asked{Finding: "part:brake-servo:leaking"}, Chief: "brake-pedal-hard"}
	for text, want := range map[string]string{"yes": "yes", "yeah its hissing": "yes", "nope": "no", "no its dry": "no", "no meter here": "", "i cant see it": ""} {
		got := ""
		for _, o := range r.Read(text, asked).Observations {
			if o.Finding == asked.Asked.Finding {
				got = o.Outcome
			}
		}
		if got != want {
			t.Errorf("%q answers %q, want %q", text, got, want)
		}
	}
}

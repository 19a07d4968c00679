package dialog

import (
	"slices"
	"strings"
	"testing"
)

// What owners say in the middle of a circuit: the last turn's finding, its
// value or outcome. A number read at another place is no answer to the check
// on the table; a word that is part of a part's name tells no effect; what was
// joined and is not said tells nothing.
func TestOwnersWordsOfACircuit(t *testing.T) {
	e := engineOf(t)
	pump := []string{"cranks fine but won't start, can't hear the fuel pump", "can't tell how the pump relay is wired"}
	drain := []string{"battery goes flat in three days", "0.45 amps drawn with everything off and locked for half an hour"}
	for _, x := range []struct {
		talk    []string
		said    string
		finding string // part of it
		outcome string
		value   float64
	}{
		{pump, "12.5 at 30 of the pump relay", "fuel-pump-circuit:turning:volts:pump-relay.30", "", 12.5},
		{pump, "relay clicks when i turn the key", "fuel-pump-circuit:turning:clicks:pump-relay", "full", 0},
		{pump, "pulled the pump relay out and bridged two of the slots and it runs", "fuel-pump-circuit:bridged:works:pump", "full", 0},
		{pump, "pulled the pump relay and bridged something, it runs", "", "", 0},
		{drain, "pulled the interior light fuse and it dropped to 0.02", "draw-circuit:interior-out:amps:meter", "", 0.02},
		{drain, "pulled the radio fuse, still 0.45", "draw-circuit:radio-out:amps:meter", "", 0.45},
		{[]string{"horn is dead", "i don't know how the horn is wired"}, "fed the horn from the battery and it honked", "horn-circuit", "full", 0},
		{[]string{"heater blower only works on full speed"}, "ohms across the resistor pack reads OL", "blower-circuit", "", 1e9},
		{[]string{"heated rear window does nothing", "i don't know how this is wired"}, "12.1 at the other tab", "rear-window-circuit", "", 12.1},
		{[]string{"my radiator fan runs all the time even with the engine cold", "i don't know how this is wired", "what should I read between 85 and ground with the key on?"}, "12.4", "fan-circuit", "", 12.4},
	} {
		s, _ := e.Start()
		s, _ = say(t, e, s, x.talk...)
		before := len(s.Notes)
		s, _ = say(t, e, s, x.said)
		var got *observed
		for i := range s.Notes[before:] {
			if n := &s.Notes[before+i]; strings.HasPrefix(n.Finding, circuitPrefix) {
				got = n
			}
		}
		switch {
		case x.finding == "":
			if got != nil {
				t.Errorf("%q: read as %s %s", x.said, got.Finding, got.Outcome)
			}
		case got == nil || !strings.Contains(got.Finding, x.finding):
			t.Errorf("%q: %+v, want %s", x.said, got, x.finding)
		case x.outcome != "" && got.Outcome != x.outcome:
			t.Errorf("%q: %s, want %s", x.said, got.Outcome, x.outcome)
		case x.outcome == "" && x.value < 1e9 && (got.Value == nil || *got.Value != x.value):
			t.Errorf("%q: %v, want %v", x.said, got.Value, x.value)
		}
	}
}

// What a car may lack is said by the name of the part, and a question about a
// part is put no part of the wiring that has none of it.
func TestWhatTheCarLacksIsNamed(t *testing.T) {
	e := engineOf(t)
	s, _ := e.Start()
	s, r := say(t, e, s, "turn the key, nothing happens at all, no click", "don't know how this is wired")
	var texts []string
	for range 4 {
		for _, q := range r.Next.Quick {
			texts = append(texts, q.Text)
		}
		s, r = say(t, e, s, "can't do that")
	}
	if !slices.Contains(texts, "it has no starter relay") {
		t.Errorf("offered: %q", texts)
	}
	for _, q := range texts {
		if strings.Contains(q, "part or point") {
			t.Errorf("offered: %q", q)
		}
	}
}

// A place without a name, a plug that is not named: it is asked which, with the
// places of the circuit at hand; the words are taken for nothing else.
func TestOwnersPlacesAreAsked(t *testing.T) {
	e := engineOf(t)
	horn := []string{"the horn is dead", "dont know how its wired", "it clicks when i press it"}
	fan := []string{"radiator fan doesn't come on and it gets hot in traffic", "i don't know how this is wired"}
	brake := []string{"brake lights dont work", "no idea how its wired"}
	for _, x := range []struct {
		talk            []string
		said, offered   string // "" if it is understood at once
		answer, finding string // what is then noted
		outcome         string
	}{
		{horn[:2], horn[2], "", "", "horn-circuit:pushed:clicks:horn-relay", "full"},
		{horn, "12.4 on the fat red one", "horn terminal", "horn terminal", "horn-circuit:pushed:volts:h~31", "band-5"},
		{fan, "it clicks when i pull the plug", "fan switch unplugged", "the fan switch", "fan-circuit:switch-off-plug:clicks:fan-relay", "full"},
		{brake, "one of the wires is dead", "brake light switch output", "switch output", "brake-lamp-circuit:braking:volts:54s~31", "band-0"},
		{brake, "it has no relay", "", "", "brake-lamp-circuit:braking:volts:r~31", absent},
		{brake, "can't find a relay anywhere", "", "", "brake-lamp-circuit:braking:volts:r~31", absent},
		{append(brake, "it has no relay"), "12.5 on both sides of the fuse", "", "", ":volts:f~31", "band-5"},
		{append(brake, "it has no relay", "12.4 in there"), "0 at the brake light switch output with my foot on the pedal", "", "", ":volts:54s~31", "band-0"},
		{append(brake, "it has no relay"), "12.4 at the fuse", "", "", ":volts:f~31", "band-5"},
		{horn, "earth is fine, 0 volts between horn body and battery minus when i press it", "", "", "horn-circuit:pushed:volts:g~31", "band-0"},
		{[]string{"heated rear window does nothing", "don't know how this is wired"}, "relay clicks when I switch it on", "", "", "rear-window-circuit:on:clicks:heat-relay", "full"},
		{[]string{"my diesel is hard to start from cold", "no diagram for the glow plugs"}, "it clicks when the key goes on", "", "", "glow-circuit:glowing:clicks:glow-relay", "full"},
		{[]string{"trailer lights go mad, brake and the others glow dimly", "i don't know how this is wired"}, "5 volts at the trailer earth with the pedal down and the lights off", "", "", "trailer-circuit:braking:volts:g~31", "band-3"},
		{[]string{"trailer lights don't work", "i don't know how this is wired"}, "no module anywhere", "", "", "trailer-circuit:module-out:works:trailer-side", absent},
		{fan, "the fan still does nothing", "", "", "fan-runs", "never"},
	} {
		s, _ := e.Start()
		s, r := say(t, e, s, append(slices.Clone(x.talk), x.said)...)
		if x.offered != "" {
			if !slices.ContainsFunc(r.Next.Quick, func(q Quick) bool { return q.Text == x.offered }) || strings.Contains(r.Text, "can't use") {
				t.Errorf("%q: %q is not offered:\n%s", x.said, x.offered, r.Text)
				continue
			}
			s, _ = say(t, e, s, x.answer)
		}
		if len(s.Notes) == 0 {
			t.Errorf("%q: nothing is noted", x.said)
			continue
		}
		if n := s.Notes[len(s.Notes)-1]; !strings.HasSuffix(n.Finding, x.finding) || n.Outcome != x.outcome {
			t.Errorf("%q: noted %s %s, want %s %s", x.said, n.Finding, n.Outcome, x.finding, x.outcome)
		}
	}
}

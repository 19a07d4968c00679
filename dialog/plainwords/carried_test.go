package plainwords

import (
	"slices"
	"testing"

	"ruleout/kb"
)

// TestWhatAClauseLeavesOut reads clauses whose noun stands in an earlier one or
// is what the complaint is about.
func TestWhatAClauseLeavesOut(t *testing.T) {
	base, problems := kb.Embedded()
	if base == nil {
		t.Fatal(problems)
	}
	r := NewReader(base)
	for _, c := range []struct{ chief, text, want, not string }{
		{"", "the heater fan, not the radiator one, is dead", "blower-dead=present", ""},
		{"", "clutch is light, but there's no slip", "clutch-slips=absent", "clutch-slips=present"},
		{"", "Checked the clutch. Doesn't slip", "clutch-slips=absent", ""},
		{"", "brakes are awful. they squeal like mad", "brakes-squeal=present", ""},
		{"", "The wipers. They don't park", "wipers-dont-park=present", ""},
		{"", "Gearbox is noisy. It whines in third", "gearbox-whine=present", "axle-whine=present"},
		{"", "alternator belt is new but it squeals", "belt-squeals=present", ""},
		{"", "the turbo, it whistles", "turbo-noise=present", ""},
		{"", "handbrake: doesn't hold on a hill", "handbrake-weak=present", ""},
		{"clutch-slips", "it judders too", "clutch-judder=present", "brake-judder=present"},
		{"brake-pedal-soft", "It doesn't judder.", "brake-judder=absent", ""},
		{"overheats", "it doesn't lose any water", "loses-coolant=absent", ""},
		{"steering-play", "track rod end is split and it's got a bit of play", "part:track-rod-end:cracked=yes", "steering-play=present"},
		{"overheats", "thanks, that did the trick", "", "gauge-wrong=present"},
		{"", "Fitted new wipers. It judders when braking", "brake-judder=present", "wipers-slow=present"},
		{"", "everything works except the wipers", "wipers-dead=present", ""},
		{"", "just the one headlight, everything else is fine", "headlamp-dead=present", ""},
		{"", "everything's fine apart from the horn", "horn-dead=present", ""},
		{"", "everything works except when it's wet", "", "wipers-dead=present"},
		{"", "it used to overheat but not any more", "overheats=absent", "overheats=present"},
		{"", "the brakes used to squeal but they don't now", "brakes-squeal=absent", "brakes-squeal=present"},
		{"", "brakes aren't weak, it's that the pedal's long", "brake-pedal-soft=present", ""},
		{"", "Radio works fine. Engine dies at junctions", "stalls-at-stops=present", "radio-dead=present"},
	} {
		var got []string
		for _, o := range r.Read(c.text, Context{Chief: c.chief}).Observations {
			got = append(got, o.Finding+"="+o.Outcome)
		}
		if c.want != "" && !slices.Contains(got, c.want) || slices.Contains(got, c.not) {
			t.Errorf("%q (%s): %v, want %s and not %s", c.text, c.chief, got, c.want, c.not)
		}
	}
}

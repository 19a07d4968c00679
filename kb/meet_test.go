package kb

import (
	"slices"
	"testing"
)

func TestOfOneThing(t *testing.T) {
	b, _ := Embedded()
	for _, x := range []struct {
		a, b string
		one  bool
	}{
		{"window-stuck", "window-slow", true}, {"wipers-dead", "wipers-slow", true}, {"blower-dead", "blower-one-speed", true}, {"locks-dead", "remote-dead", true},
		{"horn-dead", "wipers-dead", false}, {"radio-dead", "interior-lamp-trouble", false}, {"window-stuck", "locks-dead", false}, {"headlamp-dead", "horn-dead", false}, {"wipers-dead", "no-such", false},
	} {
		if got := b.OfOneThing(x.a, x.b); got != x.one {
			t.Errorf("%s and %s: of one thing %v", x.a, x.b, got)
		}
	}
}

// Troubles of unlike systems meet at what feeds, earths or drives all of them;
// one alone, or two that one cause explains, do not.
func TestMeetings(t *testing.T) {
	b, _ := Embedded()
	for _, x := range []struct {
		told []string
		at   string // "" for nowhere
	}{
		{[]string{"fan-never-runs", "horn-dead", "headlamp-dead"}, "body-earth-point"},
		{[]string{"fan-never-runs", "headlamp-dead"}, "body-earth-point"},
		{[]string{"charge-lamp-on", "steering-heavy", "overheats"}, "drive-belt"},
		{[]string{"horn-dead"}, ""},
		{[]string{"horn-dead", "wipers-dead"}, ""},
		{[]string{"brake-pedal-hard", "rough-idle"}, ""},
	} {
		var told []*Symptom
		for _, id := range x.told {
			told = append(told, b.Symptom(id))
		}
		m := b.Meetings(told)
		if x.at == "" && len(m) > 0 || x.at != "" && !slices.ContainsFunc(m, func(m Meeting) bool { return m.Point == x.at && len(m.Symptoms) == len(told) }) {
			t.Errorf("%v meet at %v, want %q", x.told, m, x.at)
		}
	}
}

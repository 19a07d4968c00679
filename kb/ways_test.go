package kb

import (
	"reflect"
	"testing"
)

func TestSlots(t *testing.T) {
	for pattern, want := range map[string][][]string{
		"(front|) (discs|brakes) howl": {{"front", ""}, {"discs", "brakes"}, {"howl"}},
		"no wipers":                    {{"no wipers"}},
		"a (b c|d) e":                  {{"a"}, {"b c", "d"}, {"e"}},
	} {
		got, err := Slots(pattern)
		if err != nil || !reflect.DeepEqual(got, want) {
			t.Errorf("%q: %q, %v", pattern, got, err)
		}
	}
	for _, bad := range []string{"", " ", "a | b", "(a", "a)", "(a (b|c))", ")a("} {
		if got, err := Slots(bad); err == nil {
			t.Errorf("%q was read as %q", bad, got)
		}
	}
}

package plainwords

import (
	"slices"
	"testing"
)

// Ways of asking about a case that lasts, and sentences that only look like it.
func TestCaseRequests(t *testing.T) {
	r := NewReader(looseBase(t))
	for _, c := range []struct{ text, kind string }{
		{"where were we?", "recap"}, {"recap", "recap"}, {"remind me where we got to", "recap"}, {"what were we doing", "recap"},
		{"the part is on order", "waiting"}, {"waiting for the part", "waiting"}, {"I've ordered a fan motor", "waiting"}, {"waiting for a new fan motor", "waiting"}, {"what can I do in the meantime", "waiting"},
		{"the part is here", "arrived"}, {"the part has arrived", "arrived"}, {"got the new part", "arrived"},
		{"it came back after a week", "came-back"}, {"it's back", "came-back"}, {"it did it again", "came-back"},
		{"it only does it sometimes", "sometimes"}, {"it's not doing it now", "sometimes"}, {"I can't reproduce it", "sometimes"}, {"it's intermittent", "sometimes"},
		{"arm it", "arm"}, {"it passes", "proven"}, {"too early to tell", "too-early"},
		{"repair or shop?", "decide"}, {"what are my options", "decide"}, {"is it worth doing myself", "decide"},
		{"my time is worth 20 an hour", "rate"}, {"notes for the garage", "report"},
	} {
		var kinds []string
		for _, q := range r.Read(c.text, Context{}).Requests {
			kinds = append(kinds, q.Kind)
		}
		if !slices.Contains(kinds, c.kind) {
			t.Errorf("%q asks for %v, not %s", c.text, kinds, c.kind)
		}
	}
	mine := []string{"recap", "waiting", "arrived", "came-back", "sometimes", "arm", "proven", "too-early", "decide", "rate", "report"}
	for _, text := range []string{"it gets hot while I wait at the lights", "overheats while waiting in traffic", "waiting for it to cool down takes an hour", "the pressure test passed", "part of the belt came off",
		"the needle comes back down on the motorway", "the heat comes back on when I rev it", "I had to wait for the tow truck", "the wiper arm is loose", "it was back at the shop", "in the meantime the battery went flat"} {
		for _, q := range r.Read(text, Context{}).Requests {
			if slices.Contains(mine, q.Kind) {
				t.Errorf("%q is taken for the request %s", text, q.Kind)
			}
		}
	}
}

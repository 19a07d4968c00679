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
		{"ordered a starter, coming friday", "waiting"}, {"new alternator on order", "waiting"}, {"waiting for the thermostat to turn up", "waiting"}, {"can't get the part until Monday", "waiting"}, {"part turned up today", "arrived"},
		{"back to square one", "came-back"}, {"it was fine for a month, now it's back", "came-back"}, {"its doing it again", "came-back"},
		{"is it a big job?", "decide"}, {"can I do this myself", "decide"}, {"how long will it take", "decide"},
		{"going to stop here for tonight", "pause"}, {"I'll do it at the weekend", "pause"}, {"can we pick this up tomorrow", "pause"},
		{"what if I tap the starter with a hammer?", "may-i"}, {"can I jump it from another car", "may-i"}, {"should I just change the starter", "opinion"},
		{"how risky is it to drive like that", "safe-to-drive"}, {"is it ok to do the school run", "safe-to-drive"}, {"what happens if I ignore it", "safe-to-drive"}, {"are you sure?", "why"}, {"that makes no sense", "why"},
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
	mine := []string{"recap", "waiting", "arrived", "came-back", "sometimes", "arm", "proven", "too-early", "decide", "rate", "report", "pause", "may-i"}
	for _, text := range []string{"it gets hot while I wait at the lights", "overheats while waiting in traffic", "waiting for it to cool down takes an hour", "the pressure test passed", "part of the belt came off",
		"the needle comes back down on the motorway", "the heat comes back on when I rev it", "I had to wait for the tow truck", "the wiper arm is loose", "it was back at the shop", "in the meantime the battery went flat", "it stops for a minute then goes", "it cuts out later in the day", "I ordered a pizza while it cooled", "it can do it twice a day"} {
		for _, q := range r.Read(text, Context{}).Requests {
			if slices.Contains(mine, q.Kind) {
				t.Errorf("%q is taken for the request %s", text, q.Kind)
			}
		}
	}
}

package plainwords

import (
	"strings"

	"ruleout/kb"
)

// A question whose outcomes are all spans of time ("under a year", "one to
// four years") is answered by an age told of the thing in its title: "battery
// must be 7 years old".

// ageBand is one outcome of such a question, in seconds.
type ageBand struct {
	outcome  string
	from, to float64
}

// forEver is longer than any age of a part, in seconds.
const forEver = 1e12

// ageBands reads the outcomes' titles as spans of time; nil when one is none.
func ageBands(outcomes []kb.Outcome) []ageBand {
	var out []ageBand
	for _, o := range outcomes {
		text := strings.NewReplacer("a year", "1 year", "a month", "1 month", "a week", "1 week").Replace(o.Title)
		toks := scan(text)
		segment(toks)
		qs := quantities(text, toks)
		if len(qs) != 1 || qs[0].dim != dimTime {
			return nil
		}
		b := ageBand{outcome: o.ID, from: qs[0].Low, to: qs[0].High}
		switch plain := " " + plain(text) + " "; {
		case qs[0].OpenLow:
			b.from = 0
		case qs[0].OpenHigh, strings.Contains(plain, " or more "), strings.Contains(plain, " or older "):
			b.to = forEver
		}
		out = append(out, b)
	}
	// a band ends where the next one begins
	for i := range out {
		if i+1 < len(out) && out[i].to < out[i+1].from {
			out[i].to = out[i+1].from
		}
	}
	return out
}

// findAges takes the ages told of things that a question asks the age of.
func (t *turn) findAges() {
	for i := range t.numbers {
		n := &t.numbers[i]
		if n.taken || n.dim != dimTime || !t.saysOld(n) {
			continue
		}
		lo, hi := t.around(n)
		for _, f := range t.lx.aged {
			at := -1
			for k := lo; k <= hi && at < 0; k++ {
				if u := t.unitAt[k]; u >= 0 && t.us[u].id >= 0 && f.place[t.us[u].id] > 0 && (t.toks[k].clause == t.toks[n.first].clause || f == t.asked) {
					at = k
				}
			}
			if at < 0 && f != t.asked {
				continue
			}
			if at < 0 {
				at = n.first
			}
			for _, b := range f.ages {
				if n.Value < b.from || n.Value >= b.to {
					continue
				}
				first, last := min(at, n.first), max(at, n.last)
				o := Observation{Finding: f.emit, Outcome: b.outcome, Start: t.toks[first].start, End: t.toks[last].end, Answer: f == t.asked}
				if v := &t.voices[t.toks[n.first].clause]; v.source == "deduction" {
					o.Source, o.Hedge = "remembered", "think" // "must be 7 years old" is an estimate
				}
				t.useTokens(at, at)
				t.useTokens(n.first, n.last)
				n.taken = true
				t.observe(o, t.toks[n.first].clause)
				break
			}
			if n.taken {
				break
			}
		}
	}
}

// saysOld reports whether a span of time is an age.
func (t *turn) saysOld(n *number) bool {
	if k := n.last + 1; k < len(t.toks) && t.toks[k].norm == "old" {
		return true
	}
	return t.asked != nil && t.asked.ages != nil
}

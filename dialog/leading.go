package dialog

import (
	"slices"
	"strings"

	"ruleout/kb"
)

// leader is a suspect as it is told: a cause, or one part with the ways in
// which it may have failed, of which no article tells more.
type leader struct {
	cause *kb.Cause // the likeliest
	title string
	p     float64
}

// alsoFrom is how likely another failure of the same part must be to be named.
const alsoFrom = 0.02

// leaders are the suspects to tell of, likeliest first: nobody says "brake disc
// bent 1 in 10, brake disc worn 1 in 10", but that it is the disc.
func (e *Engine) leaders(j *judged) []leader {
	at := map[string]int{}
	var out []leader
	modes := map[string][]string{}
	for _, c := range j.order {
		p := j.post.Singles[c]
		if p < alsoFrom && len(out) > 0 {
			break
		}
		t := e.base.Causes[c]
		part, mode, ok := strings.Cut(t.Title, ": ")
		if !t.Derived || !ok {
			out = append(out, leader{t, brief(t.Title), p})
			continue
		}
		k, seen := at[t.Part]
		if !seen {
			at[t.Part] = len(out)
			out = append(out, leader{t, t.Title, p})
			modes[t.Part] = []string{mode}
			continue
		}
		out[k].p += p
		if m := modes[t.Part]; len(m) < saySuspects {
			m = append(m, mode)
			modes[t.Part] = m
			out[k].title = part + ": " + strings.Join(m[:len(m)-1], ", ") + " or " + m[len(m)-1]
		}
	}
	slices.SortStableFunc(out, func(a, b leader) int {
		switch {
		case a.p > b.p:
			return -1
		case a.p < b.p:
			return 1
		}
		return 0
	})
	return out
}

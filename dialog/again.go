package dialog

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"ruleout/kb"
)

// Figures of repeat failure and of what else must be looked at. Basis: memory.
const (
	againFrom  = 0.1 // a suspect this likely brings the question whether it failed before
	againNamed = 3   // killers named
	// killedShare is how often a cause that is said to kill another has done so,
	// where its own article gives no figure.
	killedShare = 0.05
	alsoNamed   = 3 // of what else must be looked at
)

// againChecks asks of the likeliest suspect that something else may have
// killed whether it failed before: then what killed it is still there.
func (e *Engine) againChecks(s *State, j *judged) []candidate {
	for _, c := range j.order {
		if j.post.Singles[c] < againFrom {
			return nil
		}
		cause := e.base.Causes[c]
		if len(cause.KilledBy) == 0 {
			continue
		}
		id := "part:" + cause.Part + ":" + kb.AgainSuffix
		if _, passed := s.Passed[id]; passed || s.known(id) {
			continue
		}
		f, t := e.finding(id, "")
		if f == nil || len(t.Rows) == 0 {
			continue
		}
		do := &doable{title: f.Ask, why: "a part that fails again is killed by something, as a rule", article: kb.CardAgain, question: true,
			quick: taps(id, "yes, it failed again", "yes", "no, the first time", "no", "don't know", "unknown")}
		return []candidate{{id: id, kind: "again", finding: f, table: t, do: do}}
	}
	return nil
}

// failedAgain says what a repeat failure calls for: to look for what kills the
// part before the next one is fitted.
func (e *Engine) failedAgain(s *State, n *observed, j *judged) (string, string) {
	id := strings.Split(n.Finding, ":")
	if len(id) != 3 || id[2] != kb.AgainSuffix || n.Outcome != "yes" {
		return "", ""
	}
	p := e.base.Part(id[1])
	var names []string
	for _, c := range j.order {
		k := e.base.Causes[c]
		if len(names) < againNamed && k.Part != p.ID && e.kills(k, p.ID) {
			names = append(names, fmt.Sprintf("[%s](article:%s)", lowerFirst(brief(k.Title)), k.ID))
		}
	}
	look := "what feeds it, earths it, drives it or drips on it"
	if len(names) > 0 {
		look = list(names)
	}
	return fmt.Sprintf("A %s that fails again is killed by something, as a rule ([what kills what](article:%s)): before the next one is fitted, look for %s. If that is all sound, the new one had the same fault.", p.Name, kb.CardAgain, look), kb.CardAgain
}

// kills reports whether the cause kills some cause in the part.
func (e *Engine) kills(k *kb.Cause, part string) bool {
	return slices.ContainsFunc(e.base.Causes, func(c *kb.Cause) bool {
		return c.Part == part && (k.LeadsTo[c.ID] > 0 || slices.Contains(c.KilledBy, k.ID))
	})
}

// alsoLook names, once a cause is found or its repair decided, what may have
// killed it and what it may have harmed, the authored list first.
func (e *Engine) alsoLook(c *kb.Cause) string {
	var words []string
	if len(c.Inspect) > 0 {
		words = append(words, list(e.named(c.Inspect)))
	}
	add := func(how string, causes []*kb.Cause, share func(*kb.Cause) float64) {
		slices.SortStableFunc(causes, func(x, y *kb.Cause) int {
			return cmp.Compare(share(y)*y.Frequency.PerThousand, share(x)*x.Frequency.PerThousand)
		})
		var names []string
		for _, x := range causes {
			if x.Part != c.Part && !x.Derived && len(names) < alsoNamed && !slices.Contains(c.Inspect, x.ID) {
				names = append(names, fmt.Sprintf("[%s](article:%s)", lowerFirst(brief(x.Title)), x.ID))
			}
		}
		if len(names) > 0 {
			words = append(words, how+" "+list(names))
		}
	}
	link := func(from, to *kb.Cause) float64 { return max(from.LeadsTo[to.ID], killedShare) }
	add("what may have killed it:", e.base.Killers(c), func(k *kb.Cause) float64 { return link(k, c) })
	add("what it may have harmed:", e.base.Harms(c), func(h *kb.Cause) float64 { return link(c, h) / max(h.Frequency.PerThousand, 1e-9) })
	return strings.Join(words, "; ")
}

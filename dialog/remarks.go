package dialog

import (
	"fmt"
	"strings"

	"ruleout/kb"
)

// remarks are the sentences that a turn's observations call for beyond what
// they rule out: each rests on a row of a table, whose page it links.
func (e *Engine) remarks(s *State, h *heard, j *judged) (texts, cites []string) {
	if s.Closed != "" {
		return nil, nil
	}
	for _, num := range h.notes {
		n := &s.Notes[num-1]
		if n.struck || !n.Weighs {
			continue
		}
		for _, say := range []func(*State, *observed, *judged) (string, string){e.blindSpot, e.failedAgain} {
			if text, cite := say(s, n, j); text != "" {
				texts, cites = append(texts, text), append(cites, cite)
			}
		}
	}
	return texts, cites
}

// What a remark takes to be worth saying. Basis: memory.
const (
	remarkFrom = 0.04 // a suspect this likely
	blindAt    = 0.5  // a test that shows the fault less often
)

// blindSpot says what a test that a part passed could not have shown, while a
// suspect hides there.
func (e *Engine) blindSpot(s *State, n *observed, j *judged) (string, string) {
	id := strings.Split(n.Finding, ":")
	if len(id) != 3 || id[2] != "tested" || n.Outcome != "good" {
		return "", ""
	}
	for _, c := range j.order {
		if j.post.Singles[c] < remarkFrom {
			break
		}
		cause := e.base.Causes[c]
		if cause.Part != id[1] {
			continue
		}
		if b := e.base.BlindSpotOf(n.means, cause.Part, cause.Mode); b != nil && b.Shows < blindAt {
			return fmt.Sprintf("That does not clear it of everything: %s ([what each kind of test misses](article:%s)). [%s](article:%s) stays in play.",
				b.Says, kb.CardMeans, brief(cause.Title), cause.ID), kb.CardMeans
		}
	}
	return "", ""
}

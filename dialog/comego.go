package dialog

import (
	"slices"
	"strings"

	"ruleout/kb"
)

// Limits of the come-or-go checks. Basis: memory.
const (
	movesAtMost = 4
	moveTells   = 0.35 // a mode that the action changes at least this often
)

// moveChecks proposes, for likely suspects, what would make the trouble come
// or go if it is them.
func (e *Engine) moveChecks(s *State, j *judged) []candidate {
	var out []candidate
	seen := map[string]bool{}
	for _, c := range j.order {
		if j.post.Singles[c] < derivedFrom || len(out) == movesAtMost {
			break
		}
		cause := e.base.Causes[c]
		p := e.base.Part(cause.Part)
		if p == nil {
			continue
		}
		best := ""
		how := moveTells
		for _, a := range e.base.ComeGoFor(p) {
			if v := a.Modes[cause.Mode]; v > how {
				best, how = a.ID, v
			}
		}
		id := "part:" + p.ID + ":" + best
		if best == "" || seen[id] || s.known(id) || s.known("go:"+best) {
			continue
		}
		seen[id] = true
		if _, passed := s.Passed[id]; passed {
			continue
		}
		f, t := e.finding(id, "")
		if f == nil || len(t.Rows) == 0 {
			continue
		}
		out = append(out, candidate{id: id, kind: "move", finding: f, table: t, do: e.moveDo(p, e.base.ComeGo(best).On(e.base, p.ID), id)})
	}
	return out
}

func (e *Engine) moveDo(p *kb.Part, a *kb.ComeGo, id string) *doable {
	d := &doable{title: upperFirst(a.Title) + ": " + p.Name, steps: filled(a.Steps, p.Name), minutes: a.Minutes, article: kb.CardComeGo,
		quick: append(taps(id, "trouble goes", "goes", "goes for a while", "while", "trouble comes", "comes", "no effect", "none"), cannotTap)}
	if a.Caution != "" {
		d.cautions = []string{a.Caution}
	}
	return d
}

// changesCar reports whether a finding is an action after which the car is no
// longer as it was.
func (e *Engine) changesCar(f *kb.Finding) bool {
	if f.Kind != kb.FindingPart {
		return false
	}
	id := strings.Split(f.ID, ":")
	if len(id) == 3 && slices.Contains([]string{"replaced", "swapped"}, id[2]) {
		return true
	}
	a := e.base.ComeGo(id[len(id)-1])
	return a != nil && a.Acts
}

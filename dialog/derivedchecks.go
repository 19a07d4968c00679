package dialog

import (
	"slices"
	"strings"
)

// Limits of the checks that follow by themselves. Basis: memory.
const (
	derivedFrom   = 0.03 // a suspect this likely is worth a look of its own
	derivedLooks  = 6
	derivedAsks   = 4
	lookShows     = 0.5 // a look that shows the mode at least this often
	lookMinutes   = 4.0
	sayConditions = 4
)

// derivedChecks are the checks that nobody authored: a look at the part of a
// likely suspect, and the condition under which it would show.
func (e *Engine) derivedChecks(s *State, j *judged) []candidate {
	post := j.post
	var out []candidate
	add := func(kind, id string, most int) {
		n := 0
		for _, c := range out {
			if c.kind == kind {
				n++
			}
			if c.id == id {
				return
			}
		}
		_, passed := s.Passed[id]
		if n >= most || passed || s.known(id) {
			return
		}
		if f, t := e.finding(id, ""); f != nil && len(t.Rows) > 0 {
			out = append(out, candidate{id: id, kind: kind, finding: f, table: t})
		}
	}
	for _, c := range j.order {
		if post.Singles[c] < derivedFrom {
			break
		}
		t := e.base.Causes[c]
		if t.Derived {
			if look := e.lookFor(t.Mode); look != "" && t.Repair.Difficulty != "shop" && t.System != restraintSystem {
				add("look", "part:"+t.Part+":"+look, derivedLooks)
			}
		}
		for _, w := range t.When {
			if s.Chief == "" || w.Symptom != "" && w.Symptom != s.Chief || e.askedByQuestion(s.Chief, w.Axis) || s.conditionKnown(w.Axis) || e.saidByName(s.Chief, w.Axis) {
				continue
			}
			add("condition", "cond:"+s.Chief+":"+w.Axis+":"+w.Value, derivedAsks)
		}
	}
	return out
}

// lookFor is the look that shows a failure mode best, or "".
func (e *Engine) lookFor(mode string) string {
	best, p := "", lookShows
	for _, l := range e.base.Lists.Derived.Looks {
		if v := l.Modes[mode]; v > p && !l.Sound {
			best, p = l.ID, v
		}
	}
	return best
}

// askedByQuestion reports whether an authored question of the symptom covers
// the axis.
func (e *Engine) askedByQuestion(symptom, axis string) bool {
	return slices.ContainsFunc(e.questionsOf[symptom], func(id string) bool {
		f := e.base.Finding(id)
		return f != nil && f.Axis == axis
	})
}

// conditionKnown reports whether anything was told on the axis.
// saidByName reports whether the name of a symptom says the condition already:
// of a "clunk over bumps" nobody asks whether bumps make a difference.
func (e *Engine) saidByName(symptom, axis string) bool {
	sym := e.base.Symptom(symptom)
	if sym == nil {
		return false
	}
	title := " " + strings.ToLower(sym.Title) + " "
	for i := range e.base.Lists.Axes {
		a := &e.base.Lists.Axes[i]
		if a.ID != axis {
			continue
		}
		for _, v := range a.Values {
			for _, w := range append([]string{v.Title}, v.Said...) {
				if strings.Contains(title, " "+w+" ") {
					return true
				}
			}
		}
	}
	return false
}

func (s *State) conditionKnown(axis string) bool {
	return slices.ContainsFunc(s.Notes, func(n observed) bool {
		f := strings.Split(n.Finding, ":")
		return !n.struck && len(f) == 4 && f[0] == "cond" && f[2] == axis
	})
}

// derivedNext words a derived check.
func (e *Engine) derivedNext(s *State, c candidate, n *Next) *Next {
	id := c.finding.ID
	tap := func(text, outcome string) Quick {
		return Quick{Text: text, Tap: Tap{Finding: id, Outcome: outcome}}
	}
	n.Why = e.splitWords(n)
	if c.kind == "condition" {
		return e.conditionNext(c, n, tap)
	}
	f := strings.Split(id, ":")
	p := e.base.Part(f[1])
	n.Kind, n.Title, n.Minutes = "test", "Look at the "+p.Name, lookMinutes
	n.Steps = []string{"Find it: " + p.Place + ".", strings.TrimSuffix(c.finding.Ask, "?") + "? Look, and feel where it is safe to."}
	for _, k := range e.base.Causes {
		if k.Part == p.ID && k.Derived && e.lookFor(k.Mode) == f[2] {
			n.Cautions, n.Article = e.cautions(k.Repair.Hazards, k.Repair.Access, nil), k.ID
			break
		}
	}
	n.Quick = []Quick{tap("yes", "yes"), tap("no", "no"), tap("can't tell", "unknown"), {Text: "can't do that", Tap: Tap{Request: "cannot"}}}
	return n
}

// conditionNext words the question for a condition. Whoever does not know is
// offered to try it (trialChecks).
func (e *Engine) conditionNext(c candidate, n *Next, tap func(text, outcome string) Quick) *Next {
	f := strings.Split(c.finding.ID, ":")
	n.Kind = "question"
	if a, v := e.base.AxisValue(f[2], f[3]); v != nil {
		n.Title, n.Quick = strings.ReplaceAll(a.Ask, "%s", "it"), conditionTaps(c.finding, a, v)
	}
	n.Quick = append(n.Quick, tap("don't know", "unknown"))
	return n
}

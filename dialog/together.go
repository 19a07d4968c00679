package dialog

import (
	"slices"
	"strings"

	"ruleout/dialog/plainwords"
)

// When the question of shared points is put. Basis: memory.
const (
	pointsFrom   = 0.05 // shared points this likely make it worth considering,
	pointsFirst  = 0.15 // this likely the question of an electrical case
	sharersNamed = 4
)

// onPoints is how likely it is that the cause sits at a point on which several
// things hang.
func (e *Engine) onPoints(j *judged) float64 {
	f := e.findings[e.base.Derived.Together.Question.ID]
	if f == nil {
		return 0
	}
	p := 0.0
	for _, r := range f.Rows {
		p += j.post.Singles[r.Cause]
	}
	return p
}

// asksTogether reports whether "what else stopped at the same moment?" may be
// asked: a shared point is suspected, and it was not told already.
func (e *Engine) asksTogether(s *State, j *judged) bool {
	if s.Chief == "" || s.known(e.base.Derived.Together.Symptom) {
		return false
	}
	// An article has questions of its own that tell more of its trouble, while
	// that is the only one.
	return (e.derivedSymptom(s.Chief) || e.meeting(s) != nil) && e.onPoints(j) >= pointsFrom
}

// togetherFirst puts the question of shared points early where something
// electrical or many lamps are the complaint; -1 when it is not its time.
func (e *Engine) togetherFirst(s *State, j *judged) int {
	least := pointsFirst
	if e.meeting(s) != nil {
		least = pointsFrom
	}
	if s.Asked >= lookRoundAfter || e.onPoints(j) < least || !e.electrical(j) {
		return -1
	}
	id := e.base.Derived.Together.Question.ID
	return slices.IndexFunc(j.checks, func(c candidate) bool { return c.id == id })
}

// electrical reports whether the likeliest suspects are mostly electrical: of
// a mode that only such parts have, or at a part that is fed or earthed.
func (e *Engine) electrical(j *judged) bool {
	p, all := 0.0, 0.0
	for c, x := range j.post.Singles {
		all += x
		if e.causes[c].electrical {
			p += x
		}
	}
	return p > all/2
}

// sharersWords names what shares a fuse, belt or line with the likeliest
// suspect that shares one, for the question what of it still works.
func (e *Engine) sharersWords(j *judged) string {
	for _, c := range j.order[:min(len(j.order), 2*sharersNamed)] {
		p := e.base.Part(e.base.Causes[c].Part)
		if p == nil {
			continue
		}
		what, with := e.base.With(p)
		if len(with) == 0 {
			continue
		}
		var names []string
		for _, q := range with[:min(len(with), sharersNamed)] {
			names = append(names, q.Name)
		}
		one := map[string]string{"fuse": "on one fuse", "belt": "on one belt", "vacuum": "on one vacuum line"}[what]
		return "; " + one + " with the " + p.Name + ", as a rule: " + strings.Join(names, ", ")
	}
	return ""
}

// hearTogether reads an answer to the question of shared points that names
// things: another trouble is something that went with it, a part that tests
// good something that still works.
func (e *Engine) hearTogether(s *State, was *open, seen []plainwords.Observation, words string, h *heard) {
	id := e.base.Derived.Together.Question.ID
	if was == nil || was.finding != id || s.known(id) {
		return
	}
	if slices.ContainsFunc(seen, func(o plainwords.Observation) bool { return o.Source == "tried" }) {
		return // what was done brought it about, not the same moment
	}
	for _, o := range seen {
		outcome := ""
		switch {
		case e.base.Symptom(o.Finding) != nil && o.Outcome == "present" && o.Finding != s.Chief && !e.base.OfOneThing(s.Chief, o.Finding):
			outcome = "also"
		case strings.HasPrefix(o.Finding, "part:") && o.Outcome == "good":
			outcome = "works"
		default:
			continue
		}
		o.Finding, o.Outcome, o.Item, o.Answer = id, outcome, "", true
		e.note(s, o, words, h)
		return
	}
}

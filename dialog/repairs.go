package dialog

import (
	"fmt"
	"slices"
	"strings"

	"ruleout/dialog/belief"
	"ruleout/dialog/plainwords"
	"ruleout/kb"
)

// repairFinding is the outcome of a repair that was proposed: "repair:ACTION"
// with the outcomes of renewing a part, for all causes the job cures.
func (e *Engine) repairFinding(id string) (*kb.Finding, *belief.Finding) {
	for i := range e.actions {
		a := e.actions[i]
		if "repair:"+a.id != id {
			continue
		}
		table := e.base.Lists.Derived.Replaced
		dist := func(key string) []float64 {
			out, sum := make([]float64, len(kb.Effects)), 0.0
			for k, effect := range kb.Effects {
				out[k] = table[key][effect]
				sum += out[k]
			}
			for k := range out {
				out[k] /= sum
			}
			return out
		}
		f := &kb.Finding{ID: id, Kind: kb.FindingPart, Title: "repair: " + lowerFirst(a.do), Article: a.lead.ID,
			Ask: "What did it change?", Base: dist("elsewhere"),
			Outcomes: []kb.Outcome{{ID: "same", Title: "no change"}, {ID: "better", Title: "better, not gone"}, {ID: "cured", Title: "cured it"}, {ID: "worse", Title: "worse"}}}
		t := &belief.Finding{ID: id, Base: f.Base, NoneIsBase: true, Rule: belief.PairReplaced, Split: dist("split")}
		for _, c := range a.causes {
			t.Rows = append(t.Rows, belief.Row{Cause: c, P: dist("in-part"), InPart: true})
		}
		return f, t
	}
	return nil, nil
}

// repaired takes the outcome of a repair: a new era, and either the proof of
// the cure or a finding against what was mended.
func (e *Engine) repaired(s *State, finding, outcome, words string, h *heard) {
	f, _ := e.finding(finding, "")
	if f == nil || f.OutcomeIndex(outcome) < 0 {
		return
	}
	action := strings.TrimPrefix(finding, "repair:")
	// What the job cured is judged by what was known before it: afterwards the
	// findings on the renewed part are history.
	cured := e.likeliestOf(s, action)
	n := e.note(s, plainwords.Observation{Finding: finding, Outcome: outcome, Source: "tried", Hedge: "plain",
		Certainty: e.base.Lists.Derived.Sources["tried"], Start: 0, End: len(words), Answer: true}, words, h)
	if n == 0 {
		return
	}
	s.Tried[action] = outcome
	e.acted(s, f.Title, n, h)
	s.Open = nil
	switch outcome {
	case "cured":
		s.Proving = cured
	case "same":
		h.say("Then it was not that, or not that alone. If the old part was sound, keep it; one change at a time.")
	case "better":
		h.say("Something is left: what is still there is the complaint now.")
	}
}

// likeliestOf is the likeliest cause that a job cures.
func (e *Engine) likeliestOf(s *State, action string) string {
	for i := range e.actions {
		if e.actions[i].id != action {
			continue
		}
		before := *s
		j := e.judgeOnly(&before)
		best := e.actions[i].causes[0]
		for _, c := range e.actions[i].causes {
			if j.Singles[c] > j.Singles[best] {
				best = c
			}
		}
		return e.base.Causes[best].ID
	}
	return ""
}

// judgeOnly is the belief without the plan.
func (e *Engine) judgeOnly(s *State) *belief.Posterior {
	ev, _ := e.evidence(s)
	return belief.Update(e.model(s, ev), ev)
}

// fixed takes "it's fixed": the proof of what was done last, or a question
// about what was done.
func (e *Engine) fixed(s *State, about string, h *heard) {
	switch {
	case s.Closed == "on trial" && s.care.trial != nil:
		e.tellClean(s, lastText(s), h)
		return
	case s.Closed != "":
		h.say("Good. The case is closed as %s.", s.Closed)
		return
	}
	named := e.curedPart(s)
	repair := s.Open != nil && s.Open.kind == "repair"
	switch {
	case repair && (named == "" || e.mends("repair:"+s.Open.id, e.base.Cause(named))):
		e.repaired(s, "repair:"+s.Open.id, "cured", lastText(s), h)
		return
	case named != "":
		s.Proving = named
		return
	case s.Proving != "":
		h.say("A cure is only one when it has been seen: do the proof, then say what it showed.")
		return
	}
	if lead := byProbability(e.judgeOnly(s)); len(lead) > 0 && anyWeighs(s) {
		c := e.base.Causes[lead[0]]
		h.say("Good. What did you do that cured it? If it was %s, this proves it:", lowerFirst(c.Title))
		s.Proving = c.ID
		return
	}
	h.say("Good to hear. Tell me what it did and what cured it, and I keep it with the case.")
}

// curedByTelling goes on to the proof when a new part is told to have cured it,
// whether or not the job was proposed: what was done is not proposed again.
func (e *Engine) curedByTelling(s *State, h *heard) {
	if len(s.Turns) < 2 || s.Chief == "" && !anyWeighs(s) || s.Closed != "" || s.Proving != "" {
		return
	}
	for _, q := range h.requests {
		if q.Kind == "came-back" || q.Kind == "still" {
			return
		}
	}
	for _, k := range h.notes {
		if n := &s.Notes[k-1]; !n.struck && n.Weighs && (n.cure() || n.lastingly()) && n.Era != "before" && strings.HasPrefix(n.Finding, "part:") {
			s.Proving = e.curedPart(s)
			return
		}
	}
}

// curedPart is the likeliest cause in the part that was renewed or worked on
// with a cure told, the last such part; "" if there is none. What was done in
// this turn counts without saying so: "cleaned the clamps and it's cured".
func (e *Engine) curedPart(s *State) string {
	for i := len(s.Notes) - 1; i >= 0; i-- {
		n := &s.Notes[i]
		f := strings.Split(n.Finding, ":")
		now := n.Turn == len(s.Turns) && (n.Outcome == "goes" || f[len(f)-1] == "replaced" && !(n.Weighs && (n.Outcome == "same" || n.Outcome == "worse")))
		if n.struck || len(f) != 3 || f[0] != "part" || !now && !(n.cure() && !s.cameBackAfter(n)) {
			continue
		}
		if c := e.mendedCause(s, plainwords.Mend{Part: f[1]}); c != nil {
			return c.ID
		}
	}
	return ""
}

// proven closes the case, or puts it on trial when the fault comes and goes.
func (e *Engine) proven(s *State, h *heard) {
	c := e.base.Cause(s.Proving)
	if c == nil {
		return
	}
	if !e.mends(s.curedBy(), c) {
		e.noteCure(s, c, h)
	}
	s.Proving, s.Solved, s.care.shown = "", c.ID, false
	if c.Comes == "daily" || c.Comes == "rare" || s.comesAndGoesTold() {
		e.onTrial(s, c, h)
		return
	}
	e.closeCured(s, c, h)
}

// mends reports whether the repair of a finding cures the cause.
func (e *Engine) mends(finding string, c *kb.Cause) bool {
	if finding == "" {
		return false
	}
	_, t := e.finding(finding, "")
	return t != nil && slices.ContainsFunc(t.Rows, func(r belief.Row) bool { return r.Cause == e.number[c.ID] && r.InPart })
}

// noteCure notes the repair of a cure that was seen and never told as a job.
func (e *Engine) noteCure(s *State, c *kb.Cause, h *heard) {
	id := "repair:" + e.actions[e.actionOf(e.number[c.ID])].id
	n := e.note(s, plainwords.Observation{Finding: id, Outcome: "cured", Source: "remembered", Hedge: "plain",
		Certainty: e.base.Lists.Derived.Sources["remembered"], Start: 0, End: 0}, "", h)
	if n > 0 {
		s.Tried[strings.TrimPrefix(id, "repair:")] = "cured"
		e.acted(s, s.Notes[n-1].Title, n, h)
	}
}

// named puts the titles of articles in place of their ids.
func (e *Engine) named(words []string) []string {
	out := make([]string, len(words))
	for i, w := range words {
		out[i] = strings.TrimSuffix(w, ".")
		if h, ok := e.base.Head(w); ok {
			out[i] = fmt.Sprintf("[%s](article:%s)", lowerFirst(h.Title), h.ID)
		}
	}
	return out
}

// still takes "still doing it": the last repair changed nothing, once its
// proof can have shown (about is then "shown"), or a closed case is taken up
// again.
func (e *Engine) still(s *State, about string, h *heard) {
	switch {
	case s.Closed != "":
		e.cameBack(s, "", h)
	case s.Proving != "" && about != "shown" && e.base.Cause(s.Proving).Proof.ShowsAfter != "at once":
		s.care.shown = true
	case s.Proving != "":
		id := s.Proving
		s.Proving, s.care.shown = "", false
		a := e.actions[e.actionOf(e.number[id])]
		for i := range s.Notes {
			n := &s.Notes[i]
			if !n.struck && n.Finding == "repair:"+a.id && n.Outcome == "cured" {
				n.struck, n.Note = true, "changed: it is still there"
			}
		}
		e.repaired(s, "repair:"+a.id, "same", lastText(s), h)
	case s.Open != nil && s.Open.kind == "repair":
		e.repaired(s, "repair:"+s.Open.id, "same", lastText(s), h)
	default:
		h.say("Understood: it is still there.")
	}
}

// cannot passes over what was proposed.
func (e *Engine) cannot(s *State, why string, h *heard) {
	if s.Open == nil {
		h.say("There is nothing open to pass over.")
		return
	}
	id := s.Open.id
	switch s.Open.kind {
	case "repair":
		id = "repair:" + id
	case "before":
		s.Open = nil
		return
	}
	s.Passed[id] = why
	if s.Open.finding != "" && s.Open.kind == "question" {
		s.Passed[s.Open.finding] = why
	}
	s.Open = nil
}

func lastText(s *State) string {
	if len(s.Turns) == 0 {
		return ""
	}
	return s.Turns[len(s.Turns)-1].Text
}

// money is the range of the parts' cost over the likeliest suspects.
func (e *Engine) money(post *belief.Posterior) string {
	var lines []string
	for _, c := range byProbability(post)[:min(3, len(post.Singles))] {
		k := e.base.Causes[c]
		if post.Singles[c] < 0.05 && len(lines) > 0 {
			break
		}
		lines = append(lines, fmt.Sprintf("- [%s](article:%s): parts %g to %g (%s), %s of work",
			k.Title, k.ID, k.Repair.Money.Low, k.Repair.Money.High, k.Repair.Money.Basis, minutes(k.Repair.Minutes)))
	}
	return strings.Join(lines, "\n")
}

package dialog

import (
	"fmt"
	"slices"
	"strings"

	"ruleout/dialog/plainwords"
	"ruleout/kb"
)

// history marks the notes that are no longer so: the same thing was told again
// after something was done to the car. What was told before and not again
// stays in force: it is what the trouble was, and what a cure is judged by.
func (s *State) history() []bool {
	out := make([]bool, len(s.Notes))
	last := map[string]int{}
	for i := range s.Notes {
		n := &s.Notes[i]
		if n.struck || !n.Weighs || doneTo(n.Finding) {
			continue
		}
		last[n.Finding+"|"+n.Item] = max(last[n.Finding+"|"+n.Item], n.era)
	}
	for i := range s.Notes {
		n := &s.Notes[i]
		out[i] = !doneTo(n.Finding) && n.era < last[n.Finding+"|"+n.Item]
	}
	return out
}

// doneTo reports whether the finding tells what was done to a part and what it
// changed: each time counts.
func doneTo(finding string) bool {
	return strings.HasSuffix(finding, ":replaced") || strings.HasSuffix(finding, ":swapped") || strings.HasPrefix(finding, "repair:") || strings.HasPrefix(finding, "event:")
}

// The states of a symptom in an era, beside those before it.
const (
	stateSame  = "same"
	stateLess  = "less"
	stateWorse = "worse"
	stateGone  = "gone"
	stateMoved = "moved"
	stateNew   = "new"
)

// eraChange takes what a turn tells of symptoms after something was done to
// the car: gone with it, moved with it, or new since.
func (e *Engine) eraChange(s *State, h *heard) {
	if s.era() == 0 {
		return
	}
	for _, num := range slices.Clone(h.notes) {
		n := &s.Notes[num-1]
		f := e.base.Finding(n.Finding)
		if f == nil || f.Kind != kb.FindingSymptom || n.struck || !n.Weighs || n.era != s.era() {
			continue
		}
		before := s.toldBefore(n)
		switch {
		case n.Outcome == "absent" && before != nil && before.Outcome == "present":
			e.gone(s, n, h)
		case n.Outcome == "present" && before == nil && n.Turn > s.Eras[s.era()-1].Turn:
			e.isItNew(s, n)
		case n.Outcome == "present" && before != nil && before.Outcome == "present":
			if itemShare(n.Item, before.Item) == 0 && n.Item != "" && before.Item != "" {
				e.moved(s, n, before, h)
			} else if s.Eras[s.era()-1].Symptoms[n.Finding] == "" {
				s.setEra(n.Finding, stateSame)
			}
		}
	}
}

// setEra notes the state of a symptom in the present era.
func (s *State) setEra(symptom, state string) {
	at := &s.Eras[s.era()-1]
	m := cloned(at.Symptoms)
	m[symptom] = state
	at.Symptoms = m
}

// toldBefore is the last word on the same symptom from an earlier era.
func (s *State) toldBefore(n *observed) *observed {
	var out *observed
	for i := range s.Notes {
		p := &s.Notes[i]
		if !p.struck && p.Finding == n.Finding && p.era < n.era && p.Number != n.Number {
			out = p
		}
	}
	return out
}

// lastAct is the note of what was done last, or nil.
func (s *State) lastAct() *observed {
	for i := len(s.Notes) - 1; i >= 0; i-- {
		n := &s.Notes[i]
		if n.struck || n.era != s.era() {
			continue
		}
		if strings.HasPrefix(n.Finding, "part:") && !strings.HasSuffix(n.Finding, ":tested") || strings.HasPrefix(n.Finding, "repair:") {
			return n
		}
	}
	return nil
}

// gone keeps the cause that was mended as done. What is left becomes the
// complaint; with nothing left the trouble is cured.
func (e *Engine) gone(s *State, n *observed, h *heard) {
	s.setEra(n.Finding, stateGone)
	act := s.lastAct()
	since := s.Eras[s.era()-1].Began
	left := e.leftOver(s, n.Finding)
	title := lowerFirst(strings.TrimSuffix(e.title(n.Finding), "."))
	if len(left) == 0 {
		if act != nil {
			e.cured(s, act)
		}
		n.Weighs, n.Note = false, "gone since "+lowerFirst(since)
		return
	}
	// The symptom that went speaks of what was mended, and no longer of what
	// is left; what was done did not mend that.
	for i := range s.Notes {
		p := &s.Notes[i]
		if p.Finding == n.Finding && !p.struck {
			p.Weighs, p.Note = false, "gone since "+lowerFirst(since)
		}
	}
	if act != nil && act.Outcome != "same" {
		if f, _ := e.finding(act.Finding, act.means); f != nil && f.OutcomeIndex("same") >= 0 {
			act.Outcome, act.OutcomeTitle = "same", "no change to what is left"
		}
	}
	if act != nil {
		act.Weighs, act.Note = true, ""
	}
	s.Done = append(slices.Clip(s.Done), since)
	if s.Chief == n.Finding || s.Chief == "" {
		s.Chief = left[0]
	}
	s.Also = slices.DeleteFunc(slices.Clone(s.Also), func(id string) bool { return id == n.Finding || id == s.Chief })
	s.dropPending(act)
	h.say("%s is done and stays done: %s went with it. What is left, %s, is the complaint now.", upperFirst(since), title, lowerFirst(e.title(s.Chief)))
}

// leftOver lists the other symptoms that are there, the complaint first.
func (e *Engine) leftOver(s *State, gone string) []string {
	var out []string
	for _, id := range append([]string{s.Chief}, s.Also...) {
		if id != "" && id != gone && s.told(id, "present") && !s.told(id, "absent") {
			out = append(out, id)
		}
	}
	return out
}

// cured sets the outcome of what was done to the one that means a cure.
func (e *Engine) cured(s *State, act *observed) {
	f, _ := e.finding(act.Finding, act.means)
	if f == nil {
		return
	}
	for _, outcome := range []string{"cured", "goes", "gone"} {
		if i := f.OutcomeIndex(outcome); i >= 0 {
			act.Outcome, act.OutcomeTitle, act.Weighs, act.Note = outcome, f.Outcomes[i].Title, true, ""
			s.dropPending(act)
			break
		}
	}
	if id := strings.Split(act.Finding, ":"); len(id) == 3 && s.Proving == "" {
		s.Proving = e.likeliestAt(s, id[1])
	}
}

// likeliestAt is the likeliest cause at a part.
func (e *Engine) likeliestAt(s *State, part string) string {
	best, p := "", -1.0
	post := e.judgeOnly(s)
	for k, c := range e.base.Causes {
		if c.Part == part && post.Singles[k] > p {
			best, p = c.ID, post.Singles[k]
		}
	}
	return best
}

// dropPending takes back the question what an action changed: it was told.
func (s *State) dropPending(act *observed) {
	if act == nil {
		return
	}
	s.Pending = slices.DeleteFunc(slices.Clone(s.Pending), func(p pending) bool { return p.note == act.Number })
}

// moved takes a trouble that went to another place after a part was changed
// over: it went with the part.
func (e *Engine) moved(s *State, n, before *observed, h *heard) {
	s.setEra(n.Finding, stateMoved)
	act := s.lastAct()
	if act == nil {
		return
	}
	id := strings.Split(act.Finding, ":")
	if len(id) != 3 || e.base.Part(id[1]) == nil || e.base.Part(id[1]).Items == "" {
		return
	}
	f, _ := e.finding("part:"+id[1]+":swapped", "")
	i := f.OutcomeIndex("moved")
	act.Finding, act.Title, act.Outcome, act.OutcomeTitle, act.Weighs, act.Note, act.means = f.ID, f.Title, "moved", f.Outcomes[i].Title, true, "", ""
	before.Weighs, before.Note = false, "moved since"
	s.dropPending(act)
	h.say("It moved from %s to %s with the %s.", before.Item, n.Item, e.base.Part(id[1]).Name)
}

// isItNew asks once whether a symptom told after an action came with it.
func (e *Engine) isItNew(s *State, n *observed) {
	act := s.lastAct()
	if act == nil {
		return
	}
	id := strings.Split(act.Finding, ":")
	part := ""
	if len(id) == 3 {
		part = id[1]
	} else if c := e.leadOfAction(strings.TrimPrefix(act.Finding, "repair:")); c != nil {
		part = c.Part
	}
	if e.base.Part(part) == nil || s.Settled["new "+n.Finding] != "" {
		return
	}
	s.ask(pending{kind: "new", words: "new " + n.Finding,
		ask: fmt.Sprintf("Is that new since this was done: %s? Then the hand that was there comes first: something left off, loose, trapped or the wrong way round.", lowerFirst(s.Eras[s.era()-1].Began)),
		choices: []choice{
			{text: "new since then", finding: "event:work-on:" + part, outcome: "before", symptom: n.Finding},
			{text: "it was there before", none: true}, {text: "don't know", none: true}}})
}

// newSince takes the answer that a symptom came with an action.
func (e *Engine) newSince(s *State, c choice, h *heard) {
	s.setEra(c.symptom, stateNew)
	e.note(s, plainwords.Observation{Finding: c.finding, Outcome: c.outcome, Source: "seen", Hedge: "plain", Certainty: e.base.Lists.Derived.Sources["seen"]}, "", h)
	if c.symptom != s.Chief && s.Chief != "" && !s.told(s.Chief, "present") {
		s.Also = append(slices.Clone(s.Also), s.Chief)
		s.Chief = c.symptom
	}
}

func (e *Engine) leadOfAction(id string) *kb.Cause {
	for i := range e.actions {
		if e.actions[i].id == id {
			return e.actions[i].lead
		}
	}
	return nil
}

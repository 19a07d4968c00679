package dialog

import (
	"fmt"
	"slices"
	"strings"

	"ruleout/dialog/plainwords"
)

// Figures of recaps and of waiting. Basis: memory.
const (
	recapFacts  = 4
	unlikelyNow = 0.2 // a part this unlikely is not worth fitting yet
	// While a part is on order a check must tell this many decibans of one of
	// so many leading suspects, weighed by its probability; what the cause has
	// looked at anyway goes first.
	// It must be able to put another cause first by an outcome of at least
	// turnFrom; so many are tried.
	tellsEnough  = 0.3
	turnFrom     = 0.05
	offersTried  = 6
	rivals       = 4
	inspectFirst = 100.0
)

// Recap says in three lines where a case stands, for somebody who comes back
// to it: what it is about, what is known, what it comes to now.
func (e *Engine) Recap(state *State) []string {
	s := state.clone()
	return e.recap(s, e.judge(s))
}

func (e *Engine) recap(s *State, j *judged) []string {
	if !anyWeighs(s) {
		return []string{"Nothing is known of the trouble yet.", "No check was made.", "It begins with what the vehicle does that it should not."}
	}
	about := "About: "
	if t := titleOf(&Report{Vehicle: e.facts(s), Complaint: e.complaintOf(s)}); t != "" {
		about += lowerFirst(t)
	}
	var told []string
	for i := len(s.Notes) - 1; i >= 0 && len(told) < recapFacts; i-- {
		n := &s.Notes[i]
		if !n.struck && n.Weighs && n.Finding != s.Chief {
			told = append(told, lowerFirst(strings.TrimPrefix(n.describe(), "repair: ")))
		}
	}
	slices.Reverse(told)
	known := "Known: only the complaint so far"
	if len(told) > 0 {
		known = "Known: " + strings.Join(told, " · ")
	}
	if out := len(j.post.RuledOut()); out > 0 {
		known += fmt.Sprintf("; %d causes are out", out)
	}
	return []string{sentence(about), sentence(known), sentence(e.standing(s, j))}
}

// standing says what a case comes to now.
func (e *Engine) standing(s *State, j *judged) string {
	lead := ""
	if len(j.order) > 0 {
		c := e.base.Causes[j.order[0]]
		lead = fmt.Sprintf("[%s](article:%s), %s", brief(c.Title), c.ID, plain(j.post.Singles[j.order[0]]))
	}
	switch {
	case s.supposed != nil:
		return "Now: supposing " + s.supposed.What + "; leading " + lead
	case s.Closed == "on trial" && s.care.trial != nil:
		return "Now: " + strings.TrimPrefix(s.care.trial.Words, "on ")
	case s.Closed != "":
		return "Now: closed, " + s.Closed + ": " + lowerFirst(e.title(s.Solved))
	case s.Proving != "":
		return "Now: repaired, the proof is still to be seen: " + lowerFirst(e.title(s.Proving))
	case s.care.waiting != "":
		return "Now: waiting for the part to " + e.jobWords(s.care.waiting) + "; leading " + lead
	}
	return "Now: leading " + lead
}

// jobWords names a repair job.
func (e *Engine) jobWords(action string) string {
	for _, a := range e.actions {
		if a.id == action {
			return lowerFirst(strings.TrimSuffix(a.do, "."))
		}
	}
	return action
}

// wait takes "the part is on order": the repair waits, and what needs not the
// part is proposed meanwhile.
func (e *Engine) wait(s *State, about string, h *heard) {
	switch {
	case s.Closed != "":
		h.say("The case is closed: there is nothing to wait for.")
		return
	case !anyWeighs(s):
		h.say("Tell me what the trouble is first; then I can say what to do meanwhile.")
		return
	}
	s.care.waiting, s.care.arrived = e.jobFor(s, about), ""
	s.mark("waiting", "part on order: "+e.jobWords(s.care.waiting))
	h.say("Noted: the part is on order (%s). Meanwhile:", e.jobWords(s.care.waiting))
}

// onOrder reports whether an observation of a new part is only of one that is
// awaited: "waiting for a new fan motor".
func onOrder(o plainwords.Observation, requests []plainwords.Request) bool {
	return strings.HasSuffix(o.Finding, ":replaced") && slices.ContainsFunc(requests, func(q plainwords.Request) bool { return q.Kind == "waiting" || q.Kind == "arrived" })
}

// jobFor is the repair job that is meant: of the part or cause named, the one
// on the table, or that of the leading suspect.
func (e *Engine) jobFor(s *State, about string) string {
	post := e.judgeOnly(s)
	best := -1
	for c := range e.base.Causes {
		if about != "" && (e.base.Causes[c].Part == about || e.base.Causes[c].ID == about) && (best < 0 || post.Singles[c] > post.Singles[best]) {
			best = c
		}
	}
	switch {
	case best >= 0:
	case s.Open != nil && s.Open.kind == "repair":
		return s.Open.id
	default:
		best = byProbability(post)[0]
	}
	return e.actions[e.actionOf(best)].id
}

// arrive takes "the part is here".
func (e *Engine) arrive(s *State, h *heard) {
	if s.care.waiting == "" {
		if len(h.notes) == 0 {
			h.say("I did not know of a part on order.")
		}
		return
	}
	action := s.care.waiting
	s.care.waiting, s.care.arrived = "", action
	s.mark("arrived", "the part is here: "+e.jobWords(action))
	if p := e.jobProbability(e.judgeOnly(s).Singles, action); p < unlikelyNow {
		h.say("Don't fit it yet: by what you found since, only %s does it need that (%s).", plain(p), e.jobWords(action))
		s.care.arrived = ""
	}
}

// jobProbability is the chance that a job cures a single cause.
func (e *Engine) jobProbability(singles []float64, action string) float64 {
	p := 0.0
	for _, a := range e.actions {
		if a.id == action {
			for _, c := range a.causes {
				p += singles[c]
			}
		}
	}
	return p
}

// meanwhile is what can be done while a part is on order: first what must be
// looked at with this cause anyway, then the check that tells most of it and
// its rivals; none that needs or disturbs the part. When nothing is left, to
// wait.
func (e *Engine) meanwhile(s *State, j *judged) *Next {
	var job *action
	for _, a := range e.actions {
		if a.id == s.care.waiting {
			job = a
		}
	}
	here := Quick{Text: "the part is here", Tap: Tap{Request: "arrived"}}
	type offer struct {
		check int
		tells float64
	}
	var offers []offer
	for i, c := range j.checks {
		if c.test == nil || c.kind != "test" || contains(c.test.Disturbs, job.lead.Part) || contains(c.test.Needs, job.lead.Part) {
			continue
		}
		tells := 0.0
		for k, cause := range j.order {
			if k < rivals || slices.Contains(job.causes, cause) {
				tells = max(tells, telling(j.problem.Checks[i].Findings[0], cause)*j.post.Singles[cause])
			}
		}
		if contains(e.causeCured(s, job).Inspect, c.id) {
			tells += inspectFirst
		}
		if tells = round9(tells); tells > tellsEnough {
			offers = append(offers, offer{i, tells})
		}
	}
	slices.SortStableFunc(offers, func(a, b offer) int {
		switch {
		case a.tells > b.tells:
			return -1
		case a.tells < b.tells:
			return 1
		}
		return a.check - b.check
	})
	best := -1
	for k, o := range offers {
		if k == offersTried || o.tells >= inspectFirst || e.canTurn(j, o.check) {
			if k < offersTried {
				best = o.check
			}
			break
		}
	}
	if best >= 0 {
		n := e.checkNext(s, j, best)
		n.Why = "you have the time while you wait, and it neither needs nor disturbs the part: " + n.Why
		n.Quick = append(n.Quick, here)
		return n
	}
	n := &Next{Kind: "waiting", ID: "waiting", Title: "Wait for the part: nothing worth doing is left until then", Why: e.waitingWords(s), Quick: []Quick{here}}
	for _, a := range e.actions {
		if a.id == s.care.waiting {
			n.Article = a.lead.ID
		}
	}
	return n
}

// canTurn reports whether an outcome that is not too rare would put another
// cause first.
func (e *Engine) canTurn(j *judged, check int) bool {
	lead := e.base.Causes[j.order[0]].Title
	for o, p := range j.post.Predict(j.problem.Checks[check].Findings[0]) {
		if round3(p) < turnFrom {
			continue
		}
		if first := likeliest(e.afterwards(j, check, o), 1); len(first) > 0 && e.base.Causes[first[0]].Title != lead {
			return true
		}
	}
	return false
}

// waitingWords says what to mind meanwhile.
func (e *Engine) waitingWords(s *State) string {
	for _, a := range e.actions {
		if a.id != s.care.waiting {
			continue
		}
		c := e.causeCured(s, a)
		words := "driving meanwhile: " + lowerFirst(sentence(c.Driving))
		if len(c.Inspect) > 0 {
			words += " Have ready, or look at, " + list(e.named(c.Inspect)) + "."
		}
		return words
	}
	return "say when it is here"
}

// fitNext is the repair whose part has come, or nil.
func (e *Engine) fitNext(s *State, j *judged) *Next {
	if s.care.arrived == "" || s.Tried[s.care.arrived] != "" {
		return nil
	}
	for i, a := range j.repairs {
		if a.id == s.care.arrived {
			n := e.repairNext(s, j, i)
			n.Why = "the part is here; " + strings.Replace(n.Why, ", and no check left would save more than it costs", "", 1)
			return n
		}
	}
	return nil
}

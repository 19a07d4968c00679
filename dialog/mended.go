package dialog

import (
	"slices"
	"strings"

	"ruleout/dialog/plainwords"
	"ruleout/kb"
)

// What a person put right and tells in passing is taken as what it is: the job
// with its effect, and with a cure the way to its proof. Which part was meant
// is settled by what is in talk, never asked back.

// A bare noun is looked up among so many parts, of suspects at least so
// likely, that the vehicle likelier has than not: who says "plugs" does not
// tell that it is a diesel. Basis: memory.
const (
	talkAtMost = 40
	talkFrom   = 0.003
	hasIt      = 0.5
)

// inTalk are the parts in talk: that of the open check, then those of the
// suspects, the likeliest first, then the others of the circuit at hand.
func (e *Engine) inTalk(s *State, j *judged) []string {
	if s.Chief == "" && !anyWeighs(s) && len(s.About) == 0 {
		return nil
	}
	var out []string
	add := func(part string) {
		if p := e.base.Part(part); p != nil && len(out) < talkAtMost && !slices.Contains(out, part) && e.applies(s, p.Applies) >= hasIt {
			out = append(out, part)
		}
	}
	if o := s.Open; o != nil {
		if t := e.base.Test(o.id); t != nil {
			add(t.Part)
		}
		if id := strings.Split(o.finding, ":"); len(id) == 3 && id[0] == "part" {
			add(id[1])
		}
		if c := e.leadOfAction(o.id); c != nil && o.kind == "repair" {
			add(c.Part)
		}
		if c := e.base.Cause(o.id); c != nil {
			add(c.Part)
		}
	}
	for _, c := range j.order {
		if j.post.Singles[c] >= talkFrom {
			add(e.base.Causes[c].Part)
		}
	}
	if c := e.base.Circuit(s.Circuit); c != nil {
		for i := range c.Elements {
			add(c.Elements[i].Part)
		}
	}
	return out
}

// mendModes are the modes that a verb of mending puts right; any other verb
// fits every mode.
var mendModes = map[string][]string{
	"cleaned": {"corroded", "contaminated", "poor-contact-under-load", "high-resistance", "sticking", "blocked", "wet-inside", "burnt"}, "unblocked": {"blocked", "trapped-object"}, "unclogged": {"blocked"},
	"soldered": {"cracked-solder", "broken", "open", "poor-contact-under-load", "chafed", "high-resistance"}, "resoldered": {"cracked-solder", "broken", "open", "poor-contact-under-load"},
	"refitted": {"loose", "detached", "misfitted", "unplugged"}, "reseated": {"loose", "misfitted", "poor-contact-under-load", "unplugged"}, "reconnected": {"unplugged", "detached", "loose"},
	"refastened": {"loose", "detached"}, "reattached": {"detached", "loose"}, "tightened": {"loose", "badly-tightened", "poor-contact-under-load", "high-resistance", "leaking"}, "retightened": {"loose", "badly-tightened", "poor-contact-under-load"},
	"freed": {"seized", "sticking", "stuck-open", "stuck-closed", "frozen"}, "unseized": {"seized", "sticking"}, "unjammed": {"seized", "sticking", "trapped-object"}, "greased": {"sticking", "seized", "worn"}, "lubed": {"sticking", "seized"},
	"bodged": {"broken", "open", "chafed", "detached", "leaking"}, "bridged": {"broken", "open", "burnt", "poor-contact-under-load", "corroded", "high-resistance", "worn"},
	"rewired": {"broken", "chafed", "open", "shorted", "corroded", "high-resistance", "burnt"}, "spliced": {"broken", "chafed", "open"}, "taped": {"chafed", "shorted", "leaking"}, "crimped": {"loose", "broken", "poor-contact-under-load"}, "recrimped": {"loose", "poor-contact-under-load"},
	"adjusted": {"out-of-adjustment"},
}

// wireVerbs are done to wires, where no part is named.
var wireVerbs = []string{"bodged", "bridged", "soldered", "resoldered", "spliced", "taped", "rewired", "crimped", "recrimped", "reconnected"}

// isWiring reports whether the part is a wire or holds one.
func (e *Engine) isWiring(part string) bool {
	kinds := e.base.KindsOf(part)
	return part == "wiring-loom" || slices.Contains(kinds, "cable") || slices.Contains(kinds, "contact")
}

// lastingActs are the deeds of partAct that mend and are no test.
var lastingActs = []string{"clean", "tighten"}

// lastingly reports whether the observation is that such a deed sent it off.
func (n *observed) lastingly() bool {
	id := strings.Split(n.Finding, ":")
	return n.Outcome == "goes" && slices.Contains(lastingActs, id[len(id)-1])
}

// putRight takes what was told to have been put right.
func (e *Engine) putRight(s *State, h *heard) {
	if s.Closed != "" || s.Proving != "" {
		return
	}
	for _, m := range h.mends {
		if !e.takeMend(s, m, h) {
			continue
		}
		h.requests = slices.DeleteFunc(slices.Clone(h.requests), func(q plainwords.Request) bool {
			return q.Kind == "fixed" || q.Kind == "still" && m.Effect != "cured"
		})
		return
	}
}

// takeMend notes one thing put right and reports whether it could be placed.
func (e *Engine) takeMend(s *State, m plainwords.Mend, h *heard) bool {
	if m.Part == "" && s.Open != nil && s.Open.kind == "repair" {
		e.mendNoted(s, s.Open.id, m, h)
		return true
	}
	if m.Part == "" && len(m.Modes) == 0 && !e.oneInTalk(s) {
		// "Changed it and now it starts": what, nobody can tell.
		if m.Effect == "cured" {
			h.say("Good. What did you do that cured it? Name the part, and I know what proves it.")
		} else {
			h.say("What was it? Name the part and what that changed, and I take it in.")
		}
		return true
	}
	if m.Way == "renewed" {
		return e.renewed(s, m, h)
	}
	c := e.mendedCause(s, m)
	if c == nil {
		return false
	}
	action := e.actions[e.actionOf(e.number[c.ID])].id
	switch {
	case m.Way == "found":
		e.foundCause(s, m, c, action, h)
	default:
		e.mendNoted(s, action, m, h)
		if m.Effect == "cured" {
			s.Proving = c.ID
		}
	}
	return true
}

// meansOne is how likely a suspect's part must be for "it" to mean that one, where
// no check of a part is open. Basis: memory.
const meansOne = 0.25

// oneInTalk reports whether a part is in talk that "it" can mean.
func (e *Engine) oneInTalk(s *State) bool {
	if s.Open != nil && (s.Open.kind == "test" || s.Open.kind == "look" || s.Open.kind == "circuit") {
		return true
	}
	sum, post := map[string]float64{}, e.judgeOnly(s)
	for i, c := range e.base.Causes {
		if sum[c.Part] += post.Singles[i]; sum[c.Part] >= meansOne {
			return true
		}
	}
	return false
}

// mendNoted notes a job with its effect, by the words that told it.
func (e *Engine) mendNoted(s *State, action string, m plainwords.Mend, h *heard) {
	e.repaired(s, "repair:"+action, m.Effect, lastText(s), h)
}

// foundCause takes a cause that was found: its part is bad, and once it is put
// right, as most have by the time they tell it, the proof shows it.
func (e *Engine) foundCause(s *State, m plainwords.Mend, c *kb.Cause, action string, h *heard) {
	if m.Effect == "cured" {
		e.mendNoted(s, action, m, h)
		s.Proving = c.ID
		return
	}
	e.note(s, plainwords.Observation{Finding: "part:" + c.Part + ":tested", Outcome: "bad", Item: m.Item, Source: "seen", Hedge: "plain",
		Certainty: e.base.Lists.Derived.Sources["seen"], Start: m.Start, End: m.End}, lastText(s), h)
	s.Proving, s.Open = c.ID, nil
	h.say("Found: %s. Put right, this proves it:", lowerFirst(c.Title))
}

// renewed notes a part renewed that was not named: the one named last, or the
// first in talk that is renewed as a whole.
func (e *Engine) renewed(s *State, m plainwords.Mend, h *heard) bool {
	part, hedge := m.Part, "plain"
	if part == "" {
		hedge = "maybe"
		at := slices.IndexFunc(s.talk, func(id string) bool { return !e.isWiring(id) })
		if at < 0 {
			return false
		}
		part = s.talk[at]
	}
	d := e.base.Lists.Derived
	n := e.note(s, plainwords.Observation{Finding: "part:" + part + ":replaced", Outcome: m.Effect, Item: m.Item, Source: "tried", Hedge: hedge,
		Certainty: d.Sources["tried"] * d.Hedges[hedge], Start: m.Start, End: m.End}, lastText(s), h)
	if n == 0 {
		return false
	}
	if hedge == "maybe" {
		h.say("I take it that this was the %s; if it was something else, say what.", e.base.Part(part).Name)
	}
	return true
}

// mendedCause is the likeliest cause that was mended: in the part told, if
// any, before all one that brings the complaint, then of its system or the
// part's, and in a mode that was named or that the verb puts right; nil if the
// part has none.
func (e *Engine) mendedCause(s *State, m plainwords.Mend) *kb.Cause {
	post, brings := e.judgeOnly(s), e.bringers(s.Chief)
	systems := map[string]bool{}
	if p := e.base.Part(m.Part); p != nil {
		systems[p.System] = true
	}
	if sym := e.base.Symptom(s.Chief); sym != nil {
		systems[sym.System] = true
	}
	verbFits := 1 // with the part known the verb only chooses its mode
	if m.Part == "" {
		verbFits = 3
	}
	var best *kb.Cause
	at, fit := -1.0, -1
	for k, c := range e.base.Causes {
		if m.Part != "" && c.Part != m.Part {
			continue
		}
		fits := 0
		if brings[k] {
			fits += 4
		}
		if systems[c.System] {
			fits += 2
		}
		if slices.Contains(m.Modes, c.Mode) {
			fits += 8
		}
		if slices.Contains(mendModes[m.Verb], c.Mode) && (m.Part != "" || !slices.Contains(wireVerbs, m.Verb) || e.isWiring(c.Part)) {
			fits += verbFits
		}
		if p := post.Singles[k]; fits > fit || fits == fit && p > at {
			best, at, fit = c, p, fits
		}
	}
	return best
}

// bringers are the causes that make a symptom likelier than it is anyway.
func (e *Engine) bringers(symptom string) map[int]bool {
	out := map[int]bool{}
	f, t := e.finding(symptom, "")
	if f == nil || t == nil || f.OutcomeIndex("present") < 0 {
		return out
	}
	at := f.OutcomeIndex("present")
	for _, r := range t.Rows {
		if at < len(r.P) && at < len(t.Base) && r.P[at] > t.Base[at] {
			out[r.Cause] = true
		}
	}
	return out
}

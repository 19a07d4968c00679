package dialog

import (
	"slices"
	"strings"

	"ruleout/kb"
)

// Limits of the trials of conditions. Basis: memory.
const (
	trialsAtMost = 3
	triedBelow   = 0.7 // what is remembered with less certainty is worth a trial
)

// trialChecks proposes, for conditions of the complaint that are not known or
// only half remembered, the short way to try them on purpose.
func (e *Engine) trialChecks(s *State) []candidate {
	var out []candidate
	add := func(id string) {
		f := strings.Split(id, ":")
		if len(out) == trialsAtMost || len(f) != 4 || f[0] != "cond" || f[1] != s.Chief || slices.ContainsFunc(out, func(c candidate) bool { return c.id == id }) {
			return
		}
		if s.Passed[trialPut+id] != "" && (s.Open == nil || s.Open.id != id) {
			return // it was put once
		}
		a, v := e.base.AxisValue(f[2], f[3])
		if v == nil || a.Trial == nil {
			return
		}
		k, t := e.finding(id, "")
		if k == nil || len(t.Rows) == 0 {
			return
		}
		out = append(out, candidate{id: id, kind: "trial", finding: k, table: t, do: &doable{
			title: "Try it on purpose: " + lowerFirst(strings.TrimSuffix(strings.ReplaceAll(a.Ask, "%s", "it"), "?")), steps: []string{a.Trial.Do},
			cautions: []string{a.Trial.Caution}, minutes: a.Trial.Minutes, article: kb.CardConditions,
			quick: append(conditionTaps(k, a, v), cannotTap),
		}})
	}
	for _, id := range sortedKeys(s.Passed) {
		if s.Passed[id] == dontKnow {
			add(id)
		}
	}
	for i := range s.Notes {
		if n := &s.Notes[i]; !n.struck && n.Weighs && n.Source != "tried" && n.Certainty < triedBelow {
			add(n.Finding)
		}
	}
	return out
}

// dontKnow is why a question was passed over that the person could not answer.
const dontKnow = "don't know"

// trialPut marks in what was passed over that a trial was put.
const trialPut = "trial:"

// fullTitles are the first words of values that say by themselves how it is.
var fullTitles = []string{"rises", "once", "only", "comes", "always", "came", "crept", "in one"}

// conditionTaps are the answers to a condition: which of two opposites, or what
// difference it makes.
func conditionTaps(f *kb.Finding, a *kb.Axis, v *kb.AxisValue) []Quick {
	for i := range a.Values {
		if other := &a.Values[i]; other.ID == v.Opposite {
			return taps(f.ID, v.Title, "only", other.Title, "never", "no difference", "same")
		}
	}
	if slices.ContainsFunc(fullTitles, func(w string) bool { return strings.HasPrefix(v.Title, w) }) {
		return taps(f.ID, v.Title, "worse", "no difference", "same", "the other way round", "better")
	}
	var out []Quick
	for _, o := range f.Outcomes {
		out = append(out, taps(f.ID, o.Title, o.ID)...)
	}
	return out
}

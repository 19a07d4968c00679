package dialog

import (
	"slices"

	"ruleout/kb"
)

// cameFor is the symptom that a person would say the case is about: the chief
// one, or, where only an answer to its question was told, the one that stands for
// that answer. A cold heater is asked about as the engine's heat is, but nobody
// who has one came for an engine that gets too hot.
func (e *Engine) cameFor(s *State) *kb.Symptom {
	noted := func(finding, outcome string) bool {
		return slices.ContainsFunc(s.Notes, func(n observed) bool {
			return !n.struck && n.Finding == finding && n.Outcome == outcome
		})
	}
	chief := e.base.Symptom(s.Chief)
	if chief == nil || noted(s.Chief, "present") {
		return chief
	}
	for _, sym := range e.base.Symptoms {
		told := len(sym.Of) > 0
		for _, f := range sortedKeys(sym.Of) {
			told = told && noted(f, sym.Of[f])
		}
		if told {
			return sym
		}
	}
	return chief
}

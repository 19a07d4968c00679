package dialog

import (
	"strings"

	"ruleout/kb"
)

// toolPrefix begins the ids of what was told of a tool.
const toolPrefix = "tool:"

// What a fact about a tool can say.
const (
	atHand    = "at hand"
	notAtHand = "not at hand"
)

// factTitles name what is told of a vehicle and has no list of values.
var factTitles = map[string]string{"year": "year", "make-unknown": "make and model", "engine-litres": "engine, litres", "mileage": "mileage"}

// setFact takes a tap on what was told of the vehicle or a tool: "unknown"
// drops it, another value takes its place. It reports whether the tap was one
// of these.
func (e *Engine) setFact(s *State, finding, outcome, text string, h *heard) bool {
	if tool, ok := strings.CutPrefix(finding, toolPrefix); ok {
		have, told := s.Tools[tool]
		if !told {
			return false
		}
		if outcome != atHand && outcome != notAtHand && outcome != "unknown" {
			return false
		}
		was := e.fact(finding, tool, haveWord(have), "", 0, 0, 0)
		if outcome == "unknown" {
			delete(s.Tools, tool)
			h.say("Struck: %s %s.", lowerFirst(was.Title), was.OutcomeTitle)
			return true
		}
		s.Tools[tool] = outcome == atHand
		h.facts = append(h.facts, e.fact(finding, tool, outcome, text, 0, len(text), len(s.Turns)))
		return true
	}
	attribute, ok := strings.CutPrefix(finding, vehiclePrefix)
	if !ok {
		return false
	}
	value, told := s.Vehicle[attribute]
	a := e.attribute(attribute)
	switch {
	case told && outcome == "unknown":
		was := e.fact(finding, attribute, value, "", 0, 0, 0)
		e.unlearn(s, attribute)
		h.say("Struck: %s: %s.", was.Title, was.OutcomeTitle)
	case valueOf(a, outcome) != nil:
		e.unlearn(s, attribute)
		h.facts = append(h.facts, e.fact(finding, attribute, outcome, text, 0, len(text), len(s.Turns)))
		e.learn(s, attribute, outcome)
	default:
		return false
	}
	return true
}

func haveWord(have bool) string {
	if have {
		return atHand
	}
	return notAtHand
}

func (e *Engine) attribute(id string) *kb.Attribute {
	for i := range e.base.Lists.Vehicle {
		if e.base.Lists.Vehicle[i].ID == id {
			return &e.base.Lists.Vehicle[i]
		}
	}
	return nil
}

// valueOf is a value of an attribute by its id; nil for none and of none.
func valueOf(a *kb.Attribute, id string) *kb.AttributeValue {
	if a == nil {
		return nil
	}
	for i := range a.Values {
		if a.Values[i].ID == id {
			return &a.Values[i]
		}
	}
	return nil
}

// unlearn forgets a fact about the vehicle and what followed from it alone.
func (e *Engine) unlearn(s *State, attribute string) {
	if v := valueOf(e.attribute(attribute), s.Vehicle[attribute]); v != nil {
		for k, implied := range v.Implies {
			if s.Vehicle[k] == implied {
				delete(s.Vehicle, k)
			}
		}
	}
	delete(s.Vehicle, attribute)
}

package dialog

import (
	"slices"
	"strconv"

	"ruleout/kb"
)

// shareOf is the share, among vehicles like this one, of those that have one of
// the allowed values of an attribute that was not told. Its model year tells how
// common each value was; a value that goes with something else than was told is
// none of it: with petrol told, no diesel injection.
func (e *Engine) shareOf(s *State, attribute string, allowed []string) float64 {
	year, err := strconv.Atoi(s.Vehicle["year"])
	if err != nil {
		year = 0
	}
	in, all := 0.0, 0.0
	for i := range e.base.Lists.Vehicle {
		a := &e.base.Lists.Vehicle[i]
		if a.ID != attribute {
			continue
		}
		for k := range a.Values {
			v := &a.Values[k]
			if s.excludes(v) {
				continue
			}
			share := v.ShareIn(year)
			all += share
			if slices.Contains(allowed, v.ID) {
				in += share
			}
		}
	}
	if all <= 0 {
		return 0
	}
	return in / all
}

// excludes reports whether a value goes with something else than was told.
func (s *State) excludes(v *kb.AttributeValue) bool {
	for _, id := range sortedKeys(v.Implies) {
		if told := s.Vehicle[id]; told != "" && told != v.Implies[id] && (id != "fuel" || told != "lpg" || v.Implies[id] == "diesel") {
			return true
		}
	}
	return false
}

package dialog

import (
	"fmt"
	"slices"

	"ruleout/dialog/circuit"
)

// harmsKept is the most actions of which what they harm is kept.
const harmsKept = 4000

// harmKey names an action in one arrangement, with the causes it was judged
// under.
type harmKey struct {
	w           *wiring
	arrangement int
	action      string
}

// harmOf is Circuit.Harm under the arrangements as they are believed. What an
// action harms in one arrangement depends on the articles alone: it is solved
// once and kept.
func (e *Engine) harmOf(st *standing, s circuit.Setup, causes ...string) ([]circuit.Harm, error) {
	total := 0.0
	for _, p := range st.arrangement {
		total += p
	}
	if total <= 0 {
		return st.w.c.Harm(s, st.after(), causes...)
	}
	action := fmt.Sprint(s.Set, s.Swapped, s.Pulled, s.Bridged, s.Fed, s.Earthed, causes)
	var out []circuit.Harm
	for a, p := range st.arrangement {
		if p/total < circuit.HarmShare {
			continue
		}
		key := harmKey{st.w, a, action}
		if kept, ok := e.harmful.Load(key); ok {
			out = append(out, kept.([]circuit.Harm)...)
			continue
		}
		here, err := st.w.c.Harm(s, map[string]float64{st.w.article.Arrangements[a].ID: 1}, causes...)
		if err != nil {
			return nil, err
		}
		if e.harmCount.Add(1) <= harmsKept {
			e.harmful.Store(key, slices.Clip(here))
		}
		out = append(out, here...)
	}
	return out, nil
}

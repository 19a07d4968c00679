package plainwords

import "slices"

// What the vehicle is, told in a list of its marks ("1990 hatchback, petrol 1.1,
// front discs, rear drums"), is no trouble: its words must not be read as one.

// adjuncts are the little words that such a list may hold.
var adjuncts = set(`with and or of in on a an the to for by its my plus about around from`)

// describing finds the clauses that only say what the vehicle is: of car words,
// numbers and the names of parts, in a sentence with at least one sure mark of a
// vehicle.
func (t *turn) describing() []bool {
	out := make([]bool, len(t.voices))
	marked := map[int32]bool{}
	known := make([]bool, len(t.toks))
	for i := range t.words {
		switch w := &t.words[i]; w.kind {
		case "car", "which-one", "system", "place":
			for k := w.first; k <= w.last; k++ {
				known[k] = true
			}
			if w.kind == "car" {
				marked[t.toks[w.first].sent] = true
			}
		}
	}
	for i := range t.matches {
		m := &t.matches[i]
		k := m.phrase.target.kind
		if k != targetVehicle && k != targetPart || !t.solid(m) {
			continue
		}
		for _, u := range m.units {
			for j := t.us[u].first; j <= t.us[u].last; j++ {
				known[j] = true
			}
		}
		if k == targetVehicle {
			marked[t.toks[t.us[m.first].first].sent] = true
		}
	}
	for k := range t.toks {
		if w := t.toks[k].norm; t.lx.renewVerbs[w] && w != "done" {
			delete(marked, t.toks[k].sent) // "new pump, filter and a coil pack"
		}
	}
	for c := range t.voices {
		v := &t.voices[c]
		if v.first < 0 || v.question || v.supposed || !marked[v.sent] {
			continue
		}
		out[c] = true
		for k := v.first; k <= v.last && out[c]; k++ {
			w := &t.toks[k]
			out[c] = known[k] || w.kind != tokenWord || adjuncts[w.norm] || t.lx.plainQualities[w.norm] || t.lx.items[w.norm] != ""
		}
	}
	return out
}

// setDescriptionAside drops what those clauses could be taken for.
func (t *turn) setDescriptionAside() {
	is := t.describing()
	if !slices.Contains(is, true) {
		return
	}
	t.matches = slices.DeleteFunc(t.matches, func(m match) bool {
		switch m.phrase.target.kind {
		case targetVehicle, targetPart, targetTool:
			return false
		}
		for _, u := range m.units {
			if !is[t.us[u].clause] {
				return false
			}
		}
		return true
	})
	for c, ok := range is {
		if ok {
			t.described = append(t.described, int32(c))
		}
	}
	t.acc.Describes = len(t.described) == len(t.voices)
}

// remarkDescription keeps the words for the kind of car.
func (t *turn) remarkDescription() {
	for _, c := range t.described {
		v := &t.voices[c]
		r := Remark{Kind: "vehicle", Start: len(t.text), clause: c}
		t.take(&r, v.first, v.last, "car")
		if len(r.Terms) > 0 {
			t.acc.Remarks = append(t.acc.Remarks, r)
		}
	}
}

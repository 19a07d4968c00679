package plainwords

// Circumstance is what the person's situation is: it steers the plan and the
// tone and says nothing about the car.
type Circumstance struct {
	// Kind is one of kb.Circumstances.
	Kind       string
	Start, End int
}

// findCircumstances reads the situation, each kind once; a denied one ("not
// scared") is none.
func (t *turn) findCircumstances() {
	seen := map[string]bool{}
	for _, w := range t.words {
		if w.kind != "circumstance" || seen[w.value] {
			continue
		}
		first := t.toks[w.first].norm
		if t.toks[w.last].under && first != "no" && !negators[first] {
			continue
		}
		if !t.ofPersonNow(w) {
			continue
		}
		seen[w.value] = true
		t.acc.Circumstances = append(t.acc.Circumstances, Circumstance{w.value, t.toks[w.first].start, t.toks[w.last].end})
		t.useTokens(w.first, w.last)
	}
}

// ofPersonNow reports whether weather and light are told of where the person
// stands now, and not of when the trouble shows: "unless it's raining", "sparks
// in the dark".
func (t *turn) ofPersonNow(w saidWord) bool {
	if w.value != "raining" && w.value != "dark" {
		return true
	}
	v := &t.voices[t.toks[w.first].clause]
	person := false
	for k := max(v.first, w.first-20); k <= min(v.last, w.last+20); k++ {
		switch t.toks[k].norm {
		case "im", "were", "stuck", "here", "broken":
			person = true
		case "unless", "when", "whenever", "if", "until", "till", "while":
			if k < w.first {
				return false
			}
		}
	}
	return person || t.toks[w.first].norm != "in"
}

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
		seen[w.value] = true
		t.acc.Circumstances = append(t.acc.Circumstances, Circumstance{w.value, t.toks[w.first].start, t.toks[w.last].end})
		t.useTokens(w.first, w.last)
	}
}

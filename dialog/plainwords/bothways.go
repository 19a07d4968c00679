package plainwords

import "slices"

// toldBothWays takes away that a symptom is absent where the same turn tells that
// it is there: what "hardly", "never" or "fine" denies is then when it shows and
// not the trouble ("takes forever to warm up, needle hardly off cold").
func (t *turn) toldBothWays() {
	there := map[string]bool{}
	for i := range t.acc.Observations {
		o := &t.acc.Observations[i]
		if t.symptom[o.Finding] != nil && o.Outcome == "present" {
			there[o.Finding+"\x00"+o.Era] = true
		}
	}
	if len(there) == 0 || len(t.corrections()) > 0 {
		return
	}
	t.acc.Observations = slices.DeleteFunc(t.acc.Observations, func(o Observation) bool {
		return t.symptom[o.Finding] != nil && o.Outcome == "absent" && !o.Answer && there[o.Finding+"\x00"+o.Era]
	})
}

// answersChief reports whether the words of a match answer a question of the
// complaint as well, while its own question is of another one: "climbs to half,
// then falls as I get going" of an engine that never gets warm does not say
// that it gets too hot.
func (t *turn) answersChief(f *finding, i int) bool {
	if f.symptoms[t.ctx.Chief] || t.ctx.Chief == "" {
		return false
	}
	m := &t.matches[i]
	for k := max(0, i-outrightReach); k < min(len(t.matches), i+outrightReach); k++ {
		o := &t.matches[k]
		if o.phrase.target.kind != targetOutcome || o.flipped || o.score < unasked {
			continue
		}
		if g := t.lx.findings[o.phrase.target.id]; g != nil && g != f && g.kind == f.kind && g.symptoms[t.ctx.Chief] && o.overlap(m)*2 >= len(m.units) {
			return true
		}
	}
	return false
}

// toTheLetterOf reports whether the very words of a match's phrase stand where it
// was found: "blue smoke" is then not also "burning oil".
func (t *turn) toTheLetterOf(m *match) bool {
	s, e := t.span(m)
	return containsWords(plain(t.text[s:e]), plain(m.phrase.said))
}

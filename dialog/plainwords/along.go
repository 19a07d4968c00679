package plainwords

import "ruleout/kb"

// alongPath tells which path a test follows from, and the symptoms whose talk
// brings it; nothing for a test that somebody wrote.
func (lx *lexicon) alongPath(b *kb.Base, t *kb.Test) (path string, symptoms map[string]bool) {
	p := b.Path(t.Path)
	if p == nil {
		return "", nil
	}
	symptoms = map[string]bool{}
	for _, s := range p.Serves {
		symptoms[s] = true
		if y := b.Symptom(s); y != nil {
			for id := range y.Of { // the complaint is then what it stands for
				if f := b.Finding(id); f != nil {
					symptoms[f.Article] = true
				}
			}
		}
	}
	return p.ID, symptoms
}

// allowedAlong decides whether the words of a point's outcome are enough: two
// words of meaning where the path is under discussion ("fuel at the rail"), or
// one that names the place where another point of the same path was just told
// ("but none at the injector").
func (t *turn) allowedAlong(f *finding, m *match, content int) bool {
	switch {
	case len(m.units) < len(m.phrase.words) || f.titled(m.phrase.said):
		return false // a title ("no fuel") names no place: an answer only
	case content >= 2 && (t.concerns(f) || t.pathTold(f)):
		return m.score > 0.5
	case content >= 2:
		return content >= 3 && m.score > 1 || m.score > 0.7 && t.speaksOf(f)
	}
	return content == 1 && !m.flipped && t.pathTold(f)
}

// titled reports whether the words are the bare title of an outcome.
func (f *finding) titled(said string) bool {
	for i := range f.outcomes {
		if f.outcomes[i].Title == said {
			return true
		}
	}
	return false
}

// pathTold reports whether another point of the path was just asked for, or is
// told in this turn in words that name its place.
func (t *turn) pathTold(point *finding) bool {
	if t.asked != nil && t.asked.path == point.path {
		return true
	}
	for i := range t.matches {
		m := &t.matches[i]
		if m.phrase.target.kind != targetOutcome || m.phrase.required < 2 || len(m.units) < len(m.phrase.words) {
			continue
		}
		if f := t.lx.findings[m.phrase.target.id]; f != nil && f != point && f.path == point.path && !f.titled(m.phrase.said) {
			return true
		}
	}
	return false
}

// polarAlong answers the question of a point with yes or no: questions of
// points are put so that yes is good, gone or cured.
func polarAlong(f *finding, yes bool) string {
	want := []string{"good", "works", "gone"}
	if !yes {
		want = []string{"bad", "same"}
	}
	for _, id := range want {
		if f.outcome(id) != nil {
			return id
		}
	}
	return ""
}

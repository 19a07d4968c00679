package plainwords

import "ruleout/kb"

// addBearings tells every test which symptoms it bears on: those that some
// cause shows together with it. Who talks of such a symptom and tells the
// test's outcome in its own words has most likely done the test.
func (lx *lexicon) addBearings(b *kb.Base) {
	for _, c := range b.Causes {
		if c.Derived {
			continue
		}
		for id := range c.Shows {
			f := lx.findings[id]
			if f == nil || f.kind == kb.FindingSymptom || f.path != "" {
				continue
			}
			if f.bears == nil {
				f.bears = map[string]bool{}
			}
			for s := range c.Shows {
				if o := lx.findings[s]; o != nil && o.kind == kb.FindingSymptom {
					f.bears[s] = true
				}
			}
		}
	}
}

// settles reports whether a test bears on a symptom under discussion.
func (t *turn) settles(f *finding) bool {
	if f.bears[t.ctx.Chief] {
		return true
	}
	for s := range f.bears {
		if t.talked[s] {
			return true
		}
	}
	return false
}

// ofThis reports whether a match is of one clause, in more words than the
// outcome's title, and no other part than the test's is named there.
func (t *turn) ofThis(f *finding, m *match) bool {
	c := t.us[m.first].clause
	if c != t.us[m.last].clause || f.titled(m.phrase.said) {
		return false
	}
	other := false
	for i := range t.parts {
		if p := &t.parts[i]; p.clause == c {
			if p.part == f.part {
				return true
			}
			other = true
		}
	}
	return !other
}

package plainwords

import (
	"slices"
	"strings"

	"ruleout/kb"
)

// addTopics tells every question the concepts that it is about: the words of
// its title, or of its id where it has none, and of its symptom's title.
func (lx *lexicon) addTopics(b *kb.Base) {
	general := lx.conceptsOf(b, set(`hot cold warm key turn turned start`))
	for _, s := range b.Symptoms {
		for i := range s.Questions {
			q := &s.Questions[i]
			f := lx.findings[q.ID]
			title := q.Title
			if title == "" {
				title = strings.ReplaceAll(q.ID, "-", " ")
			}
			f.topic = map[int32]bool{}
			for _, text := range []string{title, s.Title} {
				for _, u := range lx.units(lx.parse(text), true) {
					if u.class == classContent && !u.number && !general[u.id] {
						f.topic[u.id] = true
					}
				}
			}
		}
	}
}

// conceptsOf are the concepts for which words can stand, in any of their senses.
func (lx *lexicon) conceptsOf(b *kb.Base, words map[string]bool) map[int32]bool {
	out := map[int32]bool{}
	for w := range words {
		out[lx.concept(lx.root(w))] = true
	}
	for _, s := range b.Synonyms {
		for _, f := range s.Forms {
			if words[f] {
				out[lx.concept(strings.Join(stems(s.Term), " "))] = true
			}
		}
	}
	return out
}

// commonTopic is the share of a question's outcomes in whose wordings a word
// must stand to be what the question is about.
const commonTopic = 0.4

// addAbout gives every question and test the words of the title of what it belongs
// to.
func (lx *lexicon) addAbout(b *kb.Base) {
	for _, f := range lx.findings {
		texts := []string{f.title}
		if of := lx.findings[f.of]; of != nil {
			texts = []string{of.title}
		}
		if p := b.Part(f.part); p != nil {
			texts = append(texts, p.Name)
		}
		f.about = map[int32]bool{}
		for _, text := range texts {
			for _, u := range lx.units(lx.parse(text), false) {
				if u.id >= 0 && u.class != classParticle && !u.number {
					f.about[u.id] = true
				}
			}
		}
	}
}

// addCommonTopics adds to a question's topic the words that its outcomes have
// in common: "cranks" of what happens on turning the key.
func (lx *lexicon) addCommonTopics(b *kb.Base) {
	common := lx.conceptsOf(b, topicless)
	in := map[string]map[int32]map[string]bool{} // outcomes by question and concept
	for i := range lx.phrases {
		p := &lx.phrases[i]
		f := lx.findings[p.target.id]
		if p.target.kind != targetOutcome || f == nil || f.topic == nil {
			continue
		}
		if in[f.id] == nil {
			in[f.id] = map[int32]map[string]bool{}
		}
		for _, w := range p.words {
			if in[f.id][w.id] == nil {
				in[f.id][w.id] = map[string]bool{}
			}
			in[f.id][w.id][p.target.value] = true
		}
	}
	for q, words := range in {
		f := lx.findings[q]
		for id, outcomes := range words {
			if n := len(outcomes); n >= 2 && float64(n) >= commonTopic*float64(len(f.outcomes)) && !topicless[lx.name(id)] && !common[id] && !fineWords[lx.name(id)] {
				f.topic[id] = true
			}
		}
	}
}

// topicless are words that many questions have in common.
var topicless = set(`turn click key on off up down out over under back in go come keep put run do get start stop seem look use happen work alway tim hot cold warm`)

// temperatures are words of when as much as of what.
var temperatures = set(`hot cold warm`)

// topical reports whether a match names what the question is about.
func (t *turn) topical(f *finding, m *match) bool {
	for _, u := range m.units {
		if f.topic[t.us[u].id] || t.us[u].head >= 0 && f.topic[t.us[u].head] {
			return true
		}
	}
	return false
}

// saidOfSubject reports whether an outcome that does not name its subject is
// said of it all the same: the subject is under discussion, the words did not
// tell a symptom already, and a mere place or time stands beside a symptom of
// the question or by itself.
func (t *turn) saidOfSubject(f *finding, m *match) bool {
	if !t.concerns(f) {
		return !m.phrase.placed && t.bareClause(m) && !t.hasVerbBeside(m) && t.ofOneSystem(f, m) // a tick of a list: "dead silent"
	}
	told := true
	for _, u := range m.units {
		told = told && (t.ofSymptom[u] || t.usedUnit[u] && !t.denied[u] || stressing[t.toks[t.us[u].first].norm])
	}
	if told {
		return false
	}
	if !m.phrase.placed || f.symptoms[t.ctx.Chief] {
		return true
	}
	sent := t.toks[t.us[m.first].first].sent
	for i := range t.symptoms {
		s := &t.symptoms[i]
		if t.toks[t.us[s.unit].first].sent == sent && (f.symptoms[s.id] || f.symptoms[t.symptomFor(s.unit)]) {
			return true
		}
	}
	v := &t.voices[t.us[m.first].clause]
	for k := v.first; k <= v.last; k++ {
		if w := t.toks[k].norm; t.lx.effects[w] || w == "did" || w == "again" {
			return true // "after a few short trips it did the same again"
		}
	}
	return t.alone(m)
}

// stressing are the words that only make the next one stronger.
var stressing = set(`proper dead way bloody absolutely totally completely`)

// opensPlace reports whether a wording begins with a word of place or time.
func opensPlace(text string) bool {
	for _, t := range scan(text) {
		if t.kind != tokenWord || onlyWords[t.norm] {
			continue
		}
		return prepositions[t.norm] || t.norm == "every" || t.norm == "each" || t.norm == "once" || t.norm == "as" || t.norm == "behind"
	}
	return false
}

// hasVerbBeside reports whether a word of doing stands beside a match in its
// clause: "starts well hot and cold" says of starting what it says.
func (t *turn) hasVerbBeside(m *match) bool {
	c := t.us[m.first].clause
	for u := m.first - 1; u >= 0 && t.us[u].clause == c; u-- {
		if t.us[u].class == classLight {
			return true
		}
	}
	return false
}

// ofOneSystem reports whether a question belongs to the system under discussion;
// while nothing is, a longer wording will do.
func (t *turn) ofOneSystem(f *finding, m *match) bool {
	if t.ctx.Chief == "" && len(t.symptoms) == 0 {
		return len(m.units) > 2
	}
	if s := t.lx.findings[t.ctx.Chief]; s != nil && s.system == f.system {
		return true
	}
	return slices.ContainsFunc(t.symptoms[:min(len(t.symptoms), keepBack)], func(p placed) bool {
		s := t.lx.findings[p.id]
		return s != nil && s.system == f.system
	})
}

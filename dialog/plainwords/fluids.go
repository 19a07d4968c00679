package plainwords

import (
	"slices"

	"ruleout/kb"
)

// What is said of a level, of drops or of a bottle is said of one fluid among
// several. Where the fluid is not named, it is that of the system complained of.

// addFluids tells every question and test which fluids it is about, by the words
// it is put in and answered with.
func (lx *lexicon) addFluids() {
	for _, f := range lx.findings {
		if f.kind == kb.FindingSymptom {
			continue
		}
		named := lx.fluidsIn(f.ask + ". " + f.title)
		if len(named) == 0 {
			continue
		}
		f.fluids = named
		for i := range f.outcomes {
			for _, s := range f.outcomes[i].Said {
				for _, w := range lx.fluidsIn(s) {
					f.fluids = appendNew(f.fluids, w)
				}
			}
		}
	}
}

// vessels are the stems of words that are said of the level of any fluid.
var vessels = set(`level fluid bottl tank cap reservoir mark line engin cold hot`)

// fluidsIn are the fluids that a text names.
func (lx *lexicon) fluidsIn(text string) []string {
	var out []string
	toks := lx.parse(text)
	for _, w := range lx.findWords(toks) {
		if w.kind == "fluid" {
			out = appendNew(out, w.term)
		}
	}
	return out
}

// ofOtherFluid reports whether an outcome about a fluid is told in words that name
// another one, or none while the complaint is of another system: "fluid level's
// fine" of a soft brake pedal is no coolant.
func (t *turn) ofOtherFluid(f *finding, m *match) bool {
	if len(f.fluids) == 0 || f.path != "" {
		return false // the points of a path say what passes there
	}
	for _, u := range m.units {
		if f.about[t.us[u].id] && !vessels[t.lx.name(t.us[u].id)] {
			return false // "battery top is dry" names its thing
		}
	}
	v := &t.voices[t.us[m.first].clause]
	first, last := t.us[m.first].first, t.us[m.last].last
	other := false
	for _, w := range t.saidBetween("fluid", max(v.first, first-6), min(v.last, last+4)) {
		if slices.Contains(f.fluids, w.term) {
			return false
		}
		other = true
	}
	return other || !t.likely(f)
}

package plainwords

import (
	"sort"
	"strings"

	"ruleout/kb"
)

// What a clause says of when and how may be the setting of something else than
// the trouble: of a reading ("56 at idle"), of a deed ("then switched off"), of
// what is said of a part ("hoses feel soft when hot").

// setsElse reports whether a condition that no word ties to the trouble belongs
// to something else in its clause.
func (t *turn) setsElse(m *match) bool {
	c := t.us[m.first].clause
	first, last := t.us[m.first].first, t.us[m.last].last
	if w := t.toks[first].norm; t.lx.handVerbs[w] && strings.HasSuffix(w, "ed") && !t.opened(c, first) {
		return true
	}
	if t.troubleIn(c) {
		return false
	}
	if t.checkedHere(c) {
		return true // "the nuts on the starter are tight"
	}
	at := sort.Search(len(t.numbers), func(i int) bool { return t.numbers[i].first >= first-heard })
	for ; at < len(t.numbers) && t.numbers[at].first <= last+heard; at++ {
		n := &t.numbers[at]
		if t.toks[n.first].clause == c && (n.last < first || n.first > last) && (n.UnitGiven && t.lx.measured[n.dim] || t.readVerbNear(n)) {
			return true
		}
	}
	at = sort.Search(len(t.parts), func(i int) bool { return t.us[t.parts[i].last].last >= first-heard })
	for ; at < len(t.parts) && t.us[t.parts[at].first].first < first; at++ {
		if p := &t.parts[at]; p.clause == c && p.last < m.first && !t.partOfChief(p.part) {
			return true
		}
	}
	return false
}

// checkedHere reports whether the clause told what a test of a part showed.
func (t *turn) checkedHere(c int32) bool {
	v := &t.voices[c]
	from, to := t.toks[v.first].start, t.toks[v.last].end
	for i := max(0, len(t.acc.Observations)-keepBack); i < len(t.acc.Observations); i++ {
		o := &t.acc.Observations[i]
		if f := t.lx.findings[o.Finding]; f != nil && f.kind == kb.FindingTest && f.part != "" && f.path == "" && !o.Answer && from <= o.Start && o.End <= to {
			return true
		}
	}
	return false
}

// opened reports whether a word of time or condition stands before token k in
// the clause: "when switched off".
func (t *turn) opened(c int32, k int) bool {
	for j := max(t.voices[c].first, k-6); j < k; j++ {
		switch t.toks[j].norm {
		case "when", "whenever", "while", "if", "once", "after", "as", "until", "before", "with", "every":
			return true
		}
	}
	return false
}

// troubleIn reports whether a symptom was read in the clause.
func (t *turn) troubleIn(c int32) bool {
	at := sort.Search(len(t.symptoms), func(i int) bool { return t.us[t.symptoms[i].unit].clause >= c })
	return at < len(t.symptoms) && t.us[t.symptoms[at].unit].clause == c
}

// partOfChief reports whether the part belongs to the system complained of.
func (t *turn) partOfChief(part string) bool {
	s := t.systemOf(part)
	return s != "" && s == t.chiefSystem()
}

// placeLow reports whether the "low" or "high" of a match says where: "low down on
// the radiator", "a knock from low down", "high up by the bulkhead".
func (t *turn) placeLow(m *match) bool {
	for _, u := range m.units {
		k := t.us[u].first
		if w := t.toks[k].norm; (w != "low" || t.word(k, 1) != "down") && (w != "high" || t.word(k, 1) != "up") {
			continue
		}
		switch t.word(k, 2) {
		case "on", "in", "at", "by", "near", "behind", "beside", "under", "inside", "towards", "below":
			return true
		}
		switch t.word(k, -1) {
		case "from", "somewhere", "deep", "right":
			return true
		}
	}
	return false
}

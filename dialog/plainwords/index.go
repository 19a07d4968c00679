package plainwords

import (
	"sort"

	"ruleout/kb"
)

// index holds what several steps look up by place, so that no step walks over
// the whole turn for each of its findings.
type index struct {
	looks     []int           // looks and actions among the matches, by place
	named     map[int32][]int // causes, cards, tests and tools named, by clause
	partAt    map[int32]bool  // clauses that name a part
	partSaid  map[string]bool // parts named
	talked    map[string]bool // symptoms of the turn
	answers   [][2]int        // bytes of the answers
	onAxis    []bool          // units that a condition's phrase holds
	tellsWhen []bool          // of these, those of a condition that is told
	ofSymptom []bool          // units by which a symptom of its own was told
	denied    []bool          // units by which a symptom was told to be absent
	ofTrouble []bool          // units by which one was told, or what it stands for
	news      []bool          // of these, words that no wording of its own has
	stood     []bool          // units that say it had stood a while
	onEvent   []bool          // units that an event's phrase holds
	eventAt   map[int32][]int // matches of events, by clause
	axisAt    map[int32][]int // matches of conditions
	shownAt   map[int32][]int // matches of outcomes told in several words
	headOf    []int           // 1 + last unit of the part's name in which a unit stands, 0 for none
	loosely   []bool          // units by which a symptom was told in no known phrase
	toldAt    map[int32]bool  // clauses that told a symptom or an outcome
}

// indexMatches is called once the matches are known.
func (t *turn) indexMatches() {
	t.named, t.eventAt = map[int32][]int{}, map[int32][]int{}
	t.axisAt, t.shownAt = map[int32][]int{}, map[int32][]int{}
	put := func(in map[int32][]int, i int) {
		if c := t.us[t.matches[i].first].clause; len(in[c]) < keepBack {
			in[c] = append(in[c], i)
		}
	}
	t.ofSymptom, t.news = make([]bool, len(t.us)), make([]bool, len(t.us))
	t.loosely, t.denied = make([]bool, len(t.us)), make([]bool, len(t.us))
	t.onAxis, t.onEvent, t.stood = make([]bool, len(t.us)), make([]bool, len(t.us)), make([]bool, len(t.us))
	t.tellsWhen, t.ofTrouble = make([]bool, len(t.us)), make([]bool, len(t.us))
	for i := range t.matches {
		m := &t.matches[i]
		switch m.phrase.target.kind {
		case targetLook, targetComeGo:
			t.looks = append(t.looks, i)
		case targetAxis, targetEvent:
			if m.last-m.first > len(m.units) {
				continue
			}
			if m.phrase.target.kind == targetEvent {
				put(t.eventAt, i)
			} else {
				put(t.axisAt, i)
			}
			for _, u := range m.units {
				if m.phrase.target.kind == targetAxis {
					t.onAxis[u] = true
					t.tellsWhen[u] = t.tellsWhen[u] || !m.flipped && m.ordered && len(m.units) > 1
					t.stood[u] = t.stood[u] || m.phrase.target.id == "standing"
				} else {
					t.onEvent[u] = true
				}
			}
		case targetOutcome:
			if len(m.units) > 1 && !m.flipped {
				put(t.shownAt, i)
			}
		case targetCause, targetCard, targetTest, targetTool:
			c := t.us[m.first].clause
			t.named[c] = append(t.named[c], i)
		}
	}
	sort.SliceStable(t.looks, func(a, b int) bool { return t.matches[t.looks[a]].first < t.matches[t.looks[b]].first })
}

// indexParts is called once symptoms and parts are known.
func (t *turn) indexParts() {
	t.partAt, t.partSaid, t.talked = map[int32]bool{}, map[string]bool{}, map[string]bool{}
	for i := range t.parts {
		t.partAt[t.parts[i].clause] = true
		t.partSaid[t.parts[i].part] = true
	}
	for i := range t.symptoms {
		t.talked[t.symptoms[i].id] = true
		t.talked[t.symptomFor(t.symptoms[i].unit)] = true
	}
}

// indexAnswers is called once the question asked has been answered.
func (t *turn) indexAnswers() {
	for i := range t.acc.Observations {
		if o := &t.acc.Observations[i]; o.Answer {
			t.answers = append(t.answers, [2]int{o.Start, o.End})
		}
	}
}

// indexTold is called once symptoms and outcomes are known.
func (t *turn) indexTold() {
	t.toldAt = map[int32]bool{}
	for i := range t.acc.Observations {
		o := &t.acc.Observations[i]
		if f := t.lx.findings[o.Finding]; f == nil || f.kind == kb.FindingTest && o.Reading != nil {
			continue
		}
		k := sort.Search(len(t.toks), func(k int) bool { return t.toks[k].start >= o.Start })
		for ; k < len(t.toks) && t.toks[k].start < o.End; k++ {
			t.toldAt[t.toks[k].clause] = true
		}
	}
}

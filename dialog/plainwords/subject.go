package plainwords

import (
	"slices"
	"sort"
	"strings"

	"ruleout/kb"
)

// Words are read as an outcome or a symptom only where they are said of what
// that is about. What follows tells when they are said of something else.

// bareNoise reports whether the words of a symptom name nothing but a sound, or
// what goes with every question, while another complaint is in talk, whose own
// noise or silence it then is: "bridged the pins and not even a click" of a fan
// is no engine that does not crank.
func (t *turn) bareNoise(m *match) bool {
	id := m.phrase.target.id
	chief, f := t.lx.findings[t.ctx.Chief], t.lx.findings[id]
	if f == nil || id == t.ctx.Chief {
		return false
	}
	if s := t.symptom[id]; s != nil && s.Of[t.ctx.Chief] != "" {
		return false
	}
	chiefs := chief != nil && chief.system != f.system || chief == nil && t.symptom[id] != nil && len(t.symptom[id].Of) > 0 && t.besideNoise(m)
	for _, u := range m.units {
		if w := &t.us[u]; w.class != classContent || quiet[t.lx.name(w.id)] {
			continue
		}
		if len(t.saidBetween("sound", t.us[u].first, t.us[u].last)) == 0 {
			return false
		}
		chiefs = chiefs || chief != nil && t.lx.tellsOf(t.ctx.Chief, &t.us[u])
	}
	return chiefs
}

// besideNoise reports whether the clause of a noise goes on to say where it comes
// from or when, and not on turning a key: "clunk when I go from drive to reverse".
func (t *turn) besideNoise(m *match) bool {
	v := &t.voices[t.us[m.first].clause]
	other := false
	at := t.us[m.first].first
	for k := max(0, at-longestCheck); k < len(t.toks) && k < at+longestCheck; k++ {
		u := t.unitAt[k]
		if u < 0 || u >= m.first && u <= m.last || t.toks[k].kind != tokenWord || t.toks[k].sent != v.sent {
			continue
		}
		switch stem(t.toks[k].norm) {
		case "key", "turn", "start", "starter", "crank", "ignition", "button":
			return false
		}
		other = other || k >= v.first && k <= v.last && t.us[u].class == classContent && !t.isManner(k)
	}
	return other
}

// quiet are the stems of words that go with a sound, or with none.
var quiet = set(`click turn key nothing noth`)

// settingReach is how many tokens from a reading the words may stand that say how
// it was taken.
const settingReach = 24

// asSetting reports whether a match only says in what state of the car a reading
// was taken: "12.2 with the engine at a fast idle", "10.4 while my son held the
// key over".
func (t *turn) asSetting(m *match) bool {
	first := t.us[m.first].first
	for k := first - 1; k >= 0 && k >= first-5 && t.toks[k].sent == t.toks[first].sent && t.toks[k].kind == tokenWord; k-- {
		switch t.toks[k].norm {
		case "with", "while", "whilst":
			n := t.numberBefore(k)
			return n != nil && t.toks[n.first].sent == t.toks[first].sent && k-n.last <= settingReach && (t.lx.measured[n.dim] || t.likeVolts(n))
		}
	}
	return false
}

// ofOtherThing reports whether the words of a symptom are said of a thing that
// stands right before them, which is part of another system and which the symptom
// never speaks of: "the fan runs on after I switch off" is no engine that does.
func (t *turn) ofOtherThing(m *match) bool {
	u := m.first - 1
	bare := m.first == m.last // "hot" is said of anything
	if u < 0 || m.flipped {
		return false
	}
	said := t.us[m.first].first - 1
	for bare && said > t.us[u].last && becomes[t.toks[said].norm] {
		said-- // "the fuse gets hot"
	}
	if t.us[u].last != said || t.us[u].clause != t.us[m.first].clause || t.us[u].class != classContent || m.phrase.target.id == t.ctx.Chief || t.lx.items[t.toks[t.us[u].last].norm] != "" || t.numberAt(t.us[u].first) != nil {
		return false
	}
	f := t.lx.findings[m.phrase.target.id]
	id := t.us[u].id
	if t.us[u].head >= 0 {
		id = t.us[u].head
	}
	if f == nil || t.lx.tellsOf(f.id, &t.us[u]) || t.lx.tellsOf(f.id, &unit{id: id}) || t.lx.nounOf[id] == nil || t.lx.nounOf[id][f.system] && !bare {
		return false
	}
	for k := t.us[u].first - 1; k >= 0 && k >= t.us[u].first-3; k-- {
		switch w := t.toks[k].norm; {
		case scopeEnds[w] || w == "of" || w == "to":
			return false // "the fuse for the lights keeps popping"
		case !articles[w]:
			return true
		}
	}
	return true
}

// asTopic reports whether a match only names what is talked of: "going back to
// the jump start thing".
func (t *turn) asTopic(m *match) bool {
	for n := 1; n <= 2; n++ {
		switch t.word(t.us[m.last].last, n) {
		case "thing", "question", "business", "idea":
			return true
		}
	}
	return false
}

// numberBefore is the last number before a token, or nil.
func (t *turn) numberBefore(k int) *number {
	i := sort.Search(len(t.numbers), func(i int) bool { return t.numbers[i].last >= k })
	if i == 0 {
		return nil
	}
	return &t.numbers[i-1]
}

// namesake reports whether the only thing an outcome names is one of which there
// are several ("fan"), and the symptom told with it is that of another one: "fan
// whirrs but nothing comes out of the vents".
func (t *turn) namesake(f *finding, m *match) bool {
	if t.likely(f) || t.settles(f) || t.ctx.Asked != nil && slices.Contains(t.ctx.Asked.Settles, f.id) {
		return false
	}
	system := ""
	if s := t.lx.findings[t.symptomAt(m.first)]; s != nil {
		system = s.system
	} else if f.kind == kb.FindingTest && f.part != "" && !strings.Contains(t.partNamed(f.part), " ") {
		system = t.chiefSystem() // one of a part that is everywhere: a fuse, a relay
	}
	if system == "" || system == f.system {
		return false
	}
	own := false // a word that is the question's alone
	for _, u := range m.units {
		if t.nominal(u) {
			for _, p := range t.lx.heads[t.us[u].id] {
				if t.systemOf(p) == system {
					return true
				}
			}
			continue
		}
		own = own || f.about[t.us[u].id]
	}
	return !own && !t.concerns(f)
}

// symptomAt is the symptom told in the sentence of a unit, or "".
func (t *turn) symptomAt(u int) string {
	sent := t.toks[t.us[u].first].sent
	i := sort.Search(len(t.symptoms), func(i int) bool { return t.toks[t.us[t.symptoms[i].unit].first].sent >= sent })
	if i < len(t.symptoms) && t.toks[t.us[t.symptoms[i].unit].first].sent == sent {
		return t.symptoms[i].id
	}
	return ""
}

// ofOtherPart reports whether a word of an outcome stands in the name of a part
// of another system than the question's: the battery of a key fob, the relay of
// the fan.
func (t *turn) ofOtherPart(f *finding, m *match) bool {
	for _, u := range m.units {
		p := t.mentionAt(u)
		if p == nil || p.part == f.part {
			continue
		}
		if p.part == "key-fob-and-its-battery" && t.systemOf(p.part) != f.system || f.part != "" && p.first < p.last && t.nominal(p.last) && len(p.others) == 0 && t.systemOf(p.part) != f.system {
			return true
		}
	}
	return false
}

// mentionAt is the part in whose name a unit stands, or nil.
func (t *turn) mentionAt(u int) *mention {
	i := sort.Search(len(t.parts), func(i int) bool { return t.parts[i].last >= u })
	if i < len(t.parts) && t.parts[i].first <= u {
		return &t.parts[i]
	}
	return nil
}

// modifies reports whether a part's name that ends at unit u only describes the
// noun right after it.
func (t *turn) modifies(u int) bool {
	k := t.us[u].last + 1
	return k < len(t.toks) && t.toks[k].clause == t.toks[k-1].clause && t.toks[k].kind == tokenWord && t.lx.casings[t.toks[k].norm]
}

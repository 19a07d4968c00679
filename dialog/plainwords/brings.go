package plainwords

import (
	"sort"

	"ruleout/kb"
)

// A noun that several parts share, or that alone is the name of none, means the
// part that can bring the trouble told: "new mounts" of an engine that shakes,
// "the cable's snapped" of a bonnet that will not open.

// brought is the likelihood from which a cause is one that brings a symptom.
const brought = 0.15

// aftermarket is the system of what was fitted later, which an owner names as such.
const aftermarket = "accessories"

// addBrings notes which parts bring which symptoms, the likeliest first.
func (lx *lexicon) addBrings(b *kb.Base) {
	lx.brings = map[string][]string{}
	often := map[[2]string]float64{} // how often a part brings a symptom
	for _, c := range b.Causes {
		for id, shows := range c.Shows {
			f, part := lx.findings[id], b.Part(c.Part)
			if f == nil || f.kind != kb.FindingSymptom || part == nil || part.System == aftermarket && f.system != aftermarket {
				continue
			}
			if p, ok := shows["present"].Value(); ok && p >= brought {
				lx.brings[id] = appendNew(lx.brings[id], c.Part)
				often[[2]string{id, c.Part}] += float64(c.Frequency.PerThousand * p)
			}
		}
	}
	lx.general = map[int32]bool{}
	for _, forms := range lx.forms {
		for i := range forms {
			if f := &forms[i]; len(f.stems) == 1 && (f.kind == "system" || f.kind == "fluid" || f.kind == "place") {
				lx.general[lx.concept(lx.root(f.stems[0]))] = true
			}
		}
	}
	for id, parts := range lx.brings {
		sort.Slice(parts, func(i, j int) bool {
			a, b := often[[2]string{id, parts[i]}], often[[2]string{id, parts[j]}]
			return a > b || a == b && parts[i] < parts[j]
		})
		lx.brings[id] = parts
	}
}

// troubles are the complaint and what was told of late, the complaint first.
func (t *turn) troubles() []string {
	var out []string
	if t.ctx.Chief != "" {
		out = append(out, t.ctx.Chief)
	}
	for i := max(0, len(t.symptoms)-lookBack); i < len(t.symptoms); i++ {
		out = appendNew(out, t.symptoms[i].id)
	}
	return out
}

// bringing keeps the parts that bring one of the troubles told, those of its own
// system alone where there are any.
func (t *turn) bringing(parts []string) []string {
	for _, s := range t.troubles() {
		var own, all []string
		for _, p := range t.lx.brings[s] {
			for _, q := range parts {
				if p != q || !t.onCar(p) {
					continue
				}
				all = appendNew(all, p)
				if f := t.lx.findings[s]; f != nil && f.system == t.systemOf(p) {
					own = appendNew(own, p)
				}
			}
		}
		if len(own) > 0 {
			return own
		}
		if len(all) > 0 {
			return all
		}
	}
	return nil
}

// onCar reports whether the vehicle can have the part.
func (t *turn) onCar(part string) bool { return t.ctx.Has == nil || t.ctx.Has(part) }

// byItsEnd is the part that brings a trouble told and whose name ends in the
// unit: the one of whose name another word was said before it in the sentence
// ("looked under the scuttle, both drains were full"), or else the likeliest. It
// is "" where the unit is not said as a thing.
func (t *turn) byItsEnd(u int) string {
	id := t.us[u].id
	if id < 0 || t.us[u].class != classContent || t.us[u].under || t.lx.general[id] || !t.saidAsThing(u) {
		return ""
	}
	best := ""
	for _, s := range t.troubles() {
		for _, p := range t.lx.brings[s] {
			if !t.lx.endsIn[p][id] || !t.onCar(p) {
				continue
			}
			if best == "" {
				best = p
			}
			for j := u - 1; j >= 0 && j > u-looseReach && t.toks[t.us[j].first].sent == t.toks[t.us[u].first].sent; j-- {
				if t.us[j].id != id && t.lx.nameWords[p][t.us[j].id] {
					return p
				}
			}
		}
		if best != "" {
			break
		}
	}
	return best
}

// namesAnother reports whether a match of a part by one word, "cable", means
// another part: one with the word before it in its name ("bonnet cable"), or the
// one that brings the trouble told.
func (t *turn) namesAnother(m *match) bool {
	if p, ok := t.compound(m.first); ok && p.part != m.phrase.target.id {
		return true
	}
	names := t.lx.heads[t.us[m.first].id]
	if len(names) < 2 {
		return false
	}
	if len(t.ctx.Talk) > 0 || t.literally(m) {
		return false // what is in talk decides, and a name said to the letter: "the wires"
	}
	in := t.bringing(names)
	for _, p := range in {
		if p == m.phrase.target.id {
			return false
		}
	}
	return len(in) > 0
}

// saidAsThing reports whether a unit opens its clause or follows a word that
// comes before things: "the", "new", "both".
func (t *turn) saidAsThing(u int) bool {
	k := t.us[u].first
	switch w := t.word(k, -1); {
	case w == "":
		return true
	case w == "the", w == "a", w == "an", w == "my", w == "its", w == "both", w == "all", w == "one", w == "new", w == "and":
		return true
	default:
		return t.lx.renewVerbs[w] || t.lx.items[w] != ""
	}
}

package plainwords

import "ruleout/kb"

// Some troubles are told with the condition under which they show, "clunks over
// bumps", "shakes at idle": there the condition goes without saying. Where few
// of a symptom's wordings say anything of the kind, the condition is news.

// saysItself is the share of a symptom's wordings from which a condition of an
// axis goes without saying.
const saysItself = 0.25

// addSaysItself counts in how many of a symptom's wordings words of an axis
// stand.
func (lx *lexicon) addSaysItself(b *kb.Base) {
	axes := map[int32][]int{}
	for i, a := range b.Axes {
		for _, v := range a.Values {
			for _, text := range v.Said {
				for _, u := range lx.units(lx.parse(text), false) {
					if u.id < 0 || u.class != classContent || len(axes[u.id]) > 0 && axes[u.id][len(axes[u.id])-1] == i {
						continue
					}
					axes[u.id] = append(axes[u.id], i)
				}
			}
		}
	}
	said, all := map[[2]string]int{}, map[string]int{}
	for i := range lx.phrases {
		p := &lx.phrases[i]
		if p.target.kind != targetSymptom {
			continue
		}
		all[p.target.id]++
		seen := map[int]bool{}
		for _, w := range p.words {
			for _, a := range axes[w.id] {
				if !seen[a] {
					seen[a] = true
					said[[2]string{p.target.id, b.Axes[a].ID}]++
				}
			}
		}
	}
	lx.withAxis = map[[2]string]bool{}
	for k, n := range said {
		lx.withAxis[k] = float64(n) >= saysItself*float64(all[k[0]])
	}
}

// seldomSays reports whether few wordings of a symptom say anything of the axis.
func (t *turn) seldomSays(symptom, axis string) bool {
	return t.symptom[symptom] != nil && !t.lx.withAxis[[2]string{symptom, axis}]
}

// opensAt reports whether a condition opens with "at", "when" or the like.
func (t *turn) opensAt(m *match) bool {
	k := t.us[m.first].first
	for j := k; j >= max(0, k-2) && t.toks[j].clause == t.toks[k].clause; j-- {
		switch w := t.toks[j].norm; {
		case w == "when", w == "whenever", w == "with", prepositions[w] && !t.predicate(j):
			return true
		case j < k && t.toks[j].class == classContent:
			return false
		}
	}
	return false
}

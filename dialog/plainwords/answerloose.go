package plainwords

import "ruleout/kb"

// Limits of the loose reading of an answer.
const (
	looseTells  = 0.6 // share of a word's use that one outcome must have
	looseAnswer = 0.3 // weight that the telling words must reach
	looseLead   = 1.5 // lead over the second outcome
)

// answerLoose reads a short answer that follows no known phrase by the words
// that only one outcome of the question is told with: "definitely bright" of
// lamps that stay bright, go dim or are dead.
func (t *turn) answerLoose(f *finding) bool {
	if len(f.outcomes) < 2 || f.kind != kb.FindingQuestion || len(t.runs) == 0 {
		return false
	}
	use := map[profileKey][]float64{}
	for i := range f.outcomes {
		o := &f.outcomes[i]
		ways := append([]string{o.Title}, o.Said...)
		for _, way := range ways {
			for _, u := range t.lx.units(t.lx.parse(way), false) {
				if u.id < 0 || u.class == classParticle || u.number {
					continue
				}
				k := profileKey{u.id, u.under}
				if use[k] == nil {
					use[k] = make([]float64, len(f.outcomes))
				}
				use[k][i] += 1 / float64(len(ways))
			}
		}
	}
	score := make([]float64, len(f.outcomes))
	first, last, content, known := -1, -1, 0, 0
	for u := range t.us {
		if t.us[u].clause > 1 {
			break
		}
		k := profileKey{t.us[u].id, t.us[u].under}
		if t.us[u].class == classContent && !t.isManner(t.us[u].first) {
			content++
		}
		shares := use[k]
		if shares == nil {
			continue
		}
		if t.us[u].class == classContent {
			known++
		}
		sum, best := 0.0, 0
		for i, s := range shares {
			sum += s
			if s > shares[best] {
				best = i
			}
		}
		if shares[best] >= looseTells*sum {
			score[best] += t.lx.weights[k.id] * shares[best] / sum
			if first < 0 {
				first = u
			}
			last = u
		}
	}
	best, second := 0, 0.0
	for i := range score {
		if score[i] > score[best] {
			best = i
		}
	}
	for i := range score {
		if i != best {
			second = max(second, score[i])
		}
	}
	if first < 0 || score[best] < looseAnswer || score[best] < looseLead*second || known*2 < content || content > 8 {
		return false
	}
	t.reply(f, f.outcomes[best].ID, t.us[first].first, t.us[last].last, nil)
	return true
}

// evading are the words with which a turn begins that answers nothing.
var evading = set(`why how what where who can could should shall is are do does did dunno idk unsure skip hang wait sorry hello hi thanks pass help scrap forget ignore`)

// evades reports whether the turn puts the question off or asks back.
func (t *turn) evades() bool {
	v := &t.voices[0]
	if v.question || len(t.runs[0]) == 0 {
		return true
	}
	for _, k := range t.runs[0] {
		if t.lx.handVerbs[t.toks[k].norm] {
			return true // "put a new battery in" tells a deed
		}
		switch t.toks[k].norm {
		case "know", "sure", "remember", "idea", "clue", "tell", "check", "checked", "look", "looked", "tried", "try", "meter", "tools":
			return true
		}
	}
	return evading[t.toks[t.runs[0][0]].norm]
}

package plainwords

import "sort"

var haveWords = set(`got have has bought borrow borrowed own using use used my with`)
var lackWords = set(`no dont havent hasnt without lack need`)

// findTools reads which tools and helpers are at hand.
func (t *turn) findTools() {
	seen, listHave := map[string]bool{}, map[int32]bool{}
	for _, m := range t.toolsByPlace() {
		if t.ofMend(m) || !t.solid(m) || seen[m.phrase.target.id] {
			continue
		}
		first := t.us[m.first].first
		c := t.toks[first].clause
		if t.voices[c].question {
			continue
		}
		have, lack := false, false
		for k := max(t.voices[c].first, first-5); k < first; k++ {
			have = have || haveWords[t.toks[k].norm]
			lack = lack || lackWords[t.toks[k].norm] && t.toks[k].norm != "dont" && (t.toks[k].norm != "no" || k >= first-2)
		}
		if !have && !lack && listHave[t.toks[first].sent] {
			have = true // "got a multimeter, a jack and stands"
		}
		have = have || t.inUse(m)
		lack = lack || have && (t.us[m.first].under || t.othersTool(m))
		if !have && !lack {
			continue
		}
		if lack && t.alsoHas(m) {
			continue // "haven't got a lift but I've got ramps"
		}
		seen[m.phrase.target.id] = true
		listHave[t.toks[first].sent] = listHave[t.toks[first].sent] || !lack
		s, e := t.span(m)
		t.acc.Tools = append(t.acc.Tools, ToolFact{m.phrase.target.id, !lack, s, e})
		if lack && !t.othersTool(m) {
			t.acc.Requests = append(t.acc.Requests, Request{Kind: "no-tool", About: m.phrase.target.id, Start: s, End: e})
		}
		t.use(m)
	}
	for i := range t.toks {
		w := t.toks[i].norm
		alone := w == "alone" || w == "own" && i >= 2 && t.toks[i-2].norm == "on" && (t.toks[i-1].norm == "my" || t.toks[i-1].norm == "our") || w == "nobody" && i+2 < len(t.toks) && t.toks[i+2].norm == "help"
		if alone && !seen["helper"] {
			for _, tool := range t.base.Tools {
				if tool.ID == "helper" {
					seen["helper"] = true
					t.acc.Tools = append(t.acc.Tools, ToolFact{"helper", false, t.toks[i].start, t.toks[i].end})
					t.useTokens(i, i)
				}
			}
		}
	}
}

// toolsByPlace are the tools named, in the order in which they are said, so that
// what holds for the first of a list holds for the rest.
func (t *turn) toolsByPlace() []*match {
	var out []*match
	for i := range t.matches {
		if m := &t.matches[i]; m.phrase.target.kind == targetTool {
			out = append(out, m)
		}
	}
	sort.SliceStable(out, func(i, j int) bool { return out[i].first < out[j].first })
	return out
}

// alsoHas reports whether after a tool that is lacking "but" and another name of
// the same kind follow, which is at hand.
func (t *turn) alsoHas(m *match) bool {
	c := t.us[m.last].clause + 1
	if int(c) >= len(t.voices) || t.voices[c].first < 0 || t.toks[t.voices[c].first].norm != "but" {
		return false
	}
	for _, o := range t.toolsByPlace() {
		if o.phrase.target.id == m.phrase.target.id && t.us[o.first].clause == c && !t.us[o.first].under {
			return true
		}
	}
	return false
}

// inUse reports whether a tool is told at work: "voltmeter says 15.6", "put the
// multimeter on it".
func (t *turn) inUse(m *match) bool {
	first, last := t.us[m.first].first, t.us[m.last].last
	switch t.word(last, 1) {
	case "says", "said", "reads", "shows", "showed", "showing", "gave":
		return true
	case "on", "across":
		for k := first - 1; k >= first-3 && k >= 0 && t.toks[k].clause == t.toks[first].clause; k-- {
			switch t.toks[k].norm {
			case "put", "stuck", "hooked", "clipped":
				return true
			}
		}
	}
	return false
}

// othersTool reports whether the tool is somebody else's and out of reach: "my
// neighbour has a meter but he's on holiday".
func (t *turn) othersTool(m *match) bool {
	v := &t.voices[t.us[m.first].clause]
	owner := false
	for k := max(v.first, t.us[m.first].first-12); k < t.us[m.first].first; k++ {
		owner = owner || t.lx.tellers[t.toks[k].norm]
	}
	next := v.last + 1
	return owner && next < len(t.toks) && t.toks[next].norm == "but"
}

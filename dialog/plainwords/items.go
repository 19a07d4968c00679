package plainwords

import "sort"

// addItems gives the symptoms which one they speak of: the corner, side or
// cylinder named right beside their words ("squeals at the front left").
func (t *turn) addItems() {
	for i := range t.acc.Observations {
		o := &t.acc.Observations[i]
		if o.Item != "" || t.symptom[o.Finding] == nil || o.Answer {
			continue
		}
		first := sort.Search(len(t.toks), func(k int) bool { return t.toks[k].start >= o.Start })
		last := sort.Search(len(t.toks), func(k int) bool { return t.toks[k].end >= o.End })
		if first >= len(t.toks) || last >= len(t.toks) || last < first {
			continue
		}
		item, used := t.itemAround(first, last, t.toks[last].clause)
		if item == "" || item == "all" || item == "other" {
			continue
		}
		o.Item = item
		for _, k := range used {
			t.useTokens(k, k)
		}
	}
}

// itemAround reads which one is meant from the words up to four tokens beside
// a stretch, and inside it, within the clause; used are the tokens that say so.
func (t *turn) itemAround(first, last int, clause int32) (item string, used []int) {
	place, side, inside := "", "", ""
	for k := max(0, first-4); k <= min(len(t.toks)-1, last+5); k++ {
		if c := corners[t.toks[k].norm]; c != "" && t.toks[k].clause == clause {
			return c, []int{k}
		}
	}
	word := func(k int) string {
		if k >= 0 && k < len(t.toks) && t.toks[k].clause == clause {
			return t.toks[k].norm
		}
		return ""
	}
	for k := max(0, first-4); k <= min(len(t.toks)-1, last+5); k++ {
		w := &t.toks[k]
		if w.clause != clause {
			continue
		}
		switch s := t.lx.items[w.norm]; s {
		case "front":
			place, used = s, append(used, k)
		case "inner", "outer", "upper", "lower":
			inside, used = s, append(used, k)
		case "rear":
			if w.norm != "back" {
				place, used = "rear", append(used, k)
				continue
			}
			// "back": only as a place, beside a side or after "the"
			if word(k-1) == "the" && word(k+1) != "of" || t.lx.items[word(k-1)] != "" || t.lx.items[word(k+1)] != "" || word(k+1) == "wheel" || word(k+1) == "axle" {
				place, used = "rear", append(used, k)
			}
		case "left", "nearside", "offside":
			if s == "left" && !isSide(word(k-1), word(k+1)) {
				continue
			}
			side, used = s, append(used, k)
		case "driver", "passenger":
			if n := word(k + 1); n == "side" || n == "front" || n == "rear" || n == "door" {
				side, used = s, append(used, k)
			}
		case "right":
			if isSide(word(k-1), word(k+1)) {
				side, used = s, append(used, k)
			}
		}
		if w.kind == tokenNumber && w.value >= 1 && w.value <= 16 && w.value == float64(int(w.value)) {
			switch word(k - 1) {
			case "cylinder", "cyl", "number", "no":
				if t.cylinderTalk(k, clause) {
					return "cylinder-" + w.norm, append(used, k-1, k)
				}
			}
		}
	}
	for _, p := range []string{place, side, inside} {
		if p == "" {
			continue
		}
		if item != "" {
			item += "-"
		}
		item += p
	}
	return item, used
}

// corners are the trade's short names of the four corners.
var corners = map[string]string{"nsf": "front-nearside", "nsr": "rear-nearside", "osf": "front-offside", "osr": "rear-offside", "lhf": "front-left", "rhf": "front-right", "lhr": "rear-left", "rhr": "rear-right"}

// isSide tells left and right as sides from their other senses ("left it
// on", "that's right", "turning left").
func isSide(prev, next string) bool {
	switch prev {
	case "the", "front", "rear", "back", "my", "on":
		return next != "it" && next != "on"
	}
	switch next {
	case "hand", "side", "front", "rear", "wheel", "caliper", "bearing", "headlight", "indicator", "door", "tyre", "brake", "back":
		return true
	}
	return false
}

// cylinderTalk reports whether a number names a cylinder: the word itself, or
// a part of which each cylinder has one.
func (t *turn) cylinderTalk(k int, clause int32) bool {
	for j := max(0, k-3); j <= min(len(t.toks)-1, k+3); j++ {
		if t.toks[j].clause != clause {
			continue
		}
		switch stem(t.toks[j].norm) {
		case "cylinder", "cyl", "plug", "coil", "injector", "lead", "pot", "piston":
			return true
		}
	}
	return false
}

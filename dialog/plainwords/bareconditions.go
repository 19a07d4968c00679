package plainwords

import "strings"

// Conditions told in one word ("no better warm", "hot or cold, same") or in a
// number ("at 3000 rpm", "between 50 and 60").

// bareConditions reads words that alone say when, where the words beside them
// show that they do.
func (t *turn) bareConditions(taken map[int]bool) []condition {
	var out []condition
	for i := range t.toks {
		av, ok := t.lx.bare[t.toks[i].norm]
		u := t.unitAt[i]
		if !ok || u < 0 || taken[u] || t.usedUnit[u] || t.elsewhere[i] || t.likened[i] {
			continue
		}
		v := &t.voices[t.toks[i].clause]
		if v.question || v.supposed || t.wished[t.toks[i].clause] != "" && t.wished[t.toks[i].clause] != "why" {
			continue
		}
		relation := ""
		if t.pairedBare(i) {
			if relation = t.sameHere(i); relation == "" {
				continue
			}
		} else if relation = t.relationBeside(i); relation == "" {
			continue
		}
		taken[u] = true
		t.useTokens(i, i)
		out = append(out, condition{axis: av[0], value: av[1], relation: relation, strong: true, unit: u, first: u, last: u, clause: t.toks[i].clause})
	}
	return out
}

// pairedBare reports whether the word is one of two opposed by "or" or "and".
func (t *turn) pairedBare(i int) bool {
	for _, d := range []int{-1, 1} {
		if w := t.word(i, d); w == "or" || w == "and" {
			if av, ok := t.lx.bare[t.word(i, 2*d)]; ok && av[0] == t.lx.bare[t.toks[i].norm][0] {
				return true
			}
		}
	}
	return false
}

// sameHere is "same" where the clause or the one beside it says that it makes no
// difference.
func (t *turn) sameHere(i int) string {
	c := t.toks[i].clause
	for n := max(0, c-1); n <= min(c+1, int32(len(t.voices))-1); n++ {
		if v := &t.voices[n]; v.sent == t.toks[i].sent && v.same {
			return "same"
		}
	}
	return ""
}

// relationBeside is the relation told right before a word that ends its clause:
// "fine cold", "worse hot", "isn't any better warm".
func (t *turn) relationBeside(i int) string {
	if n := t.word(i, 1); n != "" && t.toks[i+1].kind == tokenWord && n != "though" && n != "too" && n != "tho" && n != "and" && n != "but" {
		return ""
	}
	if i == 0 || t.toks[i-1].clause != t.toks[i].clause {
		return ""
	}
	v := &t.voices[t.toks[i].clause]
	switch w := t.toks[i-1].norm; {
	case onlyWords[w] && v.only:
		return "only"
	case fineWords[w]:
		if t.toks[i-1].under {
			return ""
		}
		return "never"
	case t.related(i - 1):
		switch {
		case v.same:
			return "same"
		case v.worse:
			return "worse"
		case v.better:
			return "better"
		}
	}
	return ""
}

// Speeds from which a number says where in the range the trouble is. Basis:
// memory.
const (
	highRevs = 2500 // rpm
	lowRevs  = 2000
	openRoad = 70 // km/h
	townPace = 40
)

// speedConditions reads speeds of the engine and of the car as conditions.
func (t *turn) speedConditions(taken map[int]bool) []condition {
	var out []condition
	for i := range t.numbers {
		n := &t.numbers[i]
		u := t.unitAt[n.first]
		if u < 0 || n.taken || taken[u] || t.usedUnit[u] || t.elsewhere[n.first] {
			continue
		}
		axis, value := t.speedOf(n)
		if !n.UnitGiven {
			axis, value = t.bareSpeed(n)
		}
		v := &t.voices[t.toks[n.first].clause]
		if axis == "" || t.besideReading(i) || v.question || v.supposed || t.wished[t.toks[n.first].clause] != "" {
			continue
		}
		m := match{phrase: &phrase{}, units: []int{u}, first: u, last: u}
		relation, strong := t.relationOf(&m)
		if relation == "" || !strong && !t.troubleBeside(n.first) || t.partOfSymptom(&m, axis) {
			continue
		}
		if value == "window" && relation == "worse" && !strong {
			relation = "only"
		}
		for k := n.first; k <= n.last; k++ {
			taken[t.unitAt[k]] = true
		}
		t.useTokens(n.first, n.last)
		n.taken = true
		out = append(out, condition{axis: axis, value: value, relation: relation, strong: strong, unit: u, first: u, last: u, clause: t.toks[n.first].clause})
	}
	return out
}

// speedOf is the axis and value a speed stands for, by the word before it.
func (t *turn) speedOf(n *number) (axis, value string) {
	before := ""
	for k := n.first - 1; k >= 0 && k >= n.first-3 && t.toks[k].clause == t.toks[n.first].clause; k-- {
		if w := t.toks[k].norm; prepositions[w] || w == "past" {
			before = w
			break
		}
	}
	if before == "" && n.Low == n.High {
		return "", ""
	}
	above := before == "above" || before == "over" || before == "past" || n.OpenHigh
	below := before == "below" || before == "under" || n.OpenLow
	switch n.Unit {
	case "rpm":
		switch {
		case n.Value >= highRevs || above:
			return "engine-speed", "high"
		case n.Value <= lowRevs || below:
			return "engine-speed", "low"
		}
	case "km/h":
		switch {
		case n.Low < n.High && !n.OpenLow && !n.OpenHigh:
			return "road-speed", "window"
		case below && n.Value <= openRoad, n.Value <= townPace && !above:
			return "motion", "low-speed"
		case n.Value >= openRoad && !below, above && n.Value > townPace: // "over the last 5 mph"
			return "motion", "at-speed"
		}
	}
	return "", ""
}

// Numbers that are a speed where no unit is said. Basis: memory.
const (
	leastRevs, mostRevs = 1000, 7000
	leastMPH, mostMPH   = 15, 90
	kmhPerMile          = 1.609344 // published: international mile
)

// bareSpeed is the axis and value of a number without a unit after "above", "at"
// or the like, of which the clause tells nothing else: "smooths out above 1500",
// "starts at about 60".
func (t *turn) bareSpeed(n *number) (axis, value string) {
	if n.dim != "" || !t.endsSpeed(n.last) || strings.Contains(t.toks[n.first].norm, ".") {
		return "", ""
	}
	switch before := t.word(n.first, -1); before {
	case "above", "over", "past", "at", "around", "about", "below", "under", "to":
	default:
		return "", ""
	}
	q := *n
	switch {
	case n.Value >= leastRevs && n.Value <= mostRevs:
		q.Unit = "rpm"
	case n.Value >= leastMPH && n.Value <= mostMPH:
		q.Unit, q.Value, q.Low, q.High = "km/h", n.Value*kmhPerMile, n.Low*kmhPerMile, n.High*kmhPerMile
	}
	return t.speedOf(&q)
}

// endsSpeed reports whether nothing that a number could count follows it.
func (t *turn) endsSpeed(last int) bool {
	k := last + 1
	if k >= len(t.toks) || t.toks[k].kind == tokenPunct && t.toks[k].norm != "%" && t.toks[k].norm != "/" || t.toks[k].clause != t.toks[last].clause {
		return true
	}
	switch t.toks[k].norm {
	case "or", "and", "on", "then", "but", "so", "it", "its", "when", "with", "in", "plus", "ish":
		return true
	}
	return false
}

// troubleBeside reports whether a trouble is told in the clause or beside it, so
// that a speed there is no reading: "runs at 900 rpm".
func (t *turn) troubleBeside(i int) bool {
	c := t.toks[i].clause
	v := &t.voices[c]
	if t.tellsIn(v.sent, c) {
		return true
	}
	for k := max(v.first, i-25); k <= min(v.last, i+25); k++ {
		if t.lx.effects[t.toks[k].norm] {
			return true
		}
	}
	return false
}

// besideReading reports whether another number stands in the clause: the speed
// is then where that one was read ("boost gets to 1.2 at 3000 rpm").
func (t *turn) besideReading(i int) bool {
	c := t.toks[t.numbers[i].first].clause
	return i > 0 && t.toks[t.numbers[i-1].first].clause == c || i+1 < len(t.numbers) && t.toks[t.numbers[i+1].first].clause == c
}

package plainwords

import (
	"slices"
	"sort"
	"strconv"
	"strings"
)

// findVehicle reads facts about the vehicle told in passing.
func (t *turn) findVehicle() {
	found := map[string]string{}
	clash := map[string]bool{}
	var facts []VehicleFact
	for i := range t.matches {
		m := &t.matches[i]
		if m.phrase.target.kind != targetVehicle || m.flipped || !t.solid(m) || len(m.units) < 2 && t.isUnitOfNumber(m) {
			continue
		}
		a, val := m.phrase.target.id, m.phrase.target.value
		if !t.tellsVehicle(m) {
			continue
		}
		if v, ok := found[a]; ok {
			clash[a] = clash[a] || v != val
			continue
		}
		found[a] = val
		s, e := t.span(m)
		facts = append(facts, VehicleFact{a, val, s, e})
		t.use(m)
	}
	for _, f := range facts {
		if !clash[f.Attribute] {
			t.acc.Vehicle = append(t.acc.Vehicle, f)
		}
	}
	t.findYear()
	t.findLitres()
	t.findMileage()
}

// tellsVehicle keeps out words that name a part or a liquid rather than the
// kind of car: "petrol tank", "smells of petrol", "the manual says", "new
// alternator".
func (t *turn) tellsVehicle(m *match) bool {
	first, last := t.us[m.first].first, t.us[m.last].last
	if slices.Contains(t.described, t.us[m.first].clause) {
		return true // "single carburettor, mechanical pump"
	}
	if t.voices[t.us[m.first].clause].question && len(m.units) < 2 {
		return false
	}
	at := func(k int) string {
		if k >= 0 && k < len(t.toks) && t.toks[k].clause == t.toks[first].clause {
			return t.toks[k].norm
		}
		return ""
	}
	prev, next := at(first-1), at(last+1)
	if next == "on" && (at(last+2) == "this" || at(last+2) == "mine" || at(last+2) == "it" && prev == "a") {
		return true // "viscous fan on this"
	}
	if t.lx.agents[next] || next == "that" && at(last+2) == "is" {
		return false // "carb cleaner", "gasoline that is"
	}
	i := sort.Search(len(t.parts), func(i int) bool { return t.parts[i].last >= m.first })
	for ; i < len(t.parts) && t.parts[i].first <= m.last; i++ {
		p := &t.parts[i]
		if m.first <= p.last {
			if t.bareAttribute(m) {
				return true // "98 petrol, electric fan"
			}
			// a part's own name tells only when the car is said to have it
			return (prev == "a" || prev == "an" || prev == "has" || prev == "got") && (at(first-2) == "has" || at(first-2) == "got" || at(first-2) == "its" || prev == "has") && !(p.last > m.last)
		}
	}
	switch m.phrase.target.id {
	case "fuel":
		switch prev {
		case "of", "in", "some", "more", "enough", "with", "no", "smell", "smells", "the", "leaking", "got", "put":
			return len(m.units) > 1
		}
		switch next {
		case "in", "tank", "smell", "leak", "pump", "station", "cap", "gauge", "pipe", "line", "pedal", "on", "leaking", "everywhere", "fumes":
			return false
		}
	case "gearbox":
		if u := m.last + 1; u < len(t.us) && t.us[u].clause == t.us[m.last].clause && t.us[u].first == last+1 && t.us[u].id >= 0 && len(t.lx.heads[t.us[u].id]) > 0 {
			return false // "automatic lights"
		}
		if stem(at(last)) == "manual" && prev == "a" && next == "i" {
			return false
		}
		if stem(at(last)) == "manual" && (prev == "the" || prev == "workshop" || prev == "owners" || prev == "service" || prev == "my" || next == "says" || next == "said") {
			return false
		}
	}
	return true
}

// bareAttribute reports whether a clause holds nothing but the attribute and the
// turn tells another fact of the vehicle: part of a list of what the car is.
func (t *turn) bareAttribute(m *match) bool {
	v := &t.voices[t.us[m.first].clause]
	for k := v.first; k <= v.last; k++ {
		inside := k >= t.us[m.first].first && k <= t.us[m.last].last
		if t.toks[k].neg && k == t.us[m.last].last+1 {
			break // "dynamo not alternator"
		}
		if !inside && (t.toks[k].class == classContent && t.toks[k].kind == tokenWord || t.toks[k].neg) {
			return false
		}
	}
	for a := range t.attributes() {
		if a != m.phrase.target.id {
			return true
		}
	}
	return false
}

// attributes are those of the vehicle that the turn may tell.
func (t *turn) attributes() map[string]bool {
	if t.attribute == nil {
		t.attribute = map[string]bool{}
		for i := range t.matches {
			if m := &t.matches[i]; m.phrase.target.kind == targetVehicle && t.solid(m) && !m.flipped {
				t.attribute[m.phrase.target.id] = true
			}
		}
	}
	return t.attribute
}

// findYear reads a model year: a bare number from 1940 to 2039 that is no
// date of something else.
func (t *turn) findYear() {
	for i := range t.toks {
		k := &t.toks[i]
		if y := t.shortYear(i); y != "" {
			t.acc.Vehicle = append(t.acc.Vehicle, VehicleFact{"year", y, k.start, k.end})
			t.useTokens(i, i)
			t.markNumber(i)
			t.findName(i + 1)
			return
		}
		if k.kind != tokenNumber || len(k.norm) != 4 || k.value < 1940 || k.value > 2039 || k.value != float64(int(k.value)) || k.state == SpanUsed {
			continue
		}
		if t.numberAt(i) != nil && t.numberAt(i).UnitGiven {
			continue
		}
		prev, next := "", ""
		if i > 0 {
			prev = t.toks[i-1].norm
		}
		if i+1 < len(t.toks) && t.toks[i+1].sent == k.sent {
			next = t.toks[i+1].norm
		}
		switch prev {
		case "in", "since", "around", "about", "at", "till", "until", "reads", "read", "from":
			if prev != "from" || next == "" || stopWords[next] {
				continue
			}
		}
		named := next != "" && i+1 < len(t.toks) && t.toks[i+1].kind == tokenWord && !stopWords[next]
		ok := named || prev == "a" || prev == "an" || prev == "my" || prev == "the" || prev == "its" || prev == "year" || prev == "," || prev == "" || prev == "model"
		if !ok || next == "ohm" {
			continue
		}
		t.acc.Vehicle = append(t.acc.Vehicle, VehicleFact{"year", k.norm, k.start, k.end})
		t.useTokens(i, i)
		t.markNumber(i)
		t.findName(i + 1)
		return
	}
}

// shortYear reads a year told by its last two digits: "'98", "98 petrol", "a 52
// plate"; empty if the token is none.
func (t *turn) shortYear(i int) string {
	k := &t.toks[i]
	if k.kind != tokenNumber || len(k.norm) != 2 || k.value != float64(int(k.value)) || k.state == SpanUsed || t.numberAt(i) != nil && t.numberAt(i).UnitGiven {
		return ""
	}
	next := ""
	if i+1 < len(t.toks) && t.toks[i+1].clause == k.clause {
		next = t.toks[i+1].norm
	}
	marked := k.start > 0 && (t.text[k.start-1] == '\'' || strings.HasSuffix(t.text[:k.start], "’")) || next == "plate" || next == "reg" || next == "model"
	opens := i == 0 || t.toks[i-1].kind == tokenPunct || t.toks[i-1].norm == "a" || t.toks[i-1].norm == "an" || t.toks[i-1].norm == "my" || t.toks[i-1].norm == "its"
	tells := false // a fact of the vehicle follows at once
	for _, f := range t.acc.Vehicle {
		tells = tells || i+1 < len(t.toks) && f.Start == t.toks[i+1].start
	}
	old := k.value >= 60 // lower numbers are too often something else
	if !marked && !(opens && tells && old) {
		return ""
	}
	if k.value >= 40 {
		return "19" + k.norm
	}
	return "20" + k.norm
}

// findName reads make and model after the year ("1999 Tolland Carrier 1.9
// petrol"): capitalised words that the lexicon does not know; and the engine's
// litres.
func (t *turn) findName(i int) {
	start := i
	for i < len(t.toks) && i < start+4 && t.toks[i].kind == tokenWord && t.toks[i].state != SpanUsed {
		c := t.text[t.toks[i].start]
		if c < 'A' || c > 'Z' {
			break
		}
		i++
	}
	if i > start {
		s, e := t.toks[start].start, t.toks[i-1].end
		t.acc.Vehicle = append(t.acc.Vehicle, VehicleFact{"make-unknown", t.text[s:e], s, e})
		t.useTokens(start, i-1)
	}
	if i < len(t.toks) && t.toks[i].kind == tokenNumber && strings.Contains(t.toks[i].norm, ".") && t.toks[i].value >= 0.5 && t.toks[i].value <= 9 {
		t.acc.Vehicle = append(t.acc.Vehicle, VehicleFact{"engine-litres", t.toks[i].norm, t.toks[i].start, t.toks[i].end})
		t.useTokens(i, i)
		t.markNumber(i)
	}
}

func (t *turn) numberAt(i int) *number {
	k := sort.Search(len(t.numbers), func(k int) bool { return t.numbers[k].last >= i })
	if k < len(t.numbers) && t.numbers[k].first <= i {
		return &t.numbers[k]
	}
	return nil
}

func (t *turn) markNumber(i int) {
	if n := t.numberAt(i); n != nil {
		n.taken = true
	}
}

// Mileage below which a distance is a trip and not the odometer's.
const leastMileage = 5000

// findMileage reads the odometer: "120k miles", "98,000 miles on the clock",
// "done 150000 km".
func (t *turn) findMileage() {
	for k := range t.numbers {
		n := &t.numbers[k]
		if n.taken || n.dim != dimDistance || n.Value < leastMileage {
			continue
		}
		unit, v := "km", n.Value
		if strings.Contains(strings.ToLower(n.Written), "mi") || strings.Contains(n.Written, "k on") || strings.HasSuffix(strings.ToLower(n.Written), "k") {
			unit, v = "miles", n.Value/kmPerMile
		}
		t.acc.Vehicle = append(t.acc.Vehicle, VehicleFact{"mileage", strconv.FormatFloat(v, 'f', 0, 64) + " " + unit, n.start, n.end})
		n.taken = true
		t.useTokens(n.first, n.last)
	}
}

// findLitres reads an engine's size told without a year: "a 2.2 diesel".
func (t *turn) findLitres() {
	for _, v := range t.acc.Vehicle {
		if v.Attribute == "engine-litres" {
			return
		}
	}
	for i := range t.toks {
		k := &t.toks[i]
		if k.kind != tokenNumber || !strings.Contains(k.norm, ".") || k.value < 0.5 || k.value > 9 || k.state == SpanUsed || !t.lx.afterLitres[t.word(i, 1)] && !slices.Contains(t.described, k.clause) {
			continue
		}
		if w := t.word(i, 1); w == "l" || strings.HasPrefix(w, "lit") {
			if n := t.word(i, 2); n != "" && n != "engine" && !t.lx.afterLitres[n] {
				continue // "2.5 litres of coolant"
			}
		}
		t.acc.Vehicle = append(t.acc.Vehicle, VehicleFact{"engine-litres", k.norm, k.start, k.end})
		t.useTokens(i, i)
		t.markNumber(i)
		return
	}
}

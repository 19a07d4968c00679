package kb

import "slices"

// Share is the share of older vehicles that have one of the values of an
// attribute; 0 where there is no such attribute.
func (l *Lists) Share(attribute string, values []string) float64 {
	sum := 0.0
	for _, a := range l.Vehicle {
		if a.ID != attribute {
			continue
		}
		for _, v := range a.Values {
			if slices.Contains(values, v.ID) {
				sum += v.Share
			}
		}
	}
	return sum
}

// shareOf is the share of older vehicles to which something applies.
func (l *Lists) shareOf(a Applies) float64 {
	share := 1.0
	for _, id := range sortedKeys(a.Vehicle) {
		share *= l.Share(id, a.Vehicle[id])
	}
	return share
}

// having is the share of older vehicles that have the part; 1 where the list of
// vehicles does not know.
func (l *Lists) having(p *Part) float64 {
	if share := l.shareOf(p.Applies); share > 0 {
		return share
	}
	return 1
}

// bothApply is where both apply: the values that both allow of an attribute,
// the model years that both span. Where they allow nothing in common the
// second stands.
func bothApply(a, b Applies) Applies {
	out := Applies{Vehicle: map[string][]string{}, Years: a.Years}
	for _, id := range sortedKeys(a.Vehicle) {
		out.Vehicle[id] = a.Vehicle[id]
	}
	for _, id := range sortedKeys(b.Vehicle) {
		both := slices.DeleteFunc(slices.Clone(b.Vehicle[id]), func(v string) bool {
			return out.Vehicle[id] != nil && !slices.Contains(out.Vehicle[id], v)
		})
		if len(both) == 0 {
			both = b.Vehicle[id]
		}
		out.Vehicle[id] = both
	}
	if len(b.Years) == 2 {
		out.Years = b.Years
		if y := []int{max(a.yearFrom(), b.Years[0]), min(a.yearTo(), b.Years[1])}; y[0] <= y[1] {
			out.Years = y
		}
	}
	return out
}

func (a Applies) yearFrom() int {
	if len(a.Years) == 2 {
		return a.Years[0]
	}
	return firstModelled
}

func (a Applies) yearTo() int {
	if len(a.Years) == 2 {
		return a.Years[1]
	}
	return lastModelled
}

// limitToParts keeps causes and tests to the vehicles that have their part:
// what a part says of itself needs no saying in every article about it.
func (b *Base) limitToParts() {
	for _, c := range b.Causes {
		if p := b.Part(c.Part); p != nil {
			c.Applies = p.limits(c.Applies)
		}
	}
	for _, t := range b.Tests {
		if p := b.Part(t.Part); p != nil {
			t.Applies = p.limits(t.Applies)
		}
	}
}

// limits narrows what something about the part applies to.
func (p *Part) limits(a Applies) Applies {
	if len(p.Applies.Vehicle) == 0 && len(p.Applies.Years) == 0 {
		return a
	}
	return bothApply(p.Applies, a)
}

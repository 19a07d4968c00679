package circuit

import (
	"math"
	"slices"
	"strings"
)

// Band is what a check's value comes to when all that counts is what a person
// can tell apart: nothing, a little, part of it, nearly the battery's volts,
// more than that, and for ohms and amperes whole steps of about three.
func Band(w What, v float64) int {
	if math.IsNaN(v) {
		return BandMissing
	}
	switch w {
	case Volts:
		a := math.Abs(v)
		k := 0
		for _, edge := range voltEdges {
			if a >= edge {
				k++
			}
		}
		if v < -0.25 {
			return bandBelow
		}
		return k
	case Ohms, Bench:
		if v >= MeterOver {
			return BandOpen
		}
		return int(math.Floor(2 * math.Log10(math.Max(v, 0.5)/0.5)))
	case Amps:
		if v < leastAmps {
			return 0
		}
		return 1 + int(math.Floor(2*math.Log10(v/leastAmps)))
	}
	return int(v)
}

// Groups returns the causes that no check of the table can tell apart, in any
// arrangement: sets of two or more, in id order. The sound circuit ("") is
// among them where a fault shows in nothing that can be reached.
func (c *Circuit) Groups(t *Table) [][]string {
	signature := make([]map[string]bool, len(c.priors))
	for h := range signature {
		signature[h] = map[string]bool{}
	}
	for v, x := range c.variants {
		var b strings.Builder
		b.WriteByte(byte(x.arrangement))
		for k := range t.Checks {
			b.WriteByte(byte(Band(t.Checks[k].What, t.At(v, k))))
		}
		signature[x.hypothesis][b.String()] = true
	}
	var groups [][]string
	taken := make([]bool, len(c.priors))
	for h := range c.priors {
		if taken[h] {
			continue
		}
		group := []string{c.priors[h].Cause}
		for g := h + 1; g < len(c.priors); g++ {
			if !taken[g] && slices.Equal(sortedKeys(signature[h]), sortedKeys(signature[g])) {
				group = append(group, c.priors[g].Cause)
				taken[g] = true
			}
		}
		if len(group) > 1 {
			groups = append(groups, group)
		}
	}
	return groups
}

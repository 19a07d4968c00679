package learn

import (
	"cmp"
	"maps"
	"slices"
)

// Entry is what one case taught.
type Entry struct {
	// Case is the id of the case, the same in every garage.
	Case string `json:"case" yaml:"case"`
	// Turns is how far the case had come. Of two entries of one case the one
	// that came further counts.
	Turns int `json:"turns" yaml:"turns"`
	// Closed is false for a case that was taken up again: it counts nothing.
	Closed bool `json:"closed" yaml:"closed"`
	// Causes are the ids of the causes that were it, ascending. A closed case
	// without any was none of those that have an article.
	Causes []string `json:"causes,omitempty" yaml:"causes,omitempty"`
	// Minutes are how long checks took, by id.
	Minutes map[string]float64 `json:"minutes,omitempty" yaml:"minutes,omitempty"`
}

// Ledger holds entries by case.
type Ledger map[string]Entry

// Merge joins two ledgers, each case once. In whatever order and however often
// ledgers are merged, the result is the same.
func Merge(a, b Ledger) Ledger {
	out := make(Ledger, max(len(a), len(b)))
	maps.Copy(out, a)
	for id, e := range b {
		if mine, ok := out[id]; !ok || later(mine, e) < 0 {
			out[id] = e
		}
	}
	return out
}

// later orders two entries of one case: the one that came further is greater.
// What differs at the same turn is ordered by content, for the sake of a total
// order alone.
func later(a, b Entry) int {
	if c := cmp.Or(cmp.Compare(a.Turns, b.Turns), flag(a.Closed)-flag(b.Closed), slices.Compare(a.Causes, b.Causes), cmp.Compare(len(a.Minutes), len(b.Minutes))); c != 0 {
		return c
	}
	x, y := slices.Sorted(maps.Keys(a.Minutes)), slices.Sorted(maps.Keys(b.Minutes))
	if c := slices.Compare(x, y); c != 0 {
		return c
	}
	for _, id := range x {
		if c := cmp.Compare(a.Minutes[id], b.Minutes[id]); c != 0 {
			return c
		}
	}
	return 0
}

func flag(b bool) int {
	if b {
		return 1
	}
	return 0
}

// Counts are what a ledger sums up to.
type Counts struct {
	// Strength is the prior strength with which the counts are used.
	Strength float64 `json:"strength" yaml:"strength"`
	// Cases are the closed cases, None those that were none of the causes that
	// have an article.
	Cases int `json:"cases" yaml:"cases"`
	None  int `json:"none" yaml:"none"`
	// Causes is how many cases each cause had; of a case with two causes, each
	// has half.
	Causes map[string]float64 `json:"causes,omitempty" yaml:"causes,omitempty"`
	// Checks are the timings of checks.
	Checks map[string]Timing `json:"checks,omitempty" yaml:"checks,omitempty"`
}

// Timing is how often a check was timed and the sum of the minutes.
type Timing struct {
	N       int     `json:"n" yaml:"n"`
	Minutes float64 `json:"minutes" yaml:"minutes"`
}

// Count sums a ledger up. A case whose causes are all unknown here was, for
// these articles, none of those they have.
func (l Ledger) Count(strength float64, known func(cause string) bool) Counts {
	c := Counts{Strength: strength, Causes: map[string]float64{}, Checks: map[string]Timing{}}
	for _, id := range slices.Sorted(maps.Keys(l)) {
		e := l[id]
		for _, check := range slices.Sorted(maps.Keys(e.Minutes)) {
			t := c.Checks[check]
			t.N++
			t.Minutes += e.Minutes[check]
			c.Checks[check] = t
		}
		if !e.Closed {
			continue
		}
		c.Cases++
		var causes []string
		for _, k := range e.Causes {
			if known(k) {
				causes = append(causes, k)
			}
		}
		if len(causes) == 0 {
			c.None++
		}
		for _, k := range causes {
			c.Causes[k] += 1 / float64(len(causes))
		}
	}
	return c
}

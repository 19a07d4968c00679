package plan

import (
	"cmp"
	"slices"

	"ruleout/dialog/belief"
)

// OutcomeSplit is what one outcome of a check would leave.
type OutcomeSplit struct {
	// Finding counts in Check.Findings, Outcome in that finding's.
	Finding, Outcome int
	// P is the probability of the outcome, given that it is answered.
	P float64
	// Leaves are the leading single causes after it, most probable first, ties
	// by number; None is "none of these" after it.
	Leaves []Left
	None   float64
}

// Left is a cause with its probability after an outcome.
type Left struct {
	Cause int
	P     float64
}

// Split shows how the outcomes of each finding of a check divide the suspects:
// for every outcome its probability and the leaders it leaves. The findings of
// a look-round are shown one by one. Outcomes that nothing makes possible are
// left out.
func Split(p *Problem, check, leaders int) []OutcomeSplit {
	var out []OutcomeSplit
	for i, f := range p.Checks[check].Findings {
		out = append(out, splitOne(p.Belief, f, i, leaders)...)
	}
	return out
}

func splitOne(b *belief.Posterior, f *belief.Finding, number, leaders int) []OutcomeSplit {
	m := b.Model
	silent, none := m.Shows(nil, f), m.ShowsNone(nil, f)
	speaks := make(map[int][]float64, len(f.Rows))
	for _, r := range f.Rows {
		speaks[r.Cause] = m.Shows(nil, f, r.Cause)
	}
	var show []float64
	pairs := make([]float64, len(silent)) // mass of the listed pairs by outcome
	for _, h := range b.Pairs {
		show = m.Shows(show, f, h.A, h.B)
		for o := range pairs {
			pairs[o] += float64(h.P * show[o])
		}
	}
	var out []OutcomeSplit
	for o := range silent {
		s := OutcomeSplit{Finding: number, Outcome: o, None: float64(b.None * none[o])}
		s.P = s.None + pairs[o]
		for c, w := range b.Singles {
			like := silent[o]
			if row, ok := speaks[c]; ok {
				like = row[o]
			}
			if w *= like; w > 0 {
				s.P += w
				s.Leaves = append(s.Leaves, Left{c, w})
			}
		}
		if s.P <= 0 {
			continue
		}
		slices.SortFunc(s.Leaves, func(x, y Left) int {
			return cmp.Or(cmp.Compare(rank(y.P), rank(x.P)), x.Cause-y.Cause)
		})
		s.Leaves = slices.Clone(s.Leaves[:min(leaders, len(s.Leaves))])
		for i := range s.Leaves {
			s.Leaves[i].P /= s.P
		}
		s.None /= s.P
		out = append(out, s)
	}
	return out
}

package kb

import (
	"slices"
	"strings"
)

// SymptomBase is the baseline of a symptom that states none: one in fifty
// cars whose trouble is elsewhere shows it too. Basis: memory.
const SymptomBase = 0.02

// LeastRest is what outcomes that a cause leaves unsaid keep between them when
// the said ones sum to one: an author who leaves them out means "hardly ever",
// not "impossible", and one surprising answer must not rule a cause out for
// good. Basis: memory.
const LeastRest = 0.01

// computeFindings makes the finding of every symptom without "of", every
// question and every test with outcomes of its own. Where two articles define
// the same id the first in id order is kept; the validator reports the other.
func (b *Base) computeFindings() {
	add := func(f *Finding) {
		if b.findings[f.ID] == nil && len(f.Outcomes) > 0 {
			b.findings[f.ID] = f
		}
	}
	for _, a := range b.Symptoms {
		if len(a.Of) == 0 {
			p := SymptomBase
			if v, ok := a.Base.Value(); ok {
				p = v
			}
			add(&Finding{
				ID: a.ID, Kind: FindingSymptom, Title: a.Title, Article: a.ID, System: a.System,
				Outcomes: []Outcome{
					{ID: "present", Title: "present", Said: a.Said, Base: a.Base},
					{ID: "absent", Title: "absent"},
				},
				Base: []float64{p, 1 - p},
			})
		}
		for _, q := range a.Questions {
			add(&Finding{
				ID: q.ID, Kind: FindingQuestion, Title: q.name(), Article: a.ID, System: a.System, Ask: q.Ask, Why: q.Why,
				Order: q.Order, Axis: q.Axis, Ordered: q.Ordered, Outcomes: q.Outcomes, Base: baseline(q.Outcomes),
			})
		}
	}
	for _, a := range b.Tests {
		if a.Of == "" && len(a.Settles) == 0 {
			add(&Finding{
				ID: a.ID, Kind: FindingTest, Title: a.Title, Article: a.ID, System: a.System, Ask: a.Ask,
				Ordered: a.Ordered, Outcomes: a.Outcomes, Base: baseline(a.Outcomes), Reading: a.Reading,
			})
		}
	}
	// Dependences come last: they refer to other findings' outcomes.
	for _, a := range b.Symptoms {
		for _, q := range a.Questions {
			b.depend(a.ID, q.ID, q.Because)
		}
	}
	for _, a := range b.Tests {
		b.depend(a.ID, a.ID, a.Because)
	}
}

func (b *Base) depend(article, id string, w *Because) {
	f := b.findings[id]
	if w == nil || f == nil || f.Article != article {
		return
	}
	parent := b.findings[w.Finding]
	if parent == nil {
		return
	}
	given := make([][]float64, len(parent.Outcomes))
	for i, o := range parent.Outcomes {
		row, _ := f.Distribution(w.Given[o.ID])
		given[i] = row
	}
	f.Because, f.Given = w.Finding, given
}

// baseline returns the authored bases, normalised to sum to one.
func baseline(outcomes []Outcome) []float64 {
	out := make([]float64, len(outcomes))
	sum := 0.0
	for i, o := range outcomes {
		out[i], _ = o.Base.Value()
		sum += out[i]
	}
	for i := range out {
		if sum > 0 {
			out[i] /= sum
		} else {
			out[i] = 1 / float64(len(out))
		}
	}
	return out
}

// Distribution returns the full distribution over the finding's outcomes
// that an author means by saying some of them: said outcomes as given (a word
// below "sometimes" for no more than the baseline), the unsaid sharing the
// rest in proportion to the baseline. Where all are said they are scaled to
// sum to one; where some are unsaid they keep at least LeastRest between them.
// It returns the baseline and false when nothing valid is said.
func (f *Finding) Distribution(said map[string]Likelihood) ([]float64, bool) {
	out := make([]float64, len(f.Outcomes))
	sum, unsaid, n := 0.0, 0.0, 0
	for i, o := range f.Outcomes {
		l, ok := said[o.ID]
		v, valid := l.Value()
		if !ok || !valid {
			out[i] = -1
			unsaid += f.Base[i]
			continue
		}
		if l.IsWord() && v < AgainstBelow {
			v = min(v, f.Base[i])
		}
		out[i] = v
		sum += v
		n++
	}
	if n == 0 {
		return slices.Clone(f.Base), false
	}
	scale, rest := 1.0, 1-sum
	switch {
	case n == len(out):
		scale, rest = 1/sum, 0
	case rest < LeastRest:
		scale, rest = (1-LeastRest)/sum, LeastRest
	}
	for i := range out {
		if out[i] < 0 {
			out[i] = rest * f.Base[i] / unsaid
		} else {
			out[i] *= scale
		}
	}
	return out, true
}

// computeRows tabulates Likelihood.
func (b *Base) computeRows() {
	b.rows = make(map[string]map[string][]float64, len(b.Causes))
	for _, c := range b.Causes {
		row := make(map[string][]float64, len(c.Shows))
		for id, said := range c.Shows {
			if f := b.findings[id]; f != nil {
				if p, ok := f.Distribution(said); ok {
					row[id] = p
				}
			}
		}
		b.rows[c.ID] = row
	}
}

// Likelihood returns P(outcome | cause) over the outcomes of an authored
// finding, summing to one, and whether the cause speaks of it at all. The
// slice is shared and must not be changed.
func (b *Base) Likelihood(c *Cause, f *Finding) ([]float64, bool) {
	p, ok := b.rows[c.ID][f.ID]
	return p, ok
}

// Speaks returns the ids of the findings of which the cause speaks, in order:
// those that its author names and those that follow from its place on a path.
func (b *Base) Speaks(c *Cause) []string { return sortedKeys(b.rows[c.ID]) }

// name is the question's short name.
func (q *Question) name() string {
	if q.Title != "" {
		return q.Title
	}
	return strings.ReplaceAll(q.ID, "-", " ")
}

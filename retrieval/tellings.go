package retrieval

import (
	"cmp"
	"math"
	"slices"

	"ruleout/kb"
)

// Constants of the word statistics of tellings. Basis: memory; chosen on the
// first messages of the cases in testdata.
const (
	// tellingPrior is how many tellings' worth of belief it is that a symptom is
	// told in the words of all others. So many, because the words of a message
	// depend on each other and on its teller: with few, the sum is too sure.
	tellingPrior = 200.0
	rarestBase   = 1e-4
	// commonPower is how much of a symptom's commonness counts: a car that only
	// will not start is less often told of than it would be by frequency.
	commonPower = 0.5
	outcomeBase = 0.002 // how often one outcome of a question or test is told, like a symptom's base
)

// Likely is an outcome of a finding, "present" for a symptom, with how likely it
// is that a telling is of it.
type Likely struct {
	Finding, Outcome string
	P                float64
}

// tellings knows how often the owners' tellings of each thing use each word.
type tellings struct {
	*counted
	told []Likely // without P
	// symptoms is how many of them are symptoms, which come first.
	symptoms int
	// start is how common the thing is, as a logarithm.
	start []float64
}

// tellings counts the words of all tellings, names and wordings of symptoms and
// outcomes.
func (s *spoken) tellings(b *kb.Base) *tellings {
	told := map[string][]string{}
	for i := range b.Lists.Tellings {
		finding, outcome := b.Lists.Tellings[i].Target()
		told[finding+"="+outcome] = b.Lists.Tellings[i].Told
	}
	t := &tellings{}
	var seen []sighting
	var sizes []float64
	add := func(finding, outcome string, base float64, texts []string) {
		for f, n := range s.tally(texts) {
			seen = append(seen, sighting{f, int32(len(t.told)), n})
		}
		sizes = append(sizes, float64(len(texts)))
		t.told = append(t.told, Likely{Finding: finding, Outcome: outcome})
		t.start = append(t.start, commonPower*math.Log(max(base, rarestBase)))
	}
	for _, sym := range b.Symptoms {
		if len(sym.Said) > 0 { // others nobody would say
			base, _ := sym.Base.Value()
			add(sym.ID, "present", base, slices.Concat([]string{sym.Title}, sym.Said, told[sym.ID+"=present"]))
		}
	}
	t.symptoms = len(t.told)
	for _, f := range b.Findings() {
		for _, o := range f.Outcomes {
			if f.Kind != kb.FindingSymptom && len(o.Said) > 0 {
				add(f.ID, o.ID, outcomeBase, slices.Concat([]string{f.Title + " " + o.Title}, o.Said, told[f.ID+"="+o.ID]))
			}
		}
	}
	t.counted = countWords(seen, sizes, tellingPrior)
	return t
}

// Complaint returns the symptoms that the words are most likely a telling of,
// the likeliest first, ties by id. The probabilities are among all symptoms:
// that the words tell none is for the caller to allow for. An index of cases
// knows no tellings.
func (x *Index) Complaint(words string, limit int) []Likely { return x.likely(words, limit, true) }

// Told is Complaint for symptoms and outcomes of questions and tests together.
func (x *Index) Told(words string, limit int) []Likely { return x.likely(words, limit, false) }

func (x *Index) likely(words string, limit int, symptoms bool) []Likely {
	t := x.tellings
	if t == nil {
		return nil
	}
	among := len(t.told)
	if symptoms {
		among = t.symptoms
	}
	sums, known := t.sums(x.spoken.asked(words), among)
	if !known {
		return nil
	}
	top := math.Inf(-1)
	for i := range sums {
		sums[i] += t.start[i]
		top = max(top, sums[i])
	}
	out := slices.Clone(t.told[:among])
	total := 0.0
	for i, s := range sums {
		out[i].P = math.Exp(s - top)
		total += out[i].P
	}
	slices.SortFunc(out, func(a, b Likely) int {
		return cmp.Or(cmp.Compare(b.P, a.P), cmp.Compare(a.Finding, b.Finding), cmp.Compare(a.Outcome, b.Outcome))
	})
	out = slices.Clone(out[:min(limit, len(out))])
	for i := range out {
		out[i].P = rounded(out[i].P / total)
	}
	return out
}

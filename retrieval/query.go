package retrieval

import "strings"

// Weights of the fields, and of a guess at a slip or an unfinished word against
// the exact word. Basis: memory; testdata/search/rank_stats.txt holds the
// result.
const (
	weightTitle  = 2.0
	weightSaid   = 1.5
	weightBody   = 0.5
	weightSlip   = 0.4
	weightPrefix = 0.6
	// weightDerived is for pages made from the part list, which are short and
	// all of names, against those that somebody wrote.
	weightDerived = 0.6
	termsAtMost   = 64 // of a query
	bytesAtMost   = 16 << 10
)

const fieldsOf = 3 // of a document

var fieldWeights = [fieldsOf]struct {
	name   string
	weight float64
}{{"title", weightTitle}, {"said", weightSaid}, {"body", weightBody}}

// want is one term to look for: what its match is worth, and which of the
// things asked it stands for.
type want struct {
	term   string
	weight float64
	part   int
}

// asked is a query taken apart.
type asked struct {
	wants []want
	parts int
}

// ask takes a query apart. When unfinished is set, the last word may go on.
func (x *Index) ask(words string, unfinished bool) asked {
	words = strings.ToValidUTF8(words[:min(len(words), bytesAtMost)], " ")
	ws := splitWords(words)
	var more []string
	if n := len(ws); unfinished && n > 0 && ws[n-1].end == len(words) && len(ws[n-1].word) >= 2 {
		more = x.analyzer.complete(ws[n-1].word)
		if len(more) > 0 && !x.analyzer.knows(ws[n-1]) {
			ws = append(x.analyzer.correct(ws[:n-1]), ws[n-1])
		} else {
			ws = x.analyzer.correct(ws)
		}
	} else {
		ws = x.analyzer.correct(ws)
	}
	var a asked
	seen := map[string]bool{}
	add := func(t string, weight float64) bool {
		if seen[t] {
			return false
		}
		seen[t] = true
		a.wants = append(a.wants, want{t, weight, a.parts})
		return true
	}
	for _, t := range x.analyzer.join(ws) {
		if a.parts == termsAtMost {
			break
		}
		weight := 1.0
		if t.slip {
			weight = weightSlip
		}
		if !add(t.text, weight) {
			continue
		}
		for _, o := range t.others {
			for _, s := range x.analyzer.terms(o) {
				add(s.text, weightSlip)
			}
		}
		a.parts++
	}
	if len(more) > 0 {
		a.parts = max(0, a.parts-1) // they stand for the last word
		for _, m := range more {
			for _, s := range x.analyzer.terms(m) {
				add(s.text, weightPrefix)
			}
		}
		a.parts++
	}
	return a
}

// sought is one term in one field, with its boost.
type sought struct {
	term  string
	field int
	boost float64
}

// sought lists what to look for where: all terms in all fields that have them.
// One that no document has would only scale all scores alike.
func (x *Index) sought(a asked) []sought {
	var out []sought
	for _, w := range a.wants {
		for f, field := range fieldWeights {
			if x.counts.with[f][w.term] > 0 {
				out = append(out, sought{w.term, f, field.weight * w.weight})
			}
		}
	}
	return out
}

// cover is the share of what was asked that the matched terms stand for.
func (a asked) cover(matched []Contribution) float64 {
	if a.parts == 0 {
		return 0
	}
	has := map[string]bool{}
	for _, m := range matched {
		has[m.Term] = true
	}
	best := make([]float64, a.parts)
	for _, w := range a.wants {
		if has[w.term] {
			best[w.part] = max(best[w.part], w.weight)
		}
	}
	sum := 0.0
	for _, b := range best {
		sum += b
	}
	return sum / float64(a.parts)
}

// set holds the terms looked for.
func (a asked) set() map[string]bool {
	out := map[string]bool{}
	for _, w := range a.wants {
		out[w.term] = true
	}
	return out
}

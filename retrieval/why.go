package retrieval

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"github.com/blevesearch/bleve/v2/search"
)

// Contribution is what one term added to a score, over all fields.
type Contribution struct {
	Term  string
	Value float64
}

// contributions reads what each term added out of the library's explanation.
// The library multiplies sums by the share of the query's parts that matched;
// each such factor is passed on to every term below it, so that the
// contributions add up to the score.
func contributions(e *search.Explanation) []Contribution {
	sums := map[string]float64{}
	var names []string
	var walk func(e *search.Explanation, factor float64)
	walk = func(e *search.Explanation, factor float64) {
		if name, ok := termOf(e); ok {
			if _, seen := sums[name]; !seen {
				names = append(names, name)
			}
			sums[name] += e.Value * factor
			return
		}
		below := 0.0
		for _, c := range e.Children {
			if bears(c) {
				below += c.Value
			}
		}
		if below == 0 {
			return
		}
		for _, c := range e.Children {
			if bears(c) {
				walk(c, factor*e.Value/below)
			}
		}
	}
	if e != nil {
		walk(e, 1)
	}
	out := make([]Contribution, len(names))
	for i, n := range names {
		out[i] = Contribution{n, rounded(sums[n])}
	}
	slices.SortFunc(out, func(a, b Contribution) int {
		return cmp.Or(cmp.Compare(b.Value, a.Value), cmp.Compare(a.Term, b.Term))
	})
	return out
}

// termOf names the term whose score a node is. A term of weight exactly one
// has no "weight" node, only the "fieldWeight" below it.
func termOf(e *search.Explanation) (string, bool) {
	rest, ok := strings.CutPrefix(e.Message, "weight(")
	if !ok {
		if rest, ok = strings.CutPrefix(e.Message, "fieldWeight("); !ok {
			return "", false
		}
	}
	field, rest, ok := strings.Cut(rest, ":")
	if !ok || field == "kind" {
		return "", false
	}
	return rest[:max(0, strings.IndexAny(rest, "^ "))], true
}

// bears says whether a term scores at or below a node.
func bears(e *search.Explanation) bool {
	if _, ok := termOf(e); ok {
		return true
	}
	return !strings.HasPrefix(e.Message, "weight(kind:") && slices.ContainsFunc(e.Children, bears)
}

func inWords(cs []Contribution) []string {
	out := make([]string, len(cs))
	for i, c := range cs {
		out[i] = fmt.Sprintf("%s %.3f", c.Term, c.Value)
	}
	return out
}

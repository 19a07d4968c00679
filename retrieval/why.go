package retrieval

import (
	"math"
	"strconv"
)

// Contribution is what one term added to a score, over all fields.
type Contribution struct {
	Term  string
	Value float64
}

// counts are what the ranking needs to know of the collection, by field.
type counts struct {
	docs float64
	// with is the number of documents that have a term, average the length that
	// the library takes for the average.
	with    [fieldsOf]map[string]int
	average [fieldsOf]float64
}

func count(docs []document) counts {
	c := counts{docs: float64(len(docs))}
	for f := range fieldWeights {
		c.with[f] = map[string]int{}
		last := map[string]int{}
		for i := range docs {
			for _, t := range docs[i].terms[f] {
				if last[t] != i+1 {
					last[t] = i + 1
					c.with[f][t]++
				}
			}
		}
		c.average[f] = math.Ceil(float64(len(c.with[f])) / c.docs)
	}
	return c
}

// The constants of BM25 in the library.
const (
	bm25K1 = 1.2
	bm25B  = 0.75
)

// idf is log(1 + (N − n + ½)/(n + ½)).
func (c *counts) idf(s sought) float64 {
	n := float64(c.with[s.field][s.term])
	return math.Log(1 + (c.docs-n+0.5)/(n+0.5))
}

// norm is one over the length of the vector of boost·idf.
func (c *counts) norm(ss []sought) float64 {
	sum := 0.0
	for _, s := range ss {
		w := s.boost * c.idf(s)
		sum += w * w
	}
	return 1 / math.Sqrt(sum)
}

func inWords(cs []Contribution) []string {
	out := make([]string, len(cs))
	for i, c := range cs {
		out[i] = c.Term + " " + strconv.FormatFloat(c.Value, 'f', 3, 64)
	}
	return out
}

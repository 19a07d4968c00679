package retrieval

import (
	"cmp"
	"fmt"
	"math"
	"slices"
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

// contributions is what each term adds to a document's score, greatest first.
// The library does not tell cheaply, so this is its score in plain form, over
// all terms and fields that match:
//
//	boost · idf · norm · idf · √f · k1 / (√f + k1·(1 − b + b·length/average))
//
// times the share of all sought that match (matched/sought).
func (c *counts) contributions(d *document, ss []sought, norm float64) []Contribution {
	freq := make([]float64, len(ss))
	at := map[string][fieldsOf]int{} // one more than the place in ss
	for i, s := range ss {
		places := at[s.term]
		places[s.field] = i + 1
		at[s.term] = places
	}
	for f, ts := range d.terms {
		for _, t := range ts {
			if i := at[t][f]; i > 0 {
				freq[i-1]++
			}
		}
	}
	var out []Contribution
	matched := 0.0
	for i, s := range ss {
		if freq[i] == 0 {
			continue
		}
		matched++
		idf, tf := c.idf(s), math.Sqrt(freq[i])
		// The library keeps 1/√length in single precision.
		kept := float64(float32(1 / math.Sqrt(float64(len(d.terms[s.field])))))
		length := 1 / (kept * kept) / c.average[s.field]
		v := s.boost * idf * norm * idf * tf * bm25K1 / (tf + bm25K1*(1-bm25B+bm25B*length))
		if n := len(out); n > 0 && out[n-1].Term == s.term { // ss has the fields of a term together
			out[n-1].Value += v
		} else {
			out = append(out, Contribution{s.term, v})
		}
	}
	share := d.weight() * matched / float64(len(ss))
	for i := range out {
		out[i].Value = rounded(out[i].Value * share)
	}
	slices.SortFunc(out, func(a, b Contribution) int {
		return cmp.Or(cmp.Compare(b.Value, a.Value), cmp.Compare(a.Term, b.Term))
	})
	return out
}

func inWords(cs []Contribution) []string {
	out := make([]string, len(cs))
	for i, c := range cs {
		out[i] = fmt.Sprintf("%s %.3f", c.Term, c.Value)
	}
	return out
}

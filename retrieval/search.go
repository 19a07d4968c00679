package retrieval

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"

	"github.com/blevesearch/bleve/v2"
	"github.com/blevesearch/bleve/v2/search"
	"github.com/blevesearch/bleve/v2/search/query"
)

// Hit is one article found.
type Hit struct {
	ID, Kind, Title, System string
	// Score is only good for comparing hits of one search; Share is its part
	// of the total of all candidates.
	Score, Share float64
	// Cover is the share of the distinct terms asked for that this article has.
	Cover float64
	// Why lists the terms that matched with what each contributed.
	Why []string
	// Snippet is a piece of the article's text and Marks the byte ranges in it
	// that matched; only Search fills them.
	Snippet string
	Marks   [][2]int
}

// Weights of the fields, of a slip against the exact word, and of the unfinished
// last word. Basis: memory; testdata/search holds the result.
const (
	weightTitle  = 2.0
	weightSaid   = 1.5
	weightBody   = 0.5
	weightSlip   = 0.4
	weightPrefix = 0.6
	slipFrom     = 5  // letters
	termsAtMost  = 64 // of a query
	candidates   = 50
)

var fieldWeights = []struct {
	name   string
	weight float64
}{{"title", weightTitle}, {"said", weightSaid}, {"body", weightBody}}

// Match returns articles for the words, best first, ties by id. Kinds limits
// them; none means all.
func (x *Index) Match(words string, limit int, kinds ...string) ([]Hit, error) {
	hits, err := x.run(x.query(words, false), limit, kinds)
	asked := x.distinct(words)
	for i := range hits {
		hits[i].Cover = min(1, float64(len(hits[i].Why))/float64(max(asked, 1)))
	}
	return hits, err
}

// Search is Match for people: the last word may be unfinished, and each hit
// has a snippet with what matched.
func (x *Index) Search(words string, limit int) ([]Hit, error) {
	hits, err := x.run(x.query(words, true), limit, nil)
	for i := range hits {
		hits[i].Snippet, hits[i].Marks = x.snippet(hits[i].ID, words)
	}
	return hits, err
}

// Related returns the articles nearest to one, by its title and the first of
// its other words.
func (x *Index) Related(id string, limit int) ([]Hit, error) {
	d := x.docs[id]
	if d == nil {
		return nil, fmt.Errorf("retrieval: no article %q", id)
	}
	hits, err := x.run(x.query(d.title+" "+d.said, false), limit+1, nil)
	hits = slices.DeleteFunc(hits, func(h Hit) bool { return h.ID == id })
	return hits[:min(limit, len(hits))], err
}

// distinct counts the different terms of a query.
func (x *Index) distinct(words string) int {
	seen := map[string]bool{}
	for _, t := range x.analyzer.terms(strings.ToValidUTF8(words, " ")) {
		seen[t.text] = true
	}
	return len(seen)
}

// query builds the disjunction over all terms and fields; nil when nothing is
// left to look for.
func (x *Index) query(words string, unfinished bool) query.Query {
	if len(words) > 16<<10 {
		words = words[:16<<10]
	}
	ts := x.analyzer.terms(strings.ToValidUTF8(words, " "))
	seen := map[string]bool{}
	var parts []query.Query
	for i, t := range ts {
		if seen[t.text] || len(seen) == termsAtMost {
			continue
		}
		seen[t.text] = true
		last := unfinished && i == len(ts)-1 && t.end == len(strings.TrimRight(words, " "))
		for _, f := range fieldWeights {
			switch {
			case x.known[t.text]:
				q := bleve.NewTermQuery(t.text)
				q.SetField(f.name)
				q.SetBoost(f.weight)
				parts = append(parts, q)
			case utf8.RuneCountInString(t.text) >= slipFrom:
				q := bleve.NewFuzzyQuery(t.text)
				q.SetFuzziness(1)
				q.SetField(f.name)
				q.SetBoost(f.weight * weightSlip)
				parts = append(parts, q)
			}
			if last && len(t.text) >= 2 {
				q := bleve.NewPrefixQuery(t.text)
				q.SetField(f.name)
				q.SetBoost(f.weight * weightPrefix)
				parts = append(parts, q)
			}
		}
	}
	if len(parts) == 0 {
		return nil
	}
	return bleve.NewDisjunctionQuery(parts...)
}

func (x *Index) run(q query.Query, limit int, kinds []string) ([]Hit, error) {
	if q == nil || limit < 1 {
		return nil, nil
	}
	if len(kinds) > 0 {
		var of []query.Query
		for _, k := range kinds {
			t := bleve.NewTermQuery(k)
			t.SetField("kind")
			t.SetBoost(0)
			of = append(of, t)
		}
		q = bleve.NewConjunctionQuery(q, bleve.NewDisjunctionQuery(of...))
	}
	req := bleve.NewSearchRequestOptions(q, max(limit, candidates), 0, true)
	req.SortBy([]string{"-_score", "_id"})
	res, err := x.bleve.Search(req)
	if err != nil {
		return nil, fmt.Errorf("retrieval: %w", err)
	}
	total := 0.0
	for _, h := range res.Hits {
		total += h.Score
	}
	var out []Hit
	for _, h := range res.Hits[:min(limit, len(res.Hits))] {
		d := x.docs[h.ID]
		if d == nil || total == 0 {
			continue
		}
		out = append(out, Hit{ID: h.ID, Kind: string(d.head.Kind), Title: d.head.Title, System: d.head.System,
			Score: h.Score, Share: h.Score / total, Why: why(h.Expl)})
	}
	return out, nil
}

// why reads the contributions of terms out of the library's explanation.
func why(e *search.Explanation) []string {
	sums := map[string]float64{}
	var walk func(*search.Explanation)
	walk = func(e *search.Explanation) {
		if e == nil {
			return
		}
		if f, ok := strings.CutPrefix(e.Message, "weight("); ok {
			if field, rest, ok := strings.Cut(f, ":"); ok && field != "kind" {
				name, _, _ := strings.Cut(rest, "^")
				name, _, _ = strings.Cut(name, " ")
				sums[strings.TrimRight(name, ")")] += e.Value
				return
			}
		}
		for _, c := range e.Children {
			walk(c)
		}
	}
	walk(e)
	names := make([]string, 0, len(sums))
	for n := range sums {
		names = append(names, n)
	}
	slices.SortFunc(names, func(a, b string) int {
		if c := cmp.Compare(sums[b], sums[a]); c != 0 {
			return c
		}
		return cmp.Compare(a, b)
	})
	out := make([]string, len(names))
	for i, n := range names {
		out[i] = fmt.Sprintf("%s %.3f", n, sums[n])
	}
	return out
}

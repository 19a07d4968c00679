package retrieval

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"github.com/blevesearch/bleve/v2"
	"github.com/blevesearch/bleve/v2/search/query"
)

// Hit is one article found.
type Hit struct {
	ID, Kind, Title, System string
	// Score is only good for comparing hits of one search; Share is its part
	// of the total of all candidates.
	Score, Share float64
	// Cover is the share of the distinct terms asked for that this article has;
	// a term met only as a guess at a slip counts as its weight.
	Cover float64
	// Terms lists the terms that matched with what each contributed, greatest
	// first; they add up to Score. Why is the same in words.
	Terms []Contribution
	Why   []string
	// Snippet is a piece of the article's text and Marks the byte ranges in it
	// that matched; only Search fills them.
	Snippet string
	Marks   [][2]int
}

// candidates is how many hits Share is a share of, at least.
const candidates = 50

// Match returns articles for the words, best first, ties by id. Kinds limits
// them; none means all.
func (x *Index) Match(words string, limit int, kinds ...string) ([]Hit, error) {
	ask := x.ask(words, false)
	hits, err := x.run(ask.query(), limit, kinds)
	for i := range hits {
		hits[i].Cover = ask.cover(hits[i].Terms)
	}
	return hits, err
}

// Search is Match for people: the last word may be unfinished, and each hit
// has a snippet with what matched.
func (x *Index) Search(words string, limit int) ([]Hit, error) {
	ask := x.ask(words, true)
	hits, err := x.run(ask.query(), limit, nil)
	for i := range hits {
		hits[i].Cover = ask.cover(hits[i].Terms)
		hits[i].Snippet, hits[i].Marks = x.snippet(hits[i].ID, ask)
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
	hits, err := x.run(x.ask(d.title+" "+d.said, false).query(), limit+1, nil)
	hits = slices.DeleteFunc(hits, func(h Hit) bool { return h.ID == id })
	return hits[:min(limit, len(hits))], err
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
	// Hits of pages that nobody wrote step back, so order again; by rounded
	// scores, because the library sums in no fixed order.
	var out []Hit
	total := 0.0
	for _, h := range res.Hits {
		d := x.docs[h.ID]
		if d == nil {
			continue
		}
		hit := Hit{ID: h.ID, Kind: string(d.head.Kind), Title: d.head.Title, System: d.head.System,
			Score: h.Score, Terms: contributions(h.Expl)}
		if d.head.Derived {
			hit.Score *= weightDerived
			for i := range hit.Terms {
				hit.Terms[i].Value = rounded(hit.Terms[i].Value * weightDerived)
			}
		}
		hit.Score = rounded(hit.Score)
		total += hit.Score
		out = append(out, hit)
	}
	slices.SortFunc(out, func(a, b Hit) int {
		return cmp.Or(cmp.Compare(b.Score, a.Score), cmp.Compare(a.ID, b.ID))
	})
	out = out[:min(limit, len(out))]
	for i := range out {
		out[i].Why = inWords(out[i].Terms)
		if total > 0 {
			out[i].Share = rounded(out[i].Score / total)
		}
	}
	return out, nil
}

// rounded drops what lies below 1e-10 of a value, so that sums of the same
// numbers in another order come out the same.
func rounded(v float64) float64 {
	if v == 0 || math.IsInf(v, 0) || math.IsNaN(v) {
		return v
	}
	unit := math.Pow(10, math.Floor(math.Log10(math.Abs(v)))-10)
	return math.Round(v/unit) * unit
}

package retrieval

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"

	"github.com/blevesearch/bleve/v2"
	"github.com/blevesearch/bleve/v2/mapping"
	"github.com/blevesearch/bleve/v2/search"
	"github.com/blevesearch/bleve/v2/search/query"
	"github.com/blevesearch/bleve/v2/search/searcher"
	index "github.com/blevesearch/bleve_index_api"
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
	return x.run(x.ask(words, false), limit, kinds)
}

// Search is Match for people: the last word may be unfinished, and each hit
// has a snippet with what matched.
func (x *Index) Search(words string, limit int) ([]Hit, error) {
	ask := x.ask(words, true)
	hits, err := x.run(ask, limit, nil)
	for i := range hits {
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
	hits, err := x.run(x.ask(d.title+" "+d.said, false), limit+1, nil)
	hits = slices.DeleteFunc(hits, func(h Hit) bool { return h.ID == id })
	return hits[:min(limit, len(hits))], err
}

func (x *Index) run(ask asked, limit int, kinds []string) ([]Hit, error) {
	ss := x.sought(ask)
	if len(ss) == 0 || limit < 1 {
		return nil, nil
	}
	q := sifted{disjunction(ss), func(_ *search.SearchContext, m *search.DocumentMatch) bool {
		d := x.document(m)
		if d == nil || len(kinds) > 0 && !slices.Contains(kinds, string(d.head.Kind)) {
			return false
		}
		m.Score *= d.weight() * (1 - tie*float64(d.place))
		return true
	}}
	res, err := x.bleve.Search(bleve.NewSearchRequestOptions(q, max(limit, candidates), 0, false))
	if err != nil {
		return nil, fmt.Errorf("retrieval: %w", err)
	}
	// Order again by rounded scores, because the library sums in no fixed order.
	var out []Hit
	total := 0.0
	for _, h := range res.Hits {
		d := x.docs[h.ID]
		if d == nil {
			continue
		}
		hit := Hit{ID: h.ID, Kind: string(d.head.Kind), Title: d.head.Title, System: d.head.System,
			Score: rounded(h.Score / (1 - tie*float64(d.place)))}
		total += hit.Score
		out = append(out, hit)
	}
	slices.SortFunc(out, func(a, b Hit) int {
		return cmp.Or(cmp.Compare(b.Score, a.Score), cmp.Compare(a.ID, b.ID))
	})
	out = out[:min(limit, len(out))]
	norm := x.counts.norm(ss)
	for i := range out {
		h := &out[i]
		h.Terms = x.counts.contributions(x.docs[h.ID], ss, norm)
		h.Why = inWords(h.Terms)
		h.Cover = ask.cover(h.Terms)
		if total > 0 {
			h.Share = rounded(h.Score / total)
		}
	}
	return out, nil
}

// sifted is a query whose matches pass through sift, which drops some and may
// change the score of others before the best are taken.
type sifted struct {
	query.Query
	sift searcher.FilterFunc
}

func (q sifted) Searcher(ctx context.Context, r index.IndexReader, m mapping.IndexMapping, o search.SearcherOptions) (search.Searcher, error) {
	s, err := q.Query.Searcher(ctx, r, m, o)
	if err != nil {
		return nil, err
	}
	return searcher.NewFilteringSearcher(ctx, s, q.sift), nil
}

// tie is by how much of its score an article comes behind an equal one before
// it in the order of ids: more than the noise of a sum, less than a difference
// that rounded lets stand.
const tie = 1e-14

// document is the one that the library matched.
func (x *Index) document(m *search.DocumentMatch) *document {
	if n := m.IndexInternalID.Value(); n < uint64(len(x.numbered)) {
		return x.numbered[n]
	}
	return nil
}

// weight is what the score of a page is worth.
func (d *document) weight() float64 {
	if d.head.Derived {
		return weightDerived
	}
	return 1
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

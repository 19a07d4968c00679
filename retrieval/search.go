package retrieval

import (
	"cmp"
	"fmt"
	"math"
	"slices"
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
	return x.run(x.askAgain(words), limit, kinds)
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

// askAgain is ask, kept for the next time: a turn looks for the same words among
// articles of one kind, then of another.
func (x *Index) askAgain(words string) asked {
	if last := x.lastAsked.Load(); last != nil && last.words == words {
		return last.asked
	}
	a := x.ask(words, false)
	if len(words) <= bytesAtMost {
		x.lastAsked.Store(&askedBefore{words, a})
	}
	return a
}

type askedBefore struct {
	words string
	asked asked
}

func (x *Index) run(ask asked, limit int, kinds []string) ([]Hit, error) {
	ss := x.sought(ask)
	if len(ss) == 0 || limit < 1 {
		return nil, nil
	}
	t := x.tallies.Get().(*tally)
	defer x.tallies.Put(t)
	if err := t.take(x, ss); err != nil {
		return nil, fmt.Errorf("retrieval: %w", err)
	}
	best := t.best(x, max(limit, candidates), kinds)
	out := make([]Hit, 0, len(best))
	total := 0.0
	for _, r := range best {
		d := x.numbered[r.doc]
		h := Hit{ID: d.head.ID, Kind: string(d.head.Kind), Title: d.head.Title, System: d.head.System, Score: rounded(r.score)}
		total += h.Score
		out = append(out, h)
	}
	slices.SortFunc(out, func(a, b Hit) int {
		return cmp.Or(cmp.Compare(b.Score, a.Score), cmp.Compare(a.ID, b.ID))
	})
	out = slices.Clip(out[:min(limit, len(out))])
	for i := range out {
		h := &out[i]
		h.Terms = t.contributions(x.docs[h.ID])
		h.Why = inWords(h.Terms)
		h.Cover = ask.cover(h.Terms)
		if total > 0 {
			h.Share = rounded(h.Score / total)
		}
	}
	return out, nil
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

package retrieval

import (
	"cmp"
	"context"
	"math"
	"slices"

	index "github.com/blevesearch/bleve_index_api"
)

// tally is the memory in which one search is ranked. The library's own search
// walks the documents one by one with a heap of all terms; here the terms are
// walked one by one and added up by document, which is several times faster
// for so small a collection and sums in a fixed order. The scores are the
// library's, see counts.
type tally struct {
	// By document: the sum so far, and how many of the sought it has.
	score   []float64
	matched []int
	met     []int // the documents with any, in the order they were met
	// ss are the sought, lists their documents, by what they are worth here.
	ss    []sought
	lists [][]match
	worth []float64
}

// match is a document with what a term in one of its fields scores there.
type match struct {
	doc   int
	score float64
}

// ranked is a document with its score.
type ranked struct {
	doc        int
	score, key float64
}

// take scores all documents for what is sought.
func (t *tally) take(x *Index, ss []sought) error {
	if len(t.score) < len(x.numbered) {
		t.score, t.matched = make([]float64, len(x.numbered)), make([]int, len(x.numbered))
	}
	for _, d := range t.met {
		t.score[d], t.matched[d] = 0, 0
	}
	t.met, t.lists, t.worth, t.ss = t.met[:0], t.lists[:0], t.worth[:0], ss
	norm := x.counts.norm(ss)
	for _, s := range ss {
		list, err := x.list(s)
		if err != nil {
			return err
		}
		worth := s.boost * x.counts.idf(s) * norm
		for _, m := range list {
			if t.matched[m.doc] == 0 {
				t.met = append(t.met, m.doc)
			}
			t.score[m.doc] += float64(worth * m.score)
			t.matched[m.doc]++
		}
		t.lists, t.worth = append(t.lists, list), append(t.worth, worth)
	}
	return nil
}

// list returns the documents that have a term in a field, by number, with its
// score there. It is read from the library once and kept: the index does not
// change.
func (x *Index) list(s sought) ([]match, error) {
	s.boost = 0
	if l, ok := x.lists.Load(s); ok {
		return l.([]match), nil
	}
	r, err := x.reader.TermFieldReader(context.Background(), []byte(s.term), fieldWeights[s.field].name, true, true, false)
	if err != nil {
		return nil, err
	}
	defer r.Close()
	idf := x.counts.idf(s)
	out := make([]match, 0, r.Count())
	var doc index.TermFieldDoc
	for {
		p, err := r.Next(&doc)
		if err != nil {
			return nil, err
		}
		if p == nil {
			x.lists.Store(s, out)
			return out, nil
		}
		out = append(out, match{int(p.ID.Value()), x.counts.inField(s.field, idf, float64(p.Freq), p.Norm)})
		doc.Reset()
	}
}

// tie is by how much of its score an article comes behind an equal one before
// it in the order of ids: more than the noise of a sum, less than a difference
// that rounded lets stand.
const tie = 1e-14

// best returns the n documents of greatest score among those of the kinds (none
// means all), best first; of scores that differ by nothing but the rounding of
// sums the first in the order of ids.
func (t *tally) best(x *Index, n int, kinds []string) []ranked {
	out := make([]ranked, 0, min(n, len(t.met))+1)
	for _, number := range t.met {
		d := x.numbered[number]
		if d == nil || len(kinds) > 0 && !slices.Contains(kinds, string(d.head.Kind)) {
			continue
		}
		score := t.score[number] * t.share(d)
		r := ranked{number, score, score * (1 - tie*float64(d.place))}
		if len(out) == n && r.key <= out[n-1].key {
			continue
		}
		at, _ := slices.BinarySearchFunc(out, r, func(a, b ranked) int { return cmp.Compare(b.key, a.key) })
		out = slices.Insert(out, at, r)
		out = out[:min(n, len(out))]
	}
	return out
}

// share is what the score of a document is multiplied by.
func (t *tally) share(d *document) float64 {
	return d.weight() * float64(t.matched[d.number]) / float64(len(t.ss))
}

// contributions is what each term adds to a document's score, greatest first.
func (t *tally) contributions(d *document) []Contribution {
	var out []Contribution
	for i, s := range t.ss {
		list := t.lists[i]
		at, ok := slices.BinarySearchFunc(list, d.number, func(m match, doc int) int { return m.doc - doc })
		if !ok {
			continue
		}
		if n := len(out); n > 0 && out[n-1].Term == s.term { // ss has the fields of a term together
			out[n-1].Value += float64(t.worth[i] * list[at].score)
		} else {
			out = append(out, Contribution{s.term, t.worth[i] * list[at].score})
		}
	}
	share := t.share(d)
	for i := range out {
		out[i].Value = rounded(out[i].Value * share)
	}
	slices.SortFunc(out, func(a, b Contribution) int {
		return cmp.Or(cmp.Compare(b.Value, a.Value), cmp.Compare(a.Term, b.Term))
	})
	return out
}

// inField is the library's BM25 of a term in one field of a document:
//
//	idf · √f · k1 / (√f + k1·(1 − b + b·length/average))
//
// kept is 1/√length as the library keeps it, in single precision. A score is
// the sum of boost · idf · norm · inField over all terms and fields that match,
// times the share of all sought that match (matched/sought).
func (c *counts) inField(field int, idf, freq, kept float64) float64 {
	tf := math.Sqrt(freq)
	length := 1 / (kept * kept) / c.average[field]
	return idf * tf * bm25K1 / (tf + bm25K1*(1-bm25B+bm25B*length))
}

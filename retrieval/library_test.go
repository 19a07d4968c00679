package retrieval

import (
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/blevesearch/bleve/v2"
	"github.com/blevesearch/bleve/v2/search/query"

	"ruleout/kb"
)

// inField is the library's BM25 of one term in one field, written from its
// source: idf is log(1 + (N-n+½)/(n+½)); the frequency goes in as its root; the
// factor is k1, not k1 + 1; the average length is the number of distinct terms
// of the field over the documents, rounded up. A length is exact to 1e-7, being
// kept as 1/√length in single precision.
func inField(fields [][]string, term string) (idf float64, scores []float64) {
	n := 0.0
	distinct := map[string]bool{}
	for _, ts := range fields {
		if slices.Contains(ts, term) {
			n++
		}
		for _, t := range ts {
			distinct[t] = true
		}
	}
	docs := float64(len(fields))
	idf = math.Log(1 + (docs-n+0.5)/(n+0.5))
	average := math.Ceil(float64(len(distinct)) / docs)
	scores = make([]float64, len(fields))
	for i, ts := range fields {
		f := 0.0
		for _, t := range ts {
			if t == term {
				f++
			}
		}
		tf := math.Sqrt(f)
		scores[i] = idf * tf * k1 / (tf + k1*(1-b+b*float64(len(ts))/average))
	}
	return idf, scores
}

// together is the library's disjunction: each part is weighed by boost·idf over
// the length of the vector of these weights, and the sum by the share of the
// parts that match.
func together(fields [fieldsOf][][]string, ss []sought) []float64 {
	var idfs []float64
	var parts [][]float64
	sum := 0.0
	for _, s := range ss {
		idf, scores := inField(fields[s.field], s.term)
		idfs, parts = append(idfs, idf), append(parts, scores)
		sum += s.boost * s.boost * idf * idf
	}
	out := make([]float64, len(fields[0]))
	for i := range out {
		matched := 0.0
		for k, s := range ss {
			if parts[k][i] > 0 {
				matched++
				out[i] += parts[k][i] * s.boost * idfs[k] / math.Sqrt(sum)
			}
		}
		out[i] *= matched / float64(len(ss))
	}
	return out
}

// disjunction is the library's query for what is sought.
func disjunction(ss []sought) query.Query {
	parts := make([]query.Query, len(ss))
	for i, s := range ss {
		q := bleve.NewTermQuery(s.term)
		q.SetField(fieldWeights[s.field].name)
		q.SetBoost(s.boost)
		parts[i] = q
	}
	return bleve.NewDisjunctionQuery(parts...)
}

// asLibrary fails when the library's scores for a query are not the wanted
// ones, document by document.
func asLibrary(t *testing.T, x *Index, docs []document, q query.Query, want []float64) int {
	t.Helper()
	res, err := x.bleve.Search(bleve.NewSearchRequestOptions(q, len(docs), 0, false))
	if err != nil {
		t.Fatal(err)
	}
	got := map[string]float64{}
	for _, h := range res.Hits {
		got[h.ID] = h.Score
	}
	for i := range docs {
		near(t, docs[i].head.ID, got[docs[i].head.ID], want[i], 1e-6*want[i])
	}
	return len(got)
}

// asTally fails when what a search is ranked by is not what is wanted.
func asTally(t *testing.T, x *Index, ss []sought, want []float64) {
	t.Helper()
	var y tally
	for range 2 { // the second finds the memory of the first
		if err := y.take(x, ss); err != nil {
			t.Fatal(err)
		}
		for n, d := range x.numbered {
			got := 0.0
			if y.matched[n] > 0 {
				got = y.score[n] * y.share(d) / d.weight()
			}
			near(t, d.head.ID, got, want[d.place], 1e-6*want[d.place])
		}
	}
}

// fieldsIn are the terms of each field of each document.
func fieldsIn(x *Index, docs []document) (out [fieldsOf][][]string) {
	for i := range docs {
		for f, text := range docs[i].texts() {
			out[f] = append(out[f], strings.Fields(joined(x.analyzer.terms(text))))
		}
	}
	return out
}

func TestLibraryScoresMini(t *testing.T) {
	var docs []document
	for i, d := range mini {
		docs = append(docs, document{head: kb.Head{ID: string(rune('a' + i))}, body: strings.Join(d, " ")})
	}
	x, err := build(newAnalyzer(&kb.Base{}), docs, "")
	if err != nil {
		t.Fatal(err)
	}
	defer x.Close()
	fields := fieldsIn(x, docs)
	const body = 2
	for _, words := range []string{"fan", "relay", "battery", "not", "fan relay", "engine crank", "fan not running battery fuse"} {
		ss := x.sought(x.ask(words, false))
		if len(ss) != len(strings.Fields(words)) {
			t.Fatalf("%q looks for %v", words, ss)
		}
		if n := asLibrary(t, x, docs, disjunction(ss), together(fields, ss)); n < 2 {
			t.Errorf("%q finds %d", words, n)
		}
		// A term alone is not weighed.
		q := bleve.NewTermQuery(ss[0].term)
		q.SetField("body")
		_, want := inField(fields[body], ss[0].term)
		asLibrary(t, x, docs, q, want)
	}
}

// On all articles and queries, and how far that is from the textbook on the
// same terms with the fields run together.
func TestLibraryScoresArticles(t *testing.T) {
	x := mustOpen(t)
	docs := documents(embedded(t))
	fields := fieldsIn(x, docs)
	whole := make([][]string, len(docs))
	for i := range docs {
		whole[i] = slices.Concat(fields[0][i], fields[1][i], fields[2][i])
	}
	compared, same, asked := 0, 0, 0
	tau := 0.0
	for i, q := range queries(t) {
		if i%4 != 0 {
			continue // for time
		}
		ss := x.sought(x.ask(q.words, false))
		want := together(fields, ss)
		compared += asLibrary(t, x, docs, disjunction(ss), want)
		asTally(t, x, ss, want)
		if t.Failed() {
			t.Fatalf("%q", q.words)
		}
		var terms []string
		for _, s := range ss {
			if !slices.Contains(terms, s.term) {
				terms = append(terms, s.term)
			}
		}
		book := textbook(whole, terms, idfPlusOne)
		asked++
		if most(want) == most(book) {
			same++
		}
		tau += kendall(want, book)
	}
	t.Logf("%d scores compared; textbook BM25 has the same first article in %d of %d queries, mean Kendall tau %.3f", compared, same, asked, tau/float64(asked))
	if compared < 1000 {
		t.Errorf("only %d scores compared", compared)
	}
}

// most is the place of the greatest value, the first of equals.
func most(v []float64) int { return slices.Index(v, slices.Max(v)) }

// kendall is Kendall's tau (a) of two rankings over what both score.
func kendall(x, y []float64) float64 {
	var both []int
	for i := range x {
		if x[i] > 0 && y[i] > 0 {
			both = append(both, i)
		}
	}
	agree, pairs := 0, 0
	for n, i := range both {
		for _, j := range both[:n] {
			pairs++
			switch d := (x[i] - x[j]) * (y[i] - y[j]); {
			case d > 0:
				agree++
			case d < 0:
				agree--
			}
		}
	}
	if pairs == 0 {
		return 1
	}
	return float64(agree) / float64(pairs)
}

package retrieval

import (
	"database/sql"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	_ "modernc.org/sqlite"
)

// idf forms of Robertson and Zaragoza (2009).
func idfRSJ(docs, with float64) float64     { return math.Log((docs - with + 0.5) / (with + 0.5)) }
func idfPlusOne(docs, with float64) float64 { return math.Log1p((docs - with + 0.5) / (with + 0.5)) }

// idfFTS5 is RSJ with the small floor that SQLite's FTS5 has.
func idfFTS5(docs, with float64) float64 {
	if v := idfRSJ(docs, with); v > 0 {
		return v
	}
	return 1e-6
}

const k1, b = 1.2, 0.75

// saturation is f·(k1+1)/(f + k1·(1 − b + b·dl/avgdl)); ratio is dl/avgdl.
func saturation(f, ratio float64) float64 { return f * (k1 + 1) / (f + k1*(1-b+b*ratio)) }

// textbook scores each document, a list of terms, for distinct query terms by
// BM25 with the factor (k1 + 1).
func textbook(docs [][]string, query []string, idf func(docs, with float64) float64) []float64 {
	total := 0
	for _, d := range docs {
		total += len(d)
	}
	avg := float64(total) / float64(len(docs))
	out := make([]float64, len(docs))
	for _, q := range query {
		with := 0
		for _, d := range docs {
			if slices.Contains(d, q) {
				with++
			}
		}
		for i, d := range docs {
			f := 0
			for _, t := range d {
				if t == q {
					f++
				}
			}
			if f > 0 {
				out[i] += idf(float64(len(docs)), float64(with)) * saturation(float64(f), float64(len(d))/avg)
			}
		}
	}
	return out
}

var mini = split(
	"engine cranks but will not start fuel pump silent",
	"engine will not crank clicking relay weak battery",
	"headlamp dim bad ground at body",
	"coolant boils over after long climb fan not running",
	"fan relay clicks but fan not running fuse intact",
	"battery flat overnight parasitic draw")

func split(docs ...string) [][]string {
	out := make([][]string, len(docs))
	for i, d := range docs {
		out[i] = strings.Fields(d)
	}
	return out
}

// Croft, Metzler and Strohman, Search Engines, sec. 7.2.2: N = 500 000, terms in
// 40 000 and 300 documents, k2 = 100 with each term once in the query (factor
// 1), dl/avgdl = 0.9, RSJ idf. The book prints 20.66 from rounded factors; the
// formula gives 20.6252. The other counts are its table 7.2, likewise.
func TestTextbookPublished(t *testing.T) {
	for _, c := range []struct{ f1, f2, want float64 }{{15, 25, 20.6252}, {15, 1, 12.7356}, {15, 0, 5.0029}, {1, 25, 18.1688}, {0, 25, 15.6223}} {
		got := idfRSJ(500000, 40000)*saturation(c.f1, 0.9) + idfRSJ(500000, 300)*saturation(c.f2, 0.9)
		near(t, fmt.Sprintf("f = (%v, %v)", c.f1, c.f2), got, c.want, 1e-4)
	}
}

// The values of the mini collection: RSJ from SQLite FTS5 (two builds), plus-one
// from the npm packages okapibm25 and wink-bm25-text-search.
func TestTextbookMini(t *testing.T) {
	for _, c := range []struct {
		query   string
		rsj, po map[int]float64
	}{
		{"fan", map[int]float64{5: 0.770518270571, 4: 0.548745484208}, map[int]float64{5: 1.349708355, 4: 0.961231412}},
		{"relay", map[int]float64{2: 0.577514664933, 5: 0.548745484208}, map[int]float64{2: 1.011626068, 5: 0.961231412}},
		{"battery", map[int]float64{6: 0.685299660001, 2: 0.577514664933}, map[int]float64{6: 1.200431855, 2: 1.011626068}},
		{"fan relay", map[int]float64{5: 1.319263754779, 2: 0.577514664933, 4: 0.548745484208}, map[int]float64{5: 2.310939767, 2: 1.011626068, 4: 0.961231412}},
		{"engine crank", map[int]float64{2: 1.854091732836, 1: 0.548745484208}, map[int]float64{2: 2.525150710, 1: 0.961231412}},
		{"not", map[int]float64{2: 9.82524e-7, 1: 9.33579e-7, 4: 9.33579e-7, 5: 9.33579e-7}, map[int]float64{2: 0.434111403, 1: 0.412485927, 4: 0.412485927, 5: 0.412485927}},
	} {
		q := strings.Fields(c.query)
		rsj, po := textbook(mini, q, idfFTS5), textbook(mini, q, idfPlusOne)
		for i := range mini {
			near(t, fmt.Sprintf("%q RSJ doc %d", c.query, i+1), rsj[i], c.rsj[i+1], 1e-9)
			near(t, fmt.Sprintf("%q plus-one doc %d", c.query, i+1), po[i], c.po[i+1], 1e-9)
		}
	}
}

// termLists are the articles as the index sees them, fields together, with
// their ids, and the terms of the query list.
func termLists(t testing.TB, x *Index) (ids []string, docs [][]string, asked [][]string) {
	t.Helper()
	all := documents(embedded(t))
	for i := range all {
		var ts []string
		for _, w := range x.analyzer.terms(all[i].title + "\n" + all[i].said + "\n" + all[i].body) {
			ts = append(ts, w.text)
		}
		ids, docs = append(ids, all[i].head.ID), append(docs, ts)
	}
	for _, q := range queries(t) {
		var ts []string
		for _, w := range x.ask(q.words, false).wants {
			ts = append(ts, w.term)
		}
		asked = append(asked, ts)
	}
	return ids, docs, asked
}

// TestTextbookAgainstFTS5 compares all articles and all queries on the same
// tokens, each written as one word of letters and digits so that FTS5 splits
// just where we do.
func TestTextbookAgainstFTS5(t *testing.T) {
	_, docs, asked := termLists(t, mustOpen(t))
	db, err := sql.Open("sqlite", ":memory:")
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	db.SetMaxOpenConns(1)
	exec := func(q string, args ...any) {
		t.Helper()
		if _, err := db.Exec(q, args...); err != nil {
			t.Fatal(err)
		}
	}
	code := newCodes()
	exec("create virtual table d using fts5(t)")
	exec("begin")
	for i, d := range docs {
		exec("insert into d(rowid, t) values (?, ?)", i+1, code.text(d))
	}
	exec("commit")
	compared := 0
	for _, q := range asked {
		got := make([]float64, len(docs))
		rows, err := db.Query("select rowid, bm25(d) from d where d match ?", strings.ReplaceAll(code.text(q), " ", " OR "))
		if err != nil {
			t.Fatal(err)
		}
		for rows.Next() {
			var id int
			var s float64
			if err := rows.Scan(&id, &s); err != nil {
				t.Fatal(err)
			}
			got[id-1] = -s
			compared++
		}
		if err := rows.Err(); err != nil {
			t.Fatal(err)
		}
		for i, want := range textbook(docs, q, idfFTS5) {
			if math.Abs(got[i]-want) > 1e-9*max(1, want) {
				t.Fatalf("%q document %d: FTS5 %.12g, textbook %.12g", q, i+1, got[i], want)
			}
		}
	}
	if compared < 1000 {
		t.Errorf("only %d scores compared", compared)
	}
}

// codes gives each term a word of fixed length, so that no other program's
// rules of splitting, and no word within a word, come into play.
type codes map[string]string

func newCodes() codes { return codes{} }

func (c codes) text(ts []string) string {
	out := make([]string, len(ts))
	for i, t := range ts {
		if c[t] == "" {
			c[t] = fmt.Sprintf("t%06d", len(c))
		}
		out[i] = c[t]
	}
	return strings.Join(out, " ")
}

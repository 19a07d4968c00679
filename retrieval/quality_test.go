package retrieval

import (
	"flag"
	"fmt"
	"os"
	"strconv"
	"strings"
	"testing"
)

var update = flag.Bool("update", false, "write testdata/search/rank_stats.txt anew")

const searchData = "../testdata/search/"

// judged is a query with the articles it should find.
type judged struct {
	words  string
	wanted []string
}

func queries(t testing.TB) []judged {
	t.Helper()
	text, err := os.ReadFile(searchData + "queries.txt")
	if err != nil {
		t.Fatal(err)
	}
	var out []judged
	for i, line := range strings.Split(string(text), "\n") {
		if line = strings.TrimSpace(line); line == "" || line[0] == '#' {
			continue
		}
		words, ids, ok := strings.Cut(line, "|")
		if !ok || len(strings.Fields(ids)) == 0 {
			t.Fatalf("queries.txt:%d: want \"words | id ...\"", i+1)
		}
		for _, id := range strings.Fields(ids) {
			if _, ok := embedded(t).Head(id); !ok {
				t.Errorf("queries.txt:%d: there is no article %q", i+1, id)
			}
		}
		out = append(out, judged{strings.TrimSpace(words), strings.Fields(ids)})
	}
	return out
}

// TestSearchQuality keeps the measures of the query list from going down.
// Success@k: any wanted article among the first k. nDCG with gain 1, discount
// log2(rank + 1), against the ideal of all wanted.
func TestSearchQuality(t *testing.T) {
	x := mustOpen(t)
	qs := queries(t)
	if len(qs) < 80 {
		t.Fatalf("only %d queries", len(qs))
	}
	names := []string{"success@1", "success@5", "recall@1", "recall@5", "MRR", "nDCG@10"}
	sums := make([]float64, len(names))
	for _, q := range qs {
		hits, err := x.Match(q.words, 10)
		if err != nil {
			t.Fatal(err)
		}
		var ranked []string
		var gains []float64
		for _, h := range hits {
			ranked = append(ranked, h.ID)
			gains = append(gains, recall([]string{h.ID}, q.wanted, 1)*float64(len(q.wanted)))
		}
		all := make([]float64, len(q.wanted))
		for i := range all {
			all[i] = 1
		}
		for i, v := range []float64{success(ranked, q.wanted, 1), success(ranked, q.wanted, 5), recall(ranked, q.wanted, 1), recall(ranked, q.wanted, 5), reciprocal(ranked, q.wanted), ndcg(gains, all, 10)} {
			sums[i] += v
		}
		if success(ranked, q.wanted, 1) == 0 {
			t.Logf("%.2f %q wants %v, has %v", reciprocal(ranked, q.wanted), q.words, q.wanted, ranked[:min(5, len(ranked))])
		}
	}
	var now strings.Builder
	fmt.Fprintf(&now, "queries %d\n", len(qs))
	for i, n := range names {
		fmt.Fprintf(&now, "%s %.4f\n", n, sums[i]/float64(len(qs)))
	}
	t.Log("\n" + now.String())
	if *update {
		if err := os.WriteFile(searchData+"rank_stats.txt", []byte(now.String()), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	kept, err := os.ReadFile(searchData + "rank_stats.txt")
	if err != nil {
		t.Fatal(err)
	}
	old := map[string]float64{}
	for line := range strings.Lines(string(kept)) {
		if f := strings.Fields(line); len(f) == 2 {
			if old[f[0]], err = strconv.ParseFloat(f[1], 64); err != nil {
				t.Fatal(err)
			}
		}
	}
	for i, n := range names {
		was, ok := old[n]
		if now := sums[i] / float64(len(qs)); !ok || now < was-0.00005 {
			t.Errorf("%s went down from %.4f to %.4f", n, was, now)
		}
	}
}

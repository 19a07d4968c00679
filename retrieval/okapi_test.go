package retrieval

import (
	"bytes"
	"encoding/json"
	"os"
	"os/exec"
	"testing"
)

// TestTextbookAgainstOkapi compares with the npm package okapibm25 (plus-one
// idf) on the same tokens: npm install --prefix testdata/search.
func TestTextbookAgainstOkapi(t *testing.T) {
	skip := func(why string) {
		if os.Getenv("CI") != "" {
			t.Fatal(why)
		}
		t.Skip(why)
	}
	node, err := exec.LookPath("node")
	if err != nil {
		skip("node is not installed: scores are not compared with okapibm25")
	}
	if _, err := os.Stat(searchData + "node_modules/okapibm25"); err != nil {
		skip("okapibm25 is not installed: npm install --prefix testdata/search")
	}
	_, docs, asked := termLists(t, mustOpen(t))
	asked = asked[:24] // the package counts every term anew in every document
	code := newCodes()
	in := struct {
		Docs    []string   `json:"docs"`
		Queries [][]string `json:"queries"`
		K1      float64    `json:"k1"`
		B       float64    `json:"b"`
	}{K1: k1, B: b}
	for _, d := range docs {
		in.Docs = append(in.Docs, code.text(d))
	}
	for _, q := range asked {
		var ts []string
		for _, w := range q {
			ts = append(ts, code.text([]string{w}))
		}
		in.Queries = append(in.Queries, ts)
	}
	text, err := json.Marshal(in)
	if err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command(node, "okapi.js")
	cmd.Dir, cmd.Stdin, cmd.Stderr = searchData, bytes.NewReader(text), os.Stderr
	out, err := cmd.Output()
	if err != nil {
		t.Fatal(err)
	}
	var got [][]float64
	if err := json.Unmarshal(out, &got); err != nil {
		t.Fatal(err)
	}
	if len(got) != len(asked) {
		t.Fatalf("%d answers to %d queries", len(got), len(asked))
	}
	for i, q := range asked {
		for j, want := range textbook(docs, q, idfPlusOne) {
			near(t, "score", got[i][j], want, 1e-9*max(1, want))
		}
		if t.Failed() {
			t.Fatalf("query %q", q)
		}
	}
}

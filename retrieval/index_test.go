package retrieval

import (
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"sync"
	"testing"

	"ruleout/kb"
)

// sample is every sixth article, for tests that open many times.
func sample(t *testing.T) []document {
	var out []document
	for i, d := range documents(embedded(t)) {
		if i%6 == 0 {
			out = append(out, d)
		}
	}
	return out
}

func TestFolder(t *testing.T) {
	dir := t.TempDir()
	some := sample(t)
	open := func(note string) []Hit {
		t.Helper()
		x, err := build(newAnalyzer(embedded(t)), slices.Clone(some), dir)
		if err != nil {
			t.Fatal(err)
		}
		defer x.Close()
		if note == "" && x.Note() != "" || !strings.Contains(x.Note(), note) {
			t.Errorf("note %q, want %q", x.Note(), note)
		}
		hits, err := x.Search("radiater fan never comes", 5)
		if err != nil || len(hits) == 0 {
			t.Fatalf("%v %v", hits, err)
		}
		return hits
	}
	first := open("made")
	if again := open(""); !reflect.DeepEqual(first, again) {
		t.Errorf("reopened: %v, before: %v", again, first)
	}
	for _, name := range []string{"index_meta.json", filepath.Join("store", "root.bolt")} {
		if err := os.WriteFile(filepath.Join(dir, "articles.index", name), []byte("damaged"), 0o600); err != nil {
			t.Fatal(err)
		}
		if again := open("made anew: it was damaged"); !reflect.DeepEqual(first, again) {
			t.Errorf("after damage: %v, before: %v", again, first)
		}
	}
	x, err := Open(&kb.Base{}, dir)
	if err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(x.Note(), "the articles have changed") {
		t.Errorf("note %q", x.Note())
	}
	if _, err := Open(embedded(t), dir); err == nil || !strings.Contains(err.Error(), "in use") {
		t.Errorf("a held folder: %v", err)
	}
	if err := x.Close(); err != nil {
		t.Fatal(err)
	}
}

// Twenty loads of every sixth article, and two of all, give the same results
// to the last bit.
func TestDeterministic(t *testing.T) {
	some := sample(t)
	results := func(docs []document) [][]Hit {
		x, err := build(newAnalyzer(embedded(t)), slices.Clone(docs), "")
		if err != nil {
			t.Fatal(err)
		}
		defer x.Close()
		var out [][]Hit
		found := 0
		for _, q := range queries(t)[:10] {
			hits, err := x.Search(q.words, 10)
			if err != nil {
				t.Fatal(err)
			}
			found += len(hits)
			out = append(out, hits)
		}
		if found < 50 {
			t.Fatalf("only %d hits", found)
		}
		return out
	}
	for _, c := range []struct {
		docs  []document
		times int
	}{{some, 20}, {documents(embedded(t)), 2}} {
		first := results(c.docs)
		for range c.times - 1 {
			if !reflect.DeepEqual(first, results(c.docs)) {
				t.Fatal("another load gives other results")
			}
		}
	}
}

func TestHostileQueries(t *testing.T) {
	x := mustOpen(t)
	for _, q := range []string{"", " ", "\x00\xff\xfe", "+", "''", "the the", "*:*", "title:fan^9", strings.Repeat("a", 1<<20), strings.Repeat("zzqqxx fann ", 1<<17), strings.Repeat("\xff", 1<<20), strings.Repeat("é", 1<<19)} {
		for _, f := range []func() ([]Hit, error){
			func() ([]Hit, error) { return x.Match(q, 5) },
			func() ([]Hit, error) { return x.Match(q, 5, "no such kind") },
			func() ([]Hit, error) { return x.Search(q, 5) },
			func() ([]Hit, error) { return x.Search(q, -1) },
		} {
			if _, err := f(); err != nil {
				t.Errorf("%.20q: %v", q, err)
			}
		}
	}
	if _, err := x.Related("no-such", 3); err == nil {
		t.Error("related to nothing")
	}
}

func TestConcurrent(t *testing.T) {
	x := mustOpen(t)
	want, err := x.Search("fan relay", 5)
	if err != nil {
		t.Fatal(err)
	}
	var wg sync.WaitGroup
	for range 8 {
		wg.Go(func() {
			for range 5 {
				if got, err := x.Search("fan relay", 5); err != nil || !reflect.DeepEqual(got, want) {
					t.Errorf("%v %v", got, err)
				}
			}
		})
	}
	wg.Wait()
}

func BenchmarkOpen(b *testing.B) {
	base := embedded(b)
	for b.Loop() {
		x, err := Open(base, "")
		if err != nil {
			b.Fatal(err)
		}
		if err := x.Close(); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkMatch(b *testing.B) {
	x := mustOpen(b)
	for b.Loop() {
		if _, err := x.Match("gets proper hot sat at the lights and the radiater fan never comes on", 5, "symptom"); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkSearch(b *testing.B) {
	x := mustOpen(b)
	for b.Loop() {
		if _, err := x.Search("radiator fan rel", 10); err != nil {
			b.Fatal(err)
		}
	}
}

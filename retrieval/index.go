package retrieval

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"

	"github.com/blevesearch/bleve/v2"
	"github.com/blevesearch/bleve/v2/analysis/analyzer/keyword"
	"github.com/blevesearch/bleve/v2/analysis/tokenizer/whitespace"
	"github.com/blevesearch/bleve/v2/index/scorch"
	"github.com/blevesearch/bleve/v2/mapping"

	_ "github.com/blevesearch/bleve/v2/analysis/analyzer/custom"

	"ruleout/kb"
)

// Index is a full-text index over one knowledge base; it may be used by any
// number of goroutines at once.
type Index struct {
	bleve    bleve.Index
	analyzer *analyzer
	docs     map[string]*document
	// known holds every term of the index, so that only unknown words are
	// taken for slips.
	known map[string]bool
}

const termsAnalyzer = "terms"

// layout maps the fields; text arrives as terms joined by blanks.
func layout() (mapping.IndexMapping, error) {
	m := bleve.NewIndexMapping()
	m.ScoringModel = "bm25"
	if err := m.AddCustomAnalyzer(termsAnalyzer, map[string]any{"type": "custom", "tokenizer": whitespace.Name}); err != nil {
		return nil, err
	}
	m.DefaultAnalyzer = termsAnalyzer
	doc := bleve.NewDocumentStaticMapping()
	for _, name := range []string{"title", "said", "body"} {
		f := bleve.NewTextFieldMapping()
		f.Analyzer, f.Store, f.IncludeInAll = termsAnalyzer, false, false
		doc.AddFieldMappingsAt(name, f)
	}
	kind := bleve.NewTextFieldMapping()
	kind.Analyzer, kind.Store, kind.IncludeInAll = keyword.Name, false, false
	doc.AddFieldMappingsAt("kind", kind)
	m.DefaultMapping = doc
	return m, nil
}

// Open indexes the base: in memory when dir is empty, else in a folder that is
// made anew whenever the base has changed.
func Open(b *kb.Base, dir string) (*Index, error) {
	x := &Index{analyzer: newAnalyzer(b), docs: map[string]*document{}, known: map[string]bool{}}
	docs := documents(b)
	fields := make([]map[string]any, len(docs))
	for i := range docs {
		d := &docs[i]
		x.docs[d.head.ID] = d
		fields[i] = map[string]any{"kind": string(d.head.Kind)}
		for name, text := range map[string]string{"title": d.title, "said": d.said, "body": d.body} {
			ts := x.analyzer.terms(text)
			for _, t := range ts {
				x.known[t.text] = true
			}
			fields[i][name] = joined(ts)
		}
	}
	m, err := layout()
	if err != nil {
		return nil, err
	}
	if dir == "" {
		x.bleve, err = bleve.NewUsing("", m, scorch.Name, scorch.Name, nil)
	} else {
		var ready bool
		if x.bleve, ready, err = onDisk(dir, b.Digest, m); ready {
			return x, nil
		}
	}
	if err != nil {
		return nil, fmt.Errorf("retrieval: %w", err)
	}
	// One batch: scores depend on how documents were spread over segments.
	batch := x.bleve.NewBatch()
	for i := range docs {
		if err := batch.Index(docs[i].head.ID, fields[i]); err != nil {
			return nil, errors.Join(err, x.bleve.Close())
		}
	}
	if dir != "" {
		batch.SetInternal([]byte("digest"), []byte(b.Digest))
	}
	if err := x.bleve.Batch(batch); err != nil {
		return nil, errors.Join(fmt.Errorf("retrieval: %w", err), x.bleve.Close())
	}
	return x, nil
}

// onDisk opens the index folder; ready means that it holds this very base.
func onDisk(dir, digest string, m mapping.IndexMapping) (bleve.Index, bool, error) {
	path := filepath.Join(dir, "articles.index")
	if idx, err := bleve.Open(path); err == nil {
		if d, err := idx.GetInternal([]byte("digest")); err == nil && string(d) == digest {
			return idx, true, nil
		}
		if err := idx.Close(); err != nil {
			return nil, false, err
		}
	}
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return nil, false, err
	}
	if err := os.RemoveAll(path); err != nil {
		return nil, false, err
	}
	idx, err := bleve.NewUsing(path, m, scorch.Name, scorch.Name, nil)
	return idx, false, err
}

// Close releases the index.
func (x *Index) Close() error { return x.bleve.Close() }

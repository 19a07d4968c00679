package retrieval

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"

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
	note     string
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
// used again as long as what it would hold is the same, and made anew when the
// base or the analysis has changed or the folder is damaged (Note says so). A
// folder held by another program is an error.
func Open(b *kb.Base, dir string) (*Index, error) {
	x := &Index{analyzer: newAnalyzer(b), docs: map[string]*document{}}
	docs := documents(b)
	fields := make([]map[string]any, len(docs))
	sum := sha256.New()
	for i := range docs {
		d := &docs[i]
		x.docs[d.head.ID] = d
		fields[i] = map[string]any{"kind": string(d.head.Kind)}
		fmt.Fprintf(sum, "%q %q", d.head.ID, d.head.Kind)
		for _, f := range []struct{ name, text string }{{"title", d.title}, {"said", d.said}, {"body", d.body}} {
			x.analyzer.read(f.text)
			terms := joined(x.analyzer.terms(f.text))
			fields[i][f.name] = terms
			fmt.Fprintf(sum, " %q", terms)
		}
	}
	x.analyzer.settle()
	m, err := layout()
	if err != nil {
		return nil, err
	}
	digest := hex.EncodeToString(sum.Sum(nil))
	if dir == "" {
		x.bleve, err = bleve.NewUsing("", m, scorch.Name, scorch.Name, nil)
	} else {
		var ready bool
		if x.bleve, ready, x.note, err = onDisk(dir, digest, len(docs), m); ready {
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
		batch.SetInternal([]byte("digest"), []byte(digest))
	}
	if err := x.bleve.Batch(batch); err != nil {
		return nil, errors.Join(fmt.Errorf("retrieval: %w", err), x.bleve.Close())
	}
	return x, nil
}

// Note says what happened to the index folder when that was more than opening
// it again: made, made anew, and why. It is empty for an index in memory.
func (x *Index) Note() string { return x.note }

// Close releases the index.
func (x *Index) Close() error { return x.bleve.Close() }

package retrieval

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"strings"
	"sync"
	"sync/atomic"

	"github.com/blevesearch/bleve/v2"
	"github.com/blevesearch/bleve/v2/analysis/tokenizer/whitespace"
	"github.com/blevesearch/bleve/v2/index/scorch"
	"github.com/blevesearch/bleve/v2/mapping"
	index "github.com/blevesearch/bleve_index_api"

	_ "github.com/blevesearch/bleve/v2/analysis/analyzer/custom"

	"ruleout/kb"
)

// Index is a full-text index over one knowledge base; it may be used by any
// number of goroutines at once.
type Index struct {
	bleve    bleve.Index
	reader   index.IndexReader // of what the one batch brought
	analyzer *analyzer
	lists    sync.Map // of sought without boost, see list
	tallies  sync.Pool
	// lastAsked is what was looked for last, taken apart.
	lastAsked atomic.Pointer[askedBefore]
	docs      map[string]*document
	// numbered holds the documents by the library's number of them.
	numbered  []*document
	counts    counts
	spoken    *spoken
	tellings  *tellings
	histories *histories
	note      string
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
	for _, field := range fieldWeights {
		f := bleve.NewTextFieldMapping()
		f.Analyzer, f.Store, f.IncludeInAll = termsAnalyzer, false, false
		f.IncludeTermVectors, f.DocValues = false, false
		doc.AddFieldMappingsAt(field.name, f)
	}
	m.DefaultMapping = doc
	return m, nil
}

// Open indexes the base: in memory when dir is empty, else in a folder that is
// used again as long as what it would hold is the same, and made anew when the
// base or the analysis has changed or the folder is damaged (Note says so). A
// folder held by another program is an error.
func Open(b *kb.Base, dir string) (*Index, error) {
	a := newAnalyzer(b)
	said := a.spoken(b)
	tellings, histories := said.tellings(b), said.histories(b)
	said.learned()
	x, err := build(a, documents(b), dir)
	if err != nil {
		return nil, err
	}
	x.spoken, x.tellings, x.histories = said, tellings, histories
	return x, nil
}

func build(a *analyzer, docs []document, dir string) (*Index, error) {
	x := &Index{analyzer: a, docs: map[string]*document{}, tallies: sync.Pool{New: func() any { return new(tally) }}}
	fields := make([]map[string]any, len(docs))
	sum := sha256.New()
	for i := range docs {
		d := &docs[i]
		x.docs[d.head.ID] = d
		d.place = i
		fields[i] = map[string]any{}
		fmt.Fprintf(sum, "%q", d.head.ID)
		for f, text := range d.texts() {
			for _, t := range x.analyzer.read(text) {
				d.terms[f] = append(d.terms[f], t.text)
			}
			terms := strings.Join(d.terms[f], " ")
			fields[i][fieldWeights[f].name] = terms
			fmt.Fprintf(sum, " %q", terms)
		}
	}
	x.counts = count(docs)
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
			return x, x.number()
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
	return x, x.number()
}

// number learns the library's numbers of the documents, which stay as they are
// once the one batch is in. An index that can't be read is closed.
func (x *Index) number() error {
	err := func() error {
		under, err := x.bleve.Advanced()
		if err != nil {
			return err
		}
		r, err := under.Reader()
		if err != nil {
			return err
		}
		x.reader = r
		all, err := r.DocIDReaderAll()
		if err != nil {
			return err
		}
		defer all.Close()
		for {
			n, err := all.Next()
			if err != nil || n == nil {
				return err
			}
			id, err := r.ExternalID(n)
			if err != nil {
				return err
			}
			for uint64(len(x.numbered)) <= n.Value() {
				x.numbered = append(x.numbered, nil)
			}
			x.numbered[n.Value()] = x.docs[id]
			if d := x.docs[id]; d != nil {
				d.number = int(n.Value())
			}
		}
	}()
	if err != nil {
		return errors.Join(fmt.Errorf("retrieval: %w", err), x.Close())
	}
	return nil
}

// Note says what happened to the index folder when that was more than opening
// it again: made, made anew, and why. It is empty for an index in memory.
func (x *Index) Note() string { return x.note }

// Close releases the index.
func (x *Index) Close() error {
	if x.reader == nil {
		return x.bleve.Close()
	}
	return errors.Join(x.reader.Close(), x.bleve.Close())
}

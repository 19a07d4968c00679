package chat

import (
	"net/http"
	"strings"
	"sync"

	"ruleout/dialog"
)

// CaseText is what a search over past cases looks at.
type CaseText struct{ ID, Title, Said, Found string }

// Indexer makes a searcher over past cases.
type Indexer func(e *dialog.Engine, cases []CaseText) (CaseSearcher, error)

// CaseSearcher finds past cases; Close releases it.
type CaseSearcher interface {
	Searcher
	Close() error
}

// caseIndex is the searcher over the cases as they were at a version of the
// lines, under one engine.
type caseIndex struct {
	mu      sync.Mutex
	indexer Indexer
	made    CaseSearcher
	version int
	engine  *dialog.Engine
	listed  map[string]Listed
}

// CaseHit is a past case found.
type CaseHit struct {
	Listed
	Score   float64  `json:"score"`
	Snippet string   `json:"snippet"`
	Marks   [][2]int `json:"marks"`
}

// SearchCases lets past cases be searched with what the indexer makes.
func (d *Desk) SearchCases(make Indexer) { d.past.indexer = make }

// caseHitsMost is how many past cases a search gives.
const caseHitsMost = 20

// FindCases finds past cases in plain words, best first.
func (d *Desk) FindCases(words string, limit int) ([]CaseHit, error) {
	return d.past.use(d, limit, func(s Searcher, n int) ([]Hit, error) { return s.Search(words, n) })
}

// CasesLike finds the past cases most like one, best first.
func (d *Desk) CasesLike(id string, limit int) ([]CaseHit, error) {
	if _, err := d.open(id); err != nil {
		return nil, err
	}
	return d.past.use(d, limit, func(s Searcher, n int) ([]Hit, error) {
		hits, err := s.Related(id, n)
		if err != nil && !d.past.has(id) {
			return nil, nil // nothing has been told yet
		}
		return hits, err
	})
}

func (x *caseIndex) has(id string) bool { _, ok := x.listed[id]; return ok }

// use brings the index up to date and asks it.
func (x *caseIndex) use(d *Desk, limit int, ask func(Searcher, int) ([]Hit, error)) ([]CaseHit, error) {
	list, err := d.List()
	if err != nil {
		return nil, err
	}
	d.lines.mu.Lock()
	version, known := d.lines.version, d.lines.known
	d.lines.mu.Unlock()
	x.mu.Lock()
	defer x.mu.Unlock()
	if x.indexer == nil {
		return []CaseHit{}, nil
	}
	e := d.Engine()
	if x.made == nil || x.version != version || x.engine != e {
		texts := make([]CaseText, len(list))
		listed := make(map[string]Listed, len(list))
		for i, c := range list {
			l := known[c.ID]
			texts[i] = CaseText{ID: c.ID, Title: l.Title, Said: strings.TrimSpace(l.Said), Found: l.Vehicle + "\n" + l.Found}
			if s := e.Base().Symptom(l.Chief); s != nil { // found by others' words for it too
				texts[i].Found += "\n" + strings.Join(s.Said, "\n")
			}
			listed[c.ID] = c
		}
		made, err := x.indexer(e, texts)
		if err != nil {
			return nil, err
		}
		if x.made != nil {
			_ = x.made.Close() // in memory: nothing can be lost
		}
		x.made, x.version, x.engine, x.listed = made, version, e, listed
	}
	hits, err := ask(x.made, limit)
	if err != nil {
		return nil, err
	}
	out := []CaseHit{}
	for _, h := range hits {
		if c, ok := x.listed[h.ID]; ok {
			out = append(out, CaseHit{c, h.Score, h.Snippet, orEmpty(h.Marks)})
		}
	}
	return out, nil
}

func (s *Server) likeCase(w http.ResponseWriter, r *http.Request) error {
	hits, err := s.desk.CasesLike(r.PathValue("id"), caseHitsMost)
	if err != nil {
		return err
	}
	writeJSON(w, http.StatusOK, map[string]any{"hits": hits})
	return nil
}

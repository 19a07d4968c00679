package chat

import (
	_ "embed"
	"fmt"
	"net/http"
	"net/url"
	"strconv"

	"ruleout/kb"
)

//go:embed openapi.yaml
var openAPI []byte

// Article is an article as the interface gives it.
type Article struct {
	kb.Head
	HTML      string    `json:"html"`
	Backlinks []kb.Head `json:"backlinks"`
	Related   []Hit     `json:"related"`
	Content   any       `json:"content"`
}

const searchMost = 30

func (s *Server) listArticles(w http.ResponseWriter, r *http.Request) error {
	base := s.desk.Engine().Base()
	q := r.URL.Query()
	if words := q.Get("q"); words != "" {
		limit, err := limitOf(q, searchMost)
		if err != nil {
			return err
		}
		hits, err := s.find().Search(words, limit)
		if err != nil {
			return err
		}
		writeJSON(w, http.StatusOK, map[string]any{"hits": orEmpty(hits)})
		return nil
	}
	heads := []kb.Head{}
	for _, h := range base.Heads() {
		if (q.Get("kind") == "" || q.Get("kind") == string(h.Kind)) && (q.Get("system") == "" || q.Get("system") == h.System) {
			heads = append(heads, h)
		}
	}
	writeJSON(w, http.StatusOK, map[string]any{"articles": heads})
	return nil
}

// limitOf reads ?limit=, which is most when it is left out.
func limitOf(q url.Values, most int) (int, error) {
	l := q.Get("limit")
	if l == "" {
		return most, nil
	}
	n, err := strconv.Atoi(l)
	if err != nil || n < 1 || n > most {
		return 0, badRequest(fmt.Sprintf("limit must be a number from 1 to %d, got %q", most, l), fmt.Sprintf("leave it out for %d", most))
	}
	return n, nil
}

func (s *Server) getArticle(w http.ResponseWriter, r *http.Request) error {
	a, err := s.article(r.PathValue("id"))
	if err != nil {
		return err
	}
	writeJSON(w, http.StatusOK, a)
	return nil
}

// article gathers one article with what links to it.
func (s *Server) article(id string) (*Article, error) {
	base := s.desk.Engine().Base()
	h, ok := base.Head(id)
	if !ok {
		return nil, &problem{Status: http.StatusNotFound, What: "there is no article " + strconv.Quote(id), Mend: "GET /api/articles lists them, ?q= searches them"}
	}
	a := &Article{Head: h, HTML: base.HTML(id), Backlinks: []kb.Head{}, Related: []Hit{}}
	for _, b := range base.Backlinks(id) {
		if bh, ok := base.Head(b); ok {
			a.Backlinks = append(a.Backlinks, bh)
		}
	}
	if !h.Minor { // those are not in the index
		related, err := s.find().Related(id, 5)
		if err != nil {
			return nil, err
		}
		a.Related = orEmpty(related)
	}
	switch h.Kind {
	case kb.KindSymptom:
		a.Content = base.Symptom(id)
	case kb.KindCause:
		a.Content = base.Cause(id)
	case kb.KindTest:
		a.Content = base.Test(id)
	case kb.KindPath:
		a.Content = base.Path(id)
	case kb.KindCircuit:
		a.Content = base.Circuit(id)
	case kb.KindCard:
		a.Content = base.Card(id)
	}
	return a, nil
}

func (s *Server) getOpenAPI(w http.ResponseWriter, r *http.Request) error {
	w.Header().Set("Content-Type", "application/yaml; charset=utf-8")
	_, err := w.Write(openAPI)
	return err
}

// Package chat serves conversations over HTTP and WebSocket. Start at New.
// It moves conversations forward and knows nothing of causes or articles'
// meaning.
package chat

import (
	"encoding/json"
	"errors"
	"io"
	"mime"
	"net/http"
	"time"

	"ruleout/dialog"
	"ruleout/web"
)

// Limits on what a request may hold.
const (
	maxTurnBytes = 2 << 20 // a turn of a megabyte is taken and answered
	maxKeyBytes  = 100
)

// Searcher finds articles in plain words.
type Searcher interface {
	Search(words string, limit int) ([]Hit, error)
	Related(id string, limit int) ([]Hit, error)
}

// Hit is one article found.
type Hit struct {
	ID     string  `json:"id"`
	Kind   string  `json:"kind"`
	Title  string  `json:"title"`
	System string  `json:"system"`
	Score  float64 `json:"score"`
	// Snippet is a piece of the text; Marks are the byte ranges in it to be
	// highlighted.
	Snippet string   `json:"snippet"`
	Marks   [][2]int `json:"marks"`
}

// Server serves one desk.
type Server struct {
	desk *Desk
	find func() Searcher
	// origin decides which pages may open a socket.
	origin func(r *http.Request) bool
	// patience is how long a socket may take to accept a message.
	patience time.Duration
	limits   *limits
	live     live
	pages    *web.Pages
	pairing  *Pairing // nil when the program listens on this machine only
	doors    []string // the addresses under which other devices reach it
}

// New makes a server. find gives the searcher in force.
func New(desk *Desk, find func() Searcher) *Server {
	return &Server{desk: desk, find: find, origin: sameOrigin, patience: writeWait, limits: newLimits()}
}

// Admit opens the program to paired devices that reach it under the
// addresses ("http://192.0.2.7:8427").
func (s *Server) Admit(p *Pairing, addresses []string) *Server {
	s.pairing, s.doors = p, addresses
	return s
}

// Routes adds the interface to a mux.
func (s *Server) Routes(mux *http.ServeMux) {
	mux.Handle("POST /api/cases", handler(s.postCase))
	mux.Handle("GET /api/cases", handler(s.listCases))
	mux.Handle("GET /api/cases/{id}", handler(s.getCase))
	mux.Handle("DELETE /api/cases/{id}", handler(s.deleteCase))
	mux.Handle("POST /api/cases/{id}/turns", handler(s.postTurn))
	mux.Handle("GET /api/cases/{id}/vehicle", handler(s.getCaseVehicle))
	mux.Handle("POST /api/cases/{id}/vehicle", handler(s.postCarry))
	mux.Handle("GET /api/cases/{id}/attached", handler(s.listAttached))
	mux.Handle("POST /api/cases/{id}/notes", handler(s.postNote))
	mux.Handle("POST /api/cases/{id}/photos", handler(s.postPhoto))
	mux.Handle("DELETE /api/cases/{id}/attached/{n}", handler(s.deleteAttached))
	mux.Handle("GET /api/cases/{id}/photos/{name}", handler(s.getPhoto))
	mux.Handle("POST /api/cases/{id}/ended", handler(s.postEnded))
	mux.Handle("GET /api/cases/{id}/like", handler(s.likeCase))
	mux.Handle("GET /api/cases/{id}/report", handler(s.getReport))
	mux.Handle("GET /api/cases/{id}/export", handler(s.exportCase))
	mux.Handle("GET /api/export", handler(s.exportAll))
	mux.Handle("POST /api/import", handler(s.postImport))
	mux.Handle("GET /api/vehicles", handler(s.listVehicles))
	mux.Handle("POST /api/vehicles", handler(s.postVehicle))
	mux.Handle("GET /api/vehicles/{id}", handler(s.getVehicle))
	mux.Handle("PUT /api/vehicles/{id}", handler(s.putVehicle))
	mux.Handle("DELETE /api/vehicles/{id}", handler(s.deleteVehicle))
	mux.Handle("GET /api/learned", handler(s.getLearned))
	mux.Handle("GET /api/learned/export", handler(s.exportLearned))
	mux.Handle("POST /api/learned/merge", handler(s.mergeLearned))
	mux.Handle("GET /api/articles", handler(s.listArticles))
	mux.Handle("GET /api/articles/{id}", handler(s.getArticle))
	mux.Handle("GET /api/openapi.yaml", handler(s.getOpenAPI))
	mux.Handle("GET /ws", handler(s.socket))
	mux.Handle("/api/", handler(func(w http.ResponseWriter, r *http.Request) error {
		return &problem{Status: http.StatusNotFound, What: "there is no " + r.Method + " " + r.URL.Path, Mend: "see /api/openapi.yaml"}
	}))
}

// caseSent is what a new case may begin with.
type caseSent struct {
	Vehicle string `json:"vehicle"`
}

func (s *Server) postCase(w http.ResponseWriter, r *http.Request) error {
	var sent caseSent
	if r.Header.Get("Content-Type") != "" && r.ContentLength != 0 {
		if err := readJSON(w, r, formBytes, &sent); err != nil {
			return err
		}
	}
	c, err := s.desk.Begin(sent.Vehicle)
	if err != nil {
		return err
	}
	writeJSON(w, http.StatusCreated, c)
	return nil
}

func (s *Server) listCases(w http.ResponseWriter, r *http.Request) error {
	q := r.URL.Query()
	limit, err := limitOf(q, caseHitsMost)
	if err != nil {
		return err
	}
	if words := q.Get("q"); words != "" {
		hits, err := s.desk.FindCases(words, limit)
		if err != nil {
			return err
		}
		writeJSON(w, http.StatusOK, map[string]any{"hits": hits})
		return nil
	}
	cases, err := s.desk.List()
	if err != nil {
		return err
	}
	writeJSON(w, http.StatusOK, map[string]any{"cases": orEmpty(cases)})
	return nil
}

func (s *Server) getCase(w http.ResponseWriter, r *http.Request) error {
	c, err := s.desk.Case(r.PathValue("id"))
	if err != nil {
		return err
	}
	writeJSON(w, http.StatusOK, c)
	return nil
}

// sent is a turn as it comes in, over HTTP and over the socket.
type sent struct {
	Key string `json:"key"`
	dialog.Turn
}

func (s *Server) postTurn(w http.ResponseWriter, r *http.Request) error {
	if t, _, err := mime.ParseMediaType(r.Header.Get("Content-Type")); err != nil || t != "application/json" {
		return &problem{Status: http.StatusUnsupportedMediaType, What: "a turn comes as application/json", Mend: `set Content-Type: application/json`}
	}
	data, err := io.ReadAll(http.MaxBytesReader(w, r.Body, maxTurnBytes))
	var large *http.MaxBytesError
	if errors.As(err, &large) {
		return &problem{Status: http.StatusRequestEntityTooLarge, What: "the turn is larger than 2 MiB", Mend: "tell it in smaller pieces"}
	}
	if err != nil {
		return badRequest("the turn did not arrive whole", "send it again")
	}
	t, err := parseTurn(data)
	if err != nil {
		return err
	}
	x, err := s.desk.Take(r.PathValue("id"), t.Key, t.Turn)
	if err != nil {
		return err
	}
	writeJSON(w, http.StatusOK, x.Reply)
	return nil
}

// parseTurn reads a turn and says what is wrong with it.
func parseTurn(data []byte) (sent, error) {
	var t sent
	if err := json.Unmarshal(data, &t); err != nil {
		return t, badRequest("the turn is not the JSON object expected: "+err.Error(), `send {"text": "it gets hot in traffic"}`)
	}
	if len(t.Key) > maxKeyBytes {
		return t, badRequest("the key is longer than 100 bytes", "use a short key of your own for each turn")
	}
	return t, nil
}

func orEmpty[T any](s []T) []T {
	if s == nil {
		return []T{}
	}
	return s
}

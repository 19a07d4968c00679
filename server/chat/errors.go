package chat

import (
	"encoding/json"
	"log/slog"
	"net/http"
)

// problem is an error for people: what is wrong and how to mend it.
type problem struct {
	Status int    `json:"-"`
	What   string `json:"error"`
	Mend   string `json:"mend,omitempty"`
}

func (p *problem) Error() string { return p.What }

func badRequest(what, mend string) error {
	return &problem{Status: http.StatusBadRequest, What: what, Mend: mend}
}

// handler is an HTTP handler that may fail; errors become statuses here alone.
type handler func(w http.ResponseWriter, r *http.Request) error

func (h handler) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	err := h(w, r)
	if err == nil {
		return
	}
	p, ok := err.(*problem)
	switch {
	case ok:
	case notFound(err):
		p = &problem{Status: http.StatusNotFound, What: err.Error(), Mend: "GET /api/cases lists the cases, GET /api/vehicles the vehicles"}
	default:
		slog.Error("request failed", "path", r.URL.Path, "error", err)
		p = &problem{Status: http.StatusInternalServerError, What: "something went wrong here; nothing you sent was lost unless it says so", Mend: "try again"}
	}
	writeJSON(w, p.Status, p)
}

func writeJSON(w http.ResponseWriter, status int, v any) {
	data, err := json.Marshal(v)
	if err != nil {
		slog.Error("could not write the answer", "error", err)
		http.Error(w, `{"error":"the answer could not be written"}`, http.StatusInternalServerError)
		return
	}
	w.Header().Set("Content-Type", "application/json; charset=utf-8")
	w.Header().Set("Cache-Control", "no-store")
	w.WriteHeader(status)
	_, _ = w.Write(append(data, '\n'))
}

package chat

import (
	"net/http"
)

// Handler is everything the program serves.
func (s *Server) Handler() (http.Handler, error) {
	mux := http.NewServeMux()
	s.Routes(mux)
	return mux, nil
}

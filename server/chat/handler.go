package chat

import (
	"fmt"
	"net/http"
)

// Handler is everything the program serves: interface, page, and in front of
// them the door (pairing), the limits and the content policy.
func (s *Server) Handler() (http.Handler, error) {
	mux := http.NewServeMux()
	s.Routes(mux)
	if err := s.pageRoutes(mux); err != nil {
		return nil, err
	}
	return policy(s.pages.StyleHash, s.limit(ownOrigin(s.door(mux)))), nil
}

// contentPolicy lets a page use what this program serves and nothing else; no
// script stands in the page itself, and of styles the project's own sheet
// alone, known by its hash.
const contentPolicy = "default-src 'none'; script-src 'self'; style-src 'self' '%s'; img-src 'self'; connect-src 'self'; manifest-src 'self'; worker-src 'self'; base-uri 'none'; form-action 'self'; frame-ancestors 'none'"

// policy sets the headers that hold for every answer.
func policy(styleHash string, next http.Handler) http.Handler {
	content := fmt.Sprintf(contentPolicy, styleHash)
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		h := w.Header()
		h.Set("Content-Security-Policy", content)
		h.Set("X-Content-Type-Options", "nosniff")
		// Not no-referrer: with it a form's own Origin would be sent as null.
		h.Set("Referrer-Policy", "same-origin")
		if r.TLS != nil {
			h.Set("Cross-Origin-Opener-Policy", "same-origin")
		}
		h.Set("Cross-Origin-Resource-Policy", "same-origin")
		next.ServeHTTP(w, r)
	})
}

// ownOrigin refuses what another site's page sends: everything that may
// change something. Sockets check their own origin.
func ownOrigin(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if r.Method != http.MethodGet && r.Method != http.MethodHead && !sameOrigin(r) {
			writeJSON(w, http.StatusForbidden, &problem{What: "this came from another site's page", Mend: "use the program's own page"})
			return
		}
		next.ServeHTTP(w, r)
	})
}

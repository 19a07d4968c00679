package chat

import (
	"net"
	"net/http"
	"sync"
	"time"

	"golang.org/x/time/rate"
)

// Limits of one client, told apart by its address. A page with all its files
// is some thirty requests, a turn is one.
const (
	requestsPerSecond = 100
	requestsAtOnce    = 600
	socketsAtOnce     = 32
	turnsPerSecond    = 5
	turnsAtOnce       = 40
	clientsKept       = 1000
)

// limits holds what each client has used.
type limits struct {
	mu      sync.Mutex
	clients map[string]*client
	now     func() time.Time
}

type client struct {
	requests *rate.Limiter
	sockets  int
	seen     time.Time
}

func newLimits() *limits { return &limits{clients: map[string]*client{}, now: time.Now} }

// of returns the client of an address; when there are too many, those without
// an open socket that came longest ago are forgotten.
func (l *limits) of(address string) *client {
	if host, _, err := net.SplitHostPort(address); err == nil {
		address = host
	}
	c := l.clients[address]
	if c == nil {
		if len(l.clients) >= clientsKept {
			oldest := ""
			for a, c := range l.clients {
				if c.sockets == 0 && (oldest == "" || c.seen.Before(l.clients[oldest].seen)) {
					oldest = a
				}
			}
			delete(l.clients, oldest)
		}
		c = &client{requests: rate.NewLimiter(requestsPerSecond, requestsAtOnce)}
		l.clients[address] = c
	}
	c.seen = l.now()
	return c
}

// allow reports whether the client may send one more request now.
func (l *limits) allow(address string) bool {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.of(address).requests.AllowN(l.now(), 1)
}

// enter takes a place for one more socket; leave gives it back.
func (l *limits) enter(address string) bool {
	l.mu.Lock()
	defer l.mu.Unlock()
	c := l.of(address)
	if c.sockets >= socketsAtOnce {
		return false
	}
	c.sockets++
	return true
}

func (l *limits) leave(address string) {
	l.mu.Lock()
	defer l.mu.Unlock()
	l.of(address).sockets--
}

// limit refuses clients that ask too fast.
func (s *Server) limit(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if !s.limits.allow(r.RemoteAddr) {
			w.Header().Set("Retry-After", "1")
			writeJSON(w, http.StatusTooManyRequests, &problem{What: "too many requests at once", Mend: "wait a second and go on"})
			return
		}
		next.ServeHTTP(w, r)
	})
}

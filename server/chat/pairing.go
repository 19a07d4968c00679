package chat

import (
	"crypto/rand"
	"crypto/sha256"
	"crypto/subtle"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"math/big"
	"net"
	"net/http"
	"net/netip"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"time"

	"golang.org/x/time/rate"
)

// Pairing decides which devices may use the program from beyond this machine.
// A phrase of words, new at every start, lets a device in; a cookie is then
// its pass. Only hashes of passes are kept.
type Pairing struct {
	mu     sync.Mutex
	phrase string
	file   string
	now    func() time.Time
	tries  *rate.Limiter
	list   []pass
}

// pass is a device that was let in.
type pass struct {
	ID    string    `json:"id"`
	Name  string    `json:"name"`
	Hash  string    `json:"hash"` // SHA-256 of the cookie, in hex
	Since time.Time `json:"since"`
	Seen  time.Time `json:"seen"`
}

const (
	phraseWords = 4
	passCookie  = "ruleout_pass"
	passDays    = 400
	mostPasses  = 50
)

// NewPairing makes a fresh phrase and reads the devices remembered in file.
func NewPairing(file string, now func() time.Time) (*Pairing, error) {
	// Four words of 128 are 28 bits; at one try in three seconds all devices
	// together, guessing takes years on average.
	p := &Pairing{file: file, now: now, tries: rate.NewLimiter(rate.Every(3*time.Second), 5)}
	var words []string
	for range phraseWords {
		n, err := rand.Int(rand.Reader, big.NewInt(int64(len(pairingWords))))
		if err != nil {
			return nil, fmt.Errorf("no randomness for the pairing phrase: %w", err)
		}
		words = append(words, pairingWords[n.Int64()])
	}
	p.phrase = strings.Join(words, " ")
	data, err := os.ReadFile(file)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return p, nil
	case err != nil:
		return nil, fmt.Errorf("the list of paired devices: %w", err)
	}
	if err := json.Unmarshal(data, &p.list); err != nil {
		return nil, fmt.Errorf("the list of paired devices, %s, is damaged (%w); delete it to pair anew", file, err)
	}
	return p, nil
}

// Phrase is what lets a device in until the program ends.
func (p *Pairing) Phrase() string { return p.phrase }

// errSlow means that too many phrases were tried.
var errSlow = errors.New("too many tries; wait a few seconds")

// errWrong means that the phrase is not the one shown.
var errWrong = errors.New("these are not the words that the laptop shows now; they change at each start")

// Enter exchanges the phrase for a pass.
func (p *Pairing) Enter(phrase, name string) (string, error) {
	p.mu.Lock()
	defer p.mu.Unlock()
	if !p.tries.AllowN(p.now(), 1) {
		return "", errSlow
	}
	said := strings.Join(strings.FieldsFunc(strings.ToLower(phrase), func(r rune) bool { return r < 'a' || r > 'z' }), " ")
	if subtle.ConstantTimeCompare([]byte(said), []byte(p.phrase)) != 1 {
		return "", errWrong
	}
	name = strings.TrimSpace(name)
	if r := []rune(name); len(r) > 60 {
		name = string(r[:60])
	}
	if name == "" {
		name = "device " + fmt.Sprint(len(p.list)+1)
	}
	cookie := rand.Text()
	now := p.now().UTC().Truncate(time.Second)
	list := append(slices.Clone(p.list), pass{ID: strings.ToLower(rand.Text()[:8]), Name: name, Hash: hash(cookie), Since: now, Seen: now})
	if len(list) > mostPasses {
		list = list[len(list)-mostPasses:]
	}
	if err := p.keep(list); err != nil {
		return "", err
	}
	return cookie, nil
}

// Revoke turns a device away.
func (p *Pairing) Revoke(id string) error {
	p.mu.Lock()
	defer p.mu.Unlock()
	return p.keep(slices.DeleteFunc(slices.Clone(p.list), func(d pass) bool { return d.ID == id }))
}

// known returns the device of a cookie.
func (p *Pairing) known(cookie string) (pass, bool) {
	p.mu.Lock()
	defer p.mu.Unlock()
	h := hash(cookie)
	for i := range p.list {
		if subtle.ConstantTimeCompare([]byte(p.list[i].Hash), []byte(h)) == 1 {
			p.list[i].Seen = p.now().UTC().Truncate(time.Second)
			return p.list[i], true
		}
	}
	return pass{}, false
}

func (p *Pairing) devices() []pass {
	p.mu.Lock()
	defer p.mu.Unlock()
	return slices.Clone(p.list)
}

// keep stores the list before it is in force.
func (p *Pairing) keep(list []pass) error {
	data, err := json.MarshalIndent(list, "", "  ")
	if err != nil {
		return err
	}
	if err := os.MkdirAll(filepath.Dir(p.file), 0o700); err != nil {
		return fmt.Errorf("the list of paired devices can't be kept: %w", err)
	}
	fresh := p.file + ".new"
	if err := os.WriteFile(fresh, data, 0o600); err != nil {
		return fmt.Errorf("the list of paired devices can't be kept: %w", err)
	}
	if err := os.Rename(fresh, p.file); err != nil {
		return fmt.Errorf("the list of paired devices can't be kept: %w", err)
	}
	p.list = list
	return nil
}

func hash(s string) string {
	h := sha256.Sum256([]byte(s))
	return hex.EncodeToString(h[:])
}

// local reports whether a request comes from this machine and was meant for
// it. The host is checked too, so that a site whose name points here gets no
// more than any stranger.
func local(r *http.Request) bool {
	from, err := netip.ParseAddrPort(r.RemoteAddr)
	if err != nil || !from.Addr().Unmap().IsLoopback() {
		return false
	}
	host := r.Host
	if h, _, err := net.SplitHostPort(host); err == nil {
		host = h
	}
	if host == "localhost" {
		return true
	}
	a, err := netip.ParseAddr(strings.Trim(host, "[]"))
	return err == nil && a.Unmap().IsLoopback()
}

// open are the addresses that a device may see before it is let in.
func open(r *http.Request) bool {
	return r.URL.Path == "/pair" || r.URL.Path == "/manifest.webmanifest" || r.URL.Path == "/sw.js" || r.URL.Path == "/asleep" || strings.HasPrefix(r.URL.Path, "/static/")
}

// admitted returns the cookie's device; ok is true for this machine as well.
func (s *Server) admitted(r *http.Request) (pass, bool) {
	if local(r) {
		return pass{}, true
	}
	if s.pairing == nil {
		return pass{}, false
	}
	c, err := r.Cookie(passCookie)
	if err != nil {
		return pass{}, false
	}
	return s.pairing.known(c.Value)
}

// door lets in this machine and paired devices.
func (s *Server) door(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if _, ok := s.admitted(r); ok || s.pairing != nil && open(r) {
			next.ServeHTTP(w, r)
			return
		}
		if s.pairing != nil && r.Method == http.MethodGet && strings.Contains(r.Header.Get("Accept"), "text/html") {
			http.Redirect(w, r, "/pair", http.StatusSeeOther)
			return
		}
		writeJSON(w, http.StatusForbidden, &problem{What: "this device is not paired", Mend: "open /pair and give the phrase that the laptop shows"})
	})
}

// postPair takes the phrase and gives the pass.
func (s *Server) postPair(w http.ResponseWriter, r *http.Request) error {
	r.Body = http.MaxBytesReader(w, r.Body, 4<<10)
	if s.pairing == nil {
		return &problem{Status: http.StatusNotFound, What: "this program listens on its own machine only", Mend: "start it with -listen"}
	}
	cookie, err := s.pairing.Enter(r.PostFormValue("phrase"), r.PostFormValue("name"))
	switch {
	case errors.Is(err, errSlow), errors.Is(err, errWrong):
		status := http.StatusForbidden
		if errors.Is(err, errSlow) {
			status = http.StatusTooManyRequests
		}
		return s.show(w, r, status, "pair", s.pairView(r, err.Error()))
	case err != nil:
		return err
	}
	http.SetCookie(w, &http.Cookie{Name: passCookie, Value: cookie, Path: "/", MaxAge: passDays * 24 * 3600, HttpOnly: true, SameSite: http.SameSiteLaxMode, Secure: r.TLS != nil})
	http.Redirect(w, r, "/", http.StatusSeeOther)
	return nil
}

// postRevoke turns a device away and ends its live views.
func (s *Server) postRevoke(w http.ResponseWriter, r *http.Request) error {
	r.Body = http.MaxBytesReader(w, r.Body, 4<<10)
	if s.pairing != nil {
		id := r.PostFormValue("id")
		if err := s.pairing.Revoke(id); err != nil {
			return err
		}
		s.live.end(id)
	}
	http.Redirect(w, r, "/phone", http.StatusSeeOther)
	return nil
}

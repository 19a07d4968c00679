package chat

import (
	"bytes"
	"compress/gzip"
	"encoding/json"
	"io/fs"
	"mime"
	"net/http"
	"path"
	"strconv"
	"strings"

	"rsc.io/qr"

	"ruleout/web"
)

// examples are shown on the first visit: a condition, a sound, a reading.
var examples = []string{
	"It gets hot in traffic and is fine on the open road",
	"Just one click when I turn the key",
	"The battery is flat every Monday, it read 12.1 V this morning",
}

// pageRoutes adds what is for eyes.
func (s *Server) pageRoutes(mux *http.ServeMux) error {
	pages, err := web.ParsePages()
	if err != nil {
		return err
	}
	s.pages = pages
	files, err := packed(pages)
	if err != nil {
		return err
	}
	mux.Handle("GET /{$}", handler(s.talkPage))
	mux.Handle("GET /cases/{id}", handler(s.talkPage))
	s.casePages(mux)
	s.vehiclePages(mux)
	mux.Handle("GET /articles", handler(s.indexPage))
	mux.Handle("GET /articles/{id}", handler(s.articlePage))
	mux.Handle("GET /page/names", handler(s.pageNames))
	mux.Handle("GET /page/findings/{id...}", handler(s.pageFinding))
	mux.Handle("GET /page/drawings/{id}", handler(s.pageDrawing))
	mux.Handle("GET /drawings/{circuit}/{file}", handler(s.schematic))
	mux.Handle("GET /phone", handler(s.phonePage))
	mux.Handle("GET /pair", handler(func(w http.ResponseWriter, r *http.Request) error {
		return s.show(w, r, http.StatusOK, "pair", s.pairView(r, ""))
	}))
	mux.Handle("POST /pair", handler(s.postPair))
	mux.Handle("POST /devices/revoke", handler(s.postRevoke))
	mux.Handle("GET /static/", files)
	mux.Handle("GET /manifest.webmanifest", handler(s.manifest))
	mux.Handle("GET /asleep", handler(func(w http.ResponseWriter, r *http.Request) error {
		return s.show(w, r, http.StatusOK, "asleep", web.Missing{Frame: web.Frame{Title: "Laptop not reached", Module: "asleep.js"}})
	}))
	mux.Handle("GET /sw.js", handler(s.worker))
	mux.Handle("/", handler(func(w http.ResponseWriter, r *http.Request) error {
		return s.missing(w, r, "The address "+r.URL.Path+" leads nowhere.")
	}))
	return nil
}

// show writes a page.
func (s *Server) show(w http.ResponseWriter, r *http.Request, status int, name string, view any) error {
	theme := ""
	if c, err := r.Cookie("theme"); err == nil {
		theme = c.Value
	}
	var b bytes.Buffer
	if err := s.pages.Execute(&b, name, theme, view); err != nil {
		return err
	}
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	return squeeze(w, r, status, b.Bytes())
}

// squeeze writes an answer, compressed if the reader takes that.
func squeeze(w http.ResponseWriter, r *http.Request, status int, data []byte) error {
	w.Header().Set("Cache-Control", "no-cache")
	w.Header().Add("Vary", "Accept-Encoding")
	if !takesGzip(r) {
		w.WriteHeader(status)
		_, _ = w.Write(data)
		return nil
	}
	w.Header().Set("Content-Encoding", "gzip")
	w.WriteHeader(status)
	z := gzip.NewWriter(w)
	_, _ = z.Write(data) // a reader that has gone wants no answer
	_ = z.Close()
	return nil
}

func (s *Server) missing(w http.ResponseWriter, r *http.Request, what string) error {
	return s.show(w, r, http.StatusNotFound, "missing", web.Missing{Frame: web.Frame{Title: "Nothing here", Module: "plain.js"}, What: what})
}

func (s *Server) talkPage(w http.ResponseWriter, r *http.Request) error {
	v := web.Talk{Frame: web.Frame{Title: "Job card", Here: "talk", Module: "talk.js"}, Examples: examples}
	if id := r.PathValue("id"); id != "" {
		if _, err := s.desk.Case(id); notFound(err) {
			return s.missing(w, r, "There is no job "+id+".")
		} else if err != nil {
			return err
		}
		v.Case = id
	}
	return s.show(w, r, http.StatusOK, "talk", v)
}

func (s *Server) pairView(r *http.Request, wrong string) web.Pair {
	return web.Pair{Frame: web.Frame{Title: "Pair this phone", Module: "pair.js", Bare: true}, Wrong: wrong, Plain: r.TLS == nil}
}

func (s *Server) phonePage(w http.ResponseWriter, r *http.Request) error {
	here, _ := s.admitted(r)
	v := web.Phone{Frame: web.Frame{Title: "Phone at the car", Here: "phone", Module: "plain.js"}, Open: s.pairing != nil, Local: local(r), Plain: r.TLS == nil}
	if s.pairing != nil {
		if v.Local {
			v.Phrase = s.pairing.Phrase()
			for _, a := range s.doors {
				d, err := door(a, v.Phrase)
				if err != nil {
					return err
				}
				v.Doors = append(v.Doors, d)
			}
		}
		for _, d := range s.pairing.devices() {
			v.Devices = append(v.Devices, web.Device{ID: d.ID, Name: d.Name, Since: d.Since.Format("2006-01-02 15:04"), Seen: d.Seen.Format("2006-01-02 15:04"), This: d.ID == here.ID && here.ID != ""})
		}
	}
	return s.show(w, r, http.StatusOK, "phone", v)
}

// PairAddress is what a QR code holds: the phrase stands behind the # and is
// never sent, only filled in.
func PairAddress(address, phrase string) string {
	return address + "/pair#" + strings.ReplaceAll(phrase, " ", "-")
}

// door draws the QR code of an address; one path of unit squares, with the
// quiet zone of four modules that ISO/IEC 18004 asks for.
func door(address, phrase string) (web.Door, error) {
	code, err := qr.Encode(PairAddress(address, phrase), qr.M)
	if err != nil {
		return web.Door{}, err
	}
	const quiet = 4
	var path strings.Builder
	for y := range code.Size {
		for x := range code.Size {
			if code.Black(x, y) {
				path.WriteString("M" + strconv.Itoa(x+quiet) + " " + strconv.Itoa(y+quiet) + "h1v1h-1z")
			}
		}
	}
	return web.Door{Address: address, Size: code.Size + 2*quiet, Path: path.String()}, nil
}

func (s *Server) manifest(w http.ResponseWriter, r *http.Request) error {
	w.Header().Set("Content-Type", "application/manifest+json")
	return json.NewEncoder(w).Encode(map[string]any{
		"name": "Ruleout", "short_name": "Ruleout", "description": "Find the failed part of an older car by ruling the others out.",
		"start_url": "/", "scope": "/", "display": "standalone", "background_color": "#e9e2cf", "theme_color": "#23323a",
		"icons": []map[string]string{
			{"src": s.pages.Asset("icon.svg"), "sizes": "any", "type": "image/svg+xml", "purpose": "any"},
			{"src": s.pages.Asset("icon-192.png"), "sizes": "192x192", "type": "image/png", "purpose": "any"},
			{"src": s.pages.Asset("icon-512.png"), "sizes": "512x512", "type": "image/png", "purpose": "any"},
			{"src": s.pages.Asset("icon-mask-512.png"), "sizes": "512x512", "type": "image/png", "purpose": "maskable"},
		},
	})
}

func (s *Server) worker(w http.ResponseWriter, r *http.Request) error {
	text, err := s.pages.Worker()
	if err != nil {
		return err
	}
	w.Header().Set("Content-Type", "text/javascript; charset=utf-8")
	w.Header().Set("Cache-Control", "no-cache")
	_, err = w.Write(text)
	return err
}

// packed serves the static files, compressed once at the start. Their address
// holds their version, so they may be kept for ever.
func packed(pages *web.Pages) (http.Handler, error) {
	type file struct {
		kind       string
		plain, zip []byte
	}
	files := map[string]file{}
	for _, p := range pages.Paths() {
		data, err := fs.ReadFile(pages.Files, p)
		if err != nil {
			return nil, err
		}
		var b bytes.Buffer
		z, err := gzip.NewWriterLevel(&b, gzip.BestCompression)
		if err != nil {
			return nil, err
		}
		if _, err := z.Write(data); err != nil {
			return nil, err
		}
		if err := z.Close(); err != nil {
			return nil, err
		}
		kind := mime.TypeByExtension(path.Ext(p))
		switch path.Ext(p) { // not left to the machine's own list of types
		case ".js":
			kind = "text/javascript; charset=utf-8"
		case ".png":
			kind = "image/png"
		case ".svg":
			kind = "image/svg+xml"
		}
		files[pages.Asset(p)] = file{kind, data, b.Bytes()}
	}
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		f, ok := files[r.URL.Path]
		if !ok {
			http.NotFound(w, r)
			return
		}
		w.Header().Set("Content-Type", f.kind)
		w.Header().Set("Cache-Control", "public, max-age=31536000, immutable")
		w.Header().Set("Vary", "Accept-Encoding")
		data := f.plain
		if takesGzip(r) {
			w.Header().Set("Content-Encoding", "gzip")
			data = f.zip
		}
		w.Header().Set("Content-Length", strconv.Itoa(len(data)))
		_, _ = w.Write(data)
	}), nil
}

func takesGzip(r *http.Request) bool {
	for _, e := range strings.Split(r.Header.Get("Accept-Encoding"), ",") {
		name, q, _ := strings.Cut(strings.TrimSpace(e), ";")
		if name == "gzip" && strings.TrimSpace(q) != "q=0" {
			return true
		}
	}
	return false
}

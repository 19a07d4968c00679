package chat

import (
	"errors"
	"fmt"
	"net/http"
	"strconv"
	"strings"
	"sync"
	"time"

	"ruleout/server/casebook"
	"ruleout/server/casebook/photo"
)

// NoteSent is a note for a turn; turn 0 is the case as a whole.
type NoteSent struct {
	Turn int    `json:"turn"`
	Note string `json:"note"`
}

// decoding lets one picture be decoded at a time: a large one takes a hundred
// megabytes while it lasts.
var decoding sync.Mutex

// attach checks that a turn exists and stores a note or photo for it.
func (d *Desk) attach(id string, turn int, note string, data []byte) (casebook.Attached, error) {
	a := casebook.Attached{Turn: turn, When: d.now().UTC().Truncate(time.Millisecond), Note: strings.TrimSpace(note)}
	c, err := d.open(id)
	if err != nil {
		return a, err
	}
	c.mu.Lock()
	turns := len(c.turns)
	c.mu.Unlock()
	switch {
	case turn < 0 || turn > turns:
		return a, badRequest(fmt.Sprintf("there is no turn %d; the case has %d", turn, turns), "turn 0 is the case as a whole")
	case len([]rune(a.Note)) > noteMost:
		return a, badRequest(fmt.Sprintf("the note is longer than %d letters", noteMost), "make two of it")
	case data == nil && a.Note == "":
		return a, badRequest("the note is empty", "write something")
	}
	if data == nil {
		a.Number, err = d.book.Attach(id, a)
		return a, tooMany(err)
	}
	decoding.Lock()
	clean, err := photo.Keep(data)
	decoding.Unlock()
	switch {
	case errors.Is(err, photo.ErrKind):
		return a, &problem{Status: http.StatusUnsupportedMediaType, What: "this is neither JPEG nor PNG", Mend: "save the picture as one of these and send it again"}
	case errors.Is(err, photo.ErrLarge):
		return a, &problem{Status: http.StatusRequestEntityTooLarge, What: photo.ErrLarge.Error(), Mend: "take it with fewer points, or cut it"}
	case errors.Is(err, photo.ErrBad):
		return a, badRequest("the picture is damaged or not whole", "take it or save it again")
	case err != nil:
		return a, err
	}
	a.Width, a.Height = clean.Width, clean.Height
	a.Number, a.Photo, err = d.book.AttachPhoto(id, a, clean.Kind, clean.Data)
	return a, tooMany(err)
}

func tooMany(err error) error {
	if errors.Is(err, casebook.ErrTooMany) {
		return badRequest("the case has as many notes and photos as it may", "take some away")
	}
	return err
}

func (s *Server) listAttached(w http.ResponseWriter, r *http.Request) error {
	list, err := s.desk.book.Attached(r.PathValue("id"))
	if err != nil {
		return err
	}
	writeJSON(w, http.StatusOK, map[string]any{"attached": orEmpty(list)})
	return nil
}

func (s *Server) postNote(w http.ResponseWriter, r *http.Request) error {
	var n NoteSent
	if err := readJSON(w, r, formBytes, &n); err != nil {
		return err
	}
	a, err := s.desk.attach(r.PathValue("id"), n.Turn, n.Note, nil)
	if err != nil {
		return err
	}
	writeJSON(w, http.StatusCreated, a)
	return nil
}

// postPhoto takes the bytes of a picture; ?turn= and ?note= go with it.
func (s *Server) postPhoto(w http.ResponseWriter, r *http.Request) error {
	q := r.URL.Query()
	turn, err := strconv.Atoi(q.Get("turn"))
	if err != nil && q.Get("turn") != "" {
		return badRequest("turn must be a number, got "+strconv.Quote(q.Get("turn")), "count the turns of the case from 1")
	}
	data, err := body(w, r, photo.BytesMost)
	if err != nil {
		return err
	}
	if data == nil {
		data = []byte{}
	}
	a, err := s.desk.attach(r.PathValue("id"), turn, q.Get("note"), data)
	if err != nil {
		return err
	}
	writeJSON(w, http.StatusCreated, a)
	return nil
}

func (s *Server) deleteAttached(w http.ResponseWriter, r *http.Request) error {
	n, err := strconv.Atoi(r.PathValue("n"))
	if err != nil || n < 1 {
		return badRequest("a note is named by its number, got "+strconv.Quote(r.PathValue("n")), "GET …/attached lists them")
	}
	if err := s.desk.book.Detach(r.PathValue("id"), n); err != nil {
		return err
	}
	w.WriteHeader(http.StatusNoContent)
	return nil
}

// getPhoto serves a photo of a case as nothing but a picture.
func (s *Server) getPhoto(w http.ResponseWriter, r *http.Request) error {
	id, name := r.PathValue("id"), r.PathValue("name")
	list, err := s.desk.book.Attached(id)
	if err != nil {
		return err
	}
	for _, a := range list {
		if a.Photo != name || name == "" {
			continue
		}
		data, err := s.desk.book.Photo(name)
		if err != nil {
			return err
		}
		kind := "image/jpeg"
		if strings.HasSuffix(name, ".png") {
			kind = "image/png"
		}
		h := w.Header()
		h.Set("Content-Type", kind)
		h.Set("Content-Security-Policy", "default-src 'none'; sandbox")
		h.Set("Content-Disposition", "inline")
		h.Set("Cache-Control", "private, max-age=31536000, immutable")
		h.Set("Content-Length", strconv.Itoa(len(data)))
		_, err = w.Write(data)
		return err
	}
	return fmt.Errorf("%w: photo %.80q of case %.60q", casebook.ErrNotFound, name, id)
}

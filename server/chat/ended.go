package chat

import (
	"fmt"
	"net/http"
	"strings"

	"ruleout/server/casebook"
)

// EndedSent closes a case other than by a proven cure.
type EndedSent struct {
	// As is "something else" or "handed over", or "open" to take it up again.
	As   string `json:"as"`
	Note string `json:"note"`
}

// End closes a case as something that no article covers, which counts among
// what was learned, or as handed over to a workshop, which counts nothing.
func (d *Desk) End(id string, sent EndedSent) error {
	note := strings.TrimSpace(sent.Note)
	switch {
	case sent.As != casebook.EndedElse && sent.As != casebook.EndedShop && sent.As != "open":
		return badRequest(fmt.Sprintf("a case can't be closed as %.40q", sent.As), "close it as something else or handed over; a cure is told in the conversation")
	case sent.As == casebook.EndedElse && note == "":
		return badRequest("it is not said what it was", "write it down in a few words")
	case len([]rune(note)) > noteMost:
		return badRequest(fmt.Sprintf("the note is longer than %d letters", noteMost), "shorten it")
	}
	c, err := d.open(id)
	if err != nil {
		return err
	}
	c.mu.Lock()
	defer c.mu.Unlock()
	var e *casebook.Ended
	if sent.As != "open" {
		if len(c.turns) == 0 || c.state.Closed == "cured" {
			return badRequest("the case has no turn yet or is closed as cured", "tell in the conversation what is new")
		}
		e = &casebook.Ended{As: sent.As, Note: note, Turns: len(c.turns)}
	}
	if err := d.book.End(id, e); err != nil {
		return err
	}
	c.about.Ended = e
	d.lines.forget(id)
	return nil
}

// ended is how a case was closed, if it was and nothing was told since.
func (c *conversation) ended() *casebook.Ended {
	if e := c.about.Ended; e != nil && e.Turns == len(c.turns) {
		return e
	}
	return nil
}

// endedWords says it in a sentence.
func endedWords(e *casebook.Ended) string {
	text := "Closed as " + e.As
	if e.Note != "" {
		text += ": " + strings.TrimSuffix(strings.Join(strings.Fields(e.Note), " "), ".")
	}
	return text + "."
}

// forget lets the line of a case be made anew.
func (l *lines) forget(id string) {
	l.mu.Lock()
	defer l.mu.Unlock()
	delete(l.known, id)
	l.version++
}

func (s *Server) postEnded(w http.ResponseWriter, r *http.Request) error {
	var sent EndedSent
	if err := readJSON(w, r, formBytes, &sent); err != nil {
		return err
	}
	if err := s.desk.End(r.PathValue("id"), sent); err != nil {
		return err
	}
	w.WriteHeader(http.StatusNoContent)
	return nil
}

func (s *Server) endedForm(w http.ResponseWriter, r *http.Request) error {
	r.Body = http.MaxBytesReader(w, r.Body, formBytes)
	err := s.desk.End(r.PathValue("id"), EndedSent{As: r.PostFormValue("as"), Note: r.PostFormValue("note")})
	return s.afterForm(w, r, err, "/cases/"+r.PathValue("id")+"/file?done=ended")
}

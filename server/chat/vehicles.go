package chat

import (
	"crypto/rand"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"maps"
	"mime"
	"net/http"
	"regexp"
	"slices"
	"strings"
	"time"
	"unicode"

	"ruleout/kb"
	"ruleout/server/casebook"
)

// Limits of a vehicle sheet and of a note, in letters.
const (
	nameMost  = 80
	valueMost = 60
	noteMost  = 2000
	formBytes = 64 << 10
)

// SheetSent is a vehicle sheet as it comes in. From may name a case whose
// facts are taken over where Facts says nothing.
type SheetSent struct {
	Name         string            `json:"name"`
	Facts        map[string]string `json:"facts"`
	Arrangements map[string]string `json:"arrangements"`
	Notes        string            `json:"notes"`
	From         string            `json:"from"`
}

// Sheet is a vehicle sheet with its cases.
type Sheet struct {
	casebook.Vehicle
	Cases []Listed `json:"cases"`
}

// CaseVehicle is what a case knows of its vehicle, beside the sheet it began
// with.
type CaseVehicle struct {
	// Sheet is the id of the sheet, empty without one; Name what it is called.
	Sheet string            `json:"sheet"`
	Name  string            `json:"name"`
	Facts map[string]string `json:"facts"`
	// Corrections are the facts that differ from what the sheet says now: told
	// in the case, and not on the sheet.
	Corrections []Correction `json:"corrections"`
}

// Correction is one fact that a case knows otherwise than its sheet.
type Correction struct {
	Attribute string `json:"attribute"`
	Title     string `json:"title"`
	Case      string `json:"case"`
	Sheet     string `json:"sheet"` // empty when the sheet says nothing
}

// free are the attributes whose values no list holds, with what is asked.
var free = []struct{ id, title string }{{"year", "Year"}, {"mileage", "Mileage"}, {"engine-litres", "Engine, litres"}, {"make-unknown", "Make and model"}}

var yearForm = regexp.MustCompile(`^(18[89]\d|19\d\d|20\d\d|2100)$`)

// checkSheet tidies a sheet and says what is wrong with it.
func checkSheet(b *kb.Base, s *SheetSent) error {
	s.Name = strings.Join(strings.Fields(s.Name), " ")
	switch {
	case s.Name == "":
		return badRequest("the vehicle has no name", "give it one you will know it by, such as “the van”")
	case !short(s.Name, nameMost):
		return badRequest(fmt.Sprintf("the name is longer than %d letters or holds control characters", nameMost), "choose a shorter one")
	case len([]rune(s.Notes)) > noteMost:
		return badRequest(fmt.Sprintf("the notes are longer than %d letters", noteMost), "shorten them")
	case len(s.Arrangements) > 60:
		return badRequest("there are more than 60 arrangements", "leave some out")
	}
	for _, k := range slices.Sorted(maps.Keys(s.Facts)) {
		v := strings.Join(strings.Fields(s.Facts[k]), " ")
		if v == "" {
			delete(s.Facts, k)
			continue
		}
		s.Facts[k] = v
		if err := checkFact(b, k, v); err != nil {
			return err
		}
	}
	for _, k := range slices.Sorted(maps.Keys(s.Arrangements)) {
		if err := checkArrangement(b, k, s.Arrangements[k]); err != nil {
			return err
		}
	}
	return nil
}

// checkArrangement holds a circuit and its arrangement to the articles.
func checkArrangement(b *kb.Base, circuit, arrangement string) error {
	var circuits []string
	for _, c := range b.Circuits {
		circuits = append(circuits, c.ID)
		if c.ID != circuit {
			continue
		}
		var ids []string
		for _, a := range c.Arrangements {
			if a.ID == arrangement {
				return nil
			}
			ids = append(ids, a.ID)
		}
		return badRequest(fmt.Sprintf("%s can't be arranged as %.60q", circuit, arrangement), "it is one of "+strings.Join(ids, ", "))
	}
	return badRequest(fmt.Sprintf("there is no circuit %.60q", circuit), "there are "+strings.Join(circuits, ", "))
}

func checkFact(b *kb.Base, attribute, value string) error {
	for _, a := range b.Lists.Vehicle {
		if a.ID != attribute {
			continue
		}
		var ids []string
		for _, v := range a.Values {
			if v.ID == value {
				return nil
			}
			ids = append(ids, v.ID)
		}
		return badRequest(fmt.Sprintf("%s can't be %q", attribute, value), "it is one of "+strings.Join(ids, ", "))
	}
	for _, f := range free {
		switch {
		case f.id != attribute:
		case attribute == "year" && !yearForm.MatchString(value):
			return badRequest(fmt.Sprintf("%q is no year", value), "write the year with four digits")
		case !short(value, valueMost):
			return badRequest(fmt.Sprintf("%s is longer than %d letters or holds control characters", attribute, valueMost), "shorten it")
		default:
			return nil
		}
	}
	var ids []string
	for _, a := range b.Lists.Vehicle {
		ids = append(ids, a.ID)
	}
	for _, f := range free {
		ids = append(ids, f.id)
	}
	return badRequest(fmt.Sprintf("nothing is known of the attribute %.60q", attribute), "there are "+strings.Join(ids, ", "))
}

// short reports whether text is one line of at most so many letters.
func short(s string, most int) bool {
	return len([]rune(s)) <= most && strings.IndexFunc(s, unicode.IsControl) < 0
}

// readJSON reads a small JSON body into a value.
func readJSON(w http.ResponseWriter, r *http.Request, most int64, into any) error {
	if t, _, err := mime.ParseMediaType(r.Header.Get("Content-Type")); err != nil || t != "application/json" {
		return &problem{Status: http.StatusUnsupportedMediaType, What: "this comes as application/json", Mend: `set Content-Type: application/json`}
	}
	data, err := body(w, r, most)
	if err != nil {
		return err
	}
	if err := json.Unmarshal(data, into); err != nil {
		return badRequest("this is not the JSON object expected: "+err.Error(), "see /api/openapi.yaml")
	}
	return nil
}

// body reads a body of bounded size.
func body(w http.ResponseWriter, r *http.Request, most int64) ([]byte, error) {
	data, err := io.ReadAll(http.MaxBytesReader(w, r.Body, most))
	var large *http.MaxBytesError
	switch {
	case errors.As(err, &large):
		return nil, &problem{Status: http.StatusRequestEntityTooLarge, What: fmt.Sprintf("this is larger than %d KiB", most>>10), Mend: "send less at a time"}
	case err != nil:
		return nil, badRequest("it did not arrive whole", "send it again")
	}
	return data, nil
}

func newID() string { return strings.ToLower(rand.Text()[:12]) }

// keepSheet checks and stores a sheet; an empty id makes a new one.
func (d *Desk) keepSheet(id string, sent SheetSent) (casebook.Vehicle, error) {
	var v casebook.Vehicle
	if sent.From != "" {
		known, err := d.CaseVehicle(sent.From)
		if err != nil {
			return v, err
		}
		facts := known.Facts
		maps.Copy(facts, sent.Facts)
		sent.Facts = facts
	}
	if err := checkSheet(d.Engine().Base(), &sent); err != nil {
		return v, err
	}
	if id == "" {
		id = newID()
	} else if _, err := d.book.Vehicle(id); err != nil {
		return v, err
	}
	if sent.Facts == nil {
		sent.Facts = map[string]string{}
	}
	v = casebook.Vehicle{ID: id, Name: sent.Name, Facts: sent.Facts, Arrangements: sent.Arrangements, Notes: sent.Notes, Changed: d.now().UTC().Truncate(time.Millisecond)}
	if err := d.book.PutVehicle(v); err != nil || sent.From == "" {
		return v, err
	}
	return v, d.adopt(sent.From, id)
}

// adopt makes a sheet that of a case that has none.
func (d *Desk) adopt(id, sheet string) error {
	c, err := d.open(id)
	if err != nil {
		return err
	}
	c.mu.Lock()
	defer c.mu.Unlock()
	if c.about.Vehicle != "" {
		return nil
	}
	if err := d.book.Adopt(id, sheet); err != nil {
		return err
	}
	c.about.Vehicle = sheet
	return nil
}

// Sheet returns a vehicle sheet with its cases, newest first.
func (d *Desk) Sheet(id string) (Sheet, error) {
	v, err := d.book.Vehicle(id)
	if err != nil {
		return Sheet{}, err
	}
	all, err := d.List()
	if err != nil {
		return Sheet{}, err
	}
	all = slices.DeleteFunc(all, func(l Listed) bool { return l.Sheet != id })
	return Sheet{Vehicle: v, Cases: orEmpty(all)}, nil
}

// CaseVehicle is what a case knows of its vehicle.
func (d *Desk) CaseVehicle(id string) (CaseVehicle, error) {
	c, err := d.open(id)
	if err != nil {
		return CaseVehicle{}, err
	}
	c.mu.Lock()
	c.follow(d.Engine())
	facts := maps.Clone(c.state.Vehicle)
	about := c.about
	c.mu.Unlock()
	out := CaseVehicle{Facts: facts, Corrections: []Correction{}}
	if about.Vehicle == "" {
		return out, nil
	}
	v, err := d.book.Vehicle(about.Vehicle)
	if notFound(err) {
		return out, nil // the sheet was thrown away
	} else if err != nil {
		return out, err
	}
	out.Sheet, out.Name = v.ID, v.Name
	out.Corrections = orEmpty(Corrections(d.Engine().Base(), facts, v.Facts))
	return out, nil
}

// Corrections are the facts of a case that its sheet says otherwise, or
// nothing of, but for what follows from the sheet by itself.
func Corrections(b *kb.Base, facts, sheet map[string]string) []Correction {
	var out []Correction
	for _, k := range sortedKeys(facts) {
		if facts[k] != sheet[k] && checkFact(b, k, facts[k]) == nil && !implied(b, sheet, k, facts[k]) {
			out = append(out, Correction{k, attributeTitle(b, k), facts[k], sheet[k]})
		}
	}
	return out
}

// implied reports whether a fact follows by itself from others, as glow plugs
// do from diesel.
func implied(b *kb.Base, facts map[string]string, attribute, value string) bool {
	for _, a := range b.Lists.Vehicle {
		for _, v := range a.Values {
			if facts[a.ID] == v.ID && v.Implies[attribute] == value {
				return true
			}
		}
	}
	return false
}

func attributeTitle(b *kb.Base, id string) string {
	for _, a := range b.Lists.Vehicle {
		if a.ID == id {
			return a.Title
		}
	}
	for _, f := range free {
		if f.id == id {
			return f.title
		}
	}
	return id
}

// valueTitle is a value in words.
func valueTitle(b *kb.Base, id, value string) string {
	for _, a := range b.Lists.Vehicle {
		for _, v := range a.Values {
			if a.ID == id && v.ID == value {
				return v.Title
			}
		}
	}
	return value
}

// Carry puts what a case knows better onto its sheet: the attributes named, or
// all corrections.
func (d *Desk) Carry(id string, attributes []string) (casebook.Vehicle, error) {
	known, err := d.CaseVehicle(id)
	if err != nil {
		return casebook.Vehicle{}, err
	}
	if known.Sheet == "" {
		return casebook.Vehicle{}, badRequest("the case has no vehicle sheet", "make one from the case: POST /api/vehicles with from")
	}
	v, err := d.book.Vehicle(known.Sheet)
	if err != nil {
		return v, err
	}
	if v.Facts == nil {
		v.Facts = map[string]string{}
	}
	for _, c := range known.Corrections {
		if len(attributes) == 0 || slices.Contains(attributes, c.Attribute) {
			v.Facts[c.Attribute] = c.Case
		}
	}
	v.Changed = d.now().UTC().Truncate(time.Millisecond)
	return v, d.book.PutVehicle(v)
}

func (s *Server) listVehicles(w http.ResponseWriter, r *http.Request) error {
	all, err := s.desk.book.Vehicles()
	if err != nil {
		return err
	}
	writeJSON(w, http.StatusOK, map[string]any{"vehicles": orEmpty(all)})
	return nil
}

func (s *Server) postVehicle(w http.ResponseWriter, r *http.Request) error {
	return s.takeSheet(w, r, "", http.StatusCreated)
}

func (s *Server) putVehicle(w http.ResponseWriter, r *http.Request) error {
	return s.takeSheet(w, r, r.PathValue("id"), http.StatusOK)
}

func (s *Server) takeSheet(w http.ResponseWriter, r *http.Request, id string, status int) error {
	var sent SheetSent
	if err := readJSON(w, r, formBytes, &sent); err != nil {
		return err
	}
	v, err := s.desk.keepSheet(id, sent)
	if err != nil {
		return err
	}
	writeJSON(w, status, v)
	return nil
}

func (s *Server) getVehicle(w http.ResponseWriter, r *http.Request) error {
	v, err := s.desk.Sheet(r.PathValue("id"))
	if err != nil {
		return err
	}
	writeJSON(w, http.StatusOK, v)
	return nil
}

func (s *Server) deleteVehicle(w http.ResponseWriter, r *http.Request) error {
	if err := s.desk.book.DeleteVehicle(r.PathValue("id")); err != nil {
		return err
	}
	w.WriteHeader(http.StatusNoContent)
	return nil
}

func (s *Server) getCaseVehicle(w http.ResponseWriter, r *http.Request) error {
	v, err := s.desk.CaseVehicle(r.PathValue("id"))
	if err != nil {
		return err
	}
	writeJSON(w, http.StatusOK, v)
	return nil
}

// carrySent names the attributes to carry over; none means all.
type carrySent struct {
	Attributes []string `json:"attributes"`
}

func (s *Server) postCarry(w http.ResponseWriter, r *http.Request) error {
	var sent carrySent
	if err := readJSON(w, r, formBytes, &sent); err != nil {
		return err
	}
	v, err := s.desk.Carry(r.PathValue("id"), sent.Attributes)
	if err != nil {
		return err
	}
	writeJSON(w, http.StatusOK, v)
	return nil
}

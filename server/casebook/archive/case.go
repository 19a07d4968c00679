package archive

import (
	"bytes"
	"fmt"
	"math"
	"regexp"
	"time"
	"unicode/utf8"

	"gopkg.in/yaml.v3"

	"ruleout/dialog"
	"ruleout/dialog/learn"
	"ruleout/server/casebook"
)

// version is the format of a case's file.
const version = 1

// Limits of one case.
const (
	CaseBytesMost = 16 << 20
	turnsMost     = 5000
	textMost      = 2 << 20
	noteMost      = 2000
	factMost      = 120
)

// Fault says where in what is read something is wrong, what, and how to mend
// it.
type Fault struct{ Where, What, Mend string }

func (f *Fault) Error() string {
	if f.Mend == "" {
		return f.Where + ": " + f.What
	}
	return f.Where + ": " + f.What + "; " + f.Mend
}

func fault(where, mend, format string, args ...any) error {
	return &Fault{where, fmt.Sprintf(format, args...), mend}
}

// file is a case as it is written.
type file struct {
	Version  int            `yaml:"ruleout-case"`
	ID       string         `yaml:"id"`
	Begun    time.Time      `yaml:"begun"`
	Vehicle  *vehicleFacts  `yaml:"vehicle,omitempty"`
	Counts   *learn.Counts  `yaml:"counts,omitempty"`
	Turns    []turn         `yaml:"turns"`
	Attached []attachedLine `yaml:"attached,omitempty"`
	Ended    *ended         `yaml:"ended,omitempty"`
}

// ended is how the case was closed other than by a proven cure.
type ended struct {
	As    string `yaml:"as"`
	Note  string `yaml:"note,omitempty"`
	Turns int    `yaml:"turns"`
}

type vehicleFacts struct {
	Sheet string            `yaml:"sheet,omitempty"`
	Facts map[string]string `yaml:"facts,omitempty"`
}

type turn struct {
	When time.Time `yaml:"when"`
	Key  string    `yaml:"key,omitempty"`
	Says string    `yaml:"says"`
	Tap  *tap      `yaml:"tap,omitempty"`
	// Answer is for whoever reads the file; it is not read back.
	Answer string `yaml:"answer,omitempty"`
}

// tap is dialog.Tap with the names of this file.
type tap struct {
	Finding string   `yaml:"finding,omitempty"`
	Outcome string   `yaml:"outcome,omitempty"`
	Value   *float64 `yaml:"value,omitempty"`
	Unit    string   `yaml:"unit,omitempty"`
	Ticks   []tick   `yaml:"ticks,omitempty"`
	Strike  int      `yaml:"strike,omitempty"`
	Request string   `yaml:"request,omitempty"`
	About   string   `yaml:"about,omitempty"`
	Choice  int      `yaml:"choice,omitempty"`
}

type tick struct {
	Finding string `yaml:"finding"`
	Outcome string `yaml:"outcome"`
}

type attachedLine struct {
	Turn   int       `yaml:"turn"`
	When   time.Time `yaml:"when"`
	Note   string    `yaml:"note,omitempty"`
	Photo  string    `yaml:"photo,omitempty"`
	Width  int       `yaml:"width,omitempty"`
	Height int       `yaml:"height,omitempty"`
}

// WriteCase writes a case. Answer gives the reply to turn n, counted from 1, to
// be read by people; it may be nil.
func WriteCase(w casebook.Whole, answer func(n int) string) ([]byte, error) {
	f := file{Version: version, ID: w.ID, Begun: w.About.Begun, Counts: w.About.Given.Learned, Turns: []turn{}}
	if w.About.Vehicle != "" || len(w.About.Given.Vehicle) > 0 {
		f.Vehicle = &vehicleFacts{w.About.Vehicle, w.About.Given.Vehicle}
	}
	for i, r := range w.Records {
		t := turn{When: r.When, Key: r.Key, Says: r.Turn.Text, Tap: tapOut(r.Turn.Tap)}
		if answer != nil {
			t.Answer = answer(i + 1)
		}
		f.Turns = append(f.Turns, t)
	}
	for _, a := range w.Attached {
		f.Attached = append(f.Attached, attachedLine{a.Turn, a.When, a.Note, a.Photo, a.Width, a.Height})
	}
	if e := w.About.Ended; e != nil {
		f.Ended = &ended{e.As, e.Note, e.Turns}
	}
	return marshal(f)
}

func marshal(v any) ([]byte, error) {
	var b bytes.Buffer
	enc := yaml.NewEncoder(&b)
	enc.SetIndent(2)
	if err := enc.Encode(v); err != nil {
		return nil, err
	}
	return b.Bytes(), enc.Close()
}

func tapOut(t *dialog.Tap) *tap {
	if t == nil {
		return nil
	}
	out := &tap{Finding: t.Finding, Outcome: t.Outcome, Value: t.Value, Unit: t.Unit, Strike: t.Strike, Request: t.Request, About: t.About, Choice: t.Choice}
	for _, x := range t.Ticks {
		out.Ticks = append(out.Ticks, tick(x))
	}
	return out
}

func tapIn(t *tap) *dialog.Tap {
	if t == nil {
		return nil
	}
	out := &dialog.Tap{Finding: t.Finding, Outcome: t.Outcome, Value: t.Value, Unit: t.Unit, Strike: t.Strike, Request: t.Request, About: t.About, Choice: t.Choice}
	for _, x := range t.Ticks {
		out.Ticks = append(out.Ticks, dialog.TickAnswer(x))
	}
	return out
}

// idForm is what an id of a case or vehicle may be.
var idForm = regexp.MustCompile(`^[a-z0-9][a-z0-9-]{0,39}$`)

// ReadCase reads a case and says what is wrong with it, if anything. Name is
// what the file is called, for the fault.
func ReadCase(name string, data []byte) (casebook.Whole, error) {
	var f file
	if err := readYAML(name, data, CaseBytesMost, "ruleout-case", version, &f); err != nil {
		return casebook.Whole{}, err
	}
	w := casebook.Whole{ID: f.ID, About: casebook.About{Begun: f.Begun}}
	switch {
	case !idForm.MatchString(f.ID):
		return w, fault(name, "an id is 1 to 40 small letters, digits and dashes", "its id is %.60q", f.ID)
	case len(f.Turns) > turnsMost:
		return w, fault(name, "", "it has %d turns; a case has at most %d", len(f.Turns), turnsMost)
	case len(f.Attached) > casebook.AttachedMost:
		return w, fault(name, "take some away", "it has %d notes and photos; a case has at most %d", len(f.Attached), casebook.AttachedMost)
	case len(f.Turns) == 0:
		return w, fault(name, "a case has at least one", "it has no turns")
	}
	if f.Vehicle != nil {
		if s := f.Vehicle.Sheet; s != "" && !idForm.MatchString(s) {
			return w, fault(name+", vehicle", "leave the sheet out", "the sheet is called %.60q", s)
		}
		if err := checkFacts(name+", vehicle", f.Vehicle.Facts); err != nil {
			return w, err
		}
		w.About.Vehicle, w.About.Given.Vehicle = f.Vehicle.Sheet, f.Vehicle.Facts
	}
	if e := f.Ended; e != nil {
		if e.As != casebook.EndedElse && e.As != casebook.EndedShop || len(e.Note) > 4*noteMost || e.Turns < 0 || e.Turns > len(f.Turns) {
			return w, fault(name+", ended", "leave it out", "a case of %d turns can't have ended as %.40q at turn %d", len(f.Turns), e.As, e.Turns)
		}
		w.About.Ended = &casebook.Ended{As: e.As, Note: e.Note, Turns: e.Turns}
	}
	if c := f.Counts; c != nil {
		if err := checkCounts(name+", counts", c); err != nil {
			return w, err
		}
		w.About.Given.Learned = c
	}
	for i, t := range f.Turns {
		where := fmt.Sprintf("%s, turn %d", name, i+1)
		switch {
		case len(t.Says) > textMost:
			return w, fault(where, "", "it says more than 2 MiB")
		case len(t.Key) > 100:
			return w, fault(where, "leave it out", "its key is longer than 100 bytes")
		case t.When.IsZero():
			return w, fault(where, `write it as when: 2026-03-01T09:12:30Z`, "it has no time")
		case t.Tap != nil && t.Tap.Value != nil && !(math.Abs(*t.Tap.Value) <= 1e12):
			return w, fault(where, "", "no meter reads %g", *t.Tap.Value)
		}
		w.Records = append(w.Records, casebook.Record{Key: t.Key, When: t.When, Turn: dialog.Turn{Text: t.Says, Tap: tapIn(t.Tap)}})
	}
	for i, a := range f.Attached {
		where := fmt.Sprintf("%s, attached %d", name, i+1)
		switch {
		case a.Turn < 0 || a.Turn > len(f.Turns):
			return w, fault(where, "", "it belongs to turn %d; there are %d", a.Turn, len(f.Turns))
		case a.Photo != "" && !casebook.PhotoName(a.Photo):
			return w, fault(where, "a photo is called by the SHA-256 of its bytes, with .jpg or .png", "its photo is called %.80q", a.Photo)
		case len(a.Note) > 4*noteMost: // letters may take four bytes
			return w, fault(where, "make two of it", "its note is longer than %d letters", noteMost)
		case a.Photo == "" && a.Note == "":
			return w, fault(where, "", "it has neither note nor photo")
		}
		w.Attached = append(w.Attached, casebook.Attached{Turn: a.Turn, When: a.When, Note: a.Note, Photo: a.Photo, Width: a.Width, Height: a.Height})
	}
	return w, nil
}

func checkFacts(where string, facts map[string]string) error {
	if len(facts) > 60 {
		return fault(where, "", "it has %d facts; at most 60 are taken", len(facts))
	}
	for _, k := range keys(facts) {
		if !idForm.MatchString(k) || len(facts[k]) > factMost || !plainText(facts[k]) {
			return fault(where, "a fact is one short line, such as fuel: petrol", "the fact %.40q is %.60q", k, facts[k])
		}
	}
	return nil
}

func checkCounts(where string, c *learn.Counts) error {
	bad := func(x float64) bool { return !(x >= 0 && x <= 1e9) }
	if bad(c.Strength) || c.Cases < 0 || c.Cases > 1e9 || c.None < 0 || c.None > c.Cases || len(c.Causes) > 20000 || len(c.Checks) > 20000 {
		return fault(where, "leave them out", "they can't be counts of closed cases")
	}
	for _, k := range keys(c.Causes) {
		if bad(c.Causes[k]) || c.Causes[k] > float64(c.Cases) {
			return fault(where, "leave them out", "%.60q was the cause of %g of %d cases", k, c.Causes[k], c.Cases)
		}
	}
	for _, k := range keys(c.Checks) {
		if t := c.Checks[k]; t.N < 0 || t.N > 1e9 || bad(t.Minutes) {
			return fault(where, "leave them out", "%.60q took %g minutes %d times", k, t.Minutes, t.N)
		}
	}
	return nil
}

// plainText reports whether text has no control characters.
func plainText(s string) bool {
	if !utf8.ValidString(s) {
		return false
	}
	for _, r := range s {
		if r < ' ' || r == 0x7f {
			return false
		}
	}
	return true
}

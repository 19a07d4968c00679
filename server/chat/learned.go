package chat

import (
	"errors"
	"fmt"
	"maps"
	"net/http"
	"slices"

	"ruleout/dialog/learn"
	"ruleout/kb"
	"ruleout/server/casebook/archive"
)

// LearnedFigures is what closed cases taught, beside the authored figures.
type LearnedFigures struct {
	// On is false when closed cases don't count.
	On bool `json:"on"`
	// Strength is how many cases the authored frequencies together are worth.
	Strength float64 `json:"strength"`
	Cases    int     `json:"cases"`
	None     int     `json:"none"`
	// NonePrior is the prior of "none of these" as it now is.
	NonePrior float64        `json:"none_prior"`
	Causes    []LearnedCause `json:"causes"`
	Checks    []LearnedCheck `json:"checks"`
}

// LearnedCause is one cause that was it in some cases.
type LearnedCause struct {
	ID    string `json:"id"`
	Title string `json:"title"`
	// Authored is per thousand; Was how many of the closed cases it was, half
	// of a case with two.
	Authored float64 `json:"authored"`
	Was      float64 `json:"was"`
	// Now is the frequency per thousand that cases begun now reckon with.
	Now float64 `json:"now"`
}

// LearnedCheck is one check that was timed.
type LearnedCheck struct {
	ID       string  `json:"id"`
	Title    string  `json:"title"`
	Authored float64 `json:"authored"`
	N        int     `json:"n"`
	Mean     float64 `json:"mean"`
	Now      float64 `json:"now"`
}

// figures puts the counts beside the authored figures.
func (d *Desk) figures() (LearnedFigures, error) {
	c, err := d.Counts()
	if err != nil {
		return LearnedFigures{}, err
	}
	e := d.Engine()
	b := e.Base()
	f := LearnedFigures{On: d.teaches.on, Strength: d.teaches.strength, Cases: c.Cases, None: c.None, NonePrior: e.NonePrior(c), Causes: []LearnedCause{}, Checks: []LearnedCheck{}}
	for _, id := range slices.Sorted(maps.Keys(c.Causes)) {
		k := b.Cause(id)
		f.Causes = append(f.Causes, LearnedCause{id, k.Title, k.Frequency.PerThousand, c.Causes[id], e.FrequencyWith(c, id)})
	}
	slices.SortStableFunc(f.Causes, func(a, b LearnedCause) int {
		switch {
		case a.Was > b.Was:
			return -1
		case a.Was < b.Was:
			return 1
		}
		return 0
	})
	for _, id := range slices.Sorted(maps.Keys(c.Checks)) {
		if t := b.Test(id); t != nil {
			x := c.Checks[id]
			f.Checks = append(f.Checks, LearnedCheck{id, t.Title, t.Minutes, x.N, x.Minutes / float64(x.N), learn.Duration(learn.MinutesStrength, t.Minutes, x.Minutes, float64(x.N))})
		}
	}
	return f, nil
}

// besideCause is what is shown beside the authored frequency of a cause, or
// nothing.
func (d *Desk) besideCause(id string) string {
	c, err := d.Counts()
	if err != nil || c.Cases == 0 {
		return ""
	}
	text := fmt.Sprintf("here %s of %d", times(c.Causes[id]), c.Cases)
	if !d.teaches.on {
		text += " (not counted)"
	}
	return text
}

// besideTest is what is shown beside the authored minutes of a test.
func (d *Desk) besideTest(t *kb.Test) string {
	c, err := d.Counts()
	x := c.Checks[t.ID]
	if err != nil || x.N == 0 {
		return ""
	}
	return fmt.Sprintf("here %.0f on average of %d", x.Minutes/float64(x.N), x.N)
}

// times is a count, with halves.
func times(n float64) string { return fmt.Sprintf("%.4g", n) }

func (s *Server) getLearned(w http.ResponseWriter, r *http.Request) error {
	f, err := s.desk.figures()
	if err != nil {
		return err
	}
	writeJSON(w, http.StatusOK, f)
	return nil
}

func (s *Server) exportLearned(w http.ResponseWriter, r *http.Request) error {
	l, err := s.desk.Ledger()
	if err != nil {
		return err
	}
	data, err := archive.WriteLedger(l)
	if err != nil {
		return err
	}
	return attachment(w, "ruleout-learned.yaml", "application/yaml; charset=utf-8", data)
}

// attachment sends a file to be kept.
func attachment(w http.ResponseWriter, name, kind string, data []byte) error {
	h := w.Header()
	h.Set("Content-Type", kind)
	h.Set("Content-Disposition", fmt.Sprintf("attachment; filename=%q", name))
	h.Set("Cache-Control", "no-store")
	_, err := w.Write(data)
	return err
}

// mergeLearned joins in what another garage's closed cases taught.
func (s *Server) mergeLearned(w http.ResponseWriter, r *http.Request) error {
	data, err := body(w, r, archive.CaseBytesMost)
	if err != nil {
		return err
	}
	n, err := s.desk.merge("the file", data)
	if err != nil {
		return err
	}
	writeJSON(w, http.StatusOK, map[string]any{"new": n})
	return nil
}

// merge joins a ledger in and returns how many cases were new.
func (d *Desk) merge(name string, data []byte) (int, error) {
	l, err := archive.ReadLedger(name, data)
	if err != nil {
		return 0, faulty(err)
	}
	before, err := d.Ledger()
	if err != nil {
		return 0, err
	}
	if err := d.book.MergeForeign(l); err != nil {
		return 0, err
	}
	return len(learn.Merge(before, l)) - len(before), nil
}

// faulty makes an answer of a fault in what was sent.
func faulty(err error) error {
	var f *archive.Fault
	if errors.As(err, &f) {
		return badRequest(f.Where+": "+f.What, f.Mend)
	}
	return err
}

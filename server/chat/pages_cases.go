package chat

import (
	"errors"
	"fmt"
	"io"
	"mime/multipart"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"ruleout/server/casebook"
	"ruleout/server/casebook/photo"
	"ruleout/web"
)

// casePages adds the pages about cases and vehicles. All of them work without
// scripts.
func (s *Server) casePages(mux *http.ServeMux) {
	mux.Handle("GET /jobs", handler(s.jobsPage))
	mux.Handle("POST /jobs", handler(s.beginForm))
	mux.Handle("POST /jobs/import", handler(s.importForm))
	mux.Handle("GET /cases/{id}/file", handler(s.filePage))
	mux.Handle("POST /cases/{id}/attach", handler(s.attachForm))
	mux.Handle("POST /cases/{id}/detach", handler(s.detachForm))
	mux.Handle("POST /cases/{id}/carry", handler(s.carryForm))
	mux.Handle("POST /cases/{id}/ended", handler(s.endedForm))
	mux.Handle("POST /cases/{id}/delete", handler(s.deleteForm))
	mux.Handle("GET /cases/{id}/report", handler(s.reportPage))
	mux.Handle("GET /cases/{id}/report.md", handler(s.getReport))
}

// caseFrame is around every page about cases.
func caseFrame(title string) web.Frame {
	return web.Frame{Title: title, Here: "jobs", Module: "cases.js", Style: "cases.css"}
}

// whatWentWrong is an error in words for a form's page; other errors stay
// errors.
func whatWentWrong(err error) (string, error) {
	var p *problem
	if !errors.As(err, &p) {
		return "", err
	}
	text := upperFirst(p.What) + "."
	if p.Mend != "" {
		text += " " + upperFirst(p.Mend) + "."
	}
	return text, nil
}

func upperFirst(s string) string {
	if s == "" {
		return s
	}
	r := []rune(s)
	return strings.ToUpper(string(r[:1])) + string(r[1:])
}

func itoa(n int) string { return strconv.Itoa(n) }

func (s *Server) jobsPage(w http.ResponseWriter, r *http.Request) error {
	return s.showJobs(w, r, http.StatusOK, "", done(r))
}

// doneWords are what a form that went well says on the page it leads to.
var doneWords = map[string]string{"deleted": "The job was thrown away.", "attached": "Attached.", "taken": "Taken away.", "carried": "Put on the sheet.", "kept": "The sheet is kept.", "ended": "Noted how it ended.", "sheetgone": "The sheet was thrown away."}

func done(r *http.Request) string {
	q := r.URL.Query()
	if n := q.Get("imported"); n != "" {
		var v [3]int
		if _, err := fmt.Sscanf(n, "%d.%d.%d", &v[0], &v[1], &v[2]); err == nil {
			return fmt.Sprintf("Imported: %d new, %d that had gone on elsewhere, %d already here.", v[0], v[1], v[2])
		}
	}
	if n, err := strconv.Atoi(q.Get("merged")); err == nil {
		return fmt.Sprintf("Merged: %d jobs were new.", n)
	}
	return doneWords[q.Get("done")]
}

func (s *Server) showJobs(w http.ResponseWriter, r *http.Request, status int, wrong, did string) error {
	v := web.Jobs{Frame: caseFrame("All jobs"), Query: strings.TrimSpace(r.URL.Query().Get("q")), Wrong: wrong, Done: did}
	if v.Query != "" {
		hits, err := s.desk.FindCases(v.Query, caseHitsMost)
		if err != nil {
			return err
		}
		v.Found = foundJobs(hits)
		return s.show(w, r, status, "jobs", v)
	}
	list, err := s.desk.List()
	if err != nil {
		return err
	}
	v.Groups = grouped(list)
	sheets, err := s.desk.book.Vehicles()
	if err != nil {
		return err
	}
	for _, x := range sheets {
		v.Vehicles = append(v.Vehicles, web.Choice{Value: x.ID, Text: "on " + x.Name})
	}
	return s.show(w, r, status, "jobs", v)
}

// grouped puts jobs that stand alike together.
func grouped(list []Listed) []web.JobGroup {
	groups := []web.JobGroup{{ID: "Open", Title: "Open"}, {ID: "Trial", Title: "On trial"}, {ID: "Closed", Title: "Closed"}}
	for _, c := range list {
		g := &groups[2]
		switch c.State {
		case "open", "proving", "waiting":
			g = &groups[0]
		case "on trial":
			g = &groups[1]
		}
		g.Jobs = append(g.Jobs, jobView(c))
	}
	return slices.DeleteFunc(groups, func(g web.JobGroup) bool { return len(g.Jobs) == 0 })
}

func jobView(c Listed) web.Job {
	title := c.Title
	if title == "" {
		title = firstWords(c.First)
	}
	open := c.State == "open" || c.State == "proving" || c.State == "waiting" || c.State == "on trial"
	return web.Job{ID: c.ID, Title: title, When: day(c.When), State: c.State, Turns: c.Turns, Recap: c.Recap, Vehicle: c.Vehicle, Sheet: c.Sheet, Armed: c.Armed, Closed: !open}
}

func foundJobs(hits []CaseHit) []web.FoundJob {
	var out []web.FoundJob
	for _, h := range hits {
		out = append(out, web.FoundJob{Job: jobView(h.Listed), Snippet: pieces(h.Snippet, h.Marks)})
	}
	return out
}

// beginForm begins a job, for a vehicle if one was chosen.
func (s *Server) beginForm(w http.ResponseWriter, r *http.Request) error {
	r.Body = http.MaxBytesReader(w, r.Body, formBytes)
	c, err := s.desk.Begin(r.PostFormValue("vehicle"))
	if notFound(err) {
		return s.missing(w, r, "There is no such vehicle sheet.")
	} else if err != nil {
		return err
	}
	return goTo(w, r, "/cases/"+c.ID)
}

func goTo(w http.ResponseWriter, r *http.Request, to string) error {
	http.Redirect(w, r, to, http.StatusSeeOther)
	return nil
}

func (s *Server) importForm(w http.ResponseWriter, r *http.Request) error {
	f, err := readForm(w, r, importMost)
	if err == nil && f.file == nil {
		err = badRequest("no file was chosen", "choose one")
	}
	var n casebook.Imported
	if err == nil {
		n, err = s.desk.Import(f.fileName, f.file)
	}
	if err != nil {
		wrong, err := whatWentWrong(err)
		if err != nil {
			return err
		}
		return s.showJobs(w, r, http.StatusBadRequest, wrong, "")
	}
	return goTo(w, r, fmt.Sprintf("/jobs?imported=%d.%d.%d", n.Cases, n.Longer, n.Same))
}

// form is a form with at most one file.
type form struct {
	values   map[string]string
	fileName string
	file     []byte // nil when none was chosen
}

// readForm reads a form with a file of bounded size, into memory.
func readForm(w http.ResponseWriter, r *http.Request, most int64) (form, error) {
	f := form{values: map[string]string{}}
	r.Body = http.MaxBytesReader(w, r.Body, most+formBytes)
	m, err := r.MultipartReader()
	if err != nil {
		return f, badRequest("this is no form with a file", "use the page's own form")
	}
	for {
		part, err := m.NextPart()
		if errors.Is(err, io.EOF) {
			return f, nil
		}
		if err == nil {
			err = f.take(part)
		}
		var large *http.MaxBytesError
		switch {
		case errors.As(err, &large):
			return f, &problem{Status: http.StatusRequestEntityTooLarge, What: fmt.Sprintf("the file is larger than %d MiB", most>>20), Mend: "send a smaller one"}
		case err != nil:
			return f, badRequest("the form did not arrive whole", "send it again")
		}
	}
}

func (f *form) take(part *multipart.Part) error {
	data, err := io.ReadAll(part)
	if err != nil {
		return err
	}
	if len(f.values) > 100 {
		return errors.New("too many values")
	}
	if part.FileName() == "" {
		if len(data) <= formBytes && (part.Header.Get("Content-Disposition") == "" || !strings.Contains(part.Header.Get("Content-Disposition"), "filename")) {
			f.values[part.FormName()] = string(data)
		}
		return nil
	}
	f.fileName, f.file = part.FileName(), data
	return nil
}

// filePage is all that belongs to a case beside its conversation.
func (s *Server) filePage(w http.ResponseWriter, r *http.Request) error {
	return s.showFile(w, r, http.StatusOK, "")
}

func (s *Server) showFile(w http.ResponseWriter, r *http.Request, status int, wrong string) error {
	id := r.PathValue("id")
	c, err := s.desk.Case(id)
	if notFound(err) {
		return s.missing(w, r, "There is no job "+id+".")
	} else if err != nil {
		return err
	}
	v := web.JobFile{Frame: caseFrame("Notes, photos and more"), Job: web.Job{ID: id, Title: "A job without words yet", State: "open"}, Wrong: wrong, Done: done(r)}
	list, err := s.desk.List()
	if err != nil {
		return err
	}
	for _, x := range list {
		if x.ID == id {
			v.Job = jobView(x)
			v.Ended = x.State == casebook.EndedElse || x.State == casebook.EndedShop
		}
	}
	known, err := s.desk.CaseVehicle(id)
	if err != nil {
		return err
	}
	b := s.desk.Engine().Base()
	for _, k := range sortedKeys(known.Facts) {
		v.Known = append(v.Known, web.Fact{Name: attributeTitle(b, k), Value: valueTitle(b, k, known.Facts[k])})
	}
	v.SheetName, v.Sheet = known.Name, known.Sheet
	for _, x := range known.Corrections {
		v.Corrections = append(v.Corrections, web.JobCorrection{Attribute: x.Attribute, Title: x.Title, Case: valueTitle(b, x.Attribute, x.Case), Sheet: valueTitle(b, x.Attribute, x.Sheet)})
	}
	v.Turns = append(v.Turns, web.Choice{Value: "0", Text: "the job as a whole"})
	for _, x := range c.Turns {
		text := []rune(firstWords(x.Turn.Text))
		if len(text) > 50 {
			text = append(text[:49], '…')
		}
		v.Turns = append(v.Turns, web.Choice{Value: itoa(x.Number), Text: fmt.Sprintf("%d: %s", x.Number, string(text)), Chosen: x.Number == len(c.Turns)})
	}
	attached, err := s.desk.book.Attached(id)
	if err != nil {
		return err
	}
	for _, a := range attached {
		v.Attached = append(v.Attached, attachedView(id, a))
	}
	if len(c.Turns) > 0 {
		hits, err := s.desk.CasesLike(id, 5)
		if err != nil {
			return err
		}
		v.Like = foundJobs(hits)
	}
	return s.show(w, r, status, "jobfile", v)
}

func attachedView(id string, a casebook.Attached) web.Attached {
	v := web.Attached{Number: a.Number, When: day(a.When), Where: upperFirst(turnWords(a.Turn)), Note: a.Note, Width: a.Width, Height: a.Height}
	if a.Photo != "" {
		v.Photo = "/api/cases/" + url.PathEscape(id) + "/photos/" + a.Photo
	}
	return v
}

func (s *Server) attachForm(w http.ResponseWriter, r *http.Request) error {
	id := r.PathValue("id")
	f, err := readForm(w, r, photo.BytesMost)
	if err == nil {
		turn, e := strconv.Atoi(f.values["turn"])
		if e != nil {
			err = badRequest("a turn must be chosen", "choose one")
		} else {
			_, err = s.desk.attach(id, turn, strings.ReplaceAll(f.values["note"], "\r\n", "\n"), f.file)
		}
	}
	return s.afterForm(w, r, err, "/cases/"+url.PathEscape(id)+"/file?done=attached#notes")
}

// afterForm goes on to a page, or shows the case's with what was wrong.
func (s *Server) afterForm(w http.ResponseWriter, r *http.Request, err error, to string) error {
	switch {
	case err == nil:
		return goTo(w, r, to)
	case notFound(err):
		return s.missing(w, r, "There is nothing of that kind, or not any more.")
	}
	wrong, err := whatWentWrong(err)
	if err != nil {
		return err
	}
	return s.showFile(w, r, http.StatusBadRequest, wrong)
}

func (s *Server) detachForm(w http.ResponseWriter, r *http.Request) error {
	r.Body = http.MaxBytesReader(w, r.Body, formBytes)
	id := r.PathValue("id")
	n, err := strconv.Atoi(r.PostFormValue("n"))
	if err != nil {
		err = badRequest("a note is named by its number", "use the page's own form")
	} else {
		err = s.desk.book.Detach(id, n)
	}
	return s.afterForm(w, r, err, "/cases/"+url.PathEscape(id)+"/file?done=taken#notes")
}

func (s *Server) carryForm(w http.ResponseWriter, r *http.Request) error {
	r.Body = http.MaxBytesReader(w, r.Body, formBytes)
	id := r.PathValue("id")
	err := r.ParseForm()
	if err != nil || len(r.PostForm["attribute"]) == 0 {
		err = badRequest("nothing was chosen to be put on the sheet", "tick what is to go on it")
	} else {
		_, err = s.desk.Carry(id, r.PostForm["attribute"])
	}
	return s.afterForm(w, r, err, "/cases/"+url.PathEscape(id)+"/file?done=carried#car")
}

func (s *Server) deleteForm(w http.ResponseWriter, r *http.Request) error {
	r.Body = http.MaxBytesReader(w, r.Body, formBytes)
	err := badRequest("it was not confirmed", "tick that it is to be thrown away")
	if r.PostFormValue("sure") == "yes" {
		err = s.desk.Delete(r.PathValue("id"))
	}
	return s.afterForm(w, r, err, "/jobs?done=deleted")
}

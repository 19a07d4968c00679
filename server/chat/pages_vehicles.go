package chat

import (
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strings"

	"ruleout/dialog/learn"
	"ruleout/server/casebook/archive"
	"ruleout/web"
)

// vehiclePages adds the pages about vehicle sheets and what was learned.
func (s *Server) vehiclePages(mux *http.ServeMux) {
	mux.Handle("GET /vehicles", handler(s.vehiclesPage))
	mux.Handle("POST /vehicles", handler(s.sheetForm))
	mux.Handle("GET /vehicles/{id}", handler(s.vehiclePage))
	mux.Handle("POST /vehicles/{id}", handler(s.sheetForm))
	mux.Handle("POST /vehicles/{id}/delete", handler(s.sheetAway))
	mux.Handle("GET /learned", handler(s.learnedPage))
	mux.Handle("POST /learned/merge", handler(s.mergeForm))
}

func (s *Server) vehiclesPage(w http.ResponseWriter, r *http.Request) error {
	return s.showVehicles(w, r, http.StatusOK, SheetSent{}, "")
}

func (s *Server) showVehicles(w http.ResponseWriter, r *http.Request, status int, sent SheetSent, wrong string) error {
	sheets, err := s.desk.book.Vehicles()
	if err != nil {
		return err
	}
	of, err := s.desk.book.VehicleOf()
	if err != nil {
		return err
	}
	jobs := map[string]int{}
	for _, id := range of {
		jobs[id]++
	}
	b := s.desk.Engine().Base()
	v := web.Vehicles{Frame: caseFrame("Vehicle sheets"), Form: s.sheetView("/vehicles", sent), Wrong: wrong}
	for _, x := range sheets {
		var facts []string
		for _, k := range sortedKeys(x.Facts) {
			facts = append(facts, valueTitle(b, k, x.Facts[k]))
		}
		v.Vehicles = append(v.Vehicles, web.VehicleLine{ID: x.ID, Name: x.Name, Facts: strings.Join(facts, ", "), Jobs: jobs[x.ID]})
	}
	return s.show(w, r, status, "vehicles", v)
}

// sheetView is a form with what is known.
func (s *Server) sheetView(action string, sent SheetSent) web.SheetForm {
	f := web.SheetForm{Action: action, Name: sent.Name, Notes: sent.Notes, From: sent.From}
	hints := map[string]string{"year": "1999", "mileage": "140000 km", "engine-litres": "1.9", "make-unknown": "Tolland Carrier"}
	for _, x := range free {
		f.Free = append(f.Free, web.SheetField{ID: x.id, Title: x.title, Value: sent.Facts[x.id], Hint: hints[x.id]})
	}
	b := s.desk.Engine().Base()
	for _, a := range b.Lists.Vehicle {
		c := web.SheetChoice{ID: a.ID, Title: a.Title}
		for _, v := range a.Values {
			c.Options = append(c.Options, web.Choice{Value: v.ID, Text: v.Title, Chosen: sent.Facts[a.ID] == v.ID})
		}
		f.Chosen = append(f.Chosen, c)
	}
	for _, c := range b.Circuits {
		if len(c.Arrangements) < 2 {
			continue
		}
		choice := web.SheetChoice{ID: c.ID, Title: c.Title}
		for _, a := range c.Arrangements {
			choice.Options = append(choice.Options, web.Choice{Value: a.ID, Text: a.Title, Chosen: sent.Arrangements[c.ID] == a.ID})
		}
		f.Arrangements = append(f.Arrangements, choice)
	}
	return f
}

func (s *Server) vehiclePage(w http.ResponseWriter, r *http.Request) error {
	v, err := s.desk.Sheet(r.PathValue("id"))
	if notFound(err) {
		return s.missing(w, r, "There is no such vehicle sheet.")
	} else if err != nil {
		return err
	}
	return s.showVehicle(w, r, http.StatusOK, v, SheetSent{Name: v.Name, Facts: v.Facts, Arrangements: v.Arrangements, Notes: v.Notes}, "")
}

func (s *Server) showVehicle(w http.ResponseWriter, r *http.Request, status int, v Sheet, sent SheetSent, wrong string) error {
	page := web.VehiclePage{Frame: caseFrame(v.Name), ID: v.ID, Name: v.Name, Changed: day(v.Changed), Form: s.sheetView("/vehicles/"+v.ID, sent), Wrong: wrong, Done: done(r)}
	for _, c := range v.Cases {
		page.Jobs = append(page.Jobs, jobView(c))
	}
	return s.show(w, r, status, "vehicle", page)
}

// sheetForm takes a sheet from its form: a new one, or one written anew.
func (s *Server) sheetForm(w http.ResponseWriter, r *http.Request) error {
	r.Body = http.MaxBytesReader(w, r.Body, formBytes)
	if err := r.ParseForm(); err != nil {
		return s.showVehicles(w, r, http.StatusBadRequest, SheetSent{}, "The form did not arrive whole. Send it again.")
	}
	sent := SheetSent{Name: r.PostForm.Get("name"), Notes: strings.ReplaceAll(r.PostForm.Get("notes"), "\r\n", "\n"), From: r.PostForm.Get("from"), Facts: map[string]string{}, Arrangements: map[string]string{}}
	for k := range r.PostForm {
		if id, ok := strings.CutPrefix(k, "fact-"); ok {
			sent.Facts[id] = r.PostForm.Get(k)
		}
		if id, ok := strings.CutPrefix(k, "arrangement-"); ok && r.PostForm.Get(k) != "" {
			sent.Arrangements[id] = r.PostForm.Get(k)
		}
	}
	id := r.PathValue("id")
	v, err := s.desk.keepSheet(id, sent)
	if err == nil {
		return goTo(w, r, "/vehicles/"+v.ID+"?done=kept")
	}
	if notFound(err) {
		return s.missing(w, r, "There is no such vehicle sheet or job.")
	}
	wrong, err := whatWentWrong(err)
	if err != nil {
		return err
	}
	if id == "" {
		return s.showVehicles(w, r, http.StatusBadRequest, sent, wrong)
	}
	known, err := s.desk.Sheet(id)
	if err != nil {
		return err
	}
	return s.showVehicle(w, r, http.StatusBadRequest, known, sent, wrong)
}

func (s *Server) sheetAway(w http.ResponseWriter, r *http.Request) error {
	r.Body = http.MaxBytesReader(w, r.Body, formBytes)
	id := r.PathValue("id")
	if r.PostFormValue("sure") != "yes" {
		return goTo(w, r, "/vehicles/"+url.PathEscape(id))
	}
	if err := s.desk.book.DeleteVehicle(id); notFound(err) {
		return s.missing(w, r, "There is no such vehicle sheet.")
	} else if err != nil {
		return err
	}
	return goTo(w, r, "/vehicles?done=sheetgone")
}

func (s *Server) learnedPage(w http.ResponseWriter, r *http.Request) error {
	return s.showLearned(w, r, http.StatusOK, "")
}

func (s *Server) showLearned(w http.ResponseWriter, r *http.Request, status int, wrong string) error {
	f, err := s.desk.figures()
	if err != nil {
		return err
	}
	v := web.Learned{Frame: caseFrame("What closed jobs taught"), On: f.On, Strength: fmt.Sprintf("%g", f.Strength), Cases: f.Cases, None: f.None, NonePrior: fmt.Sprintf("%.1f %%", 100*f.NonePrior), MinutesWeight: fmt.Sprintf("%g", learn.MinutesStrength), Wrong: wrong, Done: done(r)}
	for _, c := range f.Causes {
		v.Causes = append(v.Causes, web.LearnedRow{ID: c.ID, Title: c.Title, Authored: fmt.Sprintf("%.3g", c.Authored), Here: fmt.Sprintf("%s of %d", times(c.Was), f.Cases), Now: fmt.Sprintf("%.3g", c.Now)})
	}
	for _, c := range f.Checks {
		v.Checks = append(v.Checks, web.LearnedRow{ID: c.ID, Title: c.Title, Authored: fmt.Sprintf("%g", c.Authored), Here: fmt.Sprintf("%.1f on average of %d", c.Mean, c.N), Now: fmt.Sprintf("%g", c.Now)})
	}
	return s.show(w, r, status, "learned", v)
}

func (s *Server) mergeForm(w http.ResponseWriter, r *http.Request) error {
	f, err := readForm(w, r, archive.CaseBytesMost)
	if err == nil && f.file == nil {
		err = badRequest("no file was chosen", "choose one")
	}
	n := 0
	if err == nil {
		n, err = s.desk.merge(f.fileName, f.file)
	}
	if err != nil {
		wrong, err := whatWentWrong(err)
		if err != nil {
			return err
		}
		return s.showLearned(w, r, http.StatusBadRequest, wrong)
	}
	return goTo(w, r, fmt.Sprintf("/learned?merged=%d", n))
}

// sortedKeys are the keys of a map in the order of the alphabet.
func sortedKeys[V any](m map[string]V) []string {
	keys := make([]string, 0, len(m))
	for k := range m {
		keys = append(keys, k)
	}
	slices.Sort(keys)
	return keys
}

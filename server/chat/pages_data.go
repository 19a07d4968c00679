package chat

import (
	"encoding/json"
	"net/http"
	"strconv"
	"strings"

	"ruleout/kb"
)

// nameOfCause is where a cause hangs in the fault tree.
type nameOfCause struct {
	System string `json:"system"`
	Part   string `json:"part"`
	Mode   string `json:"mode"`
}

// nameOfAttribute titles a fact about the vehicle and its values.
type nameOfAttribute struct {
	Title  string            `json:"title"`
	Values map[string]string `json:"values"`
}

// pageNames gives the page the words of the fault tree (systems, parts,
// failures, and where each cause hangs), of the complaint and of the vehicle.
func (s *Server) pageNames(w http.ResponseWriter, r *http.Request) error {
	b := s.desk.Engine().Base()
	systems, parts, modes, causes := map[string]string{}, map[string]string{}, map[string]string{}, map[string]nameOfCause{}
	for _, x := range b.Lists.Systems {
		systems[x.ID] = x.Title
	}
	for _, x := range b.Lists.Parts {
		parts[x.ID] = x.Name
	}
	for _, x := range b.Lists.Modes {
		modes[x.ID] = x.Title
	}
	for _, c := range b.Causes {
		causes[c.ID] = nameOfCause{c.System, c.Part, c.Mode}
	}
	symptoms, vehicle, tools := map[string]string{}, map[string]nameOfAttribute{}, map[string]string{}
	for _, y := range b.Symptoms {
		symptoms[y.ID] = y.Title
	}
	for _, a := range b.Lists.Vehicle {
		vehicle[a.ID] = nameOfAttribute{a.Title, map[string]string{}}
		for _, v := range a.Values {
			vehicle[a.ID].Values[v.ID] = v.Title
		}
	}
	for _, t := range b.Lists.Tools {
		tools[t.ID] = t.Title
	}
	data, err := json.Marshal(map[string]any{"systems": systems, "parts": parts, "modes": modes, "causes": causes, "symptoms": symptoms, "vehicle": vehicle, "tools": tools})
	if err != nil {
		return err
	}
	w.Header().Set("Content-Type", "application/json; charset=utf-8")
	return squeeze(w, r, http.StatusOK, data)
}

// outcome is one value that a finding can take, for the page to offer.
type outcome struct {
	ID    string `json:"id"`
	Title string `json:"title"`
}

// pageFinding gives the outcomes to which an observation, or what was told of
// the vehicle or a tool, can be changed.
func (s *Server) pageFinding(w http.ResponseWriter, r *http.Request) error {
	b, id := s.desk.Engine().Base(), r.PathValue("id")
	if list, ok := factOutcomes(b, id); ok {
		writeJSON(w, http.StatusOK, map[string]any{"id": id, "outcomes": list})
		return nil
	}
	f := b.Finding(id)
	if f == nil {
		if d := b.Derive(id); d != nil {
			f = &d.Finding
		}
	}
	if f == nil {
		return &problem{Status: http.StatusNotFound, What: "there is no finding " + strconv.Quote(id)}
	}
	list := []outcome{}
	for _, o := range f.Outcomes {
		list = append(list, outcome{o.ID, o.Title})
	}
	writeJSON(w, http.StatusOK, map[string]any{"id": f.ID, "title": f.Title, "outcomes": list})
	return nil
}

// factOutcomes are the values of a fact about the vehicle (none for one that is
// said in words, such as the year) or about a tool.
func factOutcomes(b *kb.Base, id string) ([]outcome, bool) {
	if strings.HasPrefix(id, "tool:") {
		return []outcome{{"at hand", "at hand"}, {"not at hand", "not at hand"}}, true
	}
	attribute, ok := strings.CutPrefix(id, "vehicle:")
	list := []outcome{}
	for _, a := range b.Lists.Vehicle {
		for _, v := range a.Values {
			if a.ID == attribute {
				list = append(list, outcome{v.ID, v.Title})
			}
		}
	}
	return list, ok
}

// pageDrawing names the drawings that help with an article.
func (s *Server) pageDrawing(w http.ResponseWriter, r *http.Request) error {
	type drawing struct {
		Title string `json:"title"`
		Card  string `json:"card"`
		SVG   string `json:"svg"`
	}
	out := []drawing{}
	for _, d := range s.drawings(s.desk.Engine().Base(), r.PathValue("id")) {
		out = append(out, drawing{d.Title, d.Card, string(s.pages.Drawing(d.Name))})
	}
	writeJSON(w, http.StatusOK, map[string]any{"drawings": out})
	return nil
}

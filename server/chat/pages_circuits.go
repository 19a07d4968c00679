package chat

import (
	"errors"
	"net/http"
	"net/url"
	"slices"
	"strings"

	"ruleout/dialog"
	"ruleout/kb"
	"ruleout/web"
)

// schematic serves a circuit's drawing: /drawings/CIRCUIT/ARRANGEMENT.svg with
// the state of the car and the cause that is drawn as the fault.
func (s *Server) schematic(w http.ResponseWriter, r *http.Request) error {
	arrangement, ok := strings.CutSuffix(r.PathValue("file"), ".svg")
	if !ok {
		return &problem{Status: http.StatusNotFound, What: "drawings end in .svg", Mend: "GET /articles/" + r.PathValue("circuit") + " offers them"}
	}
	q := r.URL.Query()
	svg, _, err := s.desk.Engine().Draw(r.PathValue("circuit"), arrangement, q.Get("setup"), q.Get("cause"))
	if errors.Is(err, dialog.ErrNoDrawing) {
		return &problem{Status: http.StatusNotFound, What: err.Error(), Mend: "GET /articles/" + r.PathValue("circuit") + " offers what there is"}
	}
	if err != nil {
		return err
	}
	// The drawing brings its own sheet and nothing else.
	w.Header().Set("Content-Security-Policy", "default-src 'none'; style-src 'unsafe-inline'")
	w.Header().Set("Content-Type", "image/svg+xml; charset=utf-8")
	return squeeze(w, r, http.StatusOK, []byte(svg))
}

// circuit fills the page of a circuit: the drawing that was chosen, and what
// is known of the wiring, the points and the faults.
func (s *Server) circuit(v *web.Article, c *kb.Circuit, q url.Values) {
	e := s.desk.Engine()
	p, ok := e.CircuitPage(c.ID)
	if !ok || len(p.Arrangements) == 0 {
		return
	}
	pick := func(from []dialog.Choice, id, none string) ([]web.Option, string) {
		var out []web.Option
		chosen := ""
		if none != "" {
			out = append(out, web.Option{Title: none})
		}
		for _, x := range from {
			if x.ID == id {
				chosen = id
			}
			out = append(out, web.Option{ID: x.ID, Title: x.Title, Chosen: x.ID == id})
		}
		if chosen == "" && none == "" {
			chosen, out[0].Chosen = from[0].ID, true
		}
		return out, chosen
	}
	f := &web.Schematic{}
	var arrangement, setup, cause string
	f.Arrangements, arrangement = pick(p.Arrangements, q.Get("arrangement"), "")
	f.Setups, setup = pick(p.Setups, q.Get("setup"), "all at rest")
	f.Causes, cause = pick(p.Causes, q.Get("cause"), "nothing wrong")
	_, words, err := e.Draw(c.ID, arrangement, setup, cause)
	if err != nil {
		// That state or fault is not in this wiring: draw what there is.
		f.Missing = "This wiring has no such state or fault; drawn without it."
		if _, words, err = e.Draw(c.ID, arrangement, setup, ""); err == nil {
			cause = ""
		} else if _, words, err = e.Draw(c.ID, arrangement, "", cause); err == nil {
			setup = ""
		} else if _, words, err = e.Draw(c.ID, arrangement, "", ""); err == nil {
			setup, cause = "", ""
		} else {
			return
		}
	}
	f.Words = words
	f.Src = "/drawings/" + c.ID + "/" + arrangement + ".svg?" + url.Values{"setup": {setup}, "cause": {cause}}.Encode()
	v.Schematic = f
	add := func(x web.Section) {
		if len(x.List)+len(x.Rows)+len(x.Links) > 0 {
			v.Sections = append(v.Sections, x)
		}
	}
	var wired, points []web.Fact
	for _, a := range c.Arrangements {
		wired = append(wired, web.Fact{Name: a.Title, Value: a.Tells, Basis: string(a.Basis)})
	}
	for _, x := range c.Points {
		how := map[string]string{"probe": "bare, a probe reaches it", "back": "from behind the plug", "none": "can't be reached"}[x.Reach]
		name := x.Title
		if x.Terminal != "" {
			name += " (" + x.Terminal + ")"
		}
		points = append(points, web.Fact{Name: name, Value: how})
	}
	add(web.Section{ID: "wired", Title: "Ways in which it is wired", Rows: wired})
	add(web.Section{ID: "points", Title: "Where it can be measured", Rows: points})
	var links []web.Link
	b := e.Base()
	for _, x := range p.Causes {
		if h, ok := b.Head(x.ID); ok && !slices.ContainsFunc(links, func(l web.Link) bool { return l.ID == x.ID }) {
			links = append(links, link(h))
		}
	}
	add(web.Section{ID: "faults", Title: "What can be wrong in it", Links: links})
	add(web.Section{ID: "alike", Title: "What no reading tells apart", List: p.Alike})
}

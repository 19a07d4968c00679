package chat

import (
	"fmt"
	"html/template"
	"net/http"
	"strings"

	"ruleout/kb"
	"ruleout/web"
)

// knownBy titles the shelves of symptoms by how they show.
var knownBy = []web.Group{
	{ID: "works", Title: "Something does not work"}, {ID: "felt", Title: "Felt"}, {ID: "seen", Title: "Seen"}, {ID: "heard", Title: "Heard"}, {ID: "smelled", Title: "Smelled"},
	{ID: "gauge", Title: "On a gauge"}, {ID: "lamp", Title: "A lamp on the dash"}, {ID: "code", Title: "A trouble code"}, {ID: "meter", Title: "On a meter"}, {ID: "inspection", Title: "At an inspection"},
}

func link(h kb.Head) web.Link {
	return web.Link{ID: h.ID, Title: h.Title, Kind: string(h.Kind), Derived: h.Derived}
}

func systemTitle(b *kb.Base, id string) string {
	for _, s := range b.Lists.Systems {
		if s.ID == id {
			return s.Title
		}
	}
	if id == "reference" {
		return "Reference cards"
	}
	return id
}

func (s *Server) indexPage(w http.ResponseWriter, r *http.Request) error {
	b := s.desk.Engine().Base()
	v := web.Index{Frame: web.Frame{Title: "Articles", Here: "articles", Module: "articles.js"}, Query: strings.TrimSpace(r.URL.Query().Get("q"))}
	if v.Query != "" {
		hits, err := s.find().Search(v.Query, searchMost)
		if err != nil {
			return err
		}
		for _, h := range hits {
			v.Found = append(v.Found, web.Found{Link: web.Link{ID: h.ID, Title: h.Title, Kind: h.Kind}, System: systemTitle(b, h.System), Snippet: pieces(h.Snippet, h.Marks)})
		}
	}
	for _, k := range knownBy {
		for _, y := range b.Symptoms {
			if y.KnownBy == k.ID {
				k.Links = append(k.Links, web.Link{ID: y.ID, Title: y.Title, Kind: "symptom", Derived: y.Derived})
			}
		}
		if len(k.Links) > 0 {
			v.Symptoms = append(v.Symptoms, k)
		}
	}
	for _, sys := range b.Lists.Systems {
		g := web.Group{ID: sys.ID, Title: sys.Title}
		for _, h := range b.Heads() {
			if h.System == sys.ID && (!h.Derived || h.Kind == kb.KindSymptom) { // derived causes stand on the pages of their signs
				g.Links = append(g.Links, link(h))
			}
		}
		if len(g.Links) > 0 {
			v.Systems = append(v.Systems, g)
		}
	}
	for _, c := range b.Cards {
		v.Cards = append(v.Cards, web.Link{ID: c.ID, Title: c.Title})
	}
	return s.show(w, r, http.StatusOK, "articles", v)
}

// pieces cuts a snippet at its marks; marks out of range are left out.
func pieces(text string, marks [][2]int) []web.Piece {
	var out []web.Piece
	at := 0
	for _, m := range marks {
		if m[0] < at || m[1] > len(text) || m[0] >= m[1] {
			continue
		}
		if m[0] > at {
			out = append(out, web.Piece{Text: text[at:m[0]]})
		}
		out = append(out, web.Piece{Text: text[m[0]:m[1]], Mark: true})
		at = m[1]
	}
	if at < len(text) {
		out = append(out, web.Piece{Text: text[at:]})
	}
	return out
}

func (s *Server) articlePage(w http.ResponseWriter, r *http.Request) error {
	a, err := s.article(r.PathValue("id"))
	if err != nil {
		if p, ok := err.(*problem); ok && p.Status == http.StatusNotFound {
			return s.missing(w, r, "There is no article “"+r.PathValue("id")+"”.")
		}
		return err
	}
	b := s.desk.Engine().Base()
	v := web.Article{Frame: web.Frame{Title: a.Title, Here: "articles", Module: "article.js"}, ID: a.ID, Kind: string(a.Kind), System: systemTitle(b, a.System), SystemID: a.System, Derived: a.Derived,
		Body: template.HTML(a.HTML)} // made by kb from Markdown with raw HTML off
	for _, h := range a.Backlinks {
		v.Back = append(v.Back, link(h))
	}
	for _, h := range a.Related {
		v.Related = append(v.Related, web.Link{ID: h.ID, Title: h.Title, Kind: h.Kind})
	}
	v.Drawings = s.drawings(b, a.ID)
	w2 := writer{b, &v}
	switch c := a.Content.(type) {
	case *kb.Symptom:
		w2.symptom(c)
	case *kb.Cause:
		w2.cause(c)
	case *kb.Test:
		w2.test(c)
	case *kb.Circuit:
		s.circuit(&v, c, r.URL.Query())
	case *kb.Path:
		if v.Line, err = s.line(c.ID); err != nil {
			return err
		}
		w2.path(c)
	}
	s.learned(&v, a.Content)
	return s.show(w, r, http.StatusOK, "article", v)
}

// learned puts what closed cases taught next to the authored facts.
func (s *Server) learned(v *web.Article, content any) {
	switch c := content.(type) {
	case *kb.Cause:
		beside(v, "How often", s.desk.besideCause(c.ID))
	case *kb.Test:
		beside(v, "Time", s.desk.besideTest(c))
	}
}

func beside(v *web.Article, name, learned string) {
	for i := range v.Facts {
		if v.Facts[i].Name == name && learned != "" {
			v.Facts[i].Value += ", " + learned
		}
	}
}

// drawings are those of the card itself, or of the cards that an article and
// a card with a drawing refer to each other by.
func (s *Server) drawings(b *kb.Base, id string) []web.Drawing {
	if c := b.Card(id); c != nil {
		if c.Picture == "" {
			return nil
		}
		return []web.Drawing{{Name: c.Picture, Title: c.Title}}
	}
	var out []web.Drawing
	seen := map[string]bool{}
	for _, c := range b.Cards {
		if c.Picture == "" || seen[c.Picture] || len(out) == 2 {
			continue
		}
		for _, from := range b.Backlinks(c.ID) {
			if from == id {
				out = append(out, web.Drawing{Name: c.Picture, Title: c.Title, Card: c.ID})
				seen[c.Picture] = true
			}
		}
	}
	return out
}

// writer turns the fields of an article into what the page shows.
type writer struct {
	b *kb.Base
	v *web.Article
}

func (w writer) fact(name, value string, basis kb.Basis) {
	if value != "" {
		w.v.Facts = append(w.v.Facts, web.Fact{Name: name, Value: value, Basis: string(basis)})
	}
}

func (w writer) section(s web.Section) {
	if s.Text != "" || len(s.Numbered)+len(s.List)+len(s.Rows)+len(s.Links)+len(s.Cautions) > 0 {
		w.v.Sections = append(w.v.Sections, s)
	}
}

// links to articles by id; the title is that of the article.
func (w writer) links(ids []string) []web.Link {
	var out []web.Link
	for _, id := range ids {
		if h, ok := w.b.Head(id); ok {
			out = append(out, link(h))
		}
	}
	return out
}

func (w writer) symptom(y *kb.Symptom) {
	if y.Danger != nil {
		w.v.Danger = y.Danger.Stop
	}
	var rows []web.Fact
	for _, q := range y.Questions {
		rows = append(rows, web.Fact{Name: q.Ask, Value: q.Why})
	}
	w.section(web.Section{ID: "questions", Title: "What will be asked", Rows: rows})
	w.section(web.Section{ID: "looks-like", Title: "Easily mixed up with", Links: w.links(y.LooksLike)})
	var causes []string
	for _, c := range w.b.Causes {
		if m := c.Shows[y.ID]; m != nil {
			if p, ok := m["present"].Value(); ok && p >= 0.3 && (!c.Derived || y.Derived) {
				causes = append(causes, c.ID)
			}
		}
	}
	w.section(web.Section{ID: "causes", Title: "What can do that", Links: w.links(causes)})
	w.section(web.Section{ID: "said", Title: "How people say it", List: y.Said})
}

// estimate is the basis of times, which articles give without one.
const estimate = "the writer's estimate, for hand tools and without haste"

func (w writer) cause(c *kb.Cause) {
	if p := w.b.Part(c.Part); p != nil {
		w.fact("Part", p.Name, "")
		w.fact("Where", p.Place, "")
	}
	if m := w.b.Mode(c.Mode); m != nil {
		w.fact("Failure", m.Title, "")
	}
	if c.Frequency.PerThousand > 0 {
		w.fact("How often", fmt.Sprintf("%g of a thousand cars with trouble", c.Frequency.PerThousand), c.Frequency.Basis)
	}
	w.fact("Going on driving", c.Driving, "")
	r := c.Repair
	var rows []web.Fact
	if r.Minutes > 0 {
		rows = append(rows, web.Fact{Name: "Time", Value: fmt.Sprintf("%g minutes", r.Minutes), Basis: estimate})
	}
	if r.Money.High > 0 {
		rows = append(rows, web.Fact{Name: "Parts cost", Value: fmt.Sprintf("%g to %g", r.Money.Low, r.Money.High), Basis: string(r.Money.Basis)})
	}
	if len(r.Parts) > 0 {
		rows = append(rows, web.Fact{Name: "Parts", Value: strings.Join(r.Parts, ", ")})
	}
	if r.Difficulty != "" {
		rows = append(rows, web.Fact{Name: "Difficulty", Value: r.Difficulty})
	}
	w.section(web.Section{ID: "repair", Title: "Repair", Text: r.Do, Cautions: w.cautions(r.Hazards, r.Access, r.Cautions), Numbered: r.Steps, Rows: rows})
	if g := c.Stopgap; g != nil {
		w.section(web.Section{ID: "stopgap", Title: "Stopgap", Text: g.Do, Cautions: w.cautions(g.Hazards, nil, g.Cautions), List: nonEmpty("Limits: "+g.Limits, "Until: "+g.Until, prefixed("Watch: ", g.Watch))})
	}
	w.section(web.Section{ID: "proof", Title: "Proof of the cure", Text: c.Proof.Do, Links: w.links([]string{c.Proof.Test}), List: nonEmpty(prefixed("It shows: ", c.Proof.ShowsAfter))})
	w.section(web.Section{ID: "inspect", Title: "Look at this too", List: c.Inspect})
}

func (w writer) test(t *kb.Test) {
	w.fact("Question", t.Ask, "")
	if t.Minutes > 0 {
		w.fact("Time", fmt.Sprintf("%g minutes", t.Minutes), estimate)
	}
	w.fact("Difficulty", t.Difficulty, "")
	var needs []string
	for _, tool := range w.b.Lists.Tools {
		for _, id := range t.Needs {
			if tool.ID == id {
				needs = append(needs, tool.Title)
			}
		}
	}
	w.fact("Needs", strings.Join(needs, ", "), "")
	w.section(web.Section{ID: "steps", Title: "Steps", Cautions: w.cautions(t.Hazards, t.Access, t.Cautions), Numbered: t.Steps})
	if t.Helper != nil {
		w.section(web.Section{ID: "alone", Title: "Alone", Text: t.Helper.Alone})
	}
	if r := t.Reading; r != nil {
		rows := []web.Fact{{Name: "Meter", Value: r.Meter}, {Name: "Leads", Value: r.Terminals}, {Name: "If nothing is wrong", Value: r.Expect, Basis: string(r.Basis)}}
		for _, band := range r.Bands {
			title := band.Outcome
			if f := w.b.Finding(t.ID); f != nil {
				if i := f.OutcomeIndex(band.Outcome); i >= 0 {
					title = f.Outcomes[i].Title
				}
			}
			rows = append(rows, web.Fact{Name: title, Value: bandWords(band, unitSign(r.Unit)), Basis: string(r.Basis)})
		}
		w.section(web.Section{ID: "reading", Title: "Reading", Rows: rows})
		w.section(web.Section{ID: "traps", Title: "What misleads", List: r.Traps})
	}
	var rows []web.Fact
	for _, o := range t.Outcomes {
		if o.Means != "" {
			rows = append(rows, web.Fact{Name: o.Title, Value: o.Means})
		}
	}
	w.section(web.Section{ID: "outcomes", Title: "What it tells", Rows: rows})
}

func bandWords(b kb.Band, unit string) string {
	switch {
	case b.From == nil && b.To == nil:
		return "any"
	case b.From == nil:
		return fmt.Sprintf("under %g %s", *b.To, unit)
	case b.To == nil:
		return fmt.Sprintf("over %g %s", *b.From, unit)
	}
	return fmt.Sprintf("%g to %g %s", *b.From, *b.To, unit)
}

func unitSign(u string) string {
	if s, ok := map[string]string{"ohm": "Ω", "degC": "°C"}[u]; ok {
		return s
	}
	return u
}

// cautions are the author's, then those that the hazards bring, then those of
// the access, each once.
func (w writer) cautions(hazards, access, own []string) []string {
	out := append([]string{}, own...)
	has := func(list []string, id string) bool {
		for _, x := range list {
			if x == id {
				return true
			}
		}
		return false
	}
	var extra []string
	want := append([]string{}, hazards...)
	for _, a := range w.b.Lists.Access {
		if has(access, a.ID) {
			want = append(want, a.Hazards...)
			extra = append(extra, a.Cautions...)
		}
	}
	for _, h := range w.b.Lists.Hazards {
		if has(want, h.ID) {
			out = append(out, h.Caution)
		}
	}
	return append(out, extra...)
}

func nonEmpty(lines ...string) []string {
	var out []string
	for _, l := range lines {
		if l != "" && !strings.HasSuffix(l, ": ") {
			out = append(out, l)
		}
	}
	return out
}

func prefixed(prefix, s string) string {
	if s == "" {
		return ""
	}
	return prefix + s
}

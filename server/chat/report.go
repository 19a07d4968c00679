package chat

import (
	"html/template"
	"net/http"
	"strings"
	"time"

	"ruleout/dialog"
	"ruleout/kb"
	"ruleout/web"
)

// report makes the record of a case, with the times of its turns, as Markdown;
// with shop the hand-over for a workshop. The circuit's drawing, if there is
// one, comes beside it.
func (d *Desk) report(id string, shop bool) (markdown string, r *dialog.Report, err error) {
	c, err := d.open(id)
	if err != nil {
		return "", nil, err
	}
	c.mu.Lock()
	defer c.mu.Unlock()
	c.follow(d.Engine())
	r = c.engine.Report(c.state)
	r.At(func(turn int) string {
		if turn < 1 || turn > len(c.turns) {
			return ""
		}
		return day(c.turns[turn-1].When)
	})
	if e := c.ended(); e != nil && r.Status != "cured" {
		r.Status, r.StatusText = e.As, plainMarkdown(endedWords(e))
	}
	if shop {
		return dialog.HandOver(r), r, nil
	}
	return dialog.Markdown(r), r, nil
}

// day is a time as pages show it.
func day(t time.Time) string { return t.Local().Format("2006-01-02 15:04") }

// forShop reads ?for=, which is shop or nothing.
func forShop(r *http.Request) (bool, error) {
	switch v := r.URL.Query().Get("for"); v {
	case "":
		return false, nil
	case "shop":
		return true, nil
	}
	return false, badRequest("a report is for= shop, or for oneself without it", "leave it out")
}

// getReport is the report as Markdown.
func (s *Server) getReport(w http.ResponseWriter, r *http.Request) error {
	shop, err := forShop(r)
	if err != nil {
		return err
	}
	text, err := s.desk.ReportText(r.PathValue("id"), shop)
	if err != nil {
		return err
	}
	w.Header().Set("Content-Type", "text/markdown; charset=utf-8")
	w.Header().Set("Cache-Control", "no-store")
	_, err = w.Write([]byte(text))
	return err
}

// ReportText is the report of a case in Markdown, its notes and photos at the
// end; with shop the hand-over for a workshop.
func (d *Desk) ReportText(id string, shop bool) (string, error) {
	text, _, err := d.report(id, shop)
	if err != nil {
		return "", err
	}
	list, err := d.book.Attached(id)
	if err != nil || len(list) == 0 {
		return text, err
	}
	var b strings.Builder
	b.WriteString(text + "\n## Notes and photos\n\n")
	for _, a := range list {
		b.WriteString("- " + day(a.When) + ", " + turnWords(a.Turn) + ": ")
		if a.Photo != "" {
			b.WriteString("photo " + a.Photo + " ")
		}
		b.WriteString(plainMarkdown(a.Note) + "\n")
	}
	return b.String(), nil
}

// plainMarkdown is a person's own words without meaning as Markdown.
func plainMarkdown(text string) string {
	var b strings.Builder
	for _, r := range strings.Join(strings.Fields(text), " ") {
		if strings.ContainsRune("\\`*_[]<>#~!|", r) {
			b.WriteByte('\\')
		}
		b.WriteRune(r)
	}
	return b.String()
}

func turnWords(n int) string {
	if n == 0 {
		return "the job as a whole"
	}
	return "turn " + itoa(n)
}

func (s *Server) reportPage(w http.ResponseWriter, r *http.Request) error {
	id := r.PathValue("id")
	shop, err := forShop(r)
	if err != nil {
		return err
	}
	text, report, err := s.desk.report(id, shop)
	if notFound(err) {
		return s.missing(w, r, "There is no job "+id+".")
	} else if err != nil {
		return err
	}
	list, err := s.desk.book.Attached(id)
	if err != nil {
		return err
	}
	v := web.Report{Frame: web.Frame{Title: report.Title, Here: "jobs", Module: "cases.js", Style: "cases.css"}, ID: id, Shop: shop, Body: template.HTML(kb.Render(text)), Made: day(s.desk.now())}
	if c := report.Circuit; c != nil {
		v.Circuit = template.HTML(c.Drawing) // drawn by this program
	}
	for _, a := range list {
		v.Attached = append(v.Attached, attachedView(id, a))
	}
	return s.show(w, r, http.StatusOK, "report", v)
}

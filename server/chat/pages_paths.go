package chat

import (
	"encoding/json"
	"fmt"
	"strings"

	"ruleout/kb"
	"ruleout/web"
)

// line is a path as JSON, for the script that draws it.
func (s *Server) line(id string) (string, error) {
	text, err := json.Marshal(s.desk.Engine().Path(id))
	if err != nil {
		return "", fmt.Errorf("path %s: %w", id, err)
	}
	return string(text), nil
}

// wayTitles says in a word what is done at a point.
var wayTitles = map[string]string{"seen": "Look", "fed": "Feed in", "shut": "Shut off", "opened": "Open"}

// effectTitles say what a failure does to what passes.
var effectTitles = map[string]string{"cut": "stops it", "weak": "leaves too little", "leak": "lets it out, or air in", "wrong": "lets it pass wrongly"}

// path shows the line as a list, then every look with its cautions before its
// steps, then the causes of the parts on it.
func (w writer) path(p *kb.Path) {
	w.fact("What passes", p.Passes, "")
	w.fact("From", p.From, "")
	w.fact("To", p.To, "")
	var rows []web.Fact
	for i := range p.Stations {
		rows = append(rows, w.station(p, i))
	}
	w.section(web.Section{ID: "line", Title: "Along the line", Rows: rows})
	for i := range p.Points {
		k := &p.Points[i]
		for _, way := range kb.PathWays {
			if l := k.Look(way); l != nil {
				w.look(p, k, way, l)
			}
		}
	}
	w.section(web.Section{ID: "causes", Title: "What can fail on it", Links: w.links(w.causesOn(p))})
	w.section(web.Section{ID: "serves", Title: "Troubles it belongs to", Links: w.links(p.Serves)})
}

// station says what a part does to what passes, and what its failures do.
func (w writer) station(p *kb.Path, i int) web.Fact {
	st := &p.Stations[i]
	text := upperFirst(st.Does) + "."
	by := map[string][]string{}
	if part := w.b.Part(st.Part); part != nil {
		for j := range w.b.Modes {
			m := &w.b.Modes[j]
			if part.Modes[m.ID] == 0 {
				continue
			}
			best := ""
			effects := w.b.EffectsOf(st, part.ID, m.ID)
			for _, e := range kb.PathEffects {
				if best == "" && effects[e] > 0 || effects[e] > effects[best] {
					best = e
				}
			}
			if best != "" {
				by[best] = append(by[best], m.Title)
			}
		}
	}
	for _, e := range kb.PathEffects {
		if len(by[e]) > 0 {
			text += " " + upperFirst(strings.Join(by[e], ", ")) + ": " + effectTitles[e] + "."
		}
	}
	var also []string
	for _, id := range st.Commands {
		if part := w.b.Part(id); part != nil {
			also = append(also, part.Name)
		}
	}
	if len(also) > 0 {
		text += " Fed or commanded by: " + strings.Join(also, ", ") + "."
	}
	name := st.Part
	if part := w.b.Part(st.Part); part != nil {
		name = part.Name
	}
	return web.Fact{Name: upperFirst(name), Value: text, Basis: string(w.b.Lists.Derived.Paths.Basis)}
}

// look shows one way to find out at a point.
func (w writer) look(p *kb.Path, k *kb.PathPoint, way string, l *kb.PathLook) {
	title := wayTitles[way] + ": " + k.Title
	id := k.ID + "-" + way
	if l.Test != "" {
		w.section(web.Section{ID: id, Title: title, Links: w.links([]string{w.article(l.Test)})})
		return
	}
	var rows []web.Fact
	if f := w.b.Finding(p.Finding(k, way)); f != nil {
		for _, o := range f.Outcomes {
			rows = append(rows, web.Fact{Name: upperFirst(o.Title), Value: strings.TrimSpace(o.Means), Basis: string(l.Basis)})
		}
	}
	text := fmt.Sprintf("%s %g minutes, %s.", l.Ask, l.Minutes, l.Difficulty)
	if l.Helper != nil && l.Helper.Alone != "" {
		text += " Alone: " + l.Helper.Alone
	}
	w.section(web.Section{ID: id, Title: title, Text: text, Cautions: w.cautions(l.Hazards, l.Access, l.Cautions), Numbered: l.Steps, Rows: rows})
}

// article is the article that tells a finding.
func (w writer) article(finding string) string {
	if f := w.b.Finding(finding); f != nil {
		return f.Article
	}
	return finding
}

// causesOn lists the causes of the parts of a path in the order of the line,
// those that somebody wrote first.
func (w writer) causesOn(p *kb.Path) []string {
	var written, derived []string
	seen := map[string]bool{}
	for i := range p.Stations {
		for _, part := range p.Stations[i].Parts() {
			for _, c := range w.b.Causes {
				if c.Part != part || seen[c.ID] {
					continue
				}
				seen[c.ID] = true
				if c.Derived {
					derived = append(derived, c.ID)
				} else {
					written = append(written, c.ID)
				}
			}
		}
	}
	return append(written, derived...)
}

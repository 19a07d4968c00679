package retrieval

import (
	"strings"

	"ruleout/kb"
)

// document is what is indexed of one article: fields by weight.
type document struct {
	head              kb.Head
	title, said, body string
	// place is its place in the order of ids, number the library's number of it;
	// terms are those of each field.
	place, number int
	terms         [fieldsOf][]string
}

// texts are those of the fields, in the order of fieldWeights. The body of a
// page that nobody wrote says the same of every part and is left out.
func (d *document) texts() [fieldsOf]string {
	if d.head.Derived {
		return [fieldsOf]string{d.title, d.said, ""}
	}
	return [fieldsOf]string{d.title, d.said, d.body}
}

// documents makes one document an article, in id order.
func documents(b *kb.Base) []document {
	var out []document
	for _, h := range b.Heads() {
		if h.Minor {
			continue
		}
		d := document{head: h, title: h.Title, body: kb.PlainText(h.Body)}
		var said []string
		more := func(s ...string) { said = append(said, s...) }
		switch h.Kind {
		case kb.KindSymptom:
			s := b.Symptom(h.ID)
			more(s.Said...)
			for _, q := range s.Questions {
				if strings.HasPrefix(q.ID, kb.RealPrefix) {
					continue // asked of several symptoms: its words are of none
				}
				d.body += "\n" + q.Ask
				for _, o := range q.Outcomes {
					d.body += " " + o.Title
				}
			}
		case kb.KindCause:
			c := b.Cause(h.ID)
			if p := b.Part(c.Part); p != nil {
				more(p.Name)
				more(p.Names...)
			}
			if m := b.Mode(c.Mode); m != nil {
				more(m.Title)
			}
			d.body += "\n" + c.Repair.Do
		case kb.KindTest:
			t := b.Test(h.ID)
			more(t.Ask)
			if p := b.Part(t.Part); p != nil {
				more(p.Name)
				more(p.Names...)
			}
			for _, o := range t.Outcomes {
				more(o.Title)
			}
			d.body += "\n" + strings.Join(t.Steps, " ")
		case kb.KindPath:
			p := b.Path(h.ID)
			more(p.Said...)
			// Its text names all that stands on the line; who asks for one
			// of those wants its own article.
			d.body = ""
			for i := range p.Points {
				d.body += p.Points[i].Title + "\n"
			}
		case kb.KindCircuit:
			// A complaint is no question after the wiring: the words stand with
			// the text, not among what owners say.
			d.body += "\n" + strings.Join(b.Circuit(h.ID).Said, "; ")
		case kb.KindCard:
			more(b.Card(h.ID).Said...)
		}
		d.said = strings.Join(said, "\n")
		out = append(out, d)
	}
	return out
}

// whole is all text of a document, for snippets.
func (d *document) whole() string {
	if d.head.Kind == kb.KindSymptom || d.head.Kind == kb.KindCard || d.head.Kind == KindCase {
		return d.body + "\n" + strings.ReplaceAll(d.said, "\n", "; ")
	}
	return d.body
}

package dialog

import (
	"strings"

	"ruleout/dialog/plainwords"
)

// remarkPrefix marks what was understood and noted though no finding takes it
// up: it never weighs.
const remarkPrefix = "said:"

// remarkTitles word the kinds of remark that name no part.
var remarkTitles = map[string]string{
	"sense": "what you noticed", "deed": "what was done", "time": "how long, how far or how fast", "reading": "a reading", "vehicle": "the car", "opinion": "an opinion", "again": "more of the same",
}

// noteBeside notes the remarks, codes and circumstances of a turn.
func (e *Engine) noteBeside(s *State, acct plainwords.Account, text string, h *heard) {
	for _, r := range acct.Remarks {
		n := Noted{Finding: remarkPrefix + r.Kind, Title: remarkTitles[r.Kind], Item: r.Item, Words: cut(text, r.Start, r.End), Start: r.Start, End: r.End, OutcomeTitle: strings.Join(r.Terms, ", "), Source: "told"}
		switch {
		case e.base.Part(r.About) != nil:
			n.Title = e.base.Part(r.About).Name
		case r.About != "":
			n.Title = strings.ReplaceAll(r.About, "-", " ")
			for _, sys := range e.base.Lists.Systems {
				if sys.ID == r.About {
					n.Title = lowerFirst(sys.Title)
				}
			}
		}
		if r.About != "" {
			n.Finding += ":" + r.About
		}
		if q := r.Reading; q != nil {
			n.OutcomeTitle = strings.TrimSpace(q.Written)
			if v := round6(q.Value); !q.Infinite {
				n.Value, n.Unit = &v, q.Unit
			}
		}
		n.Note = "no article weighs it"
		if r.Kind == "opinion" {
			n.Source, n.Note = "opinion", "an opinion weighs nothing by itself"
		}
		e.addRemark(s, n, h)
	}
	for _, c := range acct.Codes {
		e.pointCode(s, c)
		e.addRemark(s, Noted{Finding: remarkPrefix + "code:" + c.Text, Title: "trouble code " + c.Text, Item: c.Item, Words: cut(text, c.Start, c.End), Start: c.Start, End: c.End, Source: "told",
			Note: "a code names a circuit, not a part; it only points there"}, h)
	}
	for _, c := range acct.Circumstances {
		e.addRemark(s, Noted{Finding: remarkPrefix + "circumstance:" + c.Kind, Title: strings.ReplaceAll(c.Kind, "-", " "), Words: cut(text, c.Start, c.End), Start: c.Start, End: c.End, Source: "told",
			Note: "steers what is proposed, not what is suspected"}, h)
	}
}

func (e *Engine) addRemark(s *State, n Noted, h *heard) {
	n.Number, n.Turn, n.Certainty = len(s.Notes)+1, len(s.Turns), 0
	s.Notes = append(s.Notes, observed{Noted: n, era: s.era()})
	h.remarks = append(h.remarks, n.Number)
}

// pointCode counts a trouble code as one mention of the parts in the circuit
// it names, or of its system.
func (e *Engine) pointCode(s *State, c plainwords.Code) {
	for i, cause := range e.base.Causes {
		hit := len(c.Parts) == 0 && cause.System == c.System
		for _, p := range c.Parts {
			hit = hit || cause.Part == p
		}
		if hit {
			s.Pointed[i] = min(s.Pointed[i]+1, pointedMost)
		}
	}
}

// remarked words a remark for the reply.
func (n *observed) remarked() string {
	d := n.Title
	if n.Item != "" {
		d += ", " + strings.ReplaceAll(n.Item, "-", " ")
	}
	if n.OutcomeTitle != "" {
		d += ": " + n.OutcomeTitle
	}
	return d
}

package kb

import (
	"slices"
	"strings"
)

// Indication says of symptoms known only by a gauge, lamp, code or meter which
// parts indicate them and which signs beside them tell whether they are real.
// It stands for the symptoms it names, or for all that are known in one of the
// ways of KnownBy and that no other names.
type Indication struct {
	ID       string   `yaml:"id" json:"id"`
	Symptoms []string `yaml:"symptoms,omitempty" json:"symptoms,omitempty"`
	KnownBy  []string `yaml:"known_by,omitempty" json:"known_by,omitempty"`
	// By lists the parts that indicate, with how often their failure looks like
	// the trouble; Kinds are kinds of part that do where the symptom comes from
	// them already.
	By    []SignFrom `yaml:"by,omitempty" json:"by,omitempty"`
	Kinds []string   `yaml:"kinds,omitempty" json:"kinds,omitempty"`
	Signs []RealSign `yaml:"signs,omitempty" json:"signs,omitempty"`
	// Itself is why nothing is asked.
	Itself string `yaml:"itself,omitempty" json:"itself,omitempty"`
	Basis  Basis  `yaml:"basis" json:"basis"`
}

// RealSign is an independent sign: a finding of an article, or a question of
// its own, whose id then is that of the indication after RealPrefix.
type RealSign struct {
	Finding  string    `yaml:"finding,omitempty" json:"finding,omitempty"`
	Question *Question `yaml:"question,omitempty" json:"question,omitempty"`
	Minutes  float64   `yaml:"minutes,omitempty" json:"minutes,omitempty"`
	Hazards  []string  `yaml:"hazards,omitempty" json:"hazards,omitempty"`
	// Real is what it shows when the trouble is there (left out where the
	// articles say it), False when only the indication is wrong.
	Real  map[string]Likelihood `yaml:"real,omitempty" json:"real"`
	False map[string]Likelihood `yaml:"false,omitempty" json:"false,omitempty"`
}

// RealPrefix begins the id of a question that tells whether an indication is
// real.
const RealPrefix = "real:"

// realFrom is how often a cause must show a symptom for its signs to be
// expected with it. Basis: memory.
const realFrom = 0.1

// FindingOf is the id of the finding of a sign.
func (x *Indication) FindingOf(g *RealSign) string {
	if g.Question != nil {
		return RealPrefix + x.ID
	}
	return g.Finding
}

// IndicationOf returns what tells whether the symptom is real, or nil when it
// is not known by an indication alone.
func (b *Base) IndicationOf(symptom string) *Indication {
	s := b.symptoms[symptom]
	if s == nil {
		return nil
	}
	var rest *Indication
	for i := range b.Indications {
		x := &b.Indications[i]
		switch {
		case slices.Contains(x.Symptoms, symptom):
			return x
		case rest == nil && len(s.Of) == 0 && slices.Contains(x.KnownBy, s.KnownBy):
			rest = x
		}
	}
	return rest
}

// indicate lets the parts that indicate bring the symptoms they indicate,
// where neither a sign nor an article says it of them.
func (b *Base) indicate() {
	for i := range b.Indications {
		x := &b.Indications[i]
		for _, id := range x.Symptoms {
			at := slices.IndexFunc(b.Signs, func(g Sign) bool { return g.ID == id })
			if at < 0 {
				if len(x.By) == 0 {
					continue
				}
				b.Signs = append(b.Signs, Sign{ID: id, Basis: x.Basis})
				at = len(b.Signs) - 1
			}
			from := slices.Clone(b.Signs[at].From)
			for _, by := range x.By {
				if !slices.ContainsFunc(from, func(f SignFrom) bool { return f.Part == by.Part }) {
					from = append(from, by)
				}
			}
			b.Signs[at].From = from
		}
	}
}

// indicates reports whether the cause makes the indication wrong.
func (b *Base) indicates(x *Indication, c *Cause) bool {
	return len(x.Kinds) > 0 && b.isKind(c.Part, x.Kinds) ||
		slices.ContainsFunc(x.By, func(f SignFrom) bool {
			return f.Part == c.Part && (len(f.Modes) == 0 || slices.Contains(f.Modes, c.Mode))
		})
}

// deriveReal makes the questions whether indications are real, and says of
// every cause that brings the symptom what each sign shows with it. What an
// article says of a sign itself stands.
func (b *Base) deriveReal() {
	symptoms := map[string][]*Symptom{}
	for _, s := range b.Symptoms {
		if x := b.IndicationOf(s.ID); x != nil && x.Itself == "" {
			symptoms[x.ID] = append(symptoms[x.ID], s)
		}
	}
	for i := range b.Indications {
		x := &b.Indications[i]
		for k := range x.Signs {
			g := &x.Signs[k]
			f := b.realFinding(x, g, symptoms[x.ID])
			if f == nil {
				continue
			}
			for _, c := range b.Causes {
				if b.rows[c.ID][f.ID] != nil || !slices.ContainsFunc(symptoms[x.ID], func(s *Symptom) bool { return b.brings(c, s) }) {
					continue
				}
				said := g.Real
				if b.indicates(x, c) {
					said = g.False
				}
				if p, ok := f.Distribution(said); ok {
					b.rows[c.ID][f.ID] = p
				}
			}
		}
	}
}

// brings reports whether the cause shows the symptom often enough to be asked
// for the signs that go with it; of what indicates, any more than others do.
func (b *Base) brings(c *Cause, s *Symptom) bool {
	p, f := b.rows[c.ID][s.ID], b.findings[s.ID]
	return p != nil && f != nil && (p[0] >= realFrom || p[0] > f.Base[0] && b.indicates(b.IndicationOf(s.ID), c))
}

// realFinding is the finding of a sign; a question of its own is put to the
// symptoms.
func (b *Base) realFinding(x *Indication, g *RealSign, symptoms []*Symptom) *Finding {
	if g.Question == nil {
		return b.findings[g.Finding]
	}
	id := x.FindingOf(g)
	if len(symptoms) == 0 || b.findings[id] != nil {
		return nil
	}
	q := *g.Question
	q.ID = id
	first := symptoms[0]
	first.Questions = append(slices.Clone(first.Questions), q)
	for _, s := range symptoms[1:] {
		s.Asks = append(slices.Clone(s.Asks), id)
	}
	f := &Finding{ID: id, Kind: FindingQuestion, Title: q.Title, Article: first.ID, System: first.System, Ask: q.Ask, Why: q.Why,
		Order: q.Order, Outcomes: q.Outcomes, Base: baseline(q.Outcomes)}
	b.findings[id] = f
	return f
}

// RealSignOf returns the sign with the finding among those of the symptom's
// indication, or nil.
func (b *Base) RealSignOf(symptom, finding string) *RealSign {
	x := b.IndicationOf(symptom)
	if x == nil || x.Itself != "" {
		return nil
	}
	for i := range x.Signs {
		if g := &x.Signs[i]; x.FindingOf(g) == finding {
			return g
		}
	}
	return nil
}

// Indicates reports whether the cause makes the symptom's indication wrong.
func (b *Base) Indicates(symptom string, c *Cause) bool {
	x, s := b.IndicationOf(symptom), b.symptoms[symptom]
	return x != nil && x.Itself == "" && b.brings(c, s) && b.indicates(x, c)
}

// checkIndication checks an entry of the list of indications.
func (c *checker) checkIndication(e *entry, x *Indication) {
	c.checkID(e, p("id"), x.ID)
	c.basis(e, p("basis"), x.Basis)
	for i, id := range x.Symptoms {
		if _, sign := c.set.entries["signs"][id]; !sign {
			c.ref(e, p("symptoms", i), string(KindSymptom), id)
		}
	}
	for i, k := range x.KnownBy {
		c.oneOf(e, p("known_by", i), k, knownBy...)
	}
	if len(x.Symptoms)+len(x.KnownBy) == 0 {
		c.fail(e, p("symptoms"), "name symptoms, or give known_by", "it stands for no symptom")
	}
	c.refs(e, p("kinds"), "kinds", x.Kinds)
	for i, f := range x.By {
		c.ref(e, p("by", i, "part"), "parts", f.Part)
		c.refs(e, p("by", i, "modes"), "modes", f.Modes)
		c.likelihood(e, p("by", i, "how"), f.How)
	}
	if (len(x.Signs) == 0) == (strings.TrimSpace(x.Itself) == "") {
		c.fail(e, p("signs"), "give signs, or why there are none (itself)", "it needs either a sign or a reason")
	}
	own := 0
	for i := range x.Signs {
		g, at := &x.Signs[i], p("signs", i)
		c.refs(e, under(at, "hazards"), "hazards", g.Hazards)
		c.notNegative(e, under(at, "minutes"), g.Minutes)
		var f *Finding
		switch q := g.Question; {
		case (q == nil) == (g.Finding == ""):
			c.fail(e, at, "give one of finding and question", "a sign is a finding of an article or a question of its own")
		case q == nil && strings.HasPrefix(g.Finding, "path:"):
			f = c.pathFinding(e, under(at, "finding"), g.Finding)
		case q == nil:
			f = c.finding(e, under(at, "finding"), g.Finding)
		default:
			if own++; own > 1 {
				c.fail(e, under(at, "question"), "make it an entry of its own", "an indication has one question of its own")
			}
			if q.ID != "" {
				c.fail(e, under(at, "question", "id"), "leave it out", "the id follows from that of the entry")
			}
			c.text(e, under(at, "question", "ask"), q.Ask)
			c.text(e, under(at, "question", "why"), q.Why)
			c.oneOf(e, under(at, "question", "order"), q.Order, orders...)
			c.checkOutcomes(e, under(at, "question", "outcomes"), q.Outcomes, "")
			f = &Finding{ID: RealPrefix + x.ID, Outcomes: q.Outcomes}
		}
		if f == nil {
			continue
		}
		for key, said := range map[string]map[string]Likelihood{"real": g.Real, "false": g.False} {
			for _, o := range sortedKeys(said) {
				c.outcome(e, under(at, key, o), f, o)
				c.likelihood(e, under(at, key, o), said[o])
			}
		}
		if len(g.Real) == 0 && g.Question != nil {
			c.fail(e, under(at, "real"), "", "nothing says what the sign shows when the trouble is there")
		}
		if len(g.False) == 0 && len(x.By)+len(x.Kinds) > 0 {
			c.fail(e, under(at, "false"), "", "nothing says what the sign shows when the indication is wrong")
		}
	}
}

// pathFinding is the look of a path that the id names, with its outcomes; it
// follows from the path only once everything is sound.
func (c *checker) pathFinding(e *entry, path []any, id string) *Finding {
	for _, a := range c.base.Paths {
		for i := range a.Points {
			for _, way := range PathWays {
				if l := a.Points[i].Look(way); l != nil && a.Finding(&a.Points[i], way) == id {
					f := &Finding{ID: id}
					for _, o := range PathOutcomes[way] {
						f.Outcomes = append(f.Outcomes, Outcome{ID: o})
					}
					return f
				}
			}
		}
	}
	c.fail(e, path, "", "no path has the look %q", id)
	return nil
}

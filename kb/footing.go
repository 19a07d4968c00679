package kb

import (
	"slices"
	"strings"
)

// Footing is what a likelihood that nobody wrote for a cause rests on: the row of
// a table, or the page of the cause or symptom that follows by itself.
type Footing struct {
	Page  string // an article
	Row   string // the anchor of a row in it, or ""
	Basis Basis
}

// Link is the footing as the target of a link, without the scheme.
func (f *Footing) Link() string {
	if f.Row == "" {
		return f.Page
	}
	return f.Page + "#" + f.Row
}

// FootingOf returns what rests under what a finding shows of a cause, or nil
// where the article of the cause says it itself or it shows the baseline. means
// are those of a test, joined with "+".
func (b *Base) FootingOf(finding, means string, c *Cause) *Footing {
	d := &b.Derived
	row := func(page, title string, basis Basis) *Footing {
		if title == "" {
			return nil
		}
		return &Footing{page, RowID(title), basis}
	}
	f := strings.Split(finding, ":")
	switch {
	case f[0] == "part" && len(f) == 3 && b.Part(f[1]) != nil:
		p := b.Part(f[1])
		if f[2] == AgainSuffix {
			return row(CardAgain, againTitles[b.againPlace(c, p, b.killersOf(p))], d.Again.Basis)
		}
		if c.Part != p.ID {
			if a := b.ComeGo(f[2]); a != nil && b.isLead(c) {
				if _, leads := a.lead(b, p.ID); leads {
					return row(CardComeGo, a.rowTitle(b, p.ID), d.Basis)
				}
			}
			return nil
		}
		place := "in-part"
		if b.PlaceOf(c) != "part" {
			place = "connector"
		}
		switch f[2] {
		case "replaced":
			return row(CardRenewed, placeTitles[place], d.Basis)
		case "swapped":
			if place == "in-part" && b.isKind(p.ID, []string{"relay"}) {
				place = "relay"
			}
			return row(CardSwap, placeTitles[place], d.Basis)
		case "tested", "good":
			return b.footingOfTest(means, c)
		}
		for i := range d.Looks {
			if l := &d.Looks[i]; l.ID == f[2] {
				return row(CardLooks, l.Title, d.Basis)
			}
		}
		if a := b.ComeGo(f[2]); a != nil {
			return row(CardComeGo, a.rowTitle(b, p.ID), d.Basis)
		}
	case f[0] == "go" && len(f) == 2 && b.ComeGo(f[1]) != nil:
		if a := b.ComeGo(f[1]); b.reached(a, a.On(b, c.Part), c) {
			return row(CardComeGo, a.rowTitle(b, c.Part), d.Basis)
		}
	case f[0] == "cond" && len(f) == 4:
		_, v := b.axisValue(f[2], f[3])
		if v == nil {
			return nil
		}
		switch rel, _, at := c.conditionOf(f[1], f[2], v, b.conditionRules(f[2], f[3])); {
		case at >= 0:
			return row(CardConditions, ruleTitle(v, at), d.Basis)
		case rel != "" && c.Derived:
			return &Footing{Page: c.ID, Basis: derivedBasis}
		}
	case f[0] == "event" && len(f) >= 2 && b.event(f[1]) != nil:
		part, e := "", b.event(f[1])
		if len(f) > 2 {
			part = f[2]
		}
		if p, at := b.cameBefore(e, c, part); p > e.Base {
			return row(CardBefore, at, e.Basis)
		}
	default:
		return b.footingOfAuthored(finding, c)
	}
	return nil
}

// footingOfTest is the blind spot, or the row of the test, that lets most of such
// a fault be seen.
func (b *Base) footingOfTest(means string, c *Cause) *Footing {
	best, by := -1.0, ""
	for _, m := range strings.Split(means, "+") {
		if _, ok := b.Derived.Means[m]; !ok {
			m = "unsaid"
		}
		if v := b.sensitivityTo(m, c); v > best {
			best, by = v, m
		}
	}
	if s := b.BlindSpotOf(by, c.Part, c.Mode); s != nil {
		return &Footing{CardMeans, RowID(idWords(s.ID)), s.Basis}
	}
	return &Footing{CardMeans, RowID(idWords(by)), b.Derived.Basis}
}

// footingOfAuthored is the footing where an article defines the finding.
func (b *Base) footingOfAuthored(id string, c *Cause) *Footing {
	f := b.findings[id]
	if f == nil || b.rows[c.ID][id] == nil {
		return nil
	}
	if _, said := c.Shows[id]; said {
		switch s := b.symptoms[id]; {
		case c.Derived:
			return &Footing{Page: c.ID, Basis: derivedBasis}
		case s != nil && s.Derived:
			return &Footing{Page: s.ID, Basis: derivedBasis}
		}
		return nil
	}
	if id == b.Derived.Together.Question.ID {
		return b.MeetingFooting()
	}
	for i := range b.Indications {
		x := &b.Indications[i]
		for k := range x.Signs {
			if x.FindingOf(&x.Signs[k]) == id {
				return &Footing{CardReal, RowID(b.realTitle(x)), x.Basis}
			}
		}
	}
	for _, l := range b.looksAt[id] {
		if title := b.pathRowOf(l.path, l.point, l.way, c); title != "" {
			return &Footing{CardPaths, RowID(title), b.Derived.Paths.Basis}
		}
	}
	return nil
}

// pathRowOf is the row of the table of paths for what the cause does most of
// where its part first stands on the path.
func (b *Base) pathRowOf(p *Path, k *PathPoint, way string, c *Cause) string {
	for i := range p.Stations {
		s := &p.Stations[i]
		if !slices.Contains(s.Parts(), c.Part) {
			continue
		}
		effects, most := b.EffectsOf(s, c.Part, c.Mode), ""
		for _, e := range PathEffects {
			if effects[e] > 0 && (most == "" || effects[e] > effects[most]) && b.effectRow(p, k, way, i, c.Part, e) != nil {
				most = e
			}
		}
		if most == "" {
			continue
		}
		side := "behind it"
		if p.Before(i, k) && !(p.Unwanted && way == "shut") {
			side = "before it"
		}
		return pathRow(way, side, p.passes(way, most))
	}
	return ""
}

// MeetingFooting is what rests under a shared point at which troubles meet.
func (b *Base) MeetingFooting() *Footing {
	return &Footing{CardTogether, RowID(togetherRow), b.Derived.Basis}
}

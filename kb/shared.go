package kb

import "slices"

// Together is the question that tells a failed shared point from a fault of
// one thing: what else stopped, lit up or changed at the same moment.
type Together struct {
	// Symptom is the sign that says the same unasked, and brings the question.
	Symptom  string   `yaml:"symptom" json:"symptom"`
	Question Question `yaml:"question" json:"question"`
	// Point is what the question shows when the cause is a shared point.
	Point map[string]float64 `yaml:"point" json:"point"`
}

// hangOn is in how many systems parts must hang on a part for it to be a shared
// point: what an ignition coil feeds is one thing, what a main relay does is not.
const hangOn = 2

// SharedPoints lists the parts on which others of several systems hang, in id
// order: what feeds or earths them, and their belts.
func (b *Base) SharedPoints() []string {
	users := map[string]map[string]bool{}
	for i := range b.Parts {
		p := &b.Parts[i]
		for _, id := range p.hangsOn() {
			if id == p.ID || b.Part(id) == nil {
				continue
			}
			if users[id] == nil {
				users[id] = map[string]bool{}
			}
			users[id][p.System] = true
		}
	}
	var out []string
	for _, id := range sortedKeys(users) {
		if len(users[id]) >= hangOn {
			out = append(out, id)
		}
	}
	return out
}

// hangsOn lists what feeds, earths and drives the part.
func (p *Part) hangsOn() []string {
	on := slices.Concat(p.FedBy, p.EarthedAt)
	if belt := p.Shares["belt"]; belt != "" {
		on = append(on, belt)
	}
	return on
}

// With returns the parts that share a fuse, a belt or a vacuum line with this
// one, in the order of the list, and what they share.
func (b *Base) With(p *Part) (what string, parts []*Part) {
	for _, kind := range []string{"fuse", "belt", "vacuum"} {
		name := p.Shares[kind]
		if name == "" {
			continue
		}
		for i := range b.Parts {
			if q := &b.Parts[i]; q.ID != p.ID && q.Shares[kind] == name {
				parts = append(parts, q)
			}
		}
		if len(parts) > 0 {
			return kind, parts
		}
	}
	return "", nil
}

// deriveTogether makes the finding of the question of shared points, with what
// every cause that sits at one makes it show.
func (b *Base) deriveTogether() {
	t := &b.Lists.Derived.Together
	s := b.symptoms[t.Symptom]
	if s == nil || !s.Derived || b.findings[t.Question.ID] != nil {
		return
	}
	q := t.Question
	s.Questions = append(s.Questions, q)
	f := &Finding{ID: q.ID, Kind: FindingQuestion, Title: q.Title, Article: s.ID, System: s.System, Ask: q.Ask, Why: q.Why,
		Order: q.Order, Outcomes: q.Outcomes, Base: baseline(q.Outcomes)}
	b.findings[q.ID] = f
	points := b.SharedPoints()
	row := make([]float64, len(f.Outcomes))
	for i, o := range f.Outcomes {
		row[i] = t.Point[o.ID]
	}
	row = normalised(row)
	for _, c := range b.Causes {
		if slices.Contains(points, c.Part) && b.rows[c.ID][q.ID] == nil {
			b.rows[c.ID][q.ID] = row
		}
	}
}

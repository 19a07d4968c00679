package kb

import "slices"

// Figures of "is this one trouble or two?". Basis: memory.
const (
	alsoShows = 0.15 // a cause that shows a symptom this often can be behind it
	joinFrom  = 0.1  // what joins two troubles is behind each in this share
)

// Unlike reports whether two symptoms have nothing in common that the
// knowledge base knows of: no cause shows both, and no path, feed, earth,
// signal, fuse, belt, fluid or vacuum line is behind both.
func (b *Base) Unlike(x, y *Symptom) bool {
	a, both := b.joins(x, y)
	if both || len(a) == 0 {
		return false
	}
	c, _ := b.joins(y, x)
	if len(c) == 0 {
		return false
	}
	for _, k := range sortedKeys(a) {
		if a[k] >= joinFrom && c[k] >= joinFrom {
			return false
		}
	}
	return true
}

// joins lists what may join a symptom with another, with the share of its
// causes that it is behind, and whether a cause shows the other too.
func (b *Base) joins(x, other *Symptom) (by map[string]float64, both bool) {
	by = map[string]float64{}
	total := 0.0
	for _, c := range b.Causes {
		if b.showing(c, x) < alsoShows {
			continue
		}
		if b.showing(c, other) >= alsoShows {
			return nil, true
		}
		total += c.Frequency.PerThousand
		for _, k := range b.joinedBy(c.Part) {
			by[k] += c.Frequency.PerThousand
		}
	}
	for k := range by {
		by[k] /= total
	}
	return by, false
}

// showing is how often the cause shows the symptom.
func (b *Base) showing(c *Cause, s *Symptom) float64 {
	of := s.Of
	if len(of) == 0 {
		of = map[string]string{s.ID: "present"}
	}
	p := 1.0
	for _, id := range sortedKeys(of) {
		row, f := b.rows[c.ID][id], b.findings[id]
		if row == nil || f == nil {
			return 0
		}
		p *= row[f.OutcomeIndex(of[id])]
	}
	return p
}

// joinedBy names what a part hangs on or belongs to, each once.
func (b *Base) joinedBy(part string) []string {
	out := []string{"part " + part}
	p := b.Part(part)
	if p == nil {
		return out
	}
	for _, id := range slices.Concat(p.FedBy, p.EarthedAt, p.SignalsTo) {
		out = append(out, "part "+id)
	}
	for _, kind := range sortedKeys(p.Shares) {
		out = append(out, kind+" "+p.Shares[kind])
	}
	for _, path := range b.Paths {
		if slices.Contains(path.parts(), part) {
			out = append(out, "path "+path.ID)
		}
	}
	slices.Sort(out)
	return slices.Compact(out)
}

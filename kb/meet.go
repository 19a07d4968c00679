package kb

import "slices"

// When troubles are taken to meet at a shared point. Basis: memory.
const (
	dieWith  = 0.5 // a part that fails shows the trouble this often: it dies with the part
	explains = 0.3 // a cause that shows every one of them this often needs no shared point
)

// Meeting is a shared point, a feed, an earth or a belt, at which several
// troubles meet, with those of them that its own failures are said to show.
type Meeting struct {
	Point    string
	Symptoms []*Symptom
}

// Meetings lists the shared points at which at least two of the troubles meet
// that are of unlike systems and that no other cause explains together, in id
// order. A trouble hangs on a point when it is what a part shows that hangs on
// it and is dead.
func (b *Base) Meetings(told []*Symptom) []Meeting {
	if len(told) < 2 {
		return nil
	}
	hangs := map[string][]*Symptom{}
	for _, s := range told {
		for _, point := range b.deadWithout(s) {
			hangs[point] = append(hangs[point], s)
		}
	}
	var out []Meeting
	for _, point := range sortedKeys(hangs) {
		met := hangs[point]
		if len(met) > 1 && slices.ContainsFunc(met[1:], func(s *Symptom) bool { return s.System != met[0].System }) && !b.explained(met) {
			out = append(out, Meeting{point, met})
		}
	}
	return out
}

// deadWithout lists the shared points on which the parts hang that show the
// symptom when they are dead.
func (b *Base) deadWithout(s *Symptom) []string {
	shared := b.SharedPoints()
	seen := map[string]bool{}
	for _, c := range b.Causes {
		p := b.Part(c.Part)
		if p == nil || b.showing(c, s) < dieWith {
			continue
		}
		for _, point := range p.hangsOn() {
			if slices.Contains(shared, point) {
				seen[point] = true
			}
		}
	}
	return sortedKeys(seen)
}

// explained reports whether a cause at no shared point shows all of the troubles.
func (b *Base) explained(all []*Symptom) bool {
	shared := b.SharedPoints()
	return slices.ContainsFunc(b.Causes, func(c *Cause) bool {
		return !slices.Contains(shared, c.Part) && !slices.ContainsFunc(all, func(s *Symptom) bool { return b.showing(c, s) < explains })
	})
}

// Showing is how often the cause shows the symptom.
func (b *Base) Showing(c *Cause, s *Symptom) float64 { return b.showing(c, s) }

// OfOneThing reports whether two symptoms are two ways to tell of one thing,
// "window stuck" and "window slow": of the parts that bring one of them most
// bring the other, not counting what others hang on and what only leads there.
func (b *Base) OfOneThing(x, y string) bool {
	s, t := b.symptoms[x], b.symptoms[y]
	if s == nil || t == nil {
		return false
	}
	shared := b.SharedPoints()
	both, ofX, ofY := 0.0, 0.0, 0.0
	for _, c := range b.Causes {
		if slices.Contains(shared, c.Part) || b.isKind(c.Part, []string{"cable", "contact", "fuse"}) {
			continue
		}
		u, v := b.showing(c, s) >= explains, b.showing(c, t) >= explains
		if u {
			ofX += c.Frequency.PerThousand
		}
		if v {
			ofY += c.Frequency.PerThousand
		}
		if u && v {
			both += c.Frequency.PerThousand
		}
	}
	return both > min(ofX, ofY)/2
}

package kb

import (
	"slices"
	"strings"
)

// MinPathSaid is how many ways of saying an outcome of a point needs.
const MinPathSaid = 3

// checkPath checks a path: that its stations make one line with branches, that
// every point lies on it, and that every look can be done and understood.
func (c *checker) checkPath(e *entry, a *Path) {
	c.head(e, a.Title, a.System, a.Body)
	c.said(e, p("said"), a.Said)
	if len(a.Said) == 0 {
		c.fail(e, p("said"), "", "no words to ask for it")
	}
	c.text(e, p("passes"), a.Passes)
	c.text(e, p("from"), a.From)
	c.text(e, p("to"), a.To)
	c.checkApplies(e, p("applies"), &a.Applies)
	c.serves(e, a)
	stations := map[string]bool{}
	names := []string{}
	unsure := false // a station's name may be what is wrong
	for i := range a.Stations {
		s, path := &a.Stations[i], p("stations", i)
		c.checkID(e, under(path, "id"), s.Name())
		c.once(e, under(path, "id"), s.Name(), stations[s.Name()])
		unsure = !c.ref(e, under(path, "part"), "parts", s.Part) || unsure
		c.refs(e, under(path, "also"), "parts", s.Also)
		c.refs(e, under(path, "commands"), "parts", s.Commands)
		c.text(e, under(path, "does"), s.Does)
		if s.After != "" && !stations[s.After] && !unsure {
			c.fail(e, under(path, "after"), orElse(didYouMean(s.After, names), "name a station further up"), "no station %q stands before this one", s.After)
		}
		for _, mode := range sortedKeys(s.Effects) {
			c.ref(e, under(path, "effects", mode), "modes", mode)
			c.oneOf(e, under(path, "effects", mode), s.Effects[mode], append([]string{"none"}, PathEffects...)...)
		}
		stations[s.Name()] = true
		names = append(names, s.Name())
	}
	if len(a.Stations) < 2 {
		c.fail(e, p("stations"), "", "a path has at least two stations")
	}
	points := map[string]bool{}
	for i := range a.Points {
		k, path := &a.Points[i], p("points", i)
		c.checkID(e, under(path, "id"), k.ID)
		c.once(e, under(path, "id"), k.ID, points[k.ID])
		points[k.ID] = true
		c.text(e, under(path, "title"), k.Title)
		if !stations[k.After] && !unsure {
			c.fail(e, under(path, "after"), didYouMean(k.After, names), "there is no station %q", k.After)
		}
		for j, id := range k.Joins {
			if !stations[id] && !unsure {
				c.fail(e, under(path, "joins", j), didYouMean(id, names), "there is no station %q", id)
			}
		}
		looks := 0
		for _, way := range PathWays {
			if l := k.Look(way); l != nil {
				looks++
				c.checkPathLook(e, under(path, way), way, l)
				if stations[k.After] {
					c.seesAndTells(e, under(path, way), a, k, way, l)
				}
			}
		}
		if looks == 0 {
			c.fail(e, path, "add seen, fed or shut", "nothing can be found out at point %q", k.ID)
		}
	}
	if len(a.Points) == 0 {
		c.fail(e, p("points"), "", "the path has no point to look at")
	}
}

// serves checks the symptoms that bring a path into play: written articles or
// signs.
func (c *checker) serves(e *entry, a *Path) {
	if len(a.Serves) == 0 {
		c.fail(e, p("serves"), "", "no symptom brings the path into play")
	}
	known := slices.Concat(c.ids[string(KindSymptom)], c.ids["signs"])
	slices.Sort(known)
	for i, id := range a.Serves {
		c.cut(e, p("serves", i), func() bool {
			if !slices.Contains(known, id) {
				if c.set.broken[id] {
					e.bad = true // reported where it is broken
					return false
				}
				c.fail(e, p("serves", i), didYouMean(id, known), "there is no symptom %q", id)
				return false
			}
			return true
		})
	}
}

func (c *checker) checkPathLook(e *entry, path []any, way string, l *PathLook) {
	c.basis(e, under(path, "basis"), l.Basis)
	if l.Reliable != "" {
		c.likelihood(e, under(path, "reliable"), l.Reliable)
	}
	if l.Test != "" {
		c.checkPathTest(e, path, way, l)
		return
	}
	c.text(e, under(path, "title"), l.Title)
	c.text(e, under(path, "ask"), l.Ask)
	if l.Reliable == "" {
		c.fail(e, path, "add reliable: often, very often or nearly always", "nothing says how far the look can be relied on")
	}
	c.checkApplies(e, under(path, "applies"), &l.Applies)
	c.refs(e, under(path, "needs"), "tools", l.Needs)
	if l.Minutes <= 0 {
		c.fail(e, under(path, "minutes"), "", "a look takes some minutes")
	}
	c.oneOf(e, under(path, "difficulty"), l.Difficulty, difficulties...)
	c.refs(e, under(path, "access"), "access", l.Access)
	c.refs(e, under(path, "requires"), "states", l.Requires)
	c.refs(e, under(path, "hazards"), "hazards", l.Hazards)
	c.steps(e, under(path, "steps"), l.Steps, false)
	c.unsaidHazards(e, under(path, "steps"), strings.Join(l.Steps, "\n"), l.Needs, l.Hazards, l.Cautions, l.Access)
	if h := l.Helper; h != nil && h.Needed {
		c.text(e, under(path, "helper", "alone"), h.Alone)
	}
	seen := map[string]bool{}
	words := map[string]string{}
	for i, o := range l.Outcomes {
		at := under(path, "outcomes", i)
		c.oneOf(e, under(at, "id"), o.ID, PathOutcomes[way]...)
		c.once(e, under(at, "id"), o.ID, seen[o.ID])
		seen[o.ID] = true
		c.text(e, under(at, "title"), o.Title)
		c.said(e, under(at, "said"), o.Said)
		if len(o.Said) < MinPathSaid {
			c.flaw(e, under(at, "said"), "", "only %d ways of saying it; at least %d are needed", len(o.Said), MinPathSaid)
		}
		for j, s := range o.Said {
			w := strings.ToLower(strings.Join(strings.Fields(s), " "))
			if other, ok := words[w]; ok && other != o.ID {
				c.warn(e, under(at, "said", j), "", "%q is also said for outcome %q", s, other)
			}
			words[w] = o.ID
		}
	}
	if len(l.Outcomes) < 2 {
		c.fail(e, under(path, "outcomes"), "it can have "+strings.Join(PathOutcomes[way], ", "), "a look needs at least two outcomes")
	}
	for _, id := range sortedKeys(l.Base) {
		c.oneOf(e, under(path, "base", id), id, PathOutcomes[way]...)
	}
	c.whole(e, under(path, "base"), l.Base)
}

// seesAndTells checks what a look is limited to, and that it lies where it can
// tell something: before it for what is seen, either side for what is fed in, behind it for what is
// shut off or opened.
func (c *checker) seesAndTells(e *entry, path []any, a *Path, k *PathPoint, way string, l *PathLook) {
	parts := a.parts()
	slices.Sort(parts)
	for i, id := range l.Sees {
		if !slices.Contains(parts, id) {
			c.fail(e, under(path, "sees", i), didYouMean(id, parts), "part %q is not on this path", id)
		}
	}
	for i, effect := range l.Tells {
		c.oneOf(e, under(path, "tells", i), effect, PathEffects...)
	}
	for i := range a.Stations {
		there := a.Before(i, k) || way == "fed" && a.Behind(i, k)
		if (way == "shut" || way == "opened") && !a.Unwanted {
			there = a.Behind(i, k)
		}
		if there && (len(l.Sees) == 0 || slices.ContainsFunc(a.Stations[i].Parts(), func(part string) bool { return slices.Contains(l.Sees, part) })) {
			return
		}
	}
	c.warn(e, path, "move the point, or name other parts", "nothing lies where this look would show it")
}

// checkPathTest checks a look that an article tells.
func (c *checker) checkPathTest(e *entry, path []any, way string, l *PathLook) {
	if l.Title != "" || l.Ask != "" || len(l.Steps) > 0 || len(l.Outcomes) > 0 || len(l.Base) > 0 {
		c.fail(e, under(path, "test"), "leave out title, ask, steps, outcomes and base", "the look is told by test %q already", l.Test)
		return
	}
	f := c.finding(e, under(path, "test"), l.Test)
	if f == nil {
		return
	}
	if f.Kind != FindingTest && f.Kind != FindingQuestion {
		c.fail(e, under(path, "test"), "name a test or a question", "%q is a %s", l.Test, f.Kind)
	}
	for _, o := range f.Outcomes {
		if l.Is[o.ID] == "" {
			c.fail(e, under(path, "is"), "give each outcome one of "+strings.Join(PathOutcomes[way], ", "), "nothing says what outcome %q of %q is here", o.ID, f.ID)
		}
	}
	for _, id := range sortedKeys(l.Is) {
		c.outcome(e, under(path, "is", id), f, id)
		c.oneOf(e, under(path, "is", id), l.Is[id], PathOutcomes[way]...)
	}
}

// checkPathTable checks the table behind the paths.
func (c *checker) checkPathTable(e *entry, t *PathTable) {
	if len(t.Effects)+len(t.Ways) == 0 && len(c.set.entries[string(KindPath)]) == 0 {
		return // nothing needs it
	}
	at := p("paths")
	c.basis(e, under(at, "basis"), t.Basis)
	for key, m := range map[string]map[string]map[string]float64{"effects": t.Effects, "commanded": t.Commanded} {
		for _, mode := range sortedKeys(m) {
			c.ref(e, under(at, key, mode), "modes", mode)
			c.effectShares(e, under(at, key, mode), m[mode])
		}
	}
	for _, way := range sortedKeys(t.Ways) {
		path := under(at, "ways", way)
		c.oneOf(e, path, way, PathWays...)
		if !slices.Contains(PathWays, way) {
			continue
		}
		c.wayRow(e, under(path, "base"), way, t.Ways[way].Base)
		for side, m := range map[string]map[string]map[string]float64{"before": t.Ways[way].Before, "behind": t.Ways[way].Behind} {
			for _, effect := range sortedKeys(m) {
				c.oneOf(e, under(path, side, effect), effect, PathEffects...)
				c.wayRow(e, under(path, side, effect), way, m[effect])
			}
		}
	}
	for _, way := range PathWays {
		if _, ok := t.Ways[way]; !ok {
			c.fail(e, under(at, "ways"), "", "there is no table for %q", way)
		}
	}
}

func (c *checker) effectShares(e *entry, path []any, m map[string]float64) {
	sum := 0.0
	for _, effect := range sortedKeys(m) {
		c.oneOf(e, under(path, effect), effect, PathEffects...)
		c.share(e, under(path, effect), m[effect])
		sum += m[effect]
	}
	if sum > 1+shareTolerance {
		c.fail(e, path, "", "the shares sum to %.3g, more than 1", sum)
	}
}

func (c *checker) wayRow(e *entry, path []any, way string, m map[string]float64) {
	for _, id := range sortedKeys(m) {
		c.oneOf(e, under(path, id), id, PathOutcomes[way]...)
	}
	if len(m) == 0 {
		c.fail(e, path, "", "the table is empty")
	}
	c.whole(e, path, m)
}

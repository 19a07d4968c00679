package kb

import (
	"slices"
	"strings"
)

// leastRow keeps an outcome that a table leaves out from being impossible.
// Basis: memory.
const leastRow = 0.005

// derivePaths makes a test and a finding of every look of every path, with
// what each cause on the path makes it show by its position. A look that an
// article already tells only adds the causes of which that article is silent.
func (b *Base) derivePaths() {
	b.looksAt = map[string][]lookAt{}
	stands := map[string][]*Cause{}
	for _, c := range b.Causes {
		stands[c.Part] = append(stands[c.Part], c)
	}
	for _, p := range b.Paths {
		for i := range p.Points {
			k := &p.Points[i]
			for _, way := range PathWays {
				if l := k.Look(way); l != nil {
					b.derivePathLook(p, k, way, l, stands)
				}
			}
		}
	}
	slices.SortFunc(b.Tests, func(x, y *Test) int { return strings.Compare(x.ID, y.ID) })
}

// lookAt is one way to find out at one point of a path.
type lookAt struct {
	path  *Path
	point *PathPoint
	way   string
}

func (b *Base) derivePathLook(p *Path, k *PathPoint, way string, l *PathLook, stands map[string][]*Cause) {
	f := b.findings[p.Finding(k, way)]
	if l.Test == "" {
		f = b.pathFinding(p, k, way, l)
	}
	b.looksAt[p.Finding(k, way)] = append(b.looksAt[p.Finding(k, way)], lookAt{p, k, way})
	if f == nil {
		return // the article that tells it is missing: reported by the validator
	}
	for _, part := range p.parts() {
		for _, c := range stands[part] {
			if _, told := b.rows[c.ID][f.ID]; told {
				continue
			}
			if row := b.PathRow(p, k, way, c); row != nil {
				b.rows[c.ID][f.ID] = fitted(row, f, way, l)
			}
		}
	}
}

// pathFinding makes the test of a look and the finding that it settles.
func (b *Base) pathFinding(p *Path, k *PathPoint, way string, l *PathLook) *Finding {
	t := &Test{
		Kind: KindTest, ID: p.Finding(k, way), Path: p.ID, Title: l.Title, System: p.System, Ask: l.Ask,
		Applies: bothApply(p.Applies, l.Applies), Needs: l.Needs, Minutes: l.Minutes, Difficulty: l.Difficulty,
		Access: l.Access, Requires: l.Requires, Hazards: l.Hazards, Cautions: l.Cautions, Steps: l.Steps, Helper: l.Helper,
		Ordered: true,
	}
	if at := p.Station(k.After); at >= 0 {
		t.Part = p.Stations[at].Part
	}
	f := &Finding{ID: t.ID, Kind: FindingTest, Title: k.Title, Article: p.ID, Path: p.ID, System: p.System, Ask: l.Ask, Ordered: true}
	base := b.Lists.Derived.Paths.Ways[way].Base
	if len(l.Base) > 0 {
		base = l.Base
	}
	for _, id := range PathOutcomes[way] {
		for _, o := range l.Outcomes {
			if o.ID == id {
				f.Outcomes = append(f.Outcomes, Outcome{ID: id, Title: o.Title, Said: o.Said, Means: p.tells(b, k, way, id)})
				f.Base = append(f.Base, max(base[id], leastRow))
			}
		}
	}
	f.Base = normalised(f.Base)
	t.Outcomes = f.Outcomes
	b.Tests = append(b.Tests, t)
	b.tests[t.ID] = t
	b.findings[f.ID] = f
	return f
}

// parts are all parts of the path, each once, in order of the line.
func (p *Path) parts() []string {
	var out []string
	for i := range p.Stations {
		for _, part := range p.Stations[i].Parts() {
			if !slices.Contains(out, part) {
				out = append(out, part)
			}
		}
	}
	return out
}

// EffectsOf returns what a mode of a part does to what passes a station, as
// shares by effect; the shares sum to at most one.
func (b *Base) EffectsOf(s *PathStation, part, mode string) map[string]float64 {
	t := &b.Lists.Derived.Paths
	if part == s.Part || slices.Contains(s.Also, part) {
		if e, ok := s.Effects[mode]; ok {
			if e == "none" {
				return nil
			}
			return map[string]float64{e: effectSure}
		}
	} else if m, ok := t.Commanded[mode]; ok {
		return m
	}
	return t.Effects[mode]
}

// effectSure is the share of an effect that an author names for a station.
// Basis: memory.
const effectSure = 0.95

// PathRow returns what the cause makes a look at a point show, over all
// outcomes that the way can have, before the reliability of the look; nil
// when it shows the baseline: the cause's part is on another branch, or its
// failure does nothing to what passes. A part that stands in several places
// shows their mean.
func (b *Base) PathRow(p *Path, k *PathPoint, way string, c *Cause) []float64 {
	base := overOutcomes(way, b.Lists.Derived.Paths.Ways[way].Base)
	sum := make([]float64, len(base))
	places, speaks := 0.0, false
	for i := range p.Stations {
		s := &p.Stations[i]
		if !slices.Contains(s.Parts(), c.Part) {
			continue
		}
		places++
		rest := 1.0
		effects := b.EffectsOf(s, c.Part, c.Mode)
		for _, e := range PathEffects {
			row := b.effectRow(p, k, way, i, c.Part, e)
			if row == nil || effects[e] == 0 {
				continue
			}
			speaks = true
			rest -= effects[e]
			for o, v := range row {
				sum[o] += effects[e] * v
			}
		}
		for o, v := range base {
			sum[o] += rest * v
		}
	}
	if !speaks {
		return nil
	}
	for o := range sum {
		sum[o] /= places
	}
	return normalised(sum)
}

// effectRow is what a look at a point shows when the part at station i does
// this to what passes, over all outcomes that the way can have; nil when the
// look does not speak of it.
func (b *Base) effectRow(p *Path, k *PathPoint, way string, i int, part, effect string) []float64 {
	l := k.Look(way)
	if l != nil && (len(l.Sees) > 0 && !slices.Contains(l.Sees, part) || len(l.Tells) > 0 && !slices.Contains(l.Tells, effect)) {
		return nil
	}
	w := b.Lists.Derived.Paths.Ways[way]
	var table map[string]map[string]float64
	switch {
	case p.Unwanted && way == "shut":
		// What comes in this way stops coming when the way is shut.
		if p.Before(i, k) {
			table = w.Behind
		}
	case p.Before(i, k):
		table = w.Before
	case p.Behind(i, k):
		table = w.Behind
	}
	row, ok := table[p.passes(way, effect)]
	if !ok {
		return nil
	}
	return overOutcomes(way, row)
}

// passes is the row of a way's table for an effect on what passes. Whatever it
// does to its part, what should not pass passes.
func (p *Path) passes(way, effect string) string {
	if p.Unwanted && effect != "weak" {
		return map[string]string{"seen": "cut", "fed": "cut", "shut": "leak", "opened": "cut"}[way]
	}
	return effect
}

// PathEffect returns what a look at a point shows when a part at station i
// surely does this to what passes, over the outcomes of the look's finding,
// and false when the look does not speak of it.
func (b *Base) PathEffect(p *Path, k *PathPoint, way string, i int, effect string) ([]float64, bool) {
	f, l := b.findings[p.Finding(k, way)], k.Look(way)
	if f == nil || l == nil {
		return nil, false
	}
	for _, part := range p.Stations[i].Parts() {
		if row := b.effectRow(p, k, way, i, part, effect); row != nil {
			return fitted(row, f, way, l), true
		}
	}
	return nil, false
}

// overOutcomes lays a table out over the outcomes of a way.
func overOutcomes(way string, m map[string]float64) []float64 {
	out := make([]float64, len(PathOutcomes[way]))
	for i, id := range PathOutcomes[way] {
		out[i] = max(m[id], leastRow)
	}
	return normalised(out)
}

// fitted lays a row out over the outcomes that the finding really has, and
// mixes it with the baseline by how far the look can be relied on.
func fitted(row []float64, f *Finding, way string, l *PathLook) []float64 {
	reliable, ok := l.Reliable.Value()
	if !ok {
		reliable = lookSure
	}
	out := make([]float64, len(f.Outcomes))
	for i, o := range f.Outcomes {
		id := o.ID
		if l.Test != "" {
			id = l.Is[o.ID]
		}
		if j := slices.Index(PathOutcomes[way], id); j >= 0 {
			// Several outcomes of an article may be one of the way's: they
			// share it as on a car whose trouble is elsewhere.
			same := 0.0
			for k, x := range f.Outcomes {
				if x.ID == o.ID || l.Test != "" && l.Is[x.ID] == id {
					same += f.Base[k]
				}
			}
			if same > 0 {
				out[i] = row[j] * f.Base[i] / same
			}
		}
	}
	rest := 0.0
	if way == "seen" && !slices.ContainsFunc(f.Outcomes, func(o Outcome) bool { return o.ID == "wrong" || l.Test != "" && l.Is[o.ID] == "wrong" }) {
		rest = row[3] // what passes wrongly looks like any car where nobody looks for it
	}
	out = normalised(out)
	for i := range out {
		out[i] = (1-rest)*out[i] + rest*f.Base[i]
		out[i] = reliable*out[i] + (1-reliable)*f.Base[i]
	}
	return out
}

// lookSure is how far a look told by an article can be relied on that says
// nothing of it here. Basis: memory.
const lookSure = 0.9

// tells says in words what an outcome clears or accuses, by position.
func (p *Path) tells(b *Base, k *PathPoint, way, outcome string) string {
	var before, behind []string
	for i := range p.Stations {
		name := p.Stations[i].Part
		if l := k.Look(way); l != nil && len(l.Sees) > 0 && !slices.ContainsFunc(p.Stations[i].Parts(), func(part string) bool { return slices.Contains(l.Sees, part) }) {
			continue
		}
		if q := b.Part(name); q != nil {
			name = q.Name
		}
		switch {
		case p.Before(i, k):
			before = append(before, name)
		case p.Behind(i, k):
			behind = append(behind, name)
		}
	}
	here := func(list []string) string {
		if len(list) > 4 {
			list = []string{list[0], "…", list[len(list)-1]}
		}
		return strings.Join(list, ", ")
	}
	if p.Unwanted && way == "shut" {
		behind = before
	}
	switch way + " " + outcome {
	case "seen good", "fed same":
		if way == "fed" {
			return told("Clears what lies before", here(before)) + told("it lies further on", here(behind))
		}
		return told("Clears what lies before", here(before)) + told("look further on", here(behind))
	case "seen weak":
		return told("Something before lets too little through", here(before))
	case "seen bad":
		return told("It is lost before this point", here(before)) + told("what lies behind is cleared", here(behind))
	case "seen wrong":
		return told("Something before lets it pass wrongly", here(before))
	case "fed works":
		return told("Clears all behind this point", here(behind)) + told("it is lost before", here(before))
	case "fed part":
		return told("Mostly what lies before", here(before))
	case "opened gone":
		return told("It is choked or stuck behind this point", here(behind))
	case "opened less":
		return told("Part of it lies behind this point", here(behind))
	case "opened same":
		return told("Clears what lies behind", here(behind)) + told("look before", here(before))
	case "shut gone":
		return told("It is what was shut off", here(behind))
	case "shut less":
		return told("Part of it comes from what was shut off", here(behind))
	case "shut same":
		return told("Clears what was shut off", here(behind))
	}
	return ""
}

func told(what, parts string) string {
	if parts == "" {
		return ""
	}
	return what + ": " + parts + ". "
}

package kb

import (
	"fmt"
	"testing"

	"pgregory.net/rapid"
)

// lineOf draws a random path: a tree of stations and a point behind each.
func lineOf(t *rapid.T) *Path {
	p := &Path{ID: "random"}
	n := rapid.IntRange(2, 9).Draw(t, "stations")
	for i := range n {
		s := PathStation{Part: fmt.Sprintf("part-%d", i)}
		if i > 1 && rapid.Bool().Draw(t, "branches") {
			s.After = fmt.Sprintf("part-%d", rapid.IntRange(0, i-1).Draw(t, "after"))
		}
		p.Stations = append(p.Stations, s)
		p.Points = append(p.Points, PathPoint{ID: fmt.Sprintf("point-%d", i), After: s.Part})
	}
	return p
}

// What lies before a point is the way from its station to the source, walked
// station by station; what lies behind is all whose own way leads through it.
func TestBeforeAndBehind(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := lineOf(t)
		way := func(i int) map[int]bool {
			out := map[int]bool{}
			for ; i >= 0; i = p.Prior(i) {
				out[i] = true
			}
			return out
		}
		for k := range p.Points {
			at := p.Station(p.Points[k].After)
			for i := range p.Stations {
				before, behind := p.Before(i, &p.Points[k]), p.Behind(i, &p.Points[k])
				if want := way(at)[i]; before != want {
					t.Errorf("station %d before point %d: %v, want %v", i, k, before, want)
				}
				if want := i != at && way(i)[at]; behind != want {
					t.Errorf("station %d behind point %d: %v, want %v", i, k, behind, want)
				}
			}
		}
	})
}

// tableOf is the authored table, with a part of each failure.
func tableOf(t testing.TB) *Base {
	b, problems := Embedded()
	for _, p := range problems.Errors() {
		t.Fatal(p)
	}
	return b
}

// The laws of position, for any line and any failure mode: what is found right
// at a point never accuses what lies before it, what is missing there never
// accuses what lies behind, and what is on another branch is not spoken of.
func TestPositionLaws(t *testing.T) {
	b := tableOf(t)
	modes := sortedKeys(b.Lists.Derived.Paths.Effects)
	rapid.Check(t, func(t *rapid.T) {
		p := lineOf(t)
		mode := rapid.SampledFrom(modes).Draw(t, "mode")
		for i := range p.Stations {
			c := &Cause{Part: p.Stations[i].Part, Mode: mode}
			for k := range p.Points {
				point := &p.Points[k]
				for _, way := range PathWays {
					row := b.PathRow(p, point, way, c)
					if row == nil {
						continue
					}
					base := overOutcomes(way, b.Lists.Derived.Paths.Ways[way].Base)
					before, behind := p.Before(i, point), p.Behind(i, point)
					if !before && !behind {
						t.Errorf("%s at %s speaks of %s on another branch", way, point.ID, c.Part)
					}
					first, last := row[0]/base[0], row[2]/base[2]
					const more = 1 + 1e-9
					switch {
					case way == "seen" && before && (first > more || last < 1/more && row[1]/base[1] < 1/more && row[3]/base[3] < 1/more):
						t.Errorf("%s before %s, %s: good %.3f times as likely, bad %.3f", c.Part, point.ID, mode, first, last)
					case way == "seen" && behind && last > more:
						t.Errorf("%s behind %s, %s: missing accuses it %.3f times", c.Part, point.ID, mode, last)
					case way == "fed" && before && (first < 1/more || last > more):
						t.Errorf("%s before %s, %s: cured by feeding only %.3f times as likely", c.Part, point.ID, mode, first)
					case (way == "shut" || way == "opened") && behind && (first < 1/more || last > more):
						t.Errorf("%s behind %s, %s: gone when shut only %.3f times as likely", c.Part, point.ID, mode, first)
					case (way == "shut" || way == "opened") && before && first > more:
						t.Errorf("%s before %s, %s: gone when shut or opened accuses it %.3f times", c.Part, point.ID, mode, first)
					}
				}
			}
		}
	})
}

// A failure that stops everything is told as sharply at every point behind it
// and not at all ahead of it, whatever stands between.
func TestCutIsToldAtEveryPointBehind(t *testing.T) {
	b := tableOf(t)
	rapid.Check(t, func(t *rapid.T) {
		p := lineOf(t)
		i := rapid.IntRange(0, len(p.Stations)-1).Draw(t, "station")
		c := &Cause{Part: p.Stations[i].Part, Mode: "open"}
		for k := range p.Points {
			row := b.PathRow(p, &p.Points[k], "seen", c)
			switch {
			case p.Before(i, &p.Points[k]) && (row == nil || row[2] < 0.8):
				t.Errorf("%s open, missing at %s with %v", c.Part, p.Points[k].ID, row)
			case !p.Before(i, &p.Points[k]) && row != nil && row[2] > 0.05:
				t.Errorf("%s open, missing at %s ahead of it with %v", c.Part, p.Points[k].ID, row)
			}
		}
	})
}

// Every failure mode that a part can have does something, or nothing, to what
// passes: none is forgotten in the table.
func TestEveryModeHasAnEffect(t *testing.T) {
	b := tableOf(t)
	for i := range b.Modes {
		if _, ok := b.Lists.Derived.Paths.Effects[b.Modes[i].ID]; !ok {
			t.Errorf("lists/derived.yaml: paths: effects says nothing of mode %q", b.Modes[i].ID)
		}
	}
}

// Every path is worth having: a look parts its stations, and those that no
// look parts are named.
func TestPathsAreParted(t *testing.T) {
	b := tableOf(t)
	if len(b.Paths) < 14 {
		t.Errorf("only %d paths", len(b.Paths))
	}
	for _, p := range b.Paths {
		segments := map[string][]string{}
		for i := range p.Stations {
			key := ""
			for k := range p.Points {
				key += fmt.Sprint(p.Before(i, &p.Points[k]), p.Behind(i, &p.Points[k]), " ")
			}
			segments[key] = append(segments[key], p.Stations[i].Name())
		}
		if len(segments) < 2 {
			t.Errorf("%s: no point parts its stations", p.ID)
		}
		for _, key := range sortedKeys(segments) {
			if len(segments[key]) > 1 {
				t.Logf("%-22s no point parts %v", p.ID, segments[key])
			}
		}
	}
}

// The finding of a look is told by its path, in words that are there, and
// every cause on the path has a distribution over its outcomes.
func TestPathFindings(t *testing.T) {
	b := tableOf(t)
	n := 0
	for _, f := range b.Findings() {
		if f.Path == "" {
			continue
		}
		n++
		if f.Article != f.Path || b.Path(f.Path) == nil || b.Test(f.ID) == nil || f.Kind != FindingTest {
			t.Errorf("%s: article %q, kind %s", f.ID, f.Article, f.Kind)
		}
		speaks := 0
		for _, c := range b.Causes {
			p, ok := b.Likelihood(c, f)
			if !ok {
				continue
			}
			speaks++
			sum := 0.0
			for _, v := range p {
				sum += v
				if v <= 0 {
					t.Errorf("%s under %s: %v", f.ID, c.ID, p)
				}
			}
			if sum < 1-1e-9 || sum > 1+1e-9 {
				t.Errorf("%s under %s sums to %v", f.ID, c.ID, sum)
			}
		}
		if speaks == 0 {
			t.Errorf("%s: no cause speaks of it", f.ID)
		}
		for _, o := range f.Outcomes {
			if o.Means == "" && o.ID != "fed part" && o.ID != "part" {
				t.Errorf("%s %s tells nothing", f.ID, o.ID)
			}
		}
	}
	t.Logf("%d looks on %d paths", n, len(b.Paths))
}

package dialog

import (
	"math"
	"slices"

	"ruleout/kb"
)

// PathState is a path with what the looks at its points have cleared so far.
type PathState struct {
	ID     string `json:"id"`
	Title  string `json:"title"`
	Passes string `json:"passes"`
	From   string `json:"from"`
	To     string `json:"to"`
	// Parts are the stations in the order of the line.
	Parts []PathPart `json:"parts"`
	// Points are the places between them, in the order of the article.
	Points []PathPointState `json:"points"`
}

// PathPart is one station. After is the number of the station before it,
// counted from 0, or -1 for the first.
type PathPart struct {
	Part  string `json:"part"`
	Name  string `json:"name"`
	After int    `json:"after"`
	// State is cleared, accused or open.
	State string `json:"state"`
}

// PathPointState is one point with what was found there. After is the number
// of the station it lies behind.
type PathPointState struct {
	ID    string `json:"id"`
	Title string `json:"title"`
	After int    `json:"after"`
	// Outcome is the last thing found there, in words; empty if nothing was.
	Outcome string `json:"outcome,omitempty"`
	// Asked means that the next step looks here.
	Asked bool `json:"asked,omitempty"`
}

// A station is accused when what was found on its path makes it likelier, and
// not much less so than another; it is cleared when it does not, and another
// is far likelier now. Basis: memory.
const (
	accusedLift = 2.0
	accusedFrom = 0.3
	clearedTo   = 0.3
	canFrom     = 0.1 // a failure does something in this share of its cases
)

// inPlay reports whether looks along a path belong to this trouble: it serves
// the complaint, or something was told of it. Tests that follow from no path
// always may.
func (e *Engine) inPlay(s *State, path string) bool {
	p := e.base.Path(path)
	if p == nil {
		return path == ""
	}
	for _, id := range p.Serves {
		if id == s.Chief || slices.Contains(s.Also, id) || e.saidInFull(s, id) {
			return true
		}
	}
	return slices.ContainsFunc(s.Notes, func(n observed) bool {
		f := e.base.Finding(n.Finding)
		return f != nil && f.Path == path && !n.struck
	})
}

// elsewhere reports a look along a path of another system than the cause's: it
// may touch the cause's part in passing and does not settle it.
func elsewhere(k candidate, c *kb.Cause) bool {
	return k.test != nil && k.test.Path != "" && k.test.System != c.System
}

// saidInFull reports whether all that a symptom stands for was told, where it
// only says other findings.
func (e *Engine) saidInFull(s *State, id string) bool {
	sym := e.base.Symptom(id)
	if sym == nil || len(sym.Of) == 0 {
		return false
	}
	for f, outcome := range sym.Of {
		if !s.told(f, outcome) {
			return false
		}
	}
	return true
}

// articleOf is the article to read about a test: its own, or the path's.
func articleOf(t *kb.Test) string {
	if t.Path != "" {
		return t.Path
	}
	return t.ID
}

// pathOf is the path that the next step looks at, or the one that was told of
// last; nil when no path is in play.
func (e *Engine) pathOf(s *State, next *Next) *PathState {
	var p *kb.Path
	for i := range s.Notes {
		if f := e.base.Finding(s.Notes[i].Finding); f != nil && f.Path != "" && !s.Notes[i].struck {
			p = e.base.Path(f.Path)
		}
	}
	if next != nil && e.base.Path(next.Article) != nil {
		p = e.base.Path(next.Article)
	}
	if p == nil || s.Closed != "" {
		return nil
	}
	return e.pathState(s, p, next)
}

// Path is a path as its article shows it: nothing found, nothing cleared; nil
// when there is none of that id.
func (e *Engine) Path(id string) *PathState {
	p := e.base.Path(id)
	if p == nil {
		return nil
	}
	return e.pathState(&State{}, p, nil)
}

func (e *Engine) pathState(s *State, p *kb.Path, next *Next) *PathState {
	out := &PathState{ID: p.ID, Title: p.Title, Passes: p.Passes, From: p.From, To: p.To, Points: []PathPointState{}}
	states := e.stationStates(s, p)
	for i := range p.Stations {
		st := &p.Stations[i]
		name := st.Part
		if part := e.base.Part(st.Part); part != nil {
			name = part.Name
		}
		out.Parts = append(out.Parts, PathPart{Part: st.Part, Name: name, After: p.Prior(i), State: states[i]})
	}
	for i := range p.Points {
		k := &p.Points[i]
		pt := PathPointState{ID: k.ID, Title: k.Title, After: p.Station(k.After)}
		for _, way := range kb.PathWays {
			if k.Look(way) == nil {
				continue
			}
			id := p.Finding(k, way)
			pt.Asked = pt.Asked || next != nil && next.ID == id
			for j := range s.Notes {
				if n := &s.Notes[j]; n.Finding == id && n.Weighs && !n.struck {
					pt.Outcome = n.OutcomeTitle
				}
			}
		}
		out.Points = append(out.Points, pt)
	}
	return out
}

// stationStates judges every station by what was found along the path alone:
// how much likelier a fault there that stops what passes, or leaves little of
// it, or lets it out, makes what was found than the baseline does.
func (e *Engine) stationStates(s *State, p *kb.Path) []string {
	found := e.foundAlong(s, p)
	speaks := make([]map[string]float64, len(p.Stations))
	best := 1.0
	for i := range p.Stations {
		speaks[i] = map[string]float64{}
		for _, effect := range kb.PathEffects {
			if !e.can(&p.Stations[i], effect) {
				continue
			}
			speaks[i][effect] = 1
			for _, x := range found {
				row, ok := e.base.PathEffect(p, x.point, x.way, i, effect)
				if !ok {
					row = x.finding.Base
				}
				with, without := 0.0, 0.0
				for o, l := range x.lambda {
					with += float64(row[o] * l)
					without += float64(x.finding.Base[o] * l)
				}
				speaks[i][effect] *= with / math.Max(without, 1e-9)
			}
			best = math.Max(best, speaks[i][effect])
		}
	}
	out := make([]string, len(p.Stations))
	for i, m := range speaks {
		up := 0.0
		for _, effect := range kb.PathEffects {
			up = math.Max(up, m[effect])
		}
		// A line that is found right clears what can stop it; leaks are found
		// by eye.
		down := math.Max(m["cut"], m["weak"])
		if down == 0 {
			down = math.Max(m["wrong"], m["leak"])
		}
		switch {
		case len(found) == 0 || len(m) == 0:
			out[i] = "open"
		case up >= accusedLift && up >= accusedFrom*best:
			out[i] = "accused"
		case down <= clearedTo*best:
			out[i] = "cleared"
		default:
			out[i] = "open"
		}
	}
	return out
}

// can reports whether a failure of the station can do this to what passes.
func (e *Engine) can(st *kb.PathStation, effect string) bool {
	return slices.ContainsFunc(st.Parts(), func(id string) bool {
		part := e.base.Part(id)
		return part != nil && slices.ContainsFunc(sortedKeys(part.Modes), func(mode string) bool {
			return e.base.EffectsOf(st, id, mode)[effect] >= canFrom
		})
	})
}

// foundLook is what was told of one look along a path.
type foundLook struct {
	point   *kb.PathPoint
	way     string
	finding *kb.Finding
	lambda  []float64
}

// foundAlong gathers what was told of the points of a path, in their order.
func (e *Engine) foundAlong(s *State, p *kb.Path) []foundLook {
	var out []foundLook
	for i := range p.Points {
		for _, way := range kb.PathWays {
			if p.Points[i].Look(way) == nil {
				continue
			}
			x := foundLook{point: &p.Points[i], way: way, finding: e.base.Finding(p.Finding(&p.Points[i], way))}
			if x.finding == nil {
				continue
			}
			for j := range s.Notes {
				n := &s.Notes[j]
				if n.Finding != x.finding.ID || n.struck || !n.Weighs {
					continue
				}
				if l := e.lambda(s, x.finding, n); l != nil {
					x.lambda = l
				}
			}
			if x.lambda != nil {
				out = append(out, x)
			}
		}
	}
	return out
}

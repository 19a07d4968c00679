package dialog

import (
	"cmp"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"ruleout/dialog/belief"
	"ruleout/dialog/plan"
	"ruleout/kb"
)

func pathEngine(t testing.TB) *Engine {
	t.Helper()
	b, problems := kb.Embedded()
	for _, p := range problems.Errors() {
		t.Fatal(p)
	}
	e, err := New(b, nil, DefaultSettings)
	if err != nil {
		t.Fatal(err)
	}
	return e
}

// complain starts a case with a symptom that the path serves.
func complain(e *Engine, p *kb.Path, id string) *State {
	s, _ := e.Start()
	if id == "" {
		id = p.Serves[0]
	}
	of := map[string]string{id: "present"}
	if sym := e.base.Symptom(id); len(sym.Of) > 0 {
		of = sym.Of
	}
	for _, f := range sortedKeys(of) {
		s, _ = e.Step(s, Turn{Tap: &Tap{Finding: f, Outcome: of[f]}})
	}
	return s
}

// TestPathSituations holds small situations, told in words, against what a
// mechanic concludes: testdata/paths/situations.txt says how it is written.
func TestPathSituations(t *testing.T) {
	e := pathEngine(t)
	text, err := os.ReadFile("../testdata/paths/situations.txt")
	if err != nil {
		t.Fatal(err)
	}
	n, on := 0, map[string]bool{}
	for i, line := range strings.Split(string(text), "\n") {
		if line == "" || strings.HasPrefix(line, "#") {
			continue
		}
		f := strings.Split(line, "|")
		if len(f) != 4 {
			t.Fatalf("line %d has %d columns, want 4", i+1, len(f))
		}
		for k := range f {
			f[k] = strings.TrimSpace(f[k])
		}
		p := e.base.Path(f[0])
		if p == nil {
			t.Errorf("line %d: no path %q", i+1, f[0])
			continue
		}
		n++
		on[p.ID] = true
		said, chief := f[1], ""
		if c, rest, ok := strings.Cut(said, ":"); ok && e.base.Symptom(c) != nil {
			chief, said = c, strings.TrimSpace(rest)
		}
		s := complain(e, p, chief)
		for _, piece := range strings.Split(said, ";") {
			turn := Turn{Text: strings.TrimSpace(piece)}
			if w := strings.Fields(piece); len(w) == 3 && w[0] == "tap" {
				turn = Turn{Tap: &Tap{Finding: w[1], Outcome: w[2]}}
			}
			s, _ = e.Step(s, turn)
		}
		states := e.stationStates(s, p)
		is := func(part string) string {
			for k := range p.Stations {
				if slices.Contains(p.Stations[k].Parts(), part) {
					return states[k]
				}
			}
			t.Errorf("line %d: part %q is not on %s", i+1, part, p.ID)
			return ""
		}
		for _, part := range strings.Fields(f[2]) {
			if got := is(part); got != "accused" {
				t.Errorf("line %d: %s: %q: %s is %s, want accused (%v)", i+1, p.ID, said, part, got, states)
			}
		}
		for _, part := range strings.Fields(f[3]) {
			if got := is(part); got != "cleared" {
				t.Errorf("line %d: %s: %q: %s is %s, want cleared (%v)", i+1, p.ID, said, part, got, states)
			}
		}
	}
	if n < 40 || len(on) < len(e.base.Paths) {
		t.Errorf("%d situations over %d of %d paths, want 40 over all", n, len(on), len(e.base.Paths))
	}
}

// What was found along a path weighs the same in whatever order it is told.
func TestPathOrder(t *testing.T) {
	if testing.Short() {
		t.Skip("replays cases in two orders")
	}
	e := pathEngine(t)
	rapid.Check(t, func(t *rapid.T) {
		p := rapid.SampledFrom(e.base.Paths).Draw(t, "path")
		looks := looksOf(e, p)
		var taps []Tap
		for range 3 {
			f := rapid.SampledFrom(looks).Draw(t, "look")
			if !slices.ContainsFunc(taps, func(x Tap) bool { return x.Finding == f.ID }) {
				taps = append(taps, Tap{Finding: f.ID, Outcome: rapid.SampledFrom(f.Outcomes).Draw(t, "outcome").ID})
			}
		}
		run := func(order []Tap) string {
			s := complain(e, p, "")
			var r *Reply
			for i := range order {
				s, r = e.Step(s, Turn{Tap: &order[i]})
			}
			out, err := json.Marshal([]any{r.Suspects, r.Pairs, r.NoneOfThese, r.RuledOut, e.stationStates(s, p)})
			if err != nil {
				t.Fatal(err)
			}
			return string(out)
		}
		back := slices.Clone(taps)
		slices.Reverse(back)
		if a, b := run(taps), run(back); a != b {
			t.Errorf("%s, %v:\n%s\n%s", p.ID, taps, a, b)
		}
	})
}

// looksOf lists the findings of the looks of a path, in order.
func looksOf(e *Engine, p *kb.Path) []*kb.Finding {
	var out []*kb.Finding
	for i := range p.Points {
		for _, way := range kb.PathWays {
			if p.Points[i].Look(way) != nil {
				out = append(out, e.base.Finding(p.Finding(&p.Points[i], way)))
			}
		}
	}
	return out
}

// stops reports whether a cause of the path stops or misleads what passes. Of
// a station that can only leak, the leaks count: elsewhere they are found by
// eye.
func stops(e *Engine, p *kb.Path, c *kb.Cause) bool {
	at := place(p, c)
	if at < 0 {
		return false
	}
	does := func(c *kb.Cause, effects ...string) float64 {
		sum := 0.0
		for _, effect := range effects {
			sum += e.base.EffectsOf(&p.Stations[at], c.Part, c.Mode)[effect]
		}
		return sum
	}
	if does(c, "cut", "weak", "wrong") >= 0.5 {
		return true
	}
	leaksOnly := !slices.ContainsFunc(e.base.Causes, func(x *kb.Cause) bool {
		return x.Part == p.Stations[at].Part && place(p, x) == at && does(x, "cut", "weak", "wrong") >= 0.5
	})
	return leaksOnly && does(c, "leak") >= 0.5
}

// alone is the model in which nothing but those causes of one path can be, as
// likely at one station as at another: then position alone decides.
func alone(t testing.TB, e *Engine, p *kb.Path) *belief.Model {
	m := &belief.Model{Options: belief.DefaultOptions}
	rates := make([]float64, len(p.Stations))
	for _, c := range e.base.Causes {
		if stops(e, p, c) {
			rates[place(p, c)] += c.Frequency.PerThousand
		}
	}
	for _, c := range e.base.Causes {
		x := belief.Cause{ID: c.ID, System: c.System, Group: c.Part + "/" + e.base.PlaceOf(c)}
		if stops(e, p, c) {
			x.Weight = c.Frequency.PerThousand / rates[place(p, c)]
		}
		m.Causes = append(m.Causes, x)
	}
	if err := m.Prepare(); err != nil {
		t.Fatal(err)
	}
	return m
}

// place is the first station at which the cause's part stands, or -1.
func place(p *kb.Path, c *kb.Cause) int {
	return slices.IndexFunc(p.Stations, func(s kb.PathStation) bool { return slices.Contains(s.Parts(), c.Part) })
}

// found is the evidence of an outcome, tried with the reliability of its source.
func found(e *Engine, id, outcome string) belief.Evidence {
	f, t := e.finding(id, "")
	r := e.base.Lists.Derived.Sources["tried"]
	lambda := make([]float64, len(f.Outcomes))
	for o := range lambda {
		lambda[o] = (1 - r) / float64(len(lambda))
	}
	lambda[f.OutcomeIndex(outcome)] += r
	return belief.Evidence{Finding: t, Lambda: lambda}
}

// byStation adds up the belief in the causes of each station.
func byStation(e *Engine, p *kb.Path, post *belief.Posterior) []float64 {
	out := make([]float64, len(p.Stations))
	for i, c := range e.base.Causes {
		if k := place(p, c); k >= 0 {
			out[k] += post.Singles[i]
		}
	}
	return out
}

// Right at one point and missing at a later one leaves what lies between: at
// least seven tenths of the belief in the line, in a line of six; what is
// left over is what a fault that does nothing to what passes keeps.
func TestTwoLooksHalve(t *testing.T) {
	e := pathEngine(t)
	const stations, each = 6, 3.0
	rapid.Check(t, func(rt *rapid.T) {
		i := rapid.IntRange(0, stations-2).Draw(rt, "right at")
		j := rapid.IntRange(i+1, stations-1).Draw(rt, "missing at")
		p := &kb.Path{}
		for k := range stations {
			p.Stations = append(p.Stations, kb.PathStation{Part: fmt.Sprintf("part-%d", k)})
		}
		w := e.base.Lists.Derived.Paths.Ways["seen"].Base
		base := []float64{w["good"], w["weak"], w["bad"], w["wrong"]}
		m := &belief.Model{Options: belief.DefaultOptions}
		looks := [2]*belief.Finding{{ID: "a", Base: base}, {ID: "b", Base: base}}
		for k := range stations {
			m.Causes = append(m.Causes, belief.Cause{ID: fmt.Sprintf("cause-%02d", k), Weight: each})
			c := &kb.Cause{Part: p.Stations[k].Part, Mode: "open"}
			for n, at := range []int{i, j} {
				point := &kb.PathPoint{ID: "x", After: p.Stations[at].Part}
				if row := e.base.PathRow(p, point, "seen", c); row != nil {
					looks[n].Rows = append(looks[n].Rows, belief.Row{Cause: k, P: row})
				}
			}
		}
		if err := m.Prepare(); err != nil {
			rt.Fatal(err)
		}
		post := belief.Update(m, []belief.Evidence{
			{Finding: looks[0], Lambda: []float64{1, 0, 0, 0}},
			{Finding: looks[1], Lambda: []float64{0, 0, 1, 0}},
		})
		between, all := 0.0, 0.0
		for k := range stations {
			all += post.Singles[k]
			if k > i && k <= j {
				between += post.Singles[k]
			}
		}
		if between < 0.7*all {
			rt.Errorf("right behind %d, missing behind %d: %.3f of the line lies between", i, j, between/all)
		}
	})
}

// TestPathsAreHalved lets the plan choose among the looks of a path alone, for
// a fault at each station, until the belief in the line lies within what no
// look can part, and prints how many looks that took.
func TestPathsAreHalved(t *testing.T) {
	e := pathEngine(t)
	t.Logf("%-22s %8s %6s %8s %12s %7s %7s", "path", "stations", "looks", "segments", "log2(n)+1", "mean", "most")
	sum, bound, n := 0.0, 0.0, 0
	for _, p := range e.base.Paths {
		m := alone(t, e, p)
		looks := looksOf(e, p)
		total, faults, most := 0, 0, 0
		segments := segmentsOf(e, p, looks)
		for at := range p.Stations {
			c := clearest(e, p, at)
			if c == nil {
				continue
			}
			k, ok := findAlong(t, e, p, m, looks, segments, c)
			if !ok {
				t.Logf("%-22s %s at %s: not told apart by %d looks", p.ID, c.ID, p.Stations[at].Name(), k)
			}
			total += k
			most = max(most, k)
			faults++
		}
		different := map[string]bool{}
		for at, s := range segments {
			if clearest(e, p, at) != nil {
				different[s] = true
			}
		}
		b := math.Log2(float64(len(different))) + 1
		mean := float64(total) / float64(max(faults, 1))
		t.Logf("%-22s %8d %6d %8d %12.1f %7.1f %7d", p.ID, len(p.Stations), len(looks), len(different), b, mean, most)
		if mean > b+1 {
			t.Errorf("%s: %.1f looks on average, want about %.1f", p.ID, mean, b)
		}
		sum, bound, n = sum+mean, bound+b, n+1
	}
	t.Logf("mean over %d paths: %.2f looks, log2(n)+1 is %.2f", n, sum/float64(n), bound/float64(n))
	if sum > bound {
		t.Errorf("%.2f looks on average, more than log2(n)+1 = %.2f", sum/float64(n), bound/float64(n))
	}
}

// segmentsOf names, for each station, what every look would show of the fault
// played there: stations of one name can't be told apart by any look.
func segmentsOf(e *Engine, p *kb.Path, looks []*kb.Finding) []string {
	out := make([]string, len(p.Stations))
	for i := range p.Stations {
		if c := clearest(e, p, i); c != nil {
			for _, f := range looks {
				out[i] += truth(e, f, c) + ";"
			}
		}
	}
	return out
}

// truth is what a look shows of a cause: its likeliest outcome.
func truth(e *Engine, f *kb.Finding, c *kb.Cause) string {
	dist := f.Base
	for _, r := range e.findings[f.ID].Rows {
		if r.Cause == e.number[c.ID] {
			dist = r.P
		}
	}
	most := 0
	for o, v := range dist {
		if v > dist[most] {
			most = o
		}
	}
	return f.Outcomes[most].ID
}

// clearest is the cause at a station that does most to what passes: of the
// station's own part, the commonest first; nil when none does anything.
func clearest(e *Engine, p *kb.Path, at int) *kb.Cause {
	var best *kb.Cause
	most := 0.0
	st := &p.Stations[at]
	for _, c := range e.base.Causes {
		if c.Part != st.Part || place(p, c) != at || !stops(e, p, c) {
			continue
		}
		does := 0.0
		for _, effect := range kb.PathEffects {
			does = max(does, e.base.EffectsOf(st, c.Part, c.Mode)[effect])
		}
		if v := does * c.Frequency.PerThousand; v > most {
			best, most = c, v
		}
	}
	return best
}

// foundShare is the share of the belief in the line at which a stretch of it
// counts as found.
const foundShare = 0.5

// findAlong plays one fault and returns how many looks it took.
func findAlong(t testing.TB, e *Engine, p *kb.Path, m *belief.Model, looks []*kb.Finding, segments []string, c *kb.Cause) (int, bool) {
	var ev []belief.Evidence
	open := slices.Clone(looks)
	for {
		post := belief.Update(m, ev)
		line, mine := 0.0, 0.0
		for i, v := range byStation(e, p, post) {
			line += v
			if segments[i] == segments[place(p, c)] {
				mine += v
			}
		}
		if mine >= foundShare*line {
			return len(ev), true
		}
		if len(open) == 0 {
			return len(ev), false
		}
		problem := &plan.Problem{Belief: post, Shop: e.settings.Shop, MinuteCost: e.settings.MinuteCost}
		for _, a := range e.actions {
			if slices.ContainsFunc(a.causes, func(k int) bool { return m.Causes[k].Weight > 0 }) {
				problem.Repairs = append(problem.Repairs, plan.Repair{ID: a.id, Cures: a.causes, Beta: repairBeta, Cost: a.money + (a.minutes+trialMinutes)*e.settings.MinuteCost})
			}
		}
		for _, f := range open {
			problem.Checks = append(problem.Checks, plan.Check{ID: f.ID, Cost: e.settings.MinuteCost, Findings: []*belief.Finding{e.findings[f.ID]}})
		}
		var scratch plan.Scratch
		at := 0
		worth := func(i int) float64 { return plan.Worth(problem, &scratch, i) }
		for i := range open {
			if cmp.Compare(worth(i), worth(at)) > 0 {
				at = i
			}
		}
		f := open[at]
		open = slices.Delete(open, at, at+1)
		ev = append(ev, found(e, f.ID, truth(e, f, c)))
	}
}

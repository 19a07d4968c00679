package dialog

import (
	"fmt"
	"slices"
	"strings"

	"ruleout/kb"
)

// Limits of the swaps proposed. Basis: memory.
const (
	swapsAtMost = 2
	swapMinutes = 12.0 // where no article knows the job
)

// swapChecks proposes to change a suspected part over with its twin, where
// there is one and it may be done.
func (e *Engine) swapChecks(s *State, j *judged) []candidate {
	var out []candidate
	located := s.complaintItem() != "" || slices.Contains(e.base.Lists.Derived.OneOfSeveral, s.Chief)
	for _, c := range j.order {
		if j.post.Singles[c] < derivedFrom || len(out) == swapsAtMost {
			break
		}
		cause := e.base.Causes[c]
		p := e.base.Part(cause.Part)
		if p == nil || !e.base.MaySwap(p) || e.base.PlaceOf(cause) != "part" || slices.Contains(unswappable, cause.Mode) || slices.Contains(unswappableParts, p.ID) {
			continue
		}
		relay := slices.Contains(e.base.KindsOf(p.ID), "relay")
		if !relay && !located {
			continue // nobody could see it move
		}
		id := "part:" + p.ID + ":swapped"
		_, passed := s.Passed[id]
		if passed || s.known(id) || s.known("part:"+p.ID+":replaced") || slices.ContainsFunc(out, func(x candidate) bool { return x.id == id }) {
			continue
		}
		if f, t := e.finding(id, ""); f != nil && len(t.Rows) > 0 {
			out = append(out, candidate{id: id, kind: "swap", finding: f, table: t, do: e.swapDo(s, p, cause, id)})
		}
	}
	return out
}

// unswappable are faults that a swap would not carry over, or would spread.
var unswappable = []string{"leaking", "missing", "blocked", "empty", "low", "air-in-it", "detached", "trapped-object"}

// unswappableParts sit in one place for good though there are several.
var unswappableParts = []string{"wiring-loom", "body-earth-point", "connector", "fuse-box", "fuse-holder", "relay-socket", "hose-clip", "core-plug", "big-end-bearing", "piston-rings-and-bore", "valve", "valve-stem-seal", "engine-mount", "wheel-bearing", "wheel-hub", "stone-or-debris-trapped", "coolant-hose", "heater-hose", "fuel-line", "driveshaft-oil-seal", "cv-joint", "ball-joint", "suspension-arm", "suspension-arm-bush", "trailing-arm-bush", "subframe-and-bushes", "strut-and-top-mount", "shock-absorber", "spring", "leaf-spring-and-shackle", "anti-roll-bar-and-bushes", "battery-terminal-clamp", "plug-well-seal", "bulkhead-grommet", "scuttle-drain", "roof-gutter-and-seam", "fitted-later-electrics", "sunroof-drain", "soft-top-drain"}

func (e *Engine) swapDo(s *State, p *kb.Part, cause *kb.Cause, id string) *doable {
	where := "the other side"
	switch p.Items {
	case "":
		where = "one of the same number that you can do without for the moment"
	case "cylinder":
		where = "another cylinder"
	case "several":
		where = "another of the same kind and rating"
	case "corner":
		where = "another corner"
	}
	d := &doable{title: fmt.Sprintf("Change the %s over with %s and see where the trouble is then", p.Name, where), minutes: swapMinutes, article: kb.CardSwap,
		steps: []string{
			"Ignition off, cold. Mark which one is which.",
			fmt.Sprintf("Change the suspected %s over with %s; the same type only.", p.Name, where),
			"Try again: is the trouble where the part went, or where it was?",
			"Put it back if nothing moved.",
		},
		quick: append(taps(id, "moved with the part", "moved", "stayed where it was", "stayed", "gone", "gone", "can't tell", "unclear"), cannotTap)}
	d.cautions = e.cautions(cause.Repair.Hazards, cause.Repair.Access, nil)
	return d
}

// spareOf says what was put in, from the words of the turn.
func (e *Engine) spareOf(finding, text string) string {
	if !strings.HasSuffix(finding, ":replaced") {
		return ""
	}
	lower := strings.ToLower(text)
	for _, spare := range sortedKeys(e.base.Lists.Derived.SpareSaid) {
		if saysAny(lower, e.base.Lists.Derived.SpareSaid[spare]) {
			return spare
		}
	}
	return ""
}

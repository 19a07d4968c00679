package dialog

import (
	"slices"
	"strings"

	"ruleout/dialog/plainwords"
)

// Who speaks of his distributor cap has a distributor: a part of the car that
// only some vehicles have tells which kind it is.

// learnFromParts notes what the parts named in a turn tell of the vehicle.
func (e *Engine) learnFromParts(s *State, acct plainwords.Account, text string, h *heard) {
	for _, o := range acct.Observations {
		if part := e.partOf(o.Finding); part != "" && len(o.Others) == 0 && o.Source != "opinion" && o.Outcome != "no" {
			e.learnFromPart(s, part, text, o.Start, o.End, h)
		}
	}
	for _, r := range acct.Remarks {
		if r.Kind == "part" && strings.Contains(strings.TrimSpace(cut(text, r.Start, r.End)), " ") {
			e.learnFromPart(s, r.About, text, r.Start, r.End, h)
		}
	}
}

// partOf is the part whose state a finding tells, or empty.
func (e *Engine) partOf(finding string) string {
	rest, ok := strings.CutPrefix(finding, "part:")
	if !ok {
		if t := e.base.Test(finding); t != nil {
			return t.Part
		}
		return ""
	}
	part, _, _ := strings.Cut(rest, ":")
	return part
}

// learnFromPart notes the one value of an attribute with which a vehicle has
// the part, where none was told and none speaks against it.
func (e *Engine) learnFromPart(s *State, id, text string, start, end int, h *heard) {
	p := e.base.Part(id)
	if p == nil {
		return
	}
	for _, attribute := range sortedKeys(p.Applies.Vehicle) {
		allowed := p.Applies.Vehicle[attribute]
		if len(allowed) != 1 || s.Vehicle[attribute] != "" || e.shareOf(s, attribute, allowed) < surelyHad {
			continue
		}
		if slices.ContainsFunc(h.facts, func(n Noted) bool { return n.Finding == vehiclePrefix+attribute }) {
			continue
		}
		h.facts = append(h.facts, e.fact(vehiclePrefix+attribute, attribute, allowed[0], text, start, end, len(s.Turns)))
		e.learn(s, attribute, allowed[0])
	}
}

// surelyHad is the share of like vehicles below which a part's name is rather a
// slip or misread than a sign of what the vehicle has. Basis: memory.
const surelyHad = 0.03

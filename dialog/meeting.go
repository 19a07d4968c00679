package dialog

import (
	"math"
	"strings"

	"ruleout/dialog/belief"
	"ruleout/kb"
)

// Several troubles of unlike systems that hang on one feed, earth or belt are
// evidence for that point, though no list says that its failure shows each of
// them. One trouble alone never is. Basis: memory.
const (
	meetingID   = "meeting"
	meetingBase = 0.01 // any: only ratios to it matter
	meetingMost = 30.0 // ratio at most
	meetsAt     = 0.6  // a point fails and what hangs on it shows this often
	meetsAtOne  = 0.25 // the same of a point of which there are several
)

// toldTroubles are the symptoms told so far, those too that are made of other
// findings, in id order.
func (e *Engine) toldTroubles(s *State) []*kb.Symptom {
	var out []*kb.Symptom
	for _, y := range e.base.Symptoms {
		here := len(y.Of) > 0
		for id, outcome := range y.Of {
			here = here && s.told(id, outcome)
		}
		if here || len(y.Of) == 0 && s.told(y.ID, "present") && !s.doubtful(y.ID) {
			out = append(out, y)
		}
	}
	return out
}

// meeting is the evidence for the shared points at which the troubles told meet,
// or nil.
func (e *Engine) meeting(s *State) *belief.Evidence {
	told := e.toldTroubles(s)
	if len(told) < 2 {
		return nil
	}
	var key strings.Builder
	for _, y := range told {
		key.WriteString(y.ID + " ")
	}
	t, seen := e.meetings.Load(key.String())
	if !seen {
		t, _ = e.meetings.LoadOrStore(key.String(), e.meetingTable(told))
	}
	f := t.(*belief.Finding)
	if f == nil {
		return nil
	}
	return &belief.Evidence{Finding: f, Lambda: []float64{1, 0}, Label: meetingID}
}

// meetingTable says how much likelier each failure of the shared points makes
// that the troubles come together; of those it is said to show it says nothing
// more. It is nil where no points are met.
func (e *Engine) meetingTable(told []*kb.Symptom) *belief.Finding {
	ratios := map[string]map[*kb.Symptom]bool{}
	for _, m := range e.base.Meetings(told) {
		ratios[m.Point] = map[*kb.Symptom]bool{}
		for _, y := range m.Symptoms {
			ratios[m.Point][y] = true
		}
	}
	if len(ratios) == 0 {
		return nil
	}
	most := math.Pow(10, e.base.Derived.LimitDerived/10)
	t := &belief.Finding{ID: meetingID, Base: []float64{meetingBase, 1 - meetingBase}, NoneIsBase: true}
	for i, c := range e.base.Causes {
		share := meetsAt
		if p := e.base.Part(c.Part); p != nil && p.Items != "" {
			share = meetsAtOne
		}
		ratio := 1.0
		for _, y := range told {
			// Of a trouble of which its page speaks that stands.
			if ratios[c.Part][y] && e.base.Showing(c, y) == 0 {
				ratio *= min(most, max(1, share/max(e.common[faintKey(y.ID, "present")], kb.SymptomBase/10)))
			}
		}
		if ratio = min(ratio, meetingMost); ratio > 1 {
			t.Rows = append(t.Rows, belief.Row{Cause: i, P: []float64{meetingBase * ratio, 1 - meetingBase*ratio}})
		}
	}
	if len(t.Rows) == 0 {
		return nil
	}
	return t
}

// meetingFinding names that evidence in explanations.
func meetingFinding() *kb.Finding {
	return &kb.Finding{ID: meetingID, Kind: kb.FindingPart, Title: "troubles of unlike systems that share a feed, earth or belt", Outcomes: []kb.Outcome{{ID: "meet", Title: "they meet there"}, {ID: "apart", Title: "they do not"}}, Base: []float64{meetingBase, 1 - meetingBase}}
}

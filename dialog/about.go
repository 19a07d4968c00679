package dialog

import (
	"math"
	"slices"
	"strings"

	"ruleout/dialog/belief"
	"ruleout/dialog/plainwords"
	"ruleout/kb"
)

// Somebody who comes with a complaint has one, even where the reader could not
// say which. Then the symptoms that the words are most likely a telling of are
// weighed as "it is one of these, or none": the belief is the mean of what it
// would be with each of them for the complaint, by their weights. Basis of the figures: memory, checked by the case table.
const (
	aboutID     = "complaint"
	aboutHits   = 8
	aboutMissed = 0.2  // it is none of the likeliest
	aboutBase   = 0.01 // any: only ratios to it matter
	aboutStep   = 0.5  // decibans to which a cause's weight is rounded
	likelyLeast = 0.02 // what is less likely is no candidate
	likelyFrom  = 0.1  // the likeliest must have, else the words say nothing
)

// likely returns what a turn is most likely a telling of: a symptom of a
// complaint, else anything; nothing if the index is in trouble, or the words say
// too little.
func (e *Engine) likely(words string, complaint bool) []Likely {
	if e.matcher == nil || !tells(words) {
		return nil
	}
	of := e.matcher.Told
	if complaint {
		of = e.matcher.Complaint
	}
	all, err := of(words, aboutHits)
	if err != nil || len(all) == 0 || all[0].P < likelyFrom {
		return nil
	}
	return slices.DeleteFunc(all, func(l Likely) bool { return l.P < likelyLeast || e.findings[l.Finding] == nil })
}

// withoutDeeds blanks what tells of a part that was renewed, looked at or worked
// on: it is no telling of a trouble.
func withoutDeeds(words string, told []plainwords.Observation) string {
	left := []byte(words)
	for _, o := range told {
		if ofDeed(o) {
			for i := o.Start; i < min(o.End, len(left)); i++ {
				left[i] = ' '
			}
		}
	}
	return string(left)
}

// ofDeed reports whether an observation is of a part, or of what was done.
func ofDeed(o plainwords.Observation) bool {
	return strings.HasPrefix(o.Finding, "part:") || strings.HasPrefix(o.Finding, "event:")
}

func tellsDeed(told []plainwords.Observation) bool { return slices.ContainsFunc(told, ofDeed) }

// weighWords chooses the complaint and weighs what the words of a turn are most
// likely a telling of, where the reader could not say it. It returns the
// symptoms that a complaint not yet found may be.
func (e *Engine) weighWords(s *State, words string, first bool, h *heard) []Likely {
	var complaint []Likely
	if s.Chief == "" {
		complaint = e.likely(words, true)
	}
	e.chooseChief(s, h)
	switch {
	case first && s.Chief == "" && !s.OneOf:
		e.about(s, complaint)
	case !first && !e.toldSymptom(s):
		e.pointOutcomes(s, e.likely(words, false))
	}
	return complaint
}

// about keeps which symptoms the words of a complaint are most likely a telling
// of.
func (e *Engine) about(s *State, likely []Likely) {
	sum := 0.0
	for _, l := range likely {
		sum += l.P
	}
	weights := map[string]float64{}
	for _, l := range likely {
		weights[l.Finding] = l.P / max(sum, 1) * (1 - aboutMissed)
	}
	s.About = weights
}

// Shares of the meanings of words that tell one of several symptoms: the
// nearest, all others together; what is left is none of them. Basis: memory.
const (
	meantFirst  = 0.6
	meantOthers = 0.3
)

// meansOneOf takes a complaint as the nearest of what its words may mean, and
// weighs it as any of them until the person has said which. False: it is no
// complaint, or there is one already.
func (e *Engine) meansOneOf(s *State, n *observed, others []plainwords.Meaning) bool {
	if s.Chief != "" || len(s.About) > 0 || n.Outcome != "present" || e.findings[n.Finding] == nil || e.base.Symptom(n.Finding) == nil {
		return false
	}
	weights := map[string]float64{}
	for _, o := range others {
		if sym := e.base.Symptom(o.Finding); sym != nil && e.findings[o.Finding] != nil && o.Outcome == "present" {
			weights[o.Finding] = 1
		}
	}
	if len(weights) == 0 {
		return false
	}
	for id := range weights {
		weights[id] = meantOthers / float64(len(weights))
	}
	weights[n.Finding] = meantFirst
	s.About, s.OneOf = weights, true
	n.Certainty, n.Note = matchCertain, "taken as the first of what it may mean"
	return true
}

// saidWhich reports whether one of the symptoms that the complaint may be about
// was told beyond doubt.
func (e *Engine) saidWhich(s *State) bool {
	return slices.ContainsFunc(s.Notes, func(n observed) bool {
		return !n.struck && n.Weighs && n.Certainty >= complaintFrom && n.Outcome == "present" && s.About[n.Finding] > 0
	})
}

// aboutEvidence weighs what the complaint may be about, or nil.
func (e *Engine) aboutEvidence(s *State) *belief.Evidence {
	if len(s.About) == 0 || e.saidWhich(s) {
		return nil
	}
	base := 1.0
	for _, id := range sortedKeys(s.About) {
		base -= s.About[id]
	}
	ratio := map[int]float64{} // by cause, against base
	for _, id := range sortedKeys(s.About) {
		f := e.findings[id]
		common := e.common[id]
		if common <= 0 {
			continue
		}
		base += s.About[id] * f.Base[0] / common
		for _, r := range f.Rows {
			ratio[r.Cause] += s.About[id] * (r.P[0] - f.Base[0]) / common
		}
	}
	t := &belief.Finding{ID: aboutID, Base: []float64{aboutBase, 1 - aboutBase}}
	for c := range e.base.Causes {
		x, ok := ratio[c]
		if !ok || base+x <= 0 {
			continue
		}
		db := math.Round(decibans((base+x)/base)/aboutStep) * aboutStep
		p := math.Min(aboutBase*math.Pow(10, db/10), 1-aboutBase)
		t.Rows = append(t.Rows, belief.Row{Cause: c, P: []float64{p, 1 - p}})
	}
	return &belief.Evidence{Finding: t, Lambda: []float64{1, 0}, Label: aboutID}
}

// commonness returns how often each symptom is there among all troubles.
func (e *Engine) commonness() map[string]float64 {
	total := 0.0
	for _, c := range e.base.Causes {
		total += c.Frequency.PerThousand
	}
	out := map[string]float64{}
	for _, f := range e.authored {
		if f.Kind != kb.FindingSymptom {
			continue
		}
		t := e.findings[f.ID]
		sum := t.Base[0]
		for _, r := range t.Rows {
			sum += e.base.Causes[r.Cause].Frequency.PerThousand / total * (r.P[0] - t.Base[0])
		}
		out[f.ID] = sum
	}
	return out
}

// aboutFinding names that evidence in explanations.
func aboutFinding() *kb.Finding {
	return &kb.Finding{ID: aboutID, Kind: kb.FindingPart, Title: "your complaint", Outcomes: []kb.Outcome{{ID: "near", Title: "as you put it"}, {ID: "far", Title: "not near"}}, Base: []float64{aboutBase, 1 - aboutBase}}
}

// onlyAbout reports whether an observation is a guess at the complaint, which
// is weighed with the other guesses.
func (e *Engine) onlyAbout(s *State, n *observed) bool {
	return n.Finding == s.Chief && n.Outcome == "present" && n.Certainty < complaintFrom && s.About[n.Finding] > 0
}

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
// would be with each of them for the complaint, by their weights. Basis of
// the figures: memory, checked by the case table.
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
	return slices.DeleteFunc(all, func(l Likely) bool { return l.P < likelyLeast || !e.weighable(l.Finding) })
}

// standsFor returns what telling a symptom says, by finding: what it is a name
// of, else itself.
func (e *Engine) standsFor(sym *kb.Symptom) map[string]string {
	if len(sym.Of) > 0 {
		return sym.Of
	}
	return map[string]string{sym.ID: "present"}
}

// weighable reports whether belief knows what a finding is, or all that a symptom
// stands for.
func (e *Engine) weighable(id string) bool {
	sym := e.base.Symptom(id)
	if sym == nil {
		return e.findings[id] != nil
	}
	for _, f := range sortedKeys(e.standsFor(sym)) {
		if e.findings[f] == nil {
			return false
		}
	}
	return true
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
	sure := func(f, outcome string) bool {
		return slices.ContainsFunc(s.Notes, func(n observed) bool {
			return !n.struck && n.Weighs && n.Certainty >= complaintFrom && n.Finding == f && n.Outcome == outcome
		})
	}
	for _, id := range sortedKeys(s.About) {
		of, said := e.standsFor(e.base.Symptom(id)), true
		for _, f := range sortedKeys(of) {
			said = said && sure(f, of[f])
		}
		if said {
			return true
		}
	}
	return false
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
		b, lifts := e.telling(id)
		base += s.About[id] * b
		for c, l := range lifts {
			ratio[c] += s.About[id] * (l - b)
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

// telling returns how much oftener what a symptom stands for is there on a car
// without any of its causes than among all troubles, and with each of them.
func (e *Engine) telling(id string) (base float64, with map[int]float64) {
	of := e.standsFor(e.base.Symptom(id))
	base, with = 1, map[int]float64{}
	for _, name := range sortedKeys(of) {
		f, o := e.findings[name], e.base.Finding(name).OutcomeIndex(of[name])
		common := e.common[faintKey(name, of[name])]
		if common <= 0 {
			continue
		}
		lift := f.Base[o] / common
		rows := map[int]float64{}
		for _, r := range f.Rows {
			rows[r.Cause] = r.P[o] / common
		}
		for c := range rows {
			if _, ok := with[c]; !ok {
				with[c] = base
			}
		}
		for c := range with {
			if x, ok := rows[c]; ok {
				with[c] *= x
			} else {
				with[c] *= lift
			}
		}
		base *= lift
	}
	return base, with
}

// commonness returns how often each outcome that a symptom stands for is there
// among all troubles.
func (e *Engine) commonness() map[string]float64 {
	total := 0.0
	for _, c := range e.base.Causes {
		total += c.Frequency.PerThousand
	}
	out := map[string]float64{}
	for _, sym := range e.base.Symptoms {
		of := e.standsFor(sym)
		for _, name := range sortedKeys(of) {
			f, t := e.base.Finding(name), e.findings[name]
			if f == nil || t == nil || f.OutcomeIndex(of[name]) < 0 {
				continue
			}
			o := f.OutcomeIndex(of[name])
			sum := t.Base[o]
			for _, r := range t.Rows {
				sum += e.base.Causes[r.Cause].Frequency.PerThousand / total * (r.P[o] - t.Base[o])
			}
			out[faintKey(name, of[name])] = sum
		}
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

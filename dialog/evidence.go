package dialog

import (
	"math"
	"slices"
	"strings"

	"ruleout/dialog/belief"
	"ruleout/kb"
)

// evidence gathers everything that weighs into one piece of evidence a
// finding: witnesses of one finding sharpen it, they never count twice. What
// was seen of a circuit is one piece together, its standing.
func (e *Engine) evidence(s *State) ([]belief.Evidence, []*standing) {
	type group struct {
		finding *belief.Finding
		label   string
		bySrc   map[string][]float64
		absent  bool
		means   []string
		share   float64
	}
	groups := map[string]*group{}
	past, about := s.history(), s.complaintItem()
	standings, taken := e.standings(s)
	for i := range s.Notes {
		n := &s.Notes[i]
		if n.struck || !n.Weighs || taken[i] || len(s.About) > 0 && e.onlyAbout(s, n) || n.Era == "before" && !strings.HasPrefix(n.Finding, "event:") {
			continue
		}
		f, t := e.finding(n.Finding, n.means)
		if t == nil || past[i] {
			continue
		}
		lambda := e.lambda(s, f, n)
		if lambda == nil {
			continue
		}
		key := n.Finding + "|" + n.Item
		if f.Kind == kb.FindingCondition {
			// Conditions on one axis form a group in which the most specific
			// statement, here the last one, is scored.
			key = strings.Join(strings.Split(n.Finding, ":")[:3], ":")
		}
		share := 1.0
		if n.Item != "" && !strings.HasSuffix(n.Finding, ":swapped") && e.several(f) {
			share = itemShare(n.Item, about)
		}
		if strings.HasSuffix(n.Finding, ":tested") {
			key += "|" + n.Outcome
		}
		g := groups[key]
		if g == nil || g.finding.ID != t.ID {
			g = &group{bySrc: map[string][]float64{}}
			groups[key] = g
		}
		g.finding, g.label, g.share = t, n.Finding, share
		if strings.HasSuffix(n.Finding, ":tested") && n.means != "" {
			g.means = append(g.means, n.means)
			_, g.finding = e.finding(n.Finding, joinedMeans(g.means))
		}
		if f.Reading != nil && n.quantity != nil {
			// A reading replaces an outcome told in words.
			clear(g.bySrc)
		}
		g.bySrc[n.Source] = lambda
		g.absent = g.absent || n.present == "no"
	}
	var out []belief.Evidence
	var items []itemEvidence
	for _, key := range sortedKeys(groups) {
		g := groups[key]
		lambda := make([]float64, len(g.finding.Base))
		for i := range lambda {
			lambda[i] = 1
		}
		for _, src := range sortedKeys(g.bySrc) {
			for i, v := range g.bySrc[src] {
				lambda[i] *= v
			}
		}
		x := belief.Evidence{Finding: g.finding, Lambda: lambda, Absent: g.absent, Label: g.label}
		if g.share < 1 {
			items = append(items, itemEvidence{x, g.share})
			continue
		}
		out = append(out, x)
	}
	out = append(out, itemised(items)...)
	if p := e.aboutEvidence(s); p != nil {
		out = append(out, *p)
	}
	for _, st := range standings {
		out = append(out, st.composite())
	}
	if p := e.pointed(s); p != nil {
		out = append(out, *p)
	}
	if p := e.storyEvidence(s); p != nil {
		out = append(out, *p)
	}
	if p := e.meeting(s); p != nil {
		out = append(out, *p)
	}
	return append(out, e.faint(s)...), standings
}

// A complaint that was read without doubt is as good as certain. Basis: memory.
const (
	complaintFrom    = 0.75
	complaintCertain = 0.995
	// A plug seen hanging off hangs off.
	sightCertain = 0.99
)

// verdict reports whether "broken" was said of a part as people say it of
// whatever fails, and not seen: in two, snapped, torn.
func verdict(n *observed) bool {
	if !strings.HasSuffix(n.Finding, ":broken") || n.Words == "" || n.Source == "tried" {
		return false
	}
	return !saysAny(strings.ToLower(n.Words), []string{"yes", "snapped", "two", "half", "sheared", "torn", "shattered", "bits", "pieces"})
}

// nearProof reports whether the finding is a look that is near proof of what
// it shows.
func (e *Engine) nearProof(f *kb.Finding) bool {
	if f.Kind != kb.FindingPart {
		return false
	}
	what := f.ID[strings.LastIndexByte(f.ID, ':')+1:]
	return slices.ContainsFunc(e.base.Lists.Derived.Looks, func(l kb.Look) bool { return l.ID == what && l.Near })
}

// lambda is P(what was said | outcome) of one observation: with reliability r
// what was said is so, otherwise anything may be (reasoning section 3).
func (e *Engine) lambda(s *State, f *kb.Finding, n *observed) []float64 {
	if l := s.outcomeOnTrial(n); l != nil {
		return l
	}
	k := len(f.Outcomes)
	r := math.Min(n.Certainty, 0.99)
	if n.Finding == s.Chief && n.Outcome == "present" && n.Certainty >= complaintFrom {
		// What somebody came for is there: doubt is about the details.
		r = complaintCertain
	}
	if n.Outcome == "yes" && r >= complaintFrom && e.nearProof(f) && !verdict(n) {
		r = sightCertain
	}
	if r <= 0 {
		return nil
	}
	if f.Reading != nil && n.quantity != nil {
		return e.readingLambda(f, n, r)
	}
	is := f.OutcomeIndex(n.Outcome)
	if is < 0 {
		return nil
	}
	out := make([]float64, k)
	for i := range out {
		out[i] = (1 - r) / float64(k)
	}
	out[is] += r
	return out
}

// readingLambda turns a number into likelihoods of the outcomes by the test's
// bands, hedged by the reliability of the source.
func (e *Engine) readingLambda(f *kb.Finding, n *observed, r float64) []float64 {
	rd := f.Reading
	b := belief.Bands{Outcomes: len(f.Outcomes), Low: rd.Possible[0], High: rd.Possible[1],
		Log: belief.LogUnit(rd.Unit), Tolerance: belief.ToleranceOf(rd.Unit)}
	for _, band := range rd.Bands {
		k := belief.Band{Outcome: f.OutcomeIndex(band.Outcome), From: math.Inf(-1), To: math.Inf(1)}
		if band.From != nil {
			k.From = *band.From
		}
		if band.To != nil {
			k.To = *band.To
		}
		b.Bands = append(b.Bands, k)
	}
	x := n.quantity.Value
	switch {
	case n.quantity.Infinite:
		x = b.High
	case n.quantity.High > n.quantity.Low:
		x = (n.quantity.Low + n.quantity.High) / 2
	}
	lambda, u, err := b.BandLambda(x)
	if err != nil {
		return nil
	}
	for i := range lambda {
		lambda[i] = float64(r*lambda[i]) + float64((1-r)*u)
	}
	return lambda
}

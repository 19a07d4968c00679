package plainwords

import (
	"slices"
	"sort"

	"ruleout/kb"
)

// The same words tell one thing. What was read from them twice, once for what
// they are about and once for something that is only told alike, is an echo.

// echoReach is how many bytes before a symptom an outcome may begin that shares
// its words.
const echoReach = 80

// dropEchoes takes away what only echoes what was told better:
//
//   - a symptom read from the words that answered a question of another complaint:
//     "won't crank, lights go dim" tells what the lights do at the start and not
//     that they are dim on the road;
//   - a symptom read from part of the words that told what a test showed: "fan fuse
//     is blown" is no fuse that blows again and again;
//   - the absence of a symptom read from words that told an outcome: "starts fine
//     all week" tells how it starts day by day.
func (t *turn) dropEchoes() {
	obs := slices.Clone(t.acc.Observations)
	told := map[string]bool{t.ctx.Chief: t.ctx.Chief != ""}
	for i := range obs {
		if t.symptom[obs[i].Finding] != nil && obs[i].Outcome == "present" {
			told[obs[i].Finding] = true
		}
	}
	sort.SliceStable(obs, func(i, j int) bool { return obs[i].Start < obs[j].Start })
	t.acc.Observations = slices.DeleteFunc(t.acc.Observations, func(s Observation) bool {
		if t.symptom[s.Finding] == nil || s.Answer {
			return false
		}
		at := sort.Search(len(obs), func(i int) bool { return obs[i].Start >= s.Start-echoReach })
		for ; at < len(obs) && obs[at].Start < s.End; at++ {
			if t.echoOf(&s, &obs[at], told) {
				return true
			}
		}
		return false
	})
}

// toldBy reports whether other words of the turn that hold a symptom's tell the
// outcome of a test as well.
func (t *turn) toldBy(f *finding, outcome string, s *Observation) bool {
	k := sort.Search(len(t.toks), func(k int) bool { return t.toks[k].start >= s.Start })
	if k == len(t.toks) {
		return false
	}
	for _, i := range t.shownAt[t.toks[k].clause] {
		m := &t.matches[i]
		if m.phrase.target.id != f.id || m.phrase.target.value != outcome {
			continue
		}
		if from, to := t.span(m); from <= s.Start && s.End <= to {
			return true
		}
	}
	return false
}

// echoOf reports whether a symptom only echoes another observation.
func (t *turn) echoOf(s, o *Observation, told map[string]bool) bool {
	f := t.lx.findings[o.Finding]
	if f == nil || f.symptoms[s.Finding] || o.Reading != nil {
		return false
	}
	shared := min(s.End, o.End) - max(s.Start, o.Start)
	switch {
	case s.Outcome == "absent":
		return f.kind != kb.FindingSymptom && shared*2 >= s.End-s.Start
	case f.kind == kb.FindingTest:
		return s.Finding != t.ctx.Chief && (shared == s.End-s.Start && (shared < o.End-o.Start || t.ctx.Chief != "") || t.toldBy(f, o.Outcome, s))
	case f.kind != kb.FindingQuestion || s.Finding == t.ctx.Chief || shared*5 < 2*(s.End-s.Start):
		return false
	}
	for sym := range f.symptoms {
		if told[sym] && sym != s.Finding {
			return true
		}
	}
	return false
}

package plainwords

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"

	"ruleout/kb"
)

// Floors of the independent corpus, held entries left out: what the reader
// meets today, to be raised as it gets better. The aim is a precision of 0.98
// and a recall of 0.95 in both files, and no forbidden reading at all.
var independentFloors = map[string]struct{ recall, precision float64 }{
	"independent.yaml":             {0.86, 0.94},
	"independent-adversarial.yaml": {0.79, 0.92},
}

// mostForbidden is the greatest number of forbidden readings, held entries
// left out.
const mostForbidden = 0

// readFact is one thing the reader noted, with the words it took.
type readFact struct {
	kind       string
	member     string // finding=outcome, or the finding of a reading
	finding    string
	outcome    string
	reading    *Quantity
	from       *Observation
	start, end int
}

// independentScore counts over a part of the corpus.
type independentScore struct {
	turns, wanted, found, wrong int
	overlap, spans              int
	jaccard                     float64
	certain, certainties        int
	detail, details             int
	unread, unreads             int
	forbidden                   int
}

func (s *independentScore) recall() float64 { return share(s.found, s.wanted) }

func (s *independentScore) precision() float64 { return share(s.found, s.found+s.wrong) }

func share(a, b int) float64 { return float64(a) / math.Max(1, float64(b)) }

func (s *independentScore) String() string {
	return fmt.Sprintf("%4d turns %5d facts  recall %.3f precision %.3f  words overlap %.3f (jaccard %.2f)  certainty %.3f  details %.3f of %d  unread %.3f of %d  forbidden %d",
		s.turns, s.wanted, s.recall(), s.precision(), share(s.overlap, s.spans), s.jaccard/math.Max(1, float64(s.spans)),
		share(s.certain, s.certainties), share(s.detail, s.details), s.details,
		share(s.unread, s.unreads), s.unreads, s.forbidden)
}

// TestIndependent reads the independent corpus and holds it to the floors.
// Run it with -v for the figures by file, of the held entries, by kind of
// fact, what was read in the place of what, and every turn that misses.
//
// A fact counts as found when its finding and outcome (or reading) are noted;
// words, certainty and the details given (item, era, present, source, means) are
// counted apart, over the facts found.
// Observations that weigh nothing (opinion, deduction, excuse) are not noted.
// What the entry allows under may, and what an expected fact says by itself,
// counts neither way.
func TestIndependent(t *testing.T) {
	base, problems := kb.Embedded()
	if base == nil {
		t.Fatal(problems)
	}
	r := NewReader(base)
	scores, kinds, confused := map[string]*independentScore{}, map[string]*independentScore{}, map[string]int{}
	at := func(m map[string]*independentScore, k string) *independentScore {
		if m[k] == nil {
			m[k] = &independentScore{}
		}
		return m[k]
	}
	for _, e := range independent(t) {
		a := r.Read(e.Text, e.context())
		checkAccount(t, a)
		group := e.file
		if e.Held {
			group += ", held"
		}
		s := at(scores, group)
		s.turns++
		m := compare(base, r, e, a, s)
		if !e.Held {
			tabulate(kinds, confused, m)
		}
		for _, f := range m.forbidden {
			s.forbidden++
			if !e.Held {
				t.Logf("FORBIDDEN %q (%s): %s", e.Text, strings.TrimSpace(e.Asked+" "+e.Chief), f)
			}
		}
		if len(m.missed)+len(m.wrong)+len(m.shades) > 0 && !e.Held {
			t.Logf("%q (%s): missed %v, wrong %v %s", e.Text, strings.TrimSpace(e.Asked+" "+e.Chief), names(m.missed), names(m.wrong), strings.Join(m.shades, "; "))
		}
	}
	var b strings.Builder
	for _, k := range sortedKeys(scores) {
		fmt.Fprintf(&b, "%-36s %v\n", k, scores[k])
	}
	for _, k := range sortedKeys(kinds) {
		fmt.Fprintf(&b, "%-14s %4d facts  recall %.3f precision %.3f\n", k, kinds[k].wanted, kinds[k].recall(), kinds[k].precision())
	}
	order := sortedKeys(confused)
	slices.SortStableFunc(order, func(x, y string) int { return confused[y] - confused[x] })
	for _, k := range order {
		fmt.Fprintf(&b, "%4d %s\n", confused[k], k)
	}
	t.Log("\n" + b.String())
	forbidden, turns := 0, 0
	for file, least := range independentFloors {
		s := scores[file]
		if s == nil {
			t.Fatalf("%s is empty", file)
		}
		forbidden += s.forbidden
		turns += s.turns + at(scores, file+", held").turns
		if s.recall() < least.recall || s.precision() < least.precision {
			t.Errorf("%s: recall %.3f, precision %.3f: below %.2f, %.2f", file, s.recall(), s.precision(), least.recall, least.precision)
		}
	}
	if forbidden > mostForbidden {
		t.Errorf("%d forbidden readings, more than %d", forbidden, mostForbidden)
	}
	if adversarial := scores["independent-adversarial.yaml"].turns + at(scores, "independent-adversarial.yaml, held").turns; turns < 600 || adversarial < 170 {
		t.Errorf("%d turns, %d adversarial: want 600 and 170", turns, adversarial)
	}
}

// tabulate counts by kind of fact, and what was read in the place of what.
func tabulate(kinds map[string]*independentScore, confused map[string]int, m comparison) {
	at := func(k string) *independentScore {
		if kinds[k] == nil {
			kinds[k] = &independentScore{}
		}
		return kinds[k]
	}
	overlap := func(x, w readFact) bool { return x.start < w.end && w.start < x.end }
	for _, k := range m.found {
		at(k).wanted++
		at(k).found++
	}
	for _, x := range m.missed {
		at(x.kind).wanted++
		as := "nothing"
		if i := slices.IndexFunc(m.wrong, func(w readFact) bool { return overlap(x, w) }); i >= 0 {
			switch w := m.wrong[i]; {
			case w.kind == x.kind && w.finding == x.finding:
				as = "another outcome"
			case w.kind == x.kind:
				as = "another " + w.kind
			default:
				as = w.kind
			}
		}
		confused[x.kind+" read as "+as]++
	}
	for _, w := range m.wrong {
		at(w.kind).wrong++
		if !slices.ContainsFunc(m.missed, func(x readFact) bool { return overlap(x, w) }) {
			confused["nothing read as "+w.kind]++
		}
	}
}

func names(list []readFact) []string {
	var out []string
	for _, f := range list {
		out = append(out, f.member)
	}
	return out
}

func (e independentTurn) context() Context {
	c := Context{Earlier: e.Earlier, Chief: e.Chief}
	if e.Asked != "" || e.Repair != "" {
		c.Asked = &Asked{Finding: e.Asked, Settles: e.Settles, Repair: e.Repair}
	}
	return c
}

// comparison is the outcome of comparing one account with what was expected.
type comparison struct {
	found         []string // kinds
	missed, wrong []readFact
	forbidden     []string
	shades        []string // found, but with another certainty, item or source
}

// compare matches the account with the expectation and adds to the score.
func compare(base *kb.Base, r *Reader, e independentTurn, a Account, s *independentScore) comparison {
	var m comparison
	have := noted(r, a)
	taken := make([]bool, len(have))
	about := e.symptoms(base)
	want := func(kind, member, words string, is func(readFact) bool) []readFact {
		start := strings.Index(e.Text, words)
		var hits []readFact
		for i, f := range have {
			if is(f) {
				taken[i] = true
				hits = append(hits, f)
			}
		}
		s.wanted++
		if len(hits) == 0 {
			id, _, _ := strings.Cut(member, "=")
			m.missed = append(m.missed, readFact{kind: kind, member: member, finding: id, start: start, end: start + len(words)})
			return nil
		}
		s.found++
		m.found = append(m.found, kind)
		if words != "" {
			best := 0.0
			for _, f := range hits {
				for at := start; at >= 0; {
					best = max(best, jaccard(at, at+len(words), f.start, f.end))
					next := strings.Index(e.Text[at+1:], words)
					if next < 0 {
						break
					}
					at += 1 + next
				}
			}
			s.spans++
			s.jaccard += best
			if best > 0 {
				s.overlap++
			}
		}
		return hits
	}
	for _, x := range e.Expect {
		first := x.members()[0]
		hits := want(kindOfMember(r, first), memberName(first), x.Words, func(f readFact) bool {
			return slices.ContainsFunc(x.members(), func(w expectedMember) bool { return f.says(w, about) })
		})
		if len(hits) == 0 {
			continue
		}
		certainty := x.Certainty
		if certainty == "" {
			certainty = "plain"
		}
		s.certainties++
		if slices.ContainsFunc(hits, func(f readFact) bool { return f.from.Hedge == certainty }) {
			s.certain++
		} else {
			m.shades = append(m.shades, fmt.Sprintf("%s: %s, not %s", hits[0].member, hits[0].from.Hedge, certainty))
		}
		for _, q := range []struct {
			name, want string
			got        func(*Observation) string
		}{
			{"item", x.Item, func(o *Observation) string { return o.Item }},
			{"era", x.Era, func(o *Observation) string { return o.Era }},
			{"present", x.Present, func(o *Observation) string { return o.Present }},
			{"source", x.Source, func(o *Observation) string { return o.Source }},
			{"means", x.Means, func(o *Observation) string { return o.Means }},
		} {
			if q.want == "" {
				continue
			}
			s.details++
			if slices.ContainsFunc(hits, func(f readFact) bool { return sameItem(q.got(f.from), q.want) }) {
				s.detail++
			} else {
				m.shades = append(m.shades, fmt.Sprintf("%s: %s %q, not %q", hits[0].member, q.name, q.got(hits[0].from), q.want))
			}
		}
	}
	for _, x := range e.Requests {
		want("request", "?"+x.Kind, x.Words, func(f readFact) bool { return f.finding == "?"+x.Kind })
	}
	for _, x := range e.Vehicle {
		want("vehicle", "@"+x.Attribute, x.Words, func(f readFact) bool {
			return f.kind == "vehicle" && f.finding == x.Attribute && (x.Value == "*" || sameValue(f.outcome, x.Value))
		})
	}
	for _, x := range e.Tools {
		id := "-" + x.Tool
		if x.Have {
			id = "+" + x.Tool
		}
		want("tool", id, x.Words, func(f readFact) bool { return f.finding == id })
	}
	for _, x := range e.Circumstances {
		want("circumstance", "circ:"+x.Kind, x.Words, func(f readFact) bool { return f.finding == "circ:"+x.Kind })
	}
	for _, x := range e.Codes {
		want("code", "code:"+x, "", func(f readFact) bool { return f.finding == "code:"+x })
	}
	free := e.free(base)
	for i, f := range have {
		for _, n := range e.Not {
			if f.says(n, about) {
				m.forbidden = append(m.forbidden, f.member)
				break
			}
		}
		if taken[i] || slices.ContainsFunc(free, func(w expectedMember) bool { return f.says(w, about) }) || f.kind == "condition" && e.within(f) {
			continue
		}
		if !slices.ContainsFunc(m.wrong, func(w readFact) bool { return w.member == f.member }) {
			m.wrong = append(m.wrong, f)
			s.wrong++
		}
	}
	e.unreadAgrees(a, s)
	return m
}

// noted lists what the account notes, leaving out what weighs nothing.
func noted(r *Reader, a Account) []readFact {
	var out []readFact
	for i := range a.Observations {
		o := &a.Observations[i]
		if o.Source == "opinion" || o.Source == "deduction" || o.Source == "excuse" {
			continue
		}
		f := readFact{finding: o.Finding, outcome: o.Outcome, reading: o.Reading, from: o, start: o.Start, end: o.End}
		f.member = memberName(expectedMember{Finding: o.Finding, Outcome: o.Outcome})
		if o.Reading != nil {
			f.member = fmt.Sprintf("%s~%.4g%s", o.Finding, o.Reading.Value, o.Reading.Unit)
		}
		f.kind = kindOfFact(r, f.member)
		out = append(out, f)
	}
	add := func(kind, finding, outcome string, start, end int) {
		member := finding
		if outcome != "" {
			member = "@" + finding + "=" + outcome
		}
		out = append(out, readFact{kind: kind, member: member, finding: finding, outcome: outcome, start: start, end: end})
	}
	for _, q := range a.Requests {
		add("request", "?"+q.Kind, "", q.Start, q.End)
	}
	for _, v := range a.Vehicle {
		add("vehicle", v.Attribute, v.Value, v.Start, v.End)
	}
	for _, x := range a.Tools {
		sign := "-"
		if x.Have {
			sign = "+"
		}
		add("tool", sign+x.Tool, "", x.Start, x.End)
	}
	for _, c := range a.Codes {
		add("code", "code:"+c.Text, "", c.Start, c.End)
	}
	for _, c := range a.Circumstances {
		add("circumstance", "circ:"+c.Kind, "", c.Start, c.End)
	}
	return out
}

func memberName(m expectedMember) string {
	switch {
	case m.Reading != nil && m.Reading.Value != nil:
		return fmt.Sprintf("%s~%.4g%s", m.Finding, *m.Reading.Value, m.Reading.Unit)
	case m.Reading != nil:
		return m.Finding + "~" + m.Reading.Unit
	case m.Outcome == "":
		return m.Finding
	}
	return m.Finding + "=" + m.Outcome
}

func kindOfMember(r *Reader, m expectedMember) string { return kindOfFact(r, memberName(m)) }

// kindOfFact is kindOf; an action on a part that nobody named is one on a part.
func kindOfFact(r *Reader, fact string) string {
	if strings.HasPrefix(fact, "go:") {
		return "part"
	}
	return kindOf(r, fact)
}

// says reports whether the fact is the member. A condition of "*" is said of
// the complaint: of the symptoms the entry is about, or of any if it names none.
func (f readFact) says(w expectedMember, about []string) bool {
	if w.Reading != nil {
		return f.finding == w.Finding && f.reading != nil && w.Reading.is(*f.reading)
	}
	if f.outcome != w.Outcome && w.Outcome != "*" && !(f.kind == "vehicle" && sameValue(f.outcome, w.Outcome)) &&
		!sharpness(w.Finding, f.outcome, w.Outcome) {
		return false
	}
	if f.finding == w.Finding {
		return f.reading == nil || w.Outcome == "*"
	}
	x, y := strings.Split(f.finding, ":"), strings.Split(w.Finding, ":")
	return len(x) == 4 && len(y) == 4 && x[0] == "cond" && y[0] == "cond" && x[2] == y[2] && x[3] == y[3] &&
		(y[1] == "*" || x[1] == "*") && (len(about) == 0 || x[1] == "*" || slices.Contains(about, x[1]))
}

// sharpness reports whether two outcomes are one thing said more or less
// sharply: how it came and how often it is there have no "elsewhere" to which
// "only" could be opposed.
func sharpness(finding, a, b string) bool {
	sharp := func(o string) bool { return o == "only" || o == "worse" }
	return (strings.Contains(finding, ":onset:") || strings.Contains(finding, ":gap:")) && sharp(a) && sharp(b)
}

// is reports whether the quantity is the expected one, to half a percent.
func (x expectedReading) is(q Quantity) bool {
	near := func(a, b float64) bool { return math.Abs(a-b) <= math.Max(1e-3, 0.005*math.Abs(b)) }
	if x.Infinite || q.Infinite {
		return x.Infinite == q.Infinite
	}
	if q.Unit != x.Unit {
		return false
	}
	switch {
	case x.Value != nil && x.Low != nil && x.High != nil:
		return near(q.Low, *x.Low) && near(q.High, *x.High)
	case x.Value != nil:
		return near(q.Value, *x.Value)
	case x.High != nil:
		return q.OpenLow && (near(q.High, *x.High) || near(q.Value, *x.High))
	case x.Low != nil:
		return q.OpenHigh && (near(q.Low, *x.Low) || near(q.Value, *x.Low))
	}
	return false
}

// symptoms lists what the entry is about.
func (e independentTurn) symptoms(base *kb.Base) []string {
	var out []string
	if e.Chief != "" {
		out = append(out, e.Chief)
	}
	for _, m := range slices.Concat(e.expected(), e.May) {
		if base.Symptom(m.Finding) != nil {
			out = append(out, m.Finding)
		} else if f := base.Finding(m.Finding); f != nil && f.Kind == kb.FindingQuestion {
			out = append(out, f.Article)
		}
	}
	for _, s := range base.Symptoms {
		for of := range s.Of {
			if slices.Contains(out, s.ID) || slices.Contains(out, of) {
				out = append(out, s.ID, of)
			}
		}
	}
	return out
}

func (e independentTurn) expected() []expectedMember {
	var out []expectedMember
	for _, x := range e.Expect {
		out = append(out, x.members()...)
	}
	return out
}

// free lists what may be read besides: what the entry allows, and what an
// expected fact says by itself (a symptom that stands for several findings, an
// outcome that amounts to a condition, a second way to learn the same).
func (e independentTurn) free(base *kb.Base) []expectedMember {
	out := slices.Clone(e.May)
	wanted := e.expected()
	has := func(finding, outcome string) bool {
		return slices.ContainsFunc(wanted, func(m expectedMember) bool { return m.Finding == finding && m.Outcome == outcome })
	}
	for _, s := range base.Symptoms {
		any := false
		for f, o := range s.Of {
			any = any || has(f, o)
		}
		if any {
			for f, o := range s.Of {
				out = append(out, expectedMember{Finding: f, Outcome: o})
			}
		}
		for _, q := range s.Questions {
			for _, o := range q.Outcomes {
				if !has(q.ID, o.ID) {
					continue
				}
				for _, is := range o.Is {
					if w := strings.Fields(is); len(w) == 2 {
						for _, axis := range base.Axes {
							for _, v := range axis.Values {
								if v.ID == w[0] {
									out = append(out, expectedMember{Finding: "cond:*:" + axis.ID + ":" + v.ID, Outcome: w[1]})
								}
							}
						}
					}
				}
			}
		}
	}
	for _, x := range base.Tests {
		for _, m := range wanted {
			if m.Finding == x.Of {
				out = append(out, expectedMember{Finding: x.ID, Outcome: m.Outcome})
			}
			if m.Finding == x.ID && x.Of != "" {
				out = append(out, expectedMember{Finding: x.Of, Outcome: m.Outcome})
			}
		}
	}
	return out
}

// within reports whether a condition was read from the very words of an
// expected symptom, which then says it already ("clunks over bumps").
func (e independentTurn) within(f readFact) bool {
	for _, x := range e.Expect {
		if strings.Contains(x.members()[0].Finding, ":") {
			continue
		}
		if i := strings.Index(e.Text, x.Words); i >= 0 && i <= f.start && f.end <= i+len(x.Words) {
			return true
		}
	}
	return false
}

// unreadAgrees counts the pieces that must be reported unread: more than half
// of such a piece must be; if none is given as unread, nothing may be.
func (e independentTurn) unreadAgrees(a Account, s *independentScore) {
	if e.Unread == nil {
		return
	}
	unread := 0
	for _, x := range a.Spans {
		if x.Kind == SpanUnread {
			unread += x.End - x.Start
		}
	}
	if len(*e.Unread) == 0 {
		s.unreads++
		if unread == 0 {
			s.unread++
		}
	}
	for _, w := range *e.Unread {
		start, covered := strings.Index(e.Text, w), 0
		for _, x := range a.Spans {
			if x.Kind == SpanUnread {
				covered += max(0, min(x.End, start+len(w))-max(x.Start, start))
			}
		}
		s.unreads++
		if 2*covered > len(w) {
			s.unread++
		}
	}
}

// jaccard is the share of two intervals that they have in common.
func jaccard(a, b, c, d int) float64 {
	common := min(b, d) - max(a, c)
	if common <= 0 {
		return 0
	}
	return float64(common) / float64(max(b, d)-min(a, c))
}

// sameItem compares items by their words: "front-left" is "left front".
func sameItem(a, b string) bool {
	split := func(s string) []string {
		w := strings.FieldsFunc(s, func(r rune) bool { return r == '-' || r == ' ' })
		slices.Sort(w)
		return w
	}
	return slices.Equal(split(a), split(b))
}

// sameValue compares values of a vehicle fact, numbers by value.
func sameValue(a, b string) bool {
	x, errx := strconv.ParseFloat(a, 64)
	y, erry := strconv.ParseFloat(b, 64)
	return a == b || errx == nil && erry == nil && x == y
}

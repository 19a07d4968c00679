package dialog

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"ruleout/dialog/belief"
	"ruleout/dialog/plan"
	"ruleout/kb"
)

// Limits of what a reply says.
const (
	saySuspects = 3  // named in the text
	showMost    = 10 // in the list
	sayRuledOut = 2
	sayNoneFrom = 0.25
	// saySuspectFrom is what a cause must have had for its ruling out to be news.
	saySuspectFrom = 0.04
)

func decibans(odds float64) float64 { return 10 * math.Log10(odds) }
func round9(x float64) float64      { return math.Round(x*1e9) / 1e9 }

// answer carries out what was asked, judges, chooses the next step and words
// the reply.
func (e *Engine) answer(s *State, h *heard) *Reply {
	e.actOn(s, h)
	e.letGo(s, h)
	j := e.judge(s)
	r := &Reply{Turn: len(s.Turns), Noted: append([]Noted{}, h.facts...), SoFar: []Noted{}, Unread: h.unread, Spans: h.spans, Suspects: []Suspect{}, Pairs: []Pair{}, RuledOut: []RuledOut{}, Cites: []string{},
		Chief: s.Chief, Vehicle: s.Vehicle, Tools: s.Tools, Eras: s.Eras, Closed: s.Closed}
	if r.Unread == nil {
		r.Unread = []Words{}
	}
	if r.Spans == nil {
		r.Spans = []SpanOut{}
	}
	for i := range s.Notes {
		if s.Notes[i].struck {
			continue
		}
		r.SoFar = append(r.SoFar, s.Notes[i].Noted)
		if slices.Contains(h.notes, s.Notes[i].Number) || slices.Contains(h.remarks, s.Notes[i].Number) {
			r.Noted = append(r.Noted, s.Notes[i].Noted)
		}
	}
	known := anyWeighs(s)
	e.fillSuspects(s, r, j, known)
	texts, cites := e.serve(s, h, j)
	if text, c := e.wiredNow(s, j); text != "" {
		texts, cites = append(texts, text), append(cites, c...)
	}
	said, rows := e.remarks(s, h, j)
	texts, cites = append(texts, said...), append(cites, rows...)
	if h.restraint != nil {
		r.Stop = e.stopRestraint(h.restraint)
	} else {
		r.Stop = e.stopNow(s, j, known)
	}
	hold := e.held(s, h)
	if r.Next = hold; r.Next == nil {
		r.Next = e.propose(s, j)
	}
	e.fillCare(s, r, h, j)
	if r.Supposing = s.supposedNow(); r.Supposing != nil {
		r.Next.Quick = append(r.Next.Quick, supposedQuick()...)
	}
	if id := e.apart(s); id != "" {
		r.Next.Quick = append(r.Next.Quick, e.apartQuick(id))
	}
	if hold != nil {
		s.Open = s.prev.Open
	} else {
		e.openStep(s, r.Next)
		s.countPut(r.Next)
	}
	s.talk = e.inTalk(s, j)
	r.Path = e.pathOf(s, r.Next)
	e.fillCircuits(s, r, j)
	r.Text, r.Cites = e.compose(s, r, h, j, texts, cites)
	if r.Text == "" { // nothing new in a case that is closed
		r.Text = e.nothingNew(s)
	}
	if e.settings.Explain {
		r.Explain = e.explain(j, h)
	}
	return r
}

// nothingNew is what is said when a turn changes nothing.
func (e *Engine) nothingNew(s *State) string {
	if s.Closed != "" {
		return fmt.Sprintf("The case is closed as %s. If it does it again, say so: “it came back”.", s.Closed)
	}
	return "Nothing in that changes anything here."
}

// fillSuspects lists what is in play and what is out.
func (e *Engine) fillSuspects(s *State, r *Reply, j *judged, known bool) {
	order := j.order
	for k, c := range order {
		if k == showMost {
			break
		}
		t := e.base.Causes[c]
		sus := Suspect{ID: t.ID, Title: t.Title, System: t.System, Part: t.Part, Mode: t.Mode, Derived: t.Derived, Probability: round9(j.post.Singles[c]), Plain: plain(j.post.Singles[c])}
		if known {
			sus.For, sus.Against = e.weights(j, c)
		}
		r.Suspects = append(r.Suspects, sus)
	}
	for _, p := range j.post.Pairs {
		if p.P >= 0.001 {
			a, b := e.base.Causes[p.A], e.base.Causes[p.B]
			r.Pairs = append(r.Pairs, Pair{A: a.ID, B: b.ID, Title: a.Title + " together with " + lowerFirst(b.Title), Probability: round9(p.P)})
		}
	}
	slices.SortStableFunc(r.Pairs, func(a, b Pair) int {
		switch {
		case a.Probability > b.Probability:
			return -1
		case a.Probability < b.Probability:
			return 1
		}
		return strings.Compare(a.A+"+"+a.B, b.A+"+"+b.B)
	})
	r.NoneOfThese = round9(j.post.None)
	if !known {
		return
	}
	for _, sh := range e.noneBySystem(s, j.post) {
		if sh.P >= 0.001 {
			r.NoneBySystem = append(r.NoneBySystem, SystemShare{System: sh.System, Probability: round9(sh.P)})
		}
	}
	outs := j.post.RuledOut()
	r.RuledOut = slices.Grow(r.RuledOut, len(outs))
	for _, out := range outs {
		t := e.base.Causes[out.Cause]
		ro := RuledOut{ID: t.ID, Title: t.Title}
		if st := j.standingOfWeight(out.By); st != nil {
			ro.By, ro.ByTitle, ro.ByOutcome = st.ruledBy(out.Cause, j.lead.A)
		} else {
			ro.By = out.By.Finding.ID
			ro.ByTitle, ro.ByOutcome = e.saidOf(j, out.By)
			ro.Rests, _ = e.restsOn(j, ro.By, out.Cause, j.lead.A)
		}
		r.RuledOut = append(r.RuledOut, ro)
	}
}

// weights splits what was said into for and against a suspect, against the
// leader; for the leader itself, against the runner-up. What tells one part from
// the next is what is asked for, so failures of the leader's own part are passed
// over.
func (e *Engine) weights(j *judged, cause int) (pro, con []Weight) {
	lead := j.lead
	against := lead
	if lead.A == cause && lead.B == belief.Nobody {
		against = belief.Hypothesis{A: belief.Nobody, B: belief.Nobody}
		for _, c := range j.order {
			if c == cause {
				continue
			}
			if part := e.base.Causes[cause].Part; part == "" || e.base.Causes[c].Part != part {
				against.A = c
				break
			}
		}
	}
	sort := func(w Weight) {
		if math.Abs(w.Decibans) < 0.5 {
			return
		}
		if w.Decibans = math.Round(w.Decibans*10) / 10; w.Decibans > 0 {
			pro = append(pro, w)
		} else {
			con = append(con, w)
		}
	}
	for _, w := range j.post.WeightsAgainst(belief.Hypothesis{A: cause, B: belief.Nobody}, against) {
		if st := j.standingOfWeight(w); st != nil {
			for i, d := range st.told(cause, against.A) {
				n := &st.seen[i].observed
				sort(Weight{Finding: n.Finding, Title: n.Title, Outcome: n.shown(), Decibans: d})
			}
			continue
		}
		x := Weight{Finding: w.Finding.ID, Decibans: w.Decibans}
		x.Title, x.Outcome = e.saidOf(j, w)
		x.Rests, x.Basis = e.restsOn(j, x.Finding, cause, against.A)
		sort(x)
	}
	byWeight := func(a, b Weight) int {
		x, y := math.Abs(a.Decibans), math.Abs(b.Decibans)
		switch {
		case x > y:
			return -1
		case x < y:
			return 1
		}
		return strings.Compare(a.Finding, b.Finding)
	}
	slices.SortStableFunc(pro, byWeight)
	slices.SortStableFunc(con, byWeight)
	return pro, con
}

// speaks is weights in words, the two strongest each way and what follows by
// itself.
func (e *Engine) speaks(j *judged, cause int) (pro, con []string) {
	p, c := e.weights(j, cause)
	say := func(ws []Weight) []string {
		var out []string
		for _, w := range ws {
			if len(out) < 2 || w.Rests != "" && math.Abs(w.Decibans) >= saysLittle {
				out = append(out, w.words())
			}
		}
		return out
	}
	return say(p), say(c)
}

// saidOf names the finding of a weight and the outcome that was said.
func (e *Engine) saidOf(j *judged, w belief.Weight) (string, string) {
	f, _ := e.finding(w.Finding.ID, "")
	switch w.Finding.ID {
	case pointedID:
		f = pointedFinding()
	case storyID:
		f = storyFinding()
	case aboutID:
		f = aboutFinding()
	case meetingID:
		f = meetingFinding()
	}
	if f == nil {
		return w.Finding.ID, ""
	}
	best, at := -1.0, 0
	for _, i := range w.Evidence {
		for o, v := range j.evidence[i].Lambda {
			if v > best {
				best, at = v, o
			}
		}
	}
	if best > 1 && f.Kind == kb.FindingSymptom {
		return f.Title, "your words hint at it" // see faint
	}
	if at < len(f.Outcomes) {
		return f.Title, f.Outcomes[at].Title
	}
	return f.Title, ""
}

// stopNow says a danger once, before everything else: a symptom's own, or a
// suspect that can injure and is not cleared.
func (e *Engine) stopNow(s *State, j *judged, known bool) *Stop {
	if s.Closed == "" && s.Chief == "" {
		if stop := e.mayBeDanger(s); stop != nil {
			return stop
		}
	}
	if !known || s.Closed != "" {
		return nil
	}
	ids := append([]string{}, s.Chief)
	ids = append(ids, s.Also...)
	for _, sym := range e.base.Symptoms {
		if sym.Danger == nil || s.Warned[sym.ID] {
			continue
		}
		// The symptom a case was filed under may never have been told itself: a
		// cold heater is asked about with the questions of overheating.
		present := slices.Contains(ids, sym.ID) && s.told(sym.ID, "present")
		if len(sym.Of) > 0 {
			present = true
			for _, f := range sortedKeys(sym.Of) {
				present = present && s.told(f, sym.Of[f])
			}
		}
		met := true
		for _, f := range sortedKeys(sym.Danger.When) {
			met = met && s.told(f, sym.Danger.When[f])
		}
		if len(sym.Danger.When) > 0 {
			present = met && (present || s.told(sym.ID, "present"))
		}
		if present {
			s.Warned[sym.ID] = true
			return &Stop{Severity: sym.Danger.Severity, Text: sym.Danger.Stop, Article: sym.ID}
		}
	}
	return e.suspectsStop(s, j)
}

// openStep remembers what was put to the person.
func (e *Engine) openStep(s *State, n *Next) {
	before := s.Open
	s.Open = nil
	switch n.Kind {
	case "question", "test", "look-round":
		o := &open{kind: n.Kind, id: n.ID, finding: n.ID}
		if n.Kind == "test" && strings.HasPrefix(n.ID, "cond:") {
			s.Passed[trialPut+n.ID] = "put"
		}
		if n.ID == "before" {
			o.kind, o.finding = "before", ""
			s.OpenAsked = true
		} else if t := e.base.Test(n.ID); t != nil && t.Of != "" {
			o.finding = t.Of
		} else if n.Kind == "look-round" {
			o.finding = ""
		}
		if before == nil || before.id != n.ID {
			if n.Kind == "question" {
				s.Asked++
			} else {
				s.Asked = 0
			}
			s.Put = append([]string{n.ID}, s.Put...)
		}
		s.Open = o
	case "repair":
		s.Open = &open{kind: "repair", id: n.ID, finding: "repair:" + n.ID}
		s.Asked = 0
	case "proof":
		s.Open = &open{kind: "proof", id: n.ID, finding: e.proofReading(e.base.Cause(n.ID))}
	case "complaint":
		s.Open = &open{kind: "complaint", id: "complaint"}
	}
}

// compose words the reply: what was understood, what follows, the one thing
// to do next, why that one, on which article it rests.
func (e *Engine) compose(s *State, r *Reply, h *heard, j *judged, texts, cites []string) (string, []string) {
	var b strings.Builder
	para := func(t string) {
		if t == "" {
			return
		}
		if b.Len() > 0 {
			b.WriteString("\n\n")
		}
		b.WriteString(t)
	}
	if r.Stop != nil {
		para("**Stop.** " + sentence(r.Stop.Text) + " Local rules and licensed shops come first.")
		if r.Stop.Article != "" {
			cites = append([]string{r.Stop.Article}, cites...)
		}
	}
	if r.Supposing == nil || r.Supposing.Since < len(s.Turns) { // what is supposed is said below
		para(understood(s, h))
	}
	if len(h.unread) > 0 {
		para(notUsed(h, e))
	}
	para(strings.Join(h.lines, " "))
	if len(s.Turns) > 0 && len(h.notes)+len(h.facts)+len(h.lines)+len(h.remarks)+len(texts) == 0 && len(h.requests) == 0 && len(s.Pending) == 0 {
		para(friendly(s))
	}
	for _, t := range texts {
		para(t)
	}
	if text, c := e.meaning(s, j, h); text != "" {
		para(text)
		cites = append(cites, c...)
	}
	if len(h.notes) > 0 && s.Closed == "" && s.Proving == "" && len(s.Pending) == 0 {
		text, c := e.follows(s, r, j)
		para(text)
		cites = append(cites, c...)
	}
	switch {
	case s.Closed != "" && r.Next.Kind == "none":
	case e.asBefore(s, r, h):
		para("Still open: **" + lowerFirst(strings.TrimSuffix(r.Next.Title, ".")) + "**")
	default:
		text, c := e.nextWords(s, r)
		para(text)
		cites = append(cites, c...)
	}
	var once []string
	for _, c := range cites {
		if _, ok := e.base.Head(c); ok && !slices.Contains(once, c) {
			once = append(once, c)
		}
	}
	if once == nil {
		once = []string{}
	}
	return b.String(), once
}

// understood lists what this turn brought.
func understood(s *State, h *heard) string {
	var parts []string
	for _, k := range h.notes {
		n := &s.Notes[k-1]
		d := n.describe()
		switch {
		case n.struck:
			continue
		case !n.Weighs:
			d += " (not used: " + n.Note + ")"
		case n.Source == "told" || n.Source == "shop":
			d += " (so you were told)"
		case n.Certainty < 0.66:
			d += " (you think)"
		}
		if !slices.Contains(parts, d) {
			parts = append(parts, d)
		}
	}
	for _, f := range h.facts {
		parts = append(parts, f.Title+": "+f.OutcomeTitle)
	}
	var also []string
	for _, k := range h.remarks {
		d := s.Notes[k-1].remarked()
		if !slices.Contains(also, d) {
			also = append(also, d)
		}
	}
	var lines []string
	if len(parts) > 0 {
		lines = append(lines, "Understood: "+strings.Join(parts, " · ")+".")
	}
	if len(also) > 0 {
		lines = append(lines, "Noted as well, without weight: "+strings.Join(also, " · ")+".")
	}
	return strings.Join(lines, "\n\n")
}

// notUsed names the words that were left, with the nearest article if any.
func notUsed(h *heard, e *Engine) string {
	var words []string
	for _, w := range h.unread {
		words = append(words, "“"+short(w.Words)+"”")
	}
	if len(words) > 4 {
		words = append(words[:4], "…")
	}
	t := "Not used: " + strings.Join(words, ", ") + "."
	if len(h.near) > 0 {
		t += fmt.Sprintf(" Perhaps [%s](article:%s)?", e.title(h.near[0]), h.near[0])
	}
	return t
}

// follows says what the turn rules out and who leads now.
func (e *Engine) follows(s *State, r *Reply, j *judged) (string, []string) {
	var b strings.Builder
	var cites []string
	// What became ruled out by this turn.
	var out []RuledOut
	if s.prev != nil && s.prev.last != nil && s.prev.Chief != "" {
		for _, ro := range r.RuledOut {
			if s.prev.last.probability(ro.ID) >= saySuspectFrom && !slices.ContainsFunc(s.prev.last.RuledOut, func(o RuledOut) bool { return o.ID == ro.ID }) {
				out = append(out, ro)
			}
		}
	}
	for k, ro := range out {
		if k == sayRuledOut {
			fmt.Fprintf(&b, "(%d more are out too.) ", len(out)-k)
			break
		}
		fmt.Fprintf(&b, "Out: [%s](article:%s), by %s (%s). ", lowerFirst(brief(ro.Title)), ro.ID, linked(lowerFirst(ro.ByTitle), ro.Rests), lowerFirst(ro.ByOutcome))
	}
	if s.Chief == "" {
		return strings.TrimSpace(b.String()), nil
	}
	var names []string
	lead := 0.0
	for k, l := range e.leaders(j) {
		if k == saySuspects || k > 0 && l.p < 0.05 {
			break
		}
		names = append(names, fmt.Sprintf("[%s](article:%s) (%s)", l.title, l.cause.ID, plain(l.p)))
		cites = append(cites, l.cause.ID)
		lead = max(lead, l.p)
	}
	switch {
	case j.post.None > lead:
		fmt.Fprintf(&b, "Most likely it is something I have no article for (%s). Nearest: %s.", plain(j.post.None), strings.Join(names, ", "))
	default:
		fmt.Fprintf(&b, "Leading: %s.", strings.Join(names, ", "))
		if j.post.None >= sayNoneFrom {
			fmt.Fprintf(&b, " Something I have no article for is possible too (%s).", plain(j.post.None))
		}
	}
	if len(s.Also) > 0 && len(r.Noted) > 0 {
		if sym := e.cameFor(s); sym != nil && s.prev != nil && len(s.prev.Also) != len(s.Also) {
			fmt.Fprintf(&b, " I follow “%s” first and keep the rest.", lowerFirst(sym.Title))
		}
		if id := e.apart(s); id != "" {
			b.WriteString(e.apartWords(s, id))
		}
	}
	return strings.TrimSpace(b.String()), cites
}

// nextWords words the one thing to do next.
func (e *Engine) nextWords(s *State, r *Reply) (string, []string) {
	n := r.Next
	var b strings.Builder
	var cites []string
	if n.Article != "" {
		cites = append(cites, n.Article)
	}
	switch n.Kind {
	case "none":
		return "", nil
	case "complaint", "which", "context":
		b.WriteString("**" + n.Title + "**")
		if n.Kind == "which" {
			b.WriteString(" " + choices(n.Quick))
		} else if n.Kind == "complaint" {
			b.WriteString(" " + upperFirst(sentence(n.Why)))
		}
		return b.String(), cites
	case "question", "trial", "waiting":
		fmt.Fprintf(&b, "**%s** %s.", sentence(n.Title), upperFirst(strings.TrimSuffix(n.Why, ".")))
		if n.Article != "" {
			fmt.Fprintf(&b, " (See [%s](article:%s).)", e.title(n.Article), n.Article)
		}
		return b.String(), cites
	}
	fmt.Fprintf(&b, "**Next: %s**", lowerFirst(strings.TrimSuffix(n.Title, ".")))
	if n.Minutes > 0 {
		fmt.Fprintf(&b, " (%s)", minutes(n.Minutes))
	}
	b.WriteString(". " + upperFirst(sentence(n.Why)))
	if n.Article != "" {
		fmt.Fprintf(&b, " (See [%s](article:%s).)", e.title(n.Article), n.Article)
	}
	if len(n.Needs) > 0 {
		b.WriteString("\nNeeds: " + list(n.Needs) + ".")
	}
	if len(n.Access) > 0 {
		b.WriteString("\nFirst: " + list(n.Access) + "; do what else is behind it while you are in there.")
	}
	for _, c := range n.Cautions {
		b.WriteString("\n⚠ " + sentence(c))
	}
	for i, st := range n.Steps {
		fmt.Fprintf(&b, "\n%d. %s", i+1, sentence(st))
	}
	for _, t := range n.Ticks {
		b.WriteString("\n- " + t.Ask + " " + choices(t.Quick))
	}
	if n.Reading != nil {
		fmt.Fprintf(&b, "\nMeter: %s; leads: %s. Expected: %s", n.Reading.Meter, n.Reading.Terminals, sentence(n.Reading.Expect))
	}
	if alone, told := s.Tools["helper"]; told && !alone && n.Alone != "" {
		b.WriteString("\nAlone: " + sentence(n.Alone))
	}
	if c := e.base.Cause(n.Article); c != nil && n.Kind == "repair" {
		if also := e.alsoLook(c); also != "" {
			b.WriteString("\nLook at this too while you are there: " + also + ".")
		}
	}
	return b.String(), cites
}

func choices(q []Quick) string {
	var words []string
	for _, c := range q {
		words = append(words, "`"+c.Text+"`")
	}
	return strings.Join(words, " ")
}

// explain gives the numbers behind the reply.
func (e *Engine) explain(j *judged, h *heard) *Explain {
	x := &Explain{Rows: []ExplainRow{}, Checks: []ExplainCheck{}, Reads: h.reads}
	for k, c := range j.order {
		if k == 2*showMost {
			break
		}
		row := ExplainRow{ID: e.base.Causes[c].ID, Prior: round9(j.post.Prior(c)), Posterior: round9(j.post.Singles[c])}
		pro, con := e.weights(j, c)
		row.Weights = append(pro, con...)
		x.Rows = append(x.Rows, row)
	}
	for _, c := range j.decision.Candidates {
		kind := string(c.Kind)
		if c.Kind == plan.KindCheck {
			kind = j.checks[c.Index].kind
		}
		x.Checks = append(x.Checks, ExplainCheck{ID: c.ID, Kind: kind, Cost: round3(c.Cost), Worth: round3(c.Worth), Total: round3(c.Total)})
	}
	return x
}

// asBefore reports whether the next step is the one already on the table: work
// is then not said in full again, a question only if the turn was a request.
func (e *Engine) asBefore(s *State, r *Reply, h *heard) bool {
	if s.prev == nil || s.prev.last == nil || s.prev.last.Next == nil {
		return false
	}
	// Long steps are not said twice; a question is short enough to be.
	long := r.Next.Kind == "test" || r.Next.Kind == "look-round" || r.Next.Kind == "repair" || r.Next.Kind == "proof"
	if !long && (len(h.requests) == 0 || len(h.notes) > 0) {
		return false
	}
	for _, q := range h.requests {
		if q.Kind == "how" || q.Kind == "undo" || q.Kind == "start-over" || q.Kind == "drop" || q.Kind == "recap" || q.Kind == "waiting" || q.Kind == "arrived" {
			return false
		}
	}
	return s.prev.last.Next.ID == r.Next.ID && s.prev.last.Next.Kind == r.Next.Kind && r.Next.Kind != "complaint"
}

// probability is what the reply gave a cause, among its first ten.
func (r *Reply) probability(id string) float64 {
	for _, s := range r.Suspects {
		if s.ID == id {
			return s.Probability
		}
	}
	return 0
}

// friendly leads back to the work when a turn brought nothing.
func friendly(s *State) string {
	if s.Chief == "" && !anyWeighs(s) {
		return "That I can't place yet. A few plain words about the trouble will do, for example “it only clicks when I turn the key” or “gets hot in traffic”."
	}
	return "That I can't use for this trouble; back to the car."
}

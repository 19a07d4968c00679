package dialog

import (
	"slices"
	"strings"

	"ruleout/kb"
)

// Limits of a report, so that it prints on one or two sheets.
const (
	reportSuspects = 6
	reportRuledOut = 12
	reportFrom     = 0.01 // a suspect this likely is named
	sureFrom       = 0.5  // from here on a leader is called the suspected cause
)

// Report is the record of a case: what was told and found, what was ruled out
// and by what, the cause, its repair and proof, what it cost, what remains
// open. It follows from the turns alone; times are filled in by whoever keeps
// them, through At.
type Report struct {
	// Title is the vehicle and the complaint in one line.
	Title string `json:"title"`
	// Status is open, proving, waiting, on trial, cured or another way in which
	// the case was closed; StatusText says it in a sentence.
	Status     string    `json:"status"`
	StatusText string    `json:"status_text"`
	Vehicle    []Fact    `json:"vehicle"`
	Complaint  Complaint `json:"complaint"`
	// Conditions are when it shows; Events what went before; Findings all other
	// findings and readings, in the order of telling; Opinions what was said
	// and weighs nothing.
	Conditions []Found `json:"conditions"`
	Events     []Found `json:"events"`
	Findings   []Found `json:"findings"`
	Opinions   []Found `json:"opinions"`
	// RuledOut are the causes that were once in play and are out, with the
	// finding that did it; RuledOutMore counts those left out of the list.
	RuledOut     []RuledOut `json:"ruled_out"`
	RuledOutMore int        `json:"ruled_out_more"`
	// Suspects are still in play, likeliest first, NoneOfThese beside them.
	Suspects    []Suspect `json:"suspects"`
	NoneOfThese float64   `json:"none_of_these"`
	// Cause is the proven or suspected cause; null while nothing stands out.
	Cause   *CauseFound `json:"cause"`
	Circuit *FaultPlace `json:"circuit"`
	// Repairs are the jobs done, with what each changed.
	Repairs []RepairDone `json:"repairs"`
	Proof   *ProofLine   `json:"proof"`
	// Cost is of the jobs done, or while there are none of the repair of Cause.
	Cost *Estimate `json:"cost"`
	// Decision weighs repair, stopgap and shop while the case is open.
	Decision *Decision `json:"decision,omitempty"`
	// Trial is how far the cure of a trouble that comes and goes is proven;
	// Armed are the checks prepared for the moment it shows.
	Trial *Trial       `json:"trial,omitempty"`
	Armed []ArmedCheck `json:"armed,omitempty"`
	// MinutesSpent is the authored time of the checks and jobs that were done.
	MinutesSpent float64 `json:"minutes_spent"`
	// Cautions and Stops are those that were given.
	Cautions []string `json:"cautions"`
	Stops    []string `json:"stops"`
	Cites    []Cited  `json:"cites"`
	// Open is what remains to be done or looked at.
	Open     []string `json:"open"`
	Timeline []Event  `json:"timeline"`
}

// Fact is one thing known of the vehicle.
type Fact struct {
	ID    string `json:"id"`
	Title string `json:"title"`
	Value string `json:"value"`
}

// Complaint is what the case is about.
type Complaint struct {
	ID    string `json:"id"`
	Title string `json:"title"`
	// Words are the person's own of the first turn.
	Words string   `json:"words"`
	Also  []string `json:"also,omitempty"`
}

// Found is one finding as it stands in a report.
type Found struct {
	Number int    `json:"number"`
	Turn   int    `json:"turn"`
	When   string `json:"when,omitempty"`
	ID     string `json:"id"`
	Title  string `json:"title"`
	// Said is the outcome, or the reading with its unit.
	Said string `json:"said"`
	// Expected is what it shows if nothing is wrong, where that is known, and
	// Amiss whether what was found differs from it.
	Expected string `json:"expected,omitempty"`
	Amiss    bool   `json:"amiss,omitempty"`
	// Tells is what the outcome means, by the article.
	Tells string `json:"tells,omitempty"`
	// By says how it is known: measured, seen, tried, remembered, ...
	By string `json:"by"`
	// Test is the article of the test that was done, if it was one.
	Test string `json:"test,omitempty"`
	// Era counts the actions on the car before it; Present says whether the
	// trouble was there (yes, no or unsaid).
	Era     int    `json:"era"`
	Present string `json:"present,omitempty"`
	Words   string `json:"words,omitempty"`
}

// CauseFound is the cause of a report.
type CauseFound struct {
	Suspect
	// Sure is proven, on trial or suspected.
	Sure string `json:"sure"`
	// Driving says how risky it is to go on driving with it.
	Severity string `json:"severity"`
	Driving  string `json:"driving"`
	Repair   string `json:"repair"`
}

// FaultPlace is the element of a circuit that is at fault.
type FaultPlace struct {
	Article string `json:"article"`
	Title   string `json:"title"`
	Element string `json:"element"`
	Name    string `json:"name"`
	Fault   string `json:"fault"`
	// Drawing is the circuit with the fault marked, as SVG, if one was made.
	Drawing string `json:"drawing,omitempty"`
}

// RepairDone is a job that was done on the car.
type RepairDone struct {
	Turn    int       `json:"turn"`
	When    string    `json:"when,omitempty"`
	Title   string    `json:"title"`
	Changed string    `json:"changed"`
	Article string    `json:"article,omitempty"`
	Cost    *Estimate `json:"cost,omitempty"`
}

// ProofLine says how the cure is proven and how far that is.
type ProofLine struct {
	Cause      string `json:"cause"`
	Do         string `json:"do"`
	ShowsAfter string `json:"shows_after"`
	Test       string `json:"test,omitempty"`
	// Passed is set once the proof was seen; Said is the result.
	Passed bool   `json:"passed"`
	Said   string `json:"said,omitempty"`
}

// Cited is an article that the case stands on.
type Cited struct {
	ID    string `json:"id"`
	Title string `json:"title"`
}

// Event is one line of a report's timeline.
type Event struct {
	Moment
	When string `json:"when,omitempty"`
	// Era counts the actions on the car so far; InForce is false for an event
	// of a turn that was taken back.
	Era     int  `json:"era"`
	InForce bool `json:"in_force"`
}

// At fills in the times of turns: when returns the time of a turn, counted
// from 1, in the words that are to be shown.
func (r *Report) At(when func(turn int) string) {
	for _, list := range [][]Found{r.Conditions, r.Events, r.Findings, r.Opinions} {
		for i := range list {
			list[i].When = when(list[i].Turn)
		}
	}
	for i := range r.Repairs {
		r.Repairs[i].When = when(r.Repairs[i].Turn)
	}
	for i := range r.Timeline {
		r.Timeline[i].When = when(r.Timeline[i].Turn)
	}
}

// Report makes the record of a case as it stands. The state is left as it is.
func (e *Engine) Report(state *State) *Report {
	s := state.clone()
	s.prev = state.prev
	j := e.judge(e.beforeCure(s))
	var shown Reply
	e.fillSuspects(s, &shown, j, anyWeighs(s))
	r := &Report{
		Vehicle: e.facts(s), Conditions: []Found{}, Events: []Found{}, Findings: []Found{}, Opinions: []Found{},
		RuledOut: []RuledOut{}, Suspects: []Suspect{}, NoneOfThese: shown.NoneOfThese,
		Repairs: []RepairDone{}, Cautions: []string{}, Stops: []string{}, Cites: []Cited{}, Open: []string{}, Timeline: []Event{},
	}
	r.Complaint = e.complaintOf(s)
	e.reportFindings(s, r)
	e.reportBelief(s, j, &shown, r)
	e.reportRepairs(s, r)
	e.reportGiven(state, r)
	e.reportTimeline(s, r)
	r.Status, r.StatusText = e.status(s)
	r.Title = titleOf(r)
	r.Trial, r.Armed = s.care.trial, s.care.armed
	if s.Closed == "" && s.Proving == "" {
		r.Decision = e.decide(s, j)
	}
	e.reportOpen(s, j, r)
	return r
}

// beforeCure is the state in which the cause was found: once a part is renewed
// the findings on it are history and no longer say why it was the one.
func (e *Engine) beforeCure(s *State) *State {
	if s.Solved == "" && s.Proving == "" {
		return s
	}
	for i := len(s.Notes) - 1; i >= 0; i-- {
		n := &s.Notes[i]
		if n.struck || !n.cure() || s.cameBackAfter(n) {
			continue
		}
		found := s
		for at := s.prev; at != nil && (len(found.InForce) == 0 || found.InForce[len(found.InForce)-1] >= n.Turn); at = at.prev {
			found = at
		}
		was := found.clone()
		was.prev = found.prev
		return was
	}
	return s
}

// facts lists what is known of the vehicle, its name first.
func (e *Engine) facts(s *State) []Fact {
	out := []Fact{}
	keys := sortedKeys(s.Vehicle)
	slices.SortStableFunc(keys, func(a, b string) int { return nameRank(a) - nameRank(b) })
	for _, k := range keys {
		n := e.fact(vehiclePrefix+k, k, s.Vehicle[k], "", 0, 0, 0)
		title := n.Title
		if title == "make-unknown" {
			title = "vehicle"
		}
		out = append(out, Fact{ID: k, Title: strings.ReplaceAll(title, "-", " "), Value: n.OutcomeTitle})
	}
	return out
}

// nameRank puts what names a vehicle before what it has.
func nameRank(attribute string) int {
	if i := slices.Index([]string{"year", "make-unknown", "engine-litres", "fuel"}, attribute); i >= 0 {
		return i
	}
	return 9
}

func (e *Engine) complaintOf(s *State) Complaint {
	c := Complaint{ID: s.Chief}
	if sym := e.cameFor(s); sym != nil {
		c.Title = sym.Title
	}
	for _, id := range s.Also {
		if sym := e.base.Symptom(id); sym != nil {
			c.Also = append(c.Also, sym.Title)
		}
	}
	for i := range s.Notes {
		if n := &s.Notes[i]; !n.struck && n.Turn > 0 && n.Turn <= len(s.Turns) {
			c.Words = strings.TrimSpace(s.Turns[n.Turn-1].Text)
			break
		}
	}
	return c
}

// saidBy words the sources of observations.
var saidBy = map[string]string{
	"measured": "measured", "seen": "seen", "tried": "tried on purpose", "remembered": "as remembered", "told": "told by someone else",
	"shop": "a shop's word", "deduction": "a deduction", "opinion": "an opinion", "excuse": "an excuse",
}

// reportFindings sorts all that was told and stands.
func (e *Engine) reportFindings(s *State, r *Report) {
	for i := range s.Notes {
		n := &s.Notes[i]
		if n.struck || strings.HasPrefix(n.Finding, "repair:") || strings.HasSuffix(n.Finding, ":replaced") && n.Weighs {
			continue
		}
		f, _ := e.finding(n.Finding, n.means)
		if f == nil {
			continue
		}
		x := e.found(f, n)
		switch {
		case !n.Weighs:
			x.Tells = n.Note
			r.Opinions = append(r.Opinions, x)
		case f.Kind == kb.FindingCondition || f.Kind == kb.FindingQuestion && f.Axis != "":
			r.Conditions = append(r.Conditions, x)
		case f.Kind == kb.FindingEvent:
			r.Events = append(r.Events, x)
		case n.Finding == s.Chief && n.Outcome == "present":
		default:
			r.Findings = append(r.Findings, x)
			if f.Kind == kb.FindingTest || f.Kind == kb.FindingPart {
				r.MinutesSpent += e.checkMinutes(n.Finding)
			}
		}
	}
}

// found words one observation.
func (e *Engine) found(f *kb.Finding, n *observed) Found {
	x := Found{Number: n.Number, Turn: n.Turn, ID: n.Finding, Title: n.Title, By: saidBy[n.Source], Era: n.era, Present: n.present, Words: n.Words, Said: n.OutcomeTitle}
	if x.By == "" {
		x.By = n.Source
	}
	if n.Item != "" {
		x.Title += " (" + n.Item + ")"
	}
	if f.Kind == kb.FindingSymptom {
		x.Said = map[string]string{"present": "yes", "absent": "no"}[n.Outcome]
	}
	if n.quantity != nil {
		x.Said = readingWords(n)
		if n.OutcomeTitle != "" {
			x.Said += " (" + lowerFirst(n.OutcomeTitle) + ")"
		}
	}
	if t := e.base.Test(f.Article); t != nil {
		x.Test = t.ID
	}
	if i := f.OutcomeIndex(n.Outcome); i >= 0 {
		x.Tells = f.Outcomes[i].Means
	}
	if f.Kind == kb.FindingTest || f.Kind == kb.FindingQuestion || f.Kind == kb.FindingPart {
		if well := wellOutcome(f); well >= 0 {
			x.Expected, x.Amiss = lowerFirst(f.Outcomes[well].Title), n.Outcome != f.Outcomes[well].ID
		}
	}
	if f.Reading != nil {
		x.Expected = f.Reading.Expect
	}
	return x
}

// wellOutcome is the outcome that most sound cars show, or -1 where none has
// more than half of them.
func wellOutcome(f *kb.Finding) int {
	for i, p := range f.Base {
		if p > 0.5 {
			return i
		}
	}
	return -1
}

// checkMinutes is the authored time of the test behind a finding.
func (e *Engine) checkMinutes(finding string) float64 {
	if t := e.base.Test(finding); t != nil {
		return t.Minutes
	}
	if strings.HasPrefix(finding, "part:") {
		return lookMinutes
	}
	return 0
}

// reportBelief lists suspects, what was ruled out, the cause and its circuit.
func (e *Engine) reportBelief(s *State, j *judged, shown *Reply, r *Report) {
	for _, x := range shown.Suspects {
		if len(r.Suspects) < reportSuspects && x.Probability >= reportFrom && anyWeighs(s) {
			r.Suspects = append(r.Suspects, x)
		}
	}
	once := map[string]float64{}
	for _, at := range s.past() {
		if at.last == nil || at.Chief == "" {
			continue
		}
		for _, x := range at.last.Suspects {
			once[x.ID] = max(once[x.ID], x.Probability)
		}
	}
	for _, out := range shown.RuledOut {
		if once[out.ID] >= reportFrom {
			r.RuledOut = append(r.RuledOut, out)
		}
	}
	slices.SortStableFunc(r.RuledOut, func(a, b RuledOut) int {
		switch x, y := once[a.ID], once[b.ID]; {
		case x > y:
			return -1
		case x < y:
			return 1
		}
		return strings.Compare(a.ID, b.ID)
	})
	r.RuledOutMore = len(shown.RuledOut) - min(len(r.RuledOut), reportRuledOut)
	r.RuledOut = r.RuledOut[:min(len(r.RuledOut), reportRuledOut)]

	c, sure := e.causeOf(s, j)
	if c == nil {
		return
	}
	p := j.post.Singles[e.number[c.ID]]
	f := &CauseFound{Sure: sure, Severity: c.Severity, Driving: c.Driving, Repair: c.Repair.Do}
	f.Suspect = Suspect{ID: c.ID, Title: c.Title, System: c.System, Part: c.Part, Mode: c.Mode, Derived: c.Derived, Probability: round9(p), Plain: plain(p)}
	f.For, f.Against = e.weights(j, e.number[c.ID])
	r.Cause = f
	r.Circuit = e.faultPlace(c)
	r.Proof = e.proofLine(s, c)
}

// causeOf is the cause that was proven, is being proven or stands out, and how
// sure that is; nil when none does.
func (e *Engine) causeOf(s *State, j *judged) (*kb.Cause, string) {
	switch {
	case s.Solved != "" && s.Closed == "cured":
		return e.base.Cause(s.Solved), "proven"
	case s.Solved != "" && s.Closed == "on trial":
		return e.base.Cause(s.Solved), "on trial"
	case s.Solved != "":
		return e.base.Cause(s.Solved), "suspected"
	case s.Proving != "":
		return e.base.Cause(s.Proving), "suspected"
	case anyWeighs(s) && len(j.order) > 0 && j.post.Singles[j.order[0]] >= sureFrom:
		return e.base.Causes[j.order[0]], "suspected"
	}
	return nil, ""
}

// faultPlace is where a cause sits in its circuit, or nil.
func (e *Engine) faultPlace(c *kb.Cause) *FaultPlace {
	for _, k := range e.base.Circuits {
		for _, el := range k.Elements {
			for i := range el.Faults {
				if el.Faults[i].CauseID() == c.ID {
					return &FaultPlace{Article: k.ID, Title: k.Title, Element: el.ID, Name: el.Title, Fault: strings.ReplaceAll(el.Faults[i].Fault, "-", " ")}
				}
			}
		}
	}
	return nil
}

func (e *Engine) proofLine(s *State, c *kb.Cause) *ProofLine {
	p := &ProofLine{Cause: c.ID, Do: c.Proof.Do, ShowsAfter: c.Proof.ShowsAfter, Test: c.Proof.Test, Passed: s.Closed == "cured" || s.Closed == "on trial"}
	if t := s.care.trial; t != nil {
		p.Said = upperFirst(t.Words)
	}
	return p
}

// reportRepairs lists the jobs done on the car and sums up what they cost.
func (e *Engine) reportRepairs(s *State, r *Report) {
	var sum *Estimate
	for i := range s.Notes {
		n := &s.Notes[i]
		job := strings.HasPrefix(n.Finding, "repair:")
		if n.struck || !n.Weighs || !job && !strings.HasSuffix(n.Finding, ":replaced") {
			continue
		}
		d := RepairDone{Turn: n.Turn, Title: upperFirst(strings.TrimPrefix(n.Title, "repair: ")), Changed: n.OutcomeTitle}
		if b, ok := s.care.back[n.Finding]; ok && n.cure() {
			d.Changed = "it was gone, and came back " + b.after
		}
		for k := range e.actions {
			if a := e.actions[k]; job && "repair:"+a.id == n.Finding {
				c := e.causeCured(s, a)
				x := e.estimate(s, c.Repair)
				d.Article, d.Cost = c.ID, &x
				sum = sum.plus(x)
				r.MinutesSpent += x.Minutes.Low
			}
		}
		r.Repairs = append(r.Repairs, d)
	}
	if sum == nil && r.Cause != nil {
		x := e.estimate(s, e.base.Cause(r.Cause.ID).Repair)
		sum = &x
	}
	r.Cost = sum
}

// causeCured is the cause that a job stands for in this case: the one that is
// proven or being proven, else the most frequent it cures.
func (e *Engine) causeCured(s *State, a *action) *kb.Cause {
	for _, id := range []string{s.Solved, s.Proving} {
		if k, ok := e.number[id]; ok && slices.Contains(a.causes, k) {
			return e.base.Causes[k]
		}
	}
	return a.lead
}

// plus adds an estimate to a sum, which may be nil.
func (x *Estimate) plus(y Estimate) *Estimate {
	if x == nil {
		return &y
	}
	add := func(a, b Range) Range { return Range{a.Low + b.Low, a.High + b.High} }
	return &Estimate{Minutes: add(x.Minutes, y.Minutes), Parts: add(x.Parts, y.Parts), Labour: add(x.Labour, y.Labour), Total: add(x.Total, y.Total), Rate: x.Rate, Basis: x.Basis}
}

// reportGiven gathers the cautions and stops that were said and the articles
// that were cited, over the turns in force.
func (e *Engine) reportGiven(s *State, r *Report) {
	var cites []string
	for _, at := range s.past() {
		if at.last == nil {
			continue
		}
		if at.last.Stop != nil && !slices.Contains(r.Stops, at.last.Stop.Text) {
			r.Stops = append(r.Stops, at.last.Stop.Text)
		}
		if at.last.Next != nil {
			for _, c := range at.last.Next.Cautions {
				if !slices.Contains(r.Cautions, c) {
					r.Cautions = append(r.Cautions, c)
				}
			}
		}
		for _, c := range at.last.Cites {
			if !slices.Contains(cites, c) {
				cites = append(cites, c)
			}
		}
	}
	for _, c := range cites {
		r.Cites = append(r.Cites, Cited{ID: c, Title: e.title(c)})
	}
}

// reportTimeline is the history with the era each event falls into.
func (e *Engine) reportTimeline(s *State, r *Report) {
	era := 0
	for _, m := range s.History {
		in := slices.Contains(s.InForce, m.Turn)
		if m.Kind == "era" && in {
			era++
		}
		r.Timeline = append(r.Timeline, Event{Moment: m, Era: era, InForce: in || m.Kind == "undone" || m.Kind == "started-over" || m.Kind == "dropped"})
	}
}

// status says how the case stands, in a word and in a sentence.
func (e *Engine) status(s *State) (string, string) {
	switch {
	case s.Closed == "cured":
		return s.Closed, "Cured, and the cure was seen: " + lowerFirst(e.title(s.Solved)) + "."
	case s.Closed == "on trial" && s.care.trial != nil:
		return s.Closed, "On trial, " + lowerFirst(e.title(s.Solved)) + ": " + sentence(strings.TrimPrefix(s.care.trial.Words, "on trial: "))
	case s.Closed != "":
		return s.Closed, upperFirst(s.Closed) + ": " + lowerFirst(e.title(s.Solved)) + "."
	case s.Proving != "":
		return "proving", "Repaired, not proven yet: " + lowerFirst(e.title(s.Proving)) + "."
	}
	switch {
	case s.care.waiting != "":
		return "waiting", "Waiting for the part to " + e.jobWords(s.care.waiting) + "."
	case s.supposed != nil:
		return "open", "Open, and seen as if: " + s.supposed.What + "."
	}
	return "open", "Open: the cause is not proven."
}

func titleOf(r *Report) string {
	var name []string
	for _, f := range r.Vehicle {
		if nameRank(f.ID) < 9 {
			name = append(name, f.Value)
		}
	}
	what := lowerFirst(r.Complaint.Title)
	switch {
	case len(name) > 0 && what != "":
		return upperFirst(strings.Join(name, " ")) + ": " + what
	case what != "":
		return upperFirst(what)
	case len(name) > 0:
		return upperFirst(strings.Join(name, " "))
	}
	return "A case without a complaint yet"
}

// reportOpen lists what remains.
func (e *Engine) reportOpen(s *State, j *judged, r *Report) {
	for _, p := range s.Pending {
		r.Open = append(r.Open, "Unanswered: "+p.ask)
	}
	if s.Proving != "" {
		c := e.base.Cause(s.Proving)
		r.Open = append(r.Open, "Proof of the cure ("+c.Proof.ShowsAfter+"): "+sentence(c.Proof.Do))
	}
	if id := s.Solved + s.Proving; id != "" {
		for _, w := range e.base.Cause(id).Inspect {
			if h, ok := e.base.Head(w); ok {
				w = lowerFirst(h.Title)
			}
			r.Open = append(r.Open, "Look at this too: "+w+".")
		}
	}
	for _, c := range j.order {
		t := e.base.Causes[c]
		if j.post.Singles[c] < dangerAt || s.Closed == "cured" {
			break
		}
		if t.Severity == "injury" {
			r.Open = append(r.Open, "Not cleared, and can hurt someone: "+lowerFirst(t.Title)+" ("+plain(j.post.Singles[c])+").")
		}
	}
	if s.Closed == "" && s.last != nil && s.last.Next != nil && s.last.Next.Kind != "complaint" && s.Proving == "" && len(s.Pending) == 0 {
		r.Open = append(r.Open, "Next would be: "+sentence(lowerFirst(s.last.Next.Title)))
	}
	if t := s.care.trial; t != nil && s.Closed == "on trial" {
		r.Open = append(r.Open, "The trial: "+sentence(strings.TrimPrefix(t.Words, "on trial: ")))
	}
	for _, a := range s.care.armed {
		r.Open = append(r.Open, "When it shows: "+lowerFirst(a.Title)+".")
	}
	for _, id := range sortedKeys(s.Passed) {
		if f, _ := e.finding(id, ""); f != nil {
			r.Open = append(r.Open, "Not done ("+s.Passed[id]+"): "+lowerFirst(f.Title)+".")
		}
	}
}

package dialog

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"ruleout/dialog/belief"
	"ruleout/dialog/plan"
	"ruleout/kb"
)

// Figures of the order of talk (knowledge section 9) and of danger (section
// 8). Basis: memory, but for the 1 % and the ten minutes, which are fixed.
const (
	lookRoundAfter = 3    // questions in a row
	openAskAfter   = 2    // questions before "what was done just before?"
	dangerAt       = 0.01 // a suspect of severity injury, from here on
	noDrivingAt    = 0.05
	dangerMinutes  = 10.0
	dangerGain     = 3.0 // decibans: at least twice as likely
	appliesFirst   = 0.5 // a check that fewer cars than this allow settles nothing first
	trialMinutes   = 5.0 // trying whether a repair has cured it
	repairBeta     = 0.05
	quickMost      = 7
	askShare       = 0.4 // a question worth this share of the best check goes first
	ownShare       = 0.6 // an article's own question before a condition that follows by itself
	nearFrom       = 0.1 // a suspect this likely brings its system's symptoms in
	riskOfHazard   = 1.0 // in the currency of the articles
	splitShows     = 3   // suspects named for each outcome of a check
	repairsMost    = 256 // room made for the repairs of a turn
)

// riskOfDifficulty is what a harder test counts more. Basis: memory.
var riskOfDifficulty = map[string]float64{"medium": 3, "hard": 10}

// judged is the belief of a turn with what it was made from.
type judged struct {
	model    *belief.Model
	evidence []belief.Evidence
	post     *belief.Posterior
	lead     belief.Hypothesis
	// standings are the circuits of which something was seen, in id order.
	standings []*standing
	order     []int // the causes, likeliest first
	problem   *plan.Problem
	decision  *plan.Decision // nil if it was only laid out
	// checks are what the problem's checks stand for, in the same order.
	checks []candidate
	// repairs are what the problem's repairs stand for, in the same order.
	repairs []*action
	// means are those of the tests told, by finding, joined with "+".
	means map[string]string
}

// candidate is a check that can be proposed.
type candidate struct {
	id      string // the question's, symptom's or test's id
	kind    string // question, test, look-round, look, condition
	finding *kb.Finding
	test    *kb.Test
	table   *belief.Finding // of a derived check; others have theirs by id
	do      *doable         // how it is done, when no article says
}

// asks reports whether the check is only words.
func (c candidate) asks() bool {
	return c.kind == "question" || c.kind == "condition" || c.do != nil && c.do.question
}

// candidates lists the checks the person can do now, in id order.
func (e *Engine) candidates(s *State, j *judged) []candidate {
	post := j.post
	var out []candidate
	mine := map[string]bool{}
	for _, sym := range append([]string{s.Chief}, s.Also...) {
		for _, q := range e.questionsOf[sym] {
			mine[q] = true
		}
	}
	near := e.nearSystems(s, post)
	together := e.asksTogether(s, j)
	// Where articles know better questions, signs of the long tail are not gone
	// through one by one.
	tail := e.base.Causes[j.order[0]].Derived
	speaks := func(f *belief.Finding) bool {
		for i := range f.Rows {
			if post.Singles[f.Rows[i].Cause] > 1e-4 {
				return true
			}
		}
		return false
	}
	open := func(id string) bool {
		_, passed := s.Passed[id]
		return !passed && !s.known(id) && e.findings[id] != nil && speaks(e.findings[id])
	}
	paths := map[string]bool{"": true}
	inPlay := func(path string) bool {
		in, seen := paths[path]
		if !seen {
			in = e.inPlay(s, path)
			paths[path] = in
		}
		return in
	}
	for _, f := range e.authored {
		fits := f.Kind == kb.FindingQuestion && (mine[f.ID] || together && f.ID == e.base.Derived.Together.Question.ID) ||
			f.Kind == kb.FindingSymptom && f.ID != s.Chief && near[f.System] && (tail || !e.derivedSymptom(f.ID))
		// Both ask for things that went together.
		fits = fits && (f.ID != e.base.Derived.Together.Symptom || !s.known(e.base.Derived.Together.Question.ID))
		if fits && open(f.ID) {
			out = append(out, candidate{id: f.ID, kind: "question", finding: f})
		}
	}
	for _, t := range e.base.Tests {
		if _, passed := s.Passed[t.ID]; passed || !inPlay(t.Path) || !e.canDo(s, t) {
			continue
		}
		if len(t.Settles) > 0 {
			n := 0
			for _, id := range t.Settles {
				if open(id) {
					n++
				}
			}
			if n >= 2 {
				out = append(out, candidate{id: t.ID, kind: "look-round", test: t})
			}
			continue
		}
		id := t.ID
		if t.Of != "" {
			id = t.Of
		}
		if open(id) {
			out = append(out, candidate{id: t.ID, kind: "test", finding: e.base.Finding(id), test: t})
		}
	}
	out = append(out, e.vehicleQuestions(s, post)...)
	out = append(out, e.derivedChecks(s, j)...)
	out = append(out, e.circuitCandidates(s, j)...)
	out = append(out, e.moveChecks(s, j)...)
	out = append(out, e.swapChecks(s, j)...)
	out = append(out, e.againChecks(s, j)...)
	out = append(out, e.trialChecks(s)...)
	slices.SortFunc(out, func(a, b candidate) int { return strings.Compare(a.id, b.id) })
	return out
}

// nearSystems keeps the tool from asking about symptoms far from the trouble:
// it names the systems of the complaint and of likely suspects.
func (e *Engine) nearSystems(s *State, post *belief.Posterior) map[string]bool {
	near := map[string]bool{}
	if c := e.base.Symptom(s.Chief); c != nil {
		near[c.System] = true
	}
	for i, c := range e.base.Causes {
		if post.Singles[i] > nearFrom {
			near[c.System] = true
		}
	}
	return near
}

// canDo reports whether the test can be done on this car, with these tools,
// in the state that the car is in, if its path is in play.
func (e *Engine) canDo(s *State, t *kb.Test) bool {
	if t.Difficulty == "shop" || !e.haveAll(s, t.Needs) || e.applies(s, t.Applies) == 0 {
		return false
	}
	if have, told := s.Tools["helper"]; told && !have && t.Helper != nil && t.Helper.Needed && t.Helper.Alone == "" {
		return false
	}
	for _, r := range t.Requires {
		switch r {
		case "engine-running", "engine-warm", "engine-starts":
			if s.told("wont-start", "present") && !s.told("jump-starts", "yes") {
				return false
			}
		}
	}
	return true
}

func (e *Engine) haveAll(s *State, needs []string) bool {
	for _, id := range needs {
		have, told := s.Tools[id]
		if told && !have {
			return false
		}
		if common, ok := e.commonTools[id]; ok && !common && !told && id != "helper" {
			return false
		}
	}
	return true
}

// judge computes the belief, lays out the problem of what to do next and
// chooses.
func (e *Engine) judge(s *State) *judged {
	j := e.layOut(s)
	scratch := e.scratch.Get().(*plan.Scratch)
	defer e.scratch.Put(scratch)
	d := plan.Best(j.problem, scratch)
	j.decision = &d
	return j
}

// layOut is judge without the choice.
func (e *Engine) layOut(s *State) *judged {
	j := &judged{}
	j.evidence, j.standings = e.evidence(s)
	j.means = meansTold(s)
	j.model = e.model(s, j.evidence)
	j.post = belief.Update(j.model, j.evidence)
	for _, st := range j.standings {
		st.believe(j.post)
	}
	j.lead, _ = j.post.Leader()
	j.order = byProbability(j.post)
	j.checks = e.candidates(s, j)
	minute := e.minuteCost(s)
	p := &plan.Problem{Checks: make([]plan.Check, 0, len(j.checks)), Belief: j.post, Shop: e.settings.Shop, Asked: s.Asked, MinuteCost: minute}
	for i, a := range e.base.Lists.Access {
		p.Accesses = append(p.Accesses, plan.Access{ID: a.ID, Cost: a.Minutes * minute, Inside: e.insides[i], Open: s.known("access:" + a.ID)})
	}
	p.Repairs, j.repairs = make([]plan.Repair, 0, repairsMost), make([]*action, 0, repairsMost)
	for _, a := range e.actions {
		if !slices.ContainsFunc(a.causes, func(c int) bool { return j.post.InPlay(c) }) {
			continue
		}
		j.repairs = append(j.repairs, a)
		p.Repairs = append(p.Repairs, plan.Repair{
			ID: a.id, Cures: a.causes, Beta: repairBeta, Access: a.ways,
			Cost:  a.money + (a.minutes+trialMinutes)*minute,
			Tried: s.Tried[a.id] != "" || s.Passed[a.finding] != "" || s.care.waiting == a.id || a.shopOnly,
		})
	}
	for _, c := range j.checks {
		k := plan.Check{ID: c.id, Question: c.asks(), Answer: e.answerable(s, c)}
		if c.do != nil {
			k.Findings, k.Cost = []*belief.Finding{c.table}, e.doableCost(c.do)
		}
		switch c.kind {
		case "look", "condition", "circuit":
			k.Findings = []*belief.Finding{c.table}
		case "question", "test":
			k.Findings = []*belief.Finding{e.tableNow(s, j, c.finding.ID)}
		case "look-round":
			for _, id := range c.test.Settles {
				if e.findings[id] != nil && !s.known(id) && s.Passed[id] == "" {
					k.Findings = append(k.Findings, e.tableNow(s, j, id))
				}
			}
		}
		if c.test != nil {
			k.Cost = (s.Takes(c.test)+e.stateMinutes(c.test.Requires))*minute + risk(c.test)
			k.Access = e.ways(c.test.Access)
		}
		if c.kind == "circuit" {
			k.Cost = e.circuitCost(e.sight(c.id))
		}
		if c.kind == "look" {
			k.Cost = lookMinutes * minute
		}
		p.Checks = append(p.Checks, k)
	}
	j.problem = p
	return j
}

// tableNow is the likelihood table of an authored finding or one about the
// vehicle; of one that a circuit knows, what the circuit predicts now.
func (e *Engine) tableNow(s *State, j *judged, id string) *belief.Finding {
	if _, ok := e.mapped[id]; ok {
		if t := e.circuitTable(s, j, id); t != nil {
			return t
		}
	}
	if v, ok := e.vehicle[id]; ok {
		return v.table
	}
	return e.findings[id]
}

// stateMinutes is what it takes to bring the car into the states required.
func (e *Engine) stateMinutes(ids []string) float64 {
	sum := 0.0
	for _, st := range e.base.Lists.States {
		if slices.Contains(ids, st.ID) {
			sum += st.Minutes
		}
	}
	return sum
}

// propose chooses the one thing to do next.
func (e *Engine) propose(s *State, j *judged) *Next {
	switch {
	case s.Closed == "on trial" && s.care.trial != nil:
		return e.trialNext(s)
	case s.Closed != "":
		return &Next{Kind: "none", ID: "closed", Title: "The case is closed.", Why: "say “still doing it” to take it up again", Quick: []Quick{}}
	case len(s.Pending) > 0:
		return e.askPending(s)
	case s.Proving != "" && s.care.shown:
		return e.sinceThen(s)
	case s.Proving != "":
		return e.proof(s)
	case s.Unwired != "":
		if n := e.wiringNext(s, j); n != nil {
			return n
		}
	}
	if s.Chief == "" && !anyWeighs(s) {
		return complaint()
	}
	if n := e.dangerFirst(s, j); n != nil {
		return n
	}
	if n := e.wantedNext(s, j); n != nil {
		return n
	}
	if n := e.fitNext(s, j); n != nil {
		return n
	}
	if s.care.waiting != "" {
		return e.meanwhile(s, j)
	}
	if s.Open != nil && s.Open.kind == "before" || !s.OpenAsked && s.Asked >= openAskAfter && !e.eventTold(s) {
		return openQuestion()
	}
	if n := e.workedNext(s, j); n != nil {
		return n
	}
	if i := e.realFirst(s, j); i >= 0 {
		return e.checkNext(s, j, i)
	}
	if i := e.togetherFirst(s, j); i >= 0 {
		return e.checkNext(s, j, i)
	}
	d := j.decision
	if d.Kind == plan.KindCheck {
		if i := e.askFirst(s, j); i >= 0 {
			return e.checkNext(s, j, i)
		}
		c := j.checks[d.Index]
		if c.asks() && s.Asked >= lookRoundAfter {
			if i := e.bestLookRound(j); i >= 0 {
				return e.checkNext(s, j, i)
			}
		}
		return e.checkNext(s, j, e.ownFirst(j, d.Index, d.Worth))
	}
	// What only the shop can mend, or nothing pays: but while a check is left
	// that tells anything, looking further beats giving up.
	if d.Kind == plan.KindRepair {
		return e.repairNext(s, j, d.Index)
	}
	if i := e.bestCheck(j); i >= 0 {
		return e.checkNext(s, j, i)
	}
	return e.handOver(s, j)
}

func anyWeighs(s *State) bool {
	for i := range s.Notes {
		if s.Notes[i].Weighs && !s.Notes[i].struck {
			return true
		}
	}
	return false
}

func (e *Engine) eventTold(s *State) bool {
	for i := range s.Notes {
		if !s.Notes[i].struck && strings.HasPrefix(s.Notes[i].Finding, "event:") {
			return true
		}
	}
	return false
}

// askFirst is the order of talk: before a tool is fetched, a question is put
// that tells nearly as much, the earlier in the order the better. It returns
// -1 when none does, or when enough was asked in a row.
func (e *Engine) askFirst(s *State, j *judged) int {
	if s.Asked >= lookRoundAfter || j.checks[j.decision.Index].asks() {
		return -1
	}
	scratch := e.scratch.Get().(*plan.Scratch)
	defer e.scratch.Put(scratch)
	best, worth := plan.MostWorth(j.problem, scratch, j.decision, askShare*j.decision.Worth, func(i int) bool { return j.checks[i].asks() })
	return e.ownFirst(j, best, worth)
}

// ownFirst is the question of an article that tells nearly as much as the
// condition that was chosen, which nobody wrote for this trouble; the choice
// itself if there is none or it is no condition.
func (e *Engine) ownFirst(j *judged, chosen int, worth float64) int {
	if chosen < 0 || j.checks[chosen].kind != "condition" {
		return chosen
	}
	scratch := e.scratch.Get().(*plan.Scratch)
	defer e.scratch.Put(scratch)
	own, _ := plan.MostWorth(j.problem, scratch, j.decision, ownShare*worth, func(i int) bool {
		c := j.checks[i]
		return c.kind == "question" && c.finding.Kind == kb.FindingQuestion
	})
	if own < 0 {
		return chosen
	}
	return own
}

// risk is what a test counts beyond its minutes: every way to be hurt, and
// how hard it is to do right.
func risk(t *kb.Test) float64 {
	return riskOfHazard*float64(len(t.Hazards)) + riskOfDifficulty[t.Difficulty]
}

// bestLookRound is the look-round of greatest worth among those considered.
func (e *Engine) bestLookRound(j *judged) int {
	scratch := e.scratch.Get().(*plan.Scratch)
	defer e.scratch.Put(scratch)
	best, _ := plan.MostWorth(j.problem, scratch, j.decision, 0, func(i int) bool { return j.checks[i].kind == "look-round" })
	return best
}

// bestCheck is the check of greatest positive worth.
func (e *Engine) bestCheck(j *judged) int {
	for _, c := range j.decision.Candidates {
		if c.Kind == plan.KindCheck && c.Worth > 0 {
			return c.Index
		}
	}
	return -1
}

// dangerFirst puts a check before all others that settles a suspect who can
// injure, if it takes at most ten minutes.
func (e *Engine) dangerFirst(s *State, j *judged) *Next {
	for _, c := range j.order {
		if j.post.Singles[c] < dangerAt {
			return nil
		}
		if e.base.Causes[c].Severity != "injury" {
			continue
		}
		best, gain := -1, dangerGain
		for i, k := range j.checks {
			minutes := 0.0
			if k.test != nil {
				minutes = s.Takes(k.test) + e.stateMinutes(k.test.Requires)
			}
			if minutes > dangerMinutes || k.test != nil && e.applies(s, k.test.Applies) < appliesFirst || k.kind == "look-round" || k.do != nil || e.derivedSymptom(k.id) || elsewhere(k, e.base.Causes[c]) {
				continue
			}
			if g := telling(j.problem.Checks[i].Findings[0], c); g > gain {
				best, gain = i, g
			}
		}
		if i := e.realFirst(s, j); best >= 0 && i >= 0 && telling(j.problem.Checks[i].Findings[0], c) >= dangerGain {
			best = i // the sign that settles the lamp as well
		}
		if best >= 0 {
			n := e.checkNext(s, j, best)
			n.Why = "it settles whether it is " + lowerFirst(e.base.Causes[c].Title) + ", which can hurt someone; that comes before everything else"
			return n
		}
	}
	return nil
}

// derivedSymptom reports whether the id is a symptom without an article.
func (e *Engine) derivedSymptom(id string) bool {
	s := e.base.Symptom(id)
	return s != nil && s.Derived
}

// telling is how sharply a finding speaks of a cause: decibans between the
// outcome that it makes likeliest against the baseline.
func telling(f *belief.Finding, cause int) float64 {
	for _, r := range f.Rows {
		if r.Cause != cause {
			continue
		}
		best := 0.0
		for o, p := range r.P {
			if f.Base[o] > 0 {
				best = max(best, decibans(p/f.Base[o]))
			}
		}
		return best
	}
	return 0
}

func byProbability(p *belief.Posterior) []int {
	// Most causes have nothing and stay at the end as they are.
	type rounded struct {
		cause int
		p     float64
	}
	var some []rounded
	order := make([]int, len(p.Singles))
	last := len(order)
	for c := len(order) - 1; c >= 0; c-- {
		if x := round9(p.Singles[c]); x > 0 {
			some = append(some, rounded{c, x})
		} else {
			last--
			order[last] = c
		}
	}
	slices.SortFunc(some, func(a, b rounded) int {
		return cmp.Or(cmp.Compare(b.p, a.p), a.cause-b.cause)
	})
	for i, x := range some {
		order[i] = x.cause
	}
	return order
}

// likeliest returns the n likeliest causes, in the order of byProbability.
func likeliest(p *belief.Posterior, n int) []int {
	var out []int
	for c, x := range p.Singles {
		at := len(out)
		for at > 0 && round9(p.Singles[out[at-1]]) < round9(x) {
			at--
		}
		if at < n {
			out = slices.Insert(out[:min(len(out), n-1)], at, c)
		}
	}
	return out
}

func complaint() *Next {
	return &Next{Kind: "complaint", ID: "complaint", Title: "What does it do that it should not, or not do that it should, and when?",
		Why: "say it as you would to a friend: what you see, hear or feel, and when it happens", Quick: []Quick{}}
}

func openQuestion() *Next {
	return &Next{Kind: "question", ID: "before", Title: "Was anything done, fitted or changed, or did anything odd happen, in the days before it began?",
		Why:   "what happened just before often holds the key, even if it seems unrelated",
		Quick: []Quick{{Text: "nothing that I know of", Tap: Tap{Request: "skip"}}, {Text: "don't know", Tap: Tap{Request: "skip"}}}}
}

func (e *Engine) askPending(s *State) *Next {
	p := s.Pending[0]
	n := &Next{Kind: "context", ID: p.kind, Title: p.ask, Why: "so that I don't take it wrongly"}
	if p.kind == "which" || p.kind == "circuit" || p.kind == "point" {
		n.Kind = "which"
	}
	for i, c := range p.choices {
		n.Quick = append(n.Quick, Quick{Text: c.text, Tap: Tap{Choice: i + 1}})
	}
	return n
}

// checkNext words one check.
func (e *Engine) checkNext(s *State, j *judged, i int) *Next {
	c := j.checks[i]
	n := &Next{Kind: c.kind, ID: c.id}
	k := j.problem.Checks[i]
	if len(k.Findings) == 1 {
		n.Splits = e.splits(j, i)
	}
	if d := j.decision; d != nil {
		for _, cand := range d.Candidates {
			if cand.Kind == plan.KindCheck && cand.Index == i {
				n.Saves = round3(max(0, d.V-cand.Total) / e.minuteCost(s))
			}
		}
	}
	if c.do != nil {
		return e.doableNext(c, n)
	}
	if c.kind == "look" || c.kind == "condition" {
		return e.derivedNext(s, c, n)
	}
	if c.kind == "circuit" {
		return e.circuitNext(s, j, e.sight(c.id), n)
	}
	if c.finding != nil {
		n.Quick = quickAnswers(c.finding)
	}
	if c.kind == "question" {
		n.Title, n.Why, n.Article = c.finding.Ask, c.finding.Why, c.finding.Article
		if c.finding.Kind == kb.FindingSymptom {
			n.Title = symptomAsked(c.finding)
			n.Quick = []Quick{{Text: "yes", Tap: Tap{Finding: c.id, Outcome: "present"}}, {Text: "no", Tap: Tap{Finding: c.id, Outcome: "absent"}}}
		}
		if n.Why == "" {
			n.Why = e.splitWords(n)
		}
		if g := e.base.RealSignOf(s.Chief, c.id); g != nil {
			n.Minutes, n.Cautions = g.Minutes, e.cautions(g.Hazards, nil, nil)
			if g.Question != nil {
				n.Article = s.Chief // it may be asked of several
			}
		}
		if c.id == e.base.Derived.Together.Question.ID {
			n.Why += e.sharersWords(j)
		}
		n.Quick = append(n.Quick, Quick{Text: "don't know", Tap: Tap{Finding: c.finding.ID, Outcome: "unknown"}})
		return n
	}
	t := c.test
	n.Title, n.Article, n.Minutes = t.Title, articleOf(t), s.Takes(t)+e.stateMinutes(t.Requires)
	n.Needs = e.toolTitles(t.Needs)
	n.Cautions = e.cautions(t.Hazards, t.Access, t.Cautions)
	n.Steps = append(append([]string(nil), e.stateSteps(t.Requires)...), t.Steps...)
	n.Requires = e.stateTitles(t.Requires)
	n.Access = e.accessTitles(t.Access)
	for _, a := range e.base.Lists.Access {
		if slices.Contains(t.Access, a.ID) {
			n.Minutes += a.Minutes
		}
	}
	if t.Helper != nil {
		n.Alone = t.Helper.Alone
	}
	if r := t.Reading; r != nil {
		n.Reading = &ReadingAsked{Quantity: r.Quantity, Unit: r.Unit, Meter: r.Meter, Terminals: r.Terminals, Expect: r.Expect, Possible: r.Possible, Basis: string(r.Basis)}
	}
	if c.kind == "look-round" {
		for _, id := range t.Settles {
			f := e.base.Finding(id)
			if f == nil || s.known(id) {
				continue
			}
			ask := f.Ask
			if f.Kind == kb.FindingSymptom {
				ask = f.Title + "?"
			}
			n.Ticks = append(n.Ticks, Tick{Finding: id, Ask: ask, Quick: quickAnswers(f)})
		}
		n.Why = fmt.Sprintf("one look settles %d things at once", len(n.Ticks))
		n.Quick = []Quick{}
	} else {
		n.Why = e.splitWords(n)
	}
	n.Quick = append(n.Quick, Quick{Text: "can't do that", Tap: Tap{Request: "cannot"}})
	if c.kind == "test" && passing(t) && s.comesAndGoesTold() {
		n.Quick = append(n.Quick, Quick{Text: "not doing it now: arm it", Tap: Tap{Request: "arm", About: t.ID}})
	}
	return n
}

// quickAnswers offers the outcomes of a finding to tap.
func quickAnswers(f *kb.Finding) []Quick {
	var out []Quick
	for _, o := range f.Outcomes {
		if len(out) == quickMost {
			break
		}
		out = append(out, Quick{Text: o.Title, Tap: Tap{Finding: f.ID, Outcome: o.ID}})
	}
	return out
}

// splits tells what each outcome would leave of the suspects: the belief with
// that outcome known.
func (e *Engine) splits(j *judged, i int) []Split {
	t := j.problem.Checks[i].Findings[0]
	f, _ := e.finding(t.ID, "")
	if f == nil {
		return nil
	}
	var out []Split
	expected := j.post.Predict(t)
	for o := range f.Outcomes {
		sp := Split{Outcome: spoken(f, o), Probability: round3(expected[o])}
		after := e.afterwards(j, i, o)
		for _, c := range likeliest(after, splitShows) {
			sp.Leaves = append(sp.Leaves, SystemShare{System: e.base.Causes[c].Title, Probability: round3(after.Singles[c])})
		}
		out = append(out, sp)
	}
	return out
}

// afterwards is the belief with an outcome of a check known.
func (e *Engine) afterwards(j *judged, check, outcome int) *belief.Posterior {
	t := j.problem.Checks[check].Findings[0]
	lambda := make([]float64, len(t.Base))
	lambda[outcome] = 1
	return j.post.Given(j.evidence, belief.Evidence{Finding: t, Lambda: lambda})
}

// spoken is an outcome as the answer to a question: a symptom is there or not.
func spoken(f *kb.Finding, o int) string {
	if f.Kind == kb.FindingSymptom {
		return map[string]string{"present": "yes", "absent": "no"}[f.Outcomes[o].ID]
	}
	return f.Outcomes[o].Title
}

// splitWords says in half a sentence what the check divides.
func (e *Engine) splitWords(n *Next) string {
	type side struct {
		outcome, cause string
		p              float64
	}
	var sides []side
	for _, sp := range n.Splits {
		if sp.Probability < 0.02 || len(sp.Leaves) == 0 {
			continue
		}
		sides = append(sides, side{sp.Outcome, sp.Leaves[0].System, sp.Leaves[0].Probability})
	}
	switch {
	case len(sides) >= 2 && sides[0].cause != sides[1].cause:
		return fmt.Sprintf("“%s” would point to %s, “%s” to %s", lowerFirst(sides[0].outcome), lowerFirst(sides[0].cause), lowerFirst(sides[1].outcome), lowerFirst(sides[1].cause))
	case len(sides) >= 2:
		best := sides[0]
		if sides[1].p > best.p {
			best = sides[1]
		}
		return fmt.Sprintf("“%s” would make %s %s", lowerFirst(best.outcome), lowerFirst(best.cause), likelier(best.p))
	}
	return "it splits the suspects best for the least work"
}

func likelier(p float64) string { return plain(p) }

// repairNext words a repair to try.
func (e *Engine) repairNext(s *State, j *judged, i int) *Next {
	a := j.repairs[i]
	c := a.lead
	p := 0.0
	lead := -1
	for _, k := range a.causes {
		p += j.post.Singles[k]
		if lead < 0 || j.post.Singles[k] > j.post.Singles[lead] {
			lead = k
		}
	}
	if lead >= 0 {
		c = e.base.Causes[lead]
	}
	n := &Next{Kind: "repair", ID: a.id, Title: c.Repair.Do, Article: c.ID, Minutes: c.Repair.Minutes,
		Why: fmt.Sprintf("%s it is this: %s, and no check left would save more than it costs", plain(p), lowerFirst(c.Title)),
	}
	n.Needs = e.toolTitles(c.Repair.Needs)
	n.Access = e.accessTitles(c.Repair.Access)
	for _, acc := range e.base.Lists.Access {
		if slices.Contains(c.Repair.Access, acc.ID) {
			n.Minutes += acc.Minutes
		}
	}
	n.Cautions = e.cautions(c.Repair.Hazards, c.Repair.Access, c.Repair.Cautions)
	n.Steps = c.Repair.Steps
	id := "repair:" + a.id
	n.Quick = []Quick{
		{Text: "done, it's cured", Tap: Tap{Finding: id, Outcome: "cured"}},
		{Text: "done, no change", Tap: Tap{Finding: id, Outcome: "same"}},
		{Text: "done, better but not gone", Tap: Tap{Finding: id, Outcome: "better"}},
		{Text: "can't do that", Tap: Tap{Request: "cannot"}},
		{Text: "waiting for the part", Tap: Tap{Request: "waiting", About: c.ID}},
	}
	return n
}

// handOver is the way out: what to tell a shop.
func (e *Engine) handOver(s *State, j *judged) *Next {
	n := &Next{Kind: "hand-over", ID: "hand-over", Title: "Hand it over to a shop with these notes",
		Why:   "nothing that can be checked or tried at home is worth its cost now",
		Quick: []Quick{{Text: "notes for the shop", Tap: Tap{Request: "report"}}, {Text: "what did you note?", Tap: Tap{Request: "noted"}}, {Text: "what else could it be?", Tap: Tap{Request: "what-else"}}}}
	return n
}

// proof asks for the proof of the cure.
func (e *Engine) proof(s *State) *Next {
	c := e.base.Cause(s.Proving)
	n := &Next{Kind: "proof", ID: c.ID, Title: c.Proof.Do, Article: c.ID, Why: "a cure is only one when it has been seen; it shows " + showsWhen(c)}
	if t := e.base.Test(c.Proof.Test); t != nil {
		n.Minutes, n.Steps, n.Cautions = t.Minutes, t.Steps, e.cautions(t.Hazards, t.Access, t.Cautions)
	}
	n.Quick = []Quick{
		{Text: passedWords(c), Tap: Tap{Request: "proven", About: c.ID}},
		{Text: "still doing it", Tap: Tap{Request: "still", About: c.ID}},
	}
	if c.Proof.ShowsAfter != "at once" {
		n.Quick = append(n.Quick, Quick{Text: "too early to tell", Tap: Tap{Request: "too-early"}})
	}
	n.Quick = append(n.Quick, Quick{Text: "close it without proof", Tap: Tap{Request: "unproven"}})
	return n
}

// cautions gathers what must be said before the first step, each once.
func (e *Engine) cautions(hazards, access, own []string) []string {
	want := append([]string(nil), hazards...)
	var extra []string
	for _, a := range e.base.Lists.Access {
		if slices.Contains(access, a.ID) {
			want = append(want, a.Hazards...)
			extra = append(extra, a.Cautions...)
		}
	}
	out := append([]string(nil), own...)
	for _, h := range e.base.Lists.Hazards {
		if slices.Contains(want, h.ID) {
			out = append(out, h.Caution)
		}
	}
	return append(out, extra...)
}

func (e *Engine) toolTitles(ids []string) []string {
	var out []string
	for _, t := range e.base.Lists.Tools {
		if slices.Contains(ids, t.ID) {
			out = append(out, t.Title)
		}
	}
	return out
}

func (e *Engine) accessTitles(ids []string) []string {
	var out []string
	for _, a := range e.base.Lists.Access {
		if slices.Contains(ids, a.ID) {
			out = append(out, a.Title)
		}
	}
	return out
}

func (e *Engine) stateTitles(ids []string) []string {
	var out []string
	for _, st := range e.base.Lists.States {
		if slices.Contains(ids, st.ID) {
			out = append(out, st.Title)
		}
	}
	return out
}

// stateSteps are the first steps: bringing the car into the states required.
func (e *Engine) stateSteps(ids []string) []string {
	var out []string
	for _, st := range e.base.Lists.States {
		if slices.Contains(ids, st.ID) {
			out = append(out, upperFirst(st.Title)+": "+lowerFirst(st.Do))
		}
	}
	return out
}

// symptomAsked is the question for a symptom.
func symptomAsked(f *kb.Finding) string {
	return "Is this there too: " + lowerFirst(f.Title) + "?"
}

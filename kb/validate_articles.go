package kb

import (
	"math"
	"strings"
)

// MinSaid is how many ways of saying it a symptom needs: owners' words vary,
// and a trouble known by few words is not recognised.
const MinSaid = 12

// SumTolerance is how far authored bases may be from one, to allow for
// rounded figures; within it they are normalised.
const SumTolerance = 0.011

var (
	severities    = []string{"injury", "damage", "nuisance"}
	difficulties  = []string{"easy", "medium", "hard", "shop"}
	relations     = []string{"only", "worse", "same", "better", "never"}
	places        = []string{"part", "connector", "lead"}
	orders        = []string{"safe", "what", "since", "when", "odd", "tried", "look"}
	knownBy       = []string{"felt", "seen", "heard", "smelled", "gauge", "lamp", "code", "meter", "inspection", "works"}
	comes         = []string{"constant", "daily", "rare"}
	quantities    = []string{"voltage", "resistance", "current", "temperature", "pressure", "speed", "time", "length", "charge", "count"}
	afterAll      = []string{"at once", "next warm-up", "next cold start", "next rain", "next frost", "after standing overnight", "after a week"}
	firstModelled = 1900
	lastModelled  = 2100
)

func (c *checker) checkSymptom(e *entry, a *Symptom) {
	c.head(e, a.Title, a.System, a.Body)
	c.oneOf(e, p("known_by"), a.KnownBy, knownBy...)
	c.said(e, p("said"), a.Said)
	if len(a.Said) < MinSaid {
		c.flaw(e, p("said"), "", "only %d ways of saying it; at least %d are needed", len(a.Said), MinSaid)
	}
	c.pairs(e, p("of"), a.Of)
	if a.Base != "" {
		c.likelihood(e, p("base"), a.Base)
		if len(a.Of) > 0 {
			c.warn(e, p("base"), "leave it out", "a symptom that only says other findings has no base of its own")
		}
	}
	if d := a.Danger; d != nil {
		c.oneOf(e, p("danger", "severity"), d.Severity, severities...)
		c.text(e, p("danger", "stop"), d.Stop)
		c.pairs(e, p("danger", "when"), d.When)
	}
	for i := range a.Questions {
		c.checkQuestion(e, p("questions", i), &a.Questions[i])
	}
	for i, id := range a.Asks {
		c.cut(e, p("asks", i), func() bool {
			f := c.finding(e, p("asks", i), id)
			if f != nil && f.Kind != FindingQuestion {
				c.fail(e, p("asks", i), "", "%q is not a question", id)
			}
			return f != nil && f.Kind == FindingQuestion
		})
	}
	for i, id := range a.LooksLike {
		c.cut(e, p("looks_like", i), func() bool { return c.ref(e, p("looks_like", i), string(KindSymptom), id) })
	}
	if len(a.Of) == 0 && !c.looks[a.ID] {
		c.warn(e, p("id"), "", "no cause shows symptom %q", a.ID)
	}
}

func (c *checker) checkQuestion(e *entry, path []any, q *Question) {
	c.checkID(e, under(path, "id"), q.ID)
	c.text(e, under(path, "ask"), q.Ask)
	c.text(e, under(path, "why"), q.Why)
	c.oneOf(e, under(path, "order"), q.Order, orders...)
	c.checkOutcomes(e, under(path, "outcomes"), q.Outcomes, q.Axis)
	if q.Axis != "" {
		c.ref(e, under(path, "axis"), "axes", q.Axis)
	}
	if f := c.base.findings[q.ID]; f != nil {
		c.checkBecause(e, under(path, "because"), f, q.Because)
		if !c.looks[q.ID] {
			c.warn(e, under(path, "id"), "", "no cause speaks of question %q: its answer tells nothing", q.ID)
		}
	}
}

// said reports empty and repeated ways of saying something.
func (c *checker) said(e *entry, path []any, said []string) {
	seen := map[string]bool{}
	for i, s := range said {
		k := strings.ToLower(strings.Join(strings.Fields(s), " "))
		switch {
		case k == "":
			c.fail(e, under(path, i), "", "an empty way of saying it")
		case seen[k]:
			c.warn(e, under(path, i), "", "%q is said twice", s)
		}
		seen[k] = true
	}
}

// checkOutcomes checks the outcomes of a question or test; axis is the
// question's, for the condition statements.
func (c *checker) checkOutcomes(e *entry, path []any, outcomes []Outcome, axis string) {
	if len(outcomes) < 2 {
		c.fail(e, path, "", "a finding needs at least two outcomes")
	}
	sum, valid := 0.0, true
	seen := map[string]bool{}
	words := map[string]string{}
	for i, o := range outcomes {
		c.checkID(e, under(path, i, "id"), o.ID)
		if seen[o.ID] {
			c.fail(e, under(path, i, "id"), "", "outcome %q is given twice", o.ID)
		}
		seen[o.ID] = true
		c.text(e, under(path, i, "title"), o.Title)
		c.said(e, under(path, i, "said"), o.Said)
		for j, s := range o.Said {
			k := strings.ToLower(strings.Join(strings.Fields(s), " "))
			if other, ok := words[k]; ok && other != o.ID {
				c.warn(e, under(path, i, "said", j), "", "%q is also said for outcome %q", s, other)
			}
			words[k] = o.ID
		}
		if o.Base == "" {
			c.fail(e, under(path, i), "", "outcome %q has no base", o.ID)
			valid = false
		} else if v, ok := c.likelihood(e, under(path, i, "base"), o.Base); ok {
			sum += v
		} else {
			valid = false
		}
		for j, st := range o.Is {
			c.condition(e, under(path, i, "is", j), axis, st)
		}
	}
	if valid && len(outcomes) > 0 && math.Abs(sum-1) > SumTolerance {
		c.fail(e, path, "", "the bases sum to %.3g, not 1", sum)
	}
}

// condition checks a statement "value relation" on an axis.
func (c *checker) condition(e *entry, path []any, axis, statement string) {
	value, relation, ok := strings.Cut(statement, " ")
	if !ok {
		c.fail(e, path, `write "value relation", for example "stopped only"`, "%q is not a condition statement", statement)
		return
	}
	if axis == "" {
		c.fail(e, path, "add axis: to the question", "a condition statement without an axis")
		return
	}
	c.axisValue(e, path, path, axis, value)
	if !contains(relations, relation) {
		c.fail(e, path, orElse(didYouMean(relation, relations), "use "+strings.Join(relations, ", ")), "there is no relation %q", relation)
	}
}

// axisValue checks an axis and one of its values.
func (c *checker) axisValue(e *entry, axisPath, valuePath []any, axis, value string) {
	a := c.axes[axis]
	if a == nil {
		c.ref(e, axisPath, "axes", axis)
		return
	}
	var ids []string
	for _, v := range a.Values {
		if v.ID == value {
			return
		}
		ids = append(ids, v.ID)
	}
	c.fail(e, valuePath, orElse(didYouMean(value, ids), "it has "+strings.Join(ids, ", ")), "axis %q has no value %q", axis, value)
}

func contains(ss []string, s string) bool {
	for _, x := range ss {
		if x == s {
			return true
		}
	}
	return false
}

func orElse(s, other string) string {
	if s != "" {
		return s
	}
	return other
}

// checkBecause checks the dependence of a finding on another.
func (c *checker) checkBecause(e *entry, path []any, f *Finding, w *Because) {
	if w == nil {
		return
	}
	parent := c.finding(e, under(path, "finding"), w.Finding)
	if parent == nil {
		return
	}
	for _, o := range sortedKeys(w.Given) {
		if c.outcome(e, under(path, "given", o), parent, o) {
			c.row(e, under(path, "given", o), f, w.Given[o])
		}
	}
	for _, o := range parent.Outcomes {
		if _, ok := w.Given[o.ID]; !ok {
			c.fail(e, under(path, "given"), "", "nothing is given for outcome %q of %q", o.ID, parent.ID)
		}
	}
}

// row checks a distribution over the outcomes of a finding as an author says
// it, and reports likelihoods meant against a cause that would speak for it.
func (c *checker) row(e *entry, path []any, f *Finding, said map[string]Likelihood) {
	if len(said) == 0 {
		c.fail(e, path, "", "no outcome of %q is given", f.ID)
		return
	}
	sum, valid := 0.0, true
	for _, o := range sortedKeys(said) {
		if !c.outcome(e, under(path, o), f, o) {
			valid = false
			continue
		}
		v, ok := c.likelihood(e, under(path, o), said[o])
		if !ok {
			valid = false
			continue
		}
		base := f.Base[f.OutcomeIndex(o)]
		if said[o].IsWord() && v < AgainstBelow {
			if v > base {
				// Scored as the baseline: it says nothing.
				c.warn(e, under(path, o), "give a number if more is meant, or leave it out",
					"%q (%g) is meant against the cause but exceeds the baseline %.3g of %s:%s", said[o], v, base, f.ID, o)
			}
			v = min(v, base)
		}
		sum += v
	}
	if !valid {
		return
	}
	switch full := len(said) == len(f.Outcomes); {
	case full && math.Abs(sum-1) > 0.1, !full && sum > 1.1:
		c.fail(e, path, "leave out what is to take the rest", "the outcomes of %q sum to %.3g, which can't be", f.ID, sum)
	case full && math.Abs(sum-1) > 0.05, !full && sum > 1.05:
		c.warn(e, path, "leave out what is to take the rest", "the outcomes of %q sum to %.3g and are scaled to 1", f.ID, sum)
	}
}

func (c *checker) checkCause(e *entry, a *Cause) {
	c.head(e, a.Title, a.System, a.Body)
	partOK := c.ref(e, p("part"), "parts", a.Part)
	for i, m := range a.Covers {
		if part := c.base.Part(a.Part); c.ref(e, p("covers", i), "modes", m) && part != nil && part.Modes[m] == 0 {
			c.warn(e, p("covers", i), "it has "+strings.Join(sortedKeys(part.Modes), ", "), "part %q does not list the failure mode %q", a.Part, m)
		}
	}
	for i, m := range a.Covers {
		if contains(telltale, m) {
			c.fail(e, p("covers", i), "leave it out", "mode %q keeps a page of its own: a look or work on the part tells it", m)
		}
	}
	modeOK := c.ref(e, p("mode"), "modes", a.Mode)
	if part := c.base.parts[a.Part]; partOK && modeOK && len(part.Modes) > 0 {
		if _, ok := part.Modes[a.Mode]; !ok {
			c.warn(e, p("mode"), "it has "+strings.Join(sortedKeys(part.Modes), ", "), "part %q does not list the failure mode %q", a.Part, a.Mode)
		}
	}
	if a.Place != "" {
		c.oneOf(e, p("place"), a.Place, places...)
	}
	if a.Frequency.PerThousand <= 0 || a.Frequency.PerThousand > 1000 {
		c.fail(e, p("frequency", "per_thousand"), "", "the frequency per thousand cars must be above 0 and at most 1000")
	}
	c.basis(e, p("frequency", "basis"), a.Frequency.Basis)
	c.checkApplies(e, p("applies"), &a.Applies)
	c.checkShows(e, a)
	for i, w := range a.When {
		at := p("when", i)
		if w.Symptom != "" {
			c.ref(e, under(at, "symptom"), string(KindSymptom), w.Symptom)
		}
		c.axisValue(e, under(at, "axis"), under(at, "value"), w.Axis, w.Value)
		c.oneOf(e, under(at, "relation"), w.Relation, relations...)
		c.likelihood(e, under(at, "how"), w.How)
	}
	for _, id := range sortedKeys(a.Events) {
		c.ref(e, p("events", id), "events", id)
		c.likelihood(e, p("events", id), a.Events[id])
	}
	for i, id := range a.Blocks {
		c.cut(e, p("blocks", i), func() bool {
			if _, ok := a.Shows[id]; !ok {
				c.fail(e, p("blocks", i), "", "%q is blocked but the cause does not show it", id)
				return false
			}
			return c.finding(e, p("blocks", i), id) != nil
		})
	}
	if a.Comes != "" {
		c.oneOf(e, p("comes"), a.Comes, comes...)
	}
	c.oneOf(e, p("severity"), a.Severity, severities...)
	c.text(e, p("driving"), a.Driving)
	for _, id := range sortedKeys(a.LeadsTo) {
		if c.cut(e, p("leads_to", id), func() bool { return c.ref(e, p("leads_to", id), string(KindCause), id) }) && id == a.ID {
			c.fail(e, p("leads_to", id), "", "a cause can't lead to itself")
		}
		if v := a.LeadsTo[id]; v <= 0 || v >= 1 {
			c.fail(e, p("leads_to", id), "", "%g is not a share between 0 and 1", v)
		}
	}
	c.refs(e, p("killed_by"), string(KindCause), a.KilledBy)
	c.refs(e, p("with"), string(KindCause), a.With)
	if f := a.Circuit; f != nil {
		c.text(e, p("circuit", "circuit"), f.Circuit)
		c.text(e, p("circuit", "element"), f.Element)
		c.text(e, p("circuit", "fault"), f.Fault)
		c.checkCircuitFault(e, a.ID, f)
	}
	c.checkRepair(e, &a.Repair)
	if g := a.Stopgap; g != nil {
		c.text(e, p("stopgap", "do"), g.Do)
		c.text(e, p("stopgap", "limits"), g.Limits)
		c.text(e, p("stopgap", "until"), g.Until)
		c.refs(e, p("stopgap", "hazards"), "hazards", g.Hazards)
		c.unsaidHazards(e, p("stopgap", "do"), g.Do, nil, g.Hazards, g.Cautions, nil)
		if contains([]string{"brakes", "steering", "wheels"}, a.System) {
			c.fail(e, p("stopgap"), "leave it out", "no stopgap is offered on brakes, steering or tyres")
		}
		if a.System == "fuel" && strings.HasPrefix(a.Mode, "leak") {
			c.fail(e, p("stopgap"), "leave it out", "no stopgap is offered on a fuel leak")
		}
		c.checkDraw(e, p("stopgap", "draws"), g.Draws)
		c.checkSpread(e, p("stopgap", "extra_fuel"), g.ExtraFuel)
		if g.Pressure != nil && !(*g.Pressure > 0 && *g.Pressure <= 300) {
			c.fail(e, p("stopgap", "pressure"), "", "%g kPa is no cap's pressure", *g.Pressure)
		}
	}
	c.checkDraw(e, p("draws"), a.Draws)
	c.checkProof(e, &a.Proof)
}

// checkShows checks the rows and that the cause can be reached at all.
func (c *checker) checkShows(e *entry, a *Cause) {
	reached, dangling := false, false
	for _, id := range sortedKeys(a.Shows) {
		f := c.base.findings[id]
		if !c.cut(e, p("shows", id), func() bool { return c.finding(e, p("shows", id), id) != nil }) {
			dangling = true
			continue
		}
		c.row(e, p("shows", id), f, a.Shows[id])
		if f.Kind == FindingSymptom {
			v, _ := c.base.Likelihood(a, f)
			reached = reached || len(v) > 0 && v[0] > f.Base[0]
		}
		// A question stands for a symptom where a symptom is a way of saying it.
		reached = reached || c.saidBySymptom(f, a)
	}
	if !reached && !dangling {
		c.flaw(e, p("shows"), "show at least one symptom as present", "no complaint leads to cause %q", a.ID)
	}
}

// saidBySymptom reports whether some symptom's "of" says an outcome of the
// finding that the cause makes likelier.
func (c *checker) saidBySymptom(f *Finding, a *Cause) bool {
	row, ok := c.base.Likelihood(a, f)
	if !ok {
		return false
	}
	for _, s := range c.base.Symptoms {
		if i := f.OutcomeIndex(s.Of[f.ID]); i >= 0 && row[i] > f.Base[i] {
			return true
		}
	}
	return false
}

func (c *checker) checkApplies(e *entry, path []any, a *Applies) {
	for _, id := range sortedKeys(a.Vehicle) {
		attr := c.attrs[id]
		if attr == nil {
			c.ref(e, under(path, "vehicle", id), "vehicle", id)
			continue
		}
		if len(a.Vehicle[id]) == 0 {
			c.fail(e, under(path, "vehicle", id), "", "no value of %q is given", id)
		}
		var ids []string
		for _, v := range attr.Values {
			ids = append(ids, v.ID)
		}
		for i, v := range a.Vehicle[id] {
			if !contains(ids, v) {
				c.fail(e, under(path, "vehicle", id, i), orElse(didYouMean(v, ids), "it has "+strings.Join(ids, ", ")), "vehicle attribute %q has no value %q", id, v)
			}
		}
	}
	if y := a.Years; len(y) > 0 {
		if len(y) != 2 || y[0] > y[1] || y[0] < firstModelled || y[1] > lastModelled {
			c.fail(e, under(path, "years"), "", "years must be the first and the last model year")
		}
	}
}

func (c *checker) checkRepair(e *entry, r *Repair) {
	at := p("repair")
	if r.Action != "" {
		c.checkID(e, under(at, "action"), r.Action)
	}
	c.text(e, under(at, "do"), r.Do)
	if r.Minutes <= 0 {
		c.fail(e, under(at, "minutes"), "", "a repair takes some minutes")
	}
	c.notNegative(e, under(at, "money", "low"), r.Money.Low)
	if r.Money.Low > r.Money.High {
		c.fail(e, under(at, "money"), "", "the money range runs from %g down to %g", r.Money.Low, r.Money.High)
	}
	c.basis(e, under(at, "money", "basis"), r.Money.Basis)
	c.oneOf(e, under(at, "difficulty"), r.Difficulty, difficulties...)
	c.refs(e, under(at, "access"), "access", r.Access)
	c.refs(e, under(at, "needs"), "tools", r.Needs)
	c.refs(e, under(at, "hazards"), "hazards", r.Hazards)
	c.steps(e, under(at, "steps"), r.Steps, r.Difficulty == "shop")
	c.unsaidHazards(e, under(at, "steps"), r.Do+"\n"+strings.Join(r.Steps, "\n"), r.Needs, r.Hazards, r.Cautions, r.Access)
}

// steps reports missing and empty steps; a job for the shop has none.
func (c *checker) steps(e *entry, path []any, steps []string, shop bool) {
	if len(steps) == 0 && !shop {
		c.fail(e, path, "", "there are no steps")
	}
	for i, s := range steps {
		if strings.TrimSpace(s) == "" {
			c.fail(e, under(path, i), "", "an empty step")
		}
	}
}

func (c *checker) checkProof(e *entry, pr *Proof) {
	c.text(e, p("proof", "do"), pr.Do)
	c.oneOf(e, p("proof", "shows_after"), pr.ShowsAfter, afterAll...)
	if pr.Test == "" {
		if pr.Outcome != "" {
			c.fail(e, p("proof", "outcome"), "add test:", "an outcome without a test")
		}
		return
	}
	if !c.cut(e, p("proof", "test"), func() bool { return c.ref(e, p("proof", "test"), string(KindTest), pr.Test) }) {
		if pr.Outcome != "" {
			e.cuts = append(e.cuts, at(e.node, "proof", "outcome"))
		}
		return
	}
	t := c.base.tests[pr.Test]
	if len(t.Settles) > 0 {
		c.fail(e, p("proof", "test"), "name a test with an outcome", "a look-round proves nothing by itself")
		return
	}
	if f := c.base.findings[orElse(t.Of, t.ID)]; f != nil {
		c.outcome(e, p("proof", "outcome"), f, pr.Outcome)
	}
}

func (c *checker) checkTest(e *entry, a *Test) {
	c.head(e, a.Title, a.System, a.Body)
	c.text(e, p("ask"), a.Ask)
	if a.Part != "" {
		c.ref(e, p("part"), "parts", a.Part)
	}
	c.checkApplies(e, p("applies"), &a.Applies)
	c.refs(e, p("needs"), "tools", a.Needs)
	if a.Minutes <= 0 {
		c.fail(e, p("minutes"), "", "a test takes some minutes")
	}
	c.oneOf(e, p("difficulty"), a.Difficulty, difficulties...)
	c.refs(e, p("access"), "access", a.Access)
	c.refs(e, p("requires"), "states", a.Requires)
	c.refs(e, p("hazards"), "hazards", a.Hazards)
	c.refs(e, p("disturbs"), "parts", a.Disturbs)
	c.steps(e, p("steps"), a.Steps, a.Difficulty == "shop")
	c.unsaidHazards(e, p("steps"), strings.Join(a.Steps, "\n"), a.Needs, a.Hazards, a.Cautions, a.Access)
	if h := a.Helper; h != nil && h.Needed {
		c.text(e, p("helper", "alone"), h.Alone)
	}

	var f *Finding
	switch {
	case len(a.Settles) > 0:
		if a.Of != "" || len(a.Outcomes) > 0 || a.Reading != nil {
			c.fail(e, p("settles"), "leave out of, outcomes and reading", "a look-round has no outcomes of its own")
		}
		for i, id := range a.Settles {
			c.cut(e, p("settles", i), func() bool { return c.finding(e, p("settles", i), id) != nil })
		}
	case a.Of != "":
		if f = c.finding(e, p("of"), a.Of); f != nil {
			for i, o := range a.Outcomes {
				c.outcome(e, p("outcomes", i, "id"), f, o.ID)
			}
		}
	case len(a.Outcomes) == 0:
		c.fail(e, p("id"), "give outcomes, of or settles", "the test settles nothing")
	default:
		f = c.base.findings[a.ID]
		c.checkOutcomes(e, p("outcomes"), a.Outcomes, "")
		if !c.looks[a.ID] {
			c.warn(e, p("id"), "", "no cause speaks of test %q: its result tells nothing", a.ID)
		}
	}
	if a.Because != nil && (f == nil || a.Of != "") {
		c.fail(e, p("because"), "", "only a test with a finding of its own can follow from another")
	} else if f != nil {
		c.checkBecause(e, p("because"), f, a.Because)
	}
	if a.Reading != nil && f != nil {
		c.checkReading(e, p("reading"), a.Reading, f)
	}
}

func (c *checker) checkCard(e *entry, a *Card) {
	c.head(e, a.Title, a.System, a.Body)
	c.said(e, p("said"), a.Said)
	if len(a.Said) == 0 {
		c.fail(e, p("said"), "", "no words to ask for it")
	}
}

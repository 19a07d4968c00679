package dialog

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"ruleout/kb"
)

// Figures of trials. Basis: memory, but for the three gaps, which are fixed
// (exp(-3) is 1 in 20).
const (
	gapsToClose = 3.0
	// Of a trouble that came back: how likely it is when the repair had done
	// nothing and the trouble is steady, or comes and goes by an unknown gap;
	// when it had helped; when it had cured it, so that the new part failed or
	// a second cause came on top; when it had made it worse.
	backSteady  = 0.05
	backComes   = 0.3
	backHelped  = 0.5
	backCured   = 0.05
	backWorse   = 0.02
	failedFirst = 0.4 // a failed repair this likely is looked at first
)

// Trial is the trial of a cure on a trouble that comes and goes. It is never
// changed once made.
type Trial struct {
	Cause string `json:"cause"`
	// Unit is days, trips, starts, nights, rains or frosts; Gap is the mean gap
	// between two times before the repair, 0 while unknown; Clean is how long
	// it has stayed away, both in that unit.
	Unit  string  `json:"unit"`
	Gap   float64 `json:"gap"`
	Clean float64 `json:"clean"`
	// Need is the clean stretch that closes the case: three gaps.
	Need float64 `json:"need"`
	// Luck is the chance of so long a stretch without a cure, exp(-Clean/Gap),
	// if it struck at random at a constant rate; 1 while the gap is unknown.
	Luck float64 `json:"luck"`
	// Words say how it stands.
	Words string `json:"words"`
	// finding is of the repair that is tried.
	finding string
}

// comeback is how a trouble came back: after how long, in gaps; -1 if unknown.
type comeback struct {
	gaps  float64
	comes bool // it was known to come and go
	after string
}

// luck is the chance that a trouble of mean gap tau stays away for t though
// nothing was cured: exp(-t/tau), for a constant rate.
func luck(t, tau float64) float64 {
	if tau <= 0 {
		return 1
	}
	return math.Exp(-max(t, 0) / tau)
}

// oneIn words a small probability as "1 in 100", rounded to one digit where it
// is no more exact than that.
func oneInWords(p float64) string {
	if p <= 0 || p < 1e-4 {
		return "less than 1 in 10000"
	}
	n := 1 / p
	switch {
	case n < 1.5:
		return "as good as certain"
	case n < 9.5:
		return fmt.Sprintf("1 in %.0f", n)
	}
	d := math.Pow(10, math.Floor(math.Log10(n)))
	if n < 100 {
		d = 5 // 1 in 20, 1 in 45
	}
	return fmt.Sprintf("1 in %.0f", math.Round(n/d)*d)
}

// comesAndGoesTold reports whether the person has said so, in whatever words.
func (s *State) comesAndGoesTold() bool {
	if s.care.sometimes {
		return true
	}
	return slices.ContainsFunc(s.Notes, func(n observed) bool {
		f := strings.Split(n.Finding, ":")
		gap := len(f) == 4 && f[0] == "cond" && f[2] == "gap" && f[3] == "intermittent" && (n.Outcome == "only" || n.Outcome == "worse")
		return !n.struck && n.Weighs && (gap || n.Outcome == "on-and-off")
	})
}

// onTrial begins the trial of a cure.
func (e *Engine) onTrial(s *State, c *kb.Cause, h *heard) {
	s.Closed = "on trial"
	t := Trial{Cause: c.ID, Luck: 1, finding: s.curedBy()}
	t.Words = "on trial: it comes and goes, so only a stretch without it proves the cure"
	if g := s.care.gap; g.n > 0 {
		t.Unit, t.Gap, t.Need = g.unit, g.n, gapsToClose*g.n
		t.Words = gapWords(t)
	}
	s.care.trial = &t
	s.mark("trial", lowerFirst(c.Title))
	h.say("Good. It comes and goes, so it is on trial: only a clean stretch of three times its usual gap proves the cure.")
}

// curedBy is the finding of the last repair that was told to have cured it.
func (s *State) curedBy() string {
	for i := len(s.Notes) - 1; i >= 0; i-- {
		if n := &s.Notes[i]; !n.struck && n.Weighs && n.cure() && !s.cameBackAfter(n) {
			return n.Finding
		}
	}
	return ""
}

// cameBackAfter reports whether the trouble came back after that repair.
func (s *State) cameBackAfter(n *observed) bool {
	_, back := s.care.back[n.Finding]
	return back
}

// cure reports whether the observation is that a repair or a new part cured it.
func (n *observed) cure() bool {
	return n.Outcome == "cured" && (strings.HasPrefix(n.Finding, "repair:") || strings.HasPrefix(n.Finding, "part:") && strings.HasSuffix(n.Finding, ":replaced"))
}

// usualUnit is what a trouble of this cause is counted in.
func usualUnit(c *kb.Cause) string {
	switch c.Proof.ShowsAfter {
	case "next warm-up":
		return "trips"
	case "next cold start":
		return "starts"
	case "after standing overnight":
		return "nights"
	case "next rain":
		return "rains"
	case "next frost":
		return "frosts"
	}
	return "days"
}

// trialNext asks what the trial still needs.
func (e *Engine) trialNext(s *State) *Next {
	t := s.care.trial
	c := e.base.Cause(t.Cause)
	n := &Next{Kind: "trial", ID: "trial", Article: c.ID}
	if t.Gap == 0 {
		one := span{1, usualUnit(c)}
		u := strings.TrimSuffix(unitTitle(one.unit), "s")
		n.ID, n.Title = "trial-gap", "Before the repair, how often did it do it?"
		n.Why = "the gap tells how long it must stay away before that is no luck"
		gap := func(text, about string) Quick { return Quick{Text: text, Tap: Tap{Request: "gap", About: about}} }
		n.Quick = []Quick{gap("every time", "always"), gap("about every other "+u, "2 "+one.unit), gap("about every fifth "+u, "5 "+one.unit)}
		if one.unit == "days" {
			n.Quick[1], n.Quick[2] = gap("about every day", "1 day"), gap("about every third day", "3 days")
		}
		n.Quick = append(n.Quick, gap("about once a week", "7 days"), gap("about once a month", "30 days"), Quick{Text: "it did it again", Tap: Tap{Request: "came-back"}})
		return n
	}
	left := span{t.Need - t.Clean, t.Unit}
	left.n = math.Ceil(left.n*10) / 10
	n.Title = fmt.Sprintf("Use it as usual: %s more without it close the case", left.say())
	n.Why = t.Words
	need := span{t.Need, t.Unit}
	n.Quick = []Quick{
		{Text: need.say() + " and no trouble", Tap: Tap{Request: "clean", About: fmt.Sprintf("%g %s", t.Need, t.Unit)}},
		{Text: "it did it again", Tap: Tap{Request: "came-back"}},
	}
	return n
}

var (
	struckAgain = guard(`\b(?:did it|done it|does it|doing it|happened|came back|come back|comes back|it'?s back|returned|still|failed|died)\b`)
	stayedAway  = guard(`(?:n't|nt|\bnot|\bnever|\bno)\s+(?:\w+\s+)?(?:did|done|doing|happened|come|came|returned|failed|died)\b`)
)

// trialTold reads a turn while a cure is on trial: how often it did it, how
// long it has stayed away. It reports false for any other.
func (e *Engine) trialTold(s *State, text string, h *heard) bool {
	t := s.care.trial
	if t == nil || s.Closed != "on trial" || len(text) > 300 {
		return false
	}
	lower := strings.ToLower(text)
	rate := every.MatchString(lower) || perTime.MatchString(lower) || oneIn.MatchString(lower)
	if !rate && struckAgain.MatchString(lower) && !stayedAway.MatchString(lower) || strings.Contains(lower, "undo") {
		return false
	}
	told, clean := false, false
	for _, w := range []string{"no trouble", "clean", "fine", "without", "nothing", "not once", "good", "perfect"} {
		clean = clean || strings.Contains(lower, w)
	}
	if t.Gap == 0 && !clean || rate {
		if strings.Contains(lower, "every time") || strings.Contains(lower, "always") {
			e.tellGap(s, "always", h)
			return true
		}
		if _, ok := parseGap(lower); ok {
			e.tellGap(s, lower, h)
			told = true
			for _, re := range []string{"every", "each", "once", "twice", "times a", " in "} {
				if i := strings.Index(lower, re); i >= 0 {
					if m := every.FindString(lower) + perTime.FindString(lower) + oneIn.FindString(lower); m != "" {
						lower = strings.Replace(lower, m, "", 1)
					}
					break
				}
			}
			if t.Gap == 0 && lower == strings.ToLower(text) {
				return true // the one stretch told is the gap
			}
		}
	}
	if _, ok := parseSpan(lower); ok {
		e.tellClean(s, lower, h)
		told = true
	}
	return told
}

// tellGap takes how often the trouble showed before the repair.
func (e *Engine) tellGap(s *State, about string, h *heard) {
	t := s.care.trial
	if t == nil || s.Closed != "on trial" {
		h.say("Nothing is on trial.")
		return
	}
	if about == "always" {
		h.say("Then it did not come and go: once seen cured, it is.")
		e.closeCured(s, e.base.Cause(t.Cause), h)
		return
	}
	gap, ok := parseGap(about)
	if !ok {
		h.say("How often was that: every so many days, trips or starts?")
		return
	}
	if gap.unit == "times" {
		gap.unit = usualUnit(e.base.Cause(t.Cause))
	}
	next := *t
	next.Unit, next.Gap, next.Need = gap.unit, gap.n, gapsToClose*gap.n
	if t.Unit != "" && t.Unit != gap.unit {
		next.Clean = 0
	}
	s.care.trial, s.care.gap = &next, gap
	e.weighTrial(s, h)
}

// tellClean takes how long it has stayed away since the repair.
func (e *Engine) tellClean(s *State, about string, h *heard) {
	t := s.care.trial
	if t == nil || s.Closed != "on trial" {
		h.say("Nothing is on trial.")
		return
	}
	clean, ok := parseSpan(about)
	switch {
	case !ok:
		h.say("How long has it stayed away: so many days, trips or starts?")
		return
	case t.Gap == 0:
		next := *t
		next.Unit, next.Clean = clean.unit, clean.n
		s.care.trial = &next
		h.say("Good. To know what %s without it are worth I need to know how often it did it before.", clean.say())
		return
	case clean.unit == "times":
		clean.unit = t.Unit
	case clean.unit != t.Unit:
		h.say("It was counted in %s: how many of those were there since the repair?", unitTitle(t.Unit))
		return
	}
	next := *t
	next.Clean = clean.n
	s.care.trial = &next
	e.weighTrial(s, h)
}

// weighTrial words the trial anew and closes the case once three gaps are
// clean.
func (e *Engine) weighTrial(s *State, h *heard) {
	t := *s.care.trial
	t.Luck = luck(t.Clean, t.Gap)
	gap, clean := span{t.Gap, t.Unit}, span{t.Clean, t.Unit}
	switch {
	case t.Clean == 0:
		t.Words = gapWords(t)
	default:
		t.Words = fmt.Sprintf("%s clean where it used to do it every %s: %s that it is luck, if it struck at random at that rate", clean.say(), gap.say(), oneInWords(t.Luck))
	}
	s.care.trial = &t
	if t.Clean > 0 {
		h.say("%s.", upperFirst(t.Words))
	} else {
		h.say("Noted: every %s.", gap.say())
	}
	if t.Clean >= t.Need && t.Clean > 0 {
		e.closeCured(s, e.base.Cause(t.Cause), h)
	}
}

// gapWords say what a trial takes before anything is known of it.
func gapWords(t Trial) string {
	gap, need := span{t.Gap, t.Unit}, span{t.Need, t.Unit}
	return fmt.Sprintf("it did it every %s, so after %s without it only %s would be luck, if it struck at random at that rate", gap.say(), need.say(), oneInWords(luck(t.Need, t.Gap)))
}

// closeCured closes the case.
func (e *Engine) closeCured(s *State, c *kb.Cause, h *heard) {
	s.Closed, s.Solved, s.Proving = "cured", c.ID, ""
	s.mark("closed", "cured: "+lowerFirst(c.Title))
	h.say("Closed as cured: %s.", lowerFirst(c.Title))
	e.inspect(c, h)
}

// inspect names what else must be looked at.
func (e *Engine) inspect(c *kb.Cause, h *heard) {
	if also := e.alsoLook(c); also != "" {
		h.say("Look at this too while you are there: %s.", also)
	}
}

// closeUnproven closes a case whose cure nobody wants to see; the record says
// so.
func (e *Engine) closeUnproven(s *State, h *heard) {
	c := e.base.Cause(s.Proving)
	if c == nil {
		h.say("There is no cure to prove.")
		return
	}
	s.Proving, s.Solved, s.Closed, s.care.shown = "", c.ID, "not proven", false
	s.mark("closed", "not proven: "+lowerFirst(c.Title))
	h.say("Closed, and noted as not proven: %s. If it shows again, say so.", lowerFirst(c.Title))
}

// tooEarly notes that the cure can't have shown yet: that speaks neither way.
func (e *Engine) tooEarly(s *State, h *heard) {
	s.care.shown = false
	c := e.base.Cause(s.Proving)
	if c == nil {
		h.say("There is no cure to prove.")
		return
	}
	h.say("Then it says nothing yet: a cure of this shows %s at the earliest. I keep the case open until then.", showsWhen(c))
}

func showsWhen(c *kb.Cause) string {
	if w := c.Proof.ShowsAfter; strings.HasPrefix(w, "next") {
		return "at the " + w
	}
	return c.Proof.ShowsAfter
}

// sinceThen asks whether the cure can have shown by now.
func (e *Engine) sinceThen(s *State) *Next {
	c := e.base.Cause(s.Proving)
	return &Next{Kind: "context", ID: "shows-after", Article: c.ID, Title: sinceWords(c) + " since the repair?",
		Why:   "a cure of this shows " + showsWhen(c) + " at the earliest; before that “still there” says nothing",
		Quick: []Quick{{Text: "yes, since the repair", Tap: Tap{Request: "still", About: "shown"}}, {Text: "not yet", Tap: Tap{Request: "too-early"}}}}
}

func sinceWords(c *kb.Cause) string {
	return map[string]string{"next warm-up": "Was it fully warmed up", "next cold start": "Was there a cold start", "next rain": "Has it rained on it", "next frost": "Was there a frost",
		"after standing overnight": "Did it stand overnight", "after a week": "Has a week gone by"}[c.Proof.ShowsAfter]
}

// shownTold reads a plain yes or no to that question.
func (s *State) shownTold(text string, h *heard) bool {
	if !s.care.shown {
		return false
	}
	switch strings.Trim(strings.ToLower(text), " .!") {
	case "yes", "yeah", "yep", "yup", "aye", "it has":
		h.requests = append(h.requests, request("still", "shown"))
	case "no", "nope", "not yet", "nah", "no not yet":
		h.requests = append(h.requests, request("too-early", ""))
	default:
		return false
	}
	return true
}

// passedWords is the answer that the proof was seen, as sharp as it must be.
func passedWords(c *kb.Cause) string {
	switch c.Proof.ShowsAfter {
	case "next warm-up":
		return "seen after a warm-up: it passes, trouble gone"
	case "next cold start":
		return "seen after a cold start: it passes, trouble gone"
	case "next rain":
		return "it has rained since: it passes, trouble gone"
	case "next frost":
		return "there was frost since: it passes, trouble gone"
	case "after standing overnight":
		return "it stood overnight: it passes, trouble gone"
	case "after a week":
		return "a week has gone by: it passes, trouble gone"
	}
	return "it passes, trouble gone"
}

// proofTold closes or refutes a cure by the outcome of its proof test, when
// this turn brought one.
func (e *Engine) proofTold(s *State, h *heard) {
	c := e.base.Cause(s.Proving)
	if c == nil {
		return
	}
	finding := e.proofFinding(c)
	for _, k := range h.notes {
		n := &s.Notes[k-1]
		if n.Finding == s.Chief && n.Outcome == "present" && n.Weighs && n.era == s.era() && !s.curedNow() {
			e.still(s, "", h) // the complaint told once more
			return
		}
		if n.struck || !n.Weighs || n.Finding != finding || finding == "" || n.Outcome == "" || n.era < s.era() {
			continue
		}
		if n.Outcome == c.Proof.Outcome {
			e.proven(s, h)
			return
		}
		f := e.base.Finding(finding)
		h.say("That is not the proof: it should show “%s”.", lowerFirst(f.Outcomes[max(0, f.OutcomeIndex(c.Proof.Outcome))].Title))
		e.still(s, "shown", h)
		return
	}
}

// curedNow reports whether this turn itself told the cure.
func (s *State) curedNow() bool {
	return slices.ContainsFunc(s.Notes, func(n observed) bool { return !n.struck && n.Turn == len(s.Turns) && n.cure() })
}

// proofFinding is the finding that the proof test of a cause settles.
func (e *Engine) proofFinding(c *kb.Cause) string {
	t := e.base.Test(c.Proof.Test)
	switch {
	case t == nil:
		return ""
	case t.Of != "":
		return t.Of
	}
	return t.ID
}

// proofReading is the finding of the proof test where it is a number, which is
// then taken as its answer; a plain "no" is not taken for an outcome of it.
func (e *Engine) proofReading(c *kb.Cause) string {
	if f := e.base.Finding(e.proofFinding(c)); f != nil && f.Reading != nil {
		return f.ID
	}
	return ""
}

// outcomeOnTrial is P(what was seen since the repair | its outcome): a clean
// stretch is what a cure makes certain and what luck makes as rare as
// exp(-t/tau); a trouble that came back speaks for a repair that did nothing.
// It returns nil for any other observation. Outcomes are those of kb.Effects.
func (s *State) outcomeOnTrial(n *observed) []float64 {
	if !n.cure() {
		return nil
	}
	by := func(same, better, cured, worse float64) []float64 {
		at := map[string]float64{"same": same, "better": better, "cured": cured, "worse": worse}
		out := make([]float64, len(kb.Effects))
		for i, effect := range kb.Effects {
			out[i] = at[effect]
		}
		return out
	}
	if b, ok := s.care.back[n.Finding]; ok {
		same := backSteady
		switch {
		case b.gaps >= 0:
			same = max(backWorse, math.Exp(-b.gaps))
		case b.comes:
			same = backComes
		}
		return by(same, backHelped, backCured, backWorse)
	}
	if t := s.care.trial; t != nil && t.finding == n.Finding && s.Closed == "on trial" {
		l := t.Luck
		if t.Gap == 0 {
			l = 1
		}
		return by(l, math.Sqrt(l), 1, l*l)
	}
	return nil
}

// cameBack reopens a case: what it says about the repair, and how belief moves.
func (e *Engine) cameBack(s *State, about string, h *heard) {
	finding := s.curedBy()
	if finding == "" || s.Closed == "" && s.Proving == "" {
		if s.Closed != "" {
			e.reopen(s, "it came back")
			h.say("Taken up again. It came back: the wrong cause, a repair that failed, or a second cause.")
			return
		}
		h.say("Understood: it is still there.")
		return
	}
	b := comeback{gaps: -1, comes: s.comesAndGoesTold() || s.care.trial != nil}
	after := "after a while"
	if about == "" {
		about = lastText(s)
	}
	if x, ok := parseSpan(about); ok {
		after = "after " + x.say()
		if t := s.care.trial; t != nil && t.Gap > 0 && t.Unit == x.unit {
			b.gaps = x.n / t.Gap
		}
	}
	b.after = after
	s.care.back = cloned(s.care.back)
	s.care.back[finding] = b
	action := strings.TrimPrefix(finding, "repair:")
	delete(s.Tried, action)
	e.reopen(s, "it came back "+after)
	wrong, failed, second := e.backShares(s, finding)
	h.say("Taken up again: it came back %s. Either it was the wrong cause (%s), or the repair failed, for new parts can be bad too (%s), or a second cause came on top (%s).", after, plain(wrong), plain(failed), plain(second))
	if failed >= failedFirst {
		h.say("Look first at what was fitted last: its seat, its plug, its own test.")
	}
}

// reopen takes a closed case up again.
func (e *Engine) reopen(s *State, why string) {
	s.Closed, s.Solved, s.Proving, s.care.trial, s.care.shown = "", "", "", nil, false
	s.mark("reopened", why)
}

// backShares splits what is believed after a comeback: the wrong cause was
// mended, the repair failed, or a second cause is there beside the mended one.
func (e *Engine) backShares(s *State, finding string) (wrong, failed, second float64) {
	_, t := e.finding(finding, "")
	if t == nil {
		return 1, 0, 0
	}
	mended := map[int]bool{}
	for _, r := range t.Rows {
		if r.InPart {
			mended[r.Cause] = true
		}
	}
	post := e.judgeOnly(s)
	for c, p := range post.Singles {
		if mended[c] {
			failed += p
		}
	}
	for _, p := range post.Pairs {
		if mended[p.A] || mended[p.B] {
			second += p.P
		}
	}
	return max(0, 1-failed-second), failed, second
}

package dialog

import (
	"cmp"
	"fmt"
	"strconv"
	"strings"

	"ruleout/dialog/plainwords"
	"ruleout/kb"
)

// serve answers what the person wants to know or have. It returns the texts
// to put before the next step, and whether the step itself should be left
// unsaid because the answer is about it.
func (e *Engine) serve(s *State, h *heard, j *judged) (texts []string, cites []string) {
	for _, q := range h.requests {
		if q.Kind == "help" && len(h.requests) > 1 {
			continue // "what should I do, repair or shop?"
		}
		text, c := e.serveOne(s, q, h, j)
		if text != "" {
			texts = append(texts, text)
		}
		cites = append(cites, c...)
	}
	return texts, cites
}

// actOn carries out the requests that change the state, before belief is
// computed.
func (e *Engine) actOn(s *State, h *heard) {
	e.putRight(s, h)
	e.curedByTelling(s, h)
	e.proofTold(s, h)
	for _, q := range h.requests {
		if e.carry(s, q.Kind, q.About, h) {
			continue
		}
		switch q.Kind {
		case "skip":
			e.cannot(s, q.Kind, h)
		case "dont-know":
			e.cannot(s, dontKnow, h)
		case "cannot":
			e.cannot(s, "can't be done", h)
		case "no-tool":
			if q.About != "" {
				s.Tools[q.About] = false
			} else if s.Open != nil {
				e.cannot(s, "no tool", h)
			}
			s.Open = nil
		case "fixed":
			e.fixed(s, q.About, h)
		case "proven":
			e.proven(s, h)
		case "still":
			e.still(s, q.About, h)
		case "unwired":
			e.unwired(s, q.About, lastText(s))
		case "may-i":
			e.wantedCheck(s, q.About)
		case "strike":
			if n, err := strconv.Atoi(strings.TrimSpace(q.About)); err == nil {
				e.strike(s, &Tap{Strike: n}, h)
			}
		case "nothing-before":
			s.OpenAsked = true
			if s.Open != nil && s.Open.kind == "before" {
				s.Open = nil
			}
			h.say("Nothing before it began, as far as you know.")
		case "keep":
			e.keepSupposed(s, h)
		}
	}
}

func (e *Engine) serveOne(s *State, q plainwords.Request, h *heard, j *judged) (string, []string) {
	switch q.Kind {
	case "why":
		return e.why(s, j)
	case "how":
		return e.how(s, q)
	case "what-is":
		return e.whatIs(q.About)
	case "where-is":
		return e.whereIs(q.About)
	case "what-else":
		return e.whatElse(j)
	case "noted":
		return notedList(s), nil
	case "safe-to-drive":
		return e.safe(s, j)
	case "cost":
		if !anyWeighs(s) {
			return "Tell me what it does first; then I can say what the likely repairs cost.", nil
		}
		return "What the likeliest repairs cost (ranges, not offers):\n" + e.money(j.post), nil
	case "stopgap":
		return e.stopgap(s, j)
	case "opinion":
		return e.opinion(s, q.About, j)
	case "may-i":
		return e.mayI(s, j)
	case "past-cases":
		return "Past jobs are on the jobs page, searched in plain words; “like this one” stands on this job's own page. In a terminal: the command cases.", nil
	case "pause":
		return "Everything is kept: say “where were we?” when you are back. Before you go: leads off, tools out of the fan's and belts' way, nothing left standing on a jack.", nil
	case "recap":
		return strings.Join(e.recap(s, j), "\n"), nil
	case "decide":
		return e.decideText(s, j)
	case "arm", "sometimes":
		return cardsText(h.cards)
	case "report":
		return e.report(s), nil
	case "change":
		return "Tell me what it should be, or strike it: each thing noted has a number.\n" + notedList(s), nil
	case "hello":
		return "Hello.", nil
	case "thanks":
		return "You're welcome.", nil
	case "help":
		return "Tell me what it does and when. Answer, ask “why?”, “how?”, “what else could it be?”, “what did you note?”, “undo”, or say “can't do that”.", nil
	case "unwired":
		return e.unwiredWords(s)
	case drawCircuit:
		s.drawn = q.About
		if w := e.wiringOf(q.About); w != nil {
			return fmt.Sprintf("Drawn: %s.", lowerFirst(e.drawing(s, j, w).Title)), []string{q.About}
		}
		return "", nil
	case askCircuit, mayCircuit, didCircuit:
		return e.serveCircuit(s, q.Kind, q.About, j)
	case "nonsense":
		return "That I can't use for the car.", nil
	}
	return "", nil
}

// why explains the step that is on the table.
func (e *Engine) why(s *State, j *judged) (string, []string) {
	if s.last == nil || s.last.Next == nil {
		return "", nil
	}
	n := s.last.Next
	lines := []string{fmt.Sprintf("Why “%s”: %s", strings.TrimSuffix(n.Title, "."), sentence(n.Why))}
	for _, sp := range n.Splits {
		if len(sp.Leaves) == 0 || sp.Probability < 0.005 {
			continue
		}
		lines = append(lines, fmt.Sprintf("- “%s” (%s): then %s, %s", sp.Outcome, plain(sp.Probability), lowerFirst(sp.Leaves[0].System), plain(sp.Leaves[0].Probability)))
	}
	if n.Saves > 0 {
		lines = append(lines, fmt.Sprintf("It takes %s; what it saves is on average worth %s of your time.", minutes(n.Minutes), minutes(n.Saves)))
	}
	var cites []string
	if n.Article != "" {
		cites = append(cites, n.Article)
	}
	if moved := e.movedBy(s, j); len(moved) > 0 {
		lines = append(append(lines, "", "What moved the suspects though no article says it:"), moved...)
	}
	return strings.Join(lines, "\n"), cites
}

// how gives the steps of the open check, or of the article that is named.
func (e *Engine) how(s *State, q plainwords.Request) (string, []string) {
	if t := e.base.Test(q.About); t != nil {
		return e.stepsText(t), []string{articleOf(t)}
	}
	if p := e.base.Part(q.About); p != nil {
		for _, t := range e.base.Tests {
			if t.Part == p.ID && e.applies(s, t.Applies) > 0 {
				return e.stepsText(t), []string{articleOf(t)}
			}
		}
		return e.withArticle("", q.About, p.Name)
	}
	if s.last == nil || s.last.Next == nil || len(s.last.Next.Steps) == 0 {
		if s.last != nil && s.last.Next != nil && s.last.Next.Article != "" {
			return fmt.Sprintf("More on that: [%s](article:%s).", e.title(s.last.Next.Article), s.last.Next.Article), []string{s.last.Next.Article}
		}
		return "", nil
	}
	return "", []string{s.last.Next.Article} // the steps follow with the next check anyway
}

func (e *Engine) stepsText(t *kb.Test) string {
	var b strings.Builder
	fmt.Fprintf(&b, "**%s**", t.Title)
	for _, c := range e.cautions(t.Hazards, t.Access, t.Cautions) {
		fmt.Fprintf(&b, "\n⚠ %s", c)
	}
	for i, st := range append(e.stateSteps(t.Requires), t.Steps...) {
		fmt.Fprintf(&b, "\n%d. %s", i+1, st)
	}
	if t.Reading != nil {
		fmt.Fprintf(&b, "\nExpected: %s", sentence(t.Reading.Expect))
	}
	return b.String()
}

func (e *Engine) title(id string) string {
	h, _ := e.base.Head(id)
	return h.Title
}

// whatIs explains a part or a word by the nearest article.
func (e *Engine) whatIs(about string) (string, []string) {
	if p := e.base.Part(about); p != nil {
		text := fmt.Sprintf("%s: %s, %s.", upperFirst(p.Name), e.systemTitle(p.System), p.Place)
		if len(p.Names) > 0 {
			text += " Also called " + list(p.Names[:min(3, len(p.Names))]) + "."
		}
		return e.withArticle(text, about, p.Name)
	}
	if h, ok := e.base.Head(about); ok {
		return fmt.Sprintf("[%s](article:%s): %s", h.Title, h.ID, firstSentence(h.Body)), []string{h.ID}
	}
	return e.withArticle("", about, about)
}

func (e *Engine) whereIs(about string) (string, []string) {
	if p := e.base.Part(about); p != nil {
		return e.withArticle(fmt.Sprintf("%s: %s, as a rule; cars differ.", upperFirst(p.Name), p.Place), about, p.Name)
	}
	return e.whatIs(about)
}

// withArticle adds the nearest article of the index.
func (e *Engine) withArticle(text, about, words string) (string, []string) {
	if e.matcher != nil && strings.TrimSpace(words) != "" {
		hits, err := e.matcher.Match(words, 1)
		if err == nil && len(hits) > 0 {
			more := fmt.Sprintf("More: [%s](article:%s).", hits[0].Title, hits[0].ID)
			return strings.TrimSpace(text + " " + more), []string{hits[0].ID}
		}
	}
	if text == "" {
		return fmt.Sprintf("I have no article about “%s”.", short(about)), nil
	}
	return text, nil
}

func (e *Engine) systemTitle(id string) string {
	for _, s := range e.base.Lists.Systems {
		if s.ID == id {
			return lowerFirst(s.Title)
		}
	}
	return id
}

// firstSentence is the first sentence of a body, links reduced to their text.
func firstSentence(body string) string {
	body = strings.TrimSpace(body)
	for strings.HasPrefix(body, "#") {
		_, rest, _ := strings.Cut(body, "\n")
		body = strings.TrimSpace(rest)
	}
	para, _, _ := strings.Cut(body, "\n\n")
	para = strings.ReplaceAll(para, "\n", " ")
	if i := strings.Index(para, ". "); i > 0 {
		para = para[:i+1]
	}
	return para
}

// whatElse lists the suspects and what was ruled out.
func (e *Engine) whatElse(j *judged) (string, []string) {
	var lines, cites []string
	for k, c := range j.order {
		if k == 6 || j.post.Singles[c] < 0.01 {
			break
		}
		t := e.base.Causes[c]
		lines = append(lines, fmt.Sprintf("- [%s](article:%s): %s", t.Title, t.ID, plain(j.post.Singles[c])))
		cites = append(cites, t.ID)
	}
	lines = append(lines, fmt.Sprintf("- something I have no article for: %s", plain(j.post.None)))
	return "In play now:\n" + strings.Join(lines, "\n"), cites
}

func notedList(s *State) string {
	var lines []string
	for i := range s.Notes {
		n := &s.Notes[i]
		line := fmt.Sprintf("%d. %s", n.Number, n.describe())
		if n.Words != "" {
			line += fmt.Sprintf(" (“%s”)", short(n.Words))
		}
		switch {
		case n.struck:
			line += ", " + n.Note
		case !n.Weighs:
			line += ", not used: " + n.Note
		}
		lines = append(lines, line)
	}
	for _, k := range sortedKeys(s.Vehicle) {
		lines = append(lines, "- "+k+": "+s.Vehicle[k])
	}
	if len(lines) == 0 {
		return "Nothing noted yet."
	}
	return "Noted so far:\n" + strings.Join(lines, "\n")
}

// safe says how bad it is to go on driving, by the worst suspect that is still
// likely.
func (e *Engine) safe(s *State, j *judged) (string, []string) {
	if !anyWeighs(s) {
		return "Tell me what it does first. Until then: with anything wrong in brakes, steering, tyres, fuel or smoke, don't.", nil
	}
	var lines, cites []string
	for _, severity := range []string{"injury", "damage", "nuisance"} {
		limit := 0.1
		if severity == "injury" {
			limit = dangerAt
		}
		for _, c := range j.order {
			t := e.base.Causes[c]
			if t.Severity != severity || j.post.Singles[c] < limit || len(lines) == 2 {
				continue
			}
			lines = append(lines, fmt.Sprintf("If it is %s (%s): %s", lowerFirst(t.Title), plain(j.post.Singles[c]), sentence(t.Driving)))
			cites = append(cites, t.ID)
		}
	}
	if sym := e.base.Symptom(s.Chief); sym != nil && sym.Danger != nil {
		lines = append([]string{sentence(sym.Danger.Stop)}, lines...)
		cites = append(cites, sym.ID)
	}
	if len(lines) == 0 {
		return "I can't tell yet: none of the suspects stands out. If in doubt, don't.", nil
	}
	return strings.Join(lines, "\n"), cites
}

// stopgap offers a way to get home for the likeliest cause that has one.
func (e *Engine) stopgap(s *State, j *judged) (string, []string) {
	if what := e.braking(s); what != "" {
		return "No stopgap on brakes, steering or tyres: do not drive it until this is cleared, " + what + ".", nil
	}
	for k, c := range j.order {
		t := e.base.Causes[c]
		if k == 3 || j.post.Singles[c] < 0.1 {
			break
		}
		g, none := e.stopgapOffer(s, j, t)
		switch {
		case g != nil:
			return fmt.Sprintf("Stopgap if it is %s (%s): %s", lowerFirst(t.Title), plain(j.post.Singles[c]), g.text()), []string{t.ID}
		case t.Stopgap != nil || contains(noStopgap, t.System):
			return upperFirst(sentence(none)), []string{t.ID}
		}
	}
	return "No honest stopgap for what is likely here: find the cause first, or hand it over.", nil
}

// ofPart is how likely it is anything of a part, 0 where no part is named.
func (e *Engine) ofPart(j *judged, part string) float64 {
	sum := 0.0
	for i, c := range e.base.Causes {
		if c.Part == part {
			sum += j.post.Singles[i]
		}
	}
	return sum
}

// opinion answers a guess: what speaks for and against it, and the cheapest
// check that clears it. It weighs nothing.
func (e *Engine) opinion(s *State, about string, j *judged) (string, []string) {
	best := -1
	for i, c := range e.base.Causes {
		if (c.ID == about || c.Part == about) && (best < 0 || j.post.Singles[i] > j.post.Singles[best]) {
			best = i
		}
	}
	if best < 0 && e.matcher != nil && about != "" {
		if hits, err := e.matcher.Match(about, 1, string(kb.KindCause)); err == nil && len(hits) > 0 {
			best = e.number[hits[0].ID]
		}
	}
	if best < 0 {
		return "A guess weighs nothing by itself, and I have no article for that one.", nil
	}
	c := e.base.Causes[best]
	text := fmt.Sprintf("[%s](article:%s)? %s by what you told", c.Title, c.ID, upperFirst(plain(j.post.Singles[best])))
	if all := e.ofPart(j, about); all > j.post.Singles[best]+alsoFrom && plain(all) != plain(j.post.Singles[best]) {
		text += fmt.Sprintf(", with all else that part can have %s", plain(all))
	}
	text += "; a guess alone weighs nothing."
	pros, cons := e.speaks(j, best)
	if len(pros) > 0 {
		text += " For it: " + list(pros) + "."
	}
	if len(cons) > 0 {
		text += " Against it: " + list(cons) + "."
	}
	cites := []string{c.ID}
	cost, check := 0.0, -1
	for i, k := range j.checks {
		if k.finding == nil || telling(j.problem.Checks[i].Findings[0], best) < 3 {
			continue
		}
		if m := j.problem.Checks[i].Cost; check < 0 || m < cost {
			cost, check = m, i
		}
	}
	if check >= 0 {
		k := j.checks[check]
		if k.test != nil {
			text += fmt.Sprintf(" Cheapest check that tells: [%s](article:%s), %s.", k.test.Title, k.test.ID, minutes(k.test.Minutes))
			cites = append(cites, k.test.ID)
		} else {
			ask := cmp.Or(k.finding.Ask, upperFirst(k.finding.Title))
			if k.finding.Kind == kb.FindingSymptom {
				ask = symptomAsked(k.finding)
			}
			text += fmt.Sprintf(" Cheapest way to tell: “%s”", ask)
		}
	}
	return text, cites
}

// report is the case for a shop, in a reply; the whole record is a page.
func (e *Engine) report(s *State) string {
	var out []string
	for _, l := range strings.Split(HandOver(e.Report(s)), "\n") {
		if t := strings.TrimLeft(l, "#"); t != l {
			l = "**" + strings.TrimSpace(t) + "**"
		}
		out = append(out, l)
	}
	return strings.TrimSpace(strings.Join(out, "\n"))
}

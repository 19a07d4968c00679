package dialog

import (
	"fmt"
	"math"
	"strings"

	"ruleout/dialog/belief"
)

// How much a weight says, in decibans. Basis: memory.
const (
	saysLittle  = 1.0 // less is not told
	saysClearly = 4.0
	saysMuch    = 8.0
)

// meansTold are the means of the tests of parts that were told.
func meansTold(s *State) map[string]string {
	out := map[string]string{}
	for i := range s.Notes {
		n := &s.Notes[i]
		if n.struck || !n.Weighs || n.means == "" || !strings.HasSuffix(n.Finding, ":tested") {
			continue
		}
		if had := out[n.Finding]; had != "" {
			out[n.Finding] = had + "+" + n.means
		} else {
			out[n.Finding] = n.means
		}
	}
	return out
}

// restsOn is what the weight of a finding on a cause against another rests on
// where no article says it: the row that speaks of the cause, else of the other.
func (e *Engine) restsOn(j *judged, finding string, cause, against int) (link, basis string) {
	if finding == meetingID {
		f := e.base.MeetingFooting()
		return f.Link(), string(f.Basis)
	}
	for _, c := range []int{cause, against} {
		if c == belief.Nobody {
			continue
		}
		if f := e.base.FootingOf(finding, j.means[finding], e.base.Causes[c]); f != nil {
			return f.Link(), string(f.Basis)
		}
		if e.base.Finding(finding) != nil {
			return "", "" // the article of the cause, or that of the finding
		}
	}
	return "", ""
}

// linked is a text that leads to what it rests on.
func linked(text, rests string) string {
	if rests == "" {
		return text
	}
	return fmt.Sprintf("[%s](article:%s)", text, rests)
}

// words says what was found, one tap from what it rests on, with the basis.
func (w *Weight) words() string {
	text := linked(lowerFirst(w.Title), w.Rests) + " (" + lowerFirst(w.Outcome)
	if w.Basis != "" {
		text += "; basis: " + w.Basis
	}
	return text + ")"
}

// strength says how much a weight of so many decibans says.
func strength(d float64) string {
	switch d = math.Abs(d); {
	case d >= saysMuch:
		return "strongly"
	case d >= saysClearly:
		return "clearly"
	}
	return "a little"
}

// movedBy says of each suspect that is told what follows by itself for and
// against it, and of what went out by it.
func (e *Engine) movedBy(s *State, j *judged) []string {
	if s.Chief == "" {
		return nil
	}
	var lines []string
	for k, l := range e.leaders(j) {
		if k == saySuspects || k > 0 && l.p < 0.05 {
			break
		}
		pro, con := e.weights(j, e.number[l.cause.ID])
		if said := append(movers("for it", pro), movers("against it", con)...); len(said) > 0 {
			lines = append(lines, fmt.Sprintf("- [%s](article:%s) (%s): %s", l.title, l.cause.ID, plain(l.p), strings.Join(said, "; ")))
		}
	}
	if s.last == nil {
		return lines
	}
	told := 0
	for _, ro := range s.last.RuledOut {
		if ro.Rests != "" && told < saySuspects && !e.base.Cause(ro.ID).Derived {
			lines = append(lines, fmt.Sprintf("- [%s](article:%s) is out by %s (%s)", brief(ro.Title), ro.ID, linked(lowerFirst(ro.ByTitle), ro.Rests), lowerFirst(ro.ByOutcome)))
			told++
		}
	}
	return lines
}

// movers words the weights that follow by themselves.
func movers(which string, ws []Weight) []string {
	var out []string
	for i := range ws {
		if w := &ws[i]; w.Rests != "" && math.Abs(w.Decibans) >= saysLittle {
			out = append(out, fmt.Sprintf("%s %s: %s", strength(w.Decibans), which, w.words()))
		}
	}
	return out
}

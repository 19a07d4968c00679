package dialog

import (
	"maps"
	"strings"

	"ruleout/dialog/plainwords"
)

// Start returns the state of a new case and the opening question.
func (e *Engine) Start() (*State, *Reply) {
	s := &State{Vehicle: map[string]string{}, Tools: map[string]bool{}, Passed: map[string]string{}, Settled: map[string]string{}, Tried: map[string]string{}, Warned: map[string]bool{}, Pointed: map[int]float64{}, Faint: map[string]float64{}, Wired: map[string]wired{}}
	r := e.answer(s, &heard{})
	s.last = r
	return s, r
}

// Replay runs all turns of a case from the start. The same turns over the
// same articles give the same reply, to the byte.
func (e *Engine) Replay(turns []Turn) (*State, *Reply) {
	s, r := e.Start()
	for _, t := range turns {
		s, r = e.Step(s, t)
	}
	return s, r
}

// Step takes one turn and returns the new state with the reply; the old state
// stays as it was. It accepts any turn: what it can't use, it says so.
func (e *Engine) Step(old *State, t Turn) (*State, *Reply) {
	s := old.clone()
	t.Text = strings.ToValidUTF8(t.Text, "\uFFFD")
	s.Turns = append(s.Turns, t)
	s.InForce = append(s.InForce, len(s.Turns))
	h := &heard{}
	if t.Tap == nil {
		h.restraint = restraintIn(t.Text)
		if h.restraint == nil {
			h.deed = deedIn(t.Text, s.Vehicle["fuel"] == "diesel" || s.Vehicle["ignition"] == "glow")
		}
		if h.deed != nil {
			h.say("%s", e.harmWord(h.deed))
		}
	}
	own := s.keepOrDrop(t.Text)
	switch {
	case t.Tap != nil && t.Tap.Request == "what-if":
		e.supposeTap(s, t, h)
		h.spans = wholeSpan(t.Text)
	case t.Tap != nil && t.Tap.Request != "":
		h.requests = append(h.requests, request(t.Tap.Request, t.Tap.About))
		h.spans = wholeSpan(t.Text)
	case t.Tap != nil:
		e.tap(s, t, h)
		h.spans = wholeSpan(t.Text)
	case own != nil:
		h.requests = append(h.requests, *own)
		h.spans = wholeSpan(t.Text)
	case e.supposes(s, t.Text, h):
	case s.shownTold(t.Text, h), e.trialTold(s, t.Text, h):
		h.spans = wholeSpan(t.Text)
	case e.answersPending(s, t.Text, h), len(s.Pending) == 0 && e.answersPut(s, t.Text, h):
		h.spans = wholeSpan(t.Text)
	default:
		waiting := len(s.Pending)
		e.read(s, t.Text, h)
		// A question about what was said is put once; asking why or how is no
		// answer to it.
		if len(h.notes) > 0 || len(h.requests) == 0 {
			s.Pending = s.Pending[waiting:]
		}
	}
	if n := e.undone(old, s, h); n != nil {
		return n, n.last
	}
	r := e.answer(s, h)
	s.effect = changed(old, s)
	s.last = r
	return s, r
}

// undone handles the requests that throw turns away: undo and start over. The
// turns stay in the case; what they said no longer counts.
func (e *Engine) undone(old, s *State, h *heard) *State {
	for _, q := range h.requests {
		var back *State
		line := "Started over. What was said before no longer counts."
		switch q.Kind {
		case "undo":
			last := old
			for last.prev != nil && !last.effect {
				last = last.prev
			}
			if back = last.prev; back == nil {
				h.say("There is nothing to take back.")
				return nil
			}
			line = "Taken back: “" + short(last.Turns[len(last.Turns)-1].Text) + "”."
		case "start-over":
			back, _ = e.Start()
			if len(s.Wired) > 0 { // what the vehicle is, not what is wrong with it
				back.Wired = cloned(s.Wired)
				back.last = e.answer(back, &heard{})
			}
		case "drop":
			if s.supposed == nil {
				h.say("Nothing is being supposed.")
				return nil
			}
			back = s.supposed.base
			line = "Dropped: " + s.supposed.What + ". All is as it was before."
		default:
			continue
		}
		if q.Kind == "start-over" {
			e.begin(back, s.given)
		}
		n := back.clone()
		n.prev, n.effect = back.prev, back.effect
		n.Turns, n.History = s.Turns, s.History
		n.mark(map[string]string{"undo": "undone", "start-over": "started-over", "drop": "dropped"}[q.Kind], strings.TrimSuffix(line, "."))
		n.last = e.again(n, back.last, &heard{lines: []string{line}, spans: h.spans, requests: []plainwords.Request{q}})
		return n
	}
	return nil
}

// again is the reply of an earlier state given once more: nothing is chosen
// anew, so that the state is to the byte what it was.
func (e *Engine) again(s *State, was *Reply, h *heard) *Reply {
	r := *was
	r.Turn, r.Noted, r.Unread, r.Spans, r.Stop = len(s.Turns), []Noted{}, []Words{}, h.spans, nil
	if r.Spans == nil {
		r.Spans = []SpanOut{}
	}
	r.Text, r.Cites = e.compose(s, &r, h, nil, nil, nil)
	return &r
}

func wholeSpan(text string) []SpanOut {
	if text == "" {
		return nil
	}
	return []SpanOut{{Start: 0, End: len(text), Kind: "used"}}
}

// short is the beginning of a long text.
func short(s string) string {
	r := []rune(strings.TrimSpace(s))
	if len(r) > 60 {
		return string(r[:57]) + "..."
	}
	return string(r)
}

// changed reports whether a turn changed what is known or settled.
func changed(old, s *State) bool {
	if len(old.Notes) != len(s.Notes) || len(old.Pointed) != len(s.Pointed) || old.Story != s.Story || len(old.Faint) != len(s.Faint) || len(old.Tried) != len(s.Tried) || len(old.Passed) != len(s.Passed) ||
		old.supposed != s.supposed || !old.care.same(s.care) || old.Closed != s.Closed || old.Proving != s.Proving || !maps.Equal(old.Vehicle, s.Vehicle) || !maps.Equal(old.Tools, s.Tools) {
		return true
	}
	for i := range old.Notes {
		if old.Notes[i].struck != s.Notes[i].struck || old.Notes[i].Weighs != s.Notes[i].Weighs || old.Notes[i].Outcome != s.Notes[i].Outcome {
			return true
		}
	}
	return false
}

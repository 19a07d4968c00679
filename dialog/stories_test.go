package dialog

import (
	"strings"
	"testing"

	"ruleout/kb"
)

// liker likens every story to one cause, as far as it is told to.
type liker struct {
	of    int
	by    float64
	heard []string
}

func (l *liker) Match(string, int, ...string) ([]Candidate, error) { return nil, nil }
func (l *liker) Complaint(string, int) ([]Likely, error)           { return nil, nil }
func (l *liker) Told(string, int) ([]Likely, error)                { return nil, nil }

func (l *liker) Histories(words string) ([]float64, error) {
	l.heard = append(l.heard, words)
	b, _ := kb.Embedded()
	out := make([]float64, len(b.Causes))
	out[l.of] = l.by
	return out, nil
}

// likening is an engine whose stories are all like those of one cause.
func likening(t *testing.T, cause string, by float64) (*Engine, *liker) {
	t.Helper()
	b, _ := kb.Embedded()
	l := &liker{by: by}
	e, err := New(b, l, DefaultSettings)
	if err != nil {
		t.Fatal(err)
	}
	l.of = e.number[cause]
	return e, l
}

// A story like those of one cause raises it over what the findings alone make of
// it, within the limit, and the reply says so.
func TestStoryRaisesItsCause(t *testing.T) {
	const cause = "thermostat-stuck-closed"
	probability := func(by float64) float64 {
		e, _ := likening(t, cause, by)
		s, _ := e.Start()
		_, r := e.Step(s, Turn{Text: "my van gets too hot in traffic, sat in a queue"})
		for _, x := range r.Suspects {
			if x.ID != cause {
				continue
			}
			said := false
			for _, w := range x.For {
				said = said || w.Finding == storyID
			}
			if said != (by > 0) {
				t.Errorf("likened by %g, the reasons are %+v", by, x.For)
			}
			return x.Probability
		}
		return 0
	}
	none, some, most, more := probability(0), probability(20), probability(100), probability(1000)
	if !(none < some && some < most) || most != more {
		t.Errorf("likened by 0, 20, 100, 1000 it has %g, %g, %g, %g", none, some, most, more)
	}
}

// The story is all that was told, without what answered a question, which counts
// as that; short answers are no story.
func TestStoryIsWhatWasTold(t *testing.T) {
	e, l := likening(t, "thermostat-stuck-closed", 0)
	s, _ := e.Start()
	for _, text := range []string{"my van gets too hot in traffic since the belt was changed", "2", "yes", "the radiator fan never comes on, and there is a sweet smell of something"} {
		s, _ = e.Step(s, Turn{Text: text})
	}
	if len(l.heard) != 2 {
		t.Fatalf("%d stories were likened: %q", len(l.heard), l.heard)
	}
	last := l.heard[1]
	if !strings.Contains(last, "since the belt was changed") || !strings.Contains(last, "sweet smell") || strings.Contains(last, "fan never") {
		t.Errorf("the story is %q", last)
	}
}

// What was mended weighs by what mending it changed, no more by the story.
func TestStoryOfWhatWasMended(t *testing.T) {
	const cause = "thermostat-stuck-closed"
	e, _ := likening(t, cause, 1000)
	s, _ := e.Start()
	s, _ = e.Step(s, Turn{Text: "my van gets too hot in traffic, sat in a queue"})
	if ev := e.storyEvidence(s); ev == nil || len(ev.Finding.Rows) != 1 {
		t.Fatalf("the story weighs as %+v", ev)
	}
	s = s.clone()
	s.Tried[e.actions[e.actionOf(e.number[cause])].id] = "same"
	if ev := e.storyEvidence(s); ev == nil || len(ev.Finding.Rows) != 0 {
		t.Errorf("mended it still weighs: %+v", ev.Finding.Rows)
	}
}

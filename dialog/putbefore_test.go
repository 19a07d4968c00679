package dialog

import (
	"testing"

	"ruleout/kb"
)

// An answer by name reaches the check put just before, and never takes one from
// the question that is open.
func TestAnswerToTheCheckBefore(t *testing.T) {
	b, _ := kb.Embedded()
	e, _ := New(b, nil, DefaultSettings)
	s, _ := e.Start()
	s, _ = e.Step(s, Turn{Tap: &Tap{Finding: "overheats", Outcome: "present"}})
	s = s.clone()
	s.Open = &open{kind: "question", id: "fan-comes-late", finding: "fan-comes-late"}
	s.Put = []string{"fan-comes-late", "fan-direct-feed"}
	n, _ := e.Step(s, Turn{Text: "Runs"})
	if !n.told("fan-direct-feed", "runs") || n.known("fan-comes-late") {
		t.Error("“runs” does not reach the check put before")
	}
	n, _ = e.Step(s, Turn{Text: "as it always did"})
	if !n.told("fan-comes-late", "normal") || n.known("fan-direct-feed") {
		t.Error("an answer to the open question goes elsewhere")
	}
}

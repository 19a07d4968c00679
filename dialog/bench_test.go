package dialog

import (
	"testing"

	"ruleout/kb"
)

// story is a usual conversation, for the benchmark of a turn.
var story = []string{
	"my van gets hot in traffic, fine on the open road",
	"the fan never comes on",
	"its a 1999 diesel, manual",
	"fuse is fine, swapped the relay, no change",
	"don't know",
	"12.1 volts at the battery",
}

func BenchmarkTurn(b *testing.B) {
	base, _ := kb.Embedded()
	e, err := New(base, nil, DefaultSettings)
	if err != nil {
		b.Fatal(err)
	}
	s, _ := e.Start()
	n := 0
	for b.Loop() {
		if n == len(story) {
			s, _ = e.Start()
			n = 0
		}
		s, _ = e.Step(s, Turn{Text: story[n]})
		n++
	}
}

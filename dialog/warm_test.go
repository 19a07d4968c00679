package dialog

import (
	"sync"
	"testing"

	"github.com/google/go-cmp/cmp"

	"ruleout/kb"
)

// TestWarmBesideTalk: solving ahead may run beside a conversation and changes
// not a byte of it.
func TestWarmBesideTalk(t *testing.T) {
	turns := []Turn{
		{Text: "gets hot in traffic and the fan never comes on"},
		{Tap: &Tap{Finding: "fan-relay-bridge", Outcome: "runs"}},
		{Text: "12.1 volts at the fan relay socket, terminal 30"},
	}
	_, cold := freshEngine(t).Replay(turns)
	e := freshEngine(t)
	stop := make(chan struct{})
	var wg sync.WaitGroup
	wg.Add(1)
	go func() {
		defer wg.Done()
		e.Warm(func() bool {
			select {
			case <-stop:
				return true
			default:
				return false
			}
		})
	}()
	_, beside := e.Replay(turns)
	close(stop)
	wg.Wait()
	if d := cmp.Diff(cold.Text, beside.Text); d != "" {
		t.Errorf("solving ahead changed the reply:\n%s", d)
	}
}

// freshEngine is an engine that has solved nothing yet.
func freshEngine(t *testing.T) *Engine {
	t.Helper()
	b, problems := kb.Embedded()
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	e, err := New(b, nil, DefaultSettings)
	if err != nil {
		t.Fatal(err)
	}
	return e
}

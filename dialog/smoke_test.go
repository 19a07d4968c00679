package dialog

import (
	"fmt"
	"os"
	"strings"
	"testing"

	"ruleout/kb"
)

func TestSmoke(t *testing.T) {
	f := os.Getenv("SMOKE")
	if f == "" {
		t.Skip("no conversation")
	}
	b, _ := kb.Load(kb.EmbeddedFS())
	e, err := New(b, nil, DefaultSettings)
	if err != nil {
		t.Fatal(err)
	}
	s, r := e.Start()
	fmt.Println(r.Text)
	for _, line := range strings.Split(f, "|") {
		fmt.Println("\n>>>", line)
		s, r = e.Step(s, Turn{Text: line})
		fmt.Println(r.Text)
		for _, n := range r.Noted {
			fmt.Printf("   %d %s=%s %g%s cert %.2f %q %s\n", n.Number, n.Finding, n.Outcome, n.Value, n.Unit, n.Certainty, n.Words, n.Note)
		}
		fmt.Printf("   none %.3f next %s %s\n", r.NoneOfThese, r.Next.Kind, r.Next.ID)
	}
}

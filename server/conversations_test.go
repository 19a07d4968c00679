package main

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"ruleout/dialog"
	"ruleout/kb"
)

// TestConversations plays every conversation of testdata/conversations over
// the real articles and index. A file begins with "cause: ID", the cause it
// was written for; lines with "> " are what the person types, a bare number
// being the quick answer of that place; all else is what the program says.
// With -update the files are written anew; the difference is then reviewed.
func TestConversations(t *testing.T) {
	files, err := filepath.Glob(filepath.Join("..", "testdata", "conversations", "*.txt"))
	if err != nil || len(files) < 12 {
		t.Fatalf("only %d conversations found (%v); there must be twelve at least", len(files), err)
	}
	b, problems := kb.Embedded()
	if e := problems.Errors(); len(e) > 0 {
		t.Fatal(e)
	}
	r, err := openRooms(b, &config{})
	if err != nil {
		t.Fatal(err)
	}
	defer r.index.Close()
	for _, file := range files {
		t.Run(strings.TrimSuffix(filepath.Base(file), ".txt"), func(t *testing.T) {
			want, err := os.ReadFile(file)
			if err != nil {
				t.Fatal(err)
			}
			got, closed, cause := play(r.engine, string(want))
			if *update {
				if err := os.WriteFile(file, []byte(got), 0o644); err != nil {
					t.Fatal(err)
				}
			} else if got != string(want) {
				t.Errorf("the conversation went otherwise; see the difference with -update\n%s", firstDifference(string(want), got))
			}
			head, _, _ := strings.Cut(string(want), "\n")
			id := strings.TrimSpace(strings.TrimPrefix(head, "cause:"))
			if b.Cause(id) == nil {
				t.Fatalf("the first line must be “cause: ID” of a cause, got %q", head)
			}
			if cause != id || closed == "" {
				t.Errorf("ended at cause %q, %q; written for %q", cause, closed, id)
			}
		})
	}
}

// play holds the conversation of a script and returns its transcript, how the
// case was closed, and the cause whose repair was proven.
func play(e *dialog.Engine, script string) (transcript, closed, cause string) {
	var out strings.Builder
	s, reply := e.Start()
	body := false
	for _, line := range strings.Split(script, "\n") {
		text, isTurn := strings.CutPrefix(line, "> ")
		if !isTurn && !body {
			fmt.Fprintln(&out, line) // the head, up to the first reply
			if line == "" {
				body = true
				fmt.Fprint(&out, strings.TrimPrefix(forTerminal(reply), "\n"))
			}
			continue
		}
		if !isTurn {
			continue
		}
		fmt.Fprintf(&out, "\n> %s\n", text)
		s, reply = e.Step(s, chosen(text, reply))
		fmt.Fprint(&out, strings.TrimPrefix(forTerminal(reply), "\n"))
		if reply.Next.Kind == "proof" {
			cause = reply.Next.ID
		}
	}
	return out.String(), reply.Closed, cause
}

// firstDifference shows the first line that differs.
func firstDifference(want, got string) string {
	w, g := strings.Split(want, "\n"), strings.Split(got, "\n")
	for i := range max(len(w), len(g)) {
		a, b := "(end)", "(end)"
		if i < len(w) {
			a = w[i]
		}
		if i < len(g) {
			b = g[i]
		}
		if a != b {
			return fmt.Sprintf("line %d\n  kept: %s\n  now:  %s", i+1, a, b)
		}
	}
	return ""
}

package kb

import "testing"

// TestEmbedded lists every problem of the embedded lists and articles and
// fails on those that are more than a warning.
func TestEmbedded(t *testing.T) {
	b, problems := Load(EmbeddedFS())
	for _, p := range problems.Warnings() {
		t.Log(p)
	}
	for _, p := range problems.Errors() {
		t.Error(p)
	}
	t.Logf("sound: %d symptoms, %d causes, %d tests, %d cards, %d findings; %d errors, %d warnings",
		len(b.Symptoms), len(b.Causes), len(b.Tests), len(b.Cards), len(b.Findings()), len(problems.Errors()), len(problems.Warnings()))
}

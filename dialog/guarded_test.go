package dialog

import (
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// TestNeeded: what an expression needs is what stands in every match of it.
func TestNeeded(t *testing.T) {
	for _, c := range []struct {
		pattern string
		needs   []string
	}{
		{`\bclick(?:s|ed|ing)?\b`, []string{"click"}},
		{`\b(?:no|zero) volts?\b`, []string{" volt"}},
		{`\b(?:clamp|earth)s?\b`, []string{"clamp", "earth"}},
		{`a+`, []string{"a"}},
		{`(?:ab){2}`, []string{"ab"}},
		{`(?i)earth`, nil},
		{`(?:earth)?`, nil},
		{`earth|\d+`, nil},
		{`^$`, nil},
	} {
		if got := guard(c.pattern).needs; !slices.Equal(got, c.needs) {
			t.Errorf("%s needs %q, want %q", c.pattern, got, c.needs)
		}
	}
}

// TestGuardedIsPlain tries every guarded expression on what the conversations
// say: it finds what the plain one finds.
func TestGuardedIsPlain(t *testing.T) {
	var texts []string
	files, err := filepath.Glob(filepath.Join("..", "testdata", "conversations", "*.txt"))
	if err != nil || len(files) == 0 {
		t.Fatalf("no conversations (%v)", err)
	}
	for _, file := range files {
		data, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		texts = append(texts, strings.Split(strings.ToLower(string(data)), "\n")...)
	}
	sources, err := filepath.Glob("*.go")
	if err != nil {
		t.Fatal(err)
	}
	call := regexp.MustCompile("guard\\(`([^`]*)`\\)")
	tried, found := 0, 0
	for _, file := range sources {
		data, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		if strings.HasSuffix(file, "_test.go") {
			continue
		}
		for _, m := range call.FindAllStringSubmatch(string(data), -1) {
			plain, quick := regexp.MustCompile(m[1]), guard(m[1])
			tried++
			for _, text := range texts {
				want := plain.FindStringSubmatchIndex(text)
				if want != nil {
					found++
				}
				if got := quick.FindStringSubmatchIndex(text); !slices.Equal(got, want) {
					t.Fatalf("%s finds %v in %q, want %v", m[1], got, text, want)
				}
			}
		}
	}
	if tried < 40 || found < 500 {
		t.Errorf("only %d expressions tried, %d matches", tried, found)
	}
}

package main

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"ruleout/dialog"
	"ruleout/server/casebook"
)

// command runs the program as from a shell and returns its exit code and what
// it wrote.
func command(t *testing.T, input string, args ...string) (code int, out, errs string) {
	t.Helper()
	file := func(name, content string) *os.File {
		path := filepath.Join(t.TempDir(), name)
		writeFile(t, path, content)
		f, err := os.OpenFile(path, os.O_RDWR, 0)
		if err != nil {
			t.Fatal(err)
		}
		t.Cleanup(func() { f.Close() })
		return f
	}
	stdin, stdout, stderr := file("in", input), file("out", ""), file("err", "")
	code = run(context.Background(), args, stdin, stdout, stderr)
	read := func(f *os.File) string {
		data, err := os.ReadFile(f.Name())
		if err != nil {
			t.Fatal(err)
		}
		return string(data)
	}
	return code, read(stdout), read(stderr)
}

// -h explains each command with an example and is no failure.
func TestHelp(t *testing.T) {
	for _, args := range [][]string{{"-h"}, {"talk", "-h"}, {"check", "--help"}} {
		code, out, errs := command(t, "", args...)
		if code != 0 || out != "" || !strings.Contains(errs, "Example:\n  ") || !strings.Contains(errs, "go run ./server") || !strings.Contains(errs, "-articles folder") {
			t.Errorf("%v: code %d\n%s%s", args, code, out, errs)
		}
	}
	if code, out, _ := command(t, "", "help"); code != 0 || !strings.Contains(out, "talk") || !strings.Contains(out, "check") {
		t.Errorf("help: %d %s", code, out)
	}
}

// Whoever asks wrongly is told what was wrong, and the exit code is 2; what
// fails for another reason gives 1.
func TestWrongUse(t *testing.T) {
	foreign := t.TempDir()
	writeFile(t, filepath.Join(foreign, "cases.db"), strings.Repeat("not a file of cases ", 1000))
	plain := filepath.Join(t.TempDir(), "file")
	writeFile(t, plain, "x")
	for _, x := range []struct {
		args []string
		code int
		says string
	}{
		{[]string{"-bogus"}, 2, "-bogus"},
		{[]string{"talk", "-bogus"}, 2, "-bogus"},
		{[]string{"check", "-json"}, 2, "-json"},
		{[]string{"chekc"}, 2, `"chekc"`},
		{[]string{"talk", "hello", "there"}, 2, `"hello there"`},
		{[]string{"check", "-articles", filepath.Join(plain, "none")}, 1, "none"},
		{[]string{"talk", "-articles", plain}, 1, plain},
		{[]string{"check", "-data", t.TempDir()}, 1, "cases.db"},
		{[]string{"check", "-data", foreign}, 1, "damaged, or not a file of cases"},
		{[]string{"-data", foreign}, 1, "damaged, or not a file of cases"},
		{[]string{"-data", plain}, 1, plain},
		{[]string{"-data", t.TempDir(), "-listen", "nowhere"}, 1, "-listen"},
		{[]string{"-data", t.TempDir(), "-listen", "127.0.0.1:99999"}, 1, "99999"},
	} {
		code, out, errs := command(t, "", x.args...)
		if code != x.code || !strings.Contains(errs, x.says) {
			t.Errorf("%v: code %d, want %d; said %q, want %q in it (%s)", x.args, code, x.code, errs, x.says, out)
		}
	}
}

// A second program over the same cases is told so.
func TestSecondProgram(t *testing.T) {
	data := t.TempDir()
	startProgram(t, data)
	code, _, errs := command(t, "", "-data", data)
	if code != 1 || !strings.Contains(errs, "in use by another ruleout") {
		t.Errorf("code %d: %s", code, errs)
	}
}

func TestCheckEmbedded(t *testing.T) {
	code, out, errs := command(t, "", "check")
	if code != 0 || errs != "" || !strings.Contains(out, " 0 errors") {
		t.Errorf("code %d: %s%s", code, out, errs)
	}
}

// Every fault of a folder is printed with file:line:column.
func TestCheckBrokenFolder(t *testing.T) {
	dir := t.TempDir()
	writeFile(t, filepath.Join(dir, "articles/cooling/mine.yaml"), "kind: card\nid: mine\ntitle: Mine\nsystem: cooling\nsiad: [mine]\nbody: |\n  See [nothing](article:nothing-there).\n")
	writeFile(t, filepath.Join(dir, "articles/cooling/fan-motor-failed.yaml"), retitled(t, "fan-motor-failed", "Mine")+"\nunheard-of: 1\n")
	writeFile(t, filepath.Join(dir, "stray.yaml"), "kind: card\n")
	code, out, errs := command(t, "", "check", "-articles", dir)
	if code != 1 || !strings.Contains(errs, "errors in the articles") {
		t.Errorf("code %d: %s", code, errs)
	}
	for _, want := range []string{
		`articles/cooling/mine\.yaml:5:1: .*"siad".*"said"`,
		`articles/cooling/fan-motor-failed\.yaml:\d+:1: .*"unheard-of"`,
		`stray\.yaml:1:1: not read here`,
	} {
		if !regexp.MustCompile("(?m)^" + want).MatchString(out) {
			t.Errorf("no line %s in\n%s", want, out)
		}
	}
}

func TestCheckCases(t *testing.T) {
	data := t.TempDir()
	book, err := casebook.Open(casesFile(data))
	if err != nil {
		t.Fatal(err)
	}
	if err := book.Create("one", casebook.About{}); err != nil {
		t.Fatal(err)
	}
	for n := range 3 {
		if err := book.Append("one", casebook.Record{Turn: dialog.Turn{Text: fmt.Sprint(n)}}); err != nil {
			t.Fatal(err)
		}
	}
	if code, _, errs := command(t, "", "check", "-data", data); code != 1 || !strings.Contains(errs, "in use") {
		t.Errorf("check of cases in use: %d %s", code, errs)
	}
	book.Close()
	code, out, errs := command(t, "", "check", "-data", data)
	if code != 0 || !strings.Contains(out, "1 cases with 3 turns, 0 notes and photos, 0 vehicles, all readable") {
		t.Errorf("code %d: %s%s", code, out, errs)
	}
}

// talk -json: a line of any kind in, one object out, in order.
func TestTalkJSON(t *testing.T) {
	lines := append(append([]string{}, story...), "", "\x00\xff\xfe", strings.Repeat("hot ", 1<<18), `{"text":"x"}`, "last line without an end")
	code, out, errs := command(t, strings.Join(lines, "\r\n"), "talk", "-json")
	if code != 0 || errs != "" {
		t.Fatalf("code %d: %s", code, errs)
	}
	got := strings.Split(strings.TrimSuffix(out, "\n"), "\n")
	if len(got) != len(lines) {
		t.Fatalf("%d lines out for %d in", len(got), len(lines))
	}
	for i, l := range got {
		var r dialog.Reply
		dec := json.NewDecoder(strings.NewReader(l))
		dec.DisallowUnknownFields()
		if err := dec.Decode(&r); err != nil || dec.More() {
			t.Fatalf("line %d is no single object: %v", i+1, err)
		}
		if r.Turn != i+1 || r.Text == "" {
			t.Errorf("line %d: turn %d, reply %q", i+1, r.Turn, r.Text)
		}
		if !sumsToOne(&r) {
			t.Errorf("line %d: suspects, pairs and none of these sum to more than one", i+1)
		}
		for _, key := range []string{"noted", "unread", "suspects", "none_of_these", "ruled_out", "next", "reply", "cites", "stop"} {
			if !strings.Contains(l, `"`+key+`":`) {
				t.Errorf("line %d has no %s", i+1, key)
			}
		}
	}
	if _, again, _ := command(t, strings.Join(lines, "\r\n"), "talk", "-json"); again != out {
		t.Error("the same lines gave other bytes")
	}
	if code, out, _ := command(t, "", "talk", "-json"); code != 0 || out != "" {
		t.Errorf("nothing in: code %d, %q out", code, out)
	}
}

// sumsToOne: what is listed sums to one, less the suspects beyond the tenth.
func sumsToOne(r *dialog.Reply) bool {
	sum := r.NoneOfThese
	for i, s := range r.Suspects {
		if sum += s.Probability; i > 0 && s.Probability > r.Suspects[i-1].Probability {
			return false
		}
	}
	for _, p := range r.Pairs {
		sum += p.Probability
	}
	return sum <= 1+1e-6 && (len(r.Suspects) == 10 || sum >= 1-1e-2)
}

// talk over a pipe: the opening, a reply a line, numbers choose quick answers.
func TestTalkPiped(t *testing.T) {
	code, out, errs := command(t, story[0]+"\n1\nwhat did you note?\n", "talk", "-data", t.TempDir())
	if code != 0 || errs != "" {
		t.Fatalf("code %d: %s", code, errs)
	}
	if n := strings.Count(out, "Understood:"); n < 1 {
		t.Errorf("nothing was understood:\n%s", out)
	}
	if !strings.Contains(out, "[1 ") || strings.Contains(out, "](article:") || strings.Contains(out, "**") {
		t.Errorf("not set for a terminal:\n%s", out)
	}
	for _, l := range strings.Split(out, "\n") {
		if len([]rune(l)) > width+1 && !strings.HasPrefix(l, "  [") && !strings.HasPrefix(l, "  (") {
			t.Errorf("a line of %d characters: %s", len([]rune(l)), l)
		}
	}
	if code, out, _ := command(t, "\n\n"+story[0]+"\n", "talk", "-data", t.TempDir()); code != 0 || strings.Contains(out, "Understood") {
		t.Errorf("two empty lines did not end it: %d %s", code, out)
	}
}

func TestTalkExplains(t *testing.T) {
	_, out, _ := command(t, story[0]+"\n", "talk", "-explain", "-data", t.TempDir())
	for _, want := range []string{`(?m)^ +fan-motor-failed +prior 0\.\d{4} now 0\.\d{4}`, `=\S.* [+-]\d+\.\d dB`, `cost \d+\.\d\d worth`} {
		if !regexp.MustCompile(want).MatchString(out) {
			t.Errorf("no %s in\n%s", want, out)
		}
	}
}

// A terminal's output breaks between words and keeps every word.
func TestWrap(t *testing.T) {
	for _, x := range []struct{ in, out string }{
		{"", "\n"},
		{"short", "short\n"},
		{"  indented", "  indented\n"},
		{strings.Repeat("word ", 20), strings.TrimSpace(strings.Repeat("word ", 15)) + "\n" + strings.TrimSpace(strings.Repeat("word ", 5)) + "\n"},
		{"1. " + strings.Repeat("word ", 16), "1. " + strings.TrimSpace(strings.Repeat("word ", 15)) + "\n   word\n"},
		{strings.Repeat("x", 100), strings.Repeat("x", 100) + "\n"},
	} {
		var b strings.Builder
		wrap(&b, x.in)
		if b.String() != x.out {
			t.Errorf("%q became %q, want %q", x.in, b.String(), x.out)
		}
	}
}

// Lines typed are remembered, up to a bound, in a file of one's own.
func TestHistory(t *testing.T) {
	h := history{filepath.Join(t.TempDir(), "new", "history")}
	if got := h.load(); len(got) != 0 {
		t.Errorf("no file gave %q", got)
	}
	for n := range historyLines + 50 {
		h.add(fmt.Sprint("line ", n))
	}
	h.add("  ")
	h.add("two\nlines")
	h.add(strings.Repeat("x", historyLine+1))
	got := h.load()
	if len(got) != historyLines || got[0] != "line 51" || got[len(got)-1] != "two lines" {
		t.Errorf("%d lines from %q to %q", len(got), got[0], got[len(got)-1])
	}
	data, err := os.ReadFile(h.path)
	if err != nil || bytes.Count(data, []byte("\n")) != historyLines {
		t.Errorf("the file was not cut down (%v)", err)
	}
	if st, err := os.Stat(h.path); err != nil || st.Mode().Perm() != 0o600 {
		t.Errorf("others may read the history: %v %v", st.Mode(), err)
	}
	// What can't be written is no failure.
	history{filepath.Join(h.path, "below", "a", "file")}.add("x")
}

// The schema for editors is JSON and names the kinds of article.
func TestCheckSchema(t *testing.T) {
	code, out, _ := command(t, "", "check", "-schema")
	var schema map[string]any
	if err := json.Unmarshal([]byte(out), &schema); err != nil || code != 0 {
		t.Fatalf("exit %d, %v: %.200s", code, err, out)
	}
	for _, kind := range []string{"symptom", "cause", "test", "card"} {
		if !strings.Contains(out, kind) {
			t.Errorf("the schema does not tell of %s", kind)
		}
	}
}

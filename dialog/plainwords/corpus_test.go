package plainwords

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"sort"
	"strconv"
	"strings"
	"testing"
)

// Floors of the corpus: below them the reader has become worse.
const (
	leastRecall    = 0.95
	leastPrecision = 0.98
)

// corpusLine is one authored turn.
type corpusLine struct {
	file, text, context string
	expected            []string
}

func corpus(tb testing.TB) []corpusLine {
	tb.Helper()
	files, err := filepath.Glob("../../testdata/plainwords/*.txt")
	if err != nil || len(files) == 0 {
		tb.Fatal(err, "no corpus")
	}
	var out []corpusLine
	for _, file := range files {
		data, err := os.ReadFile(file)
		if err != nil {
			tb.Fatal(err)
		}
		for _, line := range strings.Split(string(data), "\n") {
			if line == "" || strings.HasPrefix(line, "#") {
				continue
			}
			f := strings.Split(line, " | ")
			if len(f) != 3 {
				tb.Fatalf("%s: not text | context | expected: %q", file, line)
			}
			out = append(out, corpusLine{filepath.Base(file), f[0], f[1], strings.Split(f[2], ", ")})
		}
	}
	return out
}

// kindOf names the kind of a fact in the notation of the corpus.
func kindOf(r *Reader, fact string) string {
	for _, p := range []struct{ prefix, kind string }{{"cond:", "condition"}, {"part:", "part"}, {"event:", "event"}, {"?", "request"}, {"@", "vehicle"}, {"+", "tool"}, {"-", "tool"}, {"code:", "code"}, {"circ:", "circumstance"}, {"unread:", "unread"}} {
		if strings.HasPrefix(fact, p.prefix) {
			return p.kind
		}
	}
	if strings.Contains(fact, "~") {
		return "reading"
	}
	id, _, _ := strings.Cut(fact, "=")
	if r.symptom[id] != nil {
		return "symptom"
	}
	return "outcome"
}

// tally counts facts of one file or kind.
type tally struct{ turns, wanted, found, extra int }

func (c tally) recall() float64    { return float64(c.found) / math.Max(1, float64(c.wanted)) }
func (c tally) precision() float64 { return float64(c.found) / math.Max(1, float64(c.found+c.extra)) }

// TestCorpus reads the authored turns. What must not be read fails at once,
// recall and precision are held above a floor and printed by file and by kind,
// with what was read in the place of what. Precision counts every fact that
// the line does not expect, so it is strict: one that is true but not listed
// counts against it as well.
func TestCorpus(t *testing.T) {
	r := NewReader(looseBase(t))
	files, kinds, confused := map[string]*tally{}, map[string]*tally{}, map[string]int{}
	at := func(m map[string]*tally, k string) *tally {
		if m[k] == nil {
			m[k] = &tally{}
		}
		return m[k]
	}
	all := &tally{}
	for _, line := range corpus(t) {
		a := r.Read(line.text, contextOf(t, line.context))
		checkAccount(t, a)
		have := facts(a)
		expected := map[string]bool{}
		var missed, more []string
		for _, want := range line.expected {
			if no, ok := strings.CutPrefix(want, "!"); ok {
				if match1(a, have, no) != "" {
					t.Errorf("%q: must not read %s", line.text, no)
				}
				continue
			}
			for _, c := range []*tally{all, at(files, line.file), at(kinds, kindOf(r, want))} {
				c.wanted++
			}
			if key := match1(a, have, want); key != "" {
				expected[key] = true
				for _, c := range []*tally{all, at(files, line.file), at(kinds, kindOf(r, want))} {
					c.found++
				}
			} else {
				missed = append(missed, want)
			}
		}
		for k := range have {
			if !expected[k] && !strings.HasPrefix(k, "unread:") {
				more = append(more, k)
			}
		}
		sort.Strings(more)
		for _, k := range more {
			for _, c := range []*tally{all, at(files, line.file), at(kinds, kindOf(r, k))} {
				c.extra++
			}
			for _, m := range missed {
				confused[kindOf(r, m)+" read as "+kindOf(r, k)]++
			}
		}
		all.turns++
		at(files, line.file).turns++
		if len(missed)+len(more) > 0 {
			t.Logf("%q (%s): missed %v, more %v", line.text, line.context, missed, more)
		}
	}
	var b strings.Builder
	row := func(name string, c *tally) {
		fmt.Fprintf(&b, "%-18s %4d turns %4d facts, recall %.3f, precision %.3f\n", name, c.turns, c.wanted, c.recall(), c.precision())
	}
	for _, k := range sortedKeys(files) {
		row(k, files[k])
	}
	row("all", all)
	for _, k := range sortedKeys(kinds) {
		row(k, kinds[k])
	}
	for _, k := range sortedKeys(confused) {
		fmt.Fprintf(&b, "%s: %d\n", k, confused[k])
	}
	t.Log("\n" + b.String())
	if all.turns < 500 || files["adversarial.txt"].turns < 150 {
		t.Errorf("%d turns, %d adversarial: want 500 and 150", all.turns, files["adversarial.txt"].turns)
	}
	if all.recall() < leastRecall || all.precision() < leastPrecision {
		t.Errorf("recall %.3f, precision %.3f: below %.2f, %.2f", all.recall(), all.precision(), leastRecall, leastPrecision)
	}
}

func contextOf(t *testing.T, s string) Context {
	f := strings.Fields(s)
	if len(f) != 2 {
		t.Fatalf("context %q", s)
	}
	var c Context
	if f[0] != "-" {
		c.Asked = &Asked{Finding: f[0]}
	}
	if f[1] != "-" {
		c.Chief = f[1]
	}
	return c
}

// facts lists what an account says, in the notation of the corpus.
func facts(a Account) map[string]bool {
	out := map[string]bool{}
	for _, o := range a.Observations {
		if o.Reading != nil {
			out[o.Finding+"~"+strconv.FormatFloat(o.Reading.Value, 'f', 3, 64)] = true
		} else {
			out[o.Finding+"="+o.Outcome] = true
		}
	}
	for _, q := range a.Requests {
		out["?"+q.Kind] = true
	}
	for _, v := range a.Vehicle {
		out["@"+v.Attribute+"="+v.Value] = true
	}
	for _, x := range a.Tools {
		if x.Have {
			out["+"+x.Tool] = true
		} else {
			out["-"+x.Tool] = true
		}
	}
	for _, c := range a.Codes {
		out["code:"+c.Text] = true
	}
	for _, c := range a.Circumstances {
		out["circ:"+c.Kind] = true
	}
	for _, s := range a.Spans {
		if s.Kind == SpanUnread {
			for _, w := range strings.Fields(a.Text[s.Start:s.End]) {
				out["unread:"+w] = true
			}
		}
	}
	return out
}

// match1 returns the fact that meets the expectation, or "".
func match1(a Account, have map[string]bool, want string) string {
	finding, number, reading := strings.Cut(want, "~")
	if !reading {
		if have[want] {
			return want
		}
		return ""
	}
	v, err := strconv.ParseFloat(number, 64)
	if err != nil {
		return ""
	}
	for _, o := range a.Observations {
		if o.Finding == finding && o.Reading != nil && math.Abs(o.Reading.Value-v) < 1e-3 {
			return o.Finding + "~" + strconv.FormatFloat(o.Reading.Value, 'f', 3, 64)
		}
	}
	return ""
}

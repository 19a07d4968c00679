package plainwords

import (
	"math"
	"os"
	"strconv"
	"strings"
	"testing"
)

// Floors of the corpus: below them the reader has become worse.
const (
	leastRecall    = 0.90
	leastPrecision = 0.75
)

// TestCorpus reads the authored turns. Whatever must not be read fails at
// once; recall and precision are held above a floor and printed. Precision
// counts every observation that the line does not expect, so it is strict:
// an extra condition that is true counts against it as well.
func TestCorpus(t *testing.T) {
	data, err := os.ReadFile("../../testdata/plainwords/turns.txt")
	if err != nil {
		t.Fatal(err)
	}
	r := NewReader(looseBase(t))
	lines, wanted, found, extra := 0, 0, 0, 0
	for _, line := range strings.Split(string(data), "\n") {
		if line == "" || strings.HasPrefix(line, "#") {
			continue
		}
		f := strings.Split(line, " | ")
		if len(f) != 3 {
			t.Fatalf("not text | context | expected: %q", line)
		}
		lines++
		a := r.Read(f[0], contextOf(t, f[1]))
		checkAccount(t, a)
		have := facts(a)
		expected := map[string]bool{}
		var missed []string
		for _, want := range strings.Split(f[2], ", ") {
			if no, ok := strings.CutPrefix(want, "!"); ok {
				if have[no] {
					t.Errorf("%q: must not read %s", f[0], no)
				}
				continue
			}
			wanted++
			if key := match1(a, have, want); key != "" {
				found++
				expected[key] = true
			} else {
				missed = append(missed, want)
			}
		}
		var more []string
		for k := range have {
			if !expected[k] && !strings.HasPrefix(k, "unread:") {
				more = append(more, k)
			}
		}
		extra += len(more)
		if len(missed)+len(more) > 0 {
			t.Logf("%q: missed %v, more %v", f[0], missed, more)
		}
	}
	if lines < 150 {
		t.Errorf("%d turns, want 150", lines)
	}
	recall, precision := float64(found)/float64(wanted), float64(found)/float64(found+extra)
	t.Logf("%d turns, %d expected: recall %.3f, precision %.3f", lines, wanted, recall, precision)
	if recall < leastRecall || precision < leastPrecision {
		t.Errorf("recall %.3f, precision %.3f: below %.2f, %.2f", recall, precision, leastRecall, leastPrecision)
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

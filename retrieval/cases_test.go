package retrieval

import (
	"fmt"
	"strings"
	"testing"

	"ruleout/kb"
)

var pastCases = []CaseText{
	{"fan", "Engine gets too hot", "my van gets hot in traffic, fine on the open road\nthe fan never comes on", "overheats where: only stopped or in slow traffic\nRadiator fan motor failed"},
	{"flat", "Battery flat after standing", "dead every monday morning, it read 12.1 V\na mate put a radio in around easter", "after standing two days\nRadio wired to the permanent supply"},
	{"click", "Starter clicks", "just one click when I turn the key, headlights stay bright", "solenoid clicks once\nStarter motor brushes worn"},
	{"squeal", "Belt squeals", "squeals when it rains and i turn the wheel", "belt slack\nAuxiliary belt worn"},
}

func openCases(t testing.TB, cases []CaseText) *Index {
	t.Helper()
	b, problems := kb.Embedded()
	if e := problems.Errors(); len(e) > 0 {
		t.Fatal(e)
	}
	x, err := OpenCases(b, cases)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { x.Close() })
	return x
}

// A past case is found by other words than it was told in, with a slip, and by
// what was found; the piece shown has the words.
func TestPastCasesAreFound(t *testing.T) {
	x := openCases(t, pastCases)
	for words, want := range map[string]string{
		"overheating at lights":       "fan",
		"cooling fan motor":           "fan",
		"battery flat on mondays":     "flat",
		"the radio we fitted":         "flat",
		"only a clik from the startr": "click",
		"slack belt":                  "squeal",
	} {
		hits, err := x.Search(words, 5)
		if err != nil {
			t.Fatal(err)
		}
		if len(hits) == 0 || hits[0].ID != want || hits[0].Kind != KindCase {
			t.Errorf("%q finds %+v, want %s", words, hits, want)
			continue
		}
		if hits[0].Snippet == "" {
			t.Errorf("%q: no piece is shown", words)
		}
		for _, m := range hits[0].Marks {
			if m[0] < 0 || m[1] > len(hits[0].Snippet) || m[0] >= m[1] {
				t.Errorf("%q: mark %v outside %q", words, m, hits[0].Snippet)
			}
		}
	}
	if hits, err := x.Search("gearbox whine", 5); err != nil || len(hits) != 0 {
		t.Errorf("words of no case find %v (%v)", hits, err)
	}
}

// What is like a case is another case, never itself.
func TestLikeThisOne(t *testing.T) {
	x := openCases(t, append(pastCases, CaseText{"fan2", "Engine gets too hot", "needle climbs in traffic", "fan stays off"}))
	hits, err := x.Related("fan", 3)
	if err != nil {
		t.Fatal(err)
	}
	if len(hits) == 0 || hits[0].ID != "fan2" {
		t.Errorf("like fan: %+v", hits)
	}
	for _, h := range hits {
		if h.ID == "fan" {
			t.Error("a case is like itself")
		}
	}
	if _, err := x.Related("nobody", 3); err == nil {
		t.Error("something is like a case that is not there")
	}
}

// With no case at all nothing is found and nothing breaks.
func TestNoPastCases(t *testing.T) {
	if hits, err := openCases(t, nil).Search("gets hot", 5); err != nil || len(hits) != 0 {
		t.Errorf("%v, %v", hits, err)
	}
}

// Making the index over five hundred cases, which happens when one has gone on
// and somebody searches.
func BenchmarkOpenCases(b *testing.B) {
	base, problems := kb.Embedded()
	if e := problems.Errors(); len(e) > 0 {
		b.Fatal(e)
	}
	var cases []CaseText
	for i := range 500 {
		c := pastCases[i%len(pastCases)]
		c.ID, c.Said = fmt.Sprint(c.ID, i), strings.Repeat(c.Said+"\n", 5)
		cases = append(cases, c)
	}
	for b.Loop() {
		x, err := OpenCases(base, cases)
		if err != nil {
			b.Fatal(err)
		}
		x.Close()
	}
}

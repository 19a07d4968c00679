package main

import (
	"bytes"
	"encoding/json"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"ruleout/dialog"
	"ruleout/kb"
)

var update = flag.Bool("update", false, "rewrite the golden files")

// example is one real trouble as its owner told it.
type example struct {
	ID        string   `json:"id"`
	Area      string   `json:"area"`
	Vehicle   string   `json:"vehicle"`
	Complaint string   `json:"complaint"`
	Facts     []string `json:"facts"`
	Accept    []string `json:"accept"`
	Reject    []string `json:"reject"`
	// RejectUnless are pairs: what matches the first is wrong unless it matches
	// the second.
	RejectUnless [][2]string `json:"reject_unless"`
	// Held cases are not looked at by those who write articles.
	Held bool `json:"held"`
}

// score counts, for one area, how often the right cause leads and how many
// lines were read.
type score struct {
	Cases, First, Three, Five int
	Facts, Noted, Listed      int
}

// TestExamples runs the examples through talk -json, a line a turn, prints the
// table and fails when it went down against the one in testdata.
func TestExamples(t *testing.T) {
	data, err := os.ReadFile("../../shared/cases/examples.json")
	if err != nil {
		t.Skip("the example cases are not beside this checkout; nothing is scored")
	}
	scores := scoreCases(t, data)
	table := scoreTable(scores)
	fmt.Print(table)
	holdTable(t, filepath.Join("..", "testdata", "cases", "score.txt"), table, scores)
}

// TestInventedCases does the same with troubles that somebody who had not seen
// the articles made up (testdata/cases/README.md). Those held back stand in one
// row: nothing is ever written for them, so they tell what strangers meet.
func TestInventedCases(t *testing.T) {
	for _, name := range []string{"invented", "invented-2"} {
		data, err := os.ReadFile(filepath.Join("..", "testdata", "cases", name+".json"))
		if err != nil {
			t.Fatal(err)
		}
		scores := scoreCases(t, data)
		table := scoreTable(scores)
		fmt.Print(table)
		holdTable(t, filepath.Join("..", "testdata", "cases", name+"-score.txt"), table, scores)
	}
}

// scoreCases talks through every case and scores it under its area, or under
// "held".
func scoreCases(t *testing.T, data []byte) map[string]*score {
	t.Helper()
	var cases []example
	if err := json.Unmarshal(data, &cases); err != nil {
		t.Fatal(err)
	}
	b, _ := kb.Embedded()
	r, err := openRooms(b, &config{})
	if err != nil {
		t.Fatal(err)
	}
	defer r.index.Close()
	scores := map[string]*score{}
	for _, c := range cases {
		lines := append([]string{c.Complaint, c.Vehicle}, c.Facts...)
		var out bytes.Buffer
		if err := talkJSON(r.engine, nil, strings.NewReader(strings.Join(lines, "\n")+"\n"), &out); err != nil {
			t.Fatal(err)
		}
		area := c.Area
		if c.Held {
			area = "held"
		}
		s := scores[area]
		if s == nil {
			s = &score{}
			scores[area] = s
		}
		rank := s.count(t, c, &out)
		if testing.Verbose() && !c.Held {
			t.Logf("%-12s right cause at %d", c.ID, rank)
		}
	}
	return scores
}

// count reads the replies of one case and returns the rank of the right cause,
// 0 when it is not among the first ten.
func (s *score) count(t *testing.T, c example, out *bytes.Buffer) int {
	t.Helper()
	s.Cases++
	dec := json.NewDecoder(out)
	var last dialog.Reply
	for i := 0; dec.More(); i++ {
		last = dialog.Reply{}
		if err := dec.Decode(&last); err != nil {
			t.Fatalf("%s: %v", c.ID, err)
		}
		if i < 2 {
			continue // the complaint and the vehicle
		}
		s.Facts++
		switch {
		case len(last.Noted) > 0:
			s.Noted++
		case len(last.Unread) > 0:
			s.Listed++
		}
	}
	for i, sus := range last.Suspects {
		if right(c, sus.Title) {
			if i == 0 {
				s.First++
			}
			if i < 3 {
				s.Three++
			}
			if i < 5 {
				s.Five++
			}
			return i + 1
		}
	}
	return 0
}

func right(c example, title string) bool {
	matches := func(p string) bool { return regexp.MustCompile(p).MatchString(strings.ToLower(title)) }
	rejected := slices.ContainsFunc(c.RejectUnless, func(p [2]string) bool { return matches(p[0]) && !matches(p[1]) })
	return slices.ContainsFunc(c.Accept, matches) && !slices.ContainsFunc(c.Reject, matches) && !rejected
}

// scoreTable prints the scores by area and for all.
func scoreTable(scores map[string]*score) string {
	var b strings.Builder
	row := func(name string, s *score) {
		fmt.Fprintf(&b, "%-22s %5d %5d %5d %5d   %5d %5.0f %% %5.0f %%\n", name, s.Cases, s.First, s.Three, s.Five, s.Facts,
			100*float64(s.Noted)/float64(max(s.Facts, 1)), 100*float64(s.Listed)/float64(max(s.Facts, 1)))
	}
	fmt.Fprintf(&b, "%-22s %5s %5s %5s %5s   %5s %7s %7s\n", "area", "cases", "first", "three", "five", "facts", "noted", "listed")
	all := &score{}
	areas := make([]string, 0, len(scores))
	for a := range scores {
		areas = append(areas, a)
	}
	slices.Sort(areas)
	for _, a := range areas {
		s := scores[a]
		row(a, s)
		all.Cases += s.Cases
		all.First += s.First
		all.Three += s.Three
		all.Five += s.Five
		all.Facts += s.Facts
		all.Noted += s.Noted
		all.Listed += s.Listed
	}
	row("all", all)
	return b.String()
}

// holdTable compares with the table kept and fails when a count went down.
func holdTable(t *testing.T, path, table string, scores map[string]*score) {
	t.Helper()
	if *update {
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, []byte(table), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	kept, err := os.ReadFile(path)
	if err != nil {
		t.Fatalf("no table to compare with: %v; make it with go test ./server -run TestExamples -update", err)
	}
	for _, line := range strings.Split(string(kept), "\n")[1:] {
		f := strings.Fields(line)
		if len(f) < 5 || f[0] == "all" {
			continue
		}
		var first, three, five int
		if _, err := fmt.Sscan(strings.Join(f[2:5], " "), &first, &three, &five); err != nil {
			t.Fatalf("%s: %q is not a row: %v", path, line, err)
		}
		s := scores[f[0]]
		if s == nil {
			t.Errorf("%s: no case of %s any more", path, f[0])
			continue
		}
		if s.First < first || s.Three < three || s.Five < five {
			t.Errorf("%s went down: first %d, three %d, five %d; kept %d, %d, %d", f[0], s.First, s.Three, s.Five, first, three, five)
		}
	}
}

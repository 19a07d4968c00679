package main

import (
	"encoding/json"
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

func TestZChief(t *testing.T) {
	b, _ := kb.Embedded()
	r, err := openRooms(b, &config{})
	if err != nil { t.Fatal(err) }
	defer r.index.Close()
	for _, f := range []string{"../../shared/cases/examples.json", "../testdata/cases/invented.json", "../testdata/cases/invented-2.json"} {
		data, _ := os.ReadFile(filepath.Join(f))
		var cases []example
		json.Unmarshal(data, &cases)
		count := map[string]map[string]int{"open": {}, "held": {}}
		for _, c := range cases {
			var causes []*kb.Cause
			for _, k := range b.Causes {
				if right(c, k.Title) { causes = append(causes, k) }
			}
			good := map[string]bool{}
			for _, k := range causes {
				for s, p := range k.Shows {
					if x := b.Symptom(s); x != nil && zl(p["present"]) >= 0.25 { good[s] = true }
				}
				_ = regexp.MustCompile
			}
			s, _ := r.engine.Start()
			_, rep := r.engine.Step(s, dialog.Turn{Text: c.Complaint})
			n, g, w := 0, 0, []string{}
			for _, o := range rep.Noted {
				if x := b.Symptom(o.Finding); x != nil && o.Outcome == "present" && o.Weighs {
					n++
					if good[o.Finding] { g++ } else { w = append(w, o.Finding) }
				}
			}
			side := "open"
			if c.Held { side = "held" }
			m := count[side]
			m["cases"]++
			m["told"] += n
			m["good"] += g
			if g > 0 { m["anygood"]++ } else if n > 0 { m["onlywrong"]++ } else { m["none"]++ }
			if len(causes) == 0 { m["nocause"]++ }
			hits, _ := r.engine.ZMatch(c.Complaint)
			for i, h := range hits {
				if good[h] { m[fmt.Sprint("index", i+1)]++; if g == 0 { m[fmt.Sprint("save", i+1)]++ }; break }
			}
			if side == "open" && g == 0 && os.Getenv("ZV") != "" {
				fmt.Println(c.ID, "|", c.Complaint, "| wrong", w, "| index", hits[:min(3, len(hits))], slices.Sorted(func(y func(string) bool) { for k := range good { if !y(k) { return } } }), len(causes))
			}
			_ = strings.TrimSpace
		}
		fmt.Println(f, count)
	}
}

func zl(l kb.Likelihood) float64 { p, _ := l.Value(); return p }

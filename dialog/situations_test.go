package dialog

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"gopkg.in/yaml.v3"

	"ruleout/dialog/plainwords"
	"ruleout/kb"
)

// situation is one line of testdata/situations; README.md there explains it.
type situation struct {
	System  string   `yaml:"system"`
	Symptom string   `yaml:"symptom"`
	Item    string   `yaml:"item"`
	Also    []string `yaml:"also"`
	Told    []string `yaml:"told"`
	Then    []string `yaml:"then"`
	Expect  []string `yaml:"expect"`
	Why     string   `yaml:"why"`
}

// sameDB is how little "same" may be, rough the share of a size that passes.
// Basis: memory.
const (
	sameDB = 1.5
	rough  = 0.6
)

// tell notes FINDING=OUTCOME@ITEM by MEANS.
func (e *Engine) tell(s *State, line string) error {
	what, means, _ := strings.Cut(line, " by ")
	what, item, _ := strings.Cut(what, "@")
	finding, outcome, ok := strings.Cut(what, "=")
	f, _ := e.finding(finding, means)
	if !ok || f == nil || f.OutcomeIndex(outcome) < 0 {
		return fmt.Errorf("%q is no outcome of a finding", line)
	}
	e.note(s, plainwords.Observation{Finding: finding, Outcome: outcome, Item: item, Means: means, Source: "tried", Hedge: "plain", Certainty: 0.9}, "", &heard{})
	return nil
}

// suspicion is the odds in decibans that the trouble is a cause of the part, or
// of the part in the mode; against none of these, the same.
func (e *Engine) suspicion(s *State, what string) (odds, againstNone float64) {
	part, mode, _ := strings.Cut(what, "/")
	post := e.judgeOnly(s)
	p := 0.0
	for i, c := range e.base.Causes {
		if c.Part == part && (mode == "" || c.Mode == mode) || c.ID == what {
			p += post.Singles[i]
		}
	}
	p = min(max(p, 1e-7), 1-1e-7)
	return 10 * math.Log10(p/(1-p)), 10 * math.Log10(p/post.None)
}

func TestSituations(t *testing.T) {
	b, _ := kb.Embedded()
	e, err := New(b, nil, DefaultSettings)
	if err != nil {
		t.Fatal(err)
	}
	files, _ := filepath.Glob("../testdata/situations/*.yaml")
	all, systems := 0, map[string]int{}
	for _, file := range files {
		text, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		var list []situation
		if err := yaml.Unmarshal(text, &list); err != nil {
			t.Fatalf("%s: %v", file, err)
		}
		for i, x := range list {
			all++
			systems[x.System]++
			t.Run(fmt.Sprintf("%s/%d %s", strings.TrimSuffix(filepath.Base(file), ".yaml"), i+1, x.Symptom), func(t *testing.T) { e.trySituation(t, x) })
		}
	}
	if all < 150 || len(systems) < len(b.Systems) {
		t.Errorf("%d situations over %d systems, want 150 over all %d", all, len(systems), len(b.Systems))
	}
}

func (e *Engine) trySituation(t *testing.T, x situation) {
	s, _ := e.Start()
	s.Turns = append(s.Turns, Turn{})
	for _, sym := range append([]string{x.Symptom}, x.Also...) {
		y := e.base.Symptom(sym)
		if y == nil {
			t.Fatalf("there is no symptom %s", sym)
		}
		of := y.Of
		if len(of) == 0 {
			of = map[string]string{sym: "present"}
		}
		for _, id := range sortedKeys(of) {
			line := id + "=" + of[id]
			if x.Item != "" && sym == x.Symptom {
				line += "@" + x.Item
			}
			if err := e.tell(s, line); err != nil {
				t.Fatal(err)
			}
		}
		if s.Chief == "" {
			s.Chief = sym
		}
	}
	for _, line := range x.Told {
		if err := e.tell(s, line); err != nil {
			t.Fatal(err)
		}
	}
	for _, line := range x.Then {
		// Whoever tells of a part has it.
		if part := e.partOf(line); part != "" {
			e.learnFromPart(s, part, "", 0, 0, &heard{})
		}
	}
	before, none := map[string]float64{}, map[string]float64{}
	for _, want := range x.Expect {
		what := strings.Fields(want)[0]
		before[what], none[what] = e.suspicion(s, what)
	}
	for _, line := range x.Then {
		if err := e.tell(s, line); err != nil {
			t.Fatal(err)
		}
	}
	for _, want := range x.Expect {
		f := strings.Fields(want)
		odds, against := e.suspicion(s, f[0])
		moved := odds - before[f[0]]
		least := 0.0
		if len(f) > 2 {
			least, _ = strconv.ParseFloat(f[2], 64)
		}
		if least *= rough; least == 0 {
			least = -sameDB
		}
		ok := true
		switch f[1] {
		case "up":
			ok = moved >= least-1e-9
		case "down":
			ok = moved <= -least+1e-9
		case "same":
			// What rises only because another fell was told nothing of.
			ok = min(math.Abs(moved), math.Abs(against-none[f[0]])) <= sameDB
		default:
			t.Fatalf("%q is no expectation", want)
		}
		if !ok {
			t.Errorf("%v: %s moved %+.1f dB (from %+.1f), want %s: %s", x.Then, f[0], moved, before[f[0]], strings.Join(f[1:], " "), x.Why)
		}
	}
}

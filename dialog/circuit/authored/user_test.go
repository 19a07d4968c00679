package authored

import (
	"fmt"
	"math"
	"slices"
	"sort"
	"strings"
	"testing"

	"ruleout/dialog/circuit"
	"ruleout/kb"
)

// found is the probability at which a fault counts as reached.
const found = 0.9

// groupOf maps each cause to those that no check tells from it.
func groupOf(c *circuit.Circuit, t *circuit.Table) map[string]string {
	out := map[string]string{}
	for _, g := range c.Groups(t) {
		for _, id := range g {
			out[id] = strings.Join(g, " or ")
		}
	}
	for _, h := range c.Hypotheses() {
		if out[h.Cause] == "" {
			out[h.Cause] = h.Cause
		}
	}
	return out
}

// A user who answers from the solver reaches every fault of every circuit, the
// arrangement unknown at first, within the entropy of the causes in bits and
// two checks, in the median over arrangements and sizes of the fault.
func TestSimulatedUser(t *testing.T) {
	b, _ := kb.Embedded()
	for _, article := range b.Circuits {
		c, err := Compile(article)
		if err != nil {
			t.Fatal(err)
		}
		table, err := c.Tabulate()
		if err != nil {
			t.Fatal(err)
		}
		group := groupOf(c, table)
		t.Logf("%s: %d causes, %d checks", c.Netlist.ID, len(c.Hypotheses())-1, len(table.Checks))
		for _, g := range c.Groups(table) {
			t.Logf("  no check tells apart: %s", strings.Join(g, ", "))
		}
		even := func(cause string) float64 {
			if cause == "" {
				return 0 // the trouble is there
			}
			return 1
		}
		start, err := c.Begin(table, even, nil)
		if err != nil {
			t.Fatal(err)
		}
		bits := start.Bits()
		for _, h := range c.Hypotheses()[1:] {
			var counts []int
			for _, truth := range c.Truths(h.Cause) {
				n := asked(t, c, table, even, known(article, c.ArrangementOf(truth)), truth, h.Cause, group)
				counts = append(counts, n)
			}
			sort.Ints(counts)
			median := counts[len(counts)/2]
			line := fmt.Sprintf("  %-45s median %2d of %d, most %d (bits %.2f)", h.Cause, median, len(counts), counts[len(counts)-1], bits)
			if float64(median) > bits+2 {
				t.Error(line)
			} else {
				t.Log(line)
			}
		}
	}
}

// known returns the shares of the arrangements for someone who knows the fuel
// and the gearbox of a car wired so, and nothing of its wiring.
func known(article *kb.Circuit, arrangement string) map[string]float64 {
	var has *kb.CircuitArrangement
	for i := range article.Arrangements {
		if article.Arrangements[i].ID == arrangement {
			has = &article.Arrangements[i]
		}
	}
	out := map[string]float64{}
	for _, a := range article.Arrangements {
		out[a.ID] = a.Share
		for _, attribute := range []string{"fuel", "gearbox"} {
			mine, theirs := has.Applies.Vehicle[attribute], a.Applies.Vehicle[attribute]
			if len(mine) > 0 && len(theirs) > 0 && !slices.Contains(theirs, mine[0]) {
				out[a.ID] = 0
			}
		}
	}
	return out
}

// never stands for a fault that was not reached.
const never = 99

// asked plays one case and returns the number of checks.
func asked(t *testing.T, c *circuit.Circuit, table *circuit.Table, even func(string) float64, shares map[string]float64, truth int, cause string, group map[string]string) int {
	m, err := c.Begin(table, even, shares)
	if err != nil {
		t.Fatal(err)
	}
	done := map[int]bool{}
	for n := 0; ; n++ {
		p := 0.0
		for id, x := range m.Causes() {
			if group[id] == group[cause] {
				p += x
			}
		}
		if p >= found {
			return n
		}
		k, _ := m.Next(done)
		if k < 0 {
			return never
		}
		done[k] = true
		v := table.At(truth, k)
		if math.IsNaN(v) {
			m.Lacks(k)
			continue
		}
		m.Saw(k, v, 0.95)
	}
}

// Groups are said in words that name every cause.
func TestGroupsAreDisjoint(t *testing.T) {
	for _, c := range circuits(t) {
		table, err := c.Tabulate()
		if err != nil {
			t.Fatal(err)
		}
		var all []string
		for _, g := range c.Groups(table) {
			if len(g) < 2 {
				t.Errorf("%s: a group of %v", c.Netlist.ID, g)
			}
			all = append(all, g...)
		}
		slices.Sort(all)
		if len(slices.Compact(slices.Clone(all))) != len(all) {
			t.Errorf("%s: a cause is in two groups: %v", c.Netlist.ID, all)
		}
	}
}

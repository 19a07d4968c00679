package authored

import (
	"errors"
	"testing"

	"ruleout/dialog/circuit"
	"ruleout/kb"
)

// circuits compiles every circuit article.
func circuits(t testing.TB) []*circuit.Circuit {
	t.Helper()
	b, _ := kb.Embedded()
	if len(b.Circuits) == 0 {
		t.Fatal("there are no circuit articles")
	}
	var out []*circuit.Circuit
	for _, a := range b.Circuits {
		c, err := Compile(a)
		if err != nil {
			t.Fatal(err)
		}
		out = append(out, c)
	}
	return out
}

// In a sound circuit no fuse blows and nothing chatters, in any arrangement
// and any setup that only sets controls.
func TestSoundCircuitsAreSound(t *testing.T) {
	for _, c := range circuits(t) {
		for _, a := range c.Arrangements {
			for _, s := range c.Setups {
				if len(s.Bridged)+len(s.Fed)+len(s.Earthed)+len(s.Pulled) > 0 {
					continue
				}
				sol, err := c.Solve(a.ID, s)
				if errors.Is(err, circuit.ErrLacks) {
					continue
				}
				if err != nil {
					t.Errorf("%s, %s, %s: %v", c.Netlist.ID, a.ID, s.ID, err)
					continue
				}
				if len(sol.Blown)+len(sol.Chatters) > 0 {
					t.Errorf("%s, %s, %s: blown %v, chatters %v", c.Netlist.ID, a.ID, s.ID, sol.Blown, sol.Chatters)
				}
			}
		}
	}
}

// Every effect that a setup watches is seen in some arrangement, sound or not: a
// load that never does anything is wired wrongly.
func TestEveryLoadDoesSomething(t *testing.T) {
	for _, c := range circuits(t) {
		did, watched := map[string]bool{}, map[string]bool{}
		for _, ch := range c.Checks() {
			if ch.What != circuit.Works && ch.What != circuit.Clicks {
				continue
			}
			watched[ch.Element] = true
			x, err := c.Predict(ch)
			if err != nil {
				t.Fatal(err)
			}
			for _, v := range x {
				if v > 0 {
					did[ch.Element] = true
				}
			}
		}
		for e := range watched {
			if !did[e] {
				t.Errorf("%s: %s never does anything", c.Netlist.ID, e)
			}
		}
	}
}

func BenchmarkTabulate(b *testing.B) {
	for _, c := range circuits(b) {
		b.Run(c.Netlist.ID, func(b *testing.B) {
			for b.Loop() {
				if _, err := c.Tabulate(); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

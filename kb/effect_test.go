package kb_test

import (
	"io/fs"
	"path"
	"slices"
	"strings"
	"testing"

	"ruleout/kb"
)

// lacking is the embedded set without one file.
type lacking struct {
	fs.FS
	file string
}

func (l lacking) ReadDir(name string) ([]fs.DirEntry, error) {
	list, err := fs.ReadDir(l.FS, name)
	return slices.DeleteFunc(list, func(d fs.DirEntry) bool { return path.Join(name, d.Name()) == l.file }), err
}

// A part limits whatever is said of it to the vehicles that have it, and what
// is derived of it is as frequent among those as the list says of all.
func TestPartsApply(t *testing.T) {
	b, _ := kb.Embedded()
	for part, want := range map[string]map[string]string{
		"viscous-fan-coupling": {"fan-drive": "viscous"}, "distributor-cap": {"ignition": "distributor"}, "glow-plug": {"fuel": "diesel"},
		"clutch-plate": {"gearbox": "manual"}, "torque-converter": {"gearbox": "automatic"}, "aircon-compressor": {"aircon": "yes"},
	} {
		n := 0
		for _, c := range b.Causes {
			if c.Part != part {
				continue
			}
			n++
			for attribute, value := range want {
				if !slices.Equal(c.Applies.Vehicle[attribute], []string{value}) {
					t.Errorf("%s applies to %v, want only %s %s", c.ID, c.Applies.Vehicle, attribute, value)
				}
			}
		}
		if n == 0 {
			t.Errorf("no cause of %s", part)
		}
	}
	// Of a hundred older cars 65 have a clutch.
	sum := 0.0
	for _, c := range b.Causes {
		if c.Derived && c.Part == "clutch-plate" {
			sum += c.Frequency.PerThousand
		}
	}
	if p := b.Part("clutch-plate"); sum < 0.95*p.PerThousand/0.65 || sum > 1.001*p.PerThousand/0.65 {
		t.Errorf("what is derived of the clutch plate sums to %.3g in a thousand cars with a clutch, want %.3g", sum, p.PerThousand/0.65)
	}
}

// What a mechanic expects of parts for which nobody wrote the mode: the words
// after ":" are findings with the outcome that must be likelier than on other
// cars, at least this often.
func TestEffectsReachDerivedCauses(t *testing.T) {
	b, _ := kb.Embedded()
	for id, want := range map[string]map[string]float64{
		"hose-clip-is-loose":                       {"loses-coolant present": 0.8, "system-pressure-test hose": 0.7},
		"battery-terminal-clamp-is-loose":          {"wont-start present": 0.6, "post-to-clamp-drop high": 0.7},
		"starter-relay-is-corroded":                {"crank silent": 0.6, "trigger-50 none": 0.6},
		"fan-control-unit-is-wet-inside":           {"fan-runs never": 0.7, "overheats-where stopped": 0.7},
		"head-gasket-is-leaking":                   {"combustion-leak-test gas": 0.5},
		"temperature-gauge-sender-is-corroded":     {"gauge-wrong present": 0.7, "true-temperature normal": 0.8},
		"neutral-safety-switch-is-corroded":        {"starts-in-neutral yes": 0.4},
		"key-barrel-and-steering-lock-is-broken":   {"key-turns jiggle": 0.4},
		"alternator-charge-cable-is-broken":        {"alternator-output-cable-drop high": 0.7},
		"expansion-tank-cap-is-perished":           {"cap-pressure-test weak": 0.6},
		"thermostat-housing-is-corroded":           {"leak-where engine": 0.5},
		"plug-lead-boot-is-cracked":                {"no-start-wet present": 0.4},
		"glow-plug-relay-is-stuck-open":            {"after-standing yes": 0.6},
		"radiator-fan-blade-and-shroud-is-missing": {"fan-blades-look broken": 0.8},
	} {
		c := b.Cause(id)
		if c == nil || !c.Derived {
			t.Errorf("there is no derived cause %s", id)
			continue
		}
		for what, least := range want {
			finding, outcome, _ := strings.Cut(what, " ")
			f := b.Finding(finding)
			row, ok := b.Likelihood(c, f)
			if i := f.OutcomeIndex(outcome); !ok || row[i] < least || row[i] < 1.5*f.Base[i] {
				t.Errorf("%s: %s is %v, want %s at least %g", id, finding, row, outcome, least)
			}
		}
	}
}

// One fuse in many is the fan's: where an article stands for that use, what is
// derived of the part says nothing of it.
func TestOneUseIsWritten(t *testing.T) {
	b, _ := kb.Embedded()
	c := b.Cause("fuse-is-burnt")
	if c == nil {
		t.Fatal("there is no derived cause fuse-is-burnt")
	}
	if _, ok := b.Likelihood(c, b.Finding("fan-runs")); ok {
		t.Error("any burnt fuse speaks of the fan, which has an article")
	}
}

// Without the article of a fault, what is derived of the element's part takes
// it over in every circuit.
func TestFaultsAreAdopted(t *testing.T) {
	file := "articles/starting/starter-brushes-worn.yaml"
	b, _ := kb.Load(lacking{kb.EmbeddedFS(), file})
	if b.Cause("starter-brushes-worn") != nil {
		t.Fatal("the article is still there")
	}
	found := map[string]bool{}
	for _, x := range b.Circuit("starter-circuit").Elements {
		for _, f := range x.Faults {
			if x.ID == "starter" {
				found[f.Fault+" "+f.CauseID()] = true
			}
		}
	}
	for _, want := range []string{"open starter-motor-is-worn", "high starter-motor-is-worn", "open starter-motor-is-open", "seized starter-jammed"} {
		if !found[want] {
			t.Errorf("the starter has no fault %q: %v", want, found)
		}
	}
	full, _ := kb.Embedded()
	for _, a := range full.Circuits {
		for _, x := range a.Elements {
			for _, f := range x.Faults {
				if full.Cause(f.CauseID()) == nil {
					t.Errorf("%s: the fault %s of %s belongs to no cause", a.ID, f.Fault, x.ID)
				}
			}
		}
	}
}

// What an article covers has no derived page beside it.
func TestCoveredModes(t *testing.T) {
	b, _ := kb.Embedded()
	n := 0
	for _, c := range b.Causes {
		for _, mode := range c.Covers {
			n++
			if d := b.Cause(c.Part + "-is-" + mode); d != nil {
				t.Errorf("%s covers %s, and there is %s", c.ID, mode, d.ID)
			}
		}
	}
	if n < 20 {
		t.Errorf("only %d modes are covered", n)
	}
}

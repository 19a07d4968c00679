package plainwords

import (
	"strings"
	"testing"

	"ruleout/kb"
)

// TestVerdicts: a check told in one clause and what came of it in the next are
// one finding, and a look for something that was not there denies it.
func TestVerdicts(t *testing.T) {
	r := NewReader(looseBase(t))
	for _, c := range []struct {
		text   string
		want   string // finding=outcome, blank-separated
		absent string // must not be noted
	}{
		{"Discs checked with a dial gauge, nothing wrong with them.", "part:brake-disc:tested=good", "part:instrument-cluster"},
		{"every bush looked at, nothing", "part:suspension-arm-bush:tested=good", ""},
		{"had the balljoints checked, all fine", "part:ball-joint:tested=good", ""},
		{"cant find anything wrong with the wheel bearings", "part:wheel-bearing:tested=good", ""},
		{"no fault found with the alternator", "part:alternator:tested=good", ""},
		{"checked the fuses, relays and wiring, all good", "part:fuse:tested=good part:wiring-loom:tested=good", ""},
		{"I've checked the plugs. No problem there.", "part:spark-plug:tested=good", ""},
		{"been through all the fuses, none blown", "part:fuse:tested=good", "fuse-blows-again=present"},
		{"inspected the hoses, no cracks", "part:coolant-hose:tested=good", ""},
		{"garage checked the injectors and found nothing", "part:injector:tested=good", ""},
		{"checked the timing belt, it's knackered", "part:timing-belt:tested=bad", ""},
		{"checked for play in the wheel bearings, none", "part:wheel-bearing:loose=no", "wheel-play-rocked=present"},
		{"I had the heads checked for cracks and they were fine", "part:cylinder-head:tested=good", "=present"},
		{"checked the rotor arm: cracked", "part:rotor-arm:cracked=yes", ""},
		{"checked the hoses. One was split.", "part:coolant-hose:cracked=yes", ""},
		{"haven't checked the injectors, nothing so far", "", "part:injector:tested=good"},
		{"should I check the injectors? nothing else to try", "", "part:injector:tested=good"},
	} {
		a := r.Read(c.text, Context{})
		var noted []string
		for _, o := range a.Observations {
			noted = append(noted, o.Finding+"="+o.Outcome)
		}
		all := " " + strings.Join(noted, " ") + " "
		for _, w := range strings.Fields(c.want) {
			if !strings.Contains(all, " "+w+" ") {
				t.Errorf("%q: %s missing among%s", c.text, w, all)
			}
		}
		if c.absent != "" && strings.Contains(all, c.absent) {
			t.Errorf("%q: %s noted among%s", c.text, c.absent, all)
		}
	}
}

// TestDescriptions: a list of what the car is tells no trouble, and a trouble
// told beside it is not lost in the list.
func TestDescriptions(t *testing.T) {
	r := NewReader(looseBase(t))
	for text, describes := range map[string]bool{
		"1966 estate, petrol 1.5, single carburettor, mechanical pump, UK": true,
		"1992 4x4, diesel, 2.5, UK":                                        true,
		"1999 van, no brakes":                                              false,
		"2003 hatchback petrol, no horn":                                   false,
		"1999 van, overheats in traffic":                                   false,
		"2001 diesel, no power":                                            false,
	} {
		a := r.Read(text, Context{})
		trouble := 0
		for _, o := range a.Observations {
			if f := r.lx.findings[o.Finding]; f != nil && f.kind == kb.FindingSymptom && o.Outcome == "present" {
				trouble++
			}
		}
		if a.Describes != describes || (trouble > 0) == describes {
			t.Errorf("%q: a description %v, troubles %d", text, a.Describes, trouble)
		}
	}
}

package archive

import (
	"fmt"
	"time"

	"ruleout/dialog/learn"
	"ruleout/server/casebook"
)

const (
	vehiclesVersion = 1
	learnedVersion  = 1
	sheetsBytesMost = 4 << 20
	ledgerMost      = 50000
)

type vehiclesFile struct {
	Version  int     `yaml:"ruleout-vehicles"`
	Vehicles []sheet `yaml:"vehicles"`
}

type sheet struct {
	ID           string            `yaml:"id"`
	Name         string            `yaml:"name"`
	Facts        map[string]string `yaml:"facts,omitempty"`
	Arrangements map[string]string `yaml:"arrangements,omitempty"`
	Notes        string            `yaml:"notes,omitempty"`
	Changed      time.Time         `yaml:"changed"`
}

// WriteVehicles writes vehicle sheets.
func WriteVehicles(vs []casebook.Vehicle) ([]byte, error) {
	f := vehiclesFile{Version: vehiclesVersion, Vehicles: []sheet{}}
	for _, v := range vs {
		f.Vehicles = append(f.Vehicles, sheet(v))
	}
	return marshal(f)
}

// ReadVehicles reads vehicle sheets.
func ReadVehicles(name string, data []byte) ([]casebook.Vehicle, error) {
	var f vehiclesFile
	if err := readYAML(name, data, sheetsBytesMost, "ruleout-vehicles", vehiclesVersion, &f); err != nil {
		return nil, err
	}
	if len(f.Vehicles) > casebook.VehiclesMost {
		return nil, fault(name, "", "it has %d vehicles; at most %d are taken", len(f.Vehicles), casebook.VehiclesMost)
	}
	seen := map[string]bool{}
	var out []casebook.Vehicle
	for i, v := range f.Vehicles {
		where := fmt.Sprintf("%s, vehicle %d", name, i+1)
		switch {
		case !idForm.MatchString(v.ID):
			return nil, fault(where, "an id is 1 to 40 small letters, digits and dashes", "its id is %.60q", v.ID)
		case seen[v.ID]:
			return nil, fault(where, "keep one of them", "the id %s is there twice", v.ID)
		case v.Name == "" || len(v.Name) > factMost || !plainText(v.Name):
			return nil, fault(where, "a name is one short line", "its name is %.60q", v.Name)
		case len(v.Notes) > 4*noteMost:
			return nil, fault(where, "shorten them", "its notes are longer than %d letters", noteMost)
		}
		seen[v.ID] = true
		for _, facts := range []map[string]string{v.Facts, v.Arrangements} {
			if err := checkFacts(where, facts); err != nil {
				return nil, err
			}
		}
		out = append(out, casebook.Vehicle(v))
	}
	return out, nil
}

type learnedFile struct {
	Version int           `yaml:"ruleout-learned"`
	Closed  []learn.Entry `yaml:"closed"`
}

// WriteLedger writes what closed cases taught, without their words.
func WriteLedger(l learn.Ledger) ([]byte, error) {
	f := learnedFile{Version: learnedVersion, Closed: []learn.Entry{}}
	for _, id := range keys(l) {
		f.Closed = append(f.Closed, l[id])
	}
	return marshal(f)
}

// ReadLedger reads what another garage's closed cases taught.
func ReadLedger(name string, data []byte) (learn.Ledger, error) {
	var f learnedFile
	if err := readYAML(name, data, CaseBytesMost, "ruleout-learned", learnedVersion, &f); err != nil {
		return nil, err
	}
	if len(f.Closed) > ledgerMost {
		return nil, fault(name, "", "it has %d cases; at most %d are taken", len(f.Closed), ledgerMost)
	}
	out := learn.Ledger{}
	for i, e := range f.Closed {
		where := fmt.Sprintf("%s, case %d", name, i+1)
		switch _, twice := out[e.Case]; {
		case !idForm.MatchString(e.Case):
			return nil, fault(where, "an id is 1 to 40 small letters, digits and dashes", "its id is %.60q", e.Case)
		case twice:
			return nil, fault(where, "keep one of them", "the case %s is there twice", e.Case)
		case e.Turns < 0 || e.Turns > turnsMost || len(e.Causes) > 4 || len(e.Minutes) > 1000:
			return nil, fault(where, "leave it out", "no case has %d turns, %d causes and %d timings", e.Turns, len(e.Causes), len(e.Minutes))
		}
		for j, c := range e.Causes {
			if !plainText(c) || len(c) > 200 || j > 0 && c <= e.Causes[j-1] {
				return nil, fault(where, "causes are ids in the order of the alphabet, each once", "one of its causes is %.60q", c)
			}
		}
		for _, k := range keys(e.Minutes) {
			if m := e.Minutes[k]; !plainText(k) || len(k) > 200 || !(m > 0 && m <= 1440) {
				return nil, fault(where, "leave it out", "the check %.60q took %g minutes", k, m)
			}
		}
		out[e.Case] = e
	}
	return out, nil
}

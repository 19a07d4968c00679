package main

import (
	"fmt"
	"io"
	"strings"

	"ruleout/dialog"
	"ruleout/kb"
	"ruleout/server/casebook"
	"ruleout/server/chat"
)

// sheetOf finds the vehicle sheet of a name or id, whatever its case; the file
// of cases is only open for that moment.
func sheetOf(c *config) (casebook.Vehicle, error) {
	var none casebook.Vehicle
	book, err := casebook.Open(casesFile(c.data))
	if err != nil {
		return none, err
	}
	defer book.Close()
	all, err := book.Vehicles()
	if err != nil {
		return none, err
	}
	var names []string
	for _, v := range all {
		if strings.EqualFold(v.Name, strings.TrimSpace(c.vehicle)) || v.ID == c.vehicle {
			return v, nil
		}
		names = append(names, "“"+v.Name+"”")
	}
	if len(names) == 0 {
		return none, fmt.Errorf("no vehicle has a sheet yet; make one on the page, under All jobs, Vehicle sheets")
	}
	return none, fmt.Errorf("no vehicle is called %q; there are %s", c.vehicle, strings.Join(names, ", "))
}

// offerCorrections asks at the end of a talk whether what was told better goes
// on the sheet, and puts it there.
func offerCorrections(c *config, b *kb.Base, sheet casebook.Vehicle, s *dialog.State, read func() (string, error), out io.Writer) error {
	better := chat.Corrections(b, s.Vehicle, sheet.Facts)
	if len(better) == 0 {
		return nil
	}
	var lines []string
	for _, x := range better {
		line := strings.ToLower(x.Title) + " " + x.Case
		if x.Sheet != "" {
			line += " (the sheet says " + x.Sheet + ")"
		}
		lines = append(lines, line)
	}
	fmt.Fprintf(out, "Put on the sheet of %s? %s [y/n]\n", sheet.Name, strings.Join(lines, ", "))
	answer, err := read()
	if err != nil || !strings.HasPrefix(strings.ToLower(strings.TrimSpace(answer)), "y") {
		return nil // no answer is no
	}
	book, err := casebook.Open(casesFile(c.data))
	if err != nil {
		return err
	}
	defer book.Close()
	now, err := book.Vehicle(sheet.ID) // as it is by now
	if err != nil {
		return err
	}
	if now.Facts == nil {
		now.Facts = map[string]string{}
	}
	for _, x := range better {
		now.Facts[x.Attribute] = x.Case
	}
	return book.PutVehicle(now)
}

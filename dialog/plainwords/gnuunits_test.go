package plainwords

import (
	"math"
	"os"
	"os/exec"
	"strconv"
	"strings"
	"testing"
)

// gnuUnits pairs, for every unit of the trade, the way it is typed with what
// GNU units calls it and the canonical unit of its dimension there.
var gnuUnits = []struct{ typed, gnu, canonical, unit string }{
	{"3 V", "3 volt", "volt", "V"}, {"350 mV", "350 millivolt", "volt", "V"}, {"2.5 kV", "2.5 kilovolt", "volt", "V"},
	{"7 amps", "7 ampere", "ampere", "A"}, {"45 mA", "45 milliampere", "ampere", "A"},
	{"0.3 ohm", "0.3 ohm", "ohm", "ohm"}, {"2.2 kΩ", "2.2 kiloohm", "ohm", "ohm"}, {"1.5 megohm", "1.5 megaohm", "ohm", "ohm"}, {"12 milliohm", "12 milliohm", "ohm", "ohm"},
	{"205 F", "tempF(205)", "tempC", "degC"}, {"-40 F", "tempF(-40)", "tempC", "degC"}, {"99 c", "tempC(99)", "tempC", "degC"},
	{"15 psi", "15 psi", "kPa", "kPa"}, {"1.1 bar", "1.1 bar", "kPa", "kPa"}, {"100 kPa", "100 kPa", "kPa", "kPa"}, {"0.5 MPa", "0.5 MPa", "kPa", "kPa"}, {"950 mbar", "950 millibar", "kPa", "kPa"}, {"18 inHg", "18 inHg", "kPa", "kPa"}, {"400 mmHg", "400 mmHg", "kPa", "kPa"}, {"2 atm", "2 atm", "kPa", "kPa"},
	{"3k rpm", "3000 rpm", "rpm", "rpm"}, {"60 mph", "60 mile/hour", "km/hour", "km/h"}, {"90 km/h", "90 km/hour", "km/hour", "km/h"},
	{"5 thou", "5 mil", "mm", "mm"}, {"0.10 mm", "0.10 mm", "mm", "mm"}, {"3 cm", "3 cm", "mm", "mm"}, {"1/8 inch", "1|8 inch", "mm", "mm"}, {"2 metres", "2 m", "mm", "mm"},
	{"20 minutes", "20 minute", "second", "s"}, {"3 hours", "3 hour", "second", "s"}, {"2 days", "2 day", "second", "s"}, {"3 weeks", "3 week", "second", "s"}, {"8 ms", "8 ms", "second", "s"},
	{"12 miles", "12 mile", "km", "km"}, {"2 pints", "2 brpint", "litre", "L"}, {"1 gallon", "1 brgallon", "litre", "L"}, {"1 us gallon", "1 gallon", "litre", "L"}, {"5 quarts", "5 quart", "litre", "L"}, {"500 ml", "500 ml", "litre", "L"},
	{"80 lb ft", "80 lbf ft", "N m", "N·m"}, {"110 Nm", "110 N m", "N m", "N·m"}, {"25 kgcm", "25 kgf cm", "N m", "N·m"},
}

// TestUnitsAgainstGNU compares every unit with GNU units, an independent
// reference. Without the program it is skipped, except where CI is set.
func TestUnitsAgainstGNU(t *testing.T) {
	program, err := exec.LookPath("units")
	if err != nil {
		if os.Getenv("CI") != "" {
			t.Fatal("GNU units is not installed")
		}
		t.Skip("GNU units is not installed: conversions are not compared")
	}
	for _, c := range gnuUnits {
		out, err := exec.Command(program, "-t", "-o", "%.12g", c.gnu, c.canonical).Output()
		if err != nil {
			t.Errorf("units %s %s: %v", c.gnu, c.canonical, err)
			continue
		}
		want, err := strconv.ParseFloat(strings.TrimSpace(string(out)), 64)
		if err != nil {
			t.Errorf("units %s %s says %q", c.gnu, c.canonical, out)
			continue
		}
		toks := scan(c.typed)
		segment(toks)
		qs := quantities(c.typed, toks)
		if len(qs) != 1 || qs[0].Unit != c.unit {
			t.Errorf("%q: %+v", c.typed, qs)
			continue
		}
		if got := qs[0].Value; math.Abs(got-want) > 1e-6*math.Max(1, math.Abs(want)) {
			t.Errorf("%q is %v %s, GNU units says %v", c.typed, got, c.unit, want)
		}
	}
}

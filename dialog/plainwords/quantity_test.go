package plainwords

import (
	"math"
	"testing"
)

// Conversions against the exact factors of NIST SP 811 appendix B and
// ISO 80000.
func TestUnits(t *testing.T) {
	for _, c := range []struct {
		text  string
		value float64
		unit  string
	}{
		{"1 inch", 25.4, "mm"}, {"1 mile", 1.609344, "km"}, {"1 us gallon", 3.785411784, "L"}, {"1 gallon", 4.54609, "L"},
		{"1 quart", 0.946352946, "L"}, {"1 lb ft", 1.355817948, "N·m"}, {"1 kgcm", 0.0980665, "N·m"},
		{"1 psi", 6.89475729317, "kPa"}, {"1 bar", 100, "kPa"}, {"1 atm", 101.325, "kPa"}, {"1 inHg", 3.38638864, "kPa"}, {"1 mmHg", 0.133322387, "kPa"},
		{"212F", 100, "degC"}, {"-40 F", -40, "degC"}, {"0F", -17.7777778, "degC"}, {"98.6 f", 37, "degC"}, {"221 degrees F", 105, "degC"}, {"99 c", 99, "degC"},
		{"12.4v", 12.4, "V"}, {"12,4 volts", 12.4, "V"}, {"350 mV", 0.35, "V"}, {"0.3 ohm", 0.3, "ohm"}, {"85Ω", 85, "ohm"}, {"10kΩ", 10000, "ohm"}, {"2.2 k ohms", 2200, "ohm"},
		{"200mA", 0.2, "A"}, {"3k rpm", 3000, "rpm"}, {"60 mph", 96.56064, "km/h"}, {"5 thou", 0.127, "mm"}, {"0.10 mm", 0.1, "mm"}, {"1/8 inch", 3.175, "mm"},
		{"1,250 rpm", 1250, "rpm"}, {"50%", 50, "%"}, {"20 inches of mercury", 67.7277728, "kPa"}, {"twelve and a half volts", 12.5, "V"}, {"half an amp", 0.5, "A"},
	} {
		toks := scan(c.text)
		segment(toks)
		qs := quantities(c.text, toks)
		if len(qs) != 1 {
			t.Errorf("%q: %d quantities", c.text, len(qs))
			continue
		}
		if q := qs[0]; math.Abs(q.Value-c.value) > 1e-8*math.Max(1, math.Abs(c.value))+5e-8 || q.Unit != c.unit {
			t.Errorf("%q = %v %s, want %v %s", c.text, q.Value, q.Unit, c.value, c.unit)
		}
	}
}

func TestBoundsAndRanges(t *testing.T) {
	one := func(text string) number {
		toks := scan(text)
		segment(toks)
		qs := quantities(text, toks)
		if len(qs) != 1 {
			t.Fatalf("%q: %d quantities", text, len(qs))
		}
		return qs[0]
	}
	if q := one("between 11 and 12 V"); q.Low != 11 || q.High != 12 || q.Value != 11.5 {
		t.Errorf("%+v", q)
	}
	if q := one("11-12 V"); q.Low != 11 || q.High != 12 {
		t.Errorf("%+v", q)
	}
	if q := one("under 2 ohms"); !q.OpenLow || q.Value != 2 {
		t.Errorf("%+v", q)
	}
	if q := one("over 200 F"); !q.OpenHigh || math.Abs(q.Value-93.3333333) > 1e-6 {
		t.Errorf("%+v", q)
	}
	if q := one("OL"); !q.Infinite {
		t.Errorf("%+v", q)
	}
	if q := one("hardly any volts"); q.Low != 0 || q.High != 1 {
		t.Errorf("%+v", q)
	}
}

package dialog

import (
	"math"
	"testing"
)

func near(t *testing.T, what string, got, want, within float64) {
	t.Helper()
	if !(math.Abs(got-want) <= within) {
		t.Errorf("%s: %g, want %g within %g", what, got, want, within)
	}
}

// Worked by hand from the definitions, and against published tables.
func TestWhatALoadCosts(t *testing.T) {
	// The drain-time card, 60 Ah from full to half: 1 A 30 hours, 10 A 3 hours,
	// 0.05 A 25 days.
	near(t, "1 A", hoursToNoStart(1, 60), 30, 1e-9)
	near(t, "10 A", hoursToNoStart(10, 60), 3, 1e-9)
	near(t, "0.05 A", hoursToNoStart(0.05, 60)/24, 25, 1e-9)
	if !math.IsInf(hoursToNoStart(0, 60), 1) {
		t.Error("no draw empties no battery")
	}
	// A 15 A fan takes a quarter of a 60 Ah battery in an hour.
	near(t, "share an hour", chargePerHour(15, 60), 0.25, 1e-12)
	// 20 A at 14 V are 280 W; over 0.67 that is 0.41791 kW at the shaft, times
	// 0.264 l/kWh is 0.11033 l an hour.
	near(t, "watts", alternatorWatts(20), 280, 1e-9)
	near(t, "petrol", fuelPerHour(20, "petrol"), 0.11033, 1e-5)
	near(t, "diesel", fuelPerHour(20, "diesel"), 0.09194, 1e-5)
	near(t, "unknown fuel counts as petrol", fuelPerHour(20, ""), fuelPerHour(20, "petrol"), 0)
	// Steam tables (IAPWS-IF97): 101.325 kPa 99.97 °C, 200 kPa 120.2 °C,
	// 250 kPa 127.4 °C, all absolute.
	near(t, "no pressure", boilingPoint(0), 100, 0.2)
	near(t, "about 1 bar", boilingPoint(200-101.325), 120.2, 0.2)
	near(t, "about 1.5 bar", boilingPoint(250-101.325), 127.4, 0.2)
}

// exp(-t/tau) at round figures: three gaps are 1 in 20, two weeks against
// every third day 1 in 100 (exp(-14/3) = 0.0094).
func TestLuck(t *testing.T) {
	near(t, "three gaps", luck(9, 3), math.Exp(-3), 1e-15)
	near(t, "two weeks of every third day", luck(14, 3), 0.0094, 5e-5)
	near(t, "nothing yet", luck(0, 3), 1, 0)
	near(t, "gap unknown", luck(5, 0), 1, 0)
	for _, c := range []struct {
		p    float64
		want string
	}{{math.Exp(-3), "1 in 20"}, {math.Exp(-14.0 / 3), "1 in 100"}, {math.Exp(-1), "1 in 3"}, {1, "as good as certain"}, {math.Exp(-20), "less than 1 in 10000"}, {math.Exp(-4), "1 in 55"}} {
		if got := oneInWords(c.p); got != c.want {
			t.Errorf("%g is said %q, want %q", c.p, got, c.want)
		}
	}
}

func TestSpans(t *testing.T) {
	for _, c := range []struct {
		text string
		n    float64
		unit string
	}{
		{"every third day", 3, "days"}, {"every 3rd day", 3, "days"}, {"about every other trip", 2, "trips"}, {"twice a week", 3.5, "days"}, {"once a week", 7, "days"}, {"3 times a month", 10, "days"},
		{"one start in five", 5, "starts"}, {"1 in 4 cold starts", 4, "starts"}, {"once in ten trips", 10, "trips"}, {"every rainy day", 1, "rains"}, {"every morning", 1, "starts"}, {"daily", 1, "days"}, {"every two weeks or so", 14, "days"}, {"1 in 10", 10, "times"}, {"every few days", 3, "days"},
	} {
		if got, ok := parseGap(c.text); !ok || math.Abs(got.n-c.n) > 1e-9 || got.unit != c.unit {
			t.Errorf("gap %q is read as %+v, %v; want %g %s", c.text, got, ok, c.n, c.unit)
		}
	}
	for _, c := range []struct {
		text string
		n    float64
		unit string
	}{
		{"two weeks clean", 14, "days"}, {"12 trips and nothing", 12, "trips"}, {"a couple of days", 2, "days"}, {"fine for a fortnight", 0, ""}, {"a fortnight", 14, "days"}, {"half a day", 0.5, "days"}, {"10 more days", 10, "days"}, {"4 wet mornings", 4, "rains"},
	} {
		got, ok := parseSpan(c.text)
		if c.n == 0 {
			c.n, c.unit = 14, "days"
		}
		if !ok || math.Abs(got.n-c.n) > 1e-9 || got.unit != c.unit {
			t.Errorf("stretch %q is read as %+v, %v; want %g %s", c.text, got, ok, c.n, c.unit)
		}
	}
	for _, text := range []string{"", "soon", "-3 days", "0 days", "every so often", "1e9 days"} {
		if got, ok := parseSpan(text); ok && got.n <= 0 || ok && text == "0 days" {
			t.Errorf("%q is read as %+v", text, got)
		}
	}
}

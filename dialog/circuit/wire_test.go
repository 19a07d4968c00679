package circuit

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"
)

// rows reads a table of testdata/circuit; its source stands in the file.
func rows(t *testing.T, file string) []map[string]string {
	t.Helper()
	f, err := os.Open("../../testdata/circuit/" + file)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	all, err := r.ReadAll()
	if err != nil || len(all) < 2 {
		t.Fatal(file, ": no rows: ", err)
	}
	var out []map[string]string
	for _, line := range all[1:] {
		m := map[string]string{}
		for i, k := range all[0] {
			m[k] = line[i]
		}
		out = append(out, m)
	}
	return out
}

func number(t *testing.T, s string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(s, 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

func near(t *testing.T, what string, got, want, rel float64) {
	t.Helper()
	if !(math.Abs(got-want) <= rel*math.Abs(want)) {
		t.Errorf("%s: %v, want %v", what, got, want)
	}
}

// printed compares with a printed figure to half a unit of its last digit.
func printed(t *testing.T, what string, got float64, want string) {
	t.Helper()
	_, decimals, _ := strings.Cut(want, ".")
	if half := 0.501 * math.Pow(10, -float64(len(decimals))); !(math.Abs(got-number(t, want)) <= half) {
		t.Errorf("%s: %v, want %s", what, got, want)
	}
}

func TestGaugeTable(t *testing.T) {
	for _, r := range rows(t, "awg-copper.csv") {
		n, err := strconv.Atoi(r["n"])
		if err != nil {
			t.Fatal(err)
		}
		printed(t, r["awg"]+" diameter", GaugeDiameter(n), r["diameter_mm"])
		printed(t, r["awg"]+" area", GaugeArea(n), r["area_mm2"])
		near(t, r["awg"]+" ohms", WireOhms(GaugeArea(n), 1000, 20), number(t, r["ohm_per_km_20c_formula"]), 5e-5)
		// The printed table has three or four digits.
		near(t, r["awg"]+" printed", WireOhms(GaugeArea(n), 304.8, 20), number(t, r["ohm_per_1000ft_20c_published"]), 2e-3)
	}
}

func TestMetricTable(t *testing.T) {
	for _, r := range rows(t, "metric-copper.csv") {
		area := number(t, r["area_mm2"])
		got := WireOhms(area, 1000, 20) // Ω/km
		printed(t, r["area_mm2"]+" ideal", got, r["ohm_per_km_ideal"])
		if s := r["iec60228_class5_max_ohm_per_km"]; s != "" && got > number(t, s) {
			t.Errorf("%s mm²: %v Ω/km is above the standard's greatest, %s", r["area_mm2"], got, s)
		}
	}
}

// NBS Handbook 100: 1 + 0.00393 (t - 20).
func TestCopperWithTemperature(t *testing.T) {
	for temp, want := range map[float64]float64{-40: 0.7642, 0: 0.9214, 25: 1.01965, 75: 1.21615, 85: 1.25545, 100: 1.31440} {
		near(t, "factor", WireOhms(1, 1, temp)/WireOhms(1, 1, 20), want, 1e-5)
	}
}

func TestVoltageDrop(t *testing.T) {
	for _, x := range []struct {
		gauge        int
		loop, amp, v float64
	}{{16, 10, 8, 1.05396}, {12, 10, 20, 1.04216}, {18, 6, 5, 0.62845}} {
		near(t, "drop", x.amp*WireOhms(GaugeArea(x.gauge), x.loop, 20), x.v, 1e-3)
	}
}

func TestFuseColours(t *testing.T) {
	for _, r := range rows(t, "blade-fuse-colours.csv") {
		if r["body"] != "blade" {
			continue
		}
		if c, ok := FuseColour(number(t, r["rating_a"])); !ok || c != r["colour"] {
			t.Errorf("%s A is %q, want %q", r["rating_a"], c, r["colour"])
		}
	}
	if c, ok := FuseColour(12); ok {
		t.Errorf("there is no 12 A fuse, but it is %s", c)
	}
}

func TestTerminalNumbers(t *testing.T) {
	all := rows(t, "relay-terminals.csv")
	for _, r := range all {
		if _, ok := TerminalMeaning(r["terminal"]); !ok {
			t.Errorf("terminal %s (%s) has no meaning", r["terminal"], r["meaning"])
		}
	}
	if n := len(Terminals72552()); n != len(all) {
		t.Errorf("%d terminals, the table has %d", n, len(all))
	}
}

// The wire's balance of heat holds at the temperature found, and it takes as
// long to get soft as a step-by-step warming does.
func TestWireHeating(t *testing.T) {
	for _, area := range []float64{0.35, 0.75, 1.5, 2.5, 6} {
		amps := WireAmps(area, 40)
		near(t, "rise", WireTemp(area, amps, 45), 85, 1e-9)
		temp := WireTemp(area, amps/2, 20)
		near(t, "balance", amps*amps/4*WireOhms(area, 1, temp), wireLoss*wireSurface(area)*(temp-20), 1e-9)
		if !math.IsInf(WireSeconds(area, amps), 1) {
			t.Errorf("%v mm² goes soft at what it may carry", area)
		}
		hot, at, seconds := amps*4, 25.0, 0.0
		for ; at < SoftPVC; seconds += 1e-3 {
			watts := hot*hot*WireOhms(area, 1, at) - wireLoss*wireSurface(area)*(at-25)
			at += 1e-3 * watts / (area * 1e-6 * copperDensity * copperHeat)
		}
		near(t, "seconds", WireSeconds(area, hot), seconds, 2e-2)
	}
	if f := JumperFuse(1.5); f != 10 {
		t.Errorf("a lead of 1.5 mm² gets a fuse of %v A, want 10", f)
	}
	if f := JumperFuse(0.1); f > WireAmps(0.1, 40) {
		t.Errorf("the fuse of a thin lead, %v A, lets it burn", f)
	}
}

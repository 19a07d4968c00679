package circuit

import (
	"math"
	"testing"
)

// The likelihood of a reading is a density over the meter's span: relative to
// the span it averages to one, whatever is predicted.
func TestLikelihoodsAreDensities(t *testing.T) {
	const n = 200000
	for _, x := range []float64{0, 0.3, 6.2, 12.6} {
		sum := 0.0
		for i := 0; i < n; i++ { // -15 to 15 V
			sum += like(Volts, x, -15+30*(float64(i)+0.5)/n, 1, ratioSpread)
		}
		if got := sum / n; math.Abs(got-1) > 2e-3 {
			t.Errorf("volts at %v: %v", x, got)
		}
	}
	for _, x := range []float64{3, 80, 4700, 1e5} {
		sum, span := 0.0, math.Log(MeterOver/0.1)
		for i := 0; i < n; i++ {
			sum += like(Ohms, x, 0.1*math.Exp(span*(float64(i)+0.5)/n), 1, ratioSpread)
		}
		if got := sum / n; math.Abs(got-1) > 2e-3 {
			t.Errorf("ohms at %v: %v", x, got)
		}
	}
	for _, x := range []Effect{Nothing, Weak, Full, Reverse, Buzzes} {
		sum := 0.0
		for v := 0; v < Effects; v++ {
			sum += like(Works, float64(x), float64(v), 1, ratioSpread)
		}
		if got := sum / Effects; math.Abs(got-1) > 1e-12 {
			t.Errorf("effect %v: %v", x, got)
		}
	}
}

// A part of little tolerance tells more.
func TestToleranceIsUsed(t *testing.T) {
	for _, x := range []struct{ tolerance, want float64 }{{0, ratioSpread}, {0.04, leastSpread}, {0.3, 0.15}} {
		c := plain(t, []Element{{ID: "battery", Kind: Battery}, {ID: "coil", Kind: Resistor, Ohms: 80, Tolerance: x.tolerance}},
			map[string]map[string]string{"battery": poles("b", "0"), "coil": two("b", "0")})
		if got := c.spread(&Check{What: Ohms, A: "b", B: "0"}); got != x.want {
			t.Errorf("tolerance %v: spread %v, want %v", x.tolerance, got, x.want)
		}
	}
}

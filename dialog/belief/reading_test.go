package belief

import (
	"math"
	"testing"
)

// rest are bands of a battery's rest voltage over a meter's span of 20 V.
func rest() *Bands {
	return &Bands{
		Outcomes: 3, Low: 0, High: 20, Tolerance: ToleranceOf("V"),
		Bands: []Band{{0, math.Inf(-1), 11.8}, {1, 11.8, 12.4}, {2, 12.4, math.Inf(1)}},
	}
}

func coil() *Bands {
	return &Bands{
		Outcomes: 3, Low: 0, High: 2e6, Log: LogUnit("ohm"), Tolerance: ToleranceOf("ohm"),
		Bands: []Band{{0, 0, 0.5}, {1, 0.5, 200}, {2, 200, math.Inf(1)}},
	}
}

// Each outcome's density sums to one over the span.
func TestBandsAreDensities(t *testing.T) {
	for name, b := range map[string]*Bands{"volts": rest(), "ohms": coil()} {
		const steps = 20000
		lo, hi := b.scale(b.Low), b.scale(b.High)
		sum := make([]float64, b.Outcomes)
		for i := range steps {
			x := lo + (hi-lo)*(float64(i)+0.5)/steps
			if b.Log {
				x = math.Exp(x)
			}
			l, _, err := b.BandLambda(math.Min(x, b.High))
			if err != nil {
				t.Fatal(err)
			}
			for o := range l {
				sum[o] += l[o] * (hi - lo) / steps
			}
		}
		for o, s := range sum {
			require(t, name, s, 1, 0.02)
			if s < 0.9 {
				t.Errorf("outcome %d of %s sums to %v", o, name, s)
			}
		}
	}
}

func TestBandLambda(t *testing.T) {
	b := rest()
	// Well inside a band: even within it, and the stray share elsewhere.
	l, u, err := b.BandLambda(12.1)
	if err != nil {
		t.Fatal(err)
	}
	require(t, "u", u, 1.0/20, 1e-12)
	require(t, "within", l[1], 0.98/0.6+0.02/20, 1e-12)
	require(t, "without", l[2], 0.02/20, 1e-12)
	// On an edge: half on either side.
	l, _, _ = b.BandLambda(12.4)
	require(t, "below the edge", l[1], 0.98*0.5/0.6+0.02/20, 1e-12)
	require(t, "above the edge", l[2], 0.98*0.5/7.6+0.02/20, 1e-12)
	// The ends of the span are no edges.
	l, _, _ = b.BandLambda(0)
	require(t, "nought", l[0], 0.98/11.8+0.02/20, 1e-12)
	// On a logarithmic span the stray share is even over the logarithm, and a
	// reading of nought is within the lowest band.
	c := coil()
	l, u, err = c.BandLambda(0)
	if err != nil {
		t.Fatal(err)
	}
	require(t, "u of ohms", u, 1/math.Log(2e6/0.02), 1e-9)
	require(t, "nought ohms", l[0], 0.98/math.Log(0.5/0.02)+0.02*u, 1e-9)
	l, _, _ = c.BandLambda(10)
	require(t, "ten ohms", l[1], 0.98/math.Log(400)+0.02*u, 1e-9)
}

func TestBandsRejected(t *testing.T) {
	if _, _, err := rest().BandLambda(20.1); err == nil {
		t.Error("a reading beyond the span is accepted")
	}
	if _, _, err := rest().BandLambda(math.NaN()); err == nil {
		t.Error("a reading that is no number is accepted")
	}
	for what, spoil := range map[string]func(*Bands){
		"no span":         func(b *Bands) { b.High = b.Low },
		"no bands":        func(b *Bands) { b.Bands = nil },
		"unknown outcome": func(b *Bands) { b.Bands[0].Outcome = 3 },
		"empty band":      func(b *Bands) { b.Bands[1].To = 11 },
		"beyond the span": func(b *Bands) { b.Bands[2].From = 30 },
		"negative meter":  func(b *Bands) { b.Meter = -1 },
	} {
		b := rest()
		spoil(b)
		if b.Check() == nil {
			t.Errorf("%s: accepted", what)
		}
	}
}

// A reading that nothing believed can explain is asked for again.
func TestDoubtful(t *testing.T) {
	m := &Model{Options: DefaultOptions, Causes: []Cause{{ID: "battery-tired", Weight: 1}}}
	// Nobody expects the outcome in the lowest band.
	f := &Finding{ID: "rest", Base: []float64{0, 0.3, 0.7}, Rows: []Row{{Cause: 0, P: []float64{0, 0.9, 0.1}}}}
	if err := m.Prepare(); err != nil {
		t.Fatal(err)
	}
	p := Update(m, nil)
	b := rest()
	for x, want := range map[float64]bool{3: true, 12.0: false, 12.6: false} {
		l, u, err := b.BandLambda(x)
		if err != nil {
			t.Fatal(err)
		}
		if got := p.Doubtful(f, l, u); got != want {
			t.Errorf("%v V is doubtful: %v", x, got)
		}
	}
}

// Under none of these a reading is 0.9 baseline and 0.1 anything at all.
func TestReadingUnderNone(t *testing.T) {
	m := &Model{Options: DefaultOptions, Causes: []Cause{{ID: "battery-tired", Weight: 1}}}
	m.NoClamp = true
	f := &Finding{ID: "rest", Base: []float64{0.1, 0.2, 0.7}, Rows: []Row{{Cause: 0, P: []float64{0.3, 0.6, 0.1}}}}
	if err := m.Prepare(); err != nil {
		t.Fatal(err)
	}
	l, u, err := rest().BandLambda(12.1)
	if err != nil {
		t.Fatal(err)
	}
	p := Update(m, []Evidence{{Finding: f, Lambda: l, Uniform: u}})
	none := 0.05 * (0.9*(0.1*l[0]+0.2*l[1]+0.7*l[2]) + 0.1*u)
	single := 0.95 * (0.3*l[0] + 0.6*l[1] + 0.1*l[2])
	require(t, "none", p.None, none/(none+single), 1e-9)
}

func TestHedge(t *testing.T) {
	l, err := HedgeLambda(1, 4, 0.75)
	if err != nil {
		t.Fatal(err)
	}
	for o, want := range []float64{0.0625, 0.8125, 0.0625, 0.0625} {
		require(t, "lambda", l[o], want, 1e-15)
	}
	two, err := Combine(l, l)
	if err != nil {
		t.Fatal(err)
	}
	require(t, "two witnesses", two[1]/two[0], 169, 1e-9)
	for _, bad := range []func() ([]float64, error){
		func() ([]float64, error) { return HedgeLambda(4, 4, 0.5) },
		func() ([]float64, error) { return HedgeLambda(-1, 4, 0.5) },
		func() ([]float64, error) { return HedgeLambda(0, 4, 1.5) },
		func() ([]float64, error) { return Combine() },
		func() ([]float64, error) { return Combine(l, l[:2]) },
	} {
		if _, err := bad(); err == nil {
			t.Error("accepted")
		}
	}
}

package belief

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

func TestLogAndExp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		x := math.Exp(rapid.Float64Range(-40, 40).Draw(t, "log x"))
		if d := float64(logNats(x))/float64(nat) - math.Log(x); math.Abs(d) > 1.0/float64(nat) {
			t.Fatalf("the log of %v is off by %v", x, d)
		}
		y := nats(rapid.Int64Range(-int64(600*nat), int64(600*nat)).Draw(t, "y"))
		want := math.Exp(float64(y) / float64(nat))
		if d := y.exp()/want - 1; math.Abs(d) > 2e-13 { // math.Exp rounds its argument
			t.Fatalf("exp %d is off by %v", y, d)
		}
		z := nats(rapid.Int64Range(-int64(2*nat), int64(2*nat)).Draw(t, "z"))
		if d := z.exp()/math.Exp(float64(z)/float64(nat)) - 1; math.Abs(d) > 2e-15 {
			t.Fatalf("exp %d is off by %v", z, d)
		}
	})
	if logNats(1) != 0 || nats(0).exp() != 1 {
		t.Error("log 1 or exp 0")
	}
	if logNats(0) != never || logNats(math.NaN()) != never || nats(never).exp() != 0 {
		t.Error("log 0 or exp of never")
	}
}

func TestDecibans(t *testing.T) {
	require(t, "ten times", logNats(10).decibans(), 10, 1e-9)
	require(t, "back", fromDecibans(10).exp(), 10, 1e-9)
}

package belief

import "math"

// nats is a natural logarithm in units of 2^-40. Sums of it are exact, so
// evidence may come and go in any order and leave the same bytes.
type nats int64

const (
	nat nats = 1 << 40
	// never stands for the logarithm of zero. It is small enough that two
	// thousand of them can be added, and far below anything that counts.
	never = -4000 * nat
	// cutoff is the distance from the best hypothesis beyond which one is
	// nothing: e^-45 is 3e-20.
	cutoff = 45 * nat
)

// The library's Log and Exp differ in the last digit between processors, and
// a fused multiply-add does too. These two are written so that they don't.

const (
	ln2Hi = 6.93147180369123816490e-01 // ln 2 to 33 bits: k*ln2Hi is exact
	ln2Lo = 1.90821492927058770002e-10 // the rest
)

// logNats returns the logarithm of x >= 0, good to its last unit.
func logNats(x float64) nats {
	if !(x > 0) {
		return never
	}
	m, k := math.Frexp(x) // x = m 2^k, 1/2 <= m < 1
	if m < math.Sqrt2/2 {
		m, k = 2*m, k-1
	}
	// ln m = 2 artanh s, with |s| <= 0.172
	s := (m - 1) / (m + 1)
	z := s * s
	sum := 0.0
	for i := 21; i >= 1; i -= 2 {
		sum = float64(sum*z) + inverseOdd[i/2]
	}
	l := float64(2*s*sum) + float64(float64(k)*ln2Lo)
	l += float64(float64(k) * ln2Hi)
	l *= float64(nat)
	if l < float64(never) {
		return never
	}
	return nats(math.Round(l))
}

// inverseOdd[i] is 1/(2i+1).
var inverseOdd = func() (t [11]float64) {
	for i := range t {
		t[i] = 1 / float64(2*i+1)
	}
	return t
}()

// power[j] is 2^(j/32).
var power = func() (t [32]float64) {
	for j := range t {
		x, sum := float64(j)*math.Ln2/32, 1.0
		for i := 22; i >= 1; i-- {
			sum = 1 + float64(x*sum)/float64(i)
		}
		t[j] = sum
	}
	return t
}()

// exp returns e to the x, to about 1e-15 relative.
func (x nats) exp() float64 {
	if x < -700*nat {
		return 0
	}
	if x > 700*nat {
		return math.Inf(1)
	}
	v := float64(x) / float64(nat)
	k := int(math.Floor(float64(v*(32/math.Ln2)) + 0.5))
	r := v - float64(float64(k)*(ln2Hi/32))
	r -= float64(float64(k) * (ln2Lo / 32))
	// |r| <= ln 2 / 64
	p := 1 + float64(r/6)
	for i := 5; i >= 1; i-- {
		p = 1 + float64(r*p)*inverse[i]
	}
	return p * power[k&31] * math.Float64frombits(uint64(1023+k>>5)<<52)
}

var inverse = [6]float64{0, 1, 1.0 / 2, 1.0 / 3, 1.0 / 4, 1.0 / 5}

// decibans converts to ten times the common logarithm.
func (x nats) decibans() float64 {
	return float64(x) / float64(nat) * (10 / math.Ln10)
}

// fromDecibans is the opposite of decibans.
func fromDecibans(db float64) nats {
	return nats(math.Round(db * (math.Ln10 / 10) * float64(nat)))
}

package belief

import (
	"math"
	"math/bits"
)

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

// coarse[j] is 2^(j/64), fine[j] is 2^(j/4096).
var coarse, fine = powersOfTwo(1.0 / 64), powersOfTwo(1.0 / 4096)

func powersOfTwo(step float64) (t [64]float64) {
	for j := range t {
		x, sum := float64(j)*step*math.Ln2, 1.0
		for i := 22; i >= 1; i-- {
			sum = 1 + float64(x*sum)/float64(i)
		}
		t[j] = sum
	}
	return t
}

// log2e is log2 e in units of 2^-63.
const log2e = 0xb8aa3b295c17f0bc

// exp returns e to the x, to about 1e-15 relative.
func (x nats) exp() float64 {
	if x < -700*nat {
		return 0
	}
	if x > 700*nat {
		return math.Inf(1)
	}
	// y is the logarithm to base 2 in units of 2^-52.
	hi, lo := bits.Mul64(uint64(max(x, -x)), log2e)
	y := int64(hi<<13 | lo>>51)
	if x < 0 {
		y = -y
	}
	// What the tables leave is below 2^-12: three terms are enough.
	z := float64(float64(y&(1<<40-1)) * (math.Ln2 / (1 << 52)))
	p := 1 + float64(z*(1+float64(z*(0.5+float64(z*(1.0/6))))))
	p *= coarse[y>>46&63] * fine[y>>40&63]
	return p * math.Float64frombits(uint64(1023+y>>52)<<52)
}

// decibans converts to ten times the common logarithm.
func (x nats) decibans() float64 {
	return float64(x) / float64(nat) * (10 / math.Ln10)
}

// fromDecibans is the opposite of decibans.
func fromDecibans(db float64) nats {
	return nats(math.Round(db * (math.Ln10 / 10) * float64(nat)))
}

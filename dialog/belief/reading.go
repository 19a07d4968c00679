package belief

import (
	"fmt"
	"math"
)

// Stray is the share of readings that say nothing at all: wrong socket, wrong
// range, misread. Basis: memory.
const Stray = 0.02

// Bands turns a number read off a meter into likelihoods of the outcomes of a
// finding.
type Bands struct {
	// Outcomes is how many the finding has.
	Outcomes int
	// Bands are the ranges; an outcome without one explains no reading.
	Bands []Band
	// Low and High are the span that the meter can show.
	Low, High float64
	// Log means that a stray reading is spread evenly over the logarithm of
	// the span (ohms, amperes) and not over the span (volts, degrees).
	Log bool
	Tolerance
}

// Tolerance is how far a reading and a limit may be off, as a share of each
// (Meter, Limit) and in all (Least, in the unit of the reading).
type Tolerance struct{ Meter, Limit, Least float64 }

// ToleranceOf returns the usual tolerance of a reading in the unit (V, ohm, A,
// degC; any other is taken as a plain gauge). Basis: common practice for the
// meters, memory for how sharply limits can be drawn.
func ToleranceOf(unit string) Tolerance {
	switch unit {
	case "V":
		return Tolerance{Meter: 0.005, Limit: 0.002, Least: 0.01}
	case "ohm":
		return Tolerance{Meter: 0.01, Limit: 0.05, Least: 0.2}
	case "A":
		return Tolerance{Meter: 0.02, Limit: 0.05, Least: 0.01}
	case "degC":
		return Tolerance{Limit: 0.02, Least: 2}
	}
	return Tolerance{Meter: 0.02, Limit: 0.02}
}

// LogUnit tells whether stray readings in the unit are spread evenly over the
// logarithm: ohms and amperes.
func LogUnit(unit string) bool { return unit == "ohm" || unit == "A" }

// Band is the range of readings that goes with an outcome; infinite ends are
// cut at the span.
type Band struct {
	Outcome  int
	From, To float64
}

// Check returns what is wrong with the bands.
func (b *Bands) Check() error {
	if !(b.Low < b.High) || math.IsInf(b.Low, 0) || math.IsInf(b.High, 0) || b.Log && b.Low < 0 {
		return fmt.Errorf("belief: bands over the span %v to %v", b.Low, b.High)
	}
	if !(b.Meter >= 0 && b.Limit >= 0 && b.Least >= 0) {
		return fmt.Errorf("belief: bands with negative tolerances")
	}
	if len(b.Bands) == 0 {
		return fmt.Errorf("belief: no bands")
	}
	for _, r := range b.Bands {
		if r.Outcome < 0 || r.Outcome >= b.Outcomes {
			return fmt.Errorf("belief: band for outcome %d of %d", r.Outcome, b.Outcomes)
		}
		if from, to := b.cut(r); !(from < to) {
			return fmt.Errorf("belief: band %v to %v is empty within the span %v to %v", r.From, r.To, b.Low, b.High)
		}
	}
	return nil
}

func (b *Bands) cut(r Band) (from, to float64) { return max(r.From, b.Low), min(r.To, b.High) }

// scale maps a reading to the scale on which a stray one is spread evenly.
func (b *Bands) scale(x float64) float64 {
	if !b.Log {
		return x
	}
	return float64(logNats(max(x, b.bottom()))) / float64(nat)
}

// bottom is where a logarithmic span that goes down to nought begins: well
// below what the meter resolves and below the lowest limit.
func (b *Bands) bottom() float64 {
	if b.Low > 0 {
		return b.Low
	}
	low := b.High / 1e3
	if b.Least > 0 {
		low = min(low, b.Least)
	}
	for _, r := range b.Bands {
		for _, edge := range []float64{r.From, r.To} {
			if edge > 0 {
				low = min(low, edge)
			}
		}
	}
	return low / 10
}

// Uniform returns u(x), the density of a stray reading. On a logarithmic
// span it is the density of the logarithm, as all densities here are then.
func (b *Bands) Uniform() float64 { return 1 / (b.scale(b.High) - b.scale(b.Low)) }

// BandLambda returns the likelihood of the reading x under each outcome,
// (1-Stray) g + Stray u, where g is even within the outcome's band (over the
// scale of u) and its edges are smeared by the tolerances, and u(x). A
// reading outside the span is an error.
func (b *Bands) BandLambda(x float64) (lambda []float64, u float64, err error) {
	if err := b.Check(); err != nil {
		return nil, 0, err
	}
	if !(x >= b.Low && x <= b.High) {
		return nil, 0, fmt.Errorf("belief: the reading %v lies outside %v to %v", x, b.Low, b.High)
	}
	u = b.Uniform()
	lambda = make([]float64, b.Outcomes)
	width := make([]float64, b.Outcomes)
	for _, r := range b.Bands {
		from, to := b.cut(r)
		width[r.Outcome] += b.scale(to) - b.scale(from)
	}
	for _, r := range b.Bands {
		if w := width[r.Outcome]; w > 0 {
			lambda[r.Outcome] += b.within(x, r) / w
		}
	}
	for o := range lambda {
		lambda[o] = float64((1-Stray)*lambda[o]) + float64(Stray*u)
	}
	return lambda, u, nil
}

// within is the chance that a true value which shows as x lies in the band.
// The ends of the span are no limits: nothing is smeared there.
func (b *Bands) within(x float64, r Band) float64 {
	from, to := b.cut(r)
	p := 1.0
	if from > b.Low {
		p -= b.beyond(from, x)
	}
	if to < b.High {
		p -= b.beyond(x, to)
	}
	return max(p, 0)
}

// beyond is the chance that the first lies above the second, when each may be
// off evenly by its tolerance: the step between them becomes a ramp.
func (b *Bands) beyond(first, second float64) float64 {
	t := math.Abs(float64(b.Meter*second)) + math.Abs(float64(b.Limit*first))
	t = max(t, b.Least)
	if t == 0 {
		if first > second {
			return 1
		}
		return 0
	}
	return min(max(0.5+float64((first-second)/(2*t)), 0), 1)
}

// Doubtful tells whether the reading is so unlikely under everything believed
// that it should be asked for again before it is used: its predictive density
// is below 3 Stray u(x).
func (p *Posterior) Doubtful(f *Finding, lambda []float64, u float64) bool {
	return dot(p.Predict(f), lambda) < 3*Stray*u
}

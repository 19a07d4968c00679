package kb

import "strconv"

// Likelihood is a probability as an author writes it: a word of the scale or
// a number strictly between 0 and 1.
type Likelihood string

// Scale maps the words of likelihood to numbers. Basis: memory. The words
// are meant for authors who know "nearly always" better than 0.95.
var Scale = map[Likelihood]float64{
	"nearly always": 0.95,
	"very often":    0.85,
	"often":         0.70,
	"half the time": 0.50,
	"sometimes":     0.30,
	"seldom":        0.15,
	"rarely":        0.07,
	"almost never":  0.02,
}

// AgainstBelow is the scale's "sometimes": a word below it is meant against
// the cause and never counts for more than the baseline.
const AgainstBelow = 0.30

// Value returns the number and whether the likelihood is a known word or a
// number between 0 and 1.
func (l Likelihood) Value() (float64, bool) {
	if v, ok := Scale[l]; ok {
		return v, true
	}
	v, err := strconv.ParseFloat(string(l), 64)
	return v, err == nil && v > 0 && v < 1
}

// IsWord reports whether the likelihood is a word of the scale.
func (l Likelihood) IsWord() bool { _, ok := Scale[l]; return ok }

// Basis says where a figure comes from: "published: SOURCE",
// "common practice", "memory", "user's manual" or "invented".
type Basis string

// seldomInSign is how much of its figure a word below "sometimes" counts for in a
// sign: it is said of parts that have many places, or that show many other things
// first. Basis: memory.
const seldomInSign = 1.0 / 3

// asFigure is the likelihood as a number. A part that is listed under a sign
// brings it, however seldom: there a word below "sometimes" speaks for the part
// and not, as in a cause, against it.
func (l Likelihood) asFigure() Likelihood {
	v, ok := l.Value()
	if !ok {
		return l
	}
	if l.IsWord() && v < AgainstBelow {
		v *= seldomInSign
	}
	return Likelihood(strconv.FormatFloat(v, 'g', 4, 64))
}

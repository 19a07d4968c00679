package circuit

import (
	"fmt"
	"math"
)

// voltEdges are the readings in volts between which people tell apart.
var voltEdges = []float64{0.25, 2, 5, 8, 10.5, 13.2, 15}

// Bands of Band that stand for no number.
const (
	// BandMissing is what has no such point; BandOpen no reading on ohms;
	// below bandBelow lies the volts' own sign.
	BandMissing = -1
	BandOpen    = 40
	bandBelow   = 20
)

// BandRange returns the readings that fall into a band of Band: from low up to
// high. For effects both are the effect.
func BandRange(w What, band int) (low, high float64) {
	switch {
	case w == Volts && band >= bandBelow:
		return -math.Inf(1), -voltEdges[0]
	case w == Volts:
		low, high = -voltEdges[0], math.Inf(1)
		if band > 0 {
			low = voltEdges[band-1]
		}
		if band < len(voltEdges) {
			high = voltEdges[band]
		}
		return low, high
	case w.ohms() && band == BandOpen:
		return MeterOver, math.Inf(1)
	case w.ohms():
		low, high = 0.5*math.Pow(10, float64(band)/2), 0.5*math.Pow(10, float64(band+1)/2)
		if band == 0 {
			low = 0
		}
		return low, min(high, MeterOver)
	case w == Amps && band == 0:
		return 0, leastAmps
	case w == Amps:
		return leastAmps * math.Pow(10, float64(band-1)/2), leastAmps * math.Pow(10, float64(band)/2)
	}
	return float64(band), float64(band)
}

// BandWords says a band of a meter's reading.
func BandWords(w What, band int) string {
	low, high := BandRange(w, band)
	unit := map[What]string{Volts: "V", Amps: "A"}[w]
	if unit == "" {
		unit = "Ω"
	}
	switch {
	case w.ohms() && band == BandOpen:
		return "open (OL)"
	case w == Volts && band >= bandBelow:
		return "below nought"
	case math.IsInf(high, 1):
		return fmt.Sprintf("%g %s or more", low, unit)
	case low <= 0:
		return "under " + Words(w, high)
	}
	return Words(w, low) + " to " + Words(w, high)
}

// EffectWords says what a part does, without its name.
func (c *Circuit) EffectWords(element string, e Effect) string {
	i, ok := c.element[element]
	if !ok || e < 0 || e >= Effects {
		return "nothing known"
	}
	if words, ok := does[c.Elements[i].Kind]; ok {
		return words[e]
	}
	return does[Heater][e]
}

package dialog

import "math"

// Figures behind what a load costs meanwhile.
const (
	// batteryAh is the capacity assumed where nobody told it. Basis: common
	// practice, a middling petrol car.
	batteryAh = 60.0
	// startShare is the share of a full charge below which cranking fails.
	// Basis: common practice.
	startShare = 0.5
	// chargeVolts is the voltage with the engine running. Basis: common practice.
	chargeVolts = 14.0
	// alternatorEfficiency is mechanical to electrical. Basis: published:
	// European Commission, Technical Guidelines for the preparation of
	// applications for the approval of innovative technologies (eco-innovation
	// of passenger cars), section on electrical savings: 0.67.
	alternatorEfficiency = 0.67
)

// willans is the extra fuel in litres for a further kilowatt hour at the
// crankshaft of an engine that runs anyway. Basis: published: the same
// guidelines, Willans factors for petrol 0.264 and diesel 0.220 l/kWh.
var willans = map[string]float64{"petrol": 0.264, "diesel": 0.220}

// chargePerHour is the share of a full charge that a draw takes in an hour with
// the engine off: amperes over ampere-hours.
func chargePerHour(amps, capacity float64) float64 { return amps / capacity }

// hoursToNoStart is how long a full battery bears a draw until it can no longer
// crank: ampere-hours times the share that may go, over amperes. Constant
// current and a sound battery are assumed; a worn one bears less in proportion.
func hoursToNoStart(amps, capacity float64) float64 {
	if amps <= 0 {
		return math.Inf(1)
	}
	return capacity * (1 - startShare) / amps
}

// alternatorWatts is what a load takes of the alternator.
func alternatorWatts(amps float64) float64 { return chargeVolts * amps }

// fuelPerHour is the litres that a load costs in an hour with the engine
// running: its power through the alternator, at the engine's marginal rate.
func fuelPerHour(amps float64, fuel string) float64 {
	w, ok := willans[fuel]
	if !ok {
		w = willans["petrol"]
	}
	return alternatorWatts(amps) / 1000 / alternatorEfficiency * w
}

// boilingPoint is the temperature in °C at which water boils under a gauge
// pressure in kPa: Antoine's equation with the usual constants for water from
// 99 to 374 °C (8.14019, 1810.94, 244.485, in mmHg; published: Dortmund Data
// Bank). Antifreeze raises it by some degrees.
func boilingPoint(gauge float64) float64 {
	mmHg := (gauge + 101.325) * 760 / 101.325
	return 1810.94/(8.14019-math.Log10(mmHg)) - 244.485
}

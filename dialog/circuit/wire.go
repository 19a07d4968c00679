package circuit

import "math"

// Copper, annealed, at 20 °C: resistivity 1/58 Ω·mm²/m and its change with
// temperature. Published: NBS Handbook 100 (1966).
const (
	CopperOhms = 1.0 / 58
	CopperTemp = 0.00393 // per °C, from 20 °C
)

// GaugeDiameter returns the diameter in mm of an American wire gauge number
// (4/0 is -3). Published: NBS Handbook 100, section 2 (ASTM B258).
func GaugeDiameter(n int) float64 { return 0.127 * math.Pow(92, float64(36-n)/39) }

// GaugeArea returns its copper area in mm².
func GaugeArea(n int) float64 { d := GaugeDiameter(n); return math.Pi / 4 * d * d }

// WireOhms returns the resistance of a copper wire of so many mm² and metres
// at a temperature in °C.
func WireOhms(area, length, temp float64) float64 {
	return CopperOhms * length / area * (1 + CopperTemp*(temp-20))
}

// Figures of heating of a single insulated wire in still air. Heat leaves
// through its surface; the coefficient and the temperatures are from memory,
// density and specific heat of copper are handbook values.
const (
	wireLoss      = 12.0   // W/m² and °C, through the insulation
	wireSkin      = 1.2    // mm of insulation added to the diameter
	copperDensity = 8890.0 // kg/m³; published: NBS Handbook 100
	copperHeat    = 385.0  // J/kg and °C
	// SoftPVC is where common insulation goes soft, °C. Basis: memory
	// (class A of ISO 6722-1 is rated to 85 °C, class B to 105 °C).
	SoftPVC = 105.0
)

// wireSurface is the surface of a metre of insulated wire, m².
func wireSurface(area float64) float64 {
	return math.Pi * (2*math.Sqrt(area/math.Pi) + wireSkin) / 1000
}

// WireTemp returns the temperature that a wire reaches with so many amperes
// in surroundings of ambient °C; +Inf where it would never stop rising.
func WireTemp(area, amps, ambient float64) float64 {
	heat := amps * amps * CopperOhms / area // W per metre at 20 °C
	loss := wireLoss * wireSurface(area)
	// Its own resistance grows with it.
	net := loss - heat*CopperTemp
	if net <= 0 {
		return math.Inf(1)
	}
	return ambient + heat*(1+CopperTemp*(ambient-20))/net
}

// WireAmps returns the current at which a wire rises by so many °C above
// surroundings of 45 °C, an engine bay.
func WireAmps(area, rise float64) float64 {
	ohms := WireOhms(area, 1, 45+rise)
	return math.Sqrt(wireLoss * wireSurface(area) * rise / ohms)
}

// WireSeconds returns how long a cold bridging wire of so many mm² may carry a
// current before its insulation goes soft; +Inf if it never does.
func WireSeconds(area, amps float64) float64 {
	const ambient = 25.0
	if WireTemp(area, amps, ambient) <= SoftPVC {
		return math.Inf(1)
	}
	mass := area * 1e-6 * copperDensity * copperHeat // J/°C and metre
	// dT/dt = (p + q·(T − ambient)) / mass, p the heat at ambient, q what it
	// gains by its temperature less what it loses.
	p := amps * amps * WireOhms(area, 1, ambient)
	q := amps*amps*CopperOhms/area*CopperTemp - wireLoss*wireSurface(area)
	rise := SoftPVC - ambient
	if math.Abs(q) < 1e-12 {
		return mass * rise / p
	}
	return mass / q * math.Log(1+q*rise/p)
}

// JumperFuse returns the blade fuse that protects a jumper lead of so many
// mm²: the largest that the wire can carry for ever with 40 °C of rise, and at
// most 10 A, since a test lead is held in the hand; 0 if none is small enough.
// Basis: common practice.
func JumperFuse(area float64) float64 {
	best := 0.0
	for _, f := range BladeFuses {
		if f.Amps <= WireAmps(area, 40) && f.Amps <= 10 {
			best = f.Amps
		}
	}
	return best
}

// leadAreas are the wires of which leads are made, mm².
var leadAreas = []float64{0.75, 1, 1.5, 2.5, 4, 6}

// LeadFor returns the thinnest lead, in mm², that carries a current without
// getting more than 40 °C warmer, and the blade fuse that lets the current
// pass and still protects it; false where no lead of at most 6 mm² does.
func LeadFor(amps float64) (area, fuse float64, ok bool) {
	for _, a := range leadAreas {
		if WireAmps(a, 40) < amps {
			continue
		}
		for _, f := range BladeFuses {
			if f.Amps >= amps && f.Amps*FuseShare <= WireAmps(a, 80) {
				return a, f.Amps, true
			}
		}
	}
	return 0, 0, false
}

package plainwords

import "strings"

// dimension is what a unit measures; the canonical units are those of
// Quantity.
type dimension string

const (
	dimVoltage     dimension = "voltage"
	dimCurrent     dimension = "current"
	dimResistance  dimension = "resistance"
	dimTemperature dimension = "temperature"
	dimPressure    dimension = "pressure"
	dimRotation    dimension = "rotation"
	dimSpeed       dimension = "speed"
	dimLength      dimension = "length"
	dimTime        dimension = "time"
	dimDistance    dimension = "distance"
	dimVolume      dimension = "volume"
	dimTorque      dimension = "torque"
	dimShare       dimension = "share"
	dimCharge      dimension = "charge"
	dimEconomy     dimension = "economy"
)

// unitOf is a unit: value in the canonical unit = number·factor + offset.
type unitOf struct {
	dim            dimension
	canonical      string
	factor, offset float64
}

// Exact factors: NIST SP 811 appendix B, ISO 80000.
const (
	kPaPerPsi   = 6.89475729316836 // 0.45359237·9.80665/0.0254² / 1000
	kPaPerInHg  = 3.38638864
	kPaPerMmHg  = 0.133322387415
	kPaPerKgf   = 98.0665
	kPaPerAtm   = 101.325
	kmPerMile   = 1.609344
	mmPerInch   = 25.4
	litrePerUK  = 4.54609
	litrePerUS  = 3.785411784
	litrePerQt  = 0.946352946
	litrePerPt  = 0.56826125
	nmPerLbfFt  = 1.3558179483314004
	nmPerKgfCm  = 0.0980665
	celsiusStep = 5.0 / 9
)

var unitTable = buildUnits()

func buildUnits() map[string]unitOf {
	out := map[string]unitOf{}
	put := func(d dimension, canonical string, factor, offset float64, forms string) {
		for _, f := range strings.Fields(forms) {
			out[f] = unitOf{d, canonical, factor, offset}
		}
	}
	put(dimVoltage, "V", 1, 0, "v volt volts vdc voltage vots voltz")
	put(dimVoltage, "V", 1e-3, 0, "mv millivolt millivolts")
	put(dimVoltage, "V", 1e3, 0, "kv kilovolt kilovolts")
	put(dimCurrent, "A", 1, 0, "a amp amps ampere amperes")
	put(dimCurrent, "A", 1e-3, 0, "ma milliamp milliamps milliampere milliamperes")
	put(dimResistance, "ohm", 1, 0, "ohm ohms")
	put(dimResistance, "ohm", 1e3, 0, "kohm kohms kiloohm kiloohms kilohm kilohms")
	put(dimResistance, "ohm", 1e6, 0, "megohm megohms mohm meg")
	put(dimResistance, "ohm", 1e-3, 0, "milliohm milliohms")
	put(dimTemperature, "degC", 1, 0, "c celsius centigrade degc")
	put(dimTemperature, "degC", celsiusStep, -32*celsiusStep, "f fahrenheit farenheit degf")
	put(dimPressure, "kPa", 1, 0, "kpa")
	put(dimPressure, "kPa", 1e3, 0, "mpa")
	put(dimPressure, "kPa", kPaPerPsi, 0, "psi lbs pounds")
	put(dimPressure, "kPa", 100, 0, "bar bars")
	put(dimPressure, "kPa", 0.1, 0, "mbar millibar millibars")
	put(dimPressure, "kPa", kPaPerInHg, 0, "inhg")
	put(dimPressure, "kPa", kPaPerMmHg, 0, "mmhg")
	put(dimPressure, "kPa", kPaPerAtm, 0, "atm")
	put(dimPressure, "kPa", kPaPerKgf, 0, "kgcm2")
	put(dimRotation, "rpm", 1, 0, "rpm revs")
	put(dimSpeed, "km/h", kmPerMile, 0, "mph")
	put(dimSpeed, "km/h", 1, 0, "kmh kph kmph")
	put(dimLength, "mm", 1, 0, "mm millimetre millimetres millimeter millimeters mil")
	put(dimLength, "mm", 10, 0, "cm centimetre centimetres centimeter centimeters")
	put(dimLength, "mm", 1000, 0, "metre metres meters")
	put(dimLength, "mm", mmPerInch, 0, "inch inches")
	put(dimLength, "mm", mmPerInch/1000, 0, "thou")
	put(dimTime, "s", 1, 0, "sec secs second seconds s")
	put(dimTime, "s", 60, 0, "min mins minute minutes")
	put(dimTime, "s", 3600, 0, "hour hours hr hrs h")
	put(dimTime, "s", 86400, 0, "day days")
	put(dimTime, "s", 7*86400, 0, "week weeks wk wks")
	put(dimTime, "s", 30*86400, 0, "month months")
	put(dimTime, "s", 365*86400, 0, "year years yr yrs")
	put(dimTime, "s", 1e-3, 0, "ms millisecond milliseconds")
	put(dimDistance, "km", 1, 0, "km kms kilometre kilometres kilometer kilometers")
	put(dimDistance, "km", kmPerMile, 0, "mile miles")
	put(dimVolume, "L", 1, 0, "l litre litres liter liters ltr ltrs")
	put(dimVolume, "L", 1e-3, 0, "ml cc")
	put(dimVolume, "L", litrePerPt, 0, "pint pints")
	put(dimVolume, "L", litrePerUK, 0, "gallon gallons gal")
	put(dimVolume, "L", litrePerQt, 0, "quart quarts qt")
	put(dimTorque, "N·m", 1, 0, "nm")
	put(dimTorque, "N·m", nmPerLbfFt, 0, "lbft ftlb ftlbs")
	put(dimTorque, "N·m", nmPerKgfCm, 0, "kgcm")
	put(dimShare, "%", 1, 0, "% percent pc")
	put(dimCharge, "Ah", 1, 0, "ah")
	put(dimEconomy, "mpg", 1, 0, "mpg")
	return out
}

// unitWords are the unit names of several letters, for the spelling.
var unitWords = func() map[string]bool {
	out := map[string]bool{}
	for w := range unitTable {
		if len(w) > 2 {
			out[w] = true
		}
	}
	return out
}()

// dimensionOf names the dimension of a test's reading by its unit.
func dimensionOf(unit string) dimension {
	switch unit {
	case "V", "mV":
		return dimVoltage
	case "A", "mA":
		return dimCurrent
	case "ohm", "kohm":
		return dimResistance
	case "degC":
		return dimTemperature
	case "kPa":
		return dimPressure
	case "rpm":
		return dimRotation
	case "km/h":
		return dimSpeed
	case "mm":
		return dimLength
	case "s":
		return dimTime
	case "km":
		return dimDistance
	case "L":
		return dimVolume
	case "N·m":
		return dimTorque
	case "%":
		return dimShare
	case "Ah":
		return dimCharge
	}
	return ""
}

// number is a quantity found in a turn.
type number struct {
	Quantity
	dim         dimension
	first, last int // tokens
	start, end  int // bytes
	taken       bool
	// expected marks what a reading should be, not what it is.
	expected bool
}

// numerals are the number words that stand for readings.
var numerals = map[string]float64{
	"zero": 0, "nought": 0, "one": 1, "two": 2, "three": 3, "four": 4, "five": 5, "six": 6, "seven": 7, "eight": 8, "nine": 9, "ten": 10,
	"eleven": 11, "twelve": 12, "thirteen": 13, "fourteen": 14, "fifteen": 15, "sixteen": 16, "seventeen": 17, "eighteen": 18, "nineteen": 19,
	"twenty": 20, "thirty": 30, "forty": 40, "fifty": 50, "sixty": 60, "seventy": 70, "eighty": 80, "ninety": 90, "hundred": 100,
}

// readNumeral reads "twelve", "twelve point four", "twenty five", "half" at
// token i; n is the number of tokens, 0 if there is none.
func readNumeral(toks []token, i int) (v float64, n int) {
	if toks[i].kind == tokenNumber {
		if i+1 < len(toks) && toks[i+1].norm == "thousand" && toks[i+1].clause == toks[i].clause {
			return toks[i].value * 1000, 2 // "3 thousand revs"
		}
		return toks[i].value, 1
	}
	if toks[i].norm == "half" && i+1 < len(toks) && (toks[i+1].norm == "a" || toks[i+1].norm == "an") {
		return 0.5, 2
	}
	v, ok := numerals[toks[i].norm]
	if !ok {
		return 0, 0
	}
	n = 1
	if i+1 < len(toks) {
		if w, ok := numerals[toks[i+1].norm]; ok {
			switch {
			case v >= 20 && v < 100 && w > 0 && w < 10:
				v, n = v+w, 2
			case w == 100 && v > 0 && v < 10:
				v, n = v*100, 2
			}
		}
	}
	if i+n+1 < len(toks) && toks[i+n].norm == "point" {
		if w, ok := numerals[toks[i+n+1].norm]; ok && w < 10 {
			v, n = v+w/10, n+2
			if i+n < len(toks) {
				if w, ok := numerals[toks[i+n].norm]; ok && w < 10 {
					v, n = v+w/100, n+1
				}
			}
		}
	} else if i+n+2 < len(toks) && toks[i+n].norm == "and" && toks[i+n+1].norm == "a" && toks[i+n+2].norm == "half" {
		v, n = v+0.5, n+3
	}
	return v, n
}

// readUnit reads the unit at token i; n is its number of tokens.
func readUnit(toks []token, i int) (u unitOf, n int) {
	if i >= len(toks) {
		return u, 0
	}
	at := func(k int) string {
		if i+k < len(toks) && toks[i+k].sent == toks[i].sent {
			return toks[i+k].norm
		}
		return ""
	}
	w := at(0)
	switch w {
	case "deg", "degree", "degrees", "degs":
		switch at(1) {
		case "f", "fahrenheit", "farenheit":
			return unitTable["f"], 2
		case "c", "celsius", "centigrade":
			return unitTable["c"], 2
		}
		return unitOf{dimTemperature, "", 1, 0}, 1
	case "k":
		switch {
		case at(1) == "ohm" || at(1) == "ohms":
			return unitTable["kohm"], 2
		case at(1) == "rpm" || at(1) == "revs":
			return unitOf{dimRotation, "rpm", 1000, 0}, 2
		case at(1) == "miles" || at(1) == "mile" || at(1) == "on":
			return unitOf{dimDistance, "km", 1000 * kmPerMile, 0}, 1 + b2i(at(1) != "on")
		case at(1) == "km" || at(1) == "kms":
			return unitOf{dimDistance, "km", 1000, 0}, 2
		}
		return u, 0
	case "m", "milli", "kilo":
		if at(1) == "ohm" && w != "kilo" {
			return unitTable["megohm"], 2
		}
		if at(1) == "ohms" && w == "kilo" || at(1) == "ohm" && w == "kilo" {
			return unitTable["kohm"], 2
		}
		if at(1) == "amps" || at(1) == "amp" {
			return unitTable["ma"], 2
		}
		return u, 0
	case "in", "ins":
		if at(1) == "hg" {
			return unitTable["inhg"], 2
		}
		return u, 0
	case "inches", "inch":
		if at(1) == "of" && (at(2) == "mercury" || at(2) == "vacuum" || at(2) == "hg") {
			return unitTable["inhg"], 3
		}
		if at(1) == "hg" {
			return unitTable["inhg"], 2
		}
	case "lb", "lbf", "ft", "foot":
		if at(1) == "ft" || at(1) == "lb" || at(1) == "lbs" || at(1) == "pounds" {
			return unitTable["lbft"], 2
		}
		return u, 0
	case "us":
		if at(1) == "gallon" || at(1) == "gallons" {
			return unitOf{dimVolume, "L", litrePerUS, 0}, 2
		}
		return u, 0
	case "miles", "mile":
		if at(1) == "per" || at(1) == "an" {
			if at(2) == "hour" {
				return unitTable["mph"], 3
			}
		}
	case "km":
		if at(1) == "an" || at(1) == "per" {
			return unitTable["kmh"], 3
		}
	case "a":
		// "a" is a unit only when it touches the number, ends the phrase or
		// follows a decimal
		if !toks[i].joined && !(i > 0 && strings.ContainsAny(toks[i-1].norm, ".,")) && !toks[i].ampere && !(i+1 >= len(toks) || toks[i+1].kind == tokenPunct) {
			return u, 0
		}
	case "s", "l", "h", "c", "f":
		if !toks[i].joined && (w == "s" || w == "h") {
			return u, 0
		}
	case "%":
		return unitTable["%"], 1
	case "\"":
		if toks[i].joined {
			return unitTable["inch"], 1
		}
		return u, 0
	case "revs":
		if at(1) == "per" {
			return unitTable["rpm"], 3
		}
	case "v":
		if n := at(1); len(n) == 1 && isDigit(n[0]) && toks[i+1].joined {
			return u, 0
		}
	}
	if u, ok := unitTable[w]; ok {
		return u, 1
	}
	return u, 0
}

func b2i(b bool) int {
	if b {
		return 1
	}
	return 0
}

// ordinalSuffix follows the number in "1st", "2nd", "3rd", "4th".
var ordinalSuffix = set(`st nd rd th`)

// quantities finds the numbers of a turn with their units, ranges and bounds.
func quantities(text string, toks []token) []number {
	var out []number
	for i := 0; i < len(toks); i++ {
		v, n := readNumeral(toks, i)
		if n == 0 {
			if q, used, ok := wordQuantity(toks, i); ok {
				q.start, q.end = toks[i].start, toks[i+used-1].end
				q.first, q.last = i, i+used-1
				q.Written = text[q.start:q.end]
				out = append(out, q)
				i += used - 1
			}
			continue
		}
		spelled := toks[i].kind != tokenNumber
		if part, pn := andAHalf(toks, i+n); pn > 0 && !spelled {
			v, n = v+part, n+pn // "12 and a half volts"
		}
		u, un := readUnit(toks, i+n)
		if !spelled && i+n < len(toks) && ordinalSuffix[toks[i+n].norm] && toks[i+n].joined {
			continue
		}
		q := number{first: i}
		if un == 0 && i+n < len(toks) && toks[i+n].norm == "k" && toks[i+n].joined && v >= 10 && v < 500 && i > 0 && odometer[toks[i-1].norm] {
			u, un = unitOf{dimDistance, "km", 1000 * kmPerMile, 0}, 1
		}
		lowU, lowV := u, v
		// ranges: "11 to 12 V", "11-12", "between 11 and 12"
		end := i + n + un
		if end+1 < len(toks) && rangeWord(toks, i, end) {
			if w, wn := readNumeral(toks, end+1); wn > 0 {
				if wu, wun := readUnit(toks, end+1+wn); wun > 0 || un > 0 || !spelled {
					if w2 := abs64(w); w2 >= lowV {
						v = w2
						if wun > 0 {
							u, un = wu, wun
							if lowU.dim == "" {
								lowU = wu
							}
						} else {
							un = 0
						}
						n = end + 1 + wn - i
						q.OpenLow = false
						q.Low = lowV
					}
				}
			}
		}
		if spelled && un == 0 && n < 3 {
			continue // number words without a unit are mostly counts
		}
		q.last = i + n + un - 1
		q.start, q.end = toks[i].start, toks[q.last].end
		ranged := q.Low != 0 || v != lowV
		q.Written = text[q.start:q.end]
		q.dim, q.Unit, q.UnitGiven = u.dim, u.canonical, un > 0
		if un == 0 {
			u = unitOf{factor: 1}
			lowU = u
		}
		high := convert(v, u)
		low := high
		if ranged {
			low = convert(lowV, lowU)
		}
		q.Low, q.High, q.Value = low, high, (low+high)/2
		if !ranged {
			q.Value = high
			switch boundBefore(toks, i) {
			case -1:
				q.OpenLow = true
			case 1:
				q.OpenHigh = true
			}
		}
		q.expected = isExpected(toks, i, q.last)
		out = append(out, q)
		i = q.last
	}
	return out
}

// isExpected reports whether a number tells what should be read, the size of a
// fuse or the range of a meter, and not what was read: "should be 13.5",
// "normally 20ish", "on the 10 amp range".
// andAHalf reads "and a half" or "and a quarter" after a number.
func andAHalf(toks []token, i int) (part float64, n int) {
	if i+2 >= len(toks) || toks[i].norm != "and" || toks[i+1].norm != "a" {
		return 0, 0
	}
	switch toks[i+2].norm {
	case "half":
		return 0.5, 3
	case "quarter":
		return 0.25, 3
	}
	return 0, 0
}

func isExpected(toks []token, first, last int) bool {
	word := func(k int) string {
		if k >= 0 && k < len(toks) && toks[k].sent == toks[first].sent {
			return toks[k].norm
		}
		return ""
	}
	switch word(last + 1) {
	case "range", "scale", "setting", "fuse", "fuses", "bulb", "socket", "relay", "system", "max", "limit":
		return true
	}
	for k := first - 1; k >= 0 && k >= first-5; k-- {
		if toks[k].sent != toks[first].sent || toks[k].kind == tokenNumber || toks[k].norm == "but" || toks[k].norm == "," {
			return false
		}
		switch w := toks[k].norm; w {
		case "should", "supposed", "meant", "marked", "rated", "spec", "specs", "normally", "usually", "ought", "expected", "recommended", "stamped":
			return !(w == "normally" || w == "usually") || k < first && !negators[word(k-1)]
		}
	}
	return false
}

// odometer are the words before a bare "148k" that is a mileage.
var odometer = set(`done has covered got at about now on nearly clocked just with`)

func convert(v float64, u unitOf) float64 { return float64(v*u.factor) + u.offset }

func abs64(x float64) float64 {
	if x < 0 {
		return -x
	}
	return x
}

// rangeWord reports whether the token at end joins two numbers to a range.
func rangeWord(toks []token, i, end int) bool {
	t := &toks[end]
	if t.sent != toks[i].sent {
		return false
	}
	switch t.norm {
	case "-", "to", "or":
		return true
	case "and":
		return i > 0 && toks[i-1].norm == "between"
	}
	// "11-12": the sign was read with the second number
	return false
}

// boundBefore is -1 after "under", 1 after "over", 0 otherwise.
func boundBefore(toks []token, i int) int {
	for k := i - 1; k >= 0 && k >= i-3 && toks[k].sent == toks[i].sent; k-- {
		switch toks[k].norm {
		case "under", "below", "<":
			return -1
		case "over", "above", "exceeds", ">":
			return 1
		case "than":
			if k > 0 {
				switch toks[k-1].norm {
				case "less", "lower", "fewer":
					return -1
				case "more", "higher", "greater":
					return 1
				}
			}
		case "least":
			return 1
		case "most":
			return -1
		}
		if !stopWords[toks[k].norm] {
			break
		}
	}
	return 0
}

// wordQuantity reads quantities without digits: OL, infinite, "no volts",
// "hardly any volts".
func wordQuantity(toks []token, i int) (q number, used int, ok bool) {
	at := func(k int) string {
		if i+k < len(toks) && toks[i+k].sent == toks[i].sent {
			return toks[i+k].norm
		}
		return ""
	}
	infinite := func(n int) (number, int, bool) {
		return number{Quantity: Quantity{Unit: "ohm", Infinite: true, UnitGiven: true}, dim: dimResistance}, n, true
	}
	switch at(0) {
	case "ol":
		return infinite(1)
	case "o":
		if at(1) == "l" || at(1) == "." && at(2) == "l" {
			if at(1) == "." {
				return infinite(3)
			}
			return infinite(2)
		}
	case "infinite", "infinity":
		if at(1) == "resistance" || at(1) == "ohms" {
			return infinite(2)
		}
		return infinite(1)
	case "open":
		if at(1) == "circuit" || at(1) == "line" && i > 0 {
			return infinite(2)
		}
	case "no", "zero":
		if u, n := readUnit(toks, i+1); n > 0 && (u.dim == dimVoltage || u.dim == dimCurrent || u.dim == dimPressure) && len(at(1)) > 2 {
			return number{Quantity: Quantity{Unit: u.canonical, UnitGiven: true}, dim: u.dim}, 1 + n, true
		}
	case "hardly", "barely", "next":
		k := 1
		for k < 4 && (at(k) == "any" || at(k) == "a" || at(k) == "to" || at(k) == "no") {
			k++
		}
		if u, n := readUnit(toks, i+k); n > 0 && (u.dim == dimVoltage || u.dim == dimCurrent || u.dim == dimPressure) && len(at(k)) > 2 {
			top := convert(1, u)
			return number{Quantity: Quantity{Value: top / 2, High: top, Unit: u.canonical, UnitGiven: true}, dim: u.dim}, k + n, true
		}
	}
	return q, 0, false
}

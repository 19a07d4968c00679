package circuit

// BladeFuse is a fuse of the normal blade body.
type BladeFuse struct {
	Amps   float64
	Colour string
}

// BladeFuses lists the colours of normal blade fuses by rating. Published:
// ISO 8820-3 (DIN 72581, SAE J1284) as reproduced in public charts; 0.5, 35
// and 40 A from memory. The printed number, not the colour, decides.
var BladeFuses = []BladeFuse{
	{0.5, "dark blue"}, {1, "black"}, {2, "grey"}, {3, "violet"}, {4, "pink"}, {5, "tan"}, {7.5, "brown"},
	{10, "red"}, {15, "blue"}, {20, "yellow"}, {25, "clear"}, {30, "green"}, {35, "blue-green"}, {40, "orange"},
}

// FuseColour returns the colour of a normal blade fuse; false if there is none
// of that rating.
func FuseColour(amps float64) (string, bool) {
	for _, f := range BladeFuses {
		if f.Amps == amps {
			return f.Colour, true
		}
	}
	return "", false
}

// Terminal numbers. Published: DIN 72552 (public lists of the standard); 85 to
// 87a as on plug-in relays, ISO 7588, where 30 is the common contact.
var terminalMeaning = map[string]string{
	"1": "ignition coil, low voltage", "4": "ignition coil, high voltage",
	"15": "switched positive, after the ignition switch", "15a": "from ballast resistor to coil and starter",
	"17": "glow start switch, start position", "19": "glow start switch, preheat position",
	"30": "direct from battery positive", "30a": "from the second battery",
	"31": "return to battery negative, direct to ground", "31b": "to ground through a switch or relay",
	"32": "motor, return", "33": "motor, main connection", "33a": "motor, self-parking switch-off", "33b": "motor, field",
	"49": "flasher unit, input", "49a": "flasher unit, output", "50": "starter control",
	"51": "alternator, DC at rectifier", "53": "wiper motor, supply", "53a": "wiper motor, self-parking supply",
	"54": "stop lamps", "55": "fog lamp", "56": "headlamp", "56a": "high beam and its indicator", "56b": "low beam",
	"58": "side, tail and instrument lamps", "61": "charge indicator",
	"85": "relay coil, ground side", "86": "relay coil, positive side",
	"87": "relay contact, normally open", "87a": "relay contact, normally closed",
	"B+": "battery positive", "B-": "battery negative", "D+": "alternator indicator and field supply", "DF": "alternator field",
}

// TerminalMeaning says what a DIN 72552 terminal is.
func TerminalMeaning(terminal string) (string, bool) {
	s, ok := terminalMeaning[terminal]
	return s, ok
}

// Terminals72552 lists the known terminal numbers in order.
func Terminals72552() []string { return sortedKeys(terminalMeaning) }

package circuit

import "slices"

// OpenOhms is the resistance of what is open, ohms. No insulation of a car is
// better; a meter of 10 MΩ shows nothing through it.
const OpenOhms = 1e12

// terminals lists the terminals of each kind; relays may leave out 87a,
// drivers sense, alternators S.
var terminals = map[Kind][]string{
	Battery: {"+", "-"}, Motor: {"+", "-"},
	Fuse: {"a", "b"}, Wire: {"a", "b"}, Connector: {"a", "b"}, Ground: {"a", "b"}, Resistor: {"a", "b"},
	Heater: {"a", "b"}, Sender: {"a", "b"}, Lamp: {"a", "b"}, Switch: {"a", "b"},
	Diode:      {"a", "k"},
	Changeover: {"c", "rest", "worked"},
	Relay:      {"86", "85", "30", "87", "87a"},
	Driver:     {"out", "com", "sense"},
	Alternator: {"B+", "B-", "D+", "S"},
}

var optional = map[Kind][]string{Relay: {"87", "87a"}, Driver: {"sense"}, Alternator: {"S", "D+"}, Changeover: {"rest", "worked"}}

// Terminals returns the terminals of a kind in order, nil for no kind.
func Terminals(k Kind) []string { return slices.Clone(terminals[k]) }

// Optional reports whether a terminal of the kind may be left unjoined.
func Optional(k Kind, terminal string) bool { return slices.Contains(optional[k], terminal) }

var faultKinds = map[Kind][]FaultKind{
	Battery: {Flat, Open, High}, Fuse: {Open, High}, Wire: {Open, High, Leak, Grounded}, Connector: {Open, High, Leak},
	Ground: {Open, High}, Resistor: {Open, High, Short}, Heater: {Open, Short}, Sender: {Open, Short, High, Grounded},
	Lamp: {Open, Short}, Motor: {Open, High, Seized, Short}, Diode: {Open, Short, Leak},
	Switch: {StuckOpen, StuckClosed, High, Grounded}, Changeover: {StuckOpen, StuckClosed, High, Open},
	Relay: {CoilOpen, CoilShort, StuckOpen, StuckClosed, High}, Driver: {StuckOpen, StuckClosed, High},
	Alternator: {Open, StuckOpen, StuckClosed, Leak, High},
}

// FaultKinds returns the faults that an element of the kind can have.
func FaultKinds(k Kind) []FaultKind { return slices.Clone(faultKinds[k]) }

// Defaults of values that an author leaves out; basis: memory, but for the
// rated volts of lamps and the drops that good contacts may have, which are
// common practice.
const (
	defaultContact  = 0.02 // ohms of a closed contact
	defaultBattery  = 12.6
	defaultLampV    = 12.0
	lampColdShare   = 0.1  // cold over hot resistance of a filament
	lampExponent    = 0.45 // resistance of a filament goes as volts to this
	diodeVolts      = 0.7
	diodeOhms       = 0.01
	dropOutShare    = 0.4 // drop-out over pull-in current of a relay
	leastOhms       = 1e-4
	jumperOhms      = 0.02
	shortOhms       = 0.01
	highFrom        = 0.3 // ohms
	highTo          = 300.0
	leakFrom        = 1.0
	leakTo          = 300.0
	flatVolts       = 10.8
	flatOhms        = 0.15
	senseOhms       = 1e5  // input of a control unit
	alternatorOhms  = 0.03 // behind the rectifier
	alternatorMax   = 16.5 // volts of an alternator whose regulator is full on
	alternatorField = 4.0  // ohms
)

// withDefaults fills in what an author may leave out.
func (e Element) withDefaults() Element {
	set := func(x *float64, v float64) {
		if *x == 0 {
			*x = v
		}
	}
	switch e.Kind {
	case Battery:
		set(&e.Volts, defaultBattery)
		set(&e.Ohms, 0.01)
	case Fuse:
		set(&e.Ohms, 0.005)
	case Wire:
		if e.Ohms == 0 && e.Area > 0 && e.Length > 0 {
			e.Ohms = WireOhms(e.Area, e.Length, 20)
		}
		set(&e.Ohms, 0.02)
		if e.Area > 0 {
			set(&e.Rating, WireAmps(e.Area, 40))
		}
	case Connector, Ground:
		set(&e.Ohms, 0.005)
	case Lamp:
		set(&e.Volts, defaultLampV)
		if e.Watts > 0 {
			e.Ohms = e.Volts * e.Volts / e.Watts
		}
		set(&e.Cold, e.Ohms*lampColdShare)
	case Motor:
		set(&e.Stall, e.Ohms/4)
		set(&e.PullIn, 3/e.Ohms) // turns from about three volts
		set(&e.DropOut, e.PullIn/3)
	case Relay:
		set(&e.Ohms, 80)
		set(&e.PullIn, 7/e.Ohms) // seven volts pull a 12 V relay in
		set(&e.DropOut, e.PullIn*dropOutShare)
		set(&e.Contact, defaultContact)
	case Switch, Changeover, Driver:
		set(&e.Contact, defaultContact)
	case Alternator:
		set(&e.Volts, 14.2)
		set(&e.Ohms, alternatorField)
		set(&e.PullIn, 0.05)
		set(&e.DropOut, 0.01)
	}
	if e.Ohms > 0 {
		e.Ohms = max(e.Ohms, leastOhms)
	}
	return e
}

// Magnitudes returns the sizes of a fault in ohms, each as likely: five points
// evenly spaced on a log scale where the size is unknown, else one.
func (f Fault) Magnitudes() []float64 {
	from, to := f.From, f.To
	switch f.Kind {
	case High:
		if from == 0 {
			from, to = highFrom, highTo
		}
	case Leak:
		if from == 0 {
			from, to = leakFrom, leakTo
		}
	default:
		return []float64{0}
	}
	return LogPoints(from, to, 5)
}

package circuit

// Kind is a kind of element.
type Kind string

// The kinds of element, with their terminals in order.
const (
	Battery    Kind = "battery"    // +, -: volts behind ohms
	Fuse       Kind = "fuse"       // a, b: ohms, rating
	Wire       Kind = "wire"       // a, b: ohms, or area and length
	Connector  Kind = "connector"  // a, b: ohms
	Ground     Kind = "ground"     // a, b: ohms of an earth point or strap
	Resistor   Kind = "resistor"   // a, b: ohms
	Heater     Kind = "heater"     // a, b: ohms of a heater grid or glow plug
	Sender     Kind = "sender"     // a, b: ohms at the control's value, see Beta and PerUnit
	Lamp       Kind = "lamp"       // a, b: watts at volts; cold below
	Motor      Kind = "motor"      // +, -: ohms turning, stall ohms, pull-in amperes
	Diode      Kind = "diode"      // a, k: from anode to cathode
	Switch     Kind = "switch"     // a, b: closed by a control
	Changeover Kind = "changeover" // c, rest, worked: one of two contacts, by a control
	Relay      Kind = "relay"      // 86, 85, 30, 87 and, where there is one, 87a
	Driver     Kind = "driver"     // out, com, sense: closes out to com by the volts at sense
	Alternator Kind = "alternator" // B+, B-, D+, S: regulated at S while the engine runs
)

// Element is one part of a circuit. Ohms, amperes, volts and watts; a value
// that its kind does not use is zero. Defaults stand in Default.
type Element struct {
	ID    string
	Title string
	Kind  Kind

	Volts     float64 // battery: at no load; lamp: rated; alternator: regulated
	Ohms      float64 // resistance; motor: turning; relay: coil; lamp: none
	Stall     float64 // motor at a standstill
	Contact   float64 // closed contact of a relay, switch, changeover or driver
	Watts     float64 // lamp
	Cold      float64 // lamp: cold resistance
	Rating    float64 // fuse, amperes; wire: what it may carry; driver: what it may switch
	PullIn    float64 // amperes at which a relay pulls in, a motor starts, an alternator excites
	DropOut   float64 // amperes below which it lets go again
	Area      float64 // wire, mm²
	Length    float64 // wire, m
	Beta      float64 // sender: kelvin of a thermistor with Ohms at 25 °C
	PerUnit   float64 // sender: ohms more for each unit of the control
	Below     float64 // driver: closes while sense is below, in volts against com
	Above     float64 // driver: closes while sense is above (0: never)
	Tolerance float64 // of the part's values, as a share

	// Control names what works a switch, changeover or sender.
	Control string
	// Closed are the settings in which a switch is closed or a changeover
	// worked.
	Closed []string
	// Over and Under close a switch by a number: above Over, below Under.
	Over, Under *float64

	Faults []Fault
	// Keep marks what must never be bridged or fed: outputs of control units;
	// the text says why.
	Keep string
	// Restraint marks what lies at an airbag or belt tensioner: its own
	// terminals are not to be touched in any way, nor may it be unplugged. What
	// it is joined to elsewhere may be.
	Restraint bool
}

// FaultKind is a way in which an element changes.
type FaultKind string

// The faults.
const (
	Open        FaultKind = "open"         // no current passes
	High        FaultKind = "high"         // resistance in series, of unknown size
	Short       FaultKind = "short"        // its ends are joined
	Leak        FaultKind = "leak"         // resistance from a terminal to ground, of unknown size
	Grounded    FaultKind = "grounded"     // a terminal touches ground
	StuckOpen   FaultKind = "stuck-open"   // contact never closes
	StuckClosed FaultKind = "stuck-closed" // contact never opens
	CoilOpen    FaultKind = "coil-open"    // relay coil broken
	CoilShort   FaultKind = "coil-short"   // relay coil shorted
	Seized      FaultKind = "seized"       // motor stands
	Flat        FaultKind = "flat"         // battery discharged
)

// Fault is one fault an element can have.
type Fault struct {
	Kind FaultKind
	// At is the terminal of a leak or ground fault; the first if empty.
	At string
	// Cause is the id of the hypothesis this fault belongs to.
	Cause string
	// Weight is the share among the faults of one cause; 0 means 1.
	Weight float64
	// Only limits the fault to these arrangements; empty means all that have
	// the element.
	Only []string
	// From and To bound an unknown magnitude in ohms; 0 takes the kind's own.
	From, To float64
}

// Control is something that can be set: the key, a temperature, a pedal.
type Control struct {
	ID, Title string
	// Settings are its words; empty means a number in Unit.
	Settings []string
	Unit     string
	// Default is its setting when a setup does not say.
	Default string
}

// Arrangement is one way in which makers wire the function.
type Arrangement struct {
	ID, Title string
	// Share is how common it is; the shares are normalised.
	Share float64
	// Joins maps each element that it has to the node of each terminal.
	Joins map[string]map[string]string
	// Tells says in words what is peculiar to it.
	Tells string
}

// Point is a node that has a name for people.
type Point struct {
	Node, Title string
	// Reach says how it is got at: probe (a bare terminal), back (from behind
	// a plug), or none.
	Reach string
}

// Pull is something that can be unplugged or pulled out: it opens every
// terminal of its elements.
type Pull struct {
	ID, Title string
	Elements  []string
}

// Setup is a state in which something is observed.
type Setup struct {
	ID, Title string
	// Set gives controls their settings.
	Set map[string]string
	// Swapped are elements changed for known good ones.
	Swapped []string
	// Pulled names pulls; Bridged and Fed join nodes.
	Pulled  []string
	Bridged [][2]string
	// Fed are nodes that are fed from the battery's positive post, Earthed
	// nodes that are joined to its negative post.
	Fed, Earthed []string
	// Volts are the nodes read against ground; Across pairs read one against
	// the other, both with the meter on volts.
	Volts  []string
	Across [][2]string
	// Ohms are pairs read with the supply off.
	Ohms [][2]string
	// Bench are elements taken out, with the two terminals read with the meter
	// on ohms.
	Bench [][3]string
	// Amps are the elements whose current is read.
	Amps []string
	// Watch are motors, lamps and heaters that are looked at, relays that are
	// felt for a click when the setup is brought about from rest.
	Watch []string
	// Minutes is what the setup costs.
	Minutes float64
}

// Acts reports whether something is done to the circuit in it.
func (s *Setup) Acts() bool {
	return len(s.Pulled)+len(s.Bridged)+len(s.Fed)+len(s.Earthed) > 0
}

// Netlist is a circuit in all its arrangements. It is plain data; Compile
// checks it and makes it ready.
type Netlist struct {
	ID, Title    string
	Ground       string // the node that is nought volts
	Supply       string // the node of the battery's positive post
	Controls     []Control
	Elements     []Element
	Arrangements []Arrangement
	Points       []Point
	Pulls        []Pull
	Setups       []Setup
}

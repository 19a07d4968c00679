package dialog

import (
	"fmt"
	"testing"

	"ruleout/dialog/circuit"
)

// What people say of a circuit becomes the check that they made: the state,
// what was done, where the leads were, what was read or seen.
func TestStatementsOfACircuit(t *testing.T) {
	e := engineOf(t)
	for _, x := range []struct{ circuit, said, want string }{
		{"fan-circuit", "what should I read between 85 and ground with the key on?", "asks cold-on:volts:fan-relay.85~31"},
		{"fan-circuit", "0 volts on 30 with the key on", "cold-on:volts:fan-relay.30~31 = 0"},
		{"fan-circuit", "87 reads 11.8 with the ignition on", "cold-on:volts:fan-relay.87~31 = 11.8"},
		{"fan-circuit", "no power at 87, key on", "cold-on:volts:fan-relay.87~31 = -0.25..0.25"},
		{"fan-circuit", "12v at the fan plug, key on, engine hot", "hot-on:volts:m~31 = 12"},
		{"fan-circuit", "pulled the relay and the fan stopped", "done relay-out:works:fan = 0"},
		{"fan-circuit", "bridged 30 and 87 and it runs", "done relay-bridged:works:fan = 2"},
		{"fan-circuit", "unplugged the sender and it came on", "done sensor-off-plug:works:fan = 2"},
		{"fan-circuit", "unplugged the fan switch and the relay clicked", "done switch-off-plug:clicks:fan-relay = 2"},
		{"fan-circuit", "with the fan switch unplugged the fan doesn't run", "done switch-off-plug:works:fan = 0"},
		{"fan-circuit", "no click from the relay when i earth the fan switch terminal", "done switch-bridged:clicks:fan-relay = 0"},
		{"fan-circuit", "changed the relay and it runs", "done relay-swapped:works:fan = 2"},
		{"fan-circuit", "fed the fan 12 volts and it ran", "done fan-fed:works:fan = 2"},
		{"fan-circuit", "0.4 ohm between 30 and 87 at rest", "cold-off:bench:fan-relay~30~87 = 0.4"},
		{"fan-circuit", "30 and 87 are joined at rest", "cold-off:bench:fan-relay~30~87 = 0..3"},
		{"fan-circuit", "80 ohms between 85 and 86", "cold-off:bench:fan-relay~85~86 = 80"},
		{"fan-circuit", "can I bridge 30 and 87?", "harm relay-bridged:works:fan"},
		{"fan-circuit", "what happens if i unplug the fan switch?", "harm switch-off-plug:works:fan"},
		{"fan-circuit", "should the fan run with the sensor unplugged?", "asks sensor-off-plug:works:fan"},
		{"fan-circuit", "pulling the wire off the fan switch ought to run the fan, it doesn't, but I can hear the relay click", "done switch-off-plug:works:fan = 0 switch-off-plug:clicks:fan-relay = 2"},
		// Questions in other words, about what was not said in full.
		{"fan-circuit", "what should I see at 87 with the key on", "asks cold-on:volts:fan-relay.87~31"},
		{"fan-circuit", "is 30 meant to be always live?", "asks cold-off:volts:fan-relay.30~31"},
		{"fan-circuit", "does 30 need to be live with the key off?", "asks cold-off:volts:fan-relay.30~31"},
		{"fan-circuit", "how many volts at the fan plug with the engine hot", "asks hot-on:volts:m~31"},
		{"fan-circuit", "is there meant to be power at the fan switch with the key off", "asks cold-off:volts:t~31"},
		{"fan-circuit", "whats normal between 85 and 86 in ohms", "asks cold-off:bench:fan-relay~85~86"},
		{"fan-circuit", "should the relay click when I turn the key?", "asks cold-on:clicks:fan-relay"},
		{"horn-circuit", "how many volts at the horn when pressed", "asks pushed:volts:h~31"},
		{"horn-circuit", "is the horn terminal supposed to be live all the time?", "asks released:volts:h~31"},
		{"horn-circuit", "what does a good horn read in ohms?", "asks released:bench:horn~a~b"},
		{"rear-window-circuit", "how many volts in the middle of a grid line is right?", "asks on:volts:mid~31"},
		{"starter-circuit", "what should the small wire on the solenoid read while i turn the key to start", "asks cranking:volts:50~31"},
		{"horn-circuit", "12.4 at the horn when i press it", "pushed:volts:h~31 = 12.4"},
		// What is fed or bridged by name is the part's own, never its fuse.
		{"fan-circuit", "could I jump the fan straight to the battery", "harm fan-fed:works:fan"},
		{"fan-circuit", "can I just stick a wire across 30 and 87?", "harm relay-bridged:works:fan"},
		{"fuel-pump-circuit", "can I run the pump straight off the battery", "harm at;>pump.+;<pump.-:works:pump"},
		{"fuel-pump-circuit", "bridged the pump relay and it runs", "done bridged:works:pump = 2"},
		{"trailer-circuit", "loses power pulling my 20ft trailer up hills, starts fine, idles fine", ""},
		{"trailer-circuit", "pulled the module fuse and the trailer side lamps stay dark", "done module-out:works:trailer-side = 0"},
		{"fan-circuit", "its a 1999 petrol, electric fan", ""},
		{"fan-circuit", "gets hot in traffic and the fan is dead", ""},
		{"fan-circuit", "it has done 120000 miles and i am 54", ""},
		{"horn-circuit", "12.4 at the horn terminal when I press it", "pushed:volts:h~31 = 12.4"},
		{"starter-circuit", "9.5 volts at 50 while cranking", "cranking:volts:50~31 = 9.5"},
		{"rear-window-circuit", "6 volts at the middle of a grid line, key on and heater on", "on:volts:mid~31 = 6"},
	} {
		got := ""
		for _, s := range e.wiringOf(x.circuit).statements(x.said, circuit.Setup{}, false) {
			if got != "" {
				got += " "
			}
			switch {
			case s.asks:
				got += "asks "
			case s.harm:
				got += "harm "
			case s.done:
				got += "done "
			}
			got += s.w.checkID(s.check)[len(circuitPrefix+x.circuit+":"):]
			switch {
			case s.asks || s.harm:
			case s.high > s.low:
				got += fmt.Sprintf(" = %g..%g", s.low, s.high)
			default:
				got += fmt.Sprintf(" = %g", s.value)
			}
		}
		if got != x.want {
			t.Errorf("%q is read as %q, want %q", x.said, got, x.want)
		}
	}
}

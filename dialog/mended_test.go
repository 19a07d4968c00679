package dialog

import (
	"strings"
	"testing"
)

// TestToldInPassing tells, after a complaint, what was done in passing words,
// and expects what the case notes of it: "FINDING=OUTCOME", where the finding
// may end in "*"; "proof" that it goes on to the proof of the cure, "open" that
// it does not, "asked" that it asks what was meant: with no part in talk "it" is
// any. A "-" before a finding says that it must not be noted. The
// expected values are what a mechanic would take the words for.
func TestToldInPassing(t *testing.T) {
	e := engineOf(t)
	for _, c := range []struct{ complaint, words, want string }{
		// A part renewed, its effect told by its own work.
		{"wipers don't work", "new switch and they work", "part:column-stalk-switch:replaced=cured proof"},
		{"horn doesn't work", "fitted a new horn, it honks", "part:horn:replaced=cured proof"},
		{"brake lights don't work", "swapped the switch and it works", "part:brake-light-switch:replaced=cured proof"},
		{"wipers stop anywhere on the glass, don't park", "replaced the motor and it parks now", "part:wiper-motor:replaced=cured proof"},
		{"fuel gauge reads wrong", "fitted the new sender, gauge reads right", "part:fuel-gauge-sender:replaced=cured proof"},
		{"reversing light doesn't work", "new switch, comes on now", "part:reversing-light-switch:replaced=cured proof"},
		{"electric window won't go down", "new motor and it opens", "part:window-motor-and-regulator:replaced=cured proof"},
		{"battery light stays on, not charging", "new brushes and it charges", "part:voltage-regulator:replaced=cured proof"},
		{"tail lights don't work", "replaced the switch, tail lights work again", "part:column-stalk-switch:replaced=cured -part:rear-lamp-cluster:replaced proof"},
		{"headlights go dim at idle", "new alternator and they're bright again", "part:alternator:replaced=cured proof"},
		{"left headlight is out", "changed the bulb, fine now", "part:bulb:replaced=cured proof"},
		{"left headlight is out", "changed the bulb and it lights", "part:bulb:replaced=cured proof"},
		{"horn doesn't work", "put a new one in, sorted", "part:*=cured proof"},
		{"sometimes it won't start", "changed it and now it starts every time", "-part: open asked"},
		{"indicators don't flash", "new flasher unit in, flashing normally", "part:indicator-flasher-unit:replaced=cured proof"},
		{"car overheats in traffic", "new thermostat and the temperature stays normal", "part:thermostat:replaced=cured proof"},
		{"engine cranks but won't start", "did the leads, runs sweet now", "part:plug-lead:replaced=cured proof"},
		{"brakes squeal", "new pads, the squeal is gone", "part:brake-pad:replaced=cured proof"},
		{"brakes squeal", "new pads, still squealing", "part:brake-pad:replaced=same open"},
		{"alternator not charging", "put a belt on and it's charging again", "part:drive-belt:replaced=cured proof"},
		{"horn doesn't work", "put another in and it's fine", "part:*=cured proof"},
		{"central locking doesn't work on the rear door", "greased the latch and it locks now", "repair:*=cured proof"},
		{"left headlight is out", "got it! the bulb holder was corroded", "part:bulb:corroded=yes proof"},
		// No cure: no change, or better and not gone.
		{"windscreen washer doesn't squirt", "new pump in, same as before", "part:washer-pump:replaced=same open"},
		{"windscreen washer doesn't squirt", "new pump in, squirts but only sometimes", "part:washer-pump:replaced=better open"},
		{"fan doesn't come on", "did the relay, no joy", "part:radiator-fan-relay:replaced=same open"},
		{"heater blows cold", "changed it but only a bit better", "-part: open asked"},
		{"tail lights don't work", "tried another bulb, no change", "part:bulb:replaced=same open"},
		{"horn doesn't work", "fitted a new horn but it only works sometimes", "part:horn:replaced=better open"},
		{"horn doesn't work", "new horn fitted, doesn't work", "part:horn:replaced=same open"},
		{"engine cranks but won't start", "new pump, it starts but cuts out after a minute", "part:fuel-pump:replaced=better open"},
		{"engine cranks but won't start", "changed the plugs, no change", "part:spark-plug:replaced=same -part:glow-plug:replaced open"},
		// Mended and not renewed.
		{"rear window heater doesn't clear", "mended it, clears now", "repair:*=cured proof"},
		{"lights go dim and odd when I brake", "cleaned the earth and all the lights are normal", "part:body-earth-point:clean=goes proof"},
		{"engine cranks but won't start", "bodged it with a bit of wire and it runs", "-repair: -alarm-splices-look open asked"},
		{"left headlight is out", "repaired the broken wire, all good now", "repair:wiring-loom-is-broken=cured proof"},
		{"heater blows cold", "freed the valve and it blows hot", "repair:heater-valve-shut=cured proof"},
		{"fuel gauge reads wrong", "soldered the earth wire and it reads right now", "repair:body-earth-point*=cured proof"},
		{"horn doesn't work", "tightened the earth bolt and it toots", "part:body-earth-point:tighten=goes proof"},
		{"rear window heater doesn't clear", "mended it, no change", "repair:*=same open"},
		{"rear window heater doesn't clear", "soldered it and it clears", "repair:*=cured proof"},
		{"rear window heater doesn't clear", "mended it and its clearing now", "repair:*=cured proof"},
		{"rear window heater doesn't clear", "bridged it for good and it works", "repair:*=cured proof"},
		{"horn doesn't work", "refitted the plug, it honks again", "repair:connector*=cured proof"},
		// Found.
		{"horn doesn't work", "it was the fuse in the end", "part:fuse:tested=bad -same-moment proof"},
		{"left headlight is out", "found it! loose plug at the back of the lamp", "part:connector:loose=yes proof"},
		{"left headlight is out", "found the plug loose", "part:connector:loose=yes proof"},
		{"tail lights don't work", "turned out to be the earth", "part:body-earth-point:tested=bad proof"},
		{"tail lights don't work", "turned out to be a corroded earth", "part:body-earth-point:*=* proof"},
		{"tail lights don't work", "corroded earth, that was it", "part:body-earth-point:corroded=yes proof"},
		{"horn doesn't work", "the culprit was the fuse", "part:fuse:tested=bad proof"},
		{"horn doesn't work", "it was just a blown fuse", "part:fuse:*=* proof"},
		// Traps.
		{"horn doesn't work", "replaced the relay and now the horn won't stop", "horn-by-itself=present -part:horn:replaced open"},
		{"horn doesn't work", "if I fit a new one it'll work", "-part: -repair: open"},
		{"wipers don't work", "will a new switch fix it?", "-part: -repair: open"},
		{"wipers don't work", "it works when I bridge it", "-part: -repair: open"},
		{"horn doesn't work", "bridged it and it works", "-part: -repair: open"},
		{"wipers don't work", "swapped it with the horn relay and it works", "-part:horn:replaced -part:column-stalk-switch:replaced -repair: open"},
		{"horn doesn't work", "it was the fuse last time", "-part:fuse -repair: -same-moment open"},
		{"horn doesn't work", "I thought it was the fuse", "-part:fuse -repair: -same-moment open"},
		{"horn doesn't work", "it wasn't the fuse", "-part:fuse:tested=bad -repair: open"},
		{"horn doesn't work", "was it the fuse?", "-part:fuse -repair: open"},
		{"horn doesn't work", "I need to get it fixed", "-part: -repair: open"},
		{"horn doesn't work", "going to change the switch", "-part: -repair: open"},
		{"horn doesn't work", "haven't changed it yet", "-part: -repair: open"},
		{"horn doesn't work", "my mate says change it and it works", "-part: -repair: open"},
		{"horn doesn't work", "fitted a new horn, it works when I bridge it", "-part:horn:replaced=cured open"},
		{"engine cranks but won't start", "changed the plugs and it runs hot now", "-part:spark-plug:replaced=cured -vehicle:fuel open"},
		{"horn doesn't work", "would it help if I cleaned the earth", "-part: -repair: open"},
		{"horn doesn't work", "it needs the earth cleaned", "-part: -repair: open"},
	} {
		s, _ := e.Start()
		s, r := say(t, e, s, c.complaint, c.words)
		noted := func(want string) bool {
			id, outcome, given := strings.Cut(want, "=")
			for _, n := range r.Noted {
				named := n.Finding == id || strings.HasSuffix(id, "*") && strings.HasPrefix(n.Finding, strings.TrimSuffix(id, "*")) || !given && strings.HasPrefix(n.Finding, id)
				if named && n.Weighs && (!given || outcome == "*" || n.Outcome == outcome) {
					return true
				}
			}
			return false
		}
		for _, want := range strings.Fields(c.want) {
			proof := r.Next != nil && r.Next.Kind == "proof" && s.Proving != ""
			switch not := strings.TrimPrefix(want, "-"); {
			case want == "proof" && !proof, want == "open" && proof:
				t.Errorf("%q, %q: proof is %v (%q)", c.complaint, c.words, proof, s.Proving)
			case want == "asked" && !strings.Contains(r.Text, "Name the part"):
				t.Errorf("%q, %q: does not ask what was meant:\n%s", c.complaint, c.words, r.Text)
			case want == "proof" || want == "open" || want == "asked":
			case not != want && noted(not), not == want && !noted(want):
				t.Errorf("%q, %q: %s does not hold, noted %v", c.complaint, c.words, want, findingsOf(r))
			}
		}
	}
}

// findingsOf words what a reply noted.
func findingsOf(r *Reply) []string {
	var out []string
	for _, n := range r.Noted {
		out = append(out, n.Finding+"="+n.Outcome)
	}
	return out
}

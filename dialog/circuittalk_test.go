package dialog

import (
	"math"
	"strings"
	"testing"

	"ruleout/dialog/circuit"
)

// answers gives what a person reads or sees at the check on the table, in a
// circuit that is wired so and has that fault.
func answers(t *testing.T, e *Engine, r *Reply, arrangement string, faults ...circuit.Faulted) Turn {
	t.Helper()
	w, ch, ok := e.parseCheck(r.Next.ID)
	if !ok {
		t.Fatalf("%q is no check of a circuit: %q", r.Next.ID, r.Next.Title)
	}
	v, err := w.c.Read(arrangement, ch, faults...)
	if err != nil {
		t.Fatal(err)
	}
	tap := &Tap{Finding: r.Next.ID}
	switch {
	case math.IsNaN(v):
		tap.Outcome = absent
	case unitOf(ch.What) != "":
		v = math.Min(v, 1e9)
		tap.Value, tap.Unit = &v, unitOf(ch.What)
	default:
		tap.Outcome = bandID(ch.What, int(v))
	}
	return Turn{Text: "so", Tap: tap}
}

// Somebody who does not know how a circuit is wired is led to its arrangement
// by what can be seen and measured without bridging or feeding anything; where
// two arrangements look alike, the true one is not called unlikely.
func TestWiringIsWorkedOut(t *testing.T) {
	e := engineOf(t)
	found, of := 0, 0
	for _, w := range e.circuits {
		if len(w.article.Arrangements) < 2 {
			continue
		}
		for i := range w.article.Arrangements {
			arr := &w.article.Arrangements[i]
			of++
			s, _ := e.Start()
			s, r := e.Step(s, Turn{Tap: &Tap{Request: "unwired", About: w.article.ID}})
			steps := 0
			for ; s.Unwired != "" && steps < 20; steps++ {
				if _, ch, ok := e.parseCheck(r.Next.ID); ok && len(ch.Setup.Bridged)+len(ch.Setup.Fed)+len(ch.Setup.Earthed) > 0 {
					t.Errorf("%s: %q is not gentle", w.article.ID, r.Next.Title)
				}
				if attribute, ok := strings.CutPrefix(r.Next.ID, vehiclePrefix); ok {
					if has := arr.Applies.Vehicle[attribute]; len(has) > 0 {
						s, r = e.Step(s, Turn{Text: "so", Tap: &Tap{Finding: r.Next.ID, Outcome: has[0]}})
					} else {
						s, r = say(t, e, s, "don't know")
					}
					continue
				}
				s, r = e.Step(s, answers(t, e, r, arr.ID))
			}
			got, ok := r.Arrangements[w.article.ID]
			if !ok && steps > 0 {
				t.Errorf("%s, %s: no arrangement is given after %d steps", w.article.ID, arr.ID, steps)
				continue
			}
			if ok && got.Arrangement == arr.ID {
				found++
			} else if ok && got.Probability > arrangementSure {
				t.Errorf("%s: wired as %s, taken for %s (%.3f) after %d steps", w.article.ID, arr.ID, got.Arrangement, got.Probability, steps)
			}
			if steps > 0 && (r.Drawing == nil || r.Drawing.Circuit != w.article.ID) {
				t.Errorf("%s, %s: not drawn at the end", w.article.ID, arr.ID)
			}
			t.Logf("%-22s %-10s → %-10s %.3f, %d steps", w.article.ID, arr.ID, got.Arrangement, got.Probability, steps)
		}
	}
	if found*10 < of*8 {
		t.Errorf("%d of %d arrangements were found", found, of)
	}
}

// A conversation over a circuit that no article tests: from "dead" to the part,
// with what should be read, what a reading means and what may be done.
func TestTalkOfAHorn(t *testing.T) {
	e := engineOf(t)
	s, _ := e.Start()
	s, _ = say(t, e, s, "the horn is dead, not a sound from it", "i don't know how the horn is wired")
	if s.Unwired != "horn-circuit" {
		t.Fatalf("worked out: %q", s.Unwired)
	}
	s, r := say(t, e, s, "what should I read at the horn terminal when I press it?")
	for _, want := range []string{"horn pushed", "if nothing is wrong", "a relay grounded by the push", "the push grounds the horn itself", "red at horn terminal"} {
		if !strings.Contains(r.Text, want) {
			t.Errorf("asked what should be read; the reply lacks %q:\n%s", want, r.Text)
		}
	}
	s, r = say(t, e, s, "0 volts at the horn terminal when i press it")
	// A blown fuse would read 0 V however the horn is wired.
	if a := r.Arrangements["horn-circuit"]; a.Arrangement != "relay" || a.Probability < 0.75 {
		t.Errorf("the arrangement is %+v", a)
	}
	if !strings.Contains(r.Text, "only grounds the relay's coil") || !strings.Contains(r.Text, "not as it should be") {
		t.Errorf("the reading is not explained:\n%s", r.Text)
	}
	_, r = say(t, e, s, "bridged 30 and 87 and the horn sounded", "no click from the relay when i press it")
	// The ring in the steering wheel, or the spiral cable that took its place.
	if lead := r.Suspects[0]; !strings.Contains(lead.ID, "horn-contact") && !strings.Contains(lead.ID, "clock-spring") && !strings.Contains(lead.ID, "relay") {
		t.Errorf("leads: %s", lead.Title)
	}
}

// The meaning of a reading is told in the arrangement: a fan that starts when
// its switch is unplugged has a relay that must be energised to stop it.
func TestTalkOfAFailSafeFan(t *testing.T) {
	e := engineOf(t)
	s, _ := e.Start()
	s, r := say(t, e, s, "gets hot in traffic and the fan never comes on", "the relay is out: 0.4 ohm between 30 and 87 at rest")
	if a := r.Arrangements["fan-circuit"]; a.Arrangement != "fail-safe" {
		t.Errorf("joined at rest is taken for %+v", a)
	}
	if !strings.Contains(r.Text, "energised to stop the fan") {
		t.Errorf("not explained:\n%s", r.Text)
	}
	_, r = say(t, e, s, "can I feed 85 from the battery?")
	if !strings.Contains(r.Text, "85") {
		t.Errorf("no word about feeding 85:\n%s", r.Text)
	}
}

// A bridge that would blow a fuse or destroy an output is stopped with the
// reason, under every arrangement that is left; told as done, it is to be
// taken away.
func TestHarmIsStopped(t *testing.T) {
	e := engineOf(t)
	s, _ := e.Start()
	s, _ = say(t, e, s, "gets hot in traffic and the fan never comes on")
	for said, want := range map[string]string{
		"can I bridge 30 to ground?":          "Don't do that",
		"bridged 87 to ground":                "Take that away again",
		"what happens if i bridge 30 and 87?": "mm²",
	} {
		_, r := say(t, e, s, said)
		if !strings.Contains(r.Text, want) {
			t.Errorf("%q: the reply lacks %q:\n%s", said, want, r.Text)
		}
	}
}

// One thing seen counts once: told twice, or as the article's own test and in
// the words of the circuit, it leaves the belief as it was.
func TestSeenTwiceCountsOnce(t *testing.T) {
	e := engineOf(t)
	s, _ := e.Start()
	s, _ = say(t, e, s, "gets hot in traffic and the fan never comes on")
	tapped := func(s *State, id, outcome string) (*State, *Reply) {
		return e.Step(s, Turn{Text: "so", Tap: &Tap{Finding: id, Outcome: outcome}})
	}
	own := "circuit:fan-circuit:fan-fed:works:fan"
	one, r1 := tapped(s, own, "full")
	_, r2 := tapped(one, own, "full")
	_, r3 := tapped(one, "fan-direct-feed", "runs")
	for i := range r1.Suspects {
		if a, b := r1.Suspects[i], r2.Suspects[i]; a.ID != b.ID || math.Abs(a.Probability-b.Probability) > 1e-9 {
			t.Errorf("told twice: %s %.6f, then %s %.6f", a.ID, a.Probability, b.ID, b.Probability)
		}
	}
	for _, x := range r3.Suspects {
		if before := r1.probability(x.ID); math.Abs(x.Probability-before) > 0.03 {
			t.Errorf("%s went from %.4f to %.4f by the article's name of the same thing", x.ID, before, x.Probability)
		}
	}
}

// What one case found about the wiring is given to the next on that vehicle.
func TestWiringIsKept(t *testing.T) {
	e := engineOf(t)
	s, r := e.StartOn(Known{Arrangements: map[string]Arranged{"fan-circuit": {Arrangement: "fail-safe", Probability: 0.95}, "gone": {Arrangement: "x", Probability: 0.5}}})
	if a := r.Arrangements["fan-circuit"]; a.Arrangement != "fail-safe" || math.Abs(a.Probability-0.95) > 0.05 || len(r.Arrangements) != 1 {
		t.Errorf("started with %+v", r.Arrangements)
	}
	_, r = say(t, e, s, "gets hot in traffic and the fan never comes on", "start over")
	if a := r.Arrangements["fan-circuit"]; a.Arrangement != "fail-safe" {
		t.Errorf("after starting over: %+v", r.Arrangements)
	}
}

// Ids that taps may bring are checked: nothing strange makes a finding.
func TestStrangeChecks(t *testing.T) {
	e := engineOf(t)
	for _, id := range []string{"circuit:", "circuit:fan-circuit", "circuit:fan-circuit:hot-on:volts:r", "circuit:fan-circuit:hot-on:volts:nowhere~31", "circuit:fan-circuit:at;key=warp:works:fan",
		"circuit:fan-circuit:at;coolant=1e9:works:fan", "circuit:fan-circuit:at;;;;:works:fan", "circuit:fan-circuit:at;>:works:fan", "circuit:fan-circuit:hot-on:works:ghost", "circuit:fan-circuit:hot-on:bench:fan-relay~30~30", "circuit:ghost:hot-on:works:fan"} {
		if x := e.sight(id); x != nil {
			t.Errorf("%s is taken for a check", id)
		}
		s, _ := e.Start()
		if _, r := e.Step(s, Turn{Tap: &Tap{Finding: id, Outcome: "full"}}); len(r.Noted) != 0 {
			t.Errorf("%s is noted", id)
		}
	}
}

// Nobody measures what every owner knows: whether it is a diesel is asked where
// the wiring hangs on it. The circuit may be named when it is asked which.
func TestWiringAsksWhatEveryOwnerKnows(t *testing.T) {
	e := engineOf(t)
	s, _ := e.Start()
	s, r := say(t, e, s, "battery flat every morning", "I don't know how this is wired", "what it draws while parked")
	if s.Unwired != "draw-circuit" || r.Next.ID != "vehicle:fuel" || strings.Contains(r.Text, "can't use") {
		t.Fatalf("worked out: %q, next %s:\n%s", s.Unwired, r.Next.ID, r.Text)
	}
	if _, r = say(t, e, s, "petrol"); r.Arrangements["draw-circuit"].Arrangement != "petrol" {
		t.Errorf("petrol leaves %+v", r.Arrangements)
	}
	// Words that name no circuit choose none.
	s, _ = e.Start()
	if s, _ = say(t, e, s, "diesel is hard to start from cold, no glow", "I don't know how this is wired"); s.Unwired != "glow-circuit" {
		t.Errorf("worked out: %q", s.Unwired)
	}
}

// Causes that no reading tells apart are named as one, once, when they lead.
func TestWhatLooksAlikeIsSaid(t *testing.T) {
	e := engineOf(t)
	s, _ := e.Start()
	s, r := say(t, e, s, "the horn is dead, not a sound from it", "i don't know how the horn is wired", "0 volts at the horn terminal with it released", "12.6 volts at 85 when i press it")
	const said = "No reading that can be taken tells airbag clock spring: broken from horn contact ring: "
	if !strings.Contains(r.Text, said) {
		t.Errorf("not said:\n%s", r.Text)
	}
	if _, r = say(t, e, s, "12.6 at the fuse when i press it"); strings.Contains(r.Text, said) {
		t.Errorf("said twice:\n%s", r.Text)
	}
}

// Whoever has worked out a wiring is led along the circuit to the fault: no
// round of questions in between while a reading tells more.
func TestTheCircuitIsGoneOnWith(t *testing.T) {
	e := engineOf(t)
	for circuitID, x := range map[string]struct{ said, arrangement, cause string }{
		"trailer-circuit":     {"trailer lights don't work", "module", "trailer-wiring-module-is-wet-inside"},
		"brake-lamp-circuit":  {"brake lights don't work", "plain", "brake-light-switch-is-stuck-open"},
		"rear-window-circuit": {"heated rear window doesn't clear", "relay", "tailgate-loom-boot-is-broken"},
		"wiper-circuit":       {"wipers don't work", "stalk", "column-stalk-switch-is-worn"},
	} {
		w := e.wiringOf(circuitID)
		f, ok := w.c.Typical(x.arrangement, x.cause)
		if !ok {
			t.Errorf("%s: %s is not in arrangement %s", circuitID, x.cause, x.arrangement)
			continue
		}
		s, _ := e.Start()
		s, r := say(t, e, s, x.said, "I don't know how this is wired")
		checks := 0
		for ; checks < 8; checks++ {
			if _, _, ok := e.parseCheck(r.Next.ID); !ok {
				break
			}
			s, r = e.Step(s, answers(t, e, r, x.arrangement, f))
		}
		// Other failures of the part show the same: the part has to lead.
		if checks < 2 || e.base.Cause(r.Suspects[0].ID).Part != e.base.Cause(x.cause).Part {
			t.Errorf("%s, %s: after %d checks %s leads, next %q", circuitID, x.cause, checks, r.Suspects[0].ID, r.Next.Title)
		}
		if a := r.Arrangements[circuitID]; a.Arrangement != x.arrangement {
			t.Errorf("%s: taken for %+v", circuitID, a)
		}
	}
}

package dialog

import (
	"slices"
	"strings"
	"testing"

	"ruleout/kb"
)

// Somebody who comes back gets three lines and the open check.
func TestRecap(t *testing.T) {
	e := engineOf(t)
	s, _ := e.Start()
	if l := e.Recap(s); len(l) != 3 {
		t.Errorf("of a new case: %q", l)
	}
	s, _ = say(t, e, s, "1999 Tolland Carrier, gets hot in traffic, fine on the open road")
	s, _ = tapped(e, s, Tap{Finding: "fan-runs", Outcome: "never"}, Tap{Finding: "fan-fuse-check", Outcome: "good"})
	open := s.last.Next
	for _, words := range []string{"where were we?", "recap", "remind me where we got to"} {
		_, r := say(t, e, s, words)
		if len(r.Recap) != 3 || !slices.Equal(r.Recap, e.Recap(s)) {
			t.Errorf("%q: %q", words, r.Recap)
			continue
		}
		if !strings.Contains(r.Recap[0], "Tolland Carrier") || !strings.Contains(r.Recap[1], "fuse") || !strings.HasPrefix(r.Recap[2], "Now: leading") {
			t.Errorf("%q: %q", words, r.Recap)
		}
		if r.Next.ID != open.ID || !strings.Contains(r.Text, strings.TrimSuffix(open.Title, ".")) {
			t.Errorf("%q: the open check is not said: %s", words, r.Text)
		}
	}
}

// While a part is on order its repair is not proposed, nor a check that
// disturbs it; once it is here it is fitted, unless what was found since speaks
// against it.
func TestWaiting(t *testing.T) {
	e := engineOf(t)
	s, _ := e.Start()
	s, _ = tapped(e, s, Tap{Finding: "overheats", Outcome: "present"}, Tap{Finding: "fan-runs", Outcome: "never"}, Tap{Finding: "fan-direct-feed", Outcome: "still"})
	for _, words := range []string{"I've ordered a fan motor", "waiting for a new fan motor", "the part is on order"} {
		w, r := say(t, e, s, words)
		if w.care.waiting != "fan-motor-failed" || len(w.Notes) != len(s.Notes) {
			t.Errorf("%q: waiting for %q, %d notes: %s", words, w.care.waiting, len(w.Notes), r.Text)
			continue
		}
		for range 8 {
			if r.Next.Kind == "repair" && r.Next.ID == "fan-motor-failed" {
				t.Errorf("%q: the repair is proposed without its part", words)
			}
			if test := e.base.Test(r.Next.ID); test != nil && slices.Contains(test.Disturbs, "radiator-fan-motor") {
				t.Errorf("%q: %s disturbs the part", words, test.ID)
			}
			if r.Next.Kind == "waiting" {
				break
			}
			w, r = tapped(e, w, Tap{Request: "cannot"})
		}
		if r.Next.Kind != "waiting" || len(r.Next.Quick) != 1 {
			t.Errorf("%q: nothing ends the checks: %s", words, r.Next.Kind)
		}
		_, r = say(t, e, w, "the part is here")
		if r.Next.Kind != "repair" || r.Next.ID != "fan-motor-failed" {
			t.Errorf("%q: the part is here, and next is %s %s", words, r.Next.Kind, r.Next.ID)
		}
	}
	w, _ := say(t, e, s, "the part is on order")
	w, _ = tapped(e, w, Tap{Finding: "fan-direct-feed", Outcome: "runs"}, Tap{Strike: 3})
	_, r := say(t, e, w, "the part has arrived")
	if r.Next.ID == "fan-motor-failed" && r.Next.Kind == "repair" || !strings.Contains(r.Text, "Don't fit it yet") {
		t.Errorf("the motor runs on a direct feed, and is to be fitted: %s", r.Text)
	}
	if _, r := say(t, e, s, "waiting for it to cool down"); r.Next.Kind == "waiting" {
		t.Error("waiting for the engine is no part on order")
	}
}

// The choice gives ranges that follow from the article's figures and the rate.
func TestDecision(t *testing.T) {
	e := engineOf(t)
	s, _ := e.Start()
	s, _ = tapped(e, s, Tap{Finding: "overheats", Outcome: "present"}, Tap{Finding: "fan-runs", Outcome: "never"}, Tap{Finding: "fan-direct-feed", Outcome: "still"})
	_, r := say(t, e, s, "repair or shop?")
	d := r.Decision
	if d == nil || d.Cause != "fan-motor-failed" {
		t.Fatalf("decision %+v", d)
	}
	job := e.base.Cause(d.Cause).Repair
	m := job.Minutes + e.accessMinutes(job.Access)
	want := Range{round2(job.Money.Low + m*0.25), round2(job.Money.High + 2*m*0.25)}
	if d.Cost.Parts != (Range{job.Money.Low, job.Money.High}) || d.Cost.Minutes != (Range{m, 2 * m}) || d.Cost.Total != want {
		t.Errorf("cost %+v, want in all %+v", d.Cost, want)
	}
	if d.Stopgap == nil || d.Stopgap.Limits == "" || d.Stopgap.Until == "" || len(d.Stopgap.Cautions) == 0 || d.Advice == "" || d.Driving == "" {
		t.Errorf("decision %+v", d)
	}
	for _, words := range []string{"Parts 40 to 180", "memory", "Stopgap", "Hand over", "Driving meanwhile"} {
		if !strings.Contains(r.Text, words) {
			t.Errorf("%q is not said: %s", words, r.Text)
		}
	}
	rich, _ := say(t, e, s, "my time is worth 60 an hour")
	_, r = say(t, e, rich, "what are my options")
	if r.Decision == nil || r.Decision.Cost.Rate != 60 || r.Decision.Cost.Labour.Low != m {
		t.Errorf("at 60 an hour: %+v", r.Decision)
	}
}

// A stopgap with a load says what it draws: a fan of 10 to 20 A takes 17 to
// 33 % of 60 Ah an hour, and 140 to 280 W of the alternator.
func TestStopgapNumbers(t *testing.T) {
	e := engineOf(t)
	s, _ := e.Start()
	g := e.base.Cause("fan-switch-stuck-open").Stopgap
	text := strings.Join(e.numbers(s, g), " ")
	for _, want := range []string{"10 to 20 A", "17 to 33 %", "1.5 to 3 hours", "140 to 280 W", "0.06 to 0.11 litres of petrol", "memory"} {
		if !strings.Contains(text, want) {
			t.Errorf("%q is not in %q", want, text)
		}
	}
	if text := strings.Join(e.numbers(s, e.base.Cause("thermostat-stuck-closed").Stopgap), " "); !strings.Contains(text, "5 to 15 % more fuel") || !strings.Contains(text, "0.4 to 1.2 litres") {
		t.Errorf("without a thermostat: %q", text)
	}
	if text := strings.Join(e.numbers(s, e.base.Cause("hose-or-clip-leaks").Stopgap), " "); !strings.Contains(text, "at about 100 °C") || !strings.Contains(text, "at about 120 °C") {
		t.Errorf("without pressure: %q", text)
	}
	if text := strings.Join(e.drawWords(s, e.base.Cause("lights-left-on").Draws), " "); !strings.Contains(text, "3 to 3.8 hours") {
		t.Errorf("headlamps left on: %q", text)
	}
}

// No stopgap on brakes, steering, tyres and fuel leaks, nor beside a suspect
// that can hurt someone.
func TestNoStopgap(t *testing.T) {
	e := engineOf(t)
	s, _ := e.Start()
	j := e.judge(s)
	n := 0
	for _, c := range e.base.Causes {
		barred := slices.Contains(noStopgap, c.System) || c.System == "fuel" && strings.HasPrefix(c.Mode, "leak")
		if !barred {
			continue
		}
		n++
		with := *c
		with.Stopgap = &kb.Stopgap{Do: "Tie it up with string."}
		if g, why := e.stopgapOffer(s, j, &with); g != nil || !strings.Contains(why, "no stopgap") {
			t.Errorf("%s is offered a stopgap", c.ID)
		}
	}
	// A pedal that sinks, told beside a fan, ends the talk of stopgaps.
	two, _ := tapped(e, s, Tap{Finding: "fan-runs", Outcome: "always"}, Tap{Finding: "brake-pedal-to-floor", Outcome: "present"})
	if _, r := say(t, e, two, "stopgap?"); !strings.Contains(strings.ToLower(r.Text), "no stopgap") {
		t.Errorf("with a sinking pedal: %s", r.Text)
	}
	if n < 20 {
		t.Errorf("only %d causes are barred", n)
	}
}

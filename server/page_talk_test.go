package main

import (
	"fmt"
	"strings"
	"testing"
)

// One conversation of every kind of turn, at each size and in both themes:
// words, a tap, strike, change, a reading, stop-now, the view of where we
// stand. Nothing goes wrong and nothing is wider than the screen on the way.
func TestPageConversation(t *testing.T) {
	p := startProgram(t, t.TempDir())
	for i, width := range []int64{320, 390, 768, 1280} {
		for _, dark := range []bool{false, true} {
			t.Run(fmt.Sprintf("%d dark=%v", width, dark), func(t *testing.T) {
				b := openTab(t, width, 800, dark)
				b.open(p.url)
				if n := js[int](b, "document.querySelectorAll('[data-example]').length"); n != 3 {
					t.Errorf("%d example sentences", n)
				}
				b.say("my van gets hot in traffic, fine on the open road, sprogget")
				b.turns(1)
				if !strings.HasPrefix(js[string](b, "location.pathname"), "/cases/") {
					t.Error("the address does not name the case")
				}
				// Stop-now over the whole width.
				if w := js[float64](b, "document.querySelector('.stop').getBoundingClientRect().width / document.querySelector('.jobcard').getBoundingClientRect().width"); w < 0.99 {
					t.Errorf("stop-now takes %.2f of the width", w)
				}
				if got := b.text(".unread"); !strings.Contains(got, "sprogget") {
					t.Errorf("not shown as unused: %q", got)
				}
				b.fine(false)
				// A tap answers the question.
				b.tap("#next .quick button")
				b.turns(2)
				if js[string](b, "document.activeElement.id") != "next-title" {
					t.Error("after a tap the focus is not at the next question")
				}
				b.fine(false)
				if i%2 == 0 { // strike and change take the same way at all sizes
					b.tap(".chip")
					b.until("document.querySelector('dialog[open]')")
					meanings := js[int](b, "document.querySelectorAll('dialog section').length")
					b.tapText("That's not what I meant")
					b.turns(2 + meanings)
					b.until("document.querySelector('.chip.struck')")
					if js[string](b, "document.activeElement.id") != "words" {
						t.Error("after a wrong reading was struck the focus is not where it can be said again")
					}
				} else {
					b.say("the fan never comes on")
					b.turns(3)
					js[bool](b, "([...document.querySelectorAll('.chip')].at(-1).click(), true)")
					b.until("document.querySelector('dialog[open] .quick button')")
					change := b.text("dialog .quick button")
					b.tap("dialog .quick button")
					b.turns(4)
					if got := b.text(".exchange:last-child .reply"); !strings.Contains(got, change) {
						t.Errorf("changed to %q, the reply says %q", change, got)
					}
				}
				b.fine(false)
				// Where we stand.
				if width < 960 {
					b.tap("#show-stand")
				}
				b.until("document.querySelector('.suspect') && document.querySelector('.tree .d3')")
				b.until("document.querySelector('.suspect .plain').textContent.includes(' in 10')")
				js[bool](b, "(document.querySelectorAll('.standside details').forEach(d => { d.open = true; }), true)")
				b.fine(false)
			})
		}
	}
}

// A reading is typed into the field that says before what is expected; a slip
// is caught, a comma is a point.
func TestPageReading(t *testing.T) {
	p := startProgram(t, t.TempDir())
	b := openTab(t, 320, 640, false)
	b.open(p.url)
	b.say("battery is flat after standing over the weekend")
	b.turns(1)
	n := 1
	for !js[bool](b, "!!document.querySelector('#reading')") {
		if n > 25 {
			t.Fatalf("no reading was asked for; last: %s", b.text("#next"))
		}
		n++
		// Whatever it asks, a meter test comes when the questions are passed.
		b.say("skip")
		b.turns(n)
	}
	if got := js[string](b, "document.querySelector('#reading').inputMode"); got != "decimal" {
		t.Errorf("the keypad is %q", got)
	}
	if !js[bool](b, "document.querySelector('#expect').compareDocumentPosition(document.querySelector('#reading')) === Node.DOCUMENT_POSITION_FOLLOWING") {
		t.Error("what is expected does not stand before the field")
	}
	if cautions := js[int](b, "document.querySelectorAll('.cautions .caution').length"); cautions > 0 &&
		!js[bool](b, "document.querySelector('.cautions').compareDocumentPosition(document.querySelector('.ticksteps')) === Node.DOCUMENT_POSITION_FOLLOWING") {
		t.Error("a caution stands behind the steps")
	}
	if js[bool](b, "!!document.querySelector('.ticksteps')") {
		b.tap(".ticksteps label")
		b.until("document.querySelector('.ticksteps input').checked")
	}
	enter := func(v string) {
		js[bool](b, "(document.querySelector('#reading').value = "+quoted(v)+", document.querySelector('form.meter').requestSubmit(), true)")
	}
	enter("a lot")
	b.until("document.querySelector('#reading-wrong').textContent.includes('number')")
	enter("900000")
	b.until("document.querySelector('#reading-wrong').textContent.includes('can show')")
	low := js[float64](b, "Number(/[\\d.]+/.exec(document.querySelector('#expect').textContent)?.[0] ?? 12)")
	enter(strings.Replace(fmt.Sprint(low), ".", ",", 1))
	b.turns(n + 1)
	if got := b.text(".exchange:last-child .words"); !strings.Contains(got, strings.Replace(fmt.Sprint(low), ".", ",", 1)) {
		t.Errorf("the turn shows %q", got)
	}
	b.fine(false)
}

// The line is cut in the middle: what is typed waits on the device, also over
// a reload of the page and a restart of the program, and is sent once.
func TestPageQueueAndRestart(t *testing.T) {
	data := t.TempDir()
	p := startProgram(t, data)
	g := openGate(t, p.url)
	b := openTab(t, 390, 844, false)
	b.open(g.url())
	b.until("navigator.serviceWorker.controller || navigator.serviceWorker.ready.then(() => true)")
	b.say("my van gets hot in traffic")
	b.turns(1)
	b.open(js[string](b, "location.href")) // once more, so that the worker has it
	b.turns(1)
	g.cut()
	b.until("document.querySelector('.line.down')")
	b.say("the fan never comes on")
	b.say("coolant is full")
	b.until("document.querySelectorAll('.waiting').length === 2")
	p.stop(t)
	p = startProgram(t, data)
	b.run(reload)
	b.until("document.querySelectorAll('.waiting').length === 2 && document.querySelectorAll('.exchange').length === 1")
	g.connect(p.url)
	b.turns(3)
	id := js[string](b, "location.pathname.split('/').pop()")
	var c struct {
		Turns []struct {
			Turn struct{ Text string }
		}
	}
	p.get(t, "/api/cases/"+id, &c)
	var said []string
	for _, x := range c.Turns {
		said = append(said, x.Turn.Text)
	}
	if got := strings.Join(said, "; "); got != "my van gets hot in traffic; the fan never comes on; coolant is full" {
		t.Errorf("the case holds: %s", got)
	}
	b.fine(true)
}

// A case that was begun without a line begins when there is one.
func TestPageFirstWordsWithoutLine(t *testing.T) {
	p := startProgram(t, t.TempDir())
	g := openGate(t, p.url)
	b := openTab(t, 390, 844, true)
	b.open(g.url())
	g.cut()
	b.say("it gets hot in traffic")
	b.until("document.querySelector('.waiting')")
	g.connect(p.url)
	b.turns(1)
	b.fine(true)
}

// Phone and laptop see the same conversation, live.
func TestPageTwoAtOneCase(t *testing.T) {
	p := startProgram(t, t.TempDir())
	phone, bench := openTab(t, 390, 844, false), openTab(t, 1280, 800, false)
	phone.open(p.url)
	phone.say("one click when I turn the key")
	phone.turns(1)
	bench.open(js[string](phone, "location.href"))
	bench.turns(1)
	bench.say("the lights stay bright")
	phone.turns(2)
	phone.tap("#next .quick button")
	bench.turns(3)
	if a, b := phone.text("#turns"), bench.text("#turns"); a != b {
		t.Errorf("the phone shows %q, the laptop %q", a, b)
	}
	phone.fine(false)
	bench.fine(false)
}

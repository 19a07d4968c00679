package main

import (
	"fmt"
	"strings"
	"testing"

	"ruleout/dialog"
	"ruleout/server/chat"
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
				b.sound("stop now")
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
				b.sound("changed")
				// Where we stand.
				if width < 960 {
					b.tap("#show-stand")
				}
				b.until("document.querySelector('.suspect') && document.querySelector('.tree .d3')")
				b.until("document.querySelector('.suspect .plain').textContent.includes(' in 10')")
				js[bool](b, "(document.querySelectorAll('.standside details').forEach(d => { d.open = true; }), true)")
				b.fine(false)
				b.sound("where we stand")
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
	b.tap("form.meter .basis summary")
	if got := b.text("form.meter .basis p"); len(got) < 5 {
		t.Errorf("the basis of the figures expected is %q", got)
	}
	if cautions := js[int](b, "document.querySelectorAll('.cautions li').length"); cautions > 0 &&
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
	for _, what := range []string{".line.down", ".waiting:last-child"} {
		if !js[bool](b, "("+inSight+")(document.querySelector("+quoted(what)+"))") {
			t.Errorf("while the laptop does not answer %s is not in sight", what)
		}
	}
	b.sound("disconnected")
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

// Phone and laptop see the same conversation, live; what one of them does
// takes neither the focus nor a half typed number from the other.
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
	js[bool](bench, "(document.querySelector('.chip').focus(), true)")
	phone.tap("#next .quick button")
	bench.turns(3)
	if a, b := phone.text("#turns"), bench.text("#turns"); a != b {
		t.Errorf("the phone shows %q, the laptop %q", a, b)
	}
	if at := js[string](bench, "document.activeElement.localName"); at == "body" {
		t.Error("what the phone did took the focus from the laptop")
	}
	n := 3
	for !js[bool](phone, "!!document.querySelector('#reading')") {
		if n > 25 {
			t.Fatal("no reading was asked for")
		}
		n++
		phone.say("skip")
		phone.turns(n)
	}
	bench.turns(n)
	js[bool](bench, "(document.querySelector('#reading').value = '12.', document.querySelector('#reading').focus(), true)")
	phone.say("why?")
	bench.turns(n + 1)
	if v := js[string](bench, "document.activeElement.id + ' ' + document.querySelector('#reading').value"); v != "reading 12." {
		t.Errorf("after the other asked something the half typed reading is %q", v)
	}
	phone.fine(false)
	bench.fine(false)
}

// inSight tells whether the middle of an element can be seen and hit.
const inSight = `(e) => { const r = e.getBoundingClientRect(), x = r.left + r.width / 2, y = r.top + Math.min(r.height / 2, 20); return y > 0 && y < innerHeight && e.contains(document.elementFromPoint(x, y)) || e === document.elementFromPoint(x, y)?.closest("#" + (e.id || "none")); }`

// On a phone the next step is in sight after every reply without scrolling: a
// question with all its answers, a check with its head. A stop-now answer is
// there whole. After typing on glass the focus leaves the words, so that the
// keyboard goes.
func TestPageNextStepInSight(t *testing.T) {
	p := startProgram(t, t.TempDir())
	b := openTab(t, 390, 844, false)
	b.touch()
	b.open(p.url)
	see := func(selector string) {
		t.Helper()
		if js[int](b, "document.querySelectorAll("+quoted(selector)+").length") == 0 {
			t.Errorf("there is no %s", selector)
		}
		for _, out := range js[[]string](b, "[...document.querySelectorAll("+quoted(selector)+")].filter(e => !("+inSight+")(e)).map(e => e.textContent)") {
			t.Errorf("not in sight: %q; next is %q", out, b.text("#next h2"))
		}
	}
	b.say("my van gets hot in traffic, fine on the open road")
	b.turns(1)
	see(".stopword")
	see(".stoplinks a")
	if at := js[string](b, "document.activeElement.id"); at != "next-title" {
		t.Errorf("after typing on glass the focus is at %q", at)
	}
	b.tapText("Why this?")
	kinds := map[string]int{}
	for n := 2; n < 14 && !js[bool](b, "!document.querySelector('#next .quick button')"); n++ {
		b.tap("#next .quick button")
		b.turns(n)
		if js[bool](b, "!!document.querySelector('.exchange:last-child .stop')") {
			see(".exchange:last-child .stopword")
			continue
		}
		see("#next h2")
		kind := js[string](b, "document.querySelector('#next').classList[1]")
		kinds[kind]++
		if kind == "question" {
			see("#next .quick button")
		}
	}
	if kinds["question"] < 2 || kinds["test"] < 1 {
		t.Errorf("seen on the way: %v", kinds)
	}
	// No reply is an empty heading.
	if n := js[int](b, "[...document.querySelectorAll('.it')].filter(e => !e.querySelector('.reply').textContent.trim()).length"); n > 0 {
		t.Errorf("%d replies have a heading and no words", n)
	}
	b.fine(false)
}

// The head of the job card says in plain words what the case is about, however
// that became known, and what car it is; no bare "yes".
func TestPageJobCard(t *testing.T) {
	p := startProgram(t, t.TempDir())
	for _, said := range [][]string{
		{"the steering pulls to the left when braking"},                           // a sign of the long tail
		{"Just one click when I turn the key"},                                    // the answer to a question
		{"my van gets hot in traffic, its a 1999 Tolland Carrier with no aircon"}, // a symptom and a car
	} {
		b := openTab(t, 390, 844, false)
		b.open(p.url)
		for i, words := range said {
			b.say(words)
			b.turns(i + 1)
		}
		var told chat.Case
		p.get(t, "/api"+js[string](b, "location.pathname"), &told)
		r := told.Turns[len(told.Turns)-1].Reply
		want := sharedRooms(t).engine.Base().Symptom(r.Chief)
		if want == nil {
			t.Fatalf("%q: the chief is %q", said, r.Chief)
		}
		b.until("document.querySelector('#job-facts').textContent.toLowerCase().includes(" + quoted(strings.ToLower(want.Title)) + ")")
		for _, piece := range strings.Split(b.text("#job-facts"), " · ") {
			if piece == "yes" || piece == "no" || strings.Contains(piece, "unknown") {
				t.Errorf("%q: the job card says %q", said, b.text("#job-facts"))
			}
		}
		b.fine(false)
	}
}

// What was told of the car and the tools is struck and changed by a tap: over
// its chip, and in the list of where we stand.
func TestPageFactsByTap(t *testing.T) {
	p := startProgram(t, t.TempDir())
	b := openTab(t, 390, 844, true)
	b.open(p.url)
	b.say("it gets hot in traffic. diesel, 1999. I have a multimeter")
	b.turns(1)
	var told chat.Case
	know := func() *dialog.Reply {
		t.Helper()
		told = chat.Case{}
		p.get(t, "/api"+js[string](b, "location.pathname"), &told)
		return told.Turns[len(told.Turns)-1].Reply
	}
	if r := know(); r.Vehicle["fuel"] != "diesel" || r.Vehicle["year"] != "1999" || !r.Tools["multimeter"] {
		t.Fatalf("known: %v, %v", r.Vehicle, r.Tools)
	}
	chip := func(word string) {
		t.Helper()
		find := "[...document.querySelectorAll('.chip')].find(c => c.textContent.includes(" + quoted(word) + "))"
		b.until(find)
		js[bool](b, "("+find+".click(), true)")
		b.until("document.querySelector('dialog[open]')")
	}
	chip("diesel")
	b.tapText("petrol")
	b.turns(2)
	if r := know(); r.Vehicle["fuel"] != "petrol" {
		t.Errorf("after the tap it runs on %q", r.Vehicle["fuel"])
	}
	chip("1999")
	b.sound("sheet over a fact")
	b.tapText("Strike it")
	b.turns(3)
	if r := know(); r.Vehicle["year"] != "" {
		t.Errorf("after the tap its year is %q", r.Vehicle["year"])
	}
	b.until("[...document.querySelectorAll('.chip.struck')].some(c => c.textContent.includes('1999'))")
	b.tap("#show-stand")
	strike := "[...document.querySelectorAll('.noted li')].find(l => l.textContent.includes('ultimeter'))?.querySelector('button')"
	b.until(strike)
	js[bool](b, "("+strike+".click(), true)")
	b.turns(4)
	if r := know(); len(r.Tools) != 0 {
		t.Errorf("after the tap the tools are %v", r.Tools)
	}
	b.fine(false)
}

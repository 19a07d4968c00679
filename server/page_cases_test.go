package main

import (
	"bytes"
	"context"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
)

// pdf prints the page as a user would to a file: A4 by the page's own style.
// With SCREENSHOTS set it is kept, to be looked at.
func (p *tab) pdf(name string) []byte {
	p.t.Helper()
	var data []byte
	p.run(chromedp.Func(func(ctx context.Context, at *chromedp.Target) error {
		yes := true
		res, err := cdp.Call(ctx, at, page.PrintToPDF, page.PrintToPDFParams{PreferCSSPageSize: &yes, PrintBackground: &yes})
		data = []byte(res.Data)
		return err
	}))
	if os.Getenv("SCREENSHOTS") != "" {
		if err := os.WriteFile(filepath.Join("..", "screenshots", name+".pdf"), data, 0o644); err != nil {
			p.t.Fatal(err)
		}
	}
	return data
}

// sheets counts the pages of a PDF: objects of the type Page.
func sheets(data []byte) int { return len(regexp.MustCompile(`/Type\s*/Page\b`).FindAll(data, -1)) }

// photoFile writes a picture as a phone held on its side would.
func photoFile(t testing.TB) string {
	t.Helper()
	m := image.NewRGBA(image.Rect(0, 0, 320, 200))
	for y := range 200 {
		for x := range 320 {
			m.Set(x, y, color.RGBA{uint8(x / 2), uint8(y), 90, 255})
		}
	}
	var b bytes.Buffer
	if err := jpeg.Encode(&b, m, nil); err != nil {
		t.Fatal(err)
	}
	file := filepath.Join(t.TempDir(), "fan.jpg")
	if err := os.WriteFile(file, b.Bytes(), 0o600); err != nil {
		t.Fatal(err)
	}
	return file
}

// caseOf is the id of the case whose conversation is open.
func caseOf(b *tab) string {
	b.t.Helper()
	return strings.TrimPrefix(js[string](b, "location.pathname"), "/cases/")
}

// A job over more than one sitting: begun for a vehicle, left in the middle and
// picked up again, a finding struck, something supposed and dropped, a photo
// attached, printed, closed with proof, printed for oneself and for a
// workshop, taken up again when it comes back, found among others, thrown
// away.
func TestPageCases(t *testing.T) {
	p := startProgram(t, t.TempDir())
	b := openTab(t, 1000, 900, false)
	if os.Getenv("SCREENSHOTS") != "" {
		if err := os.MkdirAll(filepath.Join("..", "screenshots"), 0o755); err != nil {
			t.Fatal(err)
		}
	}
	// A vehicle sheet, and a job on it.
	b.open(p.url + "/vehicles")
	b.run(chromedp.SendKeys("#name", "The village's van"), chromedp.SendKeys("#f-year", "1999"))
	js[bool](b, "(document.querySelector('#f-fuel').value = 'diesel', true)")
	b.tapText("Keep the sheet")
	b.until("location.search === '?done=kept'")
	b.fine(false)
	b.tapText("Begin a job on it")
	b.until("location.pathname.startsWith('/cases/')")
	b.until("document.querySelector('#words')")
	b.say("it gets hot in traffic, fine on the open road. it is a petrol by the way")
	b.turns(1)
	b.say("the fan never comes on, even with the aircon")
	b.turns(2)
	id := caseOf(b)

	// Left in the middle; there are three lines to remember it by.
	b.open(p.url + "/jobs")
	b.until("document.querySelector('[data-job=\"" + id + "\"] .recap li')")
	if n := js[int](b, "document.querySelectorAll('[data-job=\""+id+"\"] .recap li').length"); n < 3 || n > 4 {
		t.Errorf("%d lines of recap", n)
	}
	if got := b.text("#group-Open"); got != "Open" {
		t.Errorf("it stands under %q", got)
	}
	b.fine(false)
	b.tap("[data-job=\"" + id + "\"] .tools a.button")
	b.turns(2)

	// A finding is struck.
	js[bool](b, "([...document.querySelectorAll('.chip')].find(c => c.textContent.includes('never comes on')).click(), true)")
	b.until("document.querySelector('dialog[open]')")
	b.tapText("Strike it")
	b.turns(3)
	b.until("[...document.querySelectorAll('.chip')].some(c => c.textContent.includes(', struck'))")
	b.say("the fan never comes on, even with the aircon")
	b.turns(4)

	// Something is supposed, looked at, and dropped.
	before := b.text("#stand-body")
	b.say("what if the radiator fan fuse was blown?")
	b.turns(5)
	b.say("drop it")
	b.turns(6)
	if after := b.text("#stand-body"); after != before {
		t.Errorf("after the supposition was dropped we stand at\n%s\nbefore at\n%s", after, before)
	}

	// The correction goes on the sheet; a photo is attached.
	b.open(p.url + "/cases/" + id + "/file")
	if got := b.text("form[action$=carry]"); !strings.Contains(got, "petrol") || !strings.Contains(got, "the sheet says diesel") {
		t.Errorf("offered for the sheet: %q", got)
	}
	b.tapText("Put on the sheet")
	b.until("location.search === '?done=carried'")
	b.run(chromedp.SetUploadFiles("#photo", []string{photoFile(t)}), chromedp.SendKeys("#note", "fan plug, unplugged"))
	b.tapText("Attach")
	b.until("location.search === '?done=attached' && document.querySelector('.one img')?.complete")
	if w := js[int](b, "document.querySelector('.one img').naturalWidth"); w != 320 {
		t.Errorf("the photo is %d wide", w)
	}
	b.fine(false)

	// Printed while it is open.
	b.open(p.url + "/cases/" + id + "/report")
	b.until("document.querySelector('.record h2')")
	b.fine(false)
	if n := sheets(b.pdf("report-open")); n < 1 || n > 2 {
		t.Errorf("the report of an open job prints on %d sheets", n)
	}

	// Closed, with the proof seen.
	b.open(p.url + "/cases/" + id)
	b.turns(6)
	n := 6
	for _, words := range story[3:6] {
		b.say(words)
		n++
		b.turns(n)
	}
	closed := func() bool { return strings.Contains(js[string](b, closedState(id)), "cured") }
	for range 6 {
		if closed() {
			break
		}
		if js[bool](b, "[...document.querySelectorAll('#next .quick button')].some(x => x.textContent.includes('cured it'))") {
			b.tapText("cured it")
		} else if js[bool](b, "!!document.querySelector('#next.proof .quick button')") {
			b.tap("#next .quick button")
		} else {
			b.say("it's fixed")
		}
		n++
		b.turns(n)
	}
	if !closed() {
		t.Fatalf("the job does not close: %s", b.text("#next"))
	}
	b.open(p.url + "/jobs")
	if got := b.text("section:has(#group-Closed)"); !strings.Contains(got, id) {
		t.Errorf("under closed: %q", got)
	}
	b.open(p.url + "/cases/" + id + "/report")
	b.until("document.querySelector('.record img')?.complete")
	for _, head := range []string{"Complaint", "Ruled out, and by what", "Cause", "Repair", "Proof", "Cost and time", "Timeline", "Notes and photos"} {
		b.until("[...document.querySelectorAll('.record h2')].some(h => h.textContent === " + quoted(head) + ")")
	}
	if n := sheets(b.pdf("report-closed")); n < 1 || n > 2 {
		t.Errorf("the report prints on %d sheets", n)
	}
	b.open(p.url + "/cases/" + id + "/report?for=shop")
	if n := sheets(b.pdf("report-shop")); n < 1 || n > 2 {
		t.Errorf("the report for a workshop prints on %d sheets", n)
	}
	// What it taught stands beside the authored figure.
	b.open(p.url + "/learned")
	if got := b.text("table"); !strings.Contains(got, "1 of 1") {
		t.Errorf("learned: %q", got)
	}
	b.fine(false)

	// It came back.
	b.open(p.url + "/cases/" + id)
	b.turns(n)
	b.say("it's still doing it, it came back after a week")
	n++
	b.turns(n)
	if closed() {
		t.Errorf("it stays closed: %s", b.text(".exchange:last-child .reply"))
	}
	b.open(p.url + "/jobs?q=hot+in+traffic")
	if got := b.text("#found + ul"); !strings.Contains(got, id) {
		t.Errorf("searched for: %q", got)
	}
	b.fine(false)
	b.open(p.url + "/cases/" + id + "/file")
	b.tapText("Throw this job away")
	js[bool](b, "(document.querySelector('[name=sure]').click(), true)")
	b.tapText("Throw away for good")
	b.until("location.search === '?done=deleted'")
	if got := b.text("main"); strings.Contains(got, id) {
		t.Error("it is still listed")
	}
	b.fine(false)
}

// closedState asks how a case stands.
func closedState(id string) string {
	return fmt.Sprintf("fetch('/api/cases').then(r => r.json()).then(l => l.cases.find(c => c.id === %s)?.state ?? '')", quoted(id))
}

// The pages about cases are nowhere wider than the screen, in any theme.
func TestPageCasesScreens(t *testing.T) {
	p := startProgram(t, t.TempDir())
	c := p.newCase(t)
	p.cured(t, c.ID)
	open := p.newCase(t)
	p.tell(t, open.ID, said("dead every monday, and "+strings.Repeat("averylongwordwithoutanyblank", 8)))
	p.send(t, "POST", "/api/cases/"+c.ID+"/photos?turn=1&note=clamp", pictureJPEG(t, 99), 201, nil)
	p.send(t, "POST", "/api/vehicles", map[string]any{"name": "estate", "from": c.ID}, 201, nil)
	shots := os.Getenv("SCREENSHOTS") != ""
	for _, size := range []struct {
		w    int64
		dark bool
	}{{320, true}, {390, false}, {1280, true}} {
		b := openTab(t, size.w, 800, size.dark)
		for i, path := range []string{"/jobs", "/jobs?q=monday", "/cases/" + c.ID + "/file", "/cases/" + c.ID + "/report", "/cases/" + c.ID + "/report?for=shop", "/vehicles", "/learned", "/cases/" + open.ID + "/file"} {
			b.open(p.url + path)
			b.fine(false)
			for _, x := range js[[]string](b, contrast) {
				t.Errorf("%s, %d, dark %v: contrast %s", path, size.w, size.dark, x)
			}
			for _, x := range js[[]string](b, small) {
				t.Errorf("%s, %d: target %s", path, size.w, x)
			}
			if shots {
				png, err := chromedp.Run(b.ctx, chromedp.FullScreenshot(100))
				if err != nil {
					t.Fatal(err)
				}
				if err := os.WriteFile(filepath.Join("..", "screenshots", fmt.Sprintf("cases-%d-%d.png", i, size.w)), png, 0o644); err != nil {
					t.Fatal(err)
				}
			}
		}
	}
}

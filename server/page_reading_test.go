package main

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"

	"ruleout/dialog"
	"ruleout/server/chat"
)

var reload = chromedp.Reload()

// Articles: contents, links both ways, basis on tap, where the case used it,
// search as one types, deep links to a shelf.
func TestPageArticles(t *testing.T) {
	p := startProgram(t, t.TempDir())
	b := openTab(t, 320, 700, true)
	b.open(p.url)
	b.say("my van gets hot in traffic, the fan never comes on")
	b.turns(1)
	var told chat.Case
	p.get(t, "/api"+js[string](b, "location.pathname"), &told)
	suspects := told.Turns[0].Reply.Suspects
	written := slices.IndexFunc(suspects, func(s dialog.Suspect) bool { return !s.Derived })
	if written < 0 {
		t.Fatal("no suspect has an article")
	}
	b.open(p.url + "/articles/" + suspects[written].ID)
	b.until("document.querySelector('.used')")
	b.tap("details.basis summary")
	if got := b.text("details.basis[open] p"); !strings.HasPrefix(got, "Basis: ") {
		t.Errorf("the basis on tap: %q", got)
	}
	for _, want := range []string{"#repair", "#proof", "#back"} {
		if !js[bool](b, "!!document.querySelector("+quoted(want)+")") {
			t.Errorf("the cause has no %s", want)
		}
	}
	b.fine(false)
	b.open(p.url + "/articles/fan-relay-coil")
	if n := js[int](b, "document.querySelectorAll('figure svg.drawing').length"); n == 0 {
		t.Error("the test of a relay coil shows no drawing of a relay")
	}
	b.fine(false)
	// The heading of a reading is a heading, not the meter's own window.
	if size := js[string](b, "getComputedStyle(document.querySelector('h2#reading')).fontFamily + ' ' + getComputedStyle(document.querySelector('h2#about')).fontFamily"); strings.Count(size, "monospace") > 0 {
		t.Errorf("the headings are set in %s", size)
	}
	// Every system that anything is known of can be browsed, and from each sign
	// one comes to what can bring it.
	b.open(p.url + "/articles")
	for _, y := range sharedRooms(t).engine.Base().Symptoms {
		if !js[bool](b, "document.querySelectorAll("+quoted(`#browse a[href="/articles/`+y.ID+`"]`)+").length >= 2") {
			t.Errorf("%s is not found by what is noticed and by system", y.ID)
			break
		}
	}
	b.open(p.url + "/articles/brake-pulls")
	if n := js[int](b, "document.querySelectorAll('section[aria-labelledby=causes] a').length"); n == 0 {
		t.Error("a sign of the long tail leads to no cause")
	}
	// A wide table is stacked on a phone: each cell says what it is.
	b.open(p.url + "/articles/table-come-go")
	b.until("document.querySelector('.stack td')")
	if n := js[int](b, "[...document.querySelectorAll('.stack td')].filter(c => c.textContent && (!c.dataset.label || c.getBoundingClientRect().width < 200)).length"); n > 0 {
		t.Errorf("%d cells of a table can't be read on a phone", n)
	}
	b.fine(false)
	b.open(p.url + "/articles#system-cooling")
	b.until("document.querySelector('#system-cooling').open")
	b.run(chromedp.SendKeys("#q", "relay clicks"))
	b.until("document.querySelectorAll('#found mark').length > 0 && document.querySelector('#browse').hidden")
	if n := js[int](b, "document.querySelectorAll('#found li').length"); n == 0 {
		t.Error("nothing found")
	}
	b.fine(false)
}

// Every drawing is whole: it fits its frame and says in words what it shows.
func TestPageDrawings(t *testing.T) {
	p := startProgram(t, t.TempDir())
	b := openTab(t, 320, 700, false)
	seen := map[string]bool{}
	for _, c := range sharedRooms(t).engine.Base().Cards {
		if c.Picture == "" {
			continue
		}
		b.open(p.url + "/articles/" + c.ID)
		if seen[c.Picture] {
			t.Errorf("%s is shown by two cards", c.Picture)
		}
		seen[c.Picture] = true
		if out := js[string](b, `(() => { const s = document.querySelector("svg.drawing"); if (!s) return "no drawing"; if (s.getAttribute("aria-label").length < 40) return "no words"; const f = s.getBoundingClientRect();
			return [...s.querySelectorAll("*:not(g)")].filter(e => { const q = e.getBoundingClientRect(); return q.left < f.left - 1 || q.top < f.top - 1 || q.right > f.right + 1 || q.bottom > f.bottom + 1 }).map(e => e.outerHTML).join(" ") })()`); out != "" {
			t.Errorf("%s: %s", c.Picture, out)
		}
	}
	if len(seen) < 10 {
		t.Errorf("only %d reference subjects have a drawing", len(seen))
	}
	b.fine(false)
}

// An article that was read opens while the laptop sleeps; one that was not
// says so.
func TestPageArticleOffline(t *testing.T) {
	p := startProgram(t, t.TempDir())
	g := openGate(t, p.url)
	b := openTab(t, 390, 844, false)
	b.open(g.url() + "/articles")
	b.until("navigator.serviceWorker.controller")
	b.open(g.url() + "/articles/relay-terminals")
	title := b.text("h1")
	b.until("caches.match('/articles/relay-terminals').then(Boolean)")
	g.cut()
	b.open(g.url() + "/articles/relay-terminals")
	if got := b.text("h1"); got != title || title == "" {
		t.Errorf("the article that was read shows %q, was %q", got, title)
	}
	if w := js[float64](b, "document.querySelector('svg.drawing').getBoundingClientRect().width"); w < 100 {
		t.Errorf("its drawing is %v wide", w)
	}
	if family := js[string](b, "getComputedStyle(document.querySelector('.rail')).display"); family != "flex" {
		t.Error("its style sheet is gone")
	}
	b.open(g.url() + "/articles/fan-relay-coil")
	if got := b.text("h1"); !strings.Contains(got, "does not answer") {
		t.Errorf("an article that was not read shows %q", got)
	}
	b.until("document.querySelector('#kept a')")
	if got := b.text("#kept"); !strings.Contains(got, title) {
		t.Errorf("on the device is said to be %q", got)
	}
	b.sound("laptop asleep")
	b.tap("#kept a")
	b.until("document.querySelector('h1').textContent === " + quoted(title))
	b.fine(true)
}

// What people and their folders bring is shown as text and never run.
func TestPageHostileInput(t *testing.T) {
	folder := t.TempDir()
	bad := `<img src=x onerror=\"window.hit=1\"><script>window.hit=1</script>`
	card := "kind: card\nid: bad-card\ntitle: \"" + bad + "\"\nsystem: cooling\nsaid: [\"" + bad + "\", bad words in a card, more of them]\nbody: |\n  Look <script>window.hit=1</script> [here](javascript:window.hit=1) <img src=x onerror=window.hit=1>\n\n  <iframe src=\"javascript:parent.hit=1\"></iframe>\n"
	for _, name := range []string{"bad-card.yaml"} {
		if err := os.MkdirAll(filepath.Join(folder, "articles", "reference"), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(folder, "articles", "reference", name), []byte(card), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	if err := os.WriteFile(filepath.Join(folder, "articles", "reference", "<script>window.hit=1<script>.yaml"), []byte("kind: card\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	for _, args := range [][]string{{"-articles", folder}, nil} {
		p := startProgram(t, t.TempDir(), args...)
		b := openTab(t, 390, 844, false)
		b.open(p.url)
		for i, words := range []string{`<img src=x onerror="window.hit=1"> it overheats`, `<script>window.hit=1</script>`, `**[x](article:"onclick=1)** [y](javascript:window.hit=1) fan never comes on`, "\"><svg onload=window.hit=1>"} {
			b.say(words)
			b.turns(i + 1)
			if got := b.text(".exchange:last-child .words"); strings.Join(strings.Fields(got), " ") != strings.Join(strings.Fields(words), " ") && !strings.Contains(got, "not used") && !strings.Contains(got, "understood") {
				t.Errorf("%q is shown as %q", words, got)
			}
		}
		for _, path := range []string{"/jobs", "/articles?q=%3Cscript%3Ewindow.hit%3D1%3C%2Fscript%3E", "/articles/%3Cscript%3Ewindow.hit=1%3C%2Fscript%3E", "/articles/bad-card", "/articles", "/cases/%3Cscript%3E"} {
			b.open(p.url + path)
		}
		if js[bool](b, "'hit' in window") {
			t.Error("a script of someone else's ran")
		}
		b.open(p.url)
		// What slips through all else is stopped by the content policy.
		js[bool](b, `(() => { const s = document.createElement("script"); s.textContent = "window.slipped = 1"; document.head.append(s); const d = document.createElement("div"); d.innerHTML = "<img src=x onerror='window.slipped=1'><a style='color:red' id=styled>x</a>"; document.body.append(d); return true; })()`)
		b.until("new Promise(r => setTimeout(() => r(true), 300))")
		if js[bool](b, "'slipped' in window") {
			t.Error("the content policy let an inline script run")
		}
	}
}

var pressTab = chromedp.KeyEvent("\t")

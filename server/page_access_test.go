package main

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// axe is the outside judge of accessibility, from the package that
// testdata/page pins.
func axe(t testing.TB) string {
	t.Helper()
	data, err := os.ReadFile(filepath.Join("..", "testdata", "page", "node_modules", "axe-core", "axe.min.js"))
	if err != nil {
		absent(t, "axe-core is not installed; run npm ci in testdata/page")
	}
	return string(data)
}

// states walks through every kind of page and calls look at each.
func states(b *tab, url string, look func(name string)) {
	b.open(url)
	look("first visit")
	b.say("my van gets hot in traffic, fine on the open road, sprogget")
	b.turns(1)
	look("stop now")
	b.say("the fan never comes on, even with the aircon")
	b.turns(2)
	n := 2
	for range 8 {
		if js[bool](b, "!!document.querySelector('.next.test, .next.look-round')") {
			break
		}
		n++
		b.say("skip")
		b.turns(n)
	}
	b.tapText("Why this?")
	look("check")
	b.tap(".chip")
	b.until("document.querySelector('dialog[open] .quick button')")
	look("sheet over a chip")
	b.tapText("Leave it")
	if js[bool](b, "document.querySelector('#show-stand').checkVisibility()") {
		b.tap("#show-stand")
	}
	b.until("document.querySelector('.tree .d3')")
	js[bool](b, "(document.querySelectorAll('.standside details').forEach(d => { d.open = true; }), true)")
	look("where we stand")
	for _, path := range []string{"/articles", "/articles?q=relay+clicks", "/articles/fan-relay-coil", "/articles/fan-relay-coil-open", "/articles/overheats", "/articles/relay-terminals", "/articles/table-come-go", "/asleep", "/jobs", "/phone", "/nowhere"} {
		b.open(url + path)
		look(path)
	}
}

// contrast is WCAG's ratio of the text colour to what lies behind it, for
// every piece of text in sight; it returns those below 4.5 (3 for large text).
const contrast = `(() => {
	const rgb = (c) => { const m = c.match(/[\d.]+/g).map(Number); return m.length < 4 ? [...m.slice(0, 3), 1] : m; };
	const lin = (v) => { v /= 255; return v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4; };
	const lum = ([r, g, b]) => 0.2126 * lin(r) + 0.7152 * lin(g) + 0.0722 * lin(b);
	const bad = [];
	let seen = 0;
	const walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
	for (let n; (n = walk.nextNode());) {
		const e = n.parentElement;
		if (!n.data.trim() || !e.checkVisibility() || e.closest(".hidden, svg, script, noscript")) continue;
		const style = getComputedStyle(e);
		if (style.backgroundImage !== "none") continue;
		let behind = e, back = [0, 0, 0, 0];
		while (behind && (back = rgb(getComputedStyle(behind).backgroundColor))[3] === 0) behind = behind.parentElement;
		if (!behind) back = [255, 255, 255, 1];
		const a = lum(rgb(style.color)), b = lum(back);
		const ratio = (Math.max(a, b) + 0.05) / (Math.min(a, b) + 0.05);
		const size = parseFloat(style.fontSize), large = size >= 24 || size >= 18.66 && style.fontWeight >= 700;
		seen++;
		if (ratio < (large ? 3 : 4.5)) bad.push(ratio.toFixed(2) + " " + n.data.trim().slice(0, 40));
	}
	if (!seen) bad.push("no text at all");
	return bad;
})()`

// small finds controls under 44 px, but for links within a sentence.
const small = `[...document.querySelectorAll("button, input:not([type=hidden]), textarea, summary, nav a, .links a, .quick button")].filter(e => e.checkVisibility() && !e.closest(".hidden")).map(e => {
	const hit = e.matches("input[type=checkbox], input[type=radio]") ? e.closest("label") : e;
	const r = hit.getBoundingClientRect();
	return r.height < 43.5 || r.width < 43.5 ? Math.round(r.width) + "×" + Math.round(r.height) + " " + e.outerHTML.slice(0, 80) : "";
}).filter(Boolean)`

// cutShort finds fields whose placeholder is wider than the field, which then
// shows half a sentence.
const cutShort = `[...document.querySelectorAll("input[placeholder], textarea[placeholder]")].filter(e => e.checkVisibility()).filter(e => {
	const s = getComputedStyle(e), g = document.createElement("canvas").getContext("2d");
	g.font = s.font;
	return g.measureText(e.placeholder).width > e.clientWidth - parseFloat(s.paddingLeft) - parseFloat(s.paddingRight);
}).map(e => e.placeholder)`

// sound fails when any text has too little contrast, any control is too small
// to hit, or any placeholder is cut.
func (p *tab) sound(name string) {
	p.t.Helper()
	for what, expression := range map[string]string{"contrast": contrast, "target": small, "placeholder cut": cutShort} {
		for _, found := range js[[]string](p, expression) {
			p.t.Errorf("%s: %s %s", name, what, found)
		}
	}
}

// Every kind of page, narrow and wide, sun and dark: axe-core finds nothing;
// colours of all text and sizes of all targets, computed, are enough; and the
// text at 200 % keeps every word within the width.
func TestPageAccess(t *testing.T) {
	judge := axe(t)
	p := startProgram(t, t.TempDir())
	for _, size := range []struct {
		w    int64
		dark bool
	}{{320, false}, {1280, true}} {
		b := openTab(t, size.w, 800, size.dark)
		states(b, p.url, func(name string) {
			t.Helper()
			name = fmt.Sprintf("%s at %d", name, size.w)
			// What is only read looks the same at all widths and is judged once.
			source := judge
			if strings.HasPrefix(name, "/") && size.w > 1000 {
				source = ""
			}
			// What the line to type in covers can be scrolled free: whether it covers
			// half a target hangs on how long the page happens to be.
			const line = "(document.querySelectorAll('.say').forEach(e => { e.style.position = '%s'; }), true)"
			js[bool](b, fmt.Sprintf(line, "static"))
			found := js[[]string](b, source+`;
				self.axe === undefined ? [] : axe.run(document, {runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]}).then(r => r.violations.flatMap(v => v.nodes.map(n => v.id + ": " + n.html.slice(0, 160) + " " + (n.any[0]?.message ?? ""))))`)
			js[bool](b, fmt.Sprintf(line, ""))
			for _, f := range found {
				t.Errorf("%s: %s", name, f)
			}
			b.sound(name)
			js[bool](b, "(document.documentElement.style.fontSize = '200%', true)")
			b.fine(strings.HasPrefix(name, "/nowhere"))
			js[bool](b, "(document.documentElement.style.fontSize = '', true)")
		})
	}
}

// With the Tab key alone one comes to every control, in the order of sight,
// and always sees where one is.
func TestPageTabOrder(t *testing.T) {
	p := startProgram(t, t.TempDir())
	b := openTab(t, 1280, 900, false)
	b.open(p.url)
	b.say("my van gets hot in traffic, fine on the open road")
	b.turns(1)
	js[bool](b, "(document.activeElement.blur(), document.querySelector('.skip').focus(), true)")
	want := js[[]string](b, `[...document.querySelectorAll("a[href], button, input, textarea, summary")].filter(e => e.checkVisibility() && !e.closest("details:not([open]) > :not(summary)")).map((e, i) => { e.dataset.at = i; return String(i); })`)
	var got []string
	for range len(want) {
		got = append(got, js[string](b, `(() => { const e = document.activeElement; if (!e.matches(":focus-visible")) return "unseen " + e.outerHTML.slice(0, 80); const s = getComputedStyle(e); return s.outlineStyle === "none" ? "no outline on " + e.outerHTML.slice(0, 80) : e.dataset.at ?? e.outerHTML.slice(0, 80); })()`))
		b.run(pressTab)
	}
	if !slices.Equal(got, want) {
		t.Errorf("Tab leads to %v\nin sight are %v", got, want)
	}
	for _, mark := range []string{"header", "main", "nav", "h1"} {
		if n := js[int](b, fmt.Sprintf("document.querySelectorAll(%s).length", quoted(mark))); n != 1 {
			t.Errorf("%d of %s", n, mark)
		}
	}
	// Only the reply is announced, and without its marks.
	if n := js[int](b, "document.querySelectorAll('[aria-live]').length"); n != 1 {
		t.Errorf("%d live regions", n)
	}
	if said := b.text("#announce"); said == "" || strings.Contains(said, "**") || strings.Contains(said, "](") {
		t.Errorf("announced: %q", said)
	}
}

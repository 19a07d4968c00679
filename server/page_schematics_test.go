package main

import (
	"encoding/json"
	"strings"
	"testing"
)

// clashes measures every drawing of the page: texts that lie on one another,
// run out of it, or have a line or symbol through them, and wires that run
// through a symbol. It gives one line for each.
const clashes = `(() => {
	const out = [];
	const over = (a, b) => [Math.min(a.x + a.width, b.x + b.width) - Math.max(a.x, b.x), Math.min(a.y + a.height, b.y + b.height) - Math.max(a.y, b.y)];
	const passes = (points, b, dx, dy) => points.some((q) => q.x > b.x + dx && q.x < b.x + b.width - dx && q.y > b.y + dy && q.y < b.y + b.height - dy);
	for (const s of document.querySelectorAll("svg")) {
		const page = s.viewBox.baseVal, say = (w) => out.push(s.dataset.name + ": " + w);
		const texts = [...s.querySelectorAll("text")].map((t) => ({ b: t.getBBox(), words: t.textContent, inside: t.getAttribute("text-anchor") === "middle" }));
		const lines = [...s.querySelectorAll(".wire, .ink, .lead")].map((p) => ({ p, at: Array.from({ length: Math.ceil(p.getTotalLength() / 2) + 1 }, (_, k) => p.getPointAtLength(2 * k)) }));
		const shapes = [...s.querySelectorAll(".sym, .fault")].map((p) => ({ p, b: p.getBBox() }));
		texts.forEach(({ b, words, inside }, i) => {
			if (b.x < 0 || b.y < 0 || b.x + b.width > page.width || b.y + b.height > page.height) say(words + " runs out of the drawing");
			if (inside) return; // the letter in a symbol
			for (const t of texts.slice(i + 1)) { const [x, y] = over(b, t.b); if (x > 1 && y > 4) say(words + " lies on " + t.words); }
			if (lines.some((l) => passes(l.at, b, 1, 3))) say("a line runs through " + words);
			for (const r of shapes) { const [x, y] = over(b, r.b); if (x > 1 && y > 3) say("a symbol lies on " + words); }
		});
		for (const r of shapes) {
			const edge = r.p.matches(".fault") ? 7 : 2;
			if (lines.some((l) => l.p.matches(".wire") && passes(l.at, r.b, 2, edge))) say("a wire runs through a symbol");
		}
	}
	return out;
})()`

// Every circuit is drawn, in every arrangement and state, sound and with every
// fault, so that nothing lies on anything else, as the browser sets it.
func TestPageSchematics(t *testing.T) {
	e := sharedRooms(t).engine
	var drawn []string
	add := func(circuit, arrangement, setup, cause string) bool {
		svg, _, err := e.Draw(circuit, arrangement, setup, cause)
		if err == nil {
			name := strings.Join([]string{circuit, arrangement, setup, cause}, " ")
			drawn = append(drawn, strings.Replace(svg, "<svg ", `<svg data-name="`+name+`" `, 1))
		}
		return err == nil
	}
	for _, a := range e.Base().Circuits {
		p, _ := e.CircuitPage(a.ID)
		for _, r := range p.Arrangements {
			add(a.ID, r.ID, "", "")
			for _, s := range p.Setups {
				add(a.ID, r.ID, s.ID, "")
			}
			for k, c := range p.Causes {
				if !add(a.ID, r.ID, p.Setups[k%len(p.Setups)].ID, c.ID) {
					add(a.ID, r.ID, "", c.ID)
				}
			}
		}
	}
	tab := openTab(t, 1280, 800, false)
	tab.open("about:blank")
	for k := 0; k < len(drawn); k += 100 {
		html, err := json.Marshal(strings.Join(drawn[k:min(k+100, len(drawn))], "\n"))
		if err != nil {
			t.Fatal(err)
		}
		js[bool](tab, "(document.body.innerHTML = "+string(html)+", true)")
		for _, w := range js[[]string](tab, clashes) {
			t.Error(w)
		}
	}
	t.Logf("%d drawings", len(drawn))
}

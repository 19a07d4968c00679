package main

import (
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"github.com/chromedp/chromedp"
)

// Screenshots of the states that people see, to be looked at; they are only
// made when SCREENSHOTS is set.
func TestPageScreens(t *testing.T) {
	if os.Getenv("SCREENSHOTS") == "" {
		t.Skip("SCREENSHOTS is not set")
	}
	folder := filepath.Join("..", "screenshots")
	if err := os.MkdirAll(folder, 0o755); err != nil {
		t.Fatal(err)
	}
	p := startProgram(t, t.TempDir())
	for _, size := range []struct{ w, h int64 }{{390, 844}, {1280, 800}} {
		for _, dark := range []bool{false, true} {
			g := openGate(t, p.url)
			b := openTab(t, size.w, size.h, dark)
			shot := func(name string, full bool) {
				t.Helper()
				take := chromedp.CaptureScreenshot()
				if full {
					take = chromedp.FullScreenshot(100)
				}
				png, err := chromedp.Run(b.ctx, take)
				if err != nil {
					t.Fatal(err)
				}
				theme := map[bool]string{false: "sun", true: "dark"}[dark]
				if err := os.WriteFile(filepath.Join(folder, fmt.Sprintf("%s-%d-%s.png", name, size.w, theme)), png, 0o644); err != nil {
					t.Fatal(err)
				}
			}
			b.open(g.url())
			shot("1-first", false)
			b.say("van wont start, dead every monday, it read 12.1 v, the sprogget is bent")
			b.turns(1)
			b.open(g.url())
			b.say("my van gets hot in traffic, fine on the open road, sprogget bent")
			b.turns(1)
			shot("2-stop-and-chips", false)
			b.say("no lamp is lit now, it has cooled. fan never comes on, even with the aircon")
			b.turns(2)
			n := 2
			for range 8 {
				if js[bool](b, "!!document.querySelector('.next.test, .next.look-round')") {
					break
				}
				b.say("skip")
				n++
				b.turns(n)
			}
			js[bool](b, "(document.querySelector('#next').scrollIntoView({behavior:'instant'}), true)")
			shot("3-check", size.w < 700)
			if size.w < 700 {
				b.tapText("Where we stand")
				shot("4-stand", true)
				b.tapText("Talk")
			}
			g.cut()
			b.until("document.querySelector('.line.down')")
			b.say("the fuse is good")
			b.until("document.querySelector('.waiting')")
			js[bool](b, "(document.querySelector('#pending').scrollIntoView({behavior:'instant',block:'end'}), true)")
			shot("5-waiting", false)
			g.connect(p.url)
			b.open(g.url() + "/articles/fan-relay-coil")
			shot("6-article", false)
			b.open(g.url() + "/articles/relay-terminals")
			shot("7-card", false)
			b.open(g.url() + "/articles?q=relay+clicks")
			shot("8-search", false)
		}
	}
}

package main

import (
	"context"
	"net/http"
	"slices"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/chromedp"
)

// slowly gives the page a processor so many times slower and, when slower than
// 1, a slow 4G line as measuring tools commonly set it: 1.6 Mbit/s, 150 ms.
func (p *tab) slowly(times float64) {
	p.t.Helper()
	line := []*network.Conditions{}
	if times > 1 {
		line = append(line, &network.Conditions{Latency: 150, DownloadThroughput: 1.6e6 / 8, UploadThroughput: 750e3 / 8})
	}
	p.run(chromedp.Func(func(ctx context.Context, at *chromedp.Target) error {
		if _, err := cdp.Call(ctx, at, emulation.SetCPUThrottlingRate, emulation.SetCPUThrottlingRateParams{Rate: times}); err != nil {
			return err
		}
		_, err := cdp.Call(ctx, at, network.EmulateNetworkConditionsByRule, network.EmulateNetworkConditionsByRuleParams{MatchedNetworkConditions: line})
		return err
	}))
}

// moving lets the page move: the other tests ask it for reduced motion.
func (p *tab) moving() {
	p.t.Helper()
	p.run(chromedp.Func(func(ctx context.Context, at *chromedp.Target) error {
		_, err := cdp.Call(ctx, at, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{})
		return err
	}))
}

// The first page with all its files is light, and its own answer is enough to
// paint it: no style and no script is waited for. How soon it paints on a slow
// phone and line depends on the machine that tests: it is printed.
func TestPageWeight(t *testing.T) {
	const most = 150_000 // bytes, compressed
	p := startProgram(t, t.TempDir())
	if status, html := request(t, http.MethodGet, p.url, "", nil); status != http.StatusOK || !strings.Contains(string(html), "What does it do?") || strings.Count(string(html), "data-example") != 3 {
		t.Errorf("what is useful is not in the answer itself: %d, %.300s", status, html)
	}
	var paints []float64
	for range 3 {
		b := openTab(t, 390, 844, false)
		b.slowly(4)
		b.open(p.url)
		b.until("performance.getEntriesByName('first-contentful-paint').length && document.readyState === 'complete'")
		paints = append(paints, js[float64](b, "performance.getEntriesByName('first-contentful-paint')[0].startTime"))
		weight := js[int](b, "[...performance.getEntriesByType('navigation'), ...performance.getEntriesByType('resource')].reduce((s, e) => s + e.encodedBodySize, 0)")
		files := js[int](b, "performance.getEntriesByType('resource').length + 1")
		if weight < 5000 || weight > most {
			t.Errorf("the first page is %d bytes in %d files, at most %d", weight, files, most)
		}
		for _, name := range js[[]string](b, "performance.getEntriesByType('resource').filter(e => e.renderBlockingStatus !== 'non-blocking').map(e => e.name)") {
			t.Errorf("%s is waited for before anything is painted", name)
		}
		if len(paints) == 1 {
			t.Logf("first page: %d bytes compressed in %d files", weight, files)
		}
	}
	t.Logf("first contentful paint %.0f ms, the best of %.0f (processor 4 times slower, slow 4G)", slices.Min(paints), paints)
}

// The fault tree moves by compositing alone; the frames it makes are printed.
func TestPageTreeMoves(t *testing.T) {
	p := startProgram(t, t.TempDir())
	b := openTab(t, 390, 844, false)
	b.moving()
	b.open(p.url)
	b.say("my van gets hot in traffic")
	b.turns(1)
	b.tap("#show-stand")
	b.until("document.querySelector('.tree .d3')")
	// Only what a compositor can do alone may be animated.
	if bad := js[[]string](b, `[...document.querySelectorAll(".standside *")].flatMap(e => getComputedStyle(e).transitionDuration === "0s" ? [] : getComputedStyle(e).transitionProperty.split(", ")).filter(x => x !== "transform" && x !== "opacity")`); len(bad) > 0 {
		t.Errorf("animated is also %v", bad)
	}
	frames := js[[]float64](b, `(async () => {
		const fills = [...document.querySelectorAll(".tree .fill")];
		await new Promise(requestAnimationFrame);
		for (const f of fills) f.style.transform = f.style.transform === "scaleX(0.9)" ? "scaleX(0.1)" : "scaleX(0.9)";
		const start = performance.now();
		let last = start, longest = 0, n = 0, moving = 0;
		while (last - start < 500) {
			await new Promise(requestAnimationFrame);
			const now = performance.now();
			longest = Math.max(longest, now - last);
			last = now;
			n++;
			moving = Math.max(moving, document.getAnimations().length);
		}
		return [n / ((last - start) / 1000), longest, moving, fills.length];
	})()`)
	if frames[2] < frames[3]/2 {
		t.Errorf("%v of %v bars of the tree were seen moving", frames[2], frames[3])
	}
	t.Logf("while %.0f bars of the tree move: %.0f frames a second, the longest took %.0f ms", frames[3], frames[0], frames[1])
}

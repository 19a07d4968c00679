package main

import (
	"context"
	"testing"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/chromedp"
)

// The first page with all its files is light. How soon it paints on a slow
// phone and line, and how evenly the tree moves, depend on the machine that
// tests: both are printed.
func TestPageWeight(t *testing.T) {
	const most = 150_000 // bytes, compressed
	p := startProgram(t, t.TempDir())
	b := openTab(t, 390, 844, false)
	// Slow 4G as measuring tools commonly set it: 1.6 Mbit/s, 150 ms; a
	// processor four times slower.
	b.run(chromedp.Func(func(ctx context.Context, at *chromedp.Target) error {
		if _, err := cdp.Call(ctx, at, emulation.SetCPUThrottlingRate, emulation.SetCPUThrottlingRateParams{Rate: 4}); err != nil {
			return err
		}
		if _, err := cdp.Call(ctx, at, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{}); err != nil {
			return err
		}
		_, err := cdp.Call(ctx, at, network.EmulateNetworkConditionsByRule, network.EmulateNetworkConditionsByRuleParams{MatchedNetworkConditions: []*network.Conditions{{Latency: 150, DownloadThroughput: 1.6e6 / 8, UploadThroughput: 750e3 / 8}}})
		return err
	}))
	b.open(p.url)
	b.until("performance.getEntriesByName('first-contentful-paint').length")
	weight := js[int](b, "[...performance.getEntriesByType('navigation'), ...performance.getEntriesByType('resource')].reduce((s, e) => s + e.encodedBodySize, 0)")
	files := js[int](b, "performance.getEntriesByType('resource').length + 1")
	if weight < 5000 || weight > most {
		t.Errorf("the first page is %d bytes in %d files, at most %d", weight, files, most)
	}
	paint := js[float64](b, "performance.getEntriesByName('first-contentful-paint')[0].startTime")
	t.Logf("first page: %d bytes compressed in %d files; first contentful paint %.0f ms (processor 4 times slower, slow 4G)", weight, files, paint)

	b.run(chromedp.Func(func(ctx context.Context, at *chromedp.Target) error {
		if _, err := cdp.Call(ctx, at, emulation.SetCPUThrottlingRate, emulation.SetCPUThrottlingRateParams{Rate: 1}); err != nil {
			return err
		}
		_, err := cdp.Call(ctx, at, network.EmulateNetworkConditionsByRule, network.EmulateNetworkConditionsByRuleParams{MatchedNetworkConditions: []*network.Conditions{}})
		return err
	}))
	b.say("my van gets hot in traffic")
	b.turns(1)
	b.tap("#show-stand")
	b.until("document.querySelector('.tree .d3')")
	frames := js[float64](b, `(async () => {
		const fills = [...document.querySelectorAll(".tree .fill")];
		for (const f of fills) f.style.transform = "scaleX(0.9)";
		const start = performance.now();
		let n = 0;
		while (performance.now() - start < 500) { await new Promise(requestAnimationFrame); n++; }
		return n / 0.5;
	})()`)
	if frames <= 0 {
		t.Error("no frame was drawn")
	}
	t.Logf("frames while the tree moves: %.0f a second", frames)
}

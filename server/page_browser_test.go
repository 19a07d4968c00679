package main

import (
	"context"
	"fmt"
	"io"
	"net"
	"os"
	"os/exec"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/input"
	cdplog "github.com/chromedp/cdproto/log"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
)

// chromium is one browser for all page tests; each page has its own profile
// in it. garage.test is a name for this machine that is not the loopback's.
var chromium = sync.OnceValues(func() (context.Context, error) {
	path := ""
	for _, name := range []string{"chromium", "chromium-browser", "google-chrome"} {
		if p, err := exec.LookPath(name); err == nil {
			path = p
			break
		}
	}
	if path == "" {
		return nil, fmt.Errorf("chromium is not installed: the pages are not tried in a browser")
	}
	made, err := ownCertificate()
	if err != nil {
		return nil, err
	}
	flags := append([]chromedp.ExecAllocatorOption{}, chromedp.ExecPath(path), chromedp.NoFirstRun, chromedp.NoDefaultBrowserCheck, chromedp.NoSandbox, chromedp.Headless, chromedp.DisableGPU,
		chromedp.Flag("disable-quic", true), chromedp.Flag("disable-background-networking", true), chromedp.Flag("disable-component-update", true), chromedp.Flag("disable-sync", true),
		chromedp.Flag("disable-background-timer-throttling", true), chromedp.Flag("disable-renderer-backgrounding", true), chromedp.Flag("disable-backgrounding-occluded-windows", true),
		chromedp.Flag("ignore-certificate-errors-spki-list", made.spki), // the tests' own certificate, as if it were installed
		chromedp.Flag("host-resolver-rules", "MAP garage.test 127.0.0.1"), chromedp.WSURLReadTimeout(time.Minute))
	alloc, stopAlloc := chromedp.NewExecAllocator(context.Background(), flags...)
	ctx, stop := chromedp.NewContext(alloc)
	if err := chromedp.Do(ctx); err != nil {
		stop()
		stopAlloc()
		return nil, err
	}
	closeBrowser = func() { stop(); stopAlloc() }
	return ctx, nil
})

var closeBrowser = func() {}

func TestMain(m *testing.M) {
	solveAhead = false // TestWarmBesideTalk in dialog holds it
	code := m.Run()
	closeBrowser()
	os.Exit(code)
}

// absent skips a test for want of a tool; where CI is set the tool must be
// there.
func absent(t testing.TB, why string) {
	t.Helper()
	if os.Getenv("CI") != "" {
		t.Fatal(why)
	}
	t.Skip(why)
}

// tab is a page in the browser with all that went wrong in it.
type tab struct {
	t     testing.TB
	ctx   context.Context
	mu    sync.Mutex
	wrong []string
}

// openTab opens an empty page with its own cookies and storage.
func openTab(t testing.TB, width, height int64, dark bool) *tab {
	t.Helper()
	if testing.Short() {
		t.Skip("the browser tests are left out with -short")
	}
	browser, err := chromium()
	if err != nil {
		absent(t, err.Error())
	}
	p := &tab{t: t}
	ctx, stop := chromedp.NewContext(browser, chromedp.WithNewBrowserContext(), chromedp.WithListener(p.hear))
	if err := chromedp.Do(ctx); err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithTimeout(ctx, 4*time.Minute) // on a busy machine; until gives up sooner
	p.ctx = ctx
	t.Cleanup(func() { cancel(); stop() })
	p.size(width, height, dark)
	return p
}

// hear keeps what goes wrong in the page.
func (p *tab) hear(ev any) {
	p.mu.Lock()
	defer p.mu.Unlock()
	switch ev := ev.(type) {
	case *runtime.EventExceptionThrown:
		line := ev.ExceptionDetails.Text
		if x := ev.ExceptionDetails.Exception; x != nil {
			line += " " + x.Description
		}
		p.wrong = append(p.wrong, line)
	case *runtime.EventConsoleAPICalled:
		if ev.Type == runtime.ConsoleAPICalledTypeError || ev.Type == runtime.ConsoleAPICalledTypeWarning {
			line := string(ev.Type)
			for _, a := range ev.Args {
				line += " " + string(a.Value)
			}
			p.wrong = append(p.wrong, line)
		}
	case *cdplog.EventEntryAdded:
		if ev.Entry.Level == cdplog.EntryLevelError {
			p.wrong = append(p.wrong, ev.Entry.Text+" "+ev.Entry.URL)
		}
	}
}

// size sets what the device is.
func (p *tab) size(width, height int64, dark bool) {
	p.t.Helper()
	scheme := "light"
	if dark {
		scheme = "dark"
	}
	p.run(chromedp.Func(func(ctx context.Context, at *chromedp.Target) error {
		if _, err := cdp.Call(ctx, at, emulation.SetDeviceMetricsOverride, emulation.SetDeviceMetricsOverrideParams{Width: width, Height: height, DeviceScaleFactor: 1, Mobile: width < 700}); err != nil {
			return err
		}
		_, err := cdp.Call(ctx, at, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: scheme}, {Name: "prefers-reduced-motion", Value: "reduce"}}})
		return err
	}))
}

func (p *tab) run(actions ...chromedp.Action[chromedp.Void]) {
	p.t.Helper()
	if err := chromedp.Do(p.ctx, actions...); err != nil {
		p.show()
		p.t.Fatal(err)
	}
}

// show prints what the page says, for a test that waited in vain.
func (p *tab) show() {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.t.Logf("in the console: %q", p.wrong)
}

// open goes to an address and waits until it is loaded.
func (p *tab) open(url string) { p.t.Helper(); p.run(chromedp.Navigate(url)) }

// js computes an expression in the page.
func js[T any](p *tab, expression string) T {
	p.t.Helper()
	v, err := chromedp.Run(p.ctx, chromedp.Evaluate[T](expression, chromedp.EvalAwaitPromise))
	if err != nil {
		p.show()
		p.t.Fatalf("%s: %v", expression, err)
	}
	return v
}

// until waits for an expression to become true.
func (p *tab) until(expression string) {
	p.t.Helper()
	end := time.Now().Add(20 * time.Second)
	for {
		ok, err := chromedp.Run(p.ctx, chromedp.Evaluate[bool]("!!("+expression+")"))
		if err == nil && ok {
			return
		}
		if time.Now().After(end) || p.ctx.Err() != nil {
			text, _ := chromedp.Run(p.ctx, chromedp.Evaluate[string]("location.href+' '+document.body.innerText.slice(0,1500)"))
			p.show()
			p.t.Fatalf("waited in vain for %s (%v); the page: %s", expression, err, text)
		}
		time.Sleep(25 * time.Millisecond)
	}
}

// tap scrolls to the first element of a selector and clicks its middle, where
// nothing else may lie over it.
func (p *tab) tap(selector string) {
	p.t.Helper()
	p.until("document.querySelector(" + quoted(selector) + ")?.checkVisibility()")
	at := js[[]float64](p, `(() => {
		const e = document.querySelector(`+quoted(selector)+`);
		e.scrollIntoView({block: "center", behavior: "instant"});
		const r = e.getBoundingClientRect(), x = r.left + r.width / 2, y = r.top + r.height / 2, hit = document.elementFromPoint(x, y);
		return hit && (e.contains(hit) || hit.closest("label") && e.contains(hit.closest("label"))) ? [x, y] : [];
	})()`)
	if len(at) != 2 {
		p.t.Fatalf("%s can't be hit", selector)
	}
	p.run(chromedp.MouseClickXY(at[0], at[1]))
}

// tapText clicks the button that has the words.
func (p *tab) tapText(words string) {
	p.t.Helper()
	find := "[...document.querySelectorAll('button, summary')].find(b => b.checkVisibility() && b.textContent.trim().startsWith(" + quoted(words) + "))"
	p.until(find)
	js[bool](p, "(() => { const b = "+find+"; b.scrollIntoView({block: 'center', behavior: 'instant'}); b.focus(); b.click(); return true; })()")
}

// say puts words into the field, as dictation or a paste does, and sends them
// with the Enter key.
func (p *tab) say(words string) {
	p.t.Helper()
	p.until("document.querySelector('#words')")
	js[bool](p, "(document.querySelector('#words').focus(), true)")
	p.run(chromedp.Func(func(ctx context.Context, at *chromedp.Target) error {
		_, err := cdp.Call(ctx, at, input.InsertText, input.InsertTextParams{Text: words})
		return err
	}), chromedp.KeyEvent("\r"))
}

// touch makes the device one with a touch screen.
func (p *tab) touch() {
	p.t.Helper()
	p.run(chromedp.Func(func(ctx context.Context, at *chromedp.Target) error {
		_, err := cdp.Call(ctx, at, emulation.SetTouchEmulationEnabled, emulation.SetTouchEmulationEnabledParams{Enabled: true})
		return err
	}))
}

// turns waits until so many turns are answered.
func (p *tab) turns(n int) {
	p.t.Helper()
	p.until(fmt.Sprintf("document.querySelectorAll('.exchange').length === %d && !document.querySelector('.waiting')", n))
}

func (p *tab) text(selector string) string {
	p.t.Helper()
	return js[string](p, "document.querySelector("+quoted(selector)+")?.innerText ?? ''")
}

// fine fails when anything went wrong in the page, or when it is wider than
// the screen. Failures of the line are let pass when it was cut on purpose.
func (p *tab) fine(cut bool) {
	p.t.Helper()
	if wide := js[int](p, "document.documentElement.scrollWidth - innerWidth"); wide > 0 {
		p.t.Errorf("the page is %d px wider than the screen; %s", wide, js[string](p, "[...document.querySelectorAll('body *')].filter(e => e.getBoundingClientRect().right > innerWidth + 1).slice(0, 4).map(e => e.outerHTML.slice(0, 120)).join(' | ')"))
	}
	p.mu.Lock()
	defer p.mu.Unlock()
	for _, w := range p.wrong {
		if cut && (strings.Contains(w, "WebSocket connection") || strings.Contains(w, "net::ERR_") || strings.Contains(w, "503") || strings.Contains(w, "fetching the script") || strings.Contains(w, "(Forbidden)") || strings.Contains(w, "/nowhere")) {
			continue
		}
		p.t.Errorf("in the console: %s", w)
	}
	p.wrong = nil
}

func jsNumber[T int | float64](v T) string { return fmt.Sprint(v) }

func quoted(s string) string {
	return "'" + strings.NewReplacer(`\`, `\\`, `'`, `\'`, "\n", `\n`).Replace(s) + "'"
}

// gate is a line to the program that can be cut: a proxy of bytes.
type gate struct {
	l     net.Listener
	mu    sync.Mutex
	to    string
	conns map[net.Conn]struct{}
}

func openGate(t testing.TB, to string) *gate {
	t.Helper()
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	g := &gate{l: l, conns: map[net.Conn]struct{}{}}
	g.connect(to)
	go func() {
		for {
			c, err := l.Accept()
			if err != nil {
				return
			}
			go g.pass(c)
		}
	}()
	t.Cleanup(func() { l.Close(); g.cut() })
	return g
}

func (g *gate) url() string { return "http://" + g.l.Addr().String() }

// connect lets bytes through to a program's address.
func (g *gate) connect(url string) {
	g.mu.Lock()
	defer g.mu.Unlock()
	g.to = strings.TrimPrefix(strings.TrimPrefix(url, "http://"), "https://")
}

// cut ends what is open and lets nothing through.
func (g *gate) cut() {
	g.mu.Lock()
	defer g.mu.Unlock()
	g.to = ""
	for c := range g.conns {
		c.Close()
	}
	clear(g.conns)
}

func (g *gate) pass(c net.Conn) {
	g.mu.Lock()
	if g.to == "" {
		g.mu.Unlock()
		c.Close()
		return
	}
	far, err := net.Dial("tcp", g.to)
	if err != nil {
		g.mu.Unlock()
		c.Close()
		return
	}
	g.conns[c], g.conns[far] = struct{}{}, struct{}{}
	g.mu.Unlock()
	go func() { _, _ = io.Copy(far, c); far.Close() }()
	_, _ = io.Copy(c, far)
	c.Close()
}

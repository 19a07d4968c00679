package main

import (
	"io"
	"net/http"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/gorilla/websocket"
)

// The phrase lets a phone in, a wrong one does not, a phone turned away is
// out at once and everywhere. The laptop itself needs no phrase.
func TestPagePairing(t *testing.T) {
	p := startProgram(t, t.TempDir(), "-listen", "0.0.0.0:0")
	phone, laptop := openTab(t, 390, 844, false), openTab(t, 1280, 800, false)
	outside := strings.Replace(p.url, "127.0.0.1", "garage.test", 1)

	laptop.open(p.url + "/phone")
	phrase := laptop.text(".phrase strong")
	if len(strings.Fields(phrase)) != 4 {
		t.Fatalf("the pairing phrase is %q", phrase)
	}
	phone.open(outside + "/articles")
	if at := js[string](phone, "location.pathname"); at != "/pair" {
		t.Fatalf("a stranger is led to %s", at)
	}
	// A key that leaves the page is not let go on it: the form is sent itself.
	submit := "(document.querySelector('#phrase').form.requestSubmit(), true)"
	phone.run(chromedp.SendKeys("#phrase", "wrong words these are"))
	js[bool](phone, submit)
	phone.until("document.querySelector('[role=alert]')")
	if js[string](phone, "document.cookie") != "" {
		t.Error("a script can read a cookie")
	}
	phone.run(chromedp.SendKeys("#phrase", strings.ToUpper(phrase)), chromedp.SendKeys("#name", "<b>phone</b>"))
	js[bool](phone, submit)
	phone.until("document.querySelector('#words')")
	if js[string](phone, "document.cookie") != "" {
		t.Error("a script can read the pass")
	}
	phone.say("it gets hot in traffic")
	phone.turns(1)
	laptop.open(p.url + "/phone")
	if got := laptop.text(".devices"); !strings.Contains(got, "<b>phone</b>") {
		t.Errorf("the list of devices: %q", got)
	}
	laptop.tap(".devices button")
	laptop.until("!document.querySelector('.devices')")
	phone.until("document.querySelector('.line.down')") // its live view was ended
	phone.open(outside + "/jobs")
	if at := js[string](phone, "location.pathname"); at != "/pair" {
		t.Errorf("a device turned away reaches %s", at)
	}
	laptop.fine(false)
	phone.fine(true)
}

// Without the pass nothing is given to another machine, whatever it asks for.
func TestPageStrangersGetNothing(t *testing.T) {
	p := startProgram(t, t.TempDir(), "-listen", "0.0.0.0:0")
	local := startProgram(t, t.TempDir())
	c := p.newCase(t)
	for _, path := range []string{"/", "/api/cases", "/api/cases/" + c.ID, "/api/articles", "/articles/overheats", "/phone", "/page/names", "/ws?case=" + c.ID} {
		for _, at := range []*program{p, local} {
			req, err := http.NewRequest(http.MethodGet, at.url+path, nil)
			if err != nil {
				t.Fatal(err)
			}
			req.Host = "garage.test"
			res, err := http.DefaultTransport.RoundTrip(req)
			if err != nil {
				t.Fatal(err)
			}
			body, _ := io.ReadAll(res.Body)
			res.Body.Close()
			if res.StatusCode != http.StatusForbidden || len(body) > 300 {
				t.Errorf("%s for a stranger: %d, %d bytes", path, res.StatusCode, len(body))
			}
		}
	}
}

// Another site's page can neither open a socket nor send a turn.
func TestPageCrossOrigin(t *testing.T) {
	p := startProgram(t, t.TempDir())
	c := p.newCase(t)
	ws := strings.Replace(p.url, "http", "ws", 1) + "/ws?case=" + c.ID
	for origin, want := range map[string]int{"http://elsewhere.test": http.StatusForbidden, "null": http.StatusForbidden, p.url: http.StatusSwitchingProtocols} {
		conn, res, err := websocket.DefaultDialer.Dial(ws, http.Header{"Origin": {origin}})
		if err == nil {
			conn.Close()
		}
		if res == nil || res.StatusCode != want {
			t.Errorf("a socket from %s: %v, want %d", origin, res, want)
		}
	}
	req, err := http.NewRequest(http.MethodPost, p.url+"/api/cases/"+c.ID+"/turns", strings.NewReader(`{"text":"it overheats"}`))
	if err != nil {
		t.Fatal(err)
	}
	req.Header.Set("Origin", "http://elsewhere.test")
	req.Header.Set("Content-Type", "application/json")
	res, err := http.DefaultClient.Do(req)
	if err != nil {
		t.Fatal(err)
	}
	res.Body.Close()
	if res.StatusCode != http.StatusForbidden {
		t.Errorf("a turn from another site: %d", res.StatusCode)
	}
}

// Clients that send too much or too fast are cut off; others go on.
func TestPageLimits(t *testing.T) {
	p := startProgram(t, t.TempDir())
	c := p.newCase(t)
	ws := strings.Replace(p.url, "http", "ws", 1) + "/ws?case=" + c.ID
	dial := func() *websocket.Conn {
		conn, _, err := websocket.DefaultDialer.Dial(ws, nil)
		if err != nil {
			t.Fatal(err)
		}
		t.Cleanup(func() { conn.Close() })
		_ = conn.SetReadDeadline(time.Now().Add(20 * time.Second))
		if _, _, err := conn.ReadMessage(); err != nil {
			t.Fatal(err)
		}
		return conn
	}
	closed := func(conn *websocket.Conn, code int) {
		t.Helper()
		for {
			_, _, err := conn.ReadMessage()
			if err == nil {
				continue
			}
			if !websocket.IsCloseError(err, code) {
				t.Errorf("the socket ended with %v, want code %d", err, code)
			}
			return
		}
	}
	big := dial()
	_ = big.WriteMessage(websocket.TextMessage, []byte(`{"text":"`+strings.Repeat("a", 3<<20)+`"}`))
	closed(big, websocket.CloseMessageTooBig)
	fast := dial()
	for range 60 {
		if fast.WriteMessage(websocket.TextMessage, []byte(`not a turn`)) != nil {
			break
		}
	}
	closed(fast, websocket.ClosePolicyViolation)
	// A third goes on as ever.
	calm := dial()
	if err := calm.WriteMessage(websocket.TextMessage, []byte(`{"key":"k","text":"it overheats"}`)); err != nil {
		t.Fatal(err)
	}
	if _, data, err := calm.ReadMessage(); err != nil || !strings.Contains(string(data), `"exchange"`) {
		t.Errorf("a calm client got %.80s, %v", data, err)
	}
}

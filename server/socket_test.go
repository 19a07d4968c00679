package main

import (
	"encoding/json"
	"net/http"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/gorilla/websocket"

	"ruleout/server/chat"
)

// frame is what the program sends over a socket.
type frame struct {
	Type     string         `json:"type"`
	Case     *chat.Case     `json:"case"`
	Exchange *chat.Exchange `json:"exchange"`
	Key      string         `json:"key"`
	Error    *struct {
		Error, Mend string
	} `json:"error"`
	raw []byte
}

// dial opens a socket to a case and reads the first frame, the whole case.
func (p *program) dial(t *testing.T, id string) (*websocket.Conn, *chat.Case) {
	t.Helper()
	conn, _, err := websocket.DefaultDialer.Dial(strings.Replace(p.url, "http", "ws", 1)+"/ws?case="+id, http.Header{"Origin": {p.url}})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { conn.Close() })
	f := next(t, conn)
	if f.Type != "case" || f.Case == nil || f.Case.ID != id {
		t.Fatalf("the first frame is %.200s", f.raw)
	}
	return conn, f.Case
}

func next(t *testing.T, conn *websocket.Conn) frame {
	t.Helper()
	_ = conn.SetReadDeadline(time.Now().Add(30 * time.Second))
	_, data, err := conn.ReadMessage()
	if err != nil {
		t.Fatal(err)
	}
	f := frame{raw: data}
	decode(t, data, &f)
	return f
}

func send(t *testing.T, conn *websocket.Conn, v any) {
	t.Helper()
	if err := conn.WriteJSON(v); err != nil {
		t.Fatal(err)
	}
}

// The conversation over a socket is that of talk -json, and everyone who looks
// at the case sees the same, whoever tells it and by whatever way.
func TestConversationOverSocket(t *testing.T) {
	p := startProgram(t, t.TempDir())
	c := p.newCase(t)
	one, _ := p.dial(t, c.ID)
	two, _ := p.dial(t, c.ID)
	var replies []string
	for i, text := range story {
		switch i % 3 {
		case 0:
			send(t, one, keyed{"k" + text, text})
		case 1:
			send(t, two, keyed{"k" + text, text})
		default:
			p.tell(t, c.ID, keyed{"k" + text, text})
		}
		a, b := next(t, one), next(t, two)
		if a.Type != "exchange" || a.Exchange.Number != i+1 || a.Exchange.Key != "k"+text || a.Exchange.Turn.Text != text {
			t.Fatalf("turn %d came as %.300s", i+1, a.raw)
		}
		if d := cmp.Diff(string(a.raw), string(b.raw)); d != "" {
			t.Fatalf("turn %d: two who look see different things: %s", i+1, d)
		}
		reply, err := json.Marshal(a.Exchange.Reply)
		if err != nil {
			t.Fatal(err)
		}
		replies = append(replies, string(reply))
	}
	if jsonLines(t, story) != strings.Join(compact(t, replies), "") {
		t.Error("talk -json and the socket give different replies to the same turns")
	}
	_, late := p.dial(t, c.ID)
	var whole chat.Case
	p.get(t, "/api/cases/"+c.ID, &whole)
	if d := cmp.Diff(&whole, late); d != "" || len(late.Turns) != len(story) {
		t.Errorf("one who comes late sees another case: %s", d)
	}
}

// A page that lost its connection sends its turn again: it is one turn, and
// nobody is shown it twice.
func TestSocketTurnSentAgain(t *testing.T) {
	p := startProgram(t, t.TempDir())
	c := p.newCase(t)
	one, _ := p.dial(t, c.ID)
	send(t, one, keyed{"a", story[0]})
	next(t, one)
	one.Close()
	again, seen := p.dial(t, c.ID)
	if len(seen.Turns) != 1 || seen.Turns[0].Key != "a" {
		t.Errorf("after coming back the case has %d turns", len(seen.Turns))
	}
	send(t, again, keyed{"a", story[0]})
	send(t, again, keyed{"b", story[2]})
	if f := next(t, again); f.Exchange == nil || f.Exchange.Key != "b" || f.Exchange.Number != 2 {
		t.Errorf("after a turn sent again came %.200s", f.raw)
	}
}

// What is no turn gets an error that says so, and the conversation goes on.
func TestBadFrames(t *testing.T) {
	p := startProgram(t, t.TempDir())
	c := p.newCase(t)
	conn, _ := p.dial(t, c.ID)
	for _, bad := range []string{"", "{", "[]", "\"hot\"", `{"text":[]}`, `{"key":"` + strings.Repeat("k", 200) + `"}`} {
		if err := conn.WriteMessage(websocket.TextMessage, []byte(bad)); err != nil {
			t.Fatal(err)
		}
		if f := next(t, conn); f.Type != "error" || f.Error == nil || f.Error.Error == "" || f.Error.Mend == "" {
			t.Errorf("%.20q: %.200s", bad, f.raw)
		}
	}
	if err := conn.WriteMessage(websocket.BinaryMessage, []byte{0, 1, 0xff}); err != nil {
		t.Fatal(err)
	}
	if f := next(t, conn); f.Type != "error" {
		t.Errorf("binary: %.200s", f.raw)
	}
	send(t, conn, said("it gets hot "+strings.Repeat("x", 1<<20)))
	if f := next(t, conn); f.Type != "exchange" || f.Exchange.Reply.Text == "" {
		t.Errorf("a megabyte: %.200s", f.raw)
	}
	send(t, conn, said(strings.Repeat("hot ", 3<<18)))
	_ = conn.SetReadDeadline(time.Now().Add(30 * time.Second))
	if _, _, err := conn.ReadMessage(); !websocket.IsCloseError(err, websocket.CloseMessageTooBig) {
		t.Errorf("3 MiB: %v, want a close that says too big", err)
	}
	if _, whole := p.dial(t, c.ID); len(whole.Turns) != 1 {
		t.Errorf("%d turns, want the one that was one", len(whole.Turns))
	}
}

// Pages of others may not open a socket.
func TestForeignPagesAreRefused(t *testing.T) {
	p := startProgram(t, t.TempDir())
	c := p.newCase(t)
	at := strings.Replace(p.url, "http", "ws", 1) + "/ws?case=" + c.ID
	for _, origin := range []string{"http://example.org", "https://" + strings.TrimPrefix(p.url, "http://") + ".example.org", "null", "http://127.0.0.1", "http://[::1"} {
		conn, res, err := websocket.DefaultDialer.Dial(at, http.Header{"Origin": {origin}})
		if err == nil {
			conn.Close()
			t.Errorf("a page of %s opened a socket", origin)
			continue
		}
		if res == nil || res.StatusCode != http.StatusForbidden {
			t.Errorf("a page of %s: %v, want 403", origin, err)
		}
	}
	// Without an origin it is no browser.
	conn, _, err := websocket.DefaultDialer.Dial(at, nil)
	if err != nil {
		t.Fatal(err)
	}
	conn.Close()
}

// A program that is ended lets go of its sockets, and a page comes back to the
// next one with everything there.
func TestSocketOverRestart(t *testing.T) {
	data := t.TempDir()
	p := startProgram(t, data)
	c := p.newCase(t)
	conn, _ := p.dial(t, c.ID)
	send(t, conn, keyed{"a", story[0]})
	before := next(t, conn)
	conn.Close()
	p.stop(t)
	p = startProgram(t, data)
	conn, seen := p.dial(t, c.ID)
	if len(seen.Turns) != 1 {
		t.Fatalf("%d turns after a restart", len(seen.Turns))
	}
	if d := cmp.Diff(before.Exchange, &seen.Turns[0]); d != "" {
		t.Errorf("the exchange changed over a restart: %s", d)
	}
	send(t, conn, keyed{"b", story[2]})
	if f := next(t, conn); f.Exchange == nil || f.Exchange.Number != 2 {
		t.Errorf("the turn after a restart: %.200s", f.raw)
	}
}

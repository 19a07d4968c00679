package chat

import (
	"bytes"
	"context"
	"fmt"
	"net"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"time"

	"github.com/gorilla/websocket"

	"ruleout/dialog"
	"ruleout/server/casebook"
)

// A client that stops reading is cut off after the patience, while another
// who looks at the same case gets every exchange.
func TestSlowClientIsCutOff(t *testing.T) {
	engine, err := fuzzEngine()
	if err != nil {
		t.Fatal(err)
	}
	desk := NewDesk(pages{cases: map[string][]casebook.Record{}}, engine, time.Now)
	s := New(desk, func() Searcher { return nothing{} })
	s.patience = 300 * time.Millisecond
	mux := http.NewServeMux()
	s.Routes(mux)
	site := httptest.NewServer(mux)
	defer site.Close()
	c, err := desk.Begin("")
	if err != nil {
		t.Fatal(err)
	}
	address := "ws" + strings.TrimPrefix(site.URL, "http") + "/ws?case=" + c.ID

	// The slow one takes little into its own buffers and never reads again.
	small := websocket.Dialer{NetDialContext: func(ctx context.Context, network, at string) (net.Conn, error) {
		conn, err := (&net.Dialer{}).DialContext(ctx, network, at)
		if tcp, ok := conn.(*net.TCPConn); ok {
			err = tcp.SetReadBuffer(64 << 10)
		}
		return conn, err
	}}
	slow, _, err := small.Dial(address, nil)
	if err != nil {
		t.Fatal(err)
	}
	defer slow.Close()
	brisk, _, err := websocket.DefaultDialer.Dial(address, nil)
	if err != nil {
		t.Fatal(err)
	}
	defer brisk.Close()
	if _, _, err := brisk.ReadMessage(); err != nil { // the case
		t.Fatal(err)
	}
	// 20 exchanges of a megabyte each are more than any buffer on the way.
	const turns = 20
	text := strings.Repeat("z", 1<<20)
	took := time.Duration(0)
	for i := range turns {
		begun := time.Now()
		if _, err := desk.Take(c.ID, fmt.Sprint(i), dialog.Turn{Text: text}); err != nil {
			t.Fatal(err)
		}
		took = max(took, time.Since(begun))
		_ = brisk.SetReadDeadline(time.Now().Add(20 * time.Second))
		if _, data, err := brisk.ReadMessage(); err != nil || !bytes.Contains(data, []byte(`"exchange"`)) {
			t.Fatalf("exchange %d for the brisk client: %.60s, %v", i+1, data, err)
		}
	}
	// Its place is free again without its doing anything.
	for end := time.Now().Add(20 * time.Second); ; time.Sleep(10 * time.Millisecond) {
		s.limits.mu.Lock()
		open := s.limits.of("127.0.0.1:1").sockets
		s.limits.mu.Unlock()
		if open == 1 {
			break
		}
		if time.Now().After(end) {
			t.Fatalf("%d sockets are open, want that of the brisk client alone", open)
		}
	}
	// Reading on, it finds the line ended before the last exchange.
	got := 0
	_ = slow.SetReadDeadline(time.Now().Add(20 * time.Second))
	for {
		_, data, err := slow.ReadMessage()
		if err != nil {
			break
		}
		if bytes.Contains(data, []byte(`"exchange"`)) {
			got++
		}
	}
	if got >= turns {
		t.Errorf("the slow client was sent all %d exchanges", got)
	}
	if _, err := desk.Take(c.ID, "after", dialog.Turn{Text: "it overheats"}); err != nil {
		t.Fatal(err)
	}
	_ = brisk.SetReadDeadline(time.Now().Add(20 * time.Second))
	if _, data, err := brisk.ReadMessage(); err != nil || !bytes.Contains(data, []byte("it overheats")) {
		t.Errorf("afterwards the brisk client got %.60s, %v", data, err)
	}
	t.Logf("the longest turn took %v; the slow client got %d of %d exchanges", took, got, turns)
}

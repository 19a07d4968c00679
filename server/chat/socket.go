package chat

import (
	"encoding/json"
	"errors"
	"io"
	"net/http"
	"net/url"
	"time"

	"github.com/gorilla/websocket"
	"golang.org/x/time/rate"
)

// Limits of one socket.
const (
	writeWait  = 10 * time.Second // a client that takes longer to read is cut off
	pongWait   = 60 * time.Second
	pingPeriod = 25 * time.Second
	lingerWait = 2 * time.Second
)

// message is what goes over the socket. To the server: "turn" with key and
// turn. To the page: "case" with everything so far, "exchange" with one turn
// and its reply, "error" with what is wrong.
type message struct {
	Type     string    `json:"type"`
	Case     *Case     `json:"case,omitempty"`
	Exchange *Exchange `json:"exchange,omitempty"`
	Key      string    `json:"key,omitempty"`
	Error    *problem  `json:"error,omitempty"`
}

// sameOrigin allows pages served by this program only.
func sameOrigin(r *http.Request) bool {
	o := r.Header.Get("Origin")
	if o == "" {
		return true // not a browser
	}
	u, err := url.Parse(o)
	return err == nil && u.Host == r.Host
}

// socket opens the live view of a case: one goroutine reads, one writes.
func (s *Server) socket(w http.ResponseWriter, r *http.Request) error {
	if !s.limits.enter(r.RemoteAddr) {
		return &problem{Status: http.StatusTooManyRequests, What: "too many live views are open from this address", Mend: "close some"}
	}
	defer s.limits.leave(r.RemoteAddr)
	whole, exchanges, stop, err := s.desk.Watch(r.URL.Query().Get("case"))
	if err != nil {
		return err
	}
	up := websocket.Upgrader{CheckOrigin: s.origin, ReadBufferSize: 4096, WriteBufferSize: 4096, HandshakeTimeout: s.patience, EnableCompression: true}
	conn, err := up.Upgrade(w, r, nil)
	if err != nil {
		stop()
		return nil // the upgrader has answered already
	}
	device, _ := s.admitted(r)
	defer s.live.add(device.ID, conn)()
	out := make(chan message, 8)
	done := make(chan struct{})
	go func() {
		defer close(done)
		write(conn, s.patience, whole, exchanges, out)
	}()
	s.read(conn, whole.ID, out)
	stop()
	close(out)
	<-done
	return nil
}

// read takes turns until the socket ends. Replies come by way of the watch, so
// that all who look at the case see the same.
func (s *Server) read(conn *websocket.Conn, id string, out chan<- message) {
	defer conn.Close()
	conn.SetReadLimit(maxTurnBytes)
	_ = conn.SetReadDeadline(time.Now().Add(pongWait))
	conn.SetPongHandler(func(string) error { return conn.SetReadDeadline(time.Now().Add(pongWait)) })
	pace := rate.NewLimiter(turnsPerSecond, turnsAtOnce)
	for {
		_, data, err := conn.ReadMessage()
		if err != nil {
			if errors.Is(err, websocket.ErrReadLimit) {
				linger(conn)
			}
			return
		}
		if !pace.Allow() {
			_ = conn.WriteControl(websocket.CloseMessage, websocket.FormatCloseMessage(websocket.ClosePolicyViolation, "too many turns at once"), time.Now().Add(writeWait))
			return
		}
		t, err := parseTurn(data)
		if err == nil {
			_, err = s.desk.Take(id, t.Key, t.Turn)
		}
		if err != nil {
			p := &problem{What: "the turn could not be stored", Mend: "send it again"}
			errors.As(err, &p)
			out <- message{Type: "error", Key: t.Key, Error: p}
		}
	}
}

// linger takes what is still on its way for a moment: closing with bytes unread
// would reset the line, and the reason for closing would be lost with it.
func linger(conn *websocket.Conn) {
	line := conn.NetConn()
	_ = line.SetReadDeadline(time.Now().Add(lingerWait))
	_, _ = io.CopyN(io.Discard, line, 2*maxTurnBytes)
}

// write sends the case, then each exchange, with pings in between. A client
// that does not take a message within the patience loses its line and may come
// back; nobody waits for it.
func write(conn *websocket.Conn, patience time.Duration, whole *Case, exchanges <-chan Exchange, out <-chan message) {
	defer conn.Close()
	ping := time.NewTicker(pingPeriod)
	defer ping.Stop()
	send := func(m message) bool {
		data, err := json.Marshal(m)
		if err != nil {
			return false
		}
		_ = conn.SetWriteDeadline(time.Now().Add(patience))
		return conn.WriteMessage(websocket.TextMessage, data) == nil
	}
	ok := send(message{Type: "case", Case: whole})
	for {
		select {
		case x, open := <-exchanges:
			if !open {
				_ = conn.WriteControl(websocket.CloseMessage, websocket.FormatCloseMessage(websocket.CloseTryAgainLater, "fell behind"), time.Now().Add(patience))
				_ = conn.Close()
				exchanges = nil
				continue
			}
			if ok {
				ok = send(message{Type: "exchange", Exchange: &x})
			}
		case m, open := <-out:
			if !open {
				return
			}
			if ok {
				ok = send(m)
			}
		case <-ping.C:
			if ok {
				_ = conn.SetWriteDeadline(time.Now().Add(patience))
				ok = conn.WriteMessage(websocket.PingMessage, nil) == nil
			}
		}
		if !ok {
			_ = conn.Close()
		}
	}
}

package chat

import (
	"fmt"
	"testing"
	"time"
)

// One client that asks too much is refused, another is not, and the refused
// one is let in again after a while.
func TestLimitsPerClient(t *testing.T) {
	at := time.Date(2020, 5, 1, 12, 0, 0, 0, time.UTC)
	l := newLimits()
	l.now = func() time.Time { return at }
	for i := range requestsAtOnce {
		if !l.allow("192.0.2.1:1000") {
			t.Fatalf("request %d was refused", i+1)
		}
	}
	if l.allow("192.0.2.1:1001") {
		t.Error("one request too many was taken")
	}
	if !l.allow("192.0.2.2:1000") {
		t.Error("another client was refused")
	}
	at = at.Add(time.Second)
	if !l.allow("192.0.2.1:1000") {
		t.Error("a second later the client is still refused")
	}
}

// The table of clients stays bounded, and those with an open socket stay.
func TestLimitsForget(t *testing.T) {
	at := time.Date(2020, 5, 1, 12, 0, 0, 0, time.UTC)
	l := newLimits()
	l.now = func() time.Time { at = at.Add(time.Millisecond); return at }
	for range socketsAtOnce {
		if !l.enter("192.0.2.1:1") {
			t.Fatal("a socket was refused too early")
		}
	}
	for i := range 3 * clientsKept {
		l.allow(fmt.Sprintf("198.51.%d.%d:1", i/250, i%250))
	}
	if len(l.clients) > clientsKept {
		t.Errorf("%d clients are kept", len(l.clients))
	}
	if l.enter("192.0.2.1:2") {
		t.Error("a client with all its sockets open was forgotten")
	}
	l.leave("192.0.2.1:1")
	if !l.enter("192.0.2.1:2") {
		t.Error("a place that was left is not free")
	}
}

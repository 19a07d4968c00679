package main

import (
	"net"
	"strings"
	"testing"

	"rsc.io/qr"
)

func TestDoors(t *testing.T) {
	for address, want := range map[string]struct {
		beyond bool
		own    string
	}{
		"127.0.0.1:80":   {false, "http://127.0.0.1:80"},
		"[::1]:80":       {false, "http://[::1]:80"},
		"0.0.0.0:80":     {true, "http://127.0.0.1:80"},
		"[::]:80":        {true, "http://127.0.0.1:80"},
		"192.0.2.7:8427": {true, "http://192.0.2.7:8427"},
	} {
		a, err := net.ResolveTCPAddr("tcp", address)
		if err != nil {
			t.Fatal(err)
		}
		if got := beyond(a); got != want.beyond {
			t.Errorf("beyond(%s) = %v", address, got)
		}
		if got := addressOf("http", a); got != want.own {
			t.Errorf("addressOf(%s) = %s, want %s", address, got, want.own)
		}
	}
}

// The code in the terminal has each module in its place: read back from the
// half blocks it is the code that was drawn.
func TestQRInTerminal(t *testing.T) {
	code, err := qr.Encode("http://192.0.2.7:8427/pair#anvil-apron-axle-badge", qr.M)
	if err != nil {
		t.Fatal(err)
	}
	lines := strings.Split(strings.TrimSuffix(blocks(code), "\n"), "\n")
	for y := range code.Size {
		row := []rune(lines[(y+4)/2])
		for x := range code.Size {
			r := row[x+4]
			light := r == '█' || r == '▀' && (y+4)%2 == 0 || r == '▄' && (y+4)%2 == 1
			if light == code.Black(x, y) {
				t.Fatalf("module %d,%d is drawn wrongly", x, y)
			}
		}
	}
}

package chat

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// A pass outlives the program, is known by its hash alone, and ends when it is
// revoked.
func TestPairingRemembersAndRevokes(t *testing.T) {
	file := filepath.Join(t.TempDir(), "data", "devices.json")
	now := func() time.Time { return time.Date(2020, 5, 1, 12, 0, 0, 0, time.UTC) }
	p, err := NewPairing(file, now)
	if err != nil {
		t.Fatal(err)
	}
	pass, err := p.Enter(" "+strings.ReplaceAll(strings.ToUpper(p.Phrase()), " ", "-")+"\n", "")
	if err != nil {
		t.Fatal(err)
	}
	if data, err := os.ReadFile(file); err != nil || strings.Contains(string(data), pass) {
		t.Errorf("the file of devices holds the pass itself (%v)", err)
	}
	again, err := NewPairing(file, now)
	if err != nil {
		t.Fatal(err)
	}
	if again.Phrase() == p.Phrase() {
		t.Error("two starts have one phrase")
	}
	device, ok := again.known(pass)
	if !ok || device.Name != "device 1" {
		t.Errorf("after a restart the device is %+v, %v", device, ok)
	}
	if err := again.Revoke(device.ID); err != nil {
		t.Fatal(err)
	}
	if _, ok := again.known(pass); ok {
		t.Error("a revoked pass still opens")
	}
	if err := os.WriteFile(file, []byte("{"), 0o600); err != nil {
		t.Fatal(err)
	}
	if _, err := NewPairing(file, now); err == nil || !strings.Contains(err.Error(), "damaged") {
		t.Errorf("a damaged file: %v", err)
	}
}

// Guessing is slowed: five tries, then one in three seconds, the right phrase
// included.
func TestPairingSlowsGuessing(t *testing.T) {
	at := time.Date(2020, 5, 1, 12, 0, 0, 0, time.UTC)
	p, err := NewPairing(filepath.Join(t.TempDir(), "devices.json"), func() time.Time { return at })
	if err != nil {
		t.Fatal(err)
	}
	for range 5 {
		if _, err := p.Enter("axle axle axle", "x"); !errors.Is(err, errWrong) {
			t.Fatalf("a wrong phrase: %v", err)
		}
	}
	if _, err := p.Enter(p.Phrase(), "x"); !errors.Is(err, errSlow) {
		t.Errorf("the sixth try at once: %v", err)
	}
	at = at.Add(3 * time.Second)
	if _, err := p.Enter(p.Phrase(), "x"); err != nil {
		t.Errorf("after three seconds: %v", err)
	}
}

// The words are distinct, so that a phrase has all its 28 bits.
func TestPairingWords(t *testing.T) {
	seen := map[string]bool{}
	for _, w := range pairingWords {
		if seen[w] || strings.ToLower(w) != w {
			t.Errorf("%q", w)
		}
		seen[w] = true
	}
}

package main

import (
	"runtime"
	"runtime/debug"
	"testing"
)

// TestTidy: what next to nothing left behind is not worth it, much is collected.
func TestTidy(t *testing.T) {
	defer debug.SetGCPercent(debug.SetGCPercent(-1)) // it shall not come by itself
	collected := func() bool {
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		tidy()
		runtime.ReadMemStats(&after)
		return after.NumGC > before.NumGC
	}
	runtime.GC()
	if collected() {
		t.Error("collected right after a collection")
	}
	for range 2 * worthIt / (1 << 16) {
		left = make([]byte, 1<<16)
	}
	if !collected() {
		t.Errorf("%d bytes were left behind and not collected", 2*worthIt)
	}
}

// left keeps what the test allocates from being optimised away.
var left []byte

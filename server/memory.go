package main

import (
	"runtime"
	"runtime/debug"
	"runtime/metrics"
	"time"
)

// How much memory the collector may let grow before it comes. The articles and
// what is made of them stay for good, so looking through them after every few
// turns is work for nothing; what is left of the bound is for turns.
const (
	memoryBound = 122 << 20 // bytes of the Go runtime
	growMost    = 200       // per cent of what is in use
	growReading = 30        // the same while the articles are read
)

// spareMemory is called before the articles are read: what reading leaves
// behind is what the program holds at its highest.
func spareMemory() { debug.SetGCPercent(growReading) }

// settleMemory is called once the articles are in: it gives back what reading
// them took and lets the collector come more rarely, within the bound. With
// more articles than that leaves room for, it comes as often as usual.
func settleMemory() {
	debug.FreeOSMemory()
	var m runtime.MemStats
	runtime.ReadMemStats(&m)
	debug.SetGCPercent(growMost)
	debug.SetMemoryLimit(max(memoryBound, 2*int64(m.HeapAlloc)+int64(m.Sys-m.HeapSys)))
}

// A turn during a collection shares the cores with it: by the clock the 99th
// percentile of turns was two to three times as long with the collector as
// without. So it comes while the person reads the answer.
const (
	reading = 100 * time.Millisecond // nobody has said the next thing so soon
	worthIt = 8 << 20                // bytes left behind; some fifteen turns
)

// tidyWhileReading returns what is to be called after each turn.
func tidyWhileReading() (answered func()) {
	later := time.AfterFunc(time.Hour, tidy)
	later.Stop()
	return func() { later.Reset(reading) }
}

// tidy collects what turns have left behind, if it is much.
func tidy() {
	sizes := []metrics.Sample{{Name: "/memory/classes/heap/objects:bytes"}, {Name: "/gc/heap/live:bytes"}}
	metrics.Read(sizes)
	if sizes[0].Value.Uint64() > sizes[1].Value.Uint64()+worthIt {
		runtime.GC()
	}
}

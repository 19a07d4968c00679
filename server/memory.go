package main

import (
	"runtime"
	"runtime/debug"
)

// How much memory the collector may let grow before it comes. The articles and
// what is made of them stay for good, so looking through them after every few
// turns is work for nothing; what is left of the bound is for turns.
const (
	memoryBound = 112 << 20 // bytes of the Go runtime
	growMost    = 200       // per cent of what is in use
)

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

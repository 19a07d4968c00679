package main

import (
	"syscall"
	"time"
	"unsafe"
)

// busy is the processor time that this thread has used: on a shared machine
// the wall clock says little. Lock the goroutine to its thread first.
func busy() time.Duration {
	const threadCPU = 3 // CLOCK_THREAD_CPUTIME_ID
	var t syscall.Timespec
	if _, _, err := syscall.Syscall(syscall.SYS_CLOCK_GETTIME, threadCPU, uintptr(unsafe.Pointer(&t)), 0); err != 0 {
		panic(err)
	}
	return time.Duration(t.Nano())
}

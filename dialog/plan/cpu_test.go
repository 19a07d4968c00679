package plan

import (
	"fmt"
	"ruleout/dialog/belief"
	"runtime"
	"slices"
	"syscall"
	"testing"
	"time"
	"unsafe"
)

func cpu() int64 {
	var ts syscall.Timespec
	syscall.Syscall(syscall.SYS_CLOCK_GETTIME, 3, uintptr(unsafe.Pointer(&ts)), 0)
	return ts.Nano()
}
func TestCPU(t *testing.T) {
	runtime.LockOSThread()
	var bs belief.Scratch
	for _, n := range []int{1, 15, 40, 200} {
		var a, b, w []int64
		for i := range 24 {
			x := newBench(uint64(i), n)
			var s Scratch
			for k := range 4 {
				w0 := time.Now()
				t0 := cpu()
				x.p.Belief = bs.Update(x.m, x.ev)
				t1 := cpu()
				Best(&x.p, &s)
				t2 := cpu()
				if k > 0 {
					a = append(a, t1-t0)
					b = append(b, t2-t0)
					w = append(w, int64(time.Since(w0)))
				}
			}
		}
		slices.Sort(a)
		slices.Sort(b)
		slices.Sort(w)
		q := func(x []int64, p int) float64 { return float64(x[(len(x)-1)*p/100]) / 1e6 }
		fmt.Printf("%d belief p50 %.2f p99 %.2f; turn p50 %.2f p90 %.2f p99 %.2f ms cpu; wall p50 %.2f\n", n, q(a, 50), q(a, 99), q(b, 50), q(b, 90), q(b, 99), q(w, 50))
	}
}

package plainwords

import (
	"fmt"
	"strings"
	"testing"
)

// BenchmarkRead measures turns of growing length; the time per byte must not
// grow with the length.
func BenchmarkRead(b *testing.B) {
	r := NewReader(looseBase(b))
	story := "no it's fine on the highway, only cooks when im sat at lights, fan never comes on i think. new thermostat, no change and the battery reads 12.4 volts. "
	for _, n := range []int{100, 1_000, 10_000, 100_000} {
		text := strings.Repeat(story, n/len(story)+1)[:n]
		b.Run(fmt.Sprintf("%dB", n), func(b *testing.B) {
			b.SetBytes(int64(n))
			for b.Loop() {
				r.Read(text, Context{Chief: "overheats"})
			}
		})
	}
}

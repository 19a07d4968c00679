//go:build !linux

package main

import "time"

var begun = time.Now()

// busy is the time since the start where no clock of the thread is at hand.
func busy() time.Duration { return time.Since(begun) }

package main

import (
	"sync"
	"testing"

	"ruleout/kb"
)

var shared = sync.OnceValues(func() (*rooms, error) {
	b, problems := kb.Embedded()
	if e := problems.Errors(); len(e) > 0 {
		return nil, e
	}
	return openRooms(b, &config{})
})

// sharedRooms are the rooms over the embedded articles, opened once for all
// tests that only read.
func sharedRooms(t testing.TB) *rooms {
	t.Helper()
	r, err := shared()
	if err != nil {
		t.Fatal(err)
	}
	return r
}

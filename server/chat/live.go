package chat

import (
	"io"
	"sync"
)

// live holds the open sockets by device, so that a device turned away loses
// them at once.
type live struct {
	mu   sync.Mutex
	open map[string]map[io.Closer]struct{}
}

// add notes a socket of a device and returns what ends the note.
func (l *live) add(device string, c io.Closer) func() {
	l.mu.Lock()
	defer l.mu.Unlock()
	if l.open == nil {
		l.open = map[string]map[io.Closer]struct{}{}
	}
	if l.open[device] == nil {
		l.open[device] = map[io.Closer]struct{}{}
	}
	l.open[device][c] = struct{}{}
	return func() {
		l.mu.Lock()
		defer l.mu.Unlock()
		delete(l.open[device], c)
	}
}

// end closes all sockets of a device.
func (l *live) end(device string) {
	l.mu.Lock()
	defer l.mu.Unlock()
	for c := range l.open[device] {
		_ = c.Close()
	}
}

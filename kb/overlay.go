package kb

import (
	"context"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"sync/atomic"
	"time"

	"github.com/fsnotify/fsnotify"
)

// settle is how long a folder must be quiet before it is read again: editors
// write a file in several steps.
const settle = 200 * time.Millisecond

// Store holds the base in force and the problems of the last reading. All its
// methods may be called at any time from anywhere.
type Store struct {
	state atomic.Pointer[storeState]

	mu   sync.Mutex
	told []chan struct{}
}

type storeState struct {
	base     *Base
	problems Problems
}

// NewStore returns a store that holds the base and what was found in it.
func NewStore(b *Base, problems Problems) *Store {
	s := new(Store)
	s.state.Store(&storeState{b, problems})
	return s
}

// Current returns the base in force. Whoever holds it keeps it unchanged; a
// conversation asks once a turn.
func (s *Store) Current() *Base { return s.state.Load().base }

// Problems returns what the last reading found, whether or not it was put in
// force.
func (s *Store) Problems() Problems { return slices.Clone(s.state.Load().problems) }

// Offer puts the base in force unless there are errors; the problems are kept
// in any case. It reports whether the base was taken.
func (s *Store) Offer(b *Base, problems Problems) bool {
	s.mu.Lock()
	defer s.mu.Unlock()
	old := s.state.Load()
	ok := b != nil && len(problems.Errors()) == 0
	if !ok {
		b = old.base
	}
	if b.Digest == old.base.Digest {
		b = old.base // the same content: keep what others built on it
	}
	s.state.Store(&storeState{b, slices.Clone(problems)})
	for _, c := range s.told {
		select {
		case c <- struct{}{}:
		default: // not yet read: it will see this change too
		}
	}
	return ok
}

// Subscribe returns a channel that receives after every reading, and a
// function that ends the subscription. Several readings may be told as one.
func (s *Store) Subscribe() (<-chan struct{}, func()) {
	c := make(chan struct{}, 1)
	s.mu.Lock()
	s.told = append(s.told, c)
	s.mu.Unlock()
	return c, func() {
		s.mu.Lock()
		defer s.mu.Unlock()
		s.told = slices.DeleteFunc(s.told, func(x chan struct{}) bool { return x == c })
	}
}

// Open lays the folder over the layers below it and returns a store of the
// result. A folder with errors is not laid over: the layers below are then in
// force alone and Problems says why. It is an error if the folder can't be
// read at all.
func Open(dir string, below ...fs.FS) (*Store, error) {
	info, err := os.Stat(dir)
	if err != nil {
		return nil, fmt.Errorf("articles folder: %w", err)
	}
	if !info.IsDir() {
		return nil, fmt.Errorf("articles folder: %s is not a folder", dir)
	}
	s := NewStore(Load(below...))
	s.reread(dir, below)
	return s, nil
}

// reread offers the layers with the folder on top and reports whether the
// folder was there. One that is gone is a problem, not an empty layer: what it
// held stays in force.
func (s *Store) reread(dir string, below []fs.FS) bool {
	if _, err := os.Stat(dir); err != nil {
		s.Offer(nil, Problems{{Severity: SeverityError, File: dir, What: "not readable: " + plainError(err)}})
		return false
	}
	s.Offer(Load(append(slices.Clone(below), os.DirFS(dir))...))
	return true
}

// Watch reads the folder anew whenever something in it changes, until the
// context ends, and offers the result to the store. It returns once watching
// has begun; an error means that the system can't watch the folder.
func (s *Store) Watch(ctx context.Context, dir string, below ...fs.FS) error {
	if real, err := filepath.EvalSymlinks(dir); err == nil {
		dir = real
	}
	w, err := fsnotify.NewWatcher()
	if err != nil {
		return fmt.Errorf("watching articles: %w", err)
	}
	if err := watchTree(w, dir); err != nil {
		w.Close()
		return fmt.Errorf("watching articles: %w", err)
	}
	go s.watch(ctx, w, dir, below)
	return nil
}

func (s *Store) watch(ctx context.Context, w *fsnotify.Watcher, dir string, below []fs.FS) {
	defer w.Close()
	// One reading at the start takes in what changed before the watch began.
	quiet := time.NewTimer(settle)
	for {
		select {
		case <-ctx.Done():
			quiet.Stop()
			return
		case ev, ok := <-w.Events:
			if !ok {
				return
			}
			if ev.Has(fsnotify.Create) {
				// New folders are watched too; one that is gone again is no
				// error.
				_ = watchTree(w, ev.Name)
			}
			if ev.Op != fsnotify.Chmod {
				quiet.Reset(settle)
			}
		case _, ok := <-w.Errors:
			if !ok {
				return
			}
			// Events may have been lost: read everything again.
			quiet.Reset(settle)
		case <-quiet.C:
			// Watching twice is harmless; a folder that was taken away and
			// came back must be watched anew.
			_ = watchTree(w, dir)
			if !s.reread(dir, below) {
				quiet.Reset(10 * settle)
			}
		}
	}
}

// watchTree watches the folder and those within it, but for hidden ones.
func watchTree(w *fsnotify.Watcher, root string) error {
	return filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
		switch {
		case err != nil:
			return err
		case !d.IsDir():
			return nil
		case path != root && strings.HasPrefix(d.Name(), "."):
			return filepath.SkipDir
		}
		return w.Add(path)
	})
}

package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"os"
	"sync/atomic"

	"ruleout/dialog"
	"ruleout/kb"
	"ruleout/retrieval"
	"ruleout/server/chat"
)

// rooms are the knowledge base, its index and the engine over both, as they
// are in force now.
type rooms struct {
	engine *dialog.Engine
	index  *index
}

// index is the index under way: it is made beside the engine, and whoever
// needs it first waits for it.
type index struct {
	done chan struct{}
	got  *retrieval.Index
	err  error
}

// openIndex begins to make the index.
func openIndex(b *kb.Base, dir string) *index {
	x := &index{done: make(chan struct{})}
	go func() {
		defer close(x.done)
		if x.got, x.err = retrieval.Open(b, dir); x.err != nil {
			x.err = fmt.Errorf("the index: %w", x.err)
		}
	}()
	return x
}

// wait returns the index once it is made.
func (x *index) wait() (*retrieval.Index, error) {
	<-x.done
	return x.got, x.err
}

// Close releases the index.
func (x *index) Close() error {
	got, err := x.wait()
	if err != nil {
		return nil // there is nothing to release
	}
	return got.Close()
}

// openRooms loads the articles and builds what stands on them.
func openRooms(b *kb.Base, c *config) (*rooms, error) {
	index := openIndex(b, c.index)
	if c.index != "" { // a folder can be at fault: say so at once
		got, err := index.wait()
		if err != nil {
			return nil, err
		}
		if note := got.Note(); note != "" {
			slog.Info(note)
		}
	}
	set := dialog.DefaultSettings
	set.Explain = c.explain
	engine, err := dialog.New(b, matcher{index}, set)
	if err != nil {
		return nil, errors.Join(err, index.Close())
	}
	return &rooms{engine, index}, nil
}

// loadBase loads the embedded articles with the user's folder over them.
// Faults in the folder are told; the embedded articles are then in force.
func loadBase(c *config, errs io.Writer) (*kb.Store, error) {
	if c.articles == "" {
		b, problems := kb.Embedded()
		if e := problems.Errors(); len(e) > 0 {
			return nil, e
		}
		return kb.NewStore(b, problems), nil
	}
	store, err := kb.Open(c.articles, kb.EmbeddedFS())
	if err != nil {
		return nil, err
	}
	for _, p := range store.Problems().Errors() {
		fmt.Fprintln(errs, p)
	}
	for _, m := range misplaced(c.articles) {
		fmt.Fprintln(errs, m)
	}
	return store, nil
}

// matcher gives the dialogue the index without its types.
type matcher struct{ index *index }

func (m matcher) Match(words string, limit int, kinds ...string) ([]dialog.Candidate, error) {
	x, err := m.index.wait()
	if err != nil {
		return nil, err
	}
	hits, err := x.Match(words, limit, kinds...)
	out := make([]dialog.Candidate, len(hits))
	for i, h := range hits {
		out[i] = dialog.Candidate{ID: h.ID, Kind: h.Kind, Title: h.Title, Score: h.Score, Share: h.Share, Cover: h.Cover, Why: h.Why}
	}
	return out, err
}

func (m matcher) Complaint(words string, limit int) ([]dialog.Likely, error) {
	x, err := m.index.wait()
	if err != nil {
		return nil, err
	}
	return asLikely(x.Complaint(words, limit)), nil
}

func (m matcher) Told(words string, limit int) ([]dialog.Likely, error) {
	x, err := m.index.wait()
	if err != nil {
		return nil, err
	}
	return asLikely(x.Told(words, limit)), nil
}

func (m matcher) Histories(words string) ([]float64, error) {
	x, err := m.index.wait()
	if err != nil {
		return nil, err
	}
	return x.Histories(words), nil
}

func asLikely(likely []retrieval.Likely) []dialog.Likely {
	out := make([]dialog.Likely, len(likely))
	for i, l := range likely {
		out[i] = dialog.Likely(l)
	}
	return out
}

// searcher gives the interface the index without its types.
type searcher struct{ index *index }

func (s searcher) Search(words string, limit int) ([]chat.Hit, error) {
	x, err := s.index.wait()
	if err != nil {
		return nil, err
	}
	hits, err := x.Search(words, limit)
	return shown(hits), err
}

func (s searcher) Related(id string, limit int) ([]chat.Hit, error) {
	x, err := s.index.wait()
	if err != nil {
		return nil, err
	}
	hits, err := x.Related(id, limit)
	return shown(hits), err
}

func shown(hits []retrieval.Hit) []chat.Hit {
	out := make([]chat.Hit, len(hits))
	for i, h := range hits {
		out[i] = chat.Hit{ID: h.ID, Kind: h.Kind, Title: h.Title, System: h.System, Score: h.Score, Snippet: h.Snippet, Marks: h.Marks}
	}
	return out
}

// follow rebuilds the rooms whenever the user's articles change and hands
// them over; a set with errors never gets here.
func follow(ctx context.Context, store *kb.Store, c *config, now *atomic.Pointer[rooms], use func(*dialog.Engine)) error {
	if c.articles == "" {
		return nil
	}
	changed, stop := store.Subscribe()
	if err := store.Watch(ctx, c.articles, kb.EmbeddedFS()); err != nil {
		stop()
		return err
	}
	go func() {
		defer stop()
		for {
			select {
			case <-ctx.Done():
				return
			case <-changed:
			}
			for _, p := range store.Problems().Errors() {
				fmt.Fprintln(os.Stderr, p)
			}
			b := store.Current()
			if b == now.Load().engine.Base() {
				continue
			}
			fresh := *c
			fresh.index = "" // the index folder holds what the program started with
			r, err := openRooms(b, &fresh)
			if err != nil {
				slog.Error("the changed articles can't be used", "error", err)
				continue
			}
			now.Store(r)
			use(r.engine)
			if solveAhead {
				go r.engine.Warm(func() bool { return ctx.Err() != nil || now.Load() != r })
			}
			slog.Info("articles reloaded", "digest", b.Digest)
		}
	}()
	return nil
}

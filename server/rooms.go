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
	index  *retrieval.Index
}

// openRooms loads the articles and builds what stands on them.
func openRooms(b *kb.Base, c *config) (*rooms, error) {
	index, err := retrieval.Open(b, c.index)
	if err != nil {
		return nil, fmt.Errorf("the index: %w", err)
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
type matcher struct{ index *retrieval.Index }

func (m matcher) Match(words string, limit int, kinds ...string) ([]dialog.Candidate, error) {
	hits, err := m.index.Match(words, limit, kinds...)
	out := make([]dialog.Candidate, len(hits))
	for i, h := range hits {
		out[i] = dialog.Candidate{ID: h.ID, Kind: h.Kind, Title: h.Title, Score: h.Score, Share: h.Share, Cover: h.Cover, Why: h.Why}
	}
	return out, err
}

// searcher gives the interface the index without its types.
type searcher struct{ index *retrieval.Index }

func (s searcher) Search(words string, limit int) ([]chat.Hit, error) {
	hits, err := s.index.Search(words, limit)
	return shown(hits), err
}

func (s searcher) Related(id string, limit int) ([]chat.Hit, error) {
	hits, err := s.index.Related(id, limit)
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
			slog.Info("articles reloaded", "digest", b.Digest)
		}
	}()
	return nil
}

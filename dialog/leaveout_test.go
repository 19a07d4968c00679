package dialog

import (
	"io/fs"
	"path"
	"slices"
	"strings"
	"sync"
	"testing"

	"ruleout/kb"
)

// without is a file system in which some files or folders are missing.
type without struct {
	fs.FS
	names []string
}

func (w without) Open(name string) (fs.File, error) {
	if slices.Contains(w.names, name) {
		return nil, &fs.PathError{Op: "open", Path: name, Err: fs.ErrNotExist}
	}
	return w.FS.Open(name)
}

func (w without) ReadDir(name string) ([]fs.DirEntry, error) {
	list, err := fs.ReadDir(w.FS, name)
	return slices.DeleteFunc(list, func(d fs.DirEntry) bool { return slices.Contains(w.names, path.Join(name, d.Name())) }), err
}

// articleFile finds the file of an article.
func articleFile(t *testing.T, id string) string {
	t.Helper()
	found := ""
	err := fs.WalkDir(kb.EmbeddedFS(), ".", func(p string, d fs.DirEntry, err error) error {
		if path.Base(p) == id+".yaml" && strings.HasPrefix(p, "articles/") {
			found = p
		}
		return err
	})
	if err != nil || found == "" {
		t.Fatalf("no file of %s: %v", id, err)
	}
	return found
}

// Figures of the leave-out test: how many answers a hidden cause gives, and
// the share of hidden causes that something honest must lead for: a floor that
// may only rise.
const (
	hiddenSteps = 25
	hiddenLeast = 0.60
)

// TestHiddenCauses hides each authored cause in turn and lets a car with it
// answer. What leads then must be honest: the same part without an article, a
// cause linked to the hidden one, or none of these in the right system.
func TestHiddenCauses(t *testing.T) {
	if testing.Short() {
		t.Skip("reads the articles once for every cause")
	}
	b, _ := kb.Embedded()
	full, err := New(b, nil, DefaultSettings)
	if err != nil {
		t.Fatal(err)
	}
	type result struct{ how, leader string }
	var causes []*kb.Cause
	for _, c := range b.Causes {
		if !c.Derived {
			causes = append(causes, c)
		}
	}
	results := make([]result, len(causes))
	var wg sync.WaitGroup
	next := make(chan int)
	for range 2 {
		wg.Go(func() {
			for i := range next {
				results[i].how, results[i].leader = hide(t, full, causes[i])
			}
		})
	}
	for i := range causes {
		next <- i
	}
	close(next)
	wg.Wait()
	count := map[string]int{}
	for i, r := range results {
		count[r.how]++
		t.Logf("%-28s %-8s %s", causes[i].ID, r.how, r.leader)
	}
	honest := len(causes) - count["misled"]
	t.Logf("of %d causes hidden: same part %d, linked %d, none of these %d, misled %d", len(causes), count["part"], count["linked"], count["none"], count["misled"])
	if float64(honest) < hiddenLeast*float64(len(causes)) {
		t.Errorf("something honest leads for %d of %d hidden causes only", honest, len(causes))
	}
}

// hide plays a case of the cause over the articles without it, and tells what
// leads in the end: part, linked, none or misled.
func hide(t *testing.T, full *Engine, c *kb.Cause) (how, leader string) {
	// Nobody says a word here: all is tapped.
	b, _ := kb.Load(without{kb.EmbeddedFS(), []string{articleFile(t, c.ID), "lists/ways", "lists/tellings"}})
	e, err := New(b, nil, DefaultSettings)
	if err != nil {
		t.Error(err)
		return
	}
	p := patient{full, c}
	s, reply := e.Start()
	first := p.opening()
	for _, id := range sortedKeys(first) {
		s, reply = e.Step(s, Turn{Tap: &Tap{Finding: id, Outcome: first[id]}})
	}
	for range hiddenSteps {
		tap, done := p.reply(reply.Next)
		if done {
			break
		}
		s, reply = e.Step(s, Turn{Tap: &tap})
	}
	top := reply.Suspects[0]
	leader = top.ID
	if reply.NoneOfThese >= top.Probability {
		leader = "none of these"
		if len(reply.NoneBySystem) > 0 {
			best := slices.MaxFunc(reply.NoneBySystem, func(x, y SystemShare) int {
				switch {
				case x.Probability < y.Probability:
					return -1
				case x.Probability > y.Probability:
					return 1
				}
				return 0
			})
			leader += " in " + best.System
			if best.System == c.System {
				return "none", leader
			}
		}
		return "misled", leader
	}
	linked := slices.Concat(c.KilledBy, c.With, sortedKeys(c.LeadsTo))
	if x := b.Cause(top.ID); x != nil {
		if slices.Contains(slices.Concat(x.KilledBy, x.With, sortedKeys(x.LeadsTo)), c.ID) {
			linked = append(linked, x.ID)
		}
	}
	switch {
	case top.Part == c.Part:
		return "part", leader
	case slices.Contains(linked, top.ID):
		return "linked", leader
	}
	return "misled", leader
}

package kb

import (
	"context"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"
)

func write(t *testing.T, dir, file, text string) {
	t.Helper()
	path := filepath.Join(dir, file)
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
}

// await waits for the store to tell of readings until the condition holds.
func await(t *testing.T, told <-chan struct{}, what string, ok func() bool) {
	t.Helper()
	deadline := time.After(20 * time.Second)
	for !ok() {
		select {
		case <-told:
		case <-deadline:
			t.Fatal("never: " + what)
		}
	}
}

const myCard = "kind: card\nid: mine\ntitle: TITLE\nsystem: cooling\nsaid: [my page]\nbody: Text.\n"

func TestWatch(t *testing.T) {
	below := layer(soundFiles())
	dir := t.TempDir()
	store, err := Open(dir, below)
	if err != nil {
		t.Fatal(err)
	}
	first := store.Current()
	if len(store.Problems()) > 0 {
		t.Fatal(store.Problems())
	}
	ctx, cancel := context.WithCancel(t.Context())
	defer cancel()
	told, end := store.Subscribe()
	defer end()
	if err := store.Watch(ctx, dir, below); err != nil {
		t.Fatal(err)
	}

	// A file in folders that did not exist when the watch began.
	write(t, dir, "articles/cooling/mine.yaml", strings.Replace(myCard, "TITLE", "One", 1))
	await(t, told, "the new article", func() bool { return store.Current().Card("mine") != nil })
	if first.Card("mine") != nil {
		t.Error("a base in use was changed")
	}
	good := store.Current()

	// A broken edit leaves the last good set in force and says so.
	write(t, dir, "articles/cooling/mine.yaml", strings.Replace(myCard, "said", "siad", 1))
	await(t, told, "the problem", func() bool { return len(store.Problems()) > 0 })
	if got, want := store.Problems()[0].String(), `articles/cooling/mine.yaml:5:1: the card has no key "siad"; did you mean "said"?`; got != want {
		t.Errorf("got %q, want %q", got, want)
	}
	if store.Current() != good {
		t.Error("the broken edit is in force")
	}

	// Mended, it is.
	write(t, dir, "articles/cooling/mine.yaml", strings.Replace(myCard, "TITLE", "Two", 1))
	await(t, told, "the mended article", func() bool { return store.Current().Card("mine").Title == "Two" })
	if len(store.Problems()) > 0 {
		t.Errorf("problems stay: %v", store.Problems())
	}

	// Taken away, it goes.
	if err := os.Remove(filepath.Join(dir, "articles/cooling/mine.yaml")); err != nil {
		t.Fatal(err)
	}
	await(t, told, "the article gone", func() bool { return store.Current().Card("mine") == nil })

	// A folder that is gone is no empty folder, and may come back.
	write(t, dir, "articles/cooling/mine.yaml", strings.Replace(myCard, "TITLE", "Three", 1))
	await(t, told, "the article back", func() bool { return store.Current().Card("mine") != nil })
	aside := dir + "-aside"
	if err := os.Rename(dir, aside); err != nil {
		t.Fatal(err)
	}
	await(t, told, "the folder missed", func() bool { return len(store.Problems()) > 0 })
	if store.Current().Card("mine") == nil {
		t.Error("with the folder its articles went")
	}
	if err := os.Rename(aside, dir); err != nil {
		t.Fatal(err)
	}
	await(t, told, "the folder found again", func() bool { return len(store.Problems()) == 0 })
}

func TestOpenRefusesWhatIsNoFolder(t *testing.T) {
	file := filepath.Join(t.TempDir(), "file")
	if err := os.WriteFile(file, nil, 0o600); err != nil {
		t.Fatal(err)
	}
	for _, dir := range []string{file, file + "-missing"} {
		if s, err := Open(dir, layer(soundFiles())); err == nil || s != nil {
			t.Errorf("%s: %v, %v", dir, s, err)
		}
	}
}

func TestOpenWithABrokenFolder(t *testing.T) {
	dir := t.TempDir()
	write(t, dir, "articles/cooling/mine.yaml", "kind: crad")
	s, err := Open(dir, layer(soundFiles()))
	if err != nil {
		t.Fatal(err)
	}
	if s.Current().Digest != sound(t).Digest || len(s.Problems().Errors()) != 1 {
		t.Errorf("in force %s, problems %v", s.Current().Digest, s.Problems())
	}
}

// TestStoreTogether is for the race detector: readers, offers and
// subscriptions at once.
func TestStoreTogether(t *testing.T) {
	a := sound(t)
	files := soundFiles()
	files["articles/reference/mine.yaml"] = myCard
	b, problems := Load(layer(files))
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	s := NewStore(a, nil)
	var wg sync.WaitGroup
	for i := range 8 {
		wg.Go(func() {
			told, end := s.Subscribe()
			defer end()
			for j := range 50 {
				if (i+j)%2 == 0 {
					s.Offer(a, nil)
				} else {
					s.Offer(b, Problems{{Severity: SeverityWarning, File: "x", What: "y"}})
				}
				if got := s.Current(); got.Digest != a.Digest && got.Digest != b.Digest {
					t.Error("a base that nobody offered")
				}
				_ = s.Problems()
				select {
				case <-told:
				default:
				}
			}
		})
	}
	wg.Wait()
	if s.Offer(b, Problems{{Severity: SeverityError, File: "x", What: "y"}}) {
		t.Error("a base with errors was taken")
	}
}

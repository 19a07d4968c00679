package kb

import (
	"io/fs"
	"maps"
	"os"
	"strings"
	"testing"
	"testing/fstest"
)

// soundFiles returns the small set without problems, by path; each caller may
// change its own copy.
var soundFiles = func() func() map[string]string {
	files := map[string]string{}
	dir := os.DirFS("../testdata/kb/sound")
	err := fs.WalkDir(dir, ".", func(file string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		text, err := fs.ReadFile(dir, file)
		files[file] = string(text)
		return err
	})
	if err != nil {
		panic(err)
	}
	return func() map[string]string { return maps.Clone(files) }
}()

func layer(files map[string]string) fs.FS {
	m := fstest.MapFS{}
	for file, text := range files {
		m[file] = &fstest.MapFile{Data: []byte(text)}
	}
	return m
}

func sound(t *testing.T) *Base {
	t.Helper()
	b, problems := Load(layer(soundFiles()))
	for _, p := range problems {
		t.Error(p)
	}
	if t.Failed() {
		t.FailNow()
	}
	return b
}

// edit replaces the one place in a file that holds the old text.
func edit(t *testing.T, files map[string]string, file, old, new string) {
	t.Helper()
	if strings.Count(files[file], old) != 1 {
		t.Fatalf("%s holds %q %d times", file, old, strings.Count(files[file], old))
	}
	files[file] = strings.Replace(files[file], old, new, 1)
}

func TestSoundSetHasNoProblems(t *testing.T) {
	b := sound(t)
	if n := len(b.Heads()); n != 10 {
		t.Errorf("%d articles, want 10", n)
	}
	if b.Cause("hose-split") == nil || b.Test("front-look") == nil || b.Symptom("drips") == nil || b.Card("pressure") == nil || b.Circuit("gauge-circuit") == nil || b.Path("coolant-round") == nil {
		t.Error("an article can't be found by its id")
	}
	if b.Part("coolant-hose").Modes["split"] != 0.7 || b.Mode("weak") == nil {
		t.Error("a list entry can't be found by its id")
	}
}

package casebook

import (
	"errors"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	bolt "go.etcd.io/bbolt"

	"ruleout/dialog"
)

func record(text string) Record {
	return Record{Key: "k" + text, When: time.Date(1999, 3, 1, 9, 0, 0, 0, time.UTC), Turn: dialog.Turn{Text: text}}
}

func mustOpen(t *testing.T, path string) *Store {
	t.Helper()
	s, err := Open(path)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { s.Close() })
	return s
}

// What was told comes back in the order of telling, after a restart too.
func TestTurnsComeBack(t *testing.T) {
	path := filepath.Join(t.TempDir(), "new", "folder", "cases.db")
	s := mustOpen(t, path)
	if err := s.Create("one", About{}); err != nil {
		t.Fatal(err)
	}
	number := 12.5
	want := []Record{record("it gets hot"), {When: record("").When, Turn: dialog.Turn{Text: "12.5 V", Tap: &dialog.Tap{Finding: "f", Value: &number, Unit: "V"}}}, record("\x00\xff odd bytes é")}
	for _, r := range want {
		if err := s.Append("one", r); err != nil {
			t.Fatal(err)
		}
	}
	want[2].Turn.Text = strings.ToValidUTF8(want[2].Turn.Text, "\uFFFD") // JSON holds text
	want[2].Key = strings.ToValidUTF8(want[2].Key, "\uFFFD")
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	got, err := mustOpen(t, path).Turns("one")
	if err != nil {
		t.Fatal(err)
	}
	if d := cmp.Diff(want, got); d != "" {
		t.Error(d)
	}
}

func TestList(t *testing.T) {
	s := mustOpen(t, filepath.Join(t.TempDir(), "cases.db"))
	for i, id := range []string{"b", "a", "silent"} {
		if err := s.Create(id, About{}); err != nil {
			t.Fatal(err)
		}
		for n := range 2 - i {
			if err := s.Append(id, record(fmt.Sprintf("%s%d", id, n))); err != nil {
				t.Fatal(err)
			}
		}
	}
	got, err := s.List()
	if err != nil {
		t.Fatal(err)
	}
	when := record("").When
	want := []Summary{{ID: "a", When: when, First: "a0", Turns: 1}, {ID: "b", When: when, First: "b0", Turns: 2}}
	if d := cmp.Diff(want, got); d != "" {
		t.Error(d)
	}
}

func TestUnknownAndTaken(t *testing.T) {
	s := mustOpen(t, filepath.Join(t.TempDir(), "cases.db"))
	if _, err := s.Turns("none"); !errors.Is(err, ErrNotFound) {
		t.Errorf("turns of an unknown case: %v", err)
	}
	if err := s.Append("none", record("x")); !errors.Is(err, ErrNotFound) {
		t.Errorf("a turn to an unknown case: %v", err)
	}
	if _, err := s.Turns(""); !errors.Is(err, ErrNotFound) {
		t.Errorf("turns of the empty id: %v", err)
	}
	if err := s.Create("one", About{}); err != nil {
		t.Fatal(err)
	}
	if err := s.Create("one", About{}); err == nil {
		t.Error("an id was given twice")
	}
}

func TestSecondOpenerIsTold(t *testing.T) {
	path := filepath.Join(t.TempDir(), "cases.db")
	mustOpen(t, path)
	if s, err := Open(path); !errors.Is(err, ErrInUse) || !strings.Contains(err.Error(), path) {
		if err == nil {
			s.Close()
		}
		t.Errorf("second opener: %v", err)
	}
	if _, err := Verify(path); !errors.Is(err, ErrInUse) {
		t.Errorf("verify of a file in use: %v", err)
	}
}

func TestForeignFiles(t *testing.T) {
	dir := t.TempDir()
	for name, content := range map[string]string{
		"note": "shopping: bread, coolant\n",
		"long": strings.Repeat("this is no file of cases\n", 2000),
		"zero": strings.Repeat("\x00", 64<<10),
	} {
		path := filepath.Join(dir, name)
		if err := os.WriteFile(path, []byte(content), 0o600); err != nil {
			t.Fatal(err)
		}
		if s, err := Open(path); !errors.Is(err, ErrDamaged) {
			if err == nil {
				s.Close()
			}
			t.Errorf("%s: %v", name, err)
		}
		if after, err := os.ReadFile(path); err != nil || string(after) != content {
			t.Errorf("%s: the file of somebody else was changed (%v)", name, err)
		}
	}
	if _, err := Open(dir); err == nil {
		t.Error("a folder was opened as a file of cases")
	}
	if _, err := Verify(filepath.Join(dir, "absent")); !errors.Is(err, os.ErrNotExist) {
		t.Errorf("verify of no file: %v", err)
	}
}

func TestNewerFormatIsRefused(t *testing.T) {
	path := filepath.Join(t.TempDir(), "cases.db")
	s := mustOpen(t, path)
	err := s.update(func(tx *bolt.Tx) error { return tx.Bucket(bucketMeta).Put(keyVersion, []byte("99")) })
	if err != nil {
		t.Fatal(err)
	}
	s.Close()
	if s, err := Open(path); err == nil || !strings.Contains(err.Error(), `"99"`) {
		if err == nil {
			s.Close()
		}
		t.Errorf("a newer format: %v", err)
	}
}

// A file with bytes struck out or its end cut off gives an error or what it
// still holds, never a panic, and Verify never calls a cut file whole.
func TestDamagedFiles(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "cases.db")
	s := mustOpen(t, path)
	for c := range 20 {
		id := fmt.Sprint("case", c)
		if err := s.Create(id, About{}); err != nil {
			t.Fatal(err)
		}
		for n := range 5 {
			if err := s.Append(id, record(strings.Repeat("word ", 100*n))); err != nil {
				t.Fatal(err)
			}
		}
	}
	s.Close()
	whole, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if n, err := Verify(path); err != nil || n.Cases != 20 || n.Turns != 100 {
		t.Fatalf("the whole file: %v, %v", n, err)
	}
	r := rand.New(rand.NewPCG(7, 8))
	damaged := filepath.Join(dir, "damaged.db")
	told := 0
	for i := range 150 {
		data := append([]byte(nil), whole...)
		cut := i%3 == 0
		if cut {
			data = data[:r.IntN(len(data)/2)]
		} else {
			for range 1 + r.IntN(40) {
				at := r.IntN(len(data)) &^ 7
				for k := at; k < min(at+8, len(data)); k++ {
					data[k] = byte(r.Uint32())
				}
			}
		}
		if err := os.WriteFile(damaged, data, 0o600); err != nil {
			t.Fatal(err)
		}
		_, err := Verify(damaged)
		if err != nil {
			told++
		} else if cut {
			t.Errorf("a file cut to %d of %d bytes passed as whole", len(data), len(whole))
		}
		s, err := Open(damaged)
		if err != nil {
			continue
		}
		if list, err := s.List(); err == nil {
			for _, c := range list {
				_, _ = s.Turns(c.ID)
			}
		}
		_ = s.Create("new", About{})
		_ = s.Append("new", record("x"))
		_ = guard(s.Close)
	}
	if told < 50 {
		t.Errorf("only %d of 150 damaged files were noticed", told)
	}
}

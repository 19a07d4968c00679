package casebook

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	bolt "go.etcd.io/bbolt"
)

// writeFormat1 makes a file as format 1 laid it out: turns by case, and the
// version.
func writeFormat1(t *testing.T, path string) map[string][]Record {
	t.Helper()
	want := map[string][]Record{"winter": {record("it gets hot"), record("fan stays off")}, "summer": {record("dead every monday")}, "silent": nil}
	db, err := bolt.Open(path, 0o600, nil)
	if err != nil {
		t.Fatal(err)
	}
	err = db.Update(func(tx *bolt.Tx) error {
		meta, err := tx.CreateBucket([]byte("meta"))
		if err != nil {
			return err
		}
		if err := meta.Put([]byte("version"), []byte("1")); err != nil {
			return err
		}
		cases, err := tx.CreateBucket([]byte("cases"))
		if err != nil {
			return err
		}
		for _, id := range []string{"winter", "summer", "silent"} {
			b, err := cases.CreateBucket([]byte(id))
			if err != nil {
				return err
			}
			for i, r := range want[id] {
				data, err := json.Marshal(r)
				if err != nil {
					return err
				}
				if err := b.SetSequence(uint64(i + 1)); err != nil {
					return err
				}
				if err := b.Put(sequence(uint64(i+1)), data); err != nil {
					return err
				}
			}
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	if err := db.Close(); err != nil {
		t.Fatal(err)
	}
	return want
}

// A file of the older format comes over with all its turns, is told of, and is
// kept beside the new one as it was.
func TestOlderFormatIsBroughtOver(t *testing.T) {
	path := filepath.Join(t.TempDir(), "cases.db")
	want := writeFormat1(t, path)
	if n, err := Verify(path); err != nil || n.Cases != 3 || n.Turns != 3 || len(n.Notes) != 1 || !strings.Contains(n.Notes[0], "format 1") {
		t.Errorf("the old file as check sees it: %+v, %v", n, err)
	}
	s := mustOpen(t, path)
	if notes := s.Notes(); len(notes) != 1 || !strings.Contains(notes[0], "format 1 to 2") {
		t.Errorf("told: %q", notes)
	}
	for id, turns := range want {
		got, err := s.Turns(id)
		if err != nil {
			t.Fatal(err)
		}
		if d := cmp.Diff(turns, got); d != "" {
			t.Errorf("%s: %s", id, d)
		}
		a, err := s.About(id)
		if err != nil {
			t.Fatal(err)
		}
		begun := record("").When
		if len(turns) == 0 {
			begun = time.Time{}
		}
		if !a.Begun.Equal(begun) || a.Vehicle != "" || a.Given.Vehicle != nil || a.Given.Learned != nil {
			t.Errorf("%s begins with %+v", id, a)
		}
	}
	if err := s.Append("winter", record("never comes on")); err != nil {
		t.Error(err)
	}
	s.Close()
	if n, err := Verify(path); err != nil || n.Turns != 4 || len(n.Notes) != 0 {
		t.Errorf("after: %+v, %v", n, err)
	}
	if again := mustOpen(t, path); len(again.Notes()) != 0 {
		t.Errorf("opened again it tells %q", again.Notes())
	}
	kept, err := bolt.Open(path+".format1", 0o600, nil)
	if err != nil {
		t.Fatal(err)
	}
	defer kept.Close()
	err = kept.View(func(tx *bolt.Tx) error {
		if v := string(tx.Bucket([]byte("meta")).Get([]byte("version"))); v != "1" {
			t.Errorf("the file kept has format %q", v)
		}
		if n := tx.Bucket([]byte("cases")).Bucket([]byte("winter")).Stats().KeyN; n != 2 {
			t.Errorf("the file kept has %d turns of winter", n)
		}
		return nil
	})
	if err != nil {
		t.Error(err)
	}
}

// What a write left half done behind the file's last page is cut, told of, and
// nothing that was acknowledged goes with it.
func TestHalfWrittenTailIsCut(t *testing.T) {
	path := filepath.Join(t.TempDir(), "cases.db")
	s := mustOpen(t, path)
	if err := s.Create("one", About{}); err != nil {
		t.Fatal(err)
	}
	for range 20 {
		if err := s.Append("one", record(strings.Repeat("word ", 300))); err != nil {
			t.Fatal(err)
		}
	}
	var used int64
	if err := s.view(func(tx *bolt.Tx) error { used = tx.Size(); return nil }); err != nil {
		t.Fatal(err)
	}
	s.Close()
	f, err := os.OpenFile(path, os.O_RDWR, 0o600)
	if err != nil {
		t.Fatal(err)
	}
	half := []byte(strings.Repeat("half a page ", 500))
	if _, err := f.WriteAt(half, used); err != nil {
		t.Fatal(err)
	}
	f.Close()
	s = mustOpen(t, path)
	if n := s.Notes(); len(n) != 1 || !strings.Contains(n[0], "6000 bytes") {
		t.Errorf("told: %q", n)
	}
	if got, err := s.Turns("one"); err != nil || len(got) != 20 {
		t.Errorf("%d turns are left: %v", len(got), err)
	}
	if err := s.Append("one", record("goes on")); err != nil {
		t.Error(err)
	}
	s.Close()
	if s = mustOpen(t, path); len(s.Notes()) != 0 {
		t.Errorf("opened again it tells %q", s.Notes())
	}
	if got, err := s.Turns("one"); err != nil || len(got) != 21 {
		t.Errorf("%d turns in the end: %v", len(got), err)
	}
}

// A head that was torn is told of; the other one is in force.
func TestTornHeadIsTold(t *testing.T) {
	for head := range 2 {
		path := filepath.Join(t.TempDir(), "cases.db")
		s := mustOpen(t, path)
		if err := s.Create("one", About{}); err != nil {
			t.Fatal(err)
		}
		for range 5 {
			if err := s.Append("one", record("word")); err != nil {
				t.Fatal(err)
			}
		}
		s.Close()
		f, err := os.OpenFile(path, os.O_RDWR, 0o600)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := f.WriteAt([]byte("torn"), int64(head*os.Getpagesize())+headAt+40); err != nil {
			t.Fatal(err)
		}
		f.Close()
		s = mustOpen(t, path)
		if n := s.Notes(); len(n) != 1 || !strings.Contains(n[0], "head") {
			t.Errorf("head %d: told %q", head, n)
		}
		if got, err := s.Turns("one"); err != nil || len(got) < 4 {
			t.Errorf("head %d: %d turns are left: %v", head, len(got), err)
		}
	}
}

// Whoever finds the file in use is told who has it and where to meet them.
func TestHolderIsNamed(t *testing.T) {
	path := filepath.Join(t.TempDir(), "cases.db")
	s := mustOpen(t, path)
	if err := s.Say("the page at http://127.0.0.1:8427"); err != nil {
		t.Fatal(err)
	}
	_, err := Open(path)
	if err == nil || !strings.Contains(err.Error(), "process ") || !strings.Contains(err.Error(), "the page at http://127.0.0.1:8427") {
		t.Errorf("the second opener is told: %v", err)
	}
	s.Close()
	if _, err := os.Stat(path + ".holder"); !os.IsNotExist(err) {
		t.Error("the holder left its name behind")
	}
}

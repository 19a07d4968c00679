package casebook

import (
	"errors"
	"fmt"
	"os"
	"runtime/debug"

	bolt "go.etcd.io/bbolt"
	bolterrors "go.etcd.io/bbolt/errors"
)

// ErrInUse means that another process holds the file.
var ErrInUse = errors.New("in use by another ruleout; close it, or choose another folder with -data")

// ErrDamaged means that the file is not one of cases, or no longer whole.
var ErrDamaged = errors.New("damaged, or not a file of cases; move it away or put a copy back")

// guard runs what reads the file. The library trusts the pages it maps: on a
// damaged file it panics, on a shortened one the system raises a fault. Both
// become errors here.
func guard(do func() error) (err error) {
	defer debug.SetPanicOnFault(debug.SetPanicOnFault(true))
	defer func() {
		if r := recover(); r != nil {
			err = fmt.Errorf("%w (%v)", ErrDamaged, r)
		}
	}()
	return do()
}

func (s *Store) update(do func(*bolt.Tx) error) error {
	return guard(func() error { return s.db.Update(do) })
}

func (s *Store) view(do func(*bolt.Tx) error) error {
	return guard(func() error { return s.db.View(do) })
}

// plainly says in which file and in plain words what the library found.
func plainly(path string, err error) error {
	switch {
	case errors.Is(err, bolterrors.ErrTimeout):
		err = ErrInUse
		if who := (holder{path + ".holder"}).who(); who != "" {
			err = fmt.Errorf("%w; held by %s", ErrInUse, who)
		}
	case errors.Is(err, ErrDamaged), errors.Is(err, os.ErrPermission):
	case errors.Is(err, bolterrors.ErrInvalid), errors.Is(err, bolterrors.ErrChecksum), errors.Is(err, bolterrors.ErrVersionMismatch):
		err = fmt.Errorf("%w (%w)", ErrDamaged, err)
	}
	return fmt.Errorf("the cases in %s: %w", path, err)
}

// sound looks at a file before it is opened for writing, so that a damaged one
// stays as it is. No file, or an empty one, is sound. What is worth knowing
// and harms nothing comes back as notes.
func sound(path string) ([]string, error) {
	st, err := os.Stat(path)
	if errors.Is(err, os.ErrNotExist) || err == nil && st.Size() == 0 {
		return nil, nil
	}
	var notes []string
	err = readOnly(path, func(tx *bolt.Tx) error {
		notes = headNote(path)
		if meta := tx.Bucket(bucketMeta); meta != nil {
			if v := string(meta.Get(keyVersion)); v != version && older[v] == nil {
				return unknownFormat(v)
			}
		}
		if cases := tx.Bucket(bucketCases); cases != nil {
			return cases.ForEachBucket(func([]byte) error { return nil })
		}
		return nil
	})
	return notes, err
}

func headNote(path string) []string {
	if headsWhole(path) {
		return nil
	}
	return []string{path + ": one of its two heads is damaged; the other is in force, and what was told last before the machine stopped may be missing"}
}

func readOnly(path string, look func(*bolt.Tx) error) error {
	err := guard(func() error {
		db, err := bolt.Open(path, 0o600, &bolt.Options{Timeout: lockWait, ReadOnly: true})
		if err != nil {
			return err
		}
		defer db.Close()
		return db.View(func(tx *bolt.Tx) error {
			if st, err := os.Stat(path); err != nil || st.Size() < tx.Size() {
				return fmt.Errorf("%w (its end is missing)", ErrDamaged)
			}
			return look(tx)
		})
	})
	if err != nil {
		return plainly(path, err)
	}
	return nil
}

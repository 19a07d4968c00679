package casebook

import (
	"bytes"
	"encoding/json"
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
	case errors.Is(err, ErrDamaged), errors.Is(err, os.ErrPermission):
	case errors.Is(err, bolterrors.ErrInvalid), errors.Is(err, bolterrors.ErrChecksum), errors.Is(err, bolterrors.ErrVersionMismatch):
		err = fmt.Errorf("%w (%w)", ErrDamaged, err)
	}
	return fmt.Errorf("the cases in %s: %w", path, err)
}

// sound looks at a file before it is opened for writing, so that a damaged one
// stays as it is. No file, or an empty one, is sound.
func sound(path string) error {
	st, err := os.Stat(path)
	if errors.Is(err, os.ErrNotExist) || err == nil && st.Size() == 0 {
		return nil
	}
	return readOnly(path, func(tx *bolt.Tx) error {
		if cases := tx.Bucket(bucketCases); cases != nil {
			return cases.ForEachBucket(func([]byte) error { return nil })
		}
		return nil
	})
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

// Counts is what a file holds.
type Counts struct{ Cases, Turns int }

// Verify reads a whole file, changes nothing and reports what it holds. The
// first thing that is wrong is the error. A file that is not there is an error
// too.
func Verify(path string) (Counts, error) {
	var n Counts
	err := readOnly(path, func(tx *bolt.Tx) error {
		meta, cases := tx.Bucket(bucketMeta), tx.Bucket(bucketCases)
		if meta == nil || cases == nil {
			return fmt.Errorf("%w (it has no cases)", ErrDamaged)
		}
		if v := string(meta.Get(keyVersion)); v != version {
			return fmt.Errorf("its format is %q; this program knows %s", v, version)
		}
		return cases.ForEachBucket(func(id []byte) error {
			n.Cases++
			at := uint64(0)
			return cases.Bucket(id).ForEach(func(k, v []byte) error {
				n.Turns++
				if at++; !bytes.Equal(k, sequence(at)) {
					return fmt.Errorf("%w (case %s: turn %d is missing)", ErrDamaged, id, at)
				}
				var r Record
				if err := json.Unmarshal(v, &r); err != nil {
					return fmt.Errorf("%w (case %s: %w)", ErrDamaged, id, err)
				}
				return nil
			})
		})
	})
	return n, err
}

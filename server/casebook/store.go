// Package casebook keeps cases: append-only lists of turns in one file. A
// turn that was acknowledged is on the disk. Start at Open.
package casebook

import (
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"time"

	bolt "go.etcd.io/bbolt"

	"ruleout/dialog"
)

// version is the format of the file; a newer one is refused, not guessed at.
const version = "1"

var (
	bucketCases = []byte("cases")
	bucketMeta  = []byte("meta")
	keyVersion  = []byte("version")
)

// ErrNotFound means that there is no case with the id.
var ErrNotFound = errors.New("no such case")

// Record is one turn as it was stored. Key is the sender's own name for it:
// the same key sent twice is one turn.
type Record struct {
	Key  string      `json:"key,omitempty"`
	When time.Time   `json:"when"`
	Turn dialog.Turn `json:"turn"`
}

// Summary is a line of the list of cases.
type Summary struct {
	ID    string    `json:"id"`
	When  time.Time `json:"when"`
	First string    `json:"first"`
	Turns int       `json:"turns"`
}

// Store is one file of cases: one process writes, any number of goroutines
// read.
type Store struct{ db *bolt.DB }

// lockWait is how long another process may still hold the file.
const lockWait = time.Second

// Open opens or makes the file. A file held by another process, a damaged one
// and one that holds no cases are errors that say so.
func Open(path string) (*Store, error) {
	if err := os.MkdirAll(filepath.Dir(path), 0o700); err != nil {
		return nil, fmt.Errorf("the folder for the cases: %w", err)
	}
	if err := sound(path); err != nil {
		return nil, err
	}
	var db *bolt.DB
	err := guard(func() (err error) {
		db, err = bolt.Open(path, 0o600, &bolt.Options{Timeout: lockWait})
		return err
	})
	if err != nil {
		return nil, plainly(path, err)
	}
	err = db.Update(func(tx *bolt.Tx) error {
		if _, err := tx.CreateBucketIfNotExists(bucketCases); err != nil {
			return err
		}
		meta, err := tx.CreateBucketIfNotExists(bucketMeta)
		if err != nil {
			return err
		}
		switch v := string(meta.Get(keyVersion)); v {
		case "":
			return meta.Put(keyVersion, []byte(version))
		case version:
			return nil
		default:
			return fmt.Errorf("format %q of the cases in %s is newer than this program knows (%s)", v, path, version)
		}
	})
	if err != nil {
		return nil, errors.Join(err, db.Close())
	}
	return &Store{db}, nil
}

// Close releases the file.
func (s *Store) Close() error { return s.db.Close() }

// Create makes an empty case. An id that is taken is an error.
func (s *Store) Create(id string) error {
	return s.update(func(tx *bolt.Tx) error {
		_, err := tx.Bucket(bucketCases).CreateBucket([]byte(id))
		return err
	})
}

// Append stores a turn; when it returns nil the turn is on the disk.
func (s *Store) Append(id string, r Record) error {
	data, err := json.Marshal(r)
	if err != nil {
		return err
	}
	return s.update(func(tx *bolt.Tx) error {
		b := tx.Bucket(bucketCases).Bucket([]byte(id))
		if b == nil {
			return fmt.Errorf("%w: %s", ErrNotFound, id)
		}
		n, err := b.NextSequence()
		if err != nil {
			return err
		}
		return b.Put(sequence(n), data)
	})
}

// Turns returns the records of a case in the order of telling.
func (s *Store) Turns(id string) ([]Record, error) {
	var out []Record
	err := s.view(func(tx *bolt.Tx) error {
		b := tx.Bucket(bucketCases).Bucket([]byte(id))
		if b == nil {
			return fmt.Errorf("%w: %s", ErrNotFound, id)
		}
		return b.ForEach(func(_, v []byte) error {
			var r Record
			if err := json.Unmarshal(v, &r); err != nil {
				return fmt.Errorf("case %s, turn %d: %w", id, len(out)+1, err)
			}
			out = append(out, r)
			return nil
		})
	})
	return out, err
}

// List returns all cases that have a turn, newest first.
func (s *Store) List() ([]Summary, error) {
	var out []Summary
	err := s.view(func(tx *bolt.Tx) error {
		cases := tx.Bucket(bucketCases)
		return cases.ForEachBucket(func(id []byte) error {
			b := cases.Bucket(id)
			sum := Summary{ID: string(id)}
			err := b.ForEach(func(_, v []byte) error {
				var r Record
				if err := json.Unmarshal(v, &r); err != nil {
					return err
				}
				if sum.Turns == 0 {
					sum.First = r.Turn.Text
				}
				sum.Turns++
				sum.When = r.When
				return nil
			})
			if sum.Turns > 0 {
				out = append(out, sum)
			}
			return err
		})
	})
	sortNewest(out)
	return out, err
}

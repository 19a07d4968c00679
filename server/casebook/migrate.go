package casebook

import (
	"encoding/json"
	"errors"
	"fmt"
	"os"

	bolt "go.etcd.io/bbolt"
)

// version is the format of the file. Format 1 had turns only; format 2 added
// what a case began with, what is attached, lines, vehicles and what other
// garages taught. A newer one is refused, not guessed at.
const version = "2"

// older are the formats that can be brought to this one.
var older = map[string]func(*bolt.Tx) error{"1": from1}

// migrate makes a new file, or brings an older one to this format: all of it
// or nothing, with a copy of the old file beside it.
func (s *Store) migrate() error {
	was := ""
	err := s.view(func(tx *bolt.Tx) error {
		if meta := tx.Bucket(bucketMeta); meta != nil {
			was = string(meta.Get(keyVersion))
		}
		return nil
	})
	if err != nil || was == version {
		return err
	}
	up := older[was]
	if was != "" {
		if up == nil {
			return unknownFormat(was)
		}
		kept := fmt.Sprintf("%s.format%s", s.path, was)
		if err := s.copyTo(kept); err != nil {
			return fmt.Errorf("the file of format %s can't be copied before it is brought to %s: %w", was, version, err)
		}
		s.notes = append(s.notes, fmt.Sprintf("%s was brought from format %s to %s; the old file is kept as %s", s.path, was, version, kept))
	}
	return s.update(func(tx *bolt.Tx) error {
		for _, b := range buckets {
			if _, err := tx.CreateBucketIfNotExists(b); err != nil {
				return err
			}
		}
		meta, err := tx.CreateBucketIfNotExists(bucketMeta)
		if err != nil {
			return err
		}
		if up != nil {
			if err := up(tx); err != nil {
				return err
			}
		}
		return meta.Put(keyVersion, []byte(version))
	})
}

func unknownFormat(was string) error {
	return fmt.Errorf("format %q is newer than this program knows (%s); use the program that wrote it", was, version)
}

// copyTo writes a whole copy of the file, as it is now.
func (s *Store) copyTo(path string) error {
	fresh := path + ".new"
	err := s.view(func(tx *bolt.Tx) error { return tx.CopyFile(fresh, 0o600) })
	if err != nil {
		return errors.Join(err, os.Remove(fresh))
	}
	return os.Rename(fresh, path)
}

// from1 gives each case a beginning: that of its first turn, with nothing
// known before.
func from1(tx *bolt.Tx) error {
	cases := tx.Bucket(bucketCases)
	return cases.ForEachBucket(func(id []byte) error {
		var a About
		if _, v := cases.Bucket(id).Cursor().First(); v != nil {
			var r Record
			if err := json.Unmarshal(v, &r); err != nil {
				return fmt.Errorf("%w (case %s: %w)", ErrDamaged, id, err)
			}
			a.Begun = r.When
		}
		return put(tx.Bucket(bucketAbout), id, a)
	})
}

package casebook

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"time"

	bolt "go.etcd.io/bbolt"
)

// Attached is a note or a photo that belongs to a turn of a case.
type Attached struct {
	// Number names it within the case; it is not stored.
	Number int       `json:"number"`
	Turn   int       `json:"turn"`
	When   time.Time `json:"when"`
	Note   string    `json:"note,omitempty"`
	// Photo is the name of the file: the SHA-256 of its content and .jpg or
	// .png.
	Photo  string `json:"photo,omitempty"`
	Width  int    `json:"width,omitempty"`
	Height int    `json:"height,omitempty"`
}

// AttachedMost is how many notes and photos a case may have.
const AttachedMost = 200

// ErrTooMany means that a case has as many notes and photos as it may.
var ErrTooMany = errors.New("the case has as many notes and photos as it may (200); take some away")

// photoName is what a photo's file may be called.
var photoName = regexp.MustCompile(`^[0-9a-f]{64}\.(jpg|png)$`)

// PhotoName reports whether a name can be that of a photo.
func PhotoName(name string) bool { return photoName.MatchString(name) }

// photos is the folder beside the file.
func photosOf(path string) string { return filepath.Join(filepath.Dir(path), "photos") }

// Attach keeps a note for a turn and returns its number.
func (s *Store) Attach(id string, a Attached) (int, error) {
	n := 0
	err := s.update(func(tx *bolt.Tx) error {
		if tx.Bucket(bucketCases).Bucket([]byte(id)) == nil {
			return fmt.Errorf("%w: %s", ErrNotFound, id)
		}
		list, err := tx.Bucket(bucketAttached).CreateBucketIfNotExists([]byte(id))
		if err != nil {
			return err
		}
		if list.Stats().KeyN >= AttachedMost {
			return ErrTooMany
		}
		if err := appendTo(tx.Bucket(bucketAttached), id, a); err != nil {
			return err
		}
		n = int(list.Sequence())
		return nil
	})
	return n, err
}

// AttachPhoto keeps a photo, whose bytes are of the kind jpg or png, and
// returns its number and name. The photo is on the disk before the case speaks
// of it.
func (s *Store) AttachPhoto(id string, a Attached, kind string, data []byte) (int, string, error) {
	if _, err := s.About(id); err != nil {
		return 0, "", err
	}
	sum := sha256.Sum256(data)
	a.Photo = hex.EncodeToString(sum[:]) + "." + kind
	if err := s.keepPhoto(a.Photo, data); err != nil {
		return 0, "", err
	}
	n, err := s.Attach(id, a)
	if err != nil {
		return 0, "", errors.Join(err, s.dropPhotos([]Attached{a}))
	}
	return n, a.Photo, nil
}

// keepPhoto writes a photo's file, whole or not at all.
func (s *Store) keepPhoto(name string, data []byte) error {
	if !PhotoName(name) {
		return fmt.Errorf("%q can't be the name of a photo", name)
	}
	folder := photosOf(s.path)
	if err := os.MkdirAll(folder, 0o700); err != nil {
		return err
	}
	f, err := os.CreateTemp(folder, "new-*")
	if err != nil {
		return err
	}
	_, err = f.Write(data)
	if err = errors.Join(err, f.Sync(), f.Close()); err == nil {
		err = os.Rename(f.Name(), filepath.Join(folder, name))
	}
	if err != nil {
		return errors.Join(err, os.Remove(f.Name()))
	}
	return nil
}

// Photo returns the bytes of a photo.
func (s *Store) Photo(name string) ([]byte, error) {
	if !PhotoName(name) {
		return nil, fmt.Errorf("%w: photo %q", ErrNotFound, name)
	}
	data, err := os.ReadFile(filepath.Join(photosOf(s.path), name))
	if errors.Is(err, os.ErrNotExist) {
		return nil, fmt.Errorf("%w: photo %s", ErrNotFound, name)
	}
	return data, err
}

// Attached returns the notes and photos of a case in the order in which they
// came.
func (s *Store) Attached(id string) ([]Attached, error) {
	var out []Attached
	err := s.view(func(tx *bolt.Tx) (err error) {
		if tx.Bucket(bucketCases).Bucket([]byte(id)) == nil {
			return fmt.Errorf("%w: %s", ErrNotFound, id)
		}
		out, err = attached(tx, id)
		return err
	})
	return out, err
}

// attached reads the list with its numbers.
func attached(tx *bolt.Tx, id string) ([]Attached, error) {
	list := tx.Bucket(bucketAttached).Bucket([]byte(id))
	if list == nil {
		return nil, nil
	}
	out, err := listOf[Attached](tx.Bucket(bucketAttached), id)
	if err != nil {
		return nil, err
	}
	i := 0
	err = list.ForEach(func(k, _ []byte) error { out[i].Number = int(number(k)); i++; return nil })
	return out, err
}

// Detach takes a note or photo away.
func (s *Store) Detach(id string, n int) error {
	var gone []Attached
	err := s.update(func(tx *bolt.Tx) error {
		list, err := attached(tx, id)
		if err != nil {
			return err
		}
		for _, a := range list {
			if a.Number == n {
				gone = append(gone, a)
				return tx.Bucket(bucketAttached).Bucket([]byte(id)).Delete(sequence(uint64(n)))
			}
		}
		return fmt.Errorf("%w: note %d of %s", ErrNotFound, n, id)
	})
	if err != nil {
		return err
	}
	return s.dropPhotos(gone)
}

// dropPhotos removes the files of photos that no case has any more.
func (s *Store) dropPhotos(gone []Attached) error {
	names := map[string]bool{}
	for _, a := range gone {
		if a.Photo != "" {
			names[a.Photo] = true
		}
	}
	if len(names) == 0 {
		return nil
	}
	err := s.view(func(tx *bolt.Tx) error {
		all := tx.Bucket(bucketAttached)
		return all.ForEachBucket(func(id []byte) error {
			list, err := listOf[Attached](all, string(id))
			for _, a := range list {
				delete(names, a.Photo)
			}
			return err
		})
	})
	if err != nil {
		return err
	}
	for name := range names {
		if e := os.Remove(filepath.Join(photosOf(s.path), name)); e != nil && !errors.Is(e, os.ErrNotExist) {
			err = errors.Join(err, e)
		}
	}
	return err
}

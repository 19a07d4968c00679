package casebook

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"

	bolt "go.etcd.io/bbolt"

	"ruleout/dialog/learn"
)

// Counts is what a file holds.
type Counts struct {
	Cases, Turns, Attached, Photos, Vehicles int
	// Notes are things worth knowing that harm nothing.
	Notes []string
}

// Verify reads a whole file and the photos beside it, changes nothing and
// reports what it holds. The first thing that is wrong is the error. A file
// that is not there is an error too.
func Verify(path string) (Counts, error) {
	var n Counts
	err := readOnly(path, func(tx *bolt.Tx) error {
		n.Notes = headNote(path)
		meta, cases := tx.Bucket(bucketMeta), tx.Bucket(bucketCases)
		if meta == nil || cases == nil {
			return fmt.Errorf("%w (it has no cases)", ErrDamaged)
		}
		v := string(meta.Get(keyVersion))
		if v != version && older[v] == nil {
			return unknownFormat(v)
		}
		if err := n.turns(cases); err != nil || v != version {
			if v != version {
				n.Notes = append(n.Notes, fmt.Sprintf("format %s; it is brought to %s when it is next opened", v, version))
			}
			return err
		}
		for _, b := range buckets {
			if tx.Bucket(b) == nil {
				return fmt.Errorf("%w (its part %q is missing)", ErrDamaged, b)
			}
		}
		return n.rest(tx, photosOf(path))
	})
	return n, err
}

// turns reads all turns.
func (n *Counts) turns(cases *bolt.Bucket) error {
	return cases.ForEachBucket(func(id []byte) error {
		n.Cases++
		at := uint64(0)
		return cases.Bucket(id).ForEach(func(k, v []byte) error {
			n.Turns++
			if at++; !bytes.Equal(k, sequence(at)) {
				return fmt.Errorf("%w (case %s: turn %d is missing)", ErrDamaged, id, at)
			}
			return readable[Record](v, "case %s, turn %d", id, at)
		})
	})
}

func readable[T any](data []byte, format string, args ...any) error {
	var v T
	if err := json.Unmarshal(data, &v); err != nil {
		return fmt.Errorf("%w (%s: %w)", ErrDamaged, fmt.Sprintf(format, args...), err)
	}
	return nil
}

// rest reads all that belongs to the cases.
func (n *Counts) rest(tx *bolt.Tx, photos string) error {
	cases, about := tx.Bucket(bucketCases), tx.Bucket(bucketAbout)
	err := cases.ForEachBucket(func(id []byte) error {
		if about.Get(id) == nil {
			return fmt.Errorf("%w (case %s has no beginning)", ErrDamaged, id)
		}
		return readable[About](about.Get(id), "case %s, its beginning", id)
	})
	if err != nil {
		return err
	}
	seen := map[string]bool{}
	all := tx.Bucket(bucketAttached)
	err = all.ForEachBucket(func(id []byte) error {
		list, err := listOf[Attached](all, string(id))
		if err != nil {
			return fmt.Errorf("%w (%w)", ErrDamaged, err)
		}
		for _, a := range list {
			n.Attached++
			if a.Photo == "" || seen[a.Photo] {
				continue
			}
			seen[a.Photo] = true
			n.Photos++
			if err := wholePhoto(photos, a.Photo); err != nil {
				return fmt.Errorf("case %s: %w", id, err)
			}
		}
		return nil
	})
	if err != nil {
		return err
	}
	err = tx.Bucket(bucketVehicles).ForEach(func(k, v []byte) error {
		n.Vehicles++
		return readable[Vehicle](v, "vehicle %s", k)
	})
	if err != nil {
		return err
	}
	if files, err := os.ReadDir(photos); err == nil {
		for _, f := range files {
			if PhotoName(f.Name()) && !seen[f.Name()] || strings.HasPrefix(f.Name(), "new-") {
				n.Notes = append(n.Notes, fmt.Sprintf("the photo %s belongs to no case and may be deleted", filepath.Join(photos, f.Name())))
			}
		}
	}
	return tx.Bucket(bucketForeign).ForEach(func(k, v []byte) error { return readable[learn.Entry](v, "what was learned of %s", k) })
}

// wholePhoto holds a photo to its name, which is the sum of its bytes.
func wholePhoto(folder, name string) error {
	if !PhotoName(name) {
		return fmt.Errorf("%w (the photo is called %q)", ErrDamaged, name)
	}
	data, err := os.ReadFile(filepath.Join(folder, name))
	if errors.Is(err, os.ErrNotExist) {
		return fmt.Errorf("the photo %s is missing; put a copy back, or take the photo out of the case", name)
	}
	if err != nil {
		return err
	}
	if sum := sha256.Sum256(data); !strings.HasPrefix(name, hex.EncodeToString(sum[:])) {
		return fmt.Errorf("the photo %s is damaged; put a copy back, or take the photo out of the case", name)
	}
	return nil
}

func sorted[V any](m map[string]V) []string {
	keys := make([]string, 0, len(m))
	for k := range m {
		keys = append(keys, k)
	}
	slices.Sort(keys)
	return keys
}

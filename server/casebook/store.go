// Package casebook keeps cases in one file: append-only lists of turns, what
// each began with, notes and photos beside them, vehicle sheets, and what
// closed cases taught. What was acknowledged is on the disk. Start at Open.
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

var (
	bucketCases    = []byte("cases")    // by case: turns in order
	bucketAbout    = []byte("about")    // by case: About
	bucketAttached = []byte("attached") // by case: Attached, in order
	bucketLines    = []byte("lines")    // by case: Line
	bucketVehicles = []byte("vehicles") // by id: Vehicle
	bucketForeign  = []byte("foreign")  // by case: learn.Entry of other garages
	bucketMeta     = []byte("meta")
	keyVersion     = []byte("version")
)

// buckets are all that a file of this format has, besides bucketMeta.
var buckets = [][]byte{bucketCases, bucketAbout, bucketAttached, bucketLines, bucketVehicles, bucketForeign}

// ErrNotFound means that there is nothing with the id.
var ErrNotFound = errors.New("nothing is kept under that name")

// Record is one turn as it was stored. Key is the sender's own name for it:
// the same key sent twice is one turn.
type Record struct {
	Key  string      `json:"key,omitempty"`
	When time.Time   `json:"when"`
	Turn dialog.Turn `json:"turn"`
}

// About is what a case began with. Given never changes, so that the case
// replays to the same bytes.
type About struct {
	Begun time.Time `json:"begun"`
	// Vehicle is the id of its sheet, if any.
	Vehicle string       `json:"vehicle,omitempty"`
	Given   dialog.Given `json:"given"`
	// Ended is how the case was closed other than by a proven cure, if it was.
	Ended *Ended `json:"ended,omitempty"`
}

// Ended is how a case was closed other than by a proven cure. It holds until
// another turn is told.
type Ended struct {
	// As is EndedElse or EndedShop; Note says what it was, or who has it.
	As   string `json:"as"`
	Note string `json:"note"`
	// Turns is how many turns the case had then.
	Turns int `json:"turns"`
}

// Ways in which a case may be closed without a proven cause.
const (
	EndedElse = "something else" // it was none of the causes with an article
	EndedShop = "handed over"
)

// Summary is a line of the list of cases.
type Summary struct {
	ID    string    `json:"id"`
	When  time.Time `json:"when"`
	First string    `json:"first"`
	Turns int       `json:"turns"`
}

// Store is one file of cases: one process writes, any number of goroutines
// read.
type Store struct {
	db     *bolt.DB
	path   string
	notes  []string
	holder holder
}

// lockWait is how long another process may still hold the file.
const lockWait = time.Second

// Open opens or makes the file, brings an older format to this one and cuts
// what a write left half done; Notes tells of both. A file held by another
// process, a damaged one and one that holds no cases are errors that say so.
func Open(path string) (*Store, error) {
	if err := os.MkdirAll(filepath.Dir(path), 0o700); err != nil {
		return nil, fmt.Errorf("the folder for the cases: %w", err)
	}
	notes, err := sound(path)
	if err != nil {
		return nil, err
	}
	s := &Store{path: path, notes: notes, holder: holder{path + ".holder"}}
	if err := s.open(); err != nil {
		return nil, err
	}
	cut, err := s.cutTail()
	if err == nil && cut > 0 {
		s.notes = append(s.notes, fmt.Sprintf("%d bytes of a write that was never finished were cut off the end of %s; nothing that was acknowledged is lost", cut, path))
		if err = s.db.Close(); err == nil {
			err = s.open()
		}
	}
	if err == nil {
		err = s.migrate()
	}
	if err == nil {
		err = s.holder.write("")
	}
	if err != nil {
		return nil, errors.Join(fmt.Errorf("the cases in %s: %w", path, err), s.db.Close())
	}
	return s, nil
}

func (s *Store) open() error {
	err := guard(func() (err error) {
		s.db, err = bolt.Open(s.path, 0o600, &bolt.Options{Timeout: lockWait})
		return err
	})
	if err != nil {
		return plainly(s.path, err)
	}
	return nil
}

// Notes tells what opening the file had to mend.
func (s *Store) Notes() []string { return s.notes }

// Say tells whoever finds the file in use where its holder can be met, such as
// the address of its page.
func (s *Store) Say(where string) error { return s.holder.write(where) }

// Close releases the file.
func (s *Store) Close() error {
	s.holder.drop()
	return s.db.Close()
}

// Create makes an empty case. An id that is taken is an error.
func (s *Store) Create(id string, a About) error {
	return s.update(func(tx *bolt.Tx) error {
		if _, err := tx.Bucket(bucketCases).CreateBucket([]byte(id)); err != nil {
			return err
		}
		return put(tx.Bucket(bucketAbout), []byte(id), a)
	})
}

// Append stores a turn; when it returns nil the turn is on the disk.
func (s *Store) Append(id string, r Record) error {
	return s.update(func(tx *bolt.Tx) error { return appendTo(tx.Bucket(bucketCases), id, r) })
}

// About returns what a case began with.
func (s *Store) About(id string) (About, error) {
	var a About
	err := s.view(func(tx *bolt.Tx) error { return get(tx.Bucket(bucketAbout), id, &a) })
	return a, err
}

// Adopt makes a sheet that of a case.
func (s *Store) Adopt(id, vehicle string) error {
	return s.update(func(tx *bolt.Tx) error {
		var a About
		if err := get(tx.Bucket(bucketAbout), id, &a); err != nil {
			return err
		}
		a.Vehicle = vehicle
		return put(tx.Bucket(bucketAbout), []byte(id), a)
	})
}

// End closes a case other than by a proven cure; nil opens it again.
func (s *Store) End(id string, e *Ended) error {
	return s.update(func(tx *bolt.Tx) error {
		var a About
		if err := get(tx.Bucket(bucketAbout), id, &a); err != nil {
			return err
		}
		a.Ended = e
		return errors.Join(put(tx.Bucket(bucketAbout), []byte(id), a), tx.Bucket(bucketLines).Delete([]byte(id)))
	})
}

// Turns returns the records of a case in the order of telling.
func (s *Store) Turns(id string) ([]Record, error) {
	var out []Record
	err := s.view(func(tx *bolt.Tx) (err error) {
		out, err = listOf[Record](tx.Bucket(bucketCases), id)
		return err
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
			_, first := b.Cursor().First()
			last, latest := b.Cursor().Last()
			if first == nil {
				return nil
			}
			var a, z Record
			if err := errors.Join(json.Unmarshal(first, &a), json.Unmarshal(latest, &z)); err != nil {
				return fmt.Errorf("case %s: %w", id, err)
			}
			out = append(out, Summary{ID: string(id), When: z.When, First: a.Turn.Text, Turns: int(number(last))})
			return nil
		})
	})
	sortNewest(out)
	return out, err
}

// Delete drops a case with all that belongs to it. Photos that no other case
// has are removed too.
func (s *Store) Delete(id string) error {
	mine, err := s.Attached(id)
	if err != nil {
		return err
	}
	err = s.update(func(tx *bolt.Tx) error {
		if tx.Bucket(bucketCases).Bucket([]byte(id)) == nil {
			return fmt.Errorf("%w: %s", ErrNotFound, id)
		}
		if err := tx.Bucket(bucketCases).DeleteBucket([]byte(id)); err != nil {
			return err
		}
		if tx.Bucket(bucketAttached).Bucket([]byte(id)) != nil {
			if err := tx.Bucket(bucketAttached).DeleteBucket([]byte(id)); err != nil {
				return err
			}
		}
		return errors.Join(tx.Bucket(bucketAbout).Delete([]byte(id)), tx.Bucket(bucketLines).Delete([]byte(id)), tx.Bucket(bucketForeign).Delete([]byte(id)))
	})
	if err != nil {
		return err
	}
	return s.dropPhotos(mine)
}

// Line is what a case came to when it was last answered: it saves replaying
// all cases to list them, and is made anew when turns were added since.
type Line struct {
	Turns int `json:"turns"`
	// State is open, on trial, cured, handed over or something else.
	State string `json:"state"`
	// Title is what the case is about, in words; Recap says where it stands.
	Title string   `json:"title"`
	Recap []string `json:"recap,omitempty"`
	// Causes are the ids of the causes that were it.
	Causes []string `json:"causes,omitempty"`
	// Minutes are how long checks took, by id.
	Minutes map[string]float64 `json:"minutes,omitempty"`
	// Vehicle is the vehicle in words; Said and Found are the words that the
	// case is found by: a person's own, and those of what was found.
	Vehicle string `json:"vehicle,omitempty"`
	Said    string `json:"said,omitempty"`
	// Chief is the id of the symptom the case is about.
	Chief string `json:"chief,omitempty"`
	Found string `json:"found,omitempty"`
	// Armed is a check that is prepared for when the trouble next shows.
	Armed []string `json:"armed,omitempty"`
}

// Lines returns the lines that were kept, by case.
func (s *Store) Lines() (map[string]Line, error) {
	out := map[string]Line{}
	err := s.view(func(tx *bolt.Tx) error {
		return tx.Bucket(bucketLines).ForEach(func(k, v []byte) error {
			var l Line
			if json.Unmarshal(v, &l) == nil { // one that can't be read is made anew
				out[string(k)] = l
			}
			return nil
		})
	})
	return out, err
}

// KeepLines stores lines of cases that still are there.
func (s *Store) KeepLines(lines map[string]Line) error {
	return s.update(func(tx *bolt.Tx) error {
		for id, l := range lines {
			if tx.Bucket(bucketCases).Bucket([]byte(id)) == nil {
				continue
			}
			if err := put(tx.Bucket(bucketLines), []byte(id), l); err != nil {
				return err
			}
		}
		return nil
	})
}

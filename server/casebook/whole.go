package casebook

import (
	"fmt"
	"slices"

	bolt "go.etcd.io/bbolt"
)

// Whole is a case with all that belongs to it, as it is exported and imported.
// Photos are kept beside it.
type Whole struct {
	ID       string
	About    About
	Records  []Record
	Attached []Attached
}

// Whole returns a case with all that belongs to it.
func (s *Store) Whole(id string) (Whole, error) {
	w := Whole{ID: id}
	err := s.view(func(tx *bolt.Tx) (err error) {
		if err := get(tx.Bucket(bucketAbout), id, &w.About); err != nil {
			return err
		}
		if w.Records, err = listOf[Record](tx.Bucket(bucketCases), id); err != nil {
			return err
		}
		w.Attached, err = attached(tx, id)
		return err
	})
	return w, err
}

// Imported counts what an import brought.
type Imported struct {
	Cases    int `json:"cases"`    // new ones
	Longer   int `json:"longer"`   // known ones that had gone on elsewhere
	Same     int `json:"same"`     // known ones with nothing new
	Vehicles int `json:"vehicles"` // new sheets
	Photos   int `json:"photos"`
}

// Import takes whole cases, sheets and photos: all of them or, with an error,
// none. A case that is known must be the same as far as both go; the longer
// one stays. A sheet that is known stays as it is.
func (s *Store) Import(cases []Whole, vehicles []Vehicle, photos map[string][]byte) (Imported, error) {
	var n Imported
	// Photos first: a case must never speak of one that is not there.
	for _, name := range sorted(photos) {
		if err := s.keepPhoto(name, photos[name]); err != nil {
			return n, err
		}
		n.Photos++
	}
	err := s.update(func(tx *bolt.Tx) error {
		for _, v := range vehicles {
			if tx.Bucket(bucketVehicles).Get([]byte(v.ID)) != nil {
				continue
			}
			n.Vehicles++
			if err := put(tx.Bucket(bucketVehicles), []byte(v.ID), v); err != nil {
				return err
			}
		}
		for _, w := range cases {
			if err := importCase(tx, w, &n); err != nil {
				return err
			}
		}
		return nil
	})
	if err != nil {
		var all []Attached
		for name := range photos {
			all = append(all, Attached{Photo: name})
		}
		_ = s.dropPhotos(all) // those that belong to no case
		return Imported{}, err
	}
	return n, nil
}

func importCase(tx *bolt.Tx, w Whole, n *Imported) error {
	cases := tx.Bucket(bucketCases)
	have := 0
	if cases.Bucket([]byte(w.ID)) == nil {
		n.Cases++
		if _, err := cases.CreateBucket([]byte(w.ID)); err != nil {
			return err
		}
		if err := put(tx.Bucket(bucketAbout), []byte(w.ID), w.About); err != nil {
			return err
		}
	} else {
		known, err := listOf[Record](cases, w.ID)
		if err != nil {
			return err
		}
		both := min(len(known), len(w.Records))
		for i := range both {
			if !known[i].When.Equal(w.Records[i].When) || known[i].Turn.Text != w.Records[i].Turn.Text {
				return fmt.Errorf("case %s is known here and goes another way from turn %d on (“%.60s” here, “%.60s” in the file); delete one of the two and import again", w.ID, i+1, known[i].Turn.Text, w.Records[i].Turn.Text)
			}
		}
		if have = len(known); have < len(w.Records) {
			n.Longer++
		} else {
			n.Same++
		}
	}
	for _, r := range w.Records[min(have, len(w.Records)):] {
		if err := appendTo(cases, w.ID, r); err != nil {
			return err
		}
	}
	known, err := attached(tx, w.ID)
	if err != nil {
		return err
	}
	for _, a := range w.Attached {
		if slices.ContainsFunc(known, func(k Attached) bool {
			return k.Turn == a.Turn && k.Note == a.Note && k.Photo == a.Photo && k.When.Equal(a.When)
		}) {
			continue
		}
		if _, err := tx.Bucket(bucketAttached).CreateBucketIfNotExists([]byte(w.ID)); err != nil {
			return err
		}
		if err := appendTo(tx.Bucket(bucketAttached), w.ID, a); err != nil {
			return err
		}
	}
	return tx.Bucket(bucketLines).Delete([]byte(w.ID))
}

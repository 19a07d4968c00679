package casebook

import (
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"time"

	bolt "go.etcd.io/bbolt"

	"ruleout/dialog/learn"
)

// Vehicle is a sheet: what is known about one vehicle across its cases.
type Vehicle struct {
	ID   string `json:"id"`
	Name string `json:"name"`
	// Facts are attributes of the vehicle, as a case begins with them.
	Facts map[string]string `json:"facts"`
	// Arrangements are how circuits turned out to be wired, by circuit.
	Arrangements map[string]string `json:"arrangements,omitempty"`
	Notes        string            `json:"notes,omitempty"`
	Changed      time.Time         `json:"changed"`
}

// VehiclesMost is how many sheets a file may hold.
const VehiclesMost = 1000

// PutVehicle stores a sheet; when it returns nil the sheet is on the disk.
func (s *Store) PutVehicle(v Vehicle) error {
	return s.update(func(tx *bolt.Tx) error {
		b := tx.Bucket(bucketVehicles)
		if b.Get([]byte(v.ID)) == nil && b.Stats().KeyN >= VehiclesMost {
			return fmt.Errorf("there are %d vehicles already, the most there may be", VehiclesMost)
		}
		return put(b, []byte(v.ID), v)
	})
}

// Vehicle returns a sheet.
func (s *Store) Vehicle(id string) (Vehicle, error) {
	var v Vehicle
	err := s.view(func(tx *bolt.Tx) error { return get(tx.Bucket(bucketVehicles), id, &v) })
	return v, err
}

// Vehicles returns all sheets by name, ties by id.
func (s *Store) Vehicles() ([]Vehicle, error) {
	var out []Vehicle
	err := s.view(func(tx *bolt.Tx) error {
		return tx.Bucket(bucketVehicles).ForEach(func(k, v []byte) error {
			var one Vehicle
			if err := json.Unmarshal(v, &one); err != nil {
				return fmt.Errorf("vehicle %s: %w", k, err)
			}
			out = append(out, one)
			return nil
		})
	})
	slices.SortFunc(out, func(a, b Vehicle) int {
		if c := strings.Compare(strings.ToLower(a.Name), strings.ToLower(b.Name)); c != 0 {
			return c
		}
		return strings.Compare(a.ID, b.ID)
	})
	return out, err
}

// DeleteVehicle drops a sheet; its cases stay, with the facts they began with.
func (s *Store) DeleteVehicle(id string) error {
	return s.update(func(tx *bolt.Tx) error {
		b := tx.Bucket(bucketVehicles)
		if id == "" || b.Get([]byte(id)) == nil {
			return fmt.Errorf("%w: vehicle %s", ErrNotFound, id)
		}
		return b.Delete([]byte(id))
	})
}

// VehicleOf returns the id of the sheet each case began with.
func (s *Store) VehicleOf() (map[string]string, error) {
	out := map[string]string{}
	err := s.view(func(tx *bolt.Tx) error {
		return tx.Bucket(bucketAbout).ForEach(func(k, v []byte) error {
			var a About
			if err := json.Unmarshal(v, &a); err != nil {
				return fmt.Errorf("case %s: %w", k, err)
			}
			if a.Vehicle != "" {
				out[string(k)] = a.Vehicle
			}
			return nil
		})
	})
	return out, err
}

// Foreign returns what other garages taught.
func (s *Store) Foreign() (learn.Ledger, error) {
	out := learn.Ledger{}
	err := s.view(func(tx *bolt.Tx) error {
		return tx.Bucket(bucketForeign).ForEach(func(k, v []byte) error {
			var e learn.Entry
			if err := json.Unmarshal(v, &e); err != nil {
				return fmt.Errorf("what was learned of %s: %w", k, err)
			}
			out[string(k)] = e
			return nil
		})
	})
	return out, err
}

// MergeForeign joins in what another garage taught.
func (s *Store) MergeForeign(l learn.Ledger) error {
	mine, err := s.Foreign()
	if err != nil {
		return err
	}
	return s.update(func(tx *bolt.Tx) error {
		for id, e := range learn.Merge(mine, l) {
			if err := put(tx.Bucket(bucketForeign), []byte(id), e); err != nil {
				return err
			}
		}
		return nil
	})
}

package casebook

import (
	"encoding/binary"
	"encoding/json"
	"fmt"
	"slices"
	"strings"

	bolt "go.etcd.io/bbolt"
)

// sequence is a key that sorts by number; number reads it.
func sequence(n uint64) []byte { return binary.BigEndian.AppendUint64(nil, n) }

func number(key []byte) uint64 {
	if len(key) != 8 {
		return 0
	}
	return binary.BigEndian.Uint64(key)
}

// sortNewest orders summaries by time, newest first, ties by id.
func sortNewest(s []Summary) {
	slices.SortFunc(s, func(a, b Summary) int {
		if c := b.When.Compare(a.When); c != 0 {
			return c
		}
		return strings.Compare(a.ID, b.ID)
	})
}

func put(b *bolt.Bucket, key []byte, v any) error {
	data, err := json.Marshal(v)
	if err != nil {
		return err
	}
	return b.Put(key, data)
}

// get reads the value of an id.
func get(b *bolt.Bucket, id string, into any) error {
	data := b.Get([]byte(id))
	if id == "" || data == nil {
		return fmt.Errorf("%w: %s", ErrNotFound, id)
	}
	return json.Unmarshal(data, into)
}

// appendTo adds a value to the list of an id.
func appendTo(b *bolt.Bucket, id string, v any) error {
	list := b.Bucket([]byte(id))
	if list == nil {
		return fmt.Errorf("%w: %s", ErrNotFound, id)
	}
	n, err := list.NextSequence()
	if err != nil {
		return err
	}
	return put(list, sequence(n), v)
}

// listOf reads the list of an id.
func listOf[T any](b *bolt.Bucket, id string) ([]T, error) {
	list := b.Bucket([]byte(id))
	if list == nil {
		return nil, fmt.Errorf("%w: %s", ErrNotFound, id)
	}
	var out []T
	err := list.ForEach(func(_, v []byte) error {
		var one T
		if err := json.Unmarshal(v, &one); err != nil {
			return fmt.Errorf("%s, entry %d: %w", id, len(out)+1, err)
		}
		out = append(out, one)
		return nil
	})
	return out, err
}

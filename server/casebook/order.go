package casebook

import (
	"encoding/binary"
	"slices"
	"strings"
)

// sequence is a key that sorts by number.
func sequence(n uint64) []byte { return binary.BigEndian.AppendUint64(nil, n) }

// sortNewest orders summaries by time, newest first, ties by id.
func sortNewest(s []Summary) {
	slices.SortFunc(s, func(a, b Summary) int {
		if c := b.When.Compare(a.When); c != 0 {
			return c
		}
		return strings.Compare(a.ID, b.ID)
	})
}

package casebook

import (
	"encoding/binary"
	"errors"
	"hash/fnv"
	"io"
	"os"

	bolt "go.etcd.io/bbolt"
)

// cutTail cuts what an unfinished write left behind the last page in use and
// returns how many bytes of it there were. Space that the file only reserved
// holds zeros and is left. The lock is held, and nothing is being written.
func (s *Store) cutTail() (int64, error) {
	var used int64
	if err := s.view(func(tx *bolt.Tx) error { used = tx.Size(); return nil }); err != nil {
		return 0, err
	}
	f, err := os.OpenFile(s.path, os.O_RDWR, 0o600)
	if err != nil {
		return 0, err
	}
	defer f.Close()
	if _, err := f.Seek(used, io.SeekStart); err != nil {
		return 0, err
	}
	var at, last int64
	buf := make([]byte, 64<<10)
	for {
		n, err := f.Read(buf)
		for i, b := range buf[:n] {
			if b != 0 {
				last = at + int64(i) + 1
			}
		}
		at += int64(n)
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return 0, err
		}
	}
	if last == 0 {
		return 0, nil
	}
	if err := f.Truncate(used); err != nil {
		return 0, err
	}
	return last, f.Sync()
}

// The file begins with two heads, written in turn; the newer one is in force.
// Layout of a head: page header 16 bytes, then magic, version, page size and
// flags of 4 bytes, root 16, free list 8, first unused page 8, transaction 8,
// and the FNV-1a sum of all that, 8 bytes, in the machine's byte order.
const (
	headAt   = 16
	headSum  = 56
	headMost = headAt + headSum + 8
)

// headsWhole reports whether both heads are. One that is not was being written
// when the machine stopped: the other is in force, and what was told last may
// be missing.
func headsWhole(path string) bool {
	f, err := os.Open(path)
	if err != nil {
		return true // told elsewhere
	}
	defer f.Close()
	whole := func(at int64) (pageSize int64, ok bool) {
		buf := make([]byte, headMost)
		if _, err := f.ReadAt(buf, at); err != nil {
			return 0, false
		}
		sum := fnv.New64a()
		sum.Write(buf[headAt : headAt+headSum])
		return int64(binary.NativeEndian.Uint32(buf[headAt+8:])), sum.Sum64() == binary.NativeEndian.Uint64(buf[headAt+headSum:])
	}
	size, ok := whole(0)
	if !ok {
		return false
	}
	_, ok = whole(size)
	return ok
}

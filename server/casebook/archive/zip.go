package archive

import (
	"archive/zip"
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"path"
	"regexp"
	"strings"

	"ruleout/dialog/learn"
	"ruleout/server/casebook"
	pic "ruleout/server/casebook/photo"
)

// Limits of an archive.
const (
	BytesMost    = 256 << 20 // as it comes in
	filesMost    = 20000
	unpackedMost = 512 << 20
	photoMost    = 16 << 20
)

// Contents is everything that an archive holds.
type Contents struct {
	Cases    []casebook.Whole
	Vehicles []casebook.Vehicle
	Photos   map[string][]byte
	Ledger   learn.Ledger
}

const readme = `An archive of cases of Ruleout.

cases/      one readable file a case: what was said, what was answered
photos/     photos that belong to turns, named by the SHA-256 of their bytes
vehicles.yaml  the vehicle sheets
learned.yaml   which cause it was in each closed case, without any words

Bring it in with the page All jobs, or: go run ./server cases -import FILE
`

// Write writes an archive. Answer gives the reply to a turn of a case, to be
// read by people; it may be nil. Photo gives the bytes of a photo.
func Write(w io.Writer, c Contents, answer func(id string, n int) string, photo func(name string) ([]byte, error)) error {
	z := zip.NewWriter(w)
	add := func(name string, data []byte, err error) error {
		if err != nil {
			return err
		}
		method := zip.Deflate
		if strings.HasPrefix(name, "photos/") {
			method = zip.Store // compressed already
		}
		f, err := z.CreateHeader(&zip.FileHeader{Name: name, Method: method})
		if err != nil {
			return err
		}
		_, err = f.Write(data)
		return err
	}
	if err := add("README.txt", []byte(readme), nil); err != nil {
		return err
	}
	written := map[string]bool{}
	for _, one := range c.Cases {
		var of func(int) string
		if answer != nil {
			of = func(n int) string { return answer(one.ID, n) }
		}
		data, err := WriteCase(one, of)
		if err := add("cases/"+one.ID+".yaml", data, err); err != nil {
			return err
		}
		for _, a := range one.Attached {
			if a.Photo == "" || written[a.Photo] {
				continue
			}
			written[a.Photo] = true
			data, err := photo(a.Photo)
			if err := add("photos/"+a.Photo, data, err); err != nil {
				return err
			}
		}
	}
	data, err := WriteVehicles(c.Vehicles)
	if err := add("vehicles.yaml", data, err); err != nil {
		return err
	}
	data, err = WriteLedger(c.Ledger)
	if err := add("learned.yaml", data, err); err != nil {
		return err
	}
	return z.Close()
}

var caseName = regexp.MustCompile(`^cases/([a-z0-9][a-z0-9-]{0,39})\.yaml$`)

// Read reads an archive whole and refuses it at the first thing that is wrong.
// Nothing is ever written by the names in it.
func Read(data []byte) (Contents, error) {
	c := Contents{Photos: map[string][]byte{}, Ledger: learn.Ledger{}}
	if len(data) > BytesMost {
		return c, fault("the archive", "export fewer cases at a time", "it is larger than %d MiB", BytesMost>>20)
	}
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil && !errors.Is(err, zip.ErrInsecurePath) {
		return c, fault("the archive", "export it again", "it is no whole ZIP file")
	}
	if len(z.File) > filesMost {
		return c, fault("the archive", "export fewer cases at a time", "it has %d files; at most %d are taken", len(z.File), filesMost)
	}
	seen := map[string]bool{}
	left := int64(unpackedMost)
	for _, f := range z.File {
		where := fmt.Sprintf("%.120q", f.Name)
		name := strings.TrimPrefix(f.Name, "photos/")
		match := caseName.FindStringSubmatch(f.Name)
		photo := name != f.Name && casebook.PhotoName(name)
		most := int64(CaseBytesMost)
		switch {
		case seen[f.Name]:
			return c, fault(where, "keep one of them", "it is there twice")
		case !f.Mode().IsRegular():
			return c, fault(where, "leave it out", "it is not a plain file")
		case photo:
			most = photoMost
		case match == nil && f.Name != "vehicles.yaml" && f.Name != "learned.yaml" && f.Name != "README.txt":
			return c, fault(where, "an archive holds README.txt, cases/ID.yaml, photos/NAME, vehicles.yaml and learned.yaml", "it has no place in an archive")
		}
		seen[f.Name] = true
		data, err := unpack(f, min(most, left))
		if err != nil {
			return c, &Fault{where, err.Error(), "export it again"}
		}
		left -= int64(len(data))
		switch {
		case photo:
			if sum := sha256.Sum256(data); !strings.HasPrefix(name, hex.EncodeToString(sum[:])) {
				return c, fault(where, "export it again", "its bytes are not those it is named by")
			}
			if err := pic.Check(path.Ext(name)[1:], data); err != nil {
				return c, &Fault{where, err.Error(), ""}
			}
			c.Photos[name] = data
		case match != nil:
			w, err := ReadCase(f.Name, data)
			if err != nil {
				return c, err
			}
			if w.ID != match[1] {
				return c, fault(where, "call the file by its id", "the case in it has the id %s", w.ID)
			}
			c.Cases = append(c.Cases, w)
		case f.Name == "vehicles.yaml":
			if c.Vehicles, err = ReadVehicles(f.Name, data); err != nil {
				return c, err
			}
		case f.Name == "learned.yaml":
			if c.Ledger, err = ReadLedger(f.Name, data); err != nil {
				return c, err
			}
		}
	}
	for _, w := range c.Cases {
		for _, a := range w.Attached {
			if _, ok := c.Photos[a.Photo]; a.Photo != "" && !ok {
				return c, fault("cases/"+w.ID+".yaml", "add it, or take the line out", "its photo %s is not in the archive", a.Photo)
			}
		}
	}
	return c, nil
}

// unpack reads a file of an archive, never more than most, whatever the
// archive says of its size.
func unpack(f *zip.File, most int64) ([]byte, error) {
	if f.UncompressedSize64 > uint64(most) {
		return nil, fmt.Errorf("it unpacks to %d bytes, more than is taken", f.UncompressedSize64)
	}
	r, err := f.Open()
	if err != nil {
		return nil, errors.New("it can't be unpacked")
	}
	defer r.Close()
	data, err := io.ReadAll(io.LimitReader(r, most+1))
	switch {
	case int64(len(data)) > most:
		return nil, errors.New("it unpacks to more than is taken")
	case err != nil:
		return nil, errors.New("it is damaged")
	}
	return data, nil
}

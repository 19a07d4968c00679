package photo

import (
	"bytes"
	"encoding/binary"
	"errors"
	"image/jpeg"
	"image/png"
)

// ErrNotKept means that a picture was not made by Keep.
var ErrNotKept = errors.New("the photo holds more than the picture, or is none; attach the picture anew")

// Check holds a picture from elsewhere to what Keep makes: a whole JPEG or PNG
// within the limits, and nothing in it but the picture.
func Check(kind string, data []byte) error {
	size, decode, bare := jpeg.DecodeConfig, jpeg.Decode, bareJPEG
	if kind == "png" {
		size, decode, bare = png.DecodeConfig, png.Decode, barePNG
	}
	if len(data) > BytesMost || !bare(data) {
		return ErrNotKept
	}
	if c, err := size(bytes.NewReader(data)); err != nil || c.Width > sideMost || c.Height > sideMost {
		return ErrNotKept
	}
	if _, err := decode(bytes.NewReader(data)); err != nil {
		return ErrNotKept
	}
	return nil
}

// bareJPEG reports whether a JPEG has only tables, one frame and one scan, and
// ends where the picture ends.
func bareJPEG(data []byte) bool {
	if !bytes.HasPrefix(data, []byte("\xff\xd8")) {
		return false
	}
	for at := 2; at+4 <= len(data) && data[at] == 0xff; {
		size := int(binary.BigEndian.Uint16(data[at+2:]))
		switch data[at+1] {
		case 0xdb, 0xc0, 0xc4: // quantisation, frame, Huffman tables
		case 0xda: // the scan: what follows is the picture up to its end mark
			return bytes.Index(data[at:], []byte("\xff\xd9")) == len(data)-at-2
		default:
			return false
		}
		at += 2 + size
	}
	return false
}

// barePNG reports whether a PNG has only what makes the picture.
func barePNG(data []byte) bool {
	rest, ok := bytes.CutPrefix(data, []byte("\x89PNG\r\n\x1a\n"))
	for ok && len(rest) >= 12 {
		n := int64(binary.BigEndian.Uint32(rest)) + 12
		if n > int64(len(rest)) {
			return false
		}
		switch string(rest[4:8]) {
		case "IHDR", "PLTE", "tRNS", "IDAT":
		case "IEND":
			return n == int64(len(rest))
		default:
			return false
		}
		rest = rest[n:]
	}
	return false
}

package photo

import (
	"bytes"
	"encoding/binary"
)

// tagOrientation is the tag of the TIFF directory in a JPEG's Exif segment
// that says how the camera was held.
const tagOrientation = 0x0112

// orientation reads how the camera was held from a JPEG, 1 (upright) when it
// is not said. Layout: JIS X 3010 / Exif 2.3, section 4.5: segments of a
// marker and a length; APP1 with "Exif\0\0", then a TIFF header and its first
// directory.
func orientation(data []byte) int {
	for at := 2; at+4 <= len(data) && data[at] == 0xff; {
		marker, size := data[at+1], int(binary.BigEndian.Uint16(data[at+2:]))
		if marker == 0xda || size < 2 || at+2+size > len(data) { // the picture begins
			return 1
		}
		body := data[at+4 : at+2+size]
		if tiff, ok := bytes.CutPrefix(body, []byte("Exif\x00\x00")); marker == 0xe1 && ok {
			return inDirectory(tiff)
		}
		at += 2 + size
	}
	return 1
}

func inDirectory(tiff []byte) int {
	if len(tiff) < 8 {
		return 1
	}
	var order binary.ByteOrder
	switch string(tiff[:2]) {
	case "II":
		order = binary.LittleEndian
	case "MM":
		order = binary.BigEndian
	default:
		return 1
	}
	at := int64(order.Uint32(tiff[4:]))
	if at+2 > int64(len(tiff)) {
		return 1
	}
	n := int64(order.Uint16(tiff[at:]))
	for i := range n {
		entry := at + 2 + 12*i
		if entry+12 > int64(len(tiff)) {
			return 1
		}
		if order.Uint16(tiff[entry:]) == tagOrientation {
			if way := int(order.Uint16(tiff[entry+8:])); way >= 1 && way <= 8 {
				return way
			}
			return 1
		}
	}
	return 1
}

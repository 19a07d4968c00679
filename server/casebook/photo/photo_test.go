package photo

import (
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"
	"hash/crc32"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"math"
	"testing"
)

// flag is a picture that is red above, and blue below right.
func flag(w, h int) image.Image {
	m := image.NewNRGBA(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			c := color.NRGBA{255, 255, 255, 255}
			switch {
			case y < h/2:
				c = color.NRGBA{220, 0, 0, 255}
			case x >= w/2:
				c = color.NRGBA{0, 0, 220, 255}
			}
			m.SetNRGBA(x, y, c)
		}
	}
	return m
}

// place is a GPS directory as cameras write it, with a latitude to be found
// again if it were kept.
var place = []byte("GPSLatitude 52 31 12")

// asJPEG encodes with an Exif segment that holds an orientation and a place.
func asJPEG(t *testing.T, m image.Image, way int, order binary.AppendByteOrder) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := jpeg.Encode(&b, m, &jpeg.Options{Quality: 95}); err != nil {
		t.Fatal(err)
	}
	mark := "II"
	if order == binary.AppendByteOrder(binary.BigEndian) {
		mark = "MM"
	}
	tiff := []byte(mark)
	tiff = order.AppendUint16(tiff, 42)
	tiff = order.AppendUint32(tiff, 8)
	tiff = order.AppendUint16(tiff, 2)
	tiff = order.AppendUint16(tiff, 0x010f) // maker, of no interest
	tiff = order.AppendUint16(tiff, 2)
	tiff = order.AppendUint32(tiff, 4)
	tiff = append(tiff, "abc\x00"...)
	tiff = order.AppendUint16(tiff, tagOrientation)
	tiff = order.AppendUint16(tiff, 3)
	tiff = order.AppendUint32(tiff, 1)
	tiff = order.AppendUint16(tiff, uint16(way))
	tiff = append(order.AppendUint16(tiff, 0), 0, 0, 0, 0)
	body := append(append([]byte("Exif\x00\x00"), tiff...), place...)
	segment := append(binary.BigEndian.AppendUint16([]byte{0xff, 0xe1}, uint16(len(body)+2)), body...)
	whole := b.Bytes()
	return append(append(append([]byte{}, whole[:2]...), segment...), whole[2:]...)
}

func isRed(c color.Color) bool {
	r, g, b, _ := c.RGBA()
	return r > 0x9000 && g < 0x6000 && b < 0x6000
}

func isBlue(c color.Color) bool {
	r, g, b, _ := c.RGBA()
	return b > 0x9000 && r < 0x6000 && g < 0x6000
}

// However the camera was held the picture comes out upright, and without the
// place where it was taken. Where the corners go for each way is that of the
// Exif standard: the way names where row 0 and column 0 of the data lie.
func TestUprightWithoutPlace(t *testing.T) {
	// rows is where row 0 of the stored data is to be seen, columns where its
	// column 0 is.
	ways := []struct {
		way           int
		rows, columns string
	}{{1, "top", "left"}, {2, "top", "right"}, {3, "bottom", "right"}, {4, "bottom", "left"}, {5, "left", "top"}, {6, "right", "top"}, {7, "right", "bottom"}, {8, "left", "bottom"}}
	for _, order := range []binary.AppendByteOrder{binary.LittleEndian, binary.BigEndian} {
		for _, w := range ways {
			in := asJPEG(t, flag(64, 32), w.way, order)
			if !bytes.Contains(in, place) {
				t.Fatal("the test's picture has no place")
			}
			c, err := Keep(in)
			if err != nil {
				t.Fatal(err)
			}
			if bytes.Contains(c.Data, place) || bytes.Contains(c.Data, []byte("Exif")) {
				t.Errorf("way %d: the place is kept", w.way)
			}
			m, err := jpeg.Decode(bytes.NewReader(c.Data))
			if err != nil {
				t.Fatal(err)
			}
			wide, high := 64, 32
			if w.way >= 5 {
				wide, high = 32, 64
			}
			if m.Bounds().Dx() != wide || m.Bounds().Dy() != high || c.Width != wide || c.Height != high || c.Kind != "jpg" {
				t.Fatalf("way %d: %v, told as %d × %d", w.way, m.Bounds(), c.Width, c.Height)
			}
			// Red is row 0's half; blue the far half of both.
			side := map[string][2]int{"top": {wide / 2, 4}, "bottom": {wide / 2, high - 4}, "left": {4, high / 2}, "right": {wide - 4, high / 2}}
			if at := side[w.rows]; !isRed(m.At(at[0], at[1])) {
				t.Errorf("way %d: row 0 is not at the %s", w.way, w.rows)
			}
			far := map[string]string{"top": "bottom", "bottom": "top", "left": "right", "right": "left"}
			x, y := 0, 0
			for _, s := range []string{far[w.rows], far[w.columns]} {
				switch s {
				case "left":
					x = 4
				case "right":
					x = wide - 4
				case "top":
					y = 4
				case "bottom":
					y = high - 4
				}
			}
			if !isBlue(m.At(x, y)) {
				t.Errorf("way %d: the far corner is not blue", w.way)
			}
		}
	}
}

func TestLargePictureIsShrunk(t *testing.T) {
	var b bytes.Buffer
	if err := png.Encode(&b, flag(4000, 1000)); err != nil {
		t.Fatal(err)
	}
	c, err := Keep(b.Bytes())
	if err != nil {
		t.Fatal(err)
	}
	m, err := png.Decode(bytes.NewReader(c.Data))
	if err != nil {
		t.Fatal(err)
	}
	if m.Bounds().Dx() != sideMost || math.Abs(float64(m.Bounds().Dy())-sideMost/4) > 1 || !isRed(m.At(1000, 20)) || !isBlue(m.At(1900, 500)) {
		t.Errorf("shrunk to %v", m.Bounds())
	}
}

// pngOf is the beginning of a PNG that claims a size.
func pngOf(w, h uint32) []byte {
	head := append([]byte("IHDR"), 0, 0, 0, 0, 0, 0, 0, 0, 8, 6, 0, 0, 0)
	binary.BigEndian.PutUint32(head[4:], w)
	binary.BigEndian.PutUint32(head[8:], h)
	out := append([]byte("\x89PNG\r\n\x1a\n"), 0, 0, 0, 13)
	out = append(out, head...)
	return binary.BigEndian.AppendUint32(out, crc32.ChecksumIEEE(head))
}

func TestHostilePictures(t *testing.T) {
	whole := asJPEG(t, flag(64, 32), 6, binary.LittleEndian)
	for name, c := range map[string]struct {
		data []byte
		want error
	}{
		"nothing":               {nil, ErrKind},
		"text":                  {[]byte("it gets hot in traffic"), ErrKind},
		"gif":                   {[]byte("GIF89a" + string(make([]byte, 100))), ErrKind},
		"svg":                   {[]byte(`<svg xmlns="http://www.w3.org/2000/svg"><script/></svg>`), ErrKind},
		"a page as jpeg":        {[]byte("\xff\xd8\xff<html><script>alert(1)</script>"), ErrBad},
		"png of all the world":  {pngOf(100_000, 100_000), ErrLarge},
		"png of 30 million":     {pngOf(6000, 5000), ErrLarge},
		"png with nothing in":   {pngOf(10, 10), ErrBad},
		"half a picture":        {whole[:len(whole)/2], ErrBad},
		"more bytes than taken": {append([]byte("\xff\xd8\xff"), make([]byte, BytesMost)...), ErrLarge},
	} {
		if _, err := Keep(c.data); !errors.Is(err, c.want) {
			t.Errorf("%s: %v, want %v", name, err, c.want)
		}
	}
}

// A picture cut anywhere or with bytes changed is kept or refused, nothing else.
func FuzzKeep(f *testing.F) {
	var b bytes.Buffer
	if err := png.Encode(&b, flag(8, 8)); err != nil {
		f.Fatal(err)
	}
	f.Add(b.Bytes())
	b.Reset()
	if err := jpeg.Encode(&b, flag(8, 8), nil); err != nil {
		f.Fatal(err)
	}
	f.Add(b.Bytes())
	f.Add([]byte("\xff\xd8\xff\xe1\x00\x10Exif\x00\x00II*\x00\xff\xff\xff\xff"))
	f.Fuzz(func(t *testing.T, data []byte) {
		if len(data) > 1<<12 {
			return
		}
		if len(data) >= 24 && bytes.HasPrefix(data, []byte("\x89PNG")) && binary.BigEndian.Uint32(data[16:])/64 > 100 {
			return // large ones only take time
		}
		orientation(data)
		if c, err := Keep(data); err == nil && (c.Width < 1 || c.Height < 1 || len(c.Data) == 0) {
			t.Errorf("kept as %s", fmt.Sprint(c.Kind, c.Width, c.Height))
		}
	})
}

// What Keep made passes; the same with anything beside the picture does not.
func TestCheckTakesOnlyWhatKeepMade(t *testing.T) {
	var b bytes.Buffer
	if err := png.Encode(&b, flag(40, 20)); err != nil {
		t.Fatal(err)
	}
	asPNG := b.Bytes()
	camera := asJPEG(t, flag(64, 32), 6, binary.LittleEndian)
	for _, in := range [][]byte{asPNG, camera} {
		c, err := Keep(in)
		if err != nil {
			t.Fatal(err)
		}
		if err := Check(c.Kind, c.Data); err != nil {
			t.Errorf("%s as kept: %v", c.Kind, err)
		}
		other := map[string]string{"jpg": "png", "png": "jpg"}[c.Kind]
		for name, bad := range map[string][]byte{"more behind": append(bytes.Clone(c.Data), "PK\x03\x04"...), "half": c.Data[:len(c.Data)/2], "nothing": nil} {
			if Check(c.Kind, bad) == nil {
				t.Errorf("%s with %s passes", c.Kind, name)
			}
		}
		if Check(other, c.Data) == nil {
			t.Errorf("%s passes as %s", c.Kind, other)
		}
	}
	if Check("jpg", camera) == nil {
		t.Error("a picture with its place passes")
	}
	text := []byte("tEXtComment\x00here")
	chunk := binary.BigEndian.AppendUint32(nil, uint32(len(text)-4))
	chunk = binary.BigEndian.AppendUint32(append(chunk, text...), crc32.ChecksumIEEE(text))
	if Check("png", append(append(bytes.Clone(asPNG[:33]), chunk...), asPNG[33:]...)) == nil {
		t.Error("a PNG with a comment passes")
	}
}

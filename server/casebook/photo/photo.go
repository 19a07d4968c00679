// Package photo makes of a picture as a phone sends it one that may be kept: a
// fresh JPEG or PNG of bounded size, the right way up, without anything beside
// the picture itself, so without the place where it was taken. Start at Clean.
package photo

import (
	"bytes"
	"errors"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"

	"golang.org/x/image/draw"
)

// Limits of a picture. A phone's picture has some 12 to 50 million points.
const (
	BytesMost  = 16 << 20 // as it comes in
	pointsMost = 52_000_000
	pngMost    = 26_000_000 // decoded, a PNG takes four bytes a point
	sideMost   = 2048       // of what is kept
	quality    = 85
)

// Errors that say what to do.
var (
	ErrKind  = errors.New("only JPEG and PNG pictures are taken; save it as one of these")
	ErrLarge = errors.New("the picture is too large; at most 16 MiB and 52 million points (PNG 26 million)")
	ErrBad   = errors.New("the picture is damaged or not whole; take it or save it again")
)

// Clean is a picture that may be kept.
type Clean struct {
	Kind          string // jpg or png
	Data          []byte
	Width, Height int
}

// Keep decodes a picture and encodes it afresh. Its kind is told by its bytes,
// whatever it is called.
func Keep(data []byte) (Clean, error) {
	kind := ""
	switch {
	case len(data) > BytesMost:
		return Clean{}, ErrLarge
	case bytes.HasPrefix(data, []byte("\xff\xd8\xff")):
		kind = "jpg"
	case bytes.HasPrefix(data, []byte("\x89PNG\r\n\x1a\n")):
		kind = "png"
	default:
		return Clean{}, ErrKind
	}
	size, decode := jpeg.DecodeConfig, jpeg.Decode
	if kind == "png" {
		size, decode = png.DecodeConfig, png.Decode
	}
	c, err := size(bytes.NewReader(data))
	if err != nil {
		return Clean{}, fmt.Errorf("%w (%w)", ErrBad, err)
	}
	if points := int64(c.Width) * int64(c.Height); points > pointsMost || kind == "png" && points > pngMost {
		return Clean{}, ErrLarge
	}
	picture, err := decode(bytes.NewReader(data))
	if err != nil {
		return Clean{}, fmt.Errorf("%w (%w)", ErrBad, err)
	}
	turn := 1
	if kind == "jpg" {
		turn = orientation(data)
	}
	upright := turned(shrunk(picture), turn)
	var out bytes.Buffer
	if kind == "jpg" {
		err = jpeg.Encode(&out, upright, &jpeg.Options{Quality: quality})
	} else {
		err = png.Encode(&out, upright)
	}
	if err != nil {
		return Clean{}, err
	}
	return Clean{kind, out.Bytes(), upright.Bounds().Dx(), upright.Bounds().Dy()}, nil
}

// shrunk brings a picture within sideMost.
func shrunk(m image.Image) image.Image {
	w, h := m.Bounds().Dx(), m.Bounds().Dy()
	if w <= sideMost && h <= sideMost {
		return m
	}
	scale := float64(sideMost) / float64(max(w, h))
	to := image.NewNRGBA(image.Rect(0, 0, max(1, int(float64(w)*scale)), max(1, int(float64(h)*scale))))
	draw.BiLinear.Scale(to, to.Bounds(), m, m.Bounds(), draw.Src, nil)
	return to
}

// turned puts a picture the right way up, by the eight ways of the Exif
// standard: 1 is upright, 3 upside down, 6 and 8 lie on a side, 2, 4, 5 and 7
// are mirrored.
func turned(m image.Image, way int) image.Image {
	b := m.Bounds()
	w, h := b.Dx(), b.Dy()
	if way < 2 || way > 8 {
		return m
	}
	to := image.NewNRGBA(image.Rect(0, 0, w, h))
	if way >= 5 {
		to = image.NewNRGBA(image.Rect(0, 0, h, w))
	}
	for y := range h {
		for x := range w {
			u, v := x, y
			switch way {
			case 2:
				u = w - 1 - x
			case 3:
				u, v = w-1-x, h-1-y
			case 4:
				v = h - 1 - y
			case 5:
				u, v = y, x
			case 6:
				u, v = h-1-y, x
			case 7:
				u, v = h-1-y, w-1-x
			case 8:
				u, v = y, w-1-x
			}
			to.SetNRGBA(u, v, color.NRGBAModel.Convert(m.At(b.Min.X+x, b.Min.Y+y)).(color.NRGBA))
		}
	}
	return to
}

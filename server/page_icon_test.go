package main

import (
	"bytes"
	"encoding/base64"
	"image/png"
	"io"
	"net/http"
	"os"
	"path/filepath"
	"testing"
)

// The icons of the installed app are the project's own drawing, icon.svg, in
// the sizes that phones ask for; on the maskable one the card keeps within the
// circle of 40 % that a phone may cut out. -update draws them anew.
func TestPageIcons(t *testing.T) {
	p := startProgram(t, t.TempDir())
	b := openTab(t, 390, 844, false)
	b.open(p.url)
	var manifest struct {
		Name, Display string
		Start         string `json:"start_url"`
		Icons         []struct{ Src, Sizes, Type, Purpose string }
	}
	p.get(t, "/manifest.webmanifest", &manifest)
	if manifest.Name == "" || manifest.Display != "standalone" || manifest.Start != "/" {
		t.Errorf("the manifest: %+v", manifest)
	}
	for _, icon := range []struct {
		name string
		size int
		card float64 // share of the width that the drawing takes
	}{{"icon-192.png", 192, 1}, {"icon-512.png", 512, 1}, {"icon-mask-512.png", 512, 0.8}} {
		data := js[string](b, `(async () => {
			const size = `+jsNumber(icon.size)+`, part = size * `+jsNumber(icon.card)+`;
			const i = new Image();
			i.src = document.querySelector("link[rel=icon]").href;
			await i.decode();
			const c = document.createElement("canvas"), g = c.getContext("2d");
			c.width = c.height = size;
			g.fillStyle = "#23323a";
			g.fillRect(0, 0, size, size);
			g.drawImage(i, (size - part) / 2, (size - part) / 2, part, part);
			return c.toDataURL("image/png").split(",")[1];
		})()`)
		drawn, err := base64.StdEncoding.DecodeString(data)
		if err != nil {
			t.Fatal(err)
		}
		file := filepath.Join("..", "web", "static", icon.name)
		if *update {
			if err := os.WriteFile(file, drawn, 0o644); err != nil {
				t.Fatal(err)
			}
			continue
		}
		var src string
		for _, i := range manifest.Icons {
			if filepath.Base(i.Src) == icon.name {
				src = i.Src
			}
		}
		res, err := http.Get(p.url + src)
		if err != nil {
			t.Fatal(err)
		}
		kept, _ := io.ReadAll(res.Body)
		res.Body.Close()
		if kind := res.Header.Get("Content-Type"); kind != "image/png" {
			t.Errorf("%s is served as %s", icon.name, kind)
		}
		want, err := png.Decode(bytes.NewReader(drawn))
		if err != nil {
			t.Fatal(err)
		}
		got, err := png.Decode(bytes.NewReader(kept))
		if err != nil || got.Bounds() != want.Bounds() {
			t.Fatalf("%s: %v", icon.name, err)
		}
		// Browsers differ in how they smooth edges, not in the picture.
		off, n := 0, 0
		for y := range icon.size {
			for x := range icon.size {
				r1, g1, b1, _ := got.At(x, y).RGBA()
				r2, g2, b2, _ := want.At(x, y).RGBA()
				for _, d := range []int{int(r1) - int(r2), int(g1) - int(g2), int(b1) - int(b2)} {
					off += max(d, -d) >> 8
					n++
				}
			}
		}
		if off > 3*n {
			t.Errorf("%s is %d of 255 away from the drawing on average; -update draws it anew", icon.name, off/n)
		}
	}
	b.fine(false)
}

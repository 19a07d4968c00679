package main

import (
	"strings"
	"testing"

	"ruleout/kb"
)

func TestReadPage(t *testing.T) {
	b, _ := kb.Embedded()
	for _, x := range []struct{ words, has, not string }{
		{"read table-looks#row-leaking-now", "leaking now\n   On healthy old cars: 2 %", "cracked\n"},
		{"Read table-renewed", "What a renewed part tells", ""},
		{"read battery-worn-out", "Repair:", "**"},
		{"read table-looks#row-of-nothing", "has no row row-of-nothing", ""},
		{"read tabel-looks", "the nearest is table-looks", ""},
		{"read zzz-zzz-zzz", "There is no article", ""},
	} {
		got := readPage(b, x.words)
		if !strings.Contains(got, x.has) || x.not != "" && strings.Contains(got, x.not) {
			t.Errorf("%q: %q", x.words, got)
		}
	}
	for _, w := range []string{"read 12.4", "read", "read it", "read the meter", "it read 12.4 at the battery", ""} {
		if got := readPage(b, w); got != "" {
			t.Errorf("%q is no page: %q", w, got)
		}
	}
}

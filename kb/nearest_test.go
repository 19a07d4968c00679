package kb

import "testing"

func TestNearest(t *testing.T) {
	names := []string{"coolant-hose", "fuse", "hose", "relay"}
	for word, want := range map[string]string{
		"coolant-hoze": "coolant-hose",
		"fsue":         "fuse", // a swap counts once
		"hos":          "hose",
		"realy":        "relay",
		"thermostat":   "",
		"":             "",
	} {
		if got := nearest(word, names); got != want {
			t.Errorf("nearest(%q) = %q, want %q", word, got, want)
		}
	}
}

func TestEditDistance(t *testing.T) {
	for _, c := range []struct {
		a, b string
		want int
	}{
		{"", "", 0}, {"a", "", 1}, {"", "abc", 3}, {"abc", "abc", 0},
		{"kitten", "sitting", 3}, // the textbook example
		{"ca", "abc", 3},         // optimal string alignment; unrestricted would be 2
		{"ab", "ba", 1}, {"größe", "grösse", 2},
	} {
		if got := editDistance(c.a, c.b, 100); got != c.want {
			t.Errorf("editDistance(%q, %q) = %d, want %d", c.a, c.b, got, c.want)
		}
		if back := editDistance(c.b, c.a, 100); back != c.want {
			t.Errorf("editDistance(%q, %q) = %d, want %d", c.b, c.a, back, c.want)
		}
	}
	if got := editDistance("abcdef", "uvwxyz", 3); got != 3 {
		t.Errorf("limited distance %d, want 3", got)
	}
}

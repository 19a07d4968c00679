package kb

import (
	"strings"
	"testing"
)

func htmlOf(body string) string {
	b := &Base{heads: map[string]Head{"x": {ID: "x", Body: body}}}
	return b.HTML("x")
}

func TestHTML(t *testing.T) {
	for body, want := range map[string]string{
		"a *b* [c](article:fan-relay-stuck).": "<p>a <em>b</em> <a href=\"/articles/fan-relay-stuck\">c</a>.</p>\n",
		"[c](https://example.org/a?b=1&c=2)":  "<p><a href=\"https://example.org/a?b=1&amp;c=2\">c</a></p>\n",
		"[c](javascript:alert(1))":            "<p><a href=\"\">c</a></p>\n",
		"[c](//example.org/x)":                "<p><a href=\"\">c</a></p>\n",
		"[c](data:text/html,x)":               "<p><a href=\"\">c</a></p>\n",
		"[c](article:../../x)":                "<p><a href=\"/articles/..%2F..%2Fx\">c</a></p>\n",
		"![p](javascript:x)":                  "<p><img src=\"\" alt=\"p\"></p>\n",
		"<ftp://example.org/a>":               "<p>ftp://example.org/a</p>\n",
		"<https://example.org/a>":             "<p><a href=\"https://example.org/a\">https://example.org/a</a></p>\n",
		"| a |\n|---|\n| 1 |":                 "<table>\n<thead>\n<tr>\n<th>a</th>\n</tr>\n</thead>\n<tbody>\n<tr id=\"row-1\">\n<td>1</td>\n</tr>\n</tbody>\n</table>\n",
	} {
		if got := htmlOf(body); got != want {
			t.Errorf("%q: got %q, want %q", body, got, want)
		}
	}
	for _, body := range []string{"<script>alert(1)</script>", "a <img src=x onerror=alert(1)> b", "<javascript:alert(1)>", "[x]: javascript:alert(1)\n\n[a][x]"} {
		got := htmlOf(body)
		for _, bad := range []string{"<script", "<img", `href="javascript`} {
			if strings.Contains(got, bad) {
				t.Errorf("%q: %q", body, got)
			}
		}
	}
	if got := htmlOf(""); got != "" {
		t.Errorf("empty body: %q", got)
	}
	if got := new(Base).HTML("nothing"); got != "" {
		t.Errorf("unknown id: %q", got)
	}
}

func TestPlainText(t *testing.T) {
	got := PlainText("# Head\n\nOne *two*\nthree [four](article:x).\n\n- five\n- `six`\n\n<b>x</b>")
	if want := "Head\nOne two three four.\nfive\nsix\nx"; got != want {
		t.Errorf("got %q, want %q", got, want)
	}
}

func TestExcerpt(t *testing.T) {
	for _, c := range []struct {
		body string
		n    int
		want string
	}{
		{"one two three", 40, "one two three"},
		{"one two three", 13, "one two three"},
		{"one two three", 12, "one two…"},
		{"one two three", 8, "one two…"},
		{"one two three", 7, "one…"},
		{"größer als", 9, "größer…"},
		{"", 5, ""},
	} {
		if got := Excerpt(c.body, c.n); got != c.want || len([]rune(got)) > c.n {
			t.Errorf("Excerpt(%q, %d) = %q, want %q", c.body, c.n, got, c.want)
		}
	}
}

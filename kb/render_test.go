package kb

import "testing"

func TestRender(t *testing.T) {
	for in, want := range map[string]string{
		"# The van: gets hot\n\n- ~~undone~~ [fuse](article:fan-fuse)": "<h1>The van: gets hot</h1>\n<ul>\n<li><del>undone</del> <a href=\"/articles/fan-fuse\">fuse</a></li>\n</ul>\n",
		"<script>alert(1)</script>":                                    "<!-- raw HTML omitted -->\n",
		"[x](javascript:alert(1))":                                     "<p><a href=\"\">x</a></p>\n",
		`\<b\> \*not\*`:                                                "<p>&lt;b&gt; *not*</p>\n",
	} {
		if got := Render(in); got != want {
			t.Errorf("%q became %q, want %q", in, got, want)
		}
	}
}

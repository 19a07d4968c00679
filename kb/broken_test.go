package kb

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// TestBroken runs the cases of testdata/kb/broken. A case is a paragraph:
//
//	case what is tried
//	edit FILE          the file of the sound set to change
//	- old text         the one place to replace, without its indentation
//	+ new text         \n stands for a new line
//	new FILE           or a file to add, with + lines as its text
//	want PROBLEM       a line of Problems.Error, all of them, in order
func TestBroken(t *testing.T) {
	cases, err := filepath.Glob("../testdata/kb/broken/*.txt")
	if err != nil || len(cases) == 0 {
		t.Fatal("no cases: ", err)
	}
	for _, file := range cases {
		text, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		for _, paragraph := range strings.Split(strings.TrimSpace(string(text)), "\n\n") {
			runBroken(t, filepath.Base(file), paragraph)
		}
	}
}

func runBroken(t *testing.T, in, paragraph string) {
	files := soundFiles()
	var name, file, old string
	var want []string
	for _, line := range strings.Split(paragraph, "\n") {
		word, rest, _ := strings.Cut(line, " ")
		switch word {
		case "case":
			name = in + ": " + rest
		case "edit":
			file = rest
		case "new":
			file, files[rest] = rest, ""
		case "-":
			old = rest
		case "+":
			rest = strings.ReplaceAll(rest, `\n`, "\n")
			if old == "" {
				files[file] += rest + "\n"
			} else {
				edit(t, files, file, old, rest)
			}
			old = ""
		case "want":
			want = append(want, rest)
		case "#":
		default:
			t.Fatalf("%s: no such line: %s", in, line)
		}
	}
	t.Run(name, func(t *testing.T) {
		b, problems := Load(layer(files))
		if b == nil {
			t.Fatal("no base")
		}
		if got, want := problems.Error(), strings.Join(want, "\n"); got != want {
			t.Errorf("got\n%s\nwant\n%s", got, want)
		}
		for _, p := range problems {
			if p.Line > 0 && p.Snippet != strings.Split(files[p.File], "\n")[p.Line-1] {
				t.Errorf("%s shows %q", p, p.Snippet)
			}
		}
		// What is left is sound.
		again, _ := Load(layer(files))
		if again.Digest != b.Digest {
			t.Error("two loads of one set differ")
		}
	})
}

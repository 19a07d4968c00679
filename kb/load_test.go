package kb

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"pgregory.net/rapid"
)

func TestLayers(t *testing.T) {
	top := layer(map[string]string{
		// Replaces a cause by id, from a file of another name.
		"articles/mine/my-cap.yaml": strings.Replace(soundFiles()["articles/cooling/cap-weak.yaml"], "title: Pressure cap weak", "title: My cap", 1),
		// Replaces one tool and adds one; the others stay.
		"lists/tools.yaml": "- {id: pump, title: my pump, said: [pump]}\n- {id: stick, title: stick, said: [stick]}\n",
		// Synonyms go by term.
		"lists/synonyms.yaml": "- {term: hood, forms: [engine lid], basis: invented}\n",
		// Only what is named is laid over.
		"lists/derived.yaml": "good_elsewhere: 0.5\n",
	})
	b, problems := Load(layer(soundFiles()), top)
	if errs := problems.Errors(); len(errs) > 0 {
		t.Fatal(errs)
	}
	if got := b.Cause("cap-weak").Title; got != "My cap" {
		t.Errorf("the later layer's cause is not in force: %q", got)
	}
	if len(b.Causes) != 2 {
		t.Errorf("%d causes, want 2", len(b.Causes))
	}
	var tools []string
	for _, x := range b.Tools {
		tools = append(tools, x.ID+"="+x.Title)
	}
	if want := []string{"jack-and-stands=jack and stands", "pump=my pump", "stick=stick"}; !slices.Equal(tools, want) {
		t.Errorf("tools %q, want %q", tools, want)
	}
	if len(b.Synonyms) != 1 || b.Synonyms[0].Forms[0] != "engine lid" {
		t.Errorf("synonyms %v", b.Synonyms)
	}
	if b.Derived.GoodElsewhere != 0.5 || b.Derived.LimitDerived != 10 {
		t.Errorf("derived: good_elsewhere %g, limit_derived %g; want 0.5 and 10", b.Derived.GoodElsewhere, b.Derived.LimitDerived)
	}
	for _, p := range problems {
		if p.Layer != 1 {
			t.Errorf("layer %d for %s", p.Layer, p)
		}
	}
}

func TestLayerMayChangeAnArticlesKind(t *testing.T) {
	b, problems := Load(layer(soundFiles()), layer(map[string]string{
		"articles/reference/hose-watch.yaml": "{kind: card, id: hose-watch, title: T, system: cooling, said: [x], body: x}",
	}))
	if len(problems) > 0 {
		t.Error(problems)
	}
	if b.Test("hose-watch") != nil || b.Card("hose-watch") == nil {
		t.Error("the test is still there beside the card that replaces it")
	}
}

func TestNothingIsABase(t *testing.T) {
	b, problems := Load()
	if b == nil || len(problems) > 0 || len(b.Heads()) != 0 {
		t.Errorf("no layers: %v, %v", b, problems)
	}
	if b, problems := Load(fstest.MapFS{}); b == nil || len(problems) > 0 {
		t.Errorf("an empty layer: %v, %v", b, problems)
	}
}

// TestSplitFilesDoNotMatter: whatever files the same entries come in, and in
// whatever order, the base is the same.
func TestSplitFilesDoNotMatter(t *testing.T) {
	want := sound(t).Digest
	rapid.Check(t, func(t *rapid.T) {
		files := map[string]string{}
		for file, text := range soundFiles() {
			if strings.HasPrefix(file, "articles/") {
				// A prefix reorders the walk.
				file = "articles/" + rapid.StringMatching(`[a-z]{1,3}`).Draw(t, "folder") + "/" + rapid.StringMatching(`[a-z]{2}`).Draw(t, "prefix") + filepath.Base(file)
			} else if file == "lists/tools.yaml" || file == "lists/modes.yaml" {
				lines := strings.Split(strings.TrimSpace(text), "\n")
				text = strings.Join(rapid.Permutation(lines).Draw(t, "lines"), "\n")
			}
			files[file] = text
		}
		b, problems := Load(layer(files))
		if errs := problems.Errors(); len(errs) > 0 {
			t.Fatal(errs)
		}
		if b.Digest != want {
			t.Fatal("another base")
		}
	})
}

func TestDigestNamesTheContent(t *testing.T) {
	files := soundFiles()
	edit(t, files, "articles/cooling/hose-watch.yaml", "minutes: 2", "minutes: 3")
	b, _ := Load(layer(files))
	if b.Digest == sound(t).Digest {
		t.Error("different articles, same digest")
	}
}

// brokenFS fails where a disk may fail.
type brokenFS struct{ fs.FS }

func (b brokenFS) Open(name string) (fs.File, error) {
	if strings.HasSuffix(name, "drips.yaml") {
		return nil, &fs.PathError{Op: "open", Path: name, Err: errors.New("input/output error")}
	}
	return b.FS.Open(name)
}

func TestUnreadableFileIsAProblem(t *testing.T) {
	_, problems := Load(brokenFS{layer(soundFiles())})
	if want := "articles/cooling/drips.yaml: not readable: input/output error"; !slices.ContainsFunc(problems, func(p Problem) bool { return p.String() == want }) {
		t.Errorf("want %q among\n%v", want, problems)
	}
}

func TestHostileFiles(t *testing.T) {
	deep := strings.Repeat("[", 5000) + strings.Repeat("]", 5000)
	for name, c := range map[string]struct{ text, want string }{
		"huge":      {strings.Repeat("# x\n", maxFileBytes/4+1), "the file is larger than 1024 KiB"},
		"deep":      {"kind: " + deep, "nested too deeply"},
		"deepest":   {strings.Repeat("[", 200000), ""},
		"not UTF-8": {"kind: \xff\xfe", "the file is not UTF-8 text"},
		"NUL":       {"kind: \x00", ""},
		"tagged":    {"kind: !!binary aGVsbG8=", "tags are not allowed"},
		"merge":     {"<<: {kind: card}", "merge keys are not allowed"},
		"scalar":    {"kind", "an article must be a mapping (key: value)"},
		"empty":     {"", "the file is empty"},
		"comment":   {"# nothing\n", "the file is empty"},
		"key":       {"? [a]\n: b\nkind: card", "a key of the card must be text"},
		"octal":     {"kind: test\nid: x\nminutes: 010", `"minutes" must be a plain decimal number`},
		"no id":     {"kind: card\ntitle: x", "the card has no id"},
	} {
		b, problems := Load(layer(map[string]string{"articles/x/x.yaml": c.text}))
		if b == nil || len(problems.Errors()) == 0 {
			t.Errorf("%s: no error", name)
			continue
		}
		if c.want != "" && problems.Errors()[0].What != c.want {
			t.Errorf("%s: %q, want %q", name, problems.Errors()[0].What, c.want)
		}
	}
}

func FuzzLoad(f *testing.F) {
	for _, text := range soundFiles() {
		f.Add(text)
	}
	for _, text := range []string{"", "kind: cause\nid: x\nshows: {x: {y: often}}", "- {id: x, inside: x}", "kind: [", "a: &a [*a]", "? {}\n: ~", "kind: test\nid: x\nreading: {bands: [{from: 1}]}"} {
		f.Add(text)
	}
	rest := soundFiles()
	f.Fuzz(func(t *testing.T, text string) {
		files := map[string]string{}
		for file, x := range rest {
			files[file] = x
		}
		// The same bytes as an article, as a list and as the derived table.
		files["articles/cooling/drips.yaml"] = text
		files["lists/access.yaml"] = text
		files["lists/derived.yaml"] = text
		b, problems := Load(layer(files))
		if b == nil {
			t.Fatal("no base")
		}
		for _, p := range problems {
			if p.File == "" || p.What == "" || p.Line < 0 {
				t.Fatalf("a problem without a place or reason: %+v", p)
			}
		}
		checkSound(t, b)
	})
}

// checkSound fails when something in the base can't be used: a distribution
// that is none, or a reference to nothing.
func checkSound(t *testing.T, b *Base) {
	t.Helper()
	one := func(p []float64, n int) bool {
		sum := 0.0
		for _, x := range p {
			if !(x > 0 && x <= 1) {
				return false
			}
			sum += x
		}
		return len(p) == n && sum > 1-1e-9 && sum < 1+1e-9
	}
	for _, f := range b.Findings() {
		if !one(f.Base, len(f.Outcomes)) {
			t.Errorf("finding %s: base %v", f.ID, f.Base)
		}
		for _, row := range f.Given {
			if !one(row, len(f.Outcomes)) {
				t.Errorf("finding %s: given %v", f.ID, row)
			}
		}
	}
	for _, c := range b.Causes {
		if b.Part(c.Part) == nil || b.Mode(c.Mode) == nil {
			t.Errorf("cause %s: part %q, mode %q", c.ID, c.Part, c.Mode)
		}
		for id := range c.Shows {
			f := b.Finding(id)
			if f == nil {
				t.Errorf("cause %s shows %q, which is no finding", c.ID, id)
				continue
			}
			if p, ok := b.Likelihood(c, f); !ok || !one(p, len(f.Outcomes)) {
				t.Errorf("cause %s, finding %s: %v", c.ID, id, p)
			}
		}
	}
	for _, x := range b.Tests {
		if f := b.Finding(orElse(x.Of, x.ID)); f == nil && len(x.Settles) == 0 {
			t.Errorf("test %s has no finding", x.ID)
		}
		for _, id := range x.Settles {
			if b.Finding(id) == nil {
				t.Errorf("test %s settles %q, which is no finding", x.ID, id)
			}
		}
	}
}

func TestEmbeddedBaseIsUsable(t *testing.T) {
	b, _ := Embedded()
	checkSound(t, b)
	if again, _ := Embedded(); again != b {
		t.Error("loaded twice")
	}
}

func BenchmarkLoadEmbedded(b *testing.B) {
	for b.Loop() {
		Load(EmbeddedFS())
	}
}

func BenchmarkLoadFolder(b *testing.B) {
	dir := os.DirFS(".")
	for b.Loop() {
		Load(dir)
	}
}

// TestWhatIsLeftIsSound breaks the sound set in small ways, as an author
// might, and asks that whatever remains can be used and that the same files
// tell the same problems.
func TestWhatIsLeftIsSound(t *testing.T) {
	words := []string{"drips", "present", "much", "hose-split", "cap-weak", "pressure-drop", "weak", "often", "0.5", "-1", "nothing", "", "cooling", "[]", "{}", "~"}
	files := sortedKeys(soundFiles())
	rapid.Check(t, func(rt *rapid.T) {
		set := soundFiles()
		for range rapid.IntRange(1, 4).Draw(rt, "breaks") {
			file := rapid.SampledFrom(files).Draw(rt, "file")
			lines := strings.Split(set[file], "\n")
			i := rapid.IntRange(0, len(lines)-1).Draw(rt, "line")
			switch rapid.IntRange(0, 3).Draw(rt, "how") {
			case 0:
				lines = slices.Delete(lines, i, i+1)
			case 1:
				lines = slices.Insert(lines, i, lines[i])
			default:
				// One word of the line becomes another.
				at := word.FindAllStringIndex(lines[i], -1)
				if len(at) > 0 {
					w := at[rapid.IntRange(0, len(at)-1).Draw(rt, "word")]
					lines[i] = lines[i][:w[0]] + rapid.SampledFrom(words).Draw(rt, "new") + lines[i][w[1]:]
				}
			}
			set[file] = strings.Join(lines, "\n")
		}
		b, problems := Load(layer(set))
		checkSound(t, b)
		if _, again := Load(layer(set)); again.Error() != problems.Error() {
			rt.Fatalf("first\n%s\nthen\n%s", problems, again)
		}
		if t.Failed() {
			rt.Fatal("not sound: ", set)
		}
	})
}

var word = regexp.MustCompile(`[a-z0-9.-]+`)

package archive

import (
	"archive/zip"
	"bytes"
	"crypto/sha256"
	"encoding/binary"
	"encoding/hex"
	"errors"
	"fmt"
	"image"
	"os"
	"reflect"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"ruleout/dialog"
	"ruleout/dialog/learn"
	"ruleout/server/casebook"
	pic "ruleout/server/casebook/photo"

	"image/png"
)

func at(minute int) time.Time { return time.Date(1999, 3, 1, 9, minute, 0, 250e6, time.UTC) }

// picture is a photo as it is kept, with its name.
func picture(t testing.TB) (string, []byte) {
	t.Helper()
	var b bytes.Buffer
	if err := png.Encode(&b, image.NewGray(image.Rect(0, 0, 9, 7))); err != nil {
		t.Fatal(err)
	}
	c, err := pic.Keep(b.Bytes())
	if err != nil {
		t.Fatal(err)
	}
	sum := sha256.Sum256(c.Data)
	return hex.EncodeToString(sum[:]) + ".png", c.Data
}

func sample(t testing.TB) Contents {
	name, data := picture(t)
	volts := 12.45
	return Contents{
		Cases: []casebook.Whole{{
			ID: "k3jv6x2aqm5c",
			About: casebook.About{Begun: at(0), Vehicle: "carrier", Ended: &casebook.Ended{As: "something else", Note: "a mouse's nest: on the fan", Turns: 4}, Given: dialog.Given{Vehicle: map[string]string{"fuel": "petrol", "year": "1999"},
				Learned: &learn.Counts{Strength: 100, Cases: 7, None: 1, Causes: map[string]float64{"fan-motor-failed": 2.5}, Checks: map[string]learn.Timing{"feed": {N: 2, Minutes: 11.5}}}}},
			Records: []casebook.Record{
				{Key: "a1", When: at(1), Turn: dialog.Turn{Text: "it gets hot: \"needle up\"\n\tin traffic # always\n- 100 °C ✓ \u2028 e\u0301"}},
				{When: at(2), Turn: dialog.Turn{Text: "12.45 V", Tap: &dialog.Tap{Finding: "rest-volts", Value: &volts, Unit: "V"}}},
				{When: at(3), Turn: dialog.Turn{Text: "", Tap: &dialog.Tap{Ticks: []dialog.TickAnswer{{Finding: "part:fan-belt:slack", Outcome: "yes"}}}}},
				{When: at(4), Turn: dialog.Turn{Text: "yes", Tap: &dialog.Tap{Finding: "no", Outcome: "true", Strike: 2, Request: "why", About: "null", Choice: -1}}},
			},
			Attached: []casebook.Attached{{Turn: 1, When: at(5), Note: "the fuse\nwas the blue one"}, {Turn: 2, When: at(6), Photo: name, Width: 9, Height: 7}},
		}},
		Vehicles: []casebook.Vehicle{{ID: "carrier", Name: "The village's Tolland Carrier", Facts: map[string]string{"fuel": "petrol"}, Notes: "key sticks", Changed: at(0)}},
		Photos:   map[string][]byte{name: data},
		Ledger:   learn.Ledger{"k3jv6x2aqm5c": {Case: "k3jv6x2aqm5c", Turns: 4, Closed: true, Causes: []string{"fan-motor-failed"}, Minutes: map[string]float64{"feed": 6.5}}},
	}
}

func written(t testing.TB, c Contents) []byte {
	t.Helper()
	var b bytes.Buffer
	err := Write(&b, c, func(id string, n int) string {
		return fmt.Sprintf("Understood: turn %d of **%s**.\n\nNext: …", n, id)
	}, func(name string) ([]byte, error) {
		if d, ok := c.Photos[name]; ok {
			return d, nil
		}
		return nil, os.ErrNotExist
	})
	if err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// What is written comes back the same, and writing it again gives the same
// bytes.
func TestThereAndBack(t *testing.T) {
	c := sample(t)
	data := written(t, c)
	got, err := Read(data)
	if err != nil {
		t.Fatal(err)
	}
	if d := cmp.Diff(c, got, cmpopts.EquateEmpty()); d != "" {
		t.Error(d)
	}
	if !bytes.Equal(data, written(t, got)) {
		t.Error("written again it is not the same")
	}
}

// A case can be read like a letter: words and answers stand in it as they are.
func TestCaseIsReadable(t *testing.T) {
	w := sample(t).Cases[0]
	data, err := WriteCase(w, func(n int) string { return "Understood: battery flat.\nNext: look at the clamps." })
	if err != nil {
		t.Fatal(err)
	}
	for _, line := range []string{"ruleout-case: 1", "id: k3jv6x2aqm5c", "fuel: petrol", "says: 12.45 V", "      Next: look at the clamps.", "- turn: 2"} {
		if !strings.Contains(string(data), line+"\n") {
			t.Errorf("the line %q is missing in\n%s", line, data)
		}
	}
}

// zipped makes an archive of any names and bytes.
func zipped(t testing.TB, files ...string) []byte {
	t.Helper()
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	for i := 0; i+1 < len(files); i += 2 {
		f, err := z.Create(files[i])
		if err != nil {
			t.Fatal(err)
		}
		if _, err := f.Write([]byte(files[i+1])); err != nil {
			t.Fatal(err)
		}
	}
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

const smallCase = "ruleout-case: 1\nid: one\nbegun: 1999-03-01T09:00:00Z\nturns:\n  - {when: 1999-03-01T09:00:01Z, says: it gets hot}\n"

// Every hostile file is refused with where, what and how to mend it.
func TestHostileArchives(t *testing.T) {
	if _, err := Read(zipped(t, "cases/one.yaml", smallCase)); err != nil {
		t.Fatalf("the good one: %v", err)
	}
	name, data := picture(t)
	whole := written(t, sample(t))
	// An archive that claims a small size of a file which unpacks to much more.
	bomb := zipped(t, "cases/one.yaml", smallCase+"# "+strings.Repeat("0", 60<<20))
	lying := bytes.Clone(bomb)
	dir := bytes.LastIndex(lying, []byte("PK\x01\x02"))
	binary.LittleEndian.PutUint32(lying[dir+24:], 200)
	link := func() []byte {
		var b bytes.Buffer
		z := zip.NewWriter(&b)
		h := &zip.FileHeader{Name: "cases/one.yaml"}
		h.SetMode(os.ModeSymlink | 0o777)
		f, err := z.CreateHeader(h)
		if err != nil {
			t.Fatal(err)
		}
		fmt.Fprint(f, "/etc/passwd")
		z.Close()
		return b.Bytes()
	}()
	many := []string{}
	for i := range filesMost + 1 {
		many = append(many, fmt.Sprintf("cases/c%d.yaml", i), "")
	}
	for what, c := range map[string]struct {
		data        []byte
		where, says string
	}{
		"no zip":               {[]byte("it gets hot"), "the archive", "no whole ZIP"},
		"nothing":              {nil, "the archive", "no whole ZIP"},
		"half":                 {whole[:len(whole)/2], "the archive", "no whole ZIP"},
		"a bomb":               {bomb, "cases/one.yaml", "more than is taken"},
		"a bomb that lies":     {lying, "cases/one.yaml", "it"},
		"too many files":       {zipped(t, many...), "the archive", "at most 20000"},
		"up and out":           {zipped(t, "../../cases/one.yaml", smallCase), "../../cases/one.yaml", "no place"},
		"absolute":             {zipped(t, "/etc/cron.d/one.yaml", smallCase), "/etc/cron.d", "no place"},
		"backslashes":          {zipped(t, `..\cases\one.yaml`, smallCase), `..\\cases`, "no place"},
		"photo that climbs":    {zipped(t, "photos/../../"+name, string(data)), "photos/..", "no place"},
		"a program":            {zipped(t, "run.sh", "#!/bin/sh"), "run.sh", "no place"},
		"a folder":             {zipped(t, "cases/", ""), "cases/", "not a plain file"},
		"a link":               {link, "cases/one.yaml", "not a plain file"},
		"twice":                {zipped(t, "cases/one.yaml", smallCase, "cases/one.yaml", smallCase), "cases/one.yaml", "there twice"},
		"under another name":   {zipped(t, "cases/two.yaml", smallCase), "cases/two.yaml", "has the id one"},
		"photo of other bytes": {zipped(t, "photos/"+name, string(data)+"x"), name, "not those it is named by"},
		"a page as photo":      {pageAsPhoto(t), "photos/", "more than the picture"},
		"photo that is not in": {zipped(t, "cases/one.yaml", smallCase+"attached:\n  - {turn: 1, when: 1999-03-01T09:00:02Z, photo: "+name+"}\n"), "cases/one.yaml", "not in the archive"},
		"binary case":          {zipped(t, "cases/one.yaml", "\x7fELF\x00\x00"), "cases/one.yaml", "not text"},
		"sheets of binary":     {zipped(t, "vehicles.yaml", "\xff\xfe"), "vehicles.yaml", "not text"},
		"learned of the next":  {zipped(t, "learned.yaml", "ruleout-learned: 2\nclosed: []\n"), "learned.yaml:1:18", "this program knows 1"},
	} {
		_, err := Read(c.data)
		var f *Fault
		if !errors.As(err, &f) || !strings.Contains(f.Where, c.where) || !strings.Contains(f.What, c.says) {
			t.Errorf("%s: %v", what, err)
		}
	}
}

func pageAsPhoto(t testing.TB) []byte {
	page := "<html><script>alert(1)</script></html>"
	sum := sha256.Sum256([]byte(page))
	return zipped(t, "photos/"+hex.EncodeToString(sum[:])+".jpg", page)
}

func TestHostileCases(t *testing.T) {
	turns := func(s string) string {
		return "ruleout-case: 1\nid: one\nbegun: 1999-03-01T09:00:00Z\nturns:\n" + s
	}
	laughs := "ruleout-case: 1\nid: one\na: &a [x,x,x,x,x,x,x,x,x]\nb: &b [*a,*a,*a,*a,*a,*a,*a,*a,*a]\nc: [*b,*b,*b,*b,*b,*b,*b,*b]\n"
	for what, c := range map[string]struct{ text, says string }{
		"nothing":           {"", "empty"},
		"a list":            {"- a\n", "not a file of this program"},
		"another program's": {"name: x\nturns: []\n", "ruleout-case is missing"},
		"the next version":  {strings.Replace(smallCase, "case: 1", "case: 2", 1), "this program knows 1"},
		"a version of text": {strings.Replace(smallCase, "case: 1", "case: one", 1), "this program knows 1"},
		"an unknown key":    {smallCase + "execute: rm\n", "execute"},
		"the key as value":  {"x: ruleout-case\n", "ruleout-case is missing"},
		"billion laughs":    {laughs, "anchors"},
		"deep":              {"ruleout-case: 1\nid: " + strings.Repeat("[", 9000) + strings.Repeat("]", 9000), ""},
		"two documents":     {smallCase + "---\n" + smallCase, "more than one"},
		"not YAML":          {"ruleout-case: 1\n\tid: [", ""},
		"an id that climbs": {strings.Replace(smallCase, "id: one", "id: ../../one", 1), "its id is"},
		"no turns":          {"ruleout-case: 1\nid: one\nturns: []\n", "no turns"},
		"a turn at no time": {turns("  - {says: hot}\n"), "no time"},
		"turns of the kind": {"ruleout-case: 1\nid: one\nturns: 7\n", "line 3"},
		"endless reading":   {turns("  - {when: 1999-03-01T09:00:01Z, says: x, tap: {finding: f, value: .inf}}\n"), "no meter"},
		"no number":         {turns("  - {when: 1999-03-01T09:00:01Z, says: x, tap: {finding: f, value: .nan}}\n"), "no meter"},
		"a note nowhere":    {smallCase + "attached: [{turn: 9, when: 1999-03-01T09:00:01Z, note: x}]\n", "belongs to turn 9"},
		"a photo that runs": {smallCase + "attached: [{turn: 1, when: 1999-03-01T09:00:01Z, photo: ../x.sh}]\n", "its photo is called"},
		"a fact with lines": {smallCase + "vehicle: {facts: {fuel: \"a\\nb\"}}\n", "the fact"},
		"counts below none": {smallCase + "counts: {strength: -1}\n", "counts"},
		"more than all":     {smallCase + "counts: {strength: 100, cases: 2, causes: {fan: 3}}\n", "3 of 2"},
		"ended in the air":  {smallCase + "ended: {as: exploded, turns: 1}\n", "exploded"},
		"ended after all":   {smallCase + "ended: {as: handed over, turns: 2}\n", "at turn 2"},
		"a long note":       {smallCase + "attached: [{turn: 1, when: 1999-03-01T09:00:01Z, note: " + strings.Repeat("x", 4*noteMost+1) + "}]\n", "longer"},
	} {
		_, err := ReadCase("one.yaml", []byte(c.text))
		var f *Fault
		if !errors.As(err, &f) || !strings.Contains(f.Where, "one.yaml") || !strings.Contains(f.What, c.says) {
			t.Errorf("%s: %v", what, err)
		}
	}
}

func TestHostileLedgers(t *testing.T) {
	head := "ruleout-learned: 1\nclosed:\n"
	if _, err := ReadLedger("l", []byte(head+"  - {case: a, turns: 3, closed: true, causes: [fan, fuse], minutes: {feed: 6}}\n")); err != nil {
		t.Fatal(err)
	}
	for what, text := range map[string]string{
		"twice the same":        "  - {case: a, turns: 1, closed: true}\n  - {case: a, turns: 1, closed: true}\n",
		"a cause twice":         "  - {case: a, turns: 1, closed: true, causes: [fan, fan]}\n",
		"five causes":           "  - {case: a, turns: 1, closed: true, causes: [a, b, c, d, e]}\n",
		"a check of no time":    "  - {case: a, turns: 1, closed: true, minutes: {feed: 0}}\n",
		"a check of a year":     "  - {case: a, turns: 1, closed: true, minutes: {feed: 500000}}\n",
		"a case without a name": "  - {case: '', turns: 1, closed: true}\n",
		"before the first turn": "  - {case: a, turns: -1, closed: true}\n",
	} {
		var f *Fault
		if _, err := ReadLedger("l", []byte(head+text)); !errors.As(err, &f) {
			t.Errorf("%s: %v", what, err)
		}
	}
}

// Whatever the bytes, a file is read or refused; what is read can be written
// and read again.
func FuzzReadCase(f *testing.F) {
	data, err := WriteCase(sample(f).Cases[0], nil)
	if err != nil {
		f.Fatal(err)
	}
	f.Add(data)
	f.Add([]byte(smallCase))
	f.Fuzz(func(t *testing.T, data []byte) {
		w, err := ReadCase("x", data)
		if err != nil {
			return
		}
		again, err := WriteCase(w, nil)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := ReadCase("x", again); err != nil {
			t.Errorf("what was read can't be read again: %v", err)
		}
	})
}

func FuzzReadArchive(f *testing.F) {
	f.Add(written(f, sample(f)))
	f.Add(zipped(f, "cases/one.yaml", smallCase))
	f.Fuzz(func(t *testing.T, data []byte) { _, _ = Read(data) })
}

// A tap is written with all it has: one that gained a member is noticed.
func TestTapIsWrittenWhole(t *testing.T) {
	mine, theirs := reflect.TypeFor[tap](), reflect.TypeFor[dialog.Tap]()
	for i := range theirs.NumField() {
		if _, ok := mine.FieldByName(theirs.Field(i).Name); !ok {
			t.Errorf("a tap's %s is not written", theirs.Field(i).Name)
		}
	}
	if mine.NumField() != theirs.NumField() {
		t.Errorf("a tap has %d members, %d are written", theirs.NumField(), mine.NumField())
	}
}

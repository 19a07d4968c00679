package main

import (
	"archive/zip"
	"bytes"
	"encoding/json"
	"fmt"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"ruleout/dialog"
	"ruleout/server/casebook"
	"ruleout/server/chat"
)

// cured is a conversation that ends with a proven cause.
func (p *program) cured(t testing.TB, id string) *dialog.Reply {
	t.Helper()
	var r *dialog.Reply
	for _, text := range story[:6] {
		r = p.tell(t, id, said(text))
	}
	for range 6 {
		if r.Closed != "" {
			return r
		}
		turn := said("it's fixed")
		if r.Next != nil {
			for i, q := range r.Next.Quick {
				if q.Text == "cured it" || r.Next.Kind == "proof" && i == 0 { // the proof was seen
					turn = dialog.Turn{Text: q.Text, Tap: &q.Tap}
					break
				}
			}
		}
		r = p.tell(t, id, turn)
	}
	t.Fatalf("the story does not end: %q", r.Text)
	return nil
}

// Facts of a sheet carry into a case, can be corrected there, and the
// correction goes back onto the sheet when it is wanted, not before.
func TestVehicleFactsCarryOver(t *testing.T) {
	data := t.TempDir()
	p := startProgram(t, data)
	var v casebook.Vehicle
	p.send(t, "POST", "/api/vehicles", chat.SheetSent{Name: "  The   van ", Facts: map[string]string{"fuel": "petrol", "year": " 1999", "gearbox": ""}}, 201, &v)
	if v.Name != "The van" || v.Facts["year"] != "1999" || len(v.Facts) != 2 {
		t.Errorf("the sheet is kept as %+v", v)
	}
	var c chat.Case
	p.send(t, "POST", "/api/cases", map[string]string{"vehicle": v.ID}, 201, &c)
	if c.Vehicle != v.ID || c.Opening.Vehicle["fuel"] != "petrol" || c.Opening.Vehicle["year"] != "1999" {
		t.Errorf("the case begins with %v of %s", c.Opening.Vehicle, c.Vehicle)
	}
	r := p.tell(t, c.ID, said("it gets hot in traffic. no sorry it's a diesel, an automatic"))
	if r.Vehicle["fuel"] != "diesel" || r.Vehicle["gearbox"] != "automatic" {
		t.Fatalf("told otherwise the case knows %v", r.Vehicle)
	}
	var known chat.CaseVehicle
	p.send(t, "GET", "/api/cases/"+c.ID+"/vehicle", nil, 200, &known)
	want := []chat.Correction{{Attribute: "fuel", Title: "Fuel", Case: "diesel", Sheet: "petrol"}, {Attribute: "gearbox", Title: "Gearbox", Case: "automatic"}}
	known.Corrections = withoutImplied(known.Corrections)
	if d := cmp.Diff(want, known.Corrections); d != "" {
		t.Error(d)
	}
	var before chat.Sheet
	p.send(t, "GET", "/api/vehicles/"+v.ID, nil, 200, &before)
	if before.Facts["fuel"] != "petrol" || len(before.Cases) != 1 || before.Cases[0].ID != c.ID {
		t.Errorf("the sheet changed by itself or has not its case: %+v", before)
	}
	_, whole := request(t, "GET", p.url+"/api/cases/"+c.ID, "", nil)
	p.send(t, "POST", "/api/cases/"+c.ID+"/vehicle", map[string][]string{"attributes": {"fuel"}}, 200, &v)
	if v.Facts["fuel"] != "diesel" || v.Facts["gearbox"] != "" {
		t.Errorf("one fact was wanted on the sheet: %v", v.Facts)
	}
	p.stop(t)
	// The case replays to the same bytes though its sheet has changed.
	p = startProgram(t, data)
	if _, again := request(t, "GET", p.url+"/api/cases/"+c.ID, "", nil); !bytes.Equal(whole, again) {
		t.Error("the case changed with its sheet")
	}
	p.send(t, "GET", "/api/vehicles/"+v.ID, nil, 200, &before)
	if before.Facts["fuel"] != "diesel" {
		t.Error("the sheet was not kept")
	}
	// A sheet made from a case takes its facts over and becomes its sheet.
	other := p.newCase(t)
	p.tell(t, other.ID, said("my 2003 diesel estate won't start"))
	p.send(t, "POST", "/api/vehicles", chat.SheetSent{Name: "estate", From: other.ID}, 201, &v)
	if v.Facts["fuel"] != "diesel" || v.Facts["year"] != "2003" {
		t.Errorf("made from a case: %v", v.Facts)
	}
	p.send(t, "GET", "/api/cases/"+other.ID+"/vehicle", nil, 200, &known)
	if known.Sheet != v.ID || len(known.Corrections) != 0 {
		t.Errorf("the case knows of its new sheet: %+v", known)
	}
}

func withoutImplied(list []chat.Correction) []chat.Correction {
	var out []chat.Correction
	for _, c := range list {
		if c.Attribute == "fuel" || c.Attribute == "gearbox" {
			out = append(out, c)
		}
	}
	return out
}

func TestHostileSheets(t *testing.T) {
	p := startProgram(t, t.TempDir())
	long := strings.Repeat("x", 5000)
	for what, body := range map[string]any{
		"no name":           chat.SheetSent{Name: "  "},
		"a long name":       chat.SheetSent{Name: long},
		"a name with bells": chat.SheetSent{Name: "van\x07\x1b[2J"},
		"unknown attribute": chat.SheetSent{Name: "v", Facts: map[string]string{"wings": "two"}},
		"unknown value":     chat.SheetSent{Name: "v", Facts: map[string]string{"fuel": "coal"}},
		"no year":           chat.SheetSent{Name: "v", Facts: map[string]string{"year": "99999"}},
		"long mileage":      chat.SheetSent{Name: "v", Facts: map[string]string{"mileage": long}},
		"long notes":        chat.SheetSent{Name: "v", Notes: long},
		"unknown circuit":   chat.SheetSent{Name: "v", Arrangements: map[string]string{"warp-core": "x"}},
		"unknown wiring":    chat.SheetSent{Name: "v", Arrangements: map[string]string{"fan-circuit": "upside-down"}},
		"a list":            "[]",
		"half":              `{"name":`,
		"a number as name":  `{"name": 7}`,
	} {
		status, answer := 0, []byte(nil)
		data, isText := body.(string)
		if !isText {
			b, _ := json.Marshal(body)
			data = string(b)
		}
		status, answer = request(t, "POST", p.url+"/api/vehicles", "application/json", []byte(data))
		var wrong struct{ Error, Mend string }
		decode(t, answer, &wrong)
		if status != 400 || wrong.Error == "" || wrong.Mend == "" {
			t.Errorf("%s: %d %s", what, status, answer)
		}
	}
	p.send(t, "POST", "/api/vehicles", chat.SheetSent{Name: "v", From: "nobody"}, 404, nil)
	p.send(t, "POST", "/api/vehicles", strings.Repeat(" ", 70<<10), 413, nil)
	if status, _ := request(t, "POST", p.url+"/api/vehicles", "text/plain", []byte("van")); status != 415 {
		t.Errorf("plain text as a sheet: %d", status)
	}
	var list struct{ Vehicles []casebook.Vehicle }
	if p.get(t, "/api/vehicles", &list); len(list.Vehicles) != 0 {
		t.Errorf("%d hostile sheets were kept", len(list.Vehicles))
	}
}

// Notes and photos stay with their turn, over a restart, are served as
// pictures and nothing else, and go when they are taken away.
func TestNotesAndPhotos(t *testing.T) {
	data := t.TempDir()
	p := startProgram(t, data)
	c := p.newCase(t)
	p.tell(t, c.ID, said("my van gets hot in traffic"))
	var note, shot casebook.Attached
	p.send(t, "POST", "/api/cases/"+c.ID+"/notes", chat.NoteSent{Turn: 1, Note: " the fuse box\nis under the mat "}, 201, &note)
	p.send(t, "POST", "/api/cases/"+c.ID+"/photos?turn=1&note=fan", pictureJPEG(t, 50), 201, &shot)
	if note.Note != "the fuse box\nis under the mat" || shot.Width != 40 || shot.Height != 30 || !casebook.PhotoName(shot.Photo) {
		t.Errorf("kept: %+v, %+v", note, shot)
	}
	p.stop(t)
	p = startProgram(t, data)
	var list struct{ Attached []casebook.Attached }
	if p.get(t, "/api/cases/"+c.ID+"/attached", &list); len(list.Attached) != 2 || list.Attached[1].Photo != shot.Photo || list.Attached[0].Turn != 1 {
		t.Fatalf("after a restart: %+v", list)
	}
	res, err := client.Get(p.url + "/api/cases/" + c.ID + "/photos/" + shot.Photo)
	if err != nil {
		t.Fatal(err)
	}
	res.Body.Close()
	if res.Header.Get("Content-Type") != "image/jpeg" || res.Header.Get("X-Content-Type-Options") != "nosniff" || !strings.Contains(res.Header.Get("Content-Security-Policy"), "sandbox") {
		t.Errorf("served with %v", res.Header)
	}
	// Another case can't be used to get at it.
	other := p.newCase(t)
	p.send(t, "GET", "/api/cases/"+other.ID+"/photos/"+shot.Photo, nil, 404, nil)
	p.send(t, "DELETE", fmt.Sprintf("/api/cases/%s/attached/%d", c.ID, shot.Number), nil, 204, nil)
	p.send(t, "GET", "/api/cases/"+c.ID+"/photos/"+shot.Photo, nil, 404, nil)
	if files, err := os.ReadDir(filepath.Join(data, "photos")); err != nil || len(files) != 0 {
		t.Errorf("%d files are left of photos (%v)", len(files), err)
	}
}

func TestHostileNotesAndPhotos(t *testing.T) {
	data := t.TempDir()
	p := startProgram(t, data)
	c := p.newCase(t)
	at := "/api/cases/" + c.ID
	p.send(t, "POST", at+"/photos", []byte("GIF89a and more"), 415, nil)
	p.send(t, "POST", at+"/photos", []byte("<svg onload=alert(1)>"), 415, nil)
	p.send(t, "POST", at+"/photos", []byte(nil), 415, nil)
	p.send(t, "POST", at+"/photos", []byte("\xff\xd8\xff<script>"), 400, nil)
	p.send(t, "POST", at+"/photos?turn=7", pictureJPEG(t, 1), 400, nil)
	p.send(t, "POST", at+"/photos?turn=-1", pictureJPEG(t, 1), 400, nil)
	p.send(t, "POST", at+"/photos?turn=x", pictureJPEG(t, 1), 400, nil)
	p.send(t, "POST", at+"/photos?note="+strings.Repeat("x", 3000), pictureJPEG(t, 1), 400, nil)
	p.send(t, "POST", at+"/photos", append(pictureJPEG(t, 1), make([]byte, 17<<20)...), 413, nil)
	p.send(t, "POST", "/api/cases/nobody/photos", pictureJPEG(t, 1), 404, nil)
	p.send(t, "POST", at+"/notes", chat.NoteSent{Note: " \n "}, 400, nil)
	p.send(t, "POST", at+"/notes", chat.NoteSent{Note: strings.Repeat("ü", 2001)}, 400, nil)
	p.send(t, "POST", "/api/cases/nobody/notes", chat.NoteSent{Note: "x"}, 404, nil)
	p.send(t, "DELETE", at+"/attached/0", nil, 400, nil)
	p.send(t, "DELETE", at+"/attached/x", nil, 400, nil)
	for _, name := range []string{"..%2f..%2fcases.db", "%2e%2e", strings.Repeat("0", 64) + ".jpg", "x.svg"} {
		p.send(t, "GET", at+"/photos/"+name, nil, 404, nil)
	}
	var list struct{ Attached []casebook.Attached }
	if p.get(t, at+"/attached", &list); len(list.Attached) != 0 {
		t.Errorf("kept: %+v", list)
	}
	if files, _ := os.ReadDir(filepath.Join(data, "photos")); len(files) != 0 {
		t.Errorf("%d files were written", len(files))
	}
}

// Everything goes out as one archive and into another garage, where it is the
// same to the byte; bringing it in again changes nothing, and a case that went
// on is brought up to date.
func TestExportAndImport(t *testing.T) {
	p := startProgram(t, t.TempDir())
	var v casebook.Vehicle
	p.send(t, "POST", "/api/vehicles", chat.SheetSent{Name: "the van", Facts: map[string]string{"fuel": "petrol"}}, 201, &v)
	var c chat.Case
	p.send(t, "POST", "/api/cases", map[string]string{"vehicle": v.ID}, 201, &c)
	p.cured(t, c.ID)
	p.send(t, "POST", "/api/cases/"+c.ID+"/photos?turn=1", picturePNG(t), 201, nil)
	p.send(t, "POST", "/api/cases/"+c.ID+"/notes", chat.NoteSent{Turn: 2, Note: "it was hot"}, 201, nil)
	open := p.newCase(t)
	p.tell(t, open.ID, said("dead every monday"))
	_, all := request(t, "GET", p.url+"/api/export", "", nil)

	far := startProgram(t, t.TempDir())
	var n casebook.Imported
	far.send(t, "POST", "/api/import", all, 200, &n)
	if n != (casebook.Imported{Cases: 2, Vehicles: 1, Photos: 1}) {
		t.Errorf("imported %+v", n)
	}
	for _, id := range []string{c.ID, open.ID} {
		for _, path := range []string{"", "/attached", "/vehicle", "/report"} {
			_, here := request(t, "GET", p.url+"/api/cases/"+id+path, "", nil)
			_, there := request(t, "GET", far.url+"/api/cases/"+id+path, "", nil)
			if !bytes.Equal(here, there) {
				t.Errorf("case %s%s is another one there", id, path)
			}
		}
	}
	far.send(t, "POST", "/api/import", all, 200, &n)
	if n.Cases != 0 || n.Longer != 0 || n.Same != 2 || n.Vehicles != 0 {
		t.Errorf("imported again: %+v", n)
	}
	var list struct{ Attached []casebook.Attached }
	if far.get(t, "/api/cases/"+c.ID+"/attached", &list); len(list.Attached) != 2 {
		t.Errorf("after two imports the case has %d notes and photos", len(list.Attached))
	}
	// The one that is open goes on here; there somebody looks at it.
	conn, _ := far.dial(t, open.ID)
	p.tell(t, open.ID, said("it read 12.1 V this morning"))
	_, one := request(t, "GET", p.url+"/api/cases/"+open.ID+"/export", "", nil)
	if status, answer := request(t, "POST", far.url+"/api/import", "application/yaml", one); status != 200 || !strings.Contains(string(answer), `"longer":1`) {
		t.Errorf("the case that went on: %d %s", status, answer)
	}
	conn.Close()
	var went chat.Case
	if far.get(t, "/api/cases/"+open.ID, &went); len(went.Turns) != 2 {
		t.Errorf("it has %d turns there", len(went.Turns))
	}
	if r := far.tell(t, open.ID, said("why?")); r.Turn != 3 {
		t.Errorf("its next turn there is number %d", r.Turn)
	}
	// Now both went on, each its own way: refused, and nothing is changed.
	p.tell(t, open.ID, said("the terminals are clean"))
	_, one = request(t, "GET", p.url+"/api/cases/"+open.ID+"/export", "", nil)
	if status, answer := request(t, "POST", far.url+"/api/import", "application/yaml", one); status != 400 || !strings.Contains(string(answer), "another way from turn 3") {
		t.Errorf("two ways: %d %s", status, answer)
	}
}

// A hostile file is refused, whole, with where, what and how to mend it.
func TestHostileImport(t *testing.T) {
	data := t.TempDir()
	p := startProgram(t, data)
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	f, _ := z.Create("cases/good.yaml")
	fmt.Fprint(f, "ruleout-case: 1\nid: good\nbegun: 1999-03-01T09:00:00Z\nturns:\n  - {when: 1999-03-01T09:00:01Z, says: it gets hot}\n")
	f, _ = z.Create("../../../escape.yaml")
	fmt.Fprint(f, "x")
	z.Close()
	for _, body := range [][]byte{b.Bytes(), []byte("PK\x03\x04 nothing"), []byte("ruleout-case: 9\n"), []byte("\x00\x01\x02"), {}, []byte("- a\n- b\n")} {
		p.send(t, "POST", "/api/import", body, 400, nil)
	}
	p.send(t, "POST", "/api/import", append([]byte("PK"), make([]byte, 65<<20)...), 413, nil)
	var list struct{ Cases []chat.Listed }
	if p.get(t, "/api/cases", &list); len(list.Cases) != 0 {
		t.Errorf("%d cases came in", len(list.Cases))
	}
	if _, err := os.Stat(filepath.Join(filepath.Dir(filepath.Dir(filepath.Dir(data))), "escape.yaml")); err == nil {
		t.Error("a file was written outside")
	}
}

// Closed cases count in the cases begun after them, are shown beside the
// authored figures, go to another garage and come back without counting twice;
// a case taken up again counts no more, nor does one thrown away.
func TestClosedCasesTeach(t *testing.T) {
	data := t.TempDir()
	p := startProgram(t, data)
	c := p.newCase(t)
	r := p.cured(t, c.ID)
	if r.Closed != "cured" {
		t.Fatalf("the story ends as %q", r.Closed)
	}
	var f chat.LearnedFigures
	p.send(t, "GET", "/api/learned", nil, 200, &f)
	if !f.On || f.Cases != 1 || f.None != 0 || len(f.Causes) != 1 || f.Causes[0].Was != 1 {
		t.Fatalf("learned: %+v", f)
	}
	k := f.Causes[0]
	if k.Now <= k.Authored || f.NonePrior >= 0.05 {
		t.Errorf("%s: authored %g, now %g; none of these %g", k.ID, k.Authored, k.Now, f.NonePrior)
	}
	if _, page := request(t, "GET", p.url+"/articles/"+k.ID, "", nil); !strings.Contains(string(page), "here 1 of 1") {
		t.Error("the article does not show what was learned")
	}
	// A case begun now knows; it replays to the same after more was learned.
	second := p.newCase(t)
	p.tell(t, second.ID, said(story[0]))
	_, before := request(t, "GET", p.url+"/api/cases/"+second.ID, "", nil)
	third := p.newCase(t)
	p.cured(t, third.ID)
	p.stop(t)
	p = startProgram(t, data)
	if _, after := request(t, "GET", p.url+"/api/cases/"+second.ID, "", nil); !bytes.Equal(before, after) {
		t.Error("a case changed with what others taught")
	}
	plain := startProgram(t, t.TempDir(), "-learn", "0")
	first := plain.newCase(t)
	authored := plain.tell(t, first.ID, said(story[0]))
	var whole chat.Case
	decode(t, before, &whole)
	if a, b := probabilityOf(authored, k.ID), probabilityOf(whole.Turns[0].Reply, k.ID); b <= a {
		t.Errorf("%s is at %g with what was learned, at %g without", k.ID, b, a)
	}
	// Another garage.
	_, ledger := request(t, "GET", p.url+"/api/learned/export", "", nil)
	if strings.Contains(string(ledger), "traffic") {
		t.Error("the file of what was learned holds words")
	}
	far := startProgram(t, t.TempDir())
	for i, want := range []string{`{"new":2}`, `{"new":0}`} {
		if status, answer := request(t, "POST", far.url+"/api/learned/merge", "application/yaml", ledger); status != 200 || strings.TrimSpace(string(answer)) != want {
			t.Errorf("merge %d: %d %s", i+1, status, answer)
		}
	}
	far.cured(t, far.newCase(t).ID)
	_, ledger = request(t, "GET", far.url+"/api/learned/export", "", nil)
	if status, answer := request(t, "POST", p.url+"/api/learned/merge", "application/yaml", ledger); status != 200 || strings.TrimSpace(string(answer)) != `{"new":1}` {
		t.Errorf("merged back: %d %s", status, answer)
	}
	p.send(t, "GET", "/api/learned", nil, 200, &f)
	if f.Cases != 3 {
		t.Errorf("%d cases after all", f.Cases)
	}
	// Taken up again.
	if r := p.tell(t, third.ID, said("it's still doing it")); r.Closed != "" {
		t.Fatalf("the case is %q", r.Closed)
	}
	p.send(t, "GET", "/api/learned", nil, 200, &f)
	if f.Cases != 2 {
		t.Errorf("%d cases when one was taken up again", f.Cases)
	}
	p.send(t, "DELETE", "/api/cases/"+c.ID, nil, 204, nil)
	p.send(t, "GET", "/api/learned", nil, 200, &f)
	if f.Cases != 1 {
		t.Errorf("%d cases when one was thrown away", f.Cases)
	}
	for _, bad := range []string{"", "x", "ruleout-learned: 7\nclosed: []\n", "\x00"} {
		if status, answer := request(t, "POST", p.url+"/api/learned/merge", "application/yaml", []byte(bad)); status != 400 {
			t.Errorf("%q merged: %d %s", bad, status, answer)
		}
	}
}

func probabilityOf(r *dialog.Reply, id string) float64 {
	for _, s := range r.Suspects {
		if s.ID == id {
			return s.Probability
		}
	}
	return 0
}

// Past cases are found in plain words, and those like an open one.
func TestPastCasesSearch(t *testing.T) {
	p := startProgram(t, t.TempDir())
	hot, flat := p.newCase(t), p.newCase(t)
	for _, text := range story[:3] {
		p.tell(t, hot.ID, said(text))
	}
	p.tell(t, flat.ID, said("dead every monday, fine rest of the week. a mate put a radio in"))
	find := func(path string) []chat.CaseHit {
		t.Helper()
		var got struct{ Hits []chat.CaseHit }
		if status := p.get(t, path, &got); status != http.StatusOK {
			t.Fatalf("%s: %d", path, status)
		}
		return got.Hits
	}
	if h := find("/api/cases?q=overheating+at+lights"); len(h) == 0 || h[0].ID != hot.ID || h[0].Snippet == "" || len(h[0].Recap) == 0 {
		t.Errorf("overheating: %+v", h)
	}
	if h := find("/api/cases?q=radio"); len(h) != 1 || h[0].ID != flat.ID {
		t.Errorf("radio: %+v", h)
	}
	third := p.newCase(t)
	if h := find("/api/cases/" + third.ID + "/like"); len(h) != 0 {
		t.Errorf("like a case without words: %+v", h)
	}
	p.tell(t, third.ID, said("needle goes up when i sit in traffic"))
	if h := find("/api/cases/" + third.ID + "/like"); len(h) == 0 || h[0].ID != hot.ID {
		t.Errorf("like the third: %+v", h)
	}
	p.send(t, "DELETE", "/api/cases/"+hot.ID, nil, 204, nil)
	if h := find("/api/cases?q=overheating+at+lights"); len(h) > 0 && h[0].ID == hot.ID {
		t.Error("a case that was thrown away is found")
	}
	p.send(t, "GET", "/api/cases/nobody/like", nil, 404, nil)
	p.send(t, "GET", "/api/cases?q=fan&limit=0", nil, 400, nil)
	for _, q := range []string{"%00", "%ff%fe", strings.Repeat("fan+", 2000), "%F0%9F%94%A7", "-+\"*~^"} {
		find("/api/cases?q=" + q)
	}
}

// The report stands as Markdown, for oneself and for a workshop, with the notes
// in it and nothing of them taken for markup.
func TestReport(t *testing.T) {
	p := startProgram(t, t.TempDir())
	c := p.newCase(t)
	p.cured(t, c.ID)
	p.send(t, "POST", "/api/cases/"+c.ID+"/notes", chat.NoteSent{Turn: 1, Note: "see <script>alert(1)</script> [x](javascript:1)"}, 201, nil)
	for _, path := range []string{"/api/cases/" + c.ID + "/report", "/cases/" + c.ID + "/report.md"} {
		status, text := request(t, "GET", p.url+path, "", nil)
		if status != 200 || !strings.Contains(string(text), "# ") || !strings.Contains(string(text), "## Ruled out") || !strings.Contains(string(text), `\<script\>`) {
			t.Errorf("%s: %d %s", path, status, text)
		}
	}
	_, shop := request(t, "GET", p.url+"/api/cases/"+c.ID+"/report?for=shop", "", nil)
	if !strings.Contains(string(shop), "For the workshop") {
		t.Errorf("for a workshop: %.300s", shop)
	}
	_, page := request(t, "GET", p.url+"/cases/"+c.ID+"/report", "", nil)
	if strings.Contains(string(page), "<script>alert") || strings.Contains(string(page), `href="javascript`) || !strings.Contains(string(page), "<h2>") {
		t.Error("the page of the report takes a note for markup, or has no headings")
	}
	p.send(t, "GET", "/api/cases/nobody/report", nil, 404, nil)
	p.send(t, "GET", "/api/cases/"+c.ID+"/report?for=money", nil, 400, nil)
}

// The pages' forms work without scripts, and say what was wrong.
func TestCaseForms(t *testing.T) {
	p := startProgram(t, t.TempDir())
	c := p.newCase(t)
	p.tell(t, c.ID, said("my van gets hot in traffic"))
	post := func(path, body string) (int, string) {
		t.Helper()
		status, answer := request(t, "POST", p.url+path, "application/x-www-form-urlencoded", []byte(body))
		return status, string(answer)
	}
	if status, page := post("/vehicles", "name=&fact-fuel=petrol"); status != 400 || !strings.Contains(page, "has no name") {
		t.Errorf("a sheet without a name: %d", status)
	}
	if status, page := post("/vehicles", "name=van&fact-fuel=petrol&fact-year=1999"); status != 200 || !strings.Contains(page, "The sheet is kept") || !strings.Contains(page, `value="1999"`) {
		t.Errorf("a sheet: %d", status)
	}
	if status, page := post("/vehicles", "name=Estate&from="+c.ID); status != 200 || !strings.Contains(page, "gets hot") && !strings.Contains(page, "too hot") {
		t.Errorf("a sheet from a job: %d", status)
	}
	if status, page := post("/cases/"+c.ID+"/delete", ""); status != 400 || !strings.Contains(page, "not confirmed") {
		t.Errorf("delete without confirmation: %d", status)
	}
	if status, page := post("/cases/"+c.ID+"/carry", ""); status != 400 || !strings.Contains(page, "Nothing was chosen") {
		t.Errorf("carry nothing: %d", status)
	}
	if status, page := post("/cases/"+c.ID+"/attach", "note=x"); status != 400 || !strings.Contains(page, "no form with a file") {
		t.Errorf("attach by another form: %d", status)
	}
	if status, _ := post("/cases/nobody/delete", "sure=yes"); status != 404 {
		t.Errorf("delete of nobody: %d", status)
	}
	if status, page := post("/cases/"+c.ID+"/delete", "sure=yes"); status != 200 || !strings.Contains(page, "thrown away") || strings.Contains(page, c.ID) {
		t.Errorf("delete: %d", status)
	}
	for _, path := range []string{"/vehicles/nobody", "/cases/nobody/file", "/cases/nobody/report"} {
		if status, _ := request(t, "GET", p.url+path, "", nil); status != 404 {
			t.Errorf("%s: %d", path, status)
		}
	}
	for _, path := range []string{"/jobs", "/jobs?q=hot", "/vehicles", "/learned", "/jobs?imported=x", "/jobs?done=nonsense", "/jobs?merged=9999999999999999999999"} {
		if status, _ := request(t, "GET", p.url+path, "", nil); status != 200 {
			t.Errorf("%s: %d", path, status)
		}
	}
}

// A case closed as something else counts as none of these, with a note in its
// report; another turn, or a word, opens it again. Handed over counts nothing.
func TestClosedAsSomethingElse(t *testing.T) {
	p := startProgram(t, t.TempDir())
	c := p.newCase(t)
	at := "/api/cases/" + c.ID
	p.send(t, "POST", at+"/ended", chat.EndedSent{As: "handed over"}, 400, nil)
	p.tell(t, c.ID, said(story[0]))
	p.send(t, "POST", at+"/ended", chat.EndedSent{As: "something else"}, 400, nil)
	state := func(want string, cases, none int) {
		t.Helper()
		var list struct{ Cases []chat.Listed }
		var f chat.LearnedFigures
		p.get(t, "/api/cases", &list)
		p.get(t, "/api/learned", &f)
		if list.Cases[0].State != want || f.Cases != cases || f.None != none {
			t.Errorf("%q with %d cases, %d none; want %q, %d, %d", list.Cases[0].State, f.Cases, f.None, want, cases, none)
		}
	}
	p.send(t, "POST", at+"/ended", chat.EndedSent{As: "something else", Note: "a nest in the *shroud*"}, 204, nil)
	state("something else", 1, 1)
	_, report := request(t, "GET", p.url+at+"/report", "", nil)
	if !strings.Contains(string(report), `Closed as something else: a nest in the \*shroud\*.`) {
		t.Errorf("the report says %.300s", report)
	}
	var f chat.LearnedFigures
	if p.get(t, "/api/learned", &f); f.NonePrior <= 0.05 {
		t.Errorf("none of these is at %g", f.NonePrior)
	}
	p.tell(t, c.ID, said("no, it still gets hot"))
	state("open", 0, 0)
	p.send(t, "POST", at+"/ended", chat.EndedSent{As: "handed over", Note: "the shop by the bridge"}, 204, nil)
	state("handed over", 0, 0)
	p.send(t, "POST", at+"/ended", chat.EndedSent{As: "open"}, 204, nil)
	state("open", 0, 0)
}

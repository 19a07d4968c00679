package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"ruleout/dialog"
	"ruleout/server/casebook"
)

// shelf is a data folder with a vehicle sheet and two cases, one of them
// closed as something else.
func shelf(t *testing.T) string {
	t.Helper()
	data := t.TempDir()
	book, err := casebook.Open(casesFile(data))
	if err != nil {
		t.Fatal(err)
	}
	defer book.Close()
	at := time.Date(1999, 3, 1, 9, 0, 0, 0, time.UTC)
	if err := book.PutVehicle(casebook.Vehicle{ID: "van1", Name: "The Van", Facts: map[string]string{"fuel": "petrol", "year": "1999"}, Changed: at}); err != nil {
		t.Fatal(err)
	}
	for id, text := range map[string]string{"hot1": "my van gets hot in traffic, fine on the open road", "flat1": "dead every monday"} {
		if err := book.Create(id, casebook.About{Begun: at, Vehicle: "van1", Given: dialog.Given{Vehicle: map[string]string{"fuel": "petrol"}}}); err != nil {
			t.Fatal(err)
		}
		if err := book.Append(id, casebook.Record{When: at, Turn: dialog.Turn{Text: text}}); err != nil {
			t.Fatal(err)
		}
	}
	if err := book.End("flat1", &casebook.Ended{As: casebook.EndedElse, Note: "a lamp in the boot", Turns: 1}); err != nil {
		t.Fatal(err)
	}
	return data
}

// The command lists, searches, reports, exports and imports, and says what is
// wrong.
func TestCasesCommand(t *testing.T) {
	data, far, out := shelf(t), t.TempDir(), t.TempDir()
	run := func(want int, args ...string) string {
		t.Helper()
		code, said, errs := command(t, "", append([]string{"cases"}, args...)...)
		if code != want {
			t.Errorf("cases %v: code %d, want %d: %s%s", args, code, want, said, errs)
		}
		return said + errs
	}
	if got := run(0, "-data", data); !strings.Contains(got, "hot1") || !strings.Contains(got, "flat1") || !strings.Contains(got, "something else") {
		t.Errorf("the list: %s", got)
	}
	if got := run(0, "-data", data, "-search", "overheats at the lights"); !strings.Contains(got, "hot1") || strings.Contains(got, "flat1") {
		t.Errorf("searched: %s", got)
	}
	if got := run(0, "-data", data, "-report", "hot1"); !strings.Contains(got, "## Complaint") {
		t.Errorf("the report: %s", got)
	}
	if got := run(0, "-data", data, "-report", "hot1", "-shop"); !strings.Contains(got, "For the workshop") {
		t.Errorf("the report for a workshop: %s", got)
	}
	if got := run(1, "-data", data, "-report", "nobody"); !strings.Contains(got, "nobody") {
		t.Errorf("the report of nobody: %s", got)
	}
	all, one, ledger := filepath.Join(out, "all.zip"), filepath.Join(out, "one.yaml"), filepath.Join(out, "learned.yaml")
	run(0, "-data", data, "-export", all)
	if got := run(1, "-data", data, "-export", all); !strings.Contains(got, "is there already") {
		t.Errorf("exported over a file: %s", got)
	}
	run(0, "-data", data, "-export", one, "-case", "hot1")
	run(0, "-data", data, "-learned", ledger)
	if text, err := os.ReadFile(one); err != nil || !strings.Contains(string(text), "says: my van gets hot in traffic") || !strings.Contains(string(text), "answer: ") {
		t.Errorf("one case as a file: %v %s", err, text)
	}
	if got := run(0, "-data", far, "-import", one); !strings.Contains(got, "1 new cases") {
		t.Errorf("imported one: %s", got)
	}
	if got := run(0, "-data", far, "-import", all); !strings.Contains(got, "1 new cases, 0 that had gone on elsewhere, 1 already here; 0 photos, 1 vehicles") {
		t.Errorf("imported all: %s", got)
	}
	run(0, "-data", far, "-merge", ledger)
	if got := run(1, "-data", far, "-import", ledger); !strings.Contains(got, "ruleout-case is missing") {
		t.Errorf("imported what was learned: %s", got)
	}
	if got := run(1, "-data", far, "-merge", one); !strings.Contains(got, "ruleout-learned is missing") {
		t.Errorf("merged a case: %s", got)
	}
	if got := run(1, "-data", far, "-import", filepath.Join(out, "nothing")); !strings.Contains(got, "nothing") {
		t.Errorf("imported nothing: %s", got)
	}
	run(2, "-data", far, "leftover")
	if code, said, _ := command(t, "", "check", "-data", far); code != 0 || !strings.Contains(said, "2 cases with 2 turns, 0 notes and photos, 1 vehicles, all readable") {
		t.Errorf("checked: %d %s", code, said)
	}
}

// talk -vehicle begins with the sheet, and at the end offers what was told
// otherwise.
func TestTalkVehicle(t *testing.T) {
	data := shelf(t)
	code, out, errs := command(t, "it gets hot in traffic\n", "talk", "-json", "-data", data, "-vehicle", "the van")
	if code != 0 || !strings.Contains(out, `"fuel":"petrol"`) || !strings.Contains(out, `"year":"1999"`) {
		t.Errorf("code %d: %.300s%s", code, out, errs)
	}
	if code, _, errs := command(t, "", "talk", "-data", data, "-vehicle", "tractor"); code != 1 || !strings.Contains(errs, "“The Van”") {
		t.Errorf("another vehicle: %d %s", code, errs)
	}
	fuel := func() string {
		t.Helper()
		book, err := casebook.Open(casesFile(data))
		if err != nil {
			t.Fatal(err)
		}
		defer book.Close()
		v, err := book.Vehicle("van1")
		if err != nil {
			t.Fatal(err)
		}
		return v.Facts["fuel"]
	}
	for _, answer := range []string{"n", ""} {
		command(t, "it is a diesel\n\n\n"+answer+"\n", "talk", "-data", data, "-vehicle", "The Van")
		if got := fuel(); got != "petrol" {
			t.Errorf("answered %q the sheet says %s", answer, got)
		}
	}
	code, out, errs = command(t, "it is a diesel\n\n\ny\n", "talk", "-data", data, "-vehicle", "The Van")
	if code != 0 || !strings.Contains(out, "fuel diesel (the sheet says petrol)") || fuel() != "diesel" {
		t.Errorf("code %d, the sheet says %s: %s%s", code, fuel(), out, errs)
	}
}

package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"ruleout/kb"
	"ruleout/server/chat"
)

// retitled is the embedded article of a cause with another title.
func retitled(t *testing.T, id, title string) string {
	t.Helper()
	cause := sharedRooms(t).engine.Base().Cause(id)
	if cause == nil {
		t.Fatalf("no cause %s", id)
	}
	data, err := kb.EmbeddedFS().ReadFile("articles/" + cause.System + "/" + id + ".yaml")
	if err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(string(data), "\ntitle: ") {
		t.Fatal("the article has no title line")
	}
	lines := strings.Split(string(data), "\n")
	for i, l := range lines {
		if strings.HasPrefix(l, "title: ") {
			lines[i] = "title: " + title
		}
	}
	return strings.Join(lines, "\n")
}

// eventually waits for something that a file change brings about.
func eventually(t *testing.T, what string, ok func() bool) {
	t.Helper()
	for end := time.Now().Add(60 * time.Second); time.Now().Before(end); time.Sleep(30 * time.Millisecond) {
		if ok() {
			return
		}
	}
	t.Fatalf("never happened: %s", what)
}

// A user's folder under a running program: a good edit takes effect, a broken
// one leaves the last good set in force and is told, and a conversation that
// is under way goes on through both.
func TestArticlesReloadWhileTalking(t *testing.T) {
	const id = "fan-motor-failed"
	folder := t.TempDir()
	file := filepath.Join(folder, "articles", "cooling", id+".yaml")
	p := startProgram(t, t.TempDir(), "-articles", folder)
	c := p.newCase(t)
	p.tell(t, c.ID, said(story[0]))
	conn, _ := p.dial(t, c.ID)
	title := func() string {
		var a struct{ Title string }
		p.get(t, "/api/articles/"+id, &a)
		return a.Title
	}
	suspect := func() string {
		var got chat.Case
		p.get(t, "/api/cases/"+c.ID, &got)
		for _, s := range got.Turns[len(got.Turns)-1].Reply.Suspects {
			if s.ID == id {
				return s.Title
			}
		}
		return ""
	}
	original := title()
	if original == "" || suspect() != original {
		t.Fatalf("the article is called %q and the suspect %q", original, suspect())
	}

	writeFile(t, file, retitled(t, id, "Fan motor as my garage calls it"))
	eventually(t, "the edit is in force", func() bool { return title() == "Fan motor as my garage calls it" })
	send(t, conn, keyed{"a", story[2]})
	if f := next(t, conn); f.Exchange == nil || f.Exchange.Number != 2 {
		t.Fatalf("the conversation after an edit: %.200s", f.raw)
	}
	if got := suspect(); got != "Fan motor as my garage calls it" {
		t.Errorf("after the edit the suspect is called %q", got)
	}

	writeFile(t, file, retitled(t, id, "Broken")+"\nunheard-of: 1\n")
	p.tell(t, c.ID, said("its a petrol"))
	next(t, conn)
	// Longer than the folder must be quiet to be read again.
	time.Sleep(600 * time.Millisecond)
	if got := title(); got != "Fan motor as my garage calls it" {
		t.Errorf("after a broken edit the article is called %q", got)
	}
	send(t, conn, keyed{"b", "manual gearbox"})
	if f := next(t, conn); f.Exchange == nil || f.Exchange.Number != 4 {
		t.Errorf("the conversation after a broken edit: %.200s", f.raw)
	}

	if err := os.Remove(file); err != nil {
		t.Fatal(err)
	}
	eventually(t, "the embedded article is back", func() bool { return title() == original })
	if got := suspect(); got != original && got != "" {
		t.Errorf("with the edit gone the suspect is called %q", got)
	}
	send(t, conn, keyed{"c", story[5]})
	if f := next(t, conn); f.Exchange == nil || f.Exchange.Number != 5 {
		t.Errorf("the conversation at its end: %.200s", f.raw)
	}
}

// A folder that is broken from the start is told and the embedded articles
// are in force.
func TestBrokenFolderAtStart(t *testing.T) {
	folder := t.TempDir()
	writeFile(t, filepath.Join(folder, "articles", "cooling", "x.yaml"), "kind: cause\nid: x\ntitel: wrong\n")
	p := startProgram(t, t.TempDir(), "-articles", folder)
	if errs := p.errs.String(); !strings.Contains(errs, "articles/cooling/x.yaml:3:1") {
		t.Errorf("told on standard error: %q, want articles/cooling/x.yaml:3:1", errs)
	}
	if status := p.get(t, "/api/articles/fan-motor-failed", nil); status != 200 {
		t.Errorf("the embedded articles answer %d", status)
	}
}

func writeFile(t *testing.T, path, content string) {
	t.Helper()
	if err := os.MkdirAll(filepath.Dir(path), 0o700); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(path, []byte(content), 0o600); err != nil {
		t.Fatal(err)
	}
}

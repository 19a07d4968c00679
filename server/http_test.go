package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"net/http"
	"strings"
	"sync"
	"testing"

	"github.com/google/go-cmp/cmp"

	"ruleout/server/casebook"
	"ruleout/server/chat"
)

// A conversation over HTTP is, byte for byte, that of talk -json, and is the
// same after the program was closed and opened again.
func TestConversationOverHTTPAndRestart(t *testing.T) {
	data := t.TempDir()
	p := startProgram(t, data)
	c := p.newCase(t)
	if c.Opening.Text == "" || len(c.Turns) != 0 {
		t.Errorf("a new case opens with %q and %d turns", c.Opening.Text, len(c.Turns))
	}
	var lines []string
	for _, text := range story {
		body, _ := json.Marshal(said(text))
		_, reply := request(t, http.MethodPost, p.url+"/api/cases/"+c.ID+"/turns", "application/json", body)
		lines = append(lines, string(reply))
	}
	if terminal := jsonLines(t, story); terminal != strings.Join(compact(t, lines), "") {
		t.Error("talk -json and HTTP give different replies to the same turns")
	}
	_, before := request(t, http.MethodGet, p.url+"/api/cases/"+c.ID, "", nil)
	p.stop(t)

	p = startProgram(t, data)
	_, after := request(t, http.MethodGet, p.url+"/api/cases/"+c.ID, "", nil)
	if !bytes.Equal(before, after) {
		t.Errorf("the case changed over a restart:\n%s\n%s", before, after)
	}
	var list struct{ Cases []casebook.Summary }
	if p.get(t, "/api/cases", &list); len(list.Cases) != 1 || list.Cases[0].ID != c.ID || list.Cases[0].Turns != len(story) || list.Cases[0].First != story[0] {
		t.Errorf("the list of cases after a restart: %+v", list.Cases)
	}
	if r := p.tell(t, c.ID, said("what did you note?")); r.Turn != len(story)+1 {
		t.Errorf("the turn after a restart is number %d", r.Turn)
	}
}

// compact takes each line through JSON, so that only content is compared.
func compact(t *testing.T, lines []string) []string {
	t.Helper()
	out := make([]string, len(lines))
	for i, l := range lines {
		var v any
		decode(t, []byte(l), &v)
		data, err := json.Marshal(v)
		if err != nil {
			t.Fatal(err)
		}
		out[i] = string(data)
	}
	return out
}

// jsonLines is what talk -json writes for the turns.
func jsonLines(t *testing.T, turns []string) string {
	t.Helper()
	r := sharedRooms(t)
	var out bytes.Buffer
	if err := talkJSON(r.engine, nil, strings.NewReader(strings.Join(turns, "\n")+"\n"), &out); err != nil {
		t.Fatal(err)
	}
	return strings.Join(compact(t, strings.Split(strings.TrimSpace(out.String()), "\n")), "")
}

// Replies can be answered by their quick answers: every one offered on the way
// is accepted.
func TestQuickAnswersLeadOn(t *testing.T) {
	p := startProgram(t, t.TempDir())
	c := p.newCase(t)
	r := p.tell(t, c.ID, said(story[0]))
	for range 12 {
		if r.Next == nil || len(r.Next.Quick) == 0 {
			break
		}
		q := r.Next.Quick[0]
		next := p.tell(t, c.ID, map[string]any{"text": q.Text, "tap": q.Tap})
		if len(next.Unread) > 0 {
			t.Errorf("the offered answer %q to %s was not read", q.Text, r.Next.ID)
		}
		r = next
	}
	if len(r.SoFar) < 4 {
		t.Errorf("after twelve answers only %d are noted", len(r.SoFar))
	}
}

// The same key is one turn, also when it is sent by many at once.
func TestKeySentTwiceIsOneTurn(t *testing.T) {
	p := startProgram(t, t.TempDir())
	c := p.newCase(t)
	first := p.tell(t, c.ID, keyed{"a", story[0]})
	if d := cmp.Diff(first, p.tell(t, c.ID, keyed{"a", story[0]})); d != "" {
		t.Errorf("the second sending got another reply: %s", d)
	}
	var wg sync.WaitGroup
	for range 8 {
		wg.Add(1)
		go func() {
			defer wg.Done()
			body, _ := json.Marshal(keyed{"b", story[2]})
			res, err := client.Post(p.url+"/api/cases/"+c.ID+"/turns", "application/json", bytes.NewReader(body))
			if err != nil {
				t.Error(err)
				return
			}
			res.Body.Close()
		}()
	}
	wg.Wait()
	var got chat.Case
	if p.get(t, "/api/cases/"+c.ID, &got); len(got.Turns) != 2 {
		t.Errorf("two keys made %d turns", len(got.Turns))
	}
}

// Many people tell at once; every turn is there, numbered without a gap.
func TestManyTellAtOnce(t *testing.T) {
	p := startProgram(t, t.TempDir())
	c := p.newCase(t)
	var wg sync.WaitGroup
	for w := range 4 {
		wg.Add(1)
		go func() {
			defer wg.Done()
			for n := range 4 {
				body, _ := json.Marshal(keyed{fmt.Sprint(w, "-", n), story[(w+n)%len(story)]})
				res, err := client.Post(p.url+"/api/cases/"+c.ID+"/turns", "application/json", bytes.NewReader(body))
				if err != nil {
					t.Error(err)
					return
				}
				res.Body.Close()
			}
		}()
	}
	wg.Wait()
	var got chat.Case
	p.get(t, "/api/cases/"+c.ID, &got)
	if len(got.Turns) != 16 {
		t.Fatalf("%d turns of 16", len(got.Turns))
	}
	for i, x := range got.Turns {
		if x.Number != i+1 || x.Reply.Turn != i+1 {
			t.Errorf("turn %d has number %d and a reply to %d", i+1, x.Number, x.Reply.Turn)
		}
	}
}

// Bad requests get a status, what is wrong and how to mend it, and cost no
// turn.
func TestBadRequests(t *testing.T) {
	p := startProgram(t, t.TempDir())
	c := p.newCase(t)
	turns := "/api/cases/" + c.ID + "/turns"
	const js = "application/json"
	for _, x := range []struct {
		name, method, path, kind, body string
		status                         int
	}{
		{"unknown case", "GET", "/api/cases/nobody", "", "", 404},
		{"a case id that is no id", "GET", "/api/cases/%00%ff..", "", "", 404},
		{"very long case id", "GET", "/api/cases/" + strings.Repeat("x", 4000), "", "", 404},
		{"turn to an unknown case", "POST", "/api/cases/nobody/turns", js, `{"text":"hi"}`, 404},
		{"broken JSON", "POST", turns, js, `{"text":`, 400},
		{"no JSON", "POST", turns, js, `it gets hot`, 400},
		{"empty body", "POST", turns, js, ``, 400},
		{"a list", "POST", turns, js, `["text"]`, 400},
		{"text that is a number", "POST", turns, js, `{"text":1}`, 400},
		{"binary", "POST", turns, js, "\x00\x01\xfe\xff", 400},
		{"long key", "POST", turns, js, `{"text":"x","key":"` + strings.Repeat("k", 101) + `"}`, 400},
		{"a reading beyond any meter", "POST", turns, js, `{"tap":{"finding":"overheats","value":1e300,"unit":"furlong"}}`, 400},
		{"wrong type", "POST", turns, "text/plain", `{"text":"hi"}`, 415},
		{"no type", "POST", turns, "", `{"text":"hi"}`, 415},
		{"a form", "POST", turns, "application/x-www-form-urlencoded", `text=hi`, 415},
		{"3 MiB", "POST", turns, js, `{"text":"` + strings.Repeat("hot ", 3<<18) + `"}`, 413},
		{"unknown article", "GET", "/api/articles/nothing", "", "", 404},
		{"limit that is no number", "GET", "/api/articles?q=fan&limit=many", "", "", 400},
		{"limit too large", "GET", "/api/articles?q=fan&limit=31", "", "", 400},
		{"no such path", "GET", "/api/nothing", "", "", 404},
		{"no such method", "PATCH", "/api/cases/" + c.ID, "", "", 404},
		{"socket of an unknown case", "GET", "/ws?case=nobody", "", "", 404},
	} {
		t.Run(x.name, func(t *testing.T) {
			status, data := request(t, x.method, p.url+x.path, x.kind, []byte(x.body))
			var problem struct{ Error, Mend string }
			if err := json.Unmarshal(data, &problem); err != nil || status != x.status || problem.Error == "" || problem.Mend == "" {
				t.Errorf("%d %.200s (%v), want status %d with what and how to mend it", status, data, err, x.status)
			}
		})
	}
	var got chat.Case
	if p.get(t, "/api/cases/"+c.ID, &got); len(got.Turns) != 0 {
		t.Errorf("bad requests made %d turns", len(got.Turns))
	}
}

// Odd turns are turns: each is stored and answered.
func TestOddTurns(t *testing.T) {
	p := startProgram(t, t.TempDir())
	c := p.newCase(t)
	odd := []string{
		"", "   ", "\x00\x01\x02", "\ufffd\u202e\u0000", "🚗🔥", "-40 ohm across the coil", "900 V at the battery",
		"'; DROP TABLE cases; --", "<script>alert(1)</script>", strings.Repeat("no ", 2000), strings.Repeat("9", 5000),
		"it gets hot " + strings.Repeat("x", 1<<20),
	}
	for i, text := range odd {
		r := p.tell(t, c.ID, said(text))
		if r.Text == "" || r.Turn != i+1 {
			t.Errorf("%.30q: turn %d, reply %q", text, r.Turn, r.Text)
		}
	}
	status, data := request(t, "POST", p.url+"/api/cases/"+c.ID+"/turns", "application/json; charset=utf-8", []byte("{\"text\":\"gets hot \xff\xfe\"}"))
	if status != http.StatusOK || !json.Valid(data) {
		t.Errorf("bytes that are no text: %d %.100s", status, data)
	}
	for _, tap := range []string{`{"finding":"nothing","outcome":"x"}`, `{"finding":"overheats","outcome":"nothing"}`, `{"strike":99}`, `{"strike":-1}`, `{"choice":7}`, `{"request":"nothing"}`, `{"ticks":[{"finding":"a","outcome":"b"}]}`, `{"finding":"overheats","value":-1e12,"unit":"furlong"}`, `{}`, `null`} {
		status, data := request(t, "POST", p.url+"/api/cases/"+c.ID+"/turns", "application/json", []byte(`{"tap":`+tap+`}`))
		if status != http.StatusOK || !json.Valid(data) {
			t.Errorf("tap %s: %d %.100s", tap, status, data)
		}
	}
}

func TestArticlesAndSearch(t *testing.T) {
	p := startProgram(t, t.TempDir())
	var list struct {
		Articles []struct{ ID, Kind, System string }
	}
	p.get(t, "/api/articles", &list)
	if len(list.Articles) < 100 {
		t.Fatalf("only %d articles", len(list.Articles))
	}
	var some struct {
		Articles []struct{ ID, Kind, System string }
	}
	p.get(t, "/api/articles?kind=symptom&system=cooling", &some)
	if len(some.Articles) == 0 {
		t.Error("no symptom of cooling")
	}
	for _, a := range some.Articles {
		if a.Kind != "symptom" || a.System != "cooling" {
			t.Errorf("%+v is no symptom of cooling", a)
		}
	}
	var found struct{ Hits []chat.Hit }
	p.get(t, "/api/articles?q=radiator+fan+motor&limit=3", &found)
	if len(found.Hits) == 0 || len(found.Hits) > 3 {
		t.Fatalf("%d hits", len(found.Hits))
	}
	for i, h := range found.Hits {
		if i > 0 && h.Score > found.Hits[i-1].Score {
			t.Error("hits are not best first")
		}
		for _, m := range h.Marks {
			if m[0] < 0 || m[0] >= m[1] || m[1] > len(h.Snippet) {
				t.Errorf("%s: mark %v outside a snippet of %d bytes", h.ID, m, len(h.Snippet))
			}
		}
	}
	var none struct{ Hits []chat.Hit }
	if p.get(t, "/api/articles?q=zzzzqqqq", &none); none.Hits == nil || len(none.Hits) != 0 {
		t.Errorf("a word that is nowhere: %+v", none.Hits)
	}
}

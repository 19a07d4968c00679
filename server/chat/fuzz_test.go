package chat

import (
	"bytes"
	"encoding/json"
	"net/http"
	"net/http/httptest"
	"sync"
	"testing"
	"time"
	"unicode/utf8"

	"ruleout/dialog"
	"ruleout/kb"
	"ruleout/server/casebook"
)

var fuzzEngine = sync.OnceValues(func() (*dialog.Engine, error) {
	b, problems := kb.Embedded()
	if e := problems.Errors(); len(e) > 0 {
		return nil, e
	}
	return dialog.New(b, nil, dialog.DefaultSettings)
})

// nothing finds nothing.
type nothing struct{}

func (nothing) Search(string, int) ([]Hit, error)  { return nil, nil }
func (nothing) Related(string, int) ([]Hit, error) { return nil, nil }

// pages is a book in memory that knows turns only.
type pages struct {
	Book
	cases map[string][]casebook.Record
}

func (p pages) Create(id string, _ casebook.About) error { p.cases[id] = nil; return nil }
func (p pages) About(string) (casebook.About, error)     { return casebook.About{}, nil }
func (p pages) Append(id string, r casebook.Record) error {
	p.cases[id] = append(p.cases[id], r)
	return nil
}
func (p pages) Turns(id string) ([]casebook.Record, error) { return p.cases[id], nil }

// Whatever is sent as a turn, after whatever was sent before: no panic, JSON
// comes back, and the turn is stored just when the status says so.
func FuzzTurn(f *testing.F) {
	for _, s := range []string{
		`{"text":"my van gets hot in traffic, fine on the open road"}`,
		`{"text":"12.4 V","key":"a"}`, `{"text":"-40 ohm"}`, `{"text":"undo"}`, `{"text":""}`, `{}`, `null`, `[]`, `{"text":`, "",
		`{"text":"x","tap":null}`, `{"tap":{"finding":"overheats","outcome":"present"}}`, `{"tap":{"finding":"overheats","value":1e308,"unit":"V"}}`,
		`{"tap":{"strike":1}}`, `{"tap":{"strike":1,"finding":"x","outcome":"y"}}`, `{"tap":{"request":"undo","about":"x"}}`, `{"tap":{"choice":-1}}`,
		`{"tap":{"ticks":[{"finding":"overheats","outcome":"absent"},{}]}}`, `{"tap":{"request":"why"},"text":"\u0000\ud800"}`,
		"{\"text\":\"\xff\xfe gets hot\"}", `{"text":"it's fixed"}`, `{"text":"new thermostat, no change. relay tests ok"}`, `{"tap":{"value":0}}`,
	} {
		f.Add([]byte(s))
	}
	engine, err := fuzzEngine()
	if err != nil {
		f.Fatal(err)
	}
	f.Fuzz(func(t *testing.T, body []byte) {
		book := pages{cases: map[string][]casebook.Record{}}
		desk := NewDesk(book, engine, time.Now)
		mux := http.NewServeMux()
		New(desk, func() Searcher { return nothing{} }).Routes(mux)
		c, err := desk.Begin("")
		if err != nil {
			t.Fatal(err)
		}
		want := 0
		post := func(body []byte) {
			r := httptest.NewRequest("POST", "/api/cases/"+c.ID+"/turns", bytes.NewReader(body))
			r.Header.Set("Content-Type", "application/json")
			w := httptest.NewRecorder()
			mux.ServeHTTP(w, r)
			answer := w.Body.Bytes()
			if !json.Valid(answer) || !utf8.Valid(answer) {
				t.Fatalf("no JSON: %d %q", w.Code, answer)
			}
			switch w.Code {
			case http.StatusOK:
				want++
				var reply dialog.Reply
				if err := json.Unmarshal(answer, &reply); err != nil || reply.Text == "" || reply.Turn != want {
					t.Fatalf("turn %d: %v, %.200s", want, err, answer)
				}
			case http.StatusBadRequest:
			default:
				t.Fatalf("status %d: %s", w.Code, answer)
			}
		}
		post(body)
		post([]byte(`{"text":"my van gets hot in traffic"}`))
		post(bytes.Replace(body, []byte(`"key"`), []byte(`"kee"`), -1))
		turns, err := book.Turns(c.ID)
		if err != nil || len(turns) != want {
			t.Fatalf("%d turns stored of %d answered (%v)", len(turns), want, err)
		}
	})
}

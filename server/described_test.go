package main

import (
	"bytes"
	"encoding/json"
	"io"
	"net/http"
	"net/url"
	"os"
	"strings"
	"testing"
	"time"

	"github.com/getkin/kin-openapi/openapi3"
	"github.com/getkin/kin-openapi/openapi3filter"
	"github.com/getkin/kin-openapi/routers"
	"github.com/getkin/kin-openapi/routers/legacy"
)

// held is a transport that holds every request and response to the
// description.
type held struct {
	t       *testing.T
	router  routers.Router
	checked map[string]int
}

func (h *held) RoundTrip(req *http.Request) (*http.Response, error) {
	h.t.Helper()
	var body []byte
	if req.Body != nil {
		body, _ = io.ReadAll(req.Body)
	}
	reset := func() { req.Body = io.NopCloser(bytes.NewReader(body)) }
	reset()
	res, err := http.DefaultTransport.RoundTrip(req)
	if err != nil {
		return res, err
	}
	got, err := io.ReadAll(res.Body)
	if err != nil {
		return res, err
	}
	res.Body = io.NopCloser(bytes.NewReader(got))
	route, params, err := h.router.FindRoute(req)
	if err != nil {
		if res.StatusCode != http.StatusNotFound {
			h.t.Errorf("%s %s is answered with %d and not described: %v", req.Method, req.URL.Path, res.StatusCode, err)
		}
		return res, nil
	}
	reset()
	in := &openapi3filter.RequestValidationInput{Request: req, PathParams: params, Route: route}
	valid := openapi3filter.ValidateRequest(req.Context(), in)
	if valid != nil && res.StatusCode < 400 {
		h.t.Errorf("%s %s was taken against the description: %v", req.Method, req.URL.Path, valid)
	}
	out := &openapi3filter.ResponseValidationInput{RequestValidationInput: in, Status: res.StatusCode, Header: res.Header, Options: &openapi3filter.Options{IncludeResponseStatus: true}}
	out.SetBodyBytes(got)
	if err := openapi3filter.ValidateResponse(req.Context(), out); err != nil {
		h.t.Errorf("%s %s: %d: %v", req.Method, req.URL.Path, res.StatusCode, err)
	}
	h.checked[route.Operation.OperationID]++
	return res, nil
}

// Everything the program answers, over HTTP and the socket, is as described:
// whole conversations with the numbers, every article, searches and errors.
func TestAnswersAsDescribed(t *testing.T) {
	p := startProgram(t, t.TempDir(), "-explain")
	_, text := request(t, "GET", p.url+"/api/openapi.yaml", "", nil)
	own, err := os.ReadFile("chat/openapi.yaml")
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(text, own) {
		t.Error("the description served is not the one in the repository")
	}
	doc, err := openapi3.NewLoader().LoadFromData(text)
	if err != nil {
		t.Fatal(err)
	}
	openapi3filter.RegisterBodyDecoder("application/yaml", openapi3filter.PlainBodyDecoder)
	openapi3filter.RegisterBodyDecoder("text/markdown", openapi3filter.PlainBodyDecoder)
	doc.Servers = openapi3.Servers{{URL: p.url}}
	router, err := legacy.NewRouter(doc)
	if err != nil {
		t.Fatal(err)
	}
	h := &held{t, router, map[string]int{}}
	old := client.Transport
	client.Transport = h
	defer func() { client.Transport = old }()

	request(t, "GET", p.url+"/api/openapi.yaml", "", nil)
	c := p.newCase(t)
	conn, _ := p.dial(t, c.ID)
	frames := doc.Components.Schemas["SocketMessage"].Value
	asDescribed := func(raw []byte) {
		t.Helper()
		var v any
		decode(t, raw, &v)
		if err := frames.VisitJSON(v); err != nil {
			t.Errorf("frame %.100s: %v", raw, err)
		}
	}
	turns := append([]string{"", "hello", "why?", "12.4 volts at the battery", "what else could it be", "undo", "is it safe to drive", "what will it cost", "where were we?", "repair or shop?", "what if the fan did run?", "drop it", "it only does it sometimes", "the part is on order", "start over", "it won't start, just clicks", "I have no meter"}, story...)
	for _, text := range turns {
		r := p.tell(t, c.ID, keyed{Text: text})
		asDescribed(next(t, conn).raw)
		if r.Next != nil {
			for _, q := range r.Next.Quick[:min(1, len(r.Next.Quick))] {
				p.tell(t, c.ID, map[string]any{"text": q.Text, "tap": q.Tap})
				asDescribed(next(t, conn).raw)
			}
		}
	}
	send(t, conn, []string{"no turn"})
	asDescribed(next(t, conn).raw)
	late, _ := p.dial(t, c.ID)
	late.Close()
	if r := p.tell(t, c.ID, said("why?")); r.Explain == nil {
		t.Error("-explain adds no numbers: the description of them was not tried")
	}
	whole, _ := json.Marshal(map[string]any{"type": "case"})
	asDescribed(whole)

	request(t, "GET", p.url+"/api/cases", "", nil)
	request(t, "GET", p.url+"/api/cases/"+c.ID, "", nil)
	request(t, "GET", p.url+"/api/cases/nobody", "", nil)
	request(t, "POST", p.url+"/api/cases/nobody/turns", "application/json", []byte(`{"text":"hi"}`))
	request(t, "POST", p.url+"/api/cases/"+c.ID+"/turns", "application/json", []byte(`{"text":`))
	request(t, "POST", p.url+"/api/cases/"+c.ID+"/turns", "text/plain", []byte(`hot`))
	request(t, "POST", p.url+"/api/cases/"+c.ID+"/turns", "application/json", []byte(`"`+strings.Repeat("hot ", 3<<18)+`"`))
	for _, q := range []string{"fan", "überhitzt", "P0115", "a", "zzzz", "cooks in traffic"} {
		request(t, "GET", p.url+"/api/articles?q="+url.QueryEscape(q), "", nil)
	}
	request(t, "GET", p.url+"/api/articles?q=fan&limit=0", "", nil)
	request(t, "GET", p.url+"/api/articles?kind=cause&system=starting", "", nil)
	request(t, "GET", p.url+"/api/articles/nothing", "", nil)
	tryCases(t, p, c.ID)
	var list struct{ Articles []struct{ ID string } }
	p.get(t, "/api/articles", &list)
	for _, a := range list.Articles {
		status := p.get(t, "/api/articles/"+a.ID, nil)
		for status == http.StatusTooManyRequests { // asked to wait a second
			time.Sleep(time.Second)
			status = p.get(t, "/api/articles/"+a.ID, nil)
		}
		if status != http.StatusOK {
			t.Errorf("article %s: %d", a.ID, status)
		}
	}
	for path, item := range doc.Paths.Map() {
		for method, op := range item.Operations() {
			if h.checked[op.OperationID] == 0 {
				t.Errorf("%s %s is described and was never tried", method, path)
			}
		}
	}
}

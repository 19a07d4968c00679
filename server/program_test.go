package main

import (
	"bufio"
	"bytes"
	"context"
	"encoding/json"
	"io"
	"net/http"
	"strings"
	"sync"
	"testing"
	"time"

	"ruleout/dialog"
	"ruleout/server/chat"
)

// story is a whole conversation about an invented van: from first words to a
// proven repair.
var story = []string{
	"my van gets hot in traffic, fine on the open road",
	"its a 1999 Tolland Carrier 1.9 petrol",
	"the fan never comes on, even with the aircon",
	"fuse is fine, swapped the relay, no change",
	"don't know",
	"I replaced the radiator fan motor",
	"it's fixed",
}

// program is the server run as from the command line, with its own data
// folder.
type program struct {
	url  string
	end  context.CancelFunc
	done chan error
	errs *lockedBuffer
}

// lockedBuffer is a buffer that several goroutines may use.
type lockedBuffer struct {
	mu sync.Mutex
	b  bytes.Buffer
}

func (l *lockedBuffer) Write(p []byte) (int, error) {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.b.Write(p)
}

func (l *lockedBuffer) String() string {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.b.String()
}

// startProgram serves on a free port; the test ends it.
func startProgram(t testing.TB, data string, args ...string) *program {
	t.Helper()
	ctx, cancel := context.WithCancel(context.Background())
	p := &program{end: cancel, done: make(chan error, 1), errs: &lockedBuffer{}}
	out, in := io.Pipe()
	go func() {
		err := serve(ctx, append([]string{"-data", data}, args...), in, p.errs)
		in.CloseWithError(io.EOF)
		p.done <- err
	}()
	line, err := bufio.NewReader(out).ReadString('\n')
	if err != nil {
		t.Fatalf("no address on the first line: %v; %v", err, <-p.done)
	}
	go io.Copy(io.Discard, out)
	p.url = strings.TrimSpace(line)
	if !strings.HasPrefix(p.url, "http://127.0.0.1:") && !strings.HasPrefix(p.url, "https://127.0.0.1:") {
		t.Fatalf("first line %q is no loopback address", p.url)
	}
	t.Cleanup(func() { p.stop(t) })
	return p
}

// stop ends the server as an interrupt does; twice is once.
func (p *program) stop(t testing.TB) {
	t.Helper()
	p.end()
	select {
	case err := <-p.done:
		if err != nil {
			t.Errorf("the server ended with: %v", err)
		}
		p.done <- nil
	case <-time.After(20 * time.Second):
		t.Error("the server did not end")
	}
}

// client sends requests; tests that hold the program to its description give
// it a transport that does so.
var client = &http.Client{Timeout: time.Minute}

func request(t testing.TB, method, url, kind string, body []byte) (int, []byte) {
	t.Helper()
	req, err := http.NewRequest(method, url, bytes.NewReader(body))
	if err != nil {
		t.Fatal(err)
	}
	if kind != "" {
		req.Header.Set("Content-Type", kind)
	}
	res, err := client.Do(req)
	if err != nil {
		t.Fatal(err)
	}
	defer res.Body.Close()
	data, err := io.ReadAll(res.Body)
	if err != nil {
		t.Fatal(err)
	}
	return res.StatusCode, data
}

func (p *program) get(t testing.TB, path string, into any) int {
	t.Helper()
	status, data := request(t, http.MethodGet, p.url+path, "", nil)
	if into != nil {
		decode(t, data, into)
	}
	return status
}

func (p *program) newCase(t testing.TB) *chat.Case {
	t.Helper()
	status, data := request(t, http.MethodPost, p.url+"/api/cases", "", nil)
	if status != http.StatusCreated {
		t.Fatalf("no case: %d %s", status, data)
	}
	c := &chat.Case{}
	decode(t, data, c)
	return c
}

// tell sends a turn and returns the reply.
func (p *program) tell(t testing.TB, id string, turn any) *dialog.Reply {
	t.Helper()
	body, err := json.Marshal(turn)
	if err != nil {
		t.Fatal(err)
	}
	status, data := request(t, http.MethodPost, p.url+"/api/cases/"+id+"/turns", "application/json", body)
	if status != http.StatusOK {
		t.Fatalf("turn %.80s: %d %s", body, status, data)
	}
	r := &dialog.Reply{}
	decode(t, data, r)
	return r
}

func decode(t testing.TB, data []byte, into any) {
	t.Helper()
	if err := json.Unmarshal(data, into); err != nil {
		t.Fatalf("%v in %.200s", err, data)
	}
}

// said is a turn in words.
func said(text string) dialog.Turn { return dialog.Turn{Text: text} }

// keyed is a turn with the sender's own name.
type keyed struct {
	Key  string `json:"key"`
	Text string `json:"text"`
}

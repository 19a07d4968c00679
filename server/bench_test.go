package main

import (
	"bufio"
	"context"
	"fmt"
	"io"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"testing"
	"time"

	"ruleout/dialog"
)

// built is the program as a file of its own.
func built(b *testing.B) string {
	b.Helper()
	path := filepath.Join(b.TempDir(), "ruleout")
	if out, err := exec.Command("go", "build", "-o", path, ".").CombinedOutput(); err != nil {
		b.Fatalf("%v: %s", err, out)
	}
	return path
}

// launch starts the program over the data folder and returns its address and
// the process, which the benchmark kills.
func launch(b *testing.B, path, data string) (string, *exec.Cmd) {
	b.Helper()
	cmd := exec.CommandContext(context.Background(), path, "-data", data)
	out, err := cmd.StdoutPipe()
	if err != nil {
		b.Fatal(err)
	}
	if err := cmd.Start(); err != nil {
		b.Fatal(err)
	}
	line, err := bufio.NewReader(out).ReadString('\n')
	if err != nil {
		b.Fatal(err)
	}
	return strings.TrimSpace(line), cmd
}

// BenchmarkStart is the time from the start of the program to its first page.
func BenchmarkStart(b *testing.B) {
	path, data := built(b), b.TempDir()
	for b.Loop() {
		url, cmd := launch(b, path, data)
		res, err := http.Get(url + "/")
		if err != nil {
			b.Fatal(err)
		}
		_, _ = io.Copy(io.Discard, res.Body)
		res.Body.Close()
		if res.StatusCode != http.StatusOK {
			b.Fatalf("GET / answers %s", res.Status)
		}
		b.StopTimer()
		_ = cmd.Process.Kill()
		_ = cmd.Wait()
		b.StartTimer()
	}
}

// BenchmarkMemory reports the memory of the program after 50 turns.
func BenchmarkMemory(b *testing.B) {
	path := built(b)
	for b.Loop() {
		url, cmd := launch(b, path, b.TempDir())
		p := &program{url: url}
		c := p.newCase(b)
		for n := range 50 {
			p.tell(b, c.ID, said(story[n%len(story)]))
		}
		status, err := os.ReadFile(fmt.Sprintf("/proc/%d/status", cmd.Process.Pid))
		_ = cmd.Process.Kill()
		_ = cmd.Wait()
		if err != nil {
			b.Skip("this system does not tell the memory of a process")
		}
		for name, unit := range map[string]string{"VmRSS:": "MiB", "VmHWM:": "MiB-peak"} {
			_, after, _ := strings.Cut(string(status), name)
			var kib float64
			if _, err := fmt.Sscan(after, &kib); err != nil {
				b.Fatal(err)
			}
			b.ReportMetric(kib/1024, unit)
		}
	}
	b.ReportMetric(0, "ns/op")
}

// BenchmarkTurn is one turn of a usual conversation over all articles with the
// index; it reports the median and the 99th percentile too, by the wall clock
// and, prefixed with cpu, by the processor time of the thread.
func BenchmarkTurn(b *testing.B) { benchTurns(b, [][]string{story}) }

// BenchmarkTurnAll is the same over all conversations of testdata, in turn.
func BenchmarkTurnAll(b *testing.B) {
	files, err := filepath.Glob(filepath.Join("..", "testdata", "conversations", "*.txt"))
	if err != nil || len(files) == 0 {
		b.Fatalf("no conversations (%v)", err)
	}
	var all [][]string
	for _, file := range files {
		text, err := os.ReadFile(file)
		if err != nil {
			b.Fatal(err)
		}
		var said []string
		for _, line := range strings.Split(string(text), "\n") {
			if turn, ok := strings.CutPrefix(line, "> "); ok {
				said = append(said, turn)
			}
		}
		all = append(all, said)
	}
	benchTurns(b, all)
}

// benchTurns holds the conversations one after another, with memory and circuits
// as the program has them once it is up. Between turns memory is tidied, as the
// program does while the answer is read.
func benchTurns(b *testing.B, conversations [][]string) {
	r := sharedRooms(b)
	if _, err := r.index.wait(); err != nil {
		b.Fatal(err)
	}
	settleMemory()
	r.engine.Warm(func() bool { return false })
	runtime.LockOSThread()
	defer runtime.UnlockOSThread()
	var took, used []time.Duration
	var s *dialog.State
	var reply *dialog.Reply
	at, turn := 0, 0
	for b.Loop() {
		if turn == len(conversations[at]) {
			at, turn = (at+1)%len(conversations), 0
		}
		if turn == 0 {
			s, reply = r.engine.Start()
		}
		t := chosen(conversations[at][turn], reply)
		began, busyAt := time.Now(), busy()
		s, reply = r.engine.Step(s, t)
		took, used = append(took, time.Since(began)), append(used, busy()-busyAt)
		turn++
		b.StopTimer()
		tidy()
		b.StartTimer()
	}
	reportShares(b, "", took)
	reportShares(b, "cpu-", used)
}

// BenchmarkSearch is one search over all articles with its snippets.
func BenchmarkSearch(b *testing.B) {
	r := sharedRooms(b)
	words := []string{"fan never runs", "click when I turn the key", "battery flat overnight", "P0115", "overheets in trafic", "gauge"}
	var took []time.Duration
	n := 0
	for b.Loop() {
		began := time.Now()
		if _, err := (searcher{r.index}).Search(words[n%len(words)], 30); err != nil {
			b.Fatal(err)
		}
		took = append(took, time.Since(began))
		n++
	}
	reportShares(b, "", took)
}

func reportShares(b *testing.B, of string, took []time.Duration) {
	slices.Sort(took)
	at := func(share float64) float64 {
		return float64(took[int(share*float64(len(took)-1))].Microseconds()) / 1000
	}
	b.ReportMetric(at(0.5), of+"ms-p50")
	b.ReportMetric(at(0.99), of+"ms-p99")
}

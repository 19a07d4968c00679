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
// index; it reports the median and the 99th percentile too.
func BenchmarkTurn(b *testing.B) {
	r := sharedRooms(b)
	var took []time.Duration
	var s *dialog.State
	n := 0
	for b.Loop() {
		if n%len(story) == 0 {
			s, _ = r.engine.Start()
		}
		began := time.Now()
		s, _ = r.engine.Step(s, said(story[n%len(story)]))
		took = append(took, time.Since(began))
		n++
	}
	reportShares(b, took)
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
	reportShares(b, took)
}

func reportShares(b *testing.B, took []time.Duration) {
	slices.Sort(took)
	at := func(share float64) float64 {
		return float64(took[int(share*float64(len(took)-1))].Microseconds()) / 1000
	}
	b.ReportMetric(at(0.5), "ms-p50")
	b.ReportMetric(at(0.99), "ms-p99")
}

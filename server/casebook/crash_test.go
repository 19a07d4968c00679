package casebook

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"ruleout/dialog"
)

// crashFile, when set, makes the test binary the process that is killed.
const crashFile = "RULEOUT_CRASH_FILE"

func TestMain(m *testing.M) {
	if path := os.Getenv(crashFile); path != "" {
		appendUntilKilled(path, os.Getenv("RULEOUT_CRASH_RUN"))
	}
	if path := os.Getenv("RULEOUT_FULL_FILE"); path != "" {
		fillUp(path)
	}
	os.Exit(m.Run())
}

// appendUntilKilled appends turns to two cases in turn and prints each once it
// is acknowledged.
func appendUntilKilled(path, run string) {
	s, err := Open(path)
	if err != nil {
		fmt.Println("fail", err)
		os.Exit(1)
	}
	for n := 0; ; n++ {
		id := fmt.Sprint("case", n%2)
		if n < 2 {
			_ = s.Create(id, About{}) // it may be there from the run before
		}
		text := fmt.Sprintf("%s.%d %s", run, n, strings.Repeat("x", n*37%5000))
		if err := s.Append(id, Record{Turn: dialog.Turn{Text: text}}); err != nil {
			fmt.Println("fail", err)
			os.Exit(1)
		}
		fmt.Printf("%s.%d\n", run, n)
	}
}

// A process that appends turns is killed at random instants, hundreds of
// times: what it acknowledged is there, once and in order, and the file stays
// whole.
func TestAcknowledgedTurnsSurviveKill(t *testing.T) {
	kills, workers := 320, 4
	if testing.Short() {
		kills = 60
	}
	var wg sync.WaitGroup
	for w := range workers {
		wg.Add(1)
		go func() {
			defer wg.Done()
			crashSome(t, filepath.Join(t.TempDir(), fmt.Sprintf("cases%d.db", w)), rand.New(rand.NewPCG(1, uint64(w))), kills/workers)
		}()
	}
	wg.Wait()
}

// crashSome kills a process over one file many times.
func crashSome(t *testing.T, path string, r *rand.Rand, kills int) {
	var acked []string
	for k := range kills {
		run := fmt.Sprint(k)
		told, err := runAndKill(path, run, r.IntN(6), time.Duration(r.IntN(4000))*time.Microsecond)
		if err != nil {
			t.Errorf("run %d: %v", k, err)
			return
		}
		acked = append(acked, told...)
		if k%10 != 9 && k != kills-1 {
			continue
		}
		if err := allThere(path, acked); err != nil {
			t.Errorf("after run %d: %v", k, err)
			return
		}
	}
	if len(acked) < kills {
		t.Errorf("only %d turns acknowledged in %d runs: nothing was tried", len(acked), kills)
	}
}

// runAndKill starts the process, waits for a number of acknowledgements and
// then a little, kills it and returns all it acknowledged.
func runAndKill(path, run string, acks int, wait time.Duration) ([]string, error) {
	cmd := exec.Command(os.Args[0])
	cmd.Env = append(os.Environ(), crashFile+"="+path, "RULEOUT_CRASH_RUN="+run)
	out, err := cmd.StdoutPipe()
	if err != nil {
		return nil, err
	}
	if err := cmd.Start(); err != nil {
		return nil, err
	}
	lines := bufio.NewReader(out)
	var told []string
	for dead := false; ; {
		if !dead && len(told) >= acks {
			time.Sleep(wait)
			if err := cmd.Process.Kill(); err != nil {
				return nil, err
			}
			dead = true
		}
		line, err := lines.ReadString('\n')
		if strings.HasPrefix(line, "fail") {
			return nil, errors.New(line)
		}
		if errors.Is(err, io.EOF) {
			break // a line cut off by the kill was not told
		}
		if err != nil {
			return nil, err
		}
		told = append(told, strings.TrimSpace(line))
	}
	if err := cmd.Wait(); err == nil {
		return nil, errors.New("the process ended by itself")
	}
	return told, nil
}

// allThere compares the file with what was acknowledged: nothing missing,
// nothing twice, in order.
func allThere(path string, acked []string) error {
	if _, err := Verify(path); err != nil {
		return err
	}
	s, err := Open(path)
	if err != nil {
		return err
	}
	defer s.Close()
	at := map[string]int{}
	for c := range 2 {
		turns, err := s.Turns(fmt.Sprint("case", c))
		if err != nil {
			return err
		}
		for i, r := range turns {
			name, _, _ := strings.Cut(r.Turn.Text, " ")
			if _, twice := at[name]; twice {
				return fmt.Errorf("turn %s is there twice", name)
			}
			at[name] = i
		}
	}
	last := map[int]int{}
	for _, name := range acked {
		i, ok := at[name]
		if !ok {
			return fmt.Errorf("turn %s was acknowledged and is gone", name)
		}
		var run, n int
		if _, err := fmt.Sscanf(name, "%d.%d", &run, &n); err != nil {
			return err
		}
		if before, ok := last[n%2]; ok && i <= before {
			return fmt.Errorf("turn %s stands before one told earlier", name)
		}
		last[n%2] = i
	}
	return nil
}

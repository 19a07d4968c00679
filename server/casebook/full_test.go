//go:build linux

package casebook

import (
	"fmt"
	"os"
	"os/exec"
	"os/signal"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
)

// fullFile, when set, makes the test binary the process whose disk fills.
const fullFile = "RULEOUT_FULL_FILE"

// fillUp appends turns until the disk is full, then makes room and goes on; it
// prints "fine" and the number of turns, or what was lost.
func fillUp(path string) {
	fail := func(what string, err error) { fmt.Println("fail", what, err); os.Exit(1) }
	room := func() error { return os.Remove(filepath.Join(filepath.Dir(path), "ballast")) }
	if limit := os.Getenv("RULEOUT_FULL_BYTES"); limit != "" {
		// The system then refuses to let any file grow beyond the limit.
		var r, old syscall.Rlimit
		signal.Ignore(syscall.SIGXFSZ)
		if err := syscall.Getrlimit(syscall.RLIMIT_FSIZE, &old); err != nil {
			fail("limit", err)
		}
		r = old
		if _, err := fmt.Sscan(limit, &r.Cur); err != nil {
			fail("limit", err)
		}
		if err := syscall.Setrlimit(syscall.RLIMIT_FSIZE, &r); err != nil {
			fail("limit", err)
		}
		room = func() error { return syscall.Setrlimit(syscall.RLIMIT_FSIZE, &old) }
	} else if err := os.WriteFile(filepath.Join(filepath.Dir(path), "ballast"), make([]byte, 300<<10), 0o600); err != nil {
		fail("ballast", err)
	}
	s, err := Open(path)
	if err != nil {
		fail("open", err)
	}
	if err := s.Create("one", About{}); err != nil {
		fail("create", err)
	}
	var acked []string
	refused := 0
	tell := func(n int) {
		text := fmt.Sprintf("%d %s", n, strings.Repeat("x", n*371%3000))
		if err := s.Append("one", record(text)); err != nil {
			refused++
			return
		}
		acked = append(acked, text)
	}
	n := 0
	for ; refused < 20; n++ {
		if n > 20000 {
			fail("the disk does not fill", nil)
		}
		tell(n)
	}
	there := func(when string) {
		got, err := s.Turns("one")
		if err != nil || len(got) != len(acked) {
			fail(when, fmt.Errorf("%d turns of %d acknowledged: %w", len(got), len(acked), err))
		}
		for i, r := range got {
			if r.Turn.Text != acked[i] {
				fail(when, fmt.Errorf("turn %d is %.40q, acknowledged was %.40q", i, r.Turn.Text, acked[i]))
			}
		}
	}
	there("while full")
	if err := s.Close(); err != nil {
		fail("close", err)
	}
	if _, err := Verify(path); err != nil {
		fail("verify while full", err)
	}
	if s, err = Open(path); err != nil {
		fail("open while full", err)
	}
	there("opened while full")
	if err := room(); err != nil {
		fail("room", err)
	}
	before := len(acked)
	for end := n + 30; n < end; n++ {
		tell(n)
	}
	if len(acked) != before+30 {
		fail("with room again", fmt.Errorf("%d of 30 turns were taken", len(acked)-before))
	}
	there("with room again")
	if err := s.Close(); err != nil {
		fail("close", err)
	}
	if _, err := Verify(path); err != nil {
		fail("verify", err)
	}
	fmt.Println("fine", len(acked), "turns,", refused, "refused")
	os.Exit(0)
}

// When the disk is full a turn is refused, and nothing that was acknowledged
// is lost, in the file or in memory; with room again it goes on. Once with a
// limit on the size of the file, once on a small file system.
func TestFullDiskLosesNothing(t *testing.T) {
	fills := func(t *testing.T, cmd *exec.Cmd) {
		t.Helper()
		out, err := cmd.CombinedOutput()
		if err != nil || !strings.Contains(string(out), "fine") {
			t.Fatalf("%v: %s", err, out)
		}
		t.Logf("%s", out)
	}
	t.Run("limited file", func(t *testing.T) {
		for _, limit := range []int{100 << 10, 300<<10 + 1, 1 << 20} {
			cmd := exec.Command(os.Args[0])
			cmd.Env = append(os.Environ(), fullFile+"="+filepath.Join(t.TempDir(), "cases.db"), fmt.Sprint("RULEOUT_FULL_BYTES=", limit))
			fills(t, cmd)
		}
	})
	t.Run("small file system", func(t *testing.T) {
		dir := t.TempDir()
		if err := exec.Command("unshare", "-rm", "mount", "-t", "tmpfs", "-o", "size=1m", "none", dir).Run(); err != nil {
			t.Skipf("no file system can be mounted here (%v): the disk that fills is only a limited file", err)
		}
		cmd := exec.Command("unshare", "-rm", "sh", "-c", `mount -t tmpfs -o size=1m none "$1" && exec "$2"`, "sh", dir, os.Args[0])
		cmd.Env = append(os.Environ(), fullFile+"="+filepath.Join(dir, "cases.db"))
		fills(t, cmd)
	})
}

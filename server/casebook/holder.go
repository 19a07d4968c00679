package casebook

import (
	"fmt"
	"os"
	"strings"
	"time"
)

// holder is a small file beside the cases that says who has them open. The
// lock itself is the system's: a holder that died leaves the file, not the
// lock.
type holder struct{ path string }

// write says who this is, and where to meet it.
func (h holder) write(where string) error {
	host, err := os.Hostname()
	if err != nil {
		host = "this machine"
	}
	text := fmt.Sprintf("process %d on %s, since %s", os.Getpid(), host, time.Now().Format("2006-01-02 15:04"))
	if where != "" {
		text += ", " + where
	}
	return os.WriteFile(h.path, []byte(text+"\n"), 0o600)
}

func (h holder) drop() { _ = os.Remove(h.path) }

// who is the holder in words, or nothing when it is not known.
func (h holder) who() string {
	data, err := os.ReadFile(h.path)
	text, _, _ := strings.Cut(string(data), "\n")
	if err != nil || len(text) > 300 {
		return ""
	}
	return strings.Map(func(r rune) rune {
		if r < ' ' {
			return -1
		}
		return r
	}, text)
}

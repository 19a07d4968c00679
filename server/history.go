package main

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
)

// Bounds of what the terminal remembers of earlier lines.
const (
	historyLines = 500
	historyLine  = 1000 // bytes
)

// history is the file of lines typed before. A line is written as soon as it
// is typed, so nothing is lost when the terminal is closed. A history that
// can't be read or written is no reason not to talk.
type history struct{ path string }

// load returns the last lines and cuts the file down to them.
func (h history) load() []string {
	data, err := os.ReadFile(h.path)
	if err != nil {
		return nil
	}
	lines := strings.FieldsFunc(strings.ToValidUTF8(string(data), ""), func(r rune) bool { return r == '\n' })
	if len(lines) > historyLines {
		lines = lines[len(lines)-historyLines:]
		_ = h.replace(lines)
	}
	return lines
}

// replace writes the whole file anew, by way of another, so that a reader
// never sees half of it.
func (h history) replace(lines []string) error {
	tmp, err := os.CreateTemp(filepath.Dir(h.path), "history")
	if err != nil {
		return err
	}
	_, err = tmp.WriteString(strings.Join(lines, "\n") + "\n")
	if err = errors.Join(err, tmp.Close()); err == nil {
		err = os.Rename(tmp.Name(), h.path)
	}
	if err != nil {
		_ = os.Remove(tmp.Name())
	}
	return err
}

// add keeps one line.
func (h history) add(line string) {
	line = strings.TrimSpace(strings.ReplaceAll(line, "\n", " "))
	if line == "" || len(line) > historyLine {
		return
	}
	if os.MkdirAll(filepath.Dir(h.path), 0o700) != nil {
		return
	}
	f, err := os.OpenFile(h.path, os.O_APPEND|os.O_CREATE|os.O_WRONLY, 0o600)
	if err != nil {
		return
	}
	defer f.Close()
	_, _ = f.WriteString(line + "\n")
}

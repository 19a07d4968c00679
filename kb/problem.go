package kb

import (
	"fmt"
	"sort"
	"strings"
)

// Severity says whether a problem makes its article unusable.
type Severity string

// The severities of a problem.
const (
	SeverityError   Severity = "error"
	SeverityWarning Severity = "warning"
)

// Problem is one thing wrong in an authored file, told to its author.
type Problem struct {
	Severity Severity `json:"severity"`
	// Layer counts the layers of Load from 0, the embedded one. File is the path within its layer; Line and Column count from 1 (0
	// where the whole file is meant).
	Layer  int    `json:"layer"`
	File   string `json:"file"`
	Line   int    `json:"line"`
	Column int    `json:"column"`
	// What says what is wrong; Fix, if known, what would put it right: a
	// valid name, or a short instruction.
	What string `json:"what"`
	Fix  string `json:"fix,omitempty"`
	// Snippet is the line itself.
	Snippet string `json:"snippet,omitempty"`
}

// String returns "file:line:col: what", with the fix after a semicolon and
// "warning: " before what is only a warning.
func (p Problem) String() string {
	var b strings.Builder
	b.WriteString(p.File)
	if p.Line > 0 {
		fmt.Fprintf(&b, ":%d:%d", p.Line, p.Column)
	}
	b.WriteString(": ")
	if p.Severity == SeverityWarning {
		b.WriteString("warning: ")
	}
	b.WriteString(p.What)
	if p.Fix != "" {
		b.WriteString("; " + p.Fix)
	}
	return b.String()
}

// Problems is every problem of one loading, sorted by file, line and column.
type Problems []Problem

// Error returns one problem a line.
func (ps Problems) Error() string {
	lines := make([]string, len(ps))
	for i, p := range ps {
		lines[i] = p.String()
	}
	return strings.Join(lines, "\n")
}

// Errors returns the problems that are not mere warnings.
func (ps Problems) Errors() Problems { return ps.only(SeverityError) }

// Warnings returns the problems that leave the article usable.
func (ps Problems) Warnings() Problems { return ps.only(SeverityWarning) }

func (ps Problems) only(s Severity) Problems {
	var out Problems
	for _, p := range ps {
		if p.Severity == s {
			out = append(out, p)
		}
	}
	return out
}

// sorted returns the problems in the order of file, line, column, severity
// and text, each once.
func (ps Problems) sorted() Problems {
	sort.Slice(ps, func(i, j int) bool {
		a, b := ps[i], ps[j]
		switch {
		case a.File != b.File:
			return a.File < b.File
		case a.Layer != b.Layer:
			return a.Layer < b.Layer
		case a.Line != b.Line:
			return a.Line < b.Line
		case a.Column != b.Column:
			return a.Column < b.Column
		case a.Severity != b.Severity:
			return a.Severity < b.Severity
		case a.What != b.What:
			return a.What < b.What
		}
		return a.Fix < b.Fix
	})
	out := ps[:0]
	for i, p := range ps {
		if i == 0 || p != ps[i-1] {
			out = append(out, p)
		}
	}
	return out
}

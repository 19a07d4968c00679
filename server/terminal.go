package main

import (
	"fmt"
	"io"
	"regexp"
	"slices"
	"strings"
	"unicode/utf8"

	"ruleout/dialog"
)

var (
	articleLink = regexp.MustCompile(`\[([^\]]*)\]\(article:([a-z0-9-]+(?:#[a-z0-9-]+)?)\)`)
	bold        = regexp.MustCompile(`\*\*([^*]*)\*\*`)
)

// width is the number of characters in a line of the terminal.
const width = 78

var listMark = regexp.MustCompile(`^ *(?:[0-9]+\.|[-*⚠])? *`)

// forTerminal sets a reply as plain text, quick answers numbered.
func forTerminal(r *dialog.Reply) string {
	text := articleLink.ReplaceAllString(r.Text, "$1")
	text = bold.ReplaceAllString(text, "$1")
	var b strings.Builder
	b.WriteString("\n")
	for _, line := range strings.Split(text, "\n") {
		wrap(&b, line)
	}
	if r.Next != nil && len(r.Next.Quick) > 0 && r.Next.Kind != "which" { // "which" has them in its words
		var q []string
		for i, a := range r.Next.Quick {
			if r.Next.Reading != nil {
				q = append(q, a.Text)
			} else {
				q = append(q, fmt.Sprintf("%d %s", i+1, a.Text))
			}
		}
		b.WriteString("  [" + strings.Join(q, " | ") + "]\n")
	}
	if ids := toRead(r); len(ids) > 0 {
		b.WriteString("  (articles: " + strings.Join(ids, ", ") + ")\n")
	}
	return b.String()
}

// toRead lists the articles that a reply stands on, then the rows of tables to
// which its words lead.
func toRead(r *dialog.Reply) []string {
	ids := slices.Clone(r.Cites)
	for _, m := range articleLink.FindAllStringSubmatch(r.Text, -1) {
		if strings.Contains(m[2], "#") && !slices.Contains(ids, m[2]) {
			ids = append(ids, m[2])
		}
	}
	return ids
}

// wrap writes a line broken between words at the width, later lines under the
// text of a numbered or dashed one.
func wrap(b *strings.Builder, line string) {
	indent := strings.Repeat(" ", utf8.RuneCountInString(listMark.FindString(line)))
	at := 0
	for i, w := range strings.Fields(line) {
		n := utf8.RuneCountInString(w)
		switch {
		case i == 0:
			lead := line[:strings.Index(line, w)]
			b.WriteString(lead)
			at = len(lead)
		case at+1+n > width:
			b.WriteString("\n" + indent)
			at = len(indent)
		default:
			b.WriteByte(' ')
			at++
		}
		b.WriteString(w)
		at += n
	}
	b.WriteByte('\n')
}

// printExplain shows the numbers behind a reply.
func printExplain(out io.Writer, x *dialog.Explain) {
	for _, r := range x.Rows {
		fmt.Fprintf(out, "  %-36s prior %.4f now %.4f", r.ID, r.Prior, r.Posterior)
		for _, w := range r.Weights {
			fmt.Fprintf(out, "  %s=%s %+.1f dB", w.Finding, w.Outcome, w.Decibans)
		}
		fmt.Fprintln(out)
	}
	for _, c := range x.Checks {
		fmt.Fprintf(out, "  %-10s %-36s cost %.2f worth %.2f total %.2f\n", c.Kind, c.ID, c.Cost, c.Worth, c.Total)
	}
	for _, rd := range x.Reads {
		fmt.Fprintf(out, "  “%s” may tell", rd.Words)
		for _, l := range rd.Likely {
			fmt.Fprintf(out, " %s=%s (%.0f %%)", l.Finding, l.Outcome, 100*l.P)
		}
		fmt.Fprintln(out)
	}
}

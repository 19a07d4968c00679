package main

import (
	"fmt"
	"io"
	"regexp"
	"strings"

	"ruleout/dialog"
)

var (
	articleLink = regexp.MustCompile(`\[([^\]]*)\]\(article:([a-z0-9-]+)\)`)
	bold        = regexp.MustCompile(`\*\*([^*]*)\*\*`)
)

// forTerminal sets a reply as plain text, quick answers numbered.
func forTerminal(r *dialog.Reply) string {
	text := articleLink.ReplaceAllString(r.Text, "$1")
	text = bold.ReplaceAllString(text, "$1")
	var b strings.Builder
	b.WriteString("\n" + text + "\n")
	if r.Next != nil && len(r.Next.Quick) > 0 {
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
	if len(r.Cites) > 0 {
		b.WriteString("  (articles: " + strings.Join(r.Cites, ", ") + ")\n")
	}
	return b.String()
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
		fmt.Fprintf(out, "  index for “%s”:", rd.Words)
		for _, h := range rd.Hits {
			fmt.Fprintf(out, " %s %.2f (%.0f %%)", h.ID, h.Score, 100*h.Share)
		}
		fmt.Fprintln(out)
	}
}

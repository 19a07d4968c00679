package chat

import (
	"fmt"
	"regexp"
	"strings"
)

var articleLink = regexp.MustCompile(`\[([^\]]*)\]\(article:[^)]*\)`)

// recap is where a case stands for who comes back: the three lines of the
// dialogue, without their links, and what is to be done next.
func (c *conversation) recap() []string {
	out := c.engine.Recap(c.state)
	for i := range out {
		out[i] = articleLink.ReplaceAllString(out[i], "$1")
	}
	if len(c.turns) == 0 {
		return out
	}
	last := c.turns[len(c.turns)-1].Reply
	if n := last.Next; n != nil && n.Title != "" && last.Closed == "" {
		line := "Open: " + strings.TrimSuffix(n.Title, ".")
		if n.Minutes > 0 {
			line += fmt.Sprintf(" (%.0f minutes)", n.Minutes)
		}
		if !strings.HasSuffix(line, "?") {
			line += "."
		}
		out = append(out, line)
	}
	return out
}

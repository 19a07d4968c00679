package kb

import "strings"

// History is a cause as its owners tell the trouble before they know it: whole
// stories, in as many people's words as there were to think of, with what led
// up to it, what was tried and what was seen. How often each word stands in the
// stories of one cause, and how rarely in those of others, is what a new telling
// is weighed by. They are not shown.
type History struct {
	// For is a cause, or PART-is-MODE for a derived one.
	For string `yaml:"for" json:"for"`
	// Told holds the stories.
	Told  []string `yaml:"told" json:"told"`
	Basis Basis    `yaml:"basis" json:"basis"`
}

// checkHistory checks that the stories are of a cause that there is.
func (c *checker) checkHistory(e *entry, h *History) {
	part, mode, derived := strings.Cut(h.For, "-is-")
	switch {
	case c.base.Cause(h.For) != nil:
	case derived:
		// The long tail comes after the checks.
		c.ref(e, p("for"), "parts", part)
		c.ref(e, p("for"), "modes", mode)
	default:
		c.ref(e, p("for"), string(KindCause), h.For)
	}
	c.said(e, p("told"), h.Told)
	c.basis(e, p("basis"), h.Basis)
}

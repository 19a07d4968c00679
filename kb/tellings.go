package kb

// Telling is a symptom, or an outcome, as owners tell it: in whole messages and
// in as many people's words as there were to think of. Nobody's words are looked
// for in them letter by letter; how often each word stands in the tellings of
// one thing, and how rarely in those of others, is what a new message is weighed
// by. They are not shown.
type Telling struct {
	// For is a symptom, or a finding and its outcome: "fan-runs=never".
	For string `yaml:"for" json:"for"`
	// Told holds the messages.
	Told  []string `yaml:"told" json:"told"`
	Basis Basis    `yaml:"basis" json:"basis"`
}

// Target cuts For into the finding and its outcome, "present" for a symptom.
func (t *Telling) Target() (finding, outcome string) { return target(t.For) }

// checkTelling checks that the messages are of something that there is.
func (c *checker) checkTelling(e *entry, t *Telling) {
	c.sayable(e, t.For)
	c.said(e, p("told"), t.Told)
	c.basis(e, p("basis"), t.Basis)
}

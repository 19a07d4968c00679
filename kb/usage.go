package kb

import (
	"slices"
	"strings"
)

// Usage is one entry of lists/usage.yaml: words of the trade and of owners that
// tell the reader what kind of thing is said. The uses are:
//
//	measured      what a gauge can be put on
//	mark          what is looked for on a part, and good when it is not there
//	fault         general words for something that is not as it should be
//	quality       adjectives of a list of what the car is, that tell no trouble
//	worked        verbs of work on a car that was done, wherever they stand
//	hand-opens    words with which somebody begins to tell what they did to the car
//	put-on        verbs by which something is put on a part to see what it does
//	hand          what people do to a car, as opposed to what they do with it
//	shows         words by which people point at the trouble without naming it again
//	car-noun      words for a car
//	gadget        things with a battery, a lamp or a lead that are no car
//	agent         what is sprayed or rubbed on and has the name of its use
//	renew         words that tell that a part was renewed, as verbs or beside its name
//	check         words that tell that a part was checked
//	inspect       words of a look or a check, in every form that tells a deed
//	recovers      what a trouble does that goes by what was done
//	provokes      words of an action that brings the trouble on
//	held-by       by what a part is held, plugged or felt
//	mend          verbs that put a fault right without renewing the part
//	renewed       verbs that tell a renewal as a deed that was done
//	falters       what a trouble does when an action brings it on
//	add           verbs of adding something that was not there
//	swap          verbs of changing a part over with its twin
//	after-litres  words that follow the size of an engine
//	reads         words beside a number that tell a reading
//	kills         what a car does to a part that fails again and again
//	failed        how a part is when it has failed again
//	fell          words of a current that went down
//	casing        nouns that make of a part's name before them another thing
//	fine-of-all   verdicts that say so of the whole
//	function      words that say that a thing does its work, or not
//	judge         verbs of a verdict on a part
//	culprit       words for what it was
//	own-work      verbs of a thing that does what it is for, with the second word that makes them so where they need one
//	went          idioms for the trouble going by what was done
//	went-back     idioms for its coming back right away
//	moved         the trouble went with a part that was changed over
//	stayed        the trouble stayed in its place
//	twin          it was changed over with its twin and not renewed
//
// They weigh nothing by themselves and are no names: names and synonyms stand in
// the other lists.
type Usage struct {
	Use   string   `yaml:"use" json:"use"`
	Words []string `yaml:"words" json:"words"`
	Basis Basis    `yaml:"basis" json:"basis"`
}

// Uses are the uses of which every word is one word, SayingUses those whose words
// may be sayings of several.
var (
	Uses       = []string{"measured", "mark", "fault", "quality", "worked", "hand-opens", "put-on", "hand", "shows", "car-noun", "gadget", "agent", "renew", "check", "inspect", "recovers", "provokes", "held-by", "mend", "renewed", "falters", "add", "swap", "after-litres", "reads", "kills", "failed", "fell", "casing", "fine-of-all", "function", "judge", "culprit"}
	SayingUses = []string{"own-work", "went", "went-back", "moved", "stayed", "twin"}
)

// checkUsage checks one entry of lists/usage.yaml, and that no use is left out of a
// set that has the list.
func (c *checker) checkUsage(e *entry, v *Usage) {
	all := append(slices.Clone(Uses), SayingUses...)
	c.oneOf(e, p("use"), v.Use, all...)
	c.basis(e, p("basis"), v.Basis)
	if len(v.Words) == 0 {
		c.fail(e, p("words"), "name the words, or take the entry away", "use %q has no words", v.Use)
	}
	seen := map[string]bool{}
	for i, w := range v.Words {
		at := p("words", i)
		switch {
		case w != strings.ToLower(w) || w != strings.Join(strings.Fields(w), " ") || w == "" || strings.ContainsAny(w, "'’.,;:!?"):
			c.fail(e, at, "write it in lower case without marks, as the reader sees it", "%q is no word", w)
		case strings.Contains(w, " ") && slices.Contains(Uses, v.Use):
			c.fail(e, at, "give one word, or use one of "+strings.Join(SayingUses, ", "), "%q is more than one word", w)
		case seen[w]:
			c.fail(e, at, "leave one out", "%q stands twice under %s", w, v.Use)
		}
		seen[w] = true
	}
	if first := c.set.inOrder("usage")[0]; first != e {
		return
	}
	var missing []string
	for _, use := range all {
		if c.set.entries["usage"][use] == nil {
			missing = append(missing, use)
		}
	}
	if len(missing) > 0 {
		c.fail(e, p("use"), "add an entry for each", "the list leaves out %d of %d uses, such as %q", len(missing), len(all), missing[0])
	}
}

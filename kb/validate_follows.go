package kb

import "cmp"

// checkFollows checks an entry of the tables of Follows.
func (c *checker) checkFollows(e *entry, value any) {
	switch v := value.(type) {
	case *PartKind:
		c.text(e, p("title"), v.Title)
		c.refs(e, p("parts"), "parts", v.Parts)
		c.basis(e, p("basis"), v.Basis)
	case *BlindSpot:
		means := sortedKeys(c.set.derived.Means)
		for i, m := range v.Means {
			c.oneOf(e, p("means", i), m, means...)
		}
		c.refs(e, p("kinds"), "kinds", v.Kinds)
		c.refs(e, p("modes"), "modes", v.Modes)
		c.share(e, p("shows"), v.Shows)
		c.text(e, p("says"), v.Says)
		c.basis(e, p("basis"), v.Basis)
	}
}

// checkComeGo checks the direction of an action and where it is proposed.
func (c *checker) checkComeGo(e *entry, at []any, g ComeGo) {
	c.modeShares(e, under(at, "brings"), g.Brings)
	c.modeShares(e, under(at, "for_a_while"), g.ForAWhile)
	c.refs(e, under(at, "kinds"), "kinds", g.Kinds)
	c.refs(e, under(at, "never"), "systems", g.Never)
	c.notNegative(e, under(at, "minutes"), g.Minutes)
	c.oneOf(e, under(at, "reaches"), cmp.Or(g.Reaches, "kinds"), "kinds", "electrical", "any")
	for i := range g.Of {
		x, at := &g.Of[i], under(at, "of", i)
		if len(x.Kinds) == 0 {
			c.fail(e, at, "name kinds", "it is of no kind of part")
		}
		c.refs(e, under(at, "kinds"), "kinds", x.Kinds)
		c.share(e, under(at, "base"), x.Base)
		c.share(e, under(at, "lead"), x.Lead)
		c.modeShares(e, under(at, "modes"), x.Modes)
		c.modeShares(e, under(at, "brings"), x.Brings)
		c.modeShares(e, under(at, "for_a_while"), x.ForAWhile)
		c.text(e, under(at, "why"), x.Why)
		c.notNegative(e, under(at, "minutes"), x.Minutes)
		if x.Proposed && (len(x.Steps) == 0 || x.Minutes == 0) {
			c.fail(e, at, "add steps and minutes", "an action that is proposed needs steps and minutes")
		}
	}
	if len(g.Kinds) > 0 && (len(g.Steps) == 0 || g.Minutes == 0) {
		c.fail(e, under(at, "kinds"), "add steps and minutes", "an action that is proposed needs steps and minutes")
	}
}

// checkSwaps checks the tables of what was put in and changed over.
func (c *checker) checkSwaps(e *entry, d *Derived) {
	for _, place := range sortedKeys(d.Swapped) {
		c.whole(e, p("swapped", place), d.Swapped[place])
	}
	c.refs(e, p("never_swapped"), "systems", d.NeverSwapped)
	for i, id := range d.OneOfSeveral {
		if _, sign := c.set.entries["signs"][id]; !sign {
			c.ref(e, p("one_of_several", i), string(KindSymptom), id)
		}
	}
	for _, spare := range sortedKeys(d.Spare) {
		c.share(e, p("spare", spare), d.Spare[spare])
	}
	for _, spare := range sortedKeys(d.SpareSaid) {
		c.oneOf(e, p("spare_said", spare), spare, sortedKeys(d.Spare)...)
	}
}

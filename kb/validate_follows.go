package kb

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
	if x := g.Bypass; x != nil {
		c.refs(e, under(at, "bypass", "kinds"), "kinds", x.Kinds)
		c.share(e, under(at, "bypass", "base"), x.Base)
		c.modeShares(e, under(at, "bypass", "modes"), x.Modes)
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

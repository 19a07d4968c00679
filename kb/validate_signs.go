package kb

// checkSign checks one sign and its references.
func (c *checker) checkSign(e *entry, g *Sign) {
	if !(g.partsOnly() && contains(c.ids[string(KindSymptom)], g.ID)) {
		c.text(e, p("title"), g.Title)
		c.ref(e, p("system"), "systems", g.System)
		c.oneOf(e, p("known_by"), g.KnownBy, knownBy...)
		c.said(e, p("said"), g.Said)
		if len(g.Said) < MinSaid {
			c.fail(e, p("said"), "add more ways owners say it", "only %d ways of saying it, at least %d are needed", len(g.Said), MinSaid)
		}
		if !(g.Base > 0 && g.Base < 1) {
			c.fail(e, p("base"), "", "the base %v is not between 0 and 1", g.Base)
		}
	}
	c.basis(e, p("basis"), g.Basis)
	if len(g.From) == 0 {
		c.fail(e, p("from"), "name the parts that bring it", "the sign comes from no part")
	}
	for i, f := range g.From {
		c.likelihood(e, p("from", i, "how"), f.How)
		if !c.ref(e, p("from", i, "part"), "parts", f.Part) {
			continue
		}
		for k, m := range f.Modes {
			if c.ref(e, p("from", i, "modes", k), "modes", m) {
				if part := c.base.Part(f.Part); part != nil && part.Modes[m] == 0 {
					c.warn(e, p("from", i, "modes", k), "add it to the part's modes", "part %q is not said to fail as %q", f.Part, m)
				}
			}
		}
		for k, w := range f.When {
			axis, value, _, ok := cutCondition(w)
			if _, v := c.base.axisValue(axis, value); !ok || v == nil {
				c.fail(e, p("from", i, "when", k), `write "axis/value relation", for example "braking/hard only"`, "%q is no condition", w)
			}
		}
	}
}

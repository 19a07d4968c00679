package kb

import "strings"

// checkWord checks one entry of lists/vocabulary.yaml: every target exists,
// and no form is given twice.
func (c *checker) checkWord(e *entry, v *Word) {
	c.text(e, p("term"), v.Term)
	c.said(e, p("forms"), v.Forms)
	c.basis(e, p("basis"), v.Basis)
	for i, f := range v.Forms {
		if strings.EqualFold(strings.TrimSpace(f), v.Term) {
			c.fail(e, p("forms", i), "leave it out", "form %q is the term itself", f)
		}
	}
	for _, f := range append([]string{v.Term}, v.Forms...) {
		k := strings.ToLower(strings.Join(strings.Fields(f), " "))
		if other, ok := c.words[k]; ok && other != v.Term {
			c.fail(e, p("term"), "put the targets of both into one entry", "%q stands under %q as well", f, other)
		}
		c.words[k] = v.Term
	}
	if len(v.PointsTo) == 0 {
		c.fail(e, p("points_to"), "name what it means, such as part:thermostat", "%q points to nothing", v.Term)
	}
	for i, t := range v.PointsTo {
		c.checkTarget(e, p("points_to", i), t)
	}
}

// checkTarget reports a target that names nothing that exists.
func (c *checker) checkTarget(e *entry, path []any, target string) {
	kind, rest, named := strings.Cut(target, ":")
	missing := func(among []string) {
		c.fail(e, path, didYouMean(rest, among), "there is no %s %q", kind, rest)
	}
	switch {
	case contains(bareTargets, kind):
		if named {
			c.fail(e, path, "write "+kind, "%s names nothing further", kind)
		}
	case listTargets[kind] != "":
		c.ref(e, path, listTargets[kind], rest)
	case choiceTargets[kind] != nil:
		if !contains(choiceTargets[kind], rest) {
			missing(choiceTargets[kind])
		}
	case kind == "look":
		if ids := c.lookIDs(); !contains(ids, rest) {
			missing(ids)
		}
	case kind == "action":
		var ids []string
		for _, g := range c.base.Derived.ComeGo {
			ids = append(ids, g.ID)
		}
		if !contains(ids, rest) {
			missing(ids)
		}
	case kind == "axis":
		axis, value, _ := strings.Cut(rest, ":")
		if _, v := c.base.axisValue(axis, value); v == nil {
			c.fail(e, path, didYouMean(axis, c.ids["axes"]), "there is no axis with the value %q", rest)
		}
	case kind == "vehicle":
		attribute, value, _ := strings.Cut(rest, ":")
		var ids []string
		if a := c.attrs[attribute]; a != nil {
			for _, v := range a.Values {
				ids = append(ids, v.ID)
			}
		}
		if !contains(ids, value) {
			c.fail(e, path, orElse(didYouMean(attribute, c.ids["vehicle"]), didYouMean(value, ids)), "there is no vehicle attribute with the value %q", rest)
		}
	default:
		c.fail(e, path, didYouMean(kind, targetKinds()), "there is no kind of target %q", kind)
	}
}

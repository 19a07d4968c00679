package kb

import (
	"fmt"
	"regexp"
	"slices"
	"strings"
)

// checker collects what is wrong with a set whose entries have the right
// shape. Each check* method is one rule or one kind of entry.
type checker struct {
	set      *set
	base     *Base
	problems Problems

	ids   map[string][]string // candidate ids by kind, for "did you mean"
	axes  map[string]*Axis
	attrs map[string]*Attribute
	looks map[string]bool   // findings that some cause speaks of
	words map[string]string // term by form of the vocabulary
}

// validate checks everything beyond shape and marks the entries with errors.
func (s *set) validate(b *Base) Problems {
	c := &checker{set: s, base: b, ids: map[string][]string{}, axes: map[string]*Axis{}, attrs: map[string]*Attribute{}, looks: map[string]bool{}, words: map[string]string{}}
	for kind, same := range s.entries {
		c.ids[kind] = sortedKeys(same)
	}
	c.ids["article"] = sortedKeys(s.articles)
	c.ids["finding"] = sortedKeys(b.findings)
	for i := range b.Axes {
		c.axes[b.Axes[i].ID] = &b.Axes[i]
	}
	for i := range b.Vehicle {
		c.attrs[b.Vehicle[i].ID] = &b.Vehicle[i]
	}
	c.checkLists()
	c.checkDerived()
	for _, a := range b.Causes {
		for id := range a.Shows {
			c.looks[id] = true
		}
	}
	for _, e := range s.inOrder(string(KindSymptom)) {
		c.checkSymptom(e, e.value.(*Symptom))
	}
	for _, e := range s.inOrder(string(KindCause)) {
		c.checkCause(e, e.value.(*Cause))
	}
	for _, e := range s.inOrder(string(KindTest)) {
		c.checkTest(e, e.value.(*Test))
	}
	for _, e := range s.inOrder(string(KindCard)) {
		c.checkCard(e, e.value.(*Card))
	}
	for _, e := range s.inOrder(string(KindCircuit)) {
		c.checkCircuit(e, e.value.(*Circuit))
	}
	for _, e := range s.inOrder(string(KindPath)) {
		c.checkPath(e, e.value.(*Path))
	}
	c.checkFindingIDs()
	c.checkCycles()
	c.checkActions()
	c.checkTwins()
	return c.problems
}

// fail reports an error at the path within the entry that makes it unusable,
// flaw one that does not, warn a warning.
func (c *checker) fail(e *entry, path []any, fix, format string, args ...any) {
	e.bad = true
	c.flaw(e, path, fix, format, args...)
}

func (c *checker) flaw(e *entry, path []any, fix, format string, args ...any) {
	c.problems = append(c.problems, e.doc.problem(at(e.node, path...), SeverityError, fmt.Sprintf(format, args...), fix))
}

func (c *checker) warn(e *entry, path []any, fix, format string, args ...any) {
	c.problems = append(c.problems, e.doc.problem(at(e.node, path...), SeverityWarning, fmt.Sprintf(format, args...), fix))
}

// cut runs a check of what the path holds and, when that is all that is
// wrong, marks it as something to do without. Never used where a caution
// hangs on it.
func (c *checker) cut(e *entry, path []any, check func() bool) bool {
	was := e.bad
	if check() {
		return true
	}
	if !was {
		e.bad = false
		e.cuts = append(e.cuts, at(e.node, path...))
	}
	return false
}

// p is a path; under appends to one without sharing it.
func p(steps ...any) []any                 { return steps }
func under(path []any, steps ...any) []any { return slices.Concat(path, steps) }

var idSyntax = regexp.MustCompile(`^[a-z0-9]+(-[a-z0-9]+)*$`)

// checkID reports an id that is not lower-case words joined by hyphens.
func (c *checker) checkID(e *entry, path []any, id string) {
	if !idSyntax.MatchString(id) || len(id) > 60 {
		c.fail(e, path, "use lower-case words joined by hyphens", "%q is not an id", id)
	}
}

// named names the kinds in messages.
var named = map[string]string{
	"systems": "system", "parts": "part", "modes": "failure mode", "axes": "axis", "events": "event",
	"vehicle": "vehicle attribute", "tools": "tool", "access": "access", "states": "state", "hazards": "hazard",
}

func name(kind string) string {
	if n := named[kind]; n != "" {
		return n
	}
	return kind
}

// ref reports an id that is not of the kind.
func (c *checker) ref(e *entry, path []any, kind, id string) bool {
	if _, ok := slices.BinarySearch(c.ids[kind], id); ok {
		return true
	}
	if c.set.broken[id] || c.set.broken[kind] {
		e.bad = true // reported where it is broken
		return false
	}
	c.fail(e, path, didYouMean(id, c.ids[kind]), "there is no %s %q", name(kind), id)
	return false
}

// refs checks every entry of a list of ids.
func (c *checker) refs(e *entry, path []any, kind string, ids []string) {
	seen := map[string]bool{}
	for i, id := range ids {
		if kind == "hazards" {
			c.ref(e, under(path, i), kind, id)
		} else {
			c.cut(e, under(path, i), func() bool { return c.ref(e, under(path, i), kind, id) })
		}
		if seen[id] {
			c.warn(e, under(path, i), "", "%q is named twice", id)
		}
		seen[id] = true
	}
}

// finding reports an id that is not a finding, and says what to name instead
// when it is an article without a finding of its own.
func (c *checker) finding(e *entry, path []any, id string) *Finding {
	if f := c.base.findings[id]; f != nil {
		return f
	}
	if c.set.broken[id] {
		e.bad = true // reported where it is broken
		return nil
	}
	if a := c.base.symptoms[id]; a != nil {
		c.fail(e, path, "name "+strings.Join(quoteAll(sortedKeys(a.Of)), " or "), "symptom %q has no finding of its own: it only says others", id)
	} else if a := c.base.tests[id]; a != nil && a.Of != "" {
		c.fail(e, path, "name "+quote(a.Of), "test %q settles the finding %q and has none of its own", id, a.Of)
	} else if a != nil && len(a.Settles) > 0 {
		c.fail(e, path, "name one of those it settles", "test %q is a look-round and has no finding of its own", id)
	} else {
		c.fail(e, path, didYouMean(id, c.ids["finding"]), "there is no finding %q", id)
	}
	return nil
}

func quoteAll(ss []string) []string {
	out := make([]string, len(ss))
	for i, s := range ss {
		out[i] = quote(s)
	}
	return out
}

// outcome reports an outcome that the finding does not have.
func (c *checker) outcome(e *entry, path []any, f *Finding, id string) bool {
	if f.OutcomeIndex(id) >= 0 {
		return true
	}
	var ids []string
	for _, o := range f.Outcomes {
		ids = append(ids, o.ID)
	}
	fix := didYouMean(id, ids)
	if fix == "" {
		fix = "it has " + strings.Join(quoteAll(ids), ", ")
	}
	c.fail(e, path, fix, "finding %q has no outcome %q", f.ID, id)
	return false
}

// pair checks a finding and one of its outcomes.
func (c *checker) pairs(e *entry, path []any, m map[string]string) {
	for _, id := range sortedKeys(m) {
		if f := c.finding(e, under(path, id), id); f != nil {
			c.outcome(e, under(path, id), f, m[id])
		}
	}
}

// text reports an empty required text.
func (c *checker) text(e *entry, path []any, s string) {
	if strings.TrimSpace(s) == "" {
		c.fail(e, path, "", "%v is missing", path[len(path)-1])
	}
}

// oneOf reports a word that is not among the allowed ones.
func (c *checker) oneOf(e *entry, path []any, s string, allowed ...string) {
	if slices.Contains(allowed, s) {
		return
	}
	fix := didYouMean(s, allowed)
	if fix == "" {
		fix = "use " + strings.Join(allowed, ", ")
	}
	if s == "" {
		c.fail(e, path, fix, "%v is missing", path[len(path)-1])
		return
	}
	c.fail(e, path, fix, "%v can't be %q", path[len(path)-1], s)
}

// likelihood reports one that is neither a word of the scale nor a number
// strictly between 0 and 1.
func (c *checker) likelihood(e *entry, path []any, l Likelihood) (float64, bool) {
	v, ok := l.Value()
	if !ok {
		words := sortedKeys(scaleByName)
		fix := didYouMean(string(l), words)
		if fix == "" {
			fix = "use a number above 0 and below 1, or " + strings.Join(words, ", ")
		}
		c.fail(e, path, fix, "%q is not a likelihood", string(l))
	}
	return v, ok
}

var scaleByName = func() map[string]float64 {
	m := map[string]float64{}
	for w, v := range Scale {
		m[string(w)] = v
	}
	return m
}()

// share reports a number outside 0..1.
func (c *checker) share(e *entry, path []any, v float64) {
	if v < 0 || v > 1 {
		c.fail(e, path, "", "%g is not a share between 0 and 1", v)
	}
}

func (c *checker) notNegative(e *entry, path []any, v float64) {
	if v < 0 {
		c.fail(e, path, "", "%v can't be negative", path[len(path)-1])
	}
}

var basisWords = []string{"common practice", "memory", "user's manual", "invented"}

// basis reports one outside the form of type Basis.
func (c *checker) basis(e *entry, path []any, b Basis) {
	s := string(b)
	if slices.Contains(basisWords, s) {
		return
	}
	if src, ok := strings.CutPrefix(s, "published:"); ok {
		if strings.TrimSpace(src) == "" {
			c.fail(e, path, "", "a published basis must name its source")
		}
		return
	}
	if s == "" {
		c.fail(e, path, "say where the figure comes from: published: SOURCE, "+strings.Join(basisWords, ", "), "basis is missing")
		return
	}
	fix := didYouMean(s, basisWords)
	if fix == "" {
		fix = "use published: SOURCE, " + strings.Join(basisWords, ", ")
	}
	c.fail(e, path, fix, "%q is not a basis", s)
}

// body checks the links of a body and that there is one.
func (c *checker) body(e *entry, body string) {
	c.text(e, p("body"), body)
	for _, target := range bodyLinks(body) {
		id, ok := strings.CutPrefix(target, articleScheme)
		id, _, _ = strings.Cut(id, "#")
		switch {
		case ok:
			if _, known := c.set.articles[id]; !known && !c.set.broken[id] {
				c.failAt(e, "body", target, didYouMean(id, c.ids["article"]), fmt.Sprintf("the body links to %q, which is no article", id))
			}
		case href(target) == "":
			c.failAt(e, "body", target, "link to article:ID, http or https", fmt.Sprintf("the body's link target %q is not allowed", target))
		}
	}
}

// failAt reports a flaw at the first line, from the key on, that holds the
// text.
func (c *checker) failAt(e *entry, key, text, fix, what string) {
	n := at(e.node, key)
	pr := e.doc.problem(n, SeverityError, what, fix)
	for i := max(pr.Line-1, 0); i < len(e.doc.lines); i++ {
		if col := strings.Index(e.doc.lines[i], text); col >= 0 {
			pr.Line, pr.Column, pr.Snippet = i+1, len([]rune(e.doc.lines[i][:col]))+1, e.doc.lines[i]
			break
		}
	}
	c.problems = append(c.problems, pr)
}

// head checks what all articles have.
func (c *checker) head(e *entry, title, system, body string) {
	c.checkID(e, p("id"), e.id)
	c.text(e, p("title"), title)
	c.ref(e, p("system"), "systems", system)
	c.body(e, body)
	dir := strings.Split(e.doc.file, "/")
	if n := len(dir); n >= 2 {
		if dir[n-1] != e.id+".yaml" {
			c.warn(e, p("id"), "name the file "+e.id+".yaml", "article %q is in file %s", e.id, dir[n-1])
		}
		if in := dir[n-2]; in != system && e.kind != string(KindCard) && e.kind != string(KindCircuit) && e.kind != string(KindPath) {
			c.warn(e, p("system"), "", "an article of system %q lies in folder %q", system, in)
		}
	}
}

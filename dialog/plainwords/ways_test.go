package plainwords

import (
	"slices"
	"strings"
	"testing"

	"ruleout/kb"
)

// TestWays says every pattern of the knowledge base in two of its wordings, the
// first and the last alternative of every slot, and expects what it is for
// among the matches. A pattern whose words nobody could find would do nothing.
func TestWays(t *testing.T) {
	base, problems := kb.Embedded()
	if base == nil {
		t.Fatal(problems)
	}
	r := NewReader(base)
	lost, all := 0, 0
	for _, w := range base.Ways {
		id, outcome := w.Target()
		for _, pattern := range w.Said {
			slots, err := kb.Slots(pattern)
			if err != nil {
				t.Fatal(err)
			}
			var first, last []string
			for _, s := range slots {
				first, last = append(first, s[0]), append(last, s[len(s)-1])
			}
			told := false
			for _, words := range [][]string{first, last} {
				toks := r.lx.parse(strings.Join(words, " "))
				us := r.lx.units(toks, false)
				told = told || slices.ContainsFunc(r.lx.matches(toks, us), func(m match) bool {
					return m.phrase.target.id == id && m.phrase.target.value == outcome
				})
			}
			all++
			if !told {
				lost++
				t.Errorf("%s: neither %q nor %q is found", w.For, strings.Join(first, " "), strings.Join(last, " "))
			}
		}
	}
	t.Logf("%d of %d patterns lost", lost, all)
}

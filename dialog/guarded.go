package dialog

import (
	"regexp"
	"regexp/syntax"
	"strings"
)

// guarded is an expression that is tried only on texts that have one of the
// words without which it can't match: most turns have none of them, and looking
// for a word is far quicker than trying an expression everywhere.
type guarded struct {
	*regexp.Regexp
	needs []string // nil where nothing is sure to be there
}

// guard compiles an expression that is known to be right.
func guard(pattern string) guarded {
	g := guarded{Regexp: regexp.MustCompile(pattern)}
	if t, err := syntax.Parse(pattern, syntax.Perl); err == nil {
		g.needs = needed(t)
	}
	return g
}

// needed returns texts of which every match has at least one, or nil.
func needed(t *syntax.Regexp) []string {
	switch t.Op {
	case syntax.OpLiteral:
		if t.Flags&syntax.FoldCase == 0 {
			return []string{string(t.Rune)}
		}
	case syntax.OpCapture, syntax.OpPlus:
		return needed(t.Sub[0])
	case syntax.OpRepeat:
		if t.Min > 0 {
			return needed(t.Sub[0])
		}
	case syntax.OpAlternate:
		var all []string
		for _, sub := range t.Sub {
			some := needed(sub)
			if some == nil {
				return nil
			}
			all = append(all, some...)
		}
		return all
	case syntax.OpConcat:
		// The part whose texts are rarest: the longest, as a rule.
		var best []string
		for _, sub := range t.Sub {
			if some := needed(sub); shortest(some) > shortest(best) {
				best = some
			}
		}
		return best
	}
	return nil
}

func shortest(texts []string) int {
	if len(texts) == 0 {
		return 0
	}
	n := len(texts[0])
	for _, t := range texts[1:] {
		n = min(n, len(t))
	}
	return n
}

// may reports whether the text has what a match needs.
func (g guarded) may(text string) bool {
	if g.needs == nil {
		return true
	}
	for _, n := range g.needs {
		if strings.Contains(text, n) {
			return true
		}
	}
	return false
}

// The methods are those of regexp.Regexp.

func (g guarded) MatchString(text string) bool { return g.may(text) && g.Regexp.MatchString(text) }

func (g guarded) FindStringIndex(text string) []int {
	if !g.may(text) {
		return nil
	}
	return g.Regexp.FindStringIndex(text)
}

func (g guarded) FindStringSubmatchIndex(text string) []int {
	if !g.may(text) {
		return nil
	}
	return g.Regexp.FindStringSubmatchIndex(text)
}

func (g guarded) FindStringSubmatch(text string) []string {
	if !g.may(text) {
		return nil
	}
	return g.Regexp.FindStringSubmatch(text)
}

func (g guarded) FindString(text string) string {
	if !g.may(text) {
		return ""
	}
	return g.Regexp.FindString(text)
}

func (g guarded) ReplaceAllString(text, by string) string {
	if !g.may(text) {
		return text
	}
	return g.Regexp.ReplaceAllString(text, by)
}

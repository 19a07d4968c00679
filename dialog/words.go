package dialog

import (
	"fmt"
	"math"
	"strings"
)

// plain says a probability in words.
func plain(p float64) string {
	switch {
	case p >= 0.95:
		return "almost certainly"
	case p >= 0.05:
		return fmt.Sprintf("about %d in 10", max(1, int(math.Round(p*10))))
	case p >= 0.015:
		return fmt.Sprintf("about %d in 100", int(math.Round(p*100)))
	case p >= 0.005:
		return "about 1 in 100"
	}
	return "less than 1 in 100"
}

// minutes says a duration.
func minutes(m float64) string {
	switch {
	case m <= 0:
		return "no work"
	case m < 1.5:
		return "1 minute"
	case m < 90:
		return fmt.Sprintf("%d minutes", int(math.Round(m)))
	}
	return fmt.Sprintf("%.1f hours", m/60)
}

// list joins words as "a, b and c".
func list(words []string) string {
	switch len(words) {
	case 0:
		return ""
	case 1:
		return words[0]
	}
	return strings.Join(words[:len(words)-1], ", ") + " and " + words[len(words)-1]
}

func lowerFirst(s string) string {
	r := []rune(s)
	if len(r) == 0 {
		return s
	}
	if len(r) > 1 && strings.ToUpper(string(r[1])) == string(r[1]) && r[1] != ' ' {
		return s // an abbreviation
	}
	return strings.ToLower(string(r[:1])) + string(r[1:])
}

func upperFirst(s string) string {
	if s == "" {
		return s
	}
	r := []rune(s)
	return strings.ToUpper(string(r[:1])) + string(r[1:])
}

// brief is a title without what stands in brackets.
func brief(title string) string {
	before, rest, ok := strings.Cut(title, " (")
	if !ok || before == "" {
		return title
	}
	_, after, _ := strings.Cut(rest, ")")
	return before + after
}

// sentence ends a text with a full stop.
func sentence(s string) string {
	s = strings.TrimSpace(s)
	if s == "" || strings.ContainsAny(s[len(s)-1:], ".!?:") {
		return s
	}
	return s + "."
}

func round3(x float64) float64 { return math.Round(x*1e3) / 1e3 }
func round6(x float64) float64 { return math.Round(x*1e6) / 1e6 }

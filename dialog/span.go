package dialog

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// span is a stretch counted in days or in uses of the vehicle.
type span struct {
	n    float64
	unit string // days, trips, starts, nights, rains, frosts
}

// Units of a span, by the words for them, with what one of them counts.
var spanUnits = map[string]span{
	"hour": {1.0 / 24, "days"}, "day": {1, "days"}, "week": {7, "days"}, "weekend": {7, "days"}, "fortnight": {14, "days"}, "month": {30, "days"}, "year": {365, "days"},
	"trip": {1, "trips"}, "drive": {1, "trips"}, "run": {1, "trips"}, "journey": {1, "trips"}, "commute": {1, "trips"}, "time": {1, "times"},
	"start": {1, "starts"}, "morning": {1, "starts"}, "night": {1, "nights"},
	"rainy day": {1, "rains"}, "wet day": {1, "rains"}, "wet morning": {1, "rains"}, "rain": {1, "rains"}, "shower": {1, "rains"}, "wash": {1, "rains"}, "frost": {1, "frosts"},
}

var (
	numbers = map[string]float64{"a": 1, "an": 1, "one": 1, "once": 1, "two": 2, "twice": 2, "three": 3, "four": 4, "five": 5, "six": 6, "seven": 7, "eight": 8, "nine": 9, "ten": 10, "eleven": 11, "twelve": 12,
		"couple": 2, "few": 3, "several": 5, "dozen": 12, "half": 0.5, "other": 2, "second": 2, "third": 3, "fourth": 4, "fifth": 5, "sixth": 6, "seventh": 7, "tenth": 10}
	count = `(\d+(?:[.,]\d+)?(?:st|nd|rd|th)?|a couple|a few|half a|` + strings.Join(sortedKeys(numbers), "|") + `)`
	unit  = `(?:cold |dry |more |or so )?(rainy day|wet day|wet morning|hour|day|week|weekend|fortnight|month|year|trip|drive|run|journey|commute|time|start|morning|night|rain|shower|wash|frost)(?:s|es)?\b`

	spanIn  = guard(`\b` + count + `\s+(?:of\s+)?` + unit)
	every   = guard(`\b(?:every|each)\s+(?:` + count + `\s+)?(?:or\s+\w+\s+)?` + unit)
	perTime = guard(`\b` + count + `(?:\s+times)?\s+(?:a|an|per|every|each|in a)\s+` + unit)
	oneIn   = guard(`\b(?:one|once|1)\s+(?:(\w+)\s+)?(?:in|out of)\s+(?:every\s+)?` + count + `(?:\s+` + unit + `)?`)
	often   = map[string]span{"daily": {1, "days"}, "weekly": {7, "days"}, "monthly": {30, "days"}, "nightly": {1, "nights"}}
)

// parseGap reads how often something happened as the mean gap between two
// times: "every third day", "twice a week", "one start in five", "3 days".
func parseGap(text string) (span, bool) {
	text = strings.ToLower(text)
	if m := every.FindStringSubmatch(text); m != nil {
		return times(number(m[1], 1), m[2])
	}
	if m := perTime.FindStringSubmatch(text); m != nil {
		s, ok := times(1, m[2])
		s.n /= number(m[1], 1)
		return s, ok
	}
	if m := oneIn.FindStringSubmatch(text); m != nil {
		u := m[3]
		if _, ok := spanUnits[m[1]]; ok && u == "" {
			u = m[1] // "one start in five"
		}
		if u == "" {
			u = "time"
		}
		return times(number(m[2], 1), u)
	}
	for _, w := range sortedKeys(often) {
		if strings.Contains(text, w) {
			return often[w], true
		}
	}
	return parseSpan(text)
}

// parseSpan reads a stretch: "two weeks", "12 trips", "a couple of days".
func parseSpan(text string) (span, bool) {
	if m := spanIn.FindStringSubmatch(strings.ToLower(text)); m != nil {
		return times(number(m[1], 1), m[2])
	}
	return span{}, false
}

// times is n of a unit; a number that is no positive one is refused.
func times(n float64, u string) (span, bool) {
	one := spanUnits[u]
	if !(n > 0) || n > 1e5 {
		return span{}, false
	}
	return span{n * one.n, one.unit}, true
}

func number(word string, without float64) float64 {
	word = strings.TrimSpace(word)
	if word == "" {
		return without
	}
	for _, w := range []string{"a couple", "a few", "half a"} {
		if word == w {
			word = strings.Trim(strings.TrimSuffix(strings.TrimPrefix(w, "a "), " a"), " ")
		}
	}
	if n, ok := numbers[word]; ok {
		return n
	}
	n, err := strconv.ParseFloat(strings.ReplaceAll(strings.TrimRight(word, "stndrh"), ",", "."), 64)
	if err != nil {
		return 0
	}
	return n
}

// say words a span: "14 days", "1 trip".
func (x span) say() string {
	n := math.Round(x.n*10) / 10
	if x.n >= 10 {
		n = math.Round(x.n)
	}
	u := unitTitle(x.unit)
	if n == 1 {
		u = strings.TrimSuffix(u, "s")
	}
	return fmt.Sprintf("%g %s", n, u)
}

func unitTitle(u string) string {
	if t, ok := map[string]string{"starts": "cold starts", "rains": "rainy days", "frosts": "frosty mornings"}[u]; ok {
		return t
	}
	return u
}

package plainwords

import (
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

// tokenKind says what a token is made of.
type tokenKind uint8

const (
	tokenWord tokenKind = iota
	tokenNumber
	tokenPunct
)

// token is one word, number or punctuation mark of a turn. Blanks lie between
// tokens.
type token struct {
	start, end int
	kind       tokenKind
	// norm is the word in lower case without apostrophes; for punctuation the
	// mark itself.
	norm  string
	value float64 // of a number
	// joined is true when no blank stands before the token.
	joined bool
	// ampere is true of an "A" that is no article: capital among small letters.
	ampere bool
	class  class
	// neg marks a word that negates; under is true inside a negation's scope.
	neg, under bool
	// id is the concept of the word, or -1.
	id     int32
	fixed  bool // spelling was corrected
	clause int32
	seg    int32
	sent   int32
	state  SpanKind
	// remarked is true when only a remark holds the token.
	remarked bool
	// affirmed is true where a denial was itself denied.
	affirmed bool
}

// longestWord is the number of bytes beyond which a run of letters is noise
// rather than a word.
const longestWord = 40

// scan cuts the text into tokens. It accepts any bytes.
func scan(text string) []token {
	out := make([]token, 0, len(text)/4+4)
	last := -1
	for i := 0; i < len(text); {
		r, size := utf8.DecodeRuneInString(text[i:])
		start := i
		switch {
		case unicode.IsSpace(r):
			if r == '\n' {
				out = append(out, token{start: i, end: i + size, kind: tokenPunct, norm: "\n", id: -1})
			}
			i += size
			continue
		case drivenWheels(text, i):
			out = append(out, token{start: i, end: i + 3, norm: strings.ToLower(text[i : i+3]), id: -1})
			i += 3
		case startsNumber(text, i, r):
			end, value := scanNumber(text, i)
			out = append(out, token{start: i, end: end, kind: tokenNumber, norm: text[i:end], value: value, id: -1})
			i = end
		case unicode.IsLetter(r):
			end := scanWord(text, i)
			out = append(out, token{start: i, end: end, norm: unicodeUnit(normal(text[i:end])), id: -1, ampere: text[i:end] == "A" && i > 0 && hasSmall(text[max(0, i-20):min(len(text), i+20)])})
			i = end
		default:
			t := token{start: i, end: i + size, kind: tokenPunct, norm: text[i : i+size], id: -1}
			switch r {
			case '°', 'º':
				t.kind, t.norm = tokenWord, "deg"
			case '&':
				t.kind, t.norm = tokenWord, "and"
			case '–', '—':
				t.norm = "-"
			}
			out = append(out, t)
			i += size
		}
		out[len(out)-1].joined = last == start
		last = i
	}
	return out
}

// hasSmall reports whether a text holds a small letter.
func hasSmall(text string) bool {
	return strings.ContainsFunc(text, func(r rune) bool { return r >= 'a' && r <= 'z' })
}

// drivenWheels reports whether "4x4" or the like stands at i.
func drivenWheels(text string, i int) bool {
	if i+3 > len(text) || !isDigit(text[i]) || text[i+1] != 'x' && text[i+1] != 'X' || !isDigit(text[i+2]) || i > 0 && (isDigit(text[i-1]) || text[i-1] == '.') {
		return false
	}
	return i+3 == len(text) || !isDigit(text[i+3]) && text[i+3] != '.'
}

func isDigit(c byte) bool { return c >= '0' && c <= '9' }

// startsNumber reports whether a number begins at i: a digit, a point before
// a digit, or a sign before one that does not follow a word.
func startsNumber(text string, i int, r rune) bool {
	if r >= '0' && r <= '9' {
		return true
	}
	next := func(k int) byte {
		if i+k < len(text) {
			return text[i+k]
		}
		return 0
	}
	var before byte
	if i > 0 {
		before = text[i-1]
	}
	blank := i == 0 || before == ' ' || before == '\n' || before == '\t' || before == '('
	switch r {
	case '.':
		return isDigit(next(1)) && !isDigit(before)
	case '-', '+':
		return blank && (isDigit(next(1)) || next(1) == '.' && isDigit(next(2)))
	}
	return false
}

// scanNumber reads digits with a decimal point or comma, thousands commas, or
// a simple fraction such as 1/8.
func scanNumber(text string, i int) (end int, value float64) {
	start := i
	if text[i] == '-' || text[i] == '+' {
		i++
	}
	digits := func(k int) int {
		for k < len(text) && isDigit(text[k]) {
			k++
		}
		return k
	}
	whole := digits(i)
	i0, frac := i, whole
	clean := ""
	for whole-i0 >= 1 && whole-i0 <= 3 && frac < len(text) && text[frac] == ',' && digits(frac+1)-frac == 4 {
		frac = digits(frac + 1) // a group of three digits
	}
	if frac > whole && text[i0] != '0' {
		clean = strings.ReplaceAll(text[start:frac], ",", "")
	} else {
		frac = whole
	}
	if frac < len(text) && (text[frac] == '.' || text[frac] == ',') && digits(frac+1) > frac+1 {
		end = digits(frac + 1)
		if clean == "" {
			clean = text[start:frac]
		}
		clean += "." + text[frac+1:end]
	} else {
		end = frac
		if clean == "" {
			clean = text[start:end]
		}
	}
	if len(clean) > 30 {
		clean = clean[:30]
	}
	value, err := strconv.ParseFloat(clean, 64)
	if err != nil {
		value = 0
	}
	if end < len(text) && text[end] == '/' && !strings.ContainsAny(clean, ".") {
		if e := digits(end + 1); e > end+1 && e-end <= 3 {
			if d, _ := strconv.ParseFloat(text[end+1:e], 64); d > value && d > 0 {
				return e, value / d
			}
		}
	}
	return end, value
}

// scanWord reads letters with digits and inner apostrophes; "a/c", "n/s" and
// "km/h" are one word, and so are "b+" and "d+".
func scanWord(text string, i int) int {
	start := i
	for i < len(text) {
		r, size := utf8.DecodeRuneInString(text[i:])
		if unicode.IsLetter(r) || r >= '0' && r <= '9' || isApostrophe(r) {
			i += size
			continue
		}
		if r == '/' && i-start <= 3 && i+1 < len(text) {
			switch strings.ToLower(text[start : i+2]) {
			case "a/c", "n/s", "o/s", "w/o", "km/h":
				i += 2
				continue
			}
		}
		if r == '/' && i-start == 3 && i+1 < len(text) {
			switch strings.ToLower(text[start : i+2]) {
			case "n/s/f", "n/s/r", "o/s/f", "o/s/r":
				i += 2
				continue
			}
		}
		if r == '+' && i-start == 1 {
			return i + 1
		}
		break
	}
	for i > start { // a closing apostrophe is a quotation mark
		r, size := utf8.DecodeLastRuneInString(text[start:i])
		if !isApostrophe(r) {
			break
		}
		i -= size
	}
	if i == start {
		_, size := utf8.DecodeRuneInString(text[i:])
		i += size
	}
	return i
}

func isApostrophe(r rune) bool { return r == '\'' || r == '’' || r == '‘' || r == '`' || r == '´' }

// normal returns the word in lower case without apostrophes and slashes.
func normal(word string) string {
	if len(word) > longestWord {
		return ""
	}
	plain := true
	for i := 0; i < len(word); i++ {
		if c := word[i]; c < '0' || c > 'z' || c >= 'A' && c <= 'Z' || c == '`' {
			plain = false
			break
		}
	}
	if plain {
		return word
	}
	return strings.Map(func(r rune) rune {
		if isApostrophe(r) || r == '/' {
			return -1
		}
		return unicode.ToLower(r)
	}, word)
}

// unicodeUnit spells out the Greek ohm.
func unicodeUnit(w string) string {
	switch w {
	case "ω":
		return "ohm"
	case "kω":
		return "kohm"
	case "mω":
		return "megohm"
	}
	return w
}

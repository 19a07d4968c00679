package plainwords

// Code is a trouble code as SAE J2012 (ISO 15031-6) writes it: a letter for
// the system, a digit from 0 to 3 and three hexadecimal digits.
type Code struct {
	// Text is the code in capitals, System the system of the knowledge base
	// that its letter and third character name, Item the cylinder that a
	// misfire code names.
	Text, System, Item string
	// Parts are the parts of the circuit it names, where the vocabulary says so.
	Parts      []string
	Start, End int
}

// codeSystem maps the letter, for P the third character too, to a system of
// the knowledge base (SAE J2012, tables of the code groups).
func codeSystem(code string) string {
	switch code[0] {
	case 'C':
		return "brakes"
	case 'B', 'U':
		return "body-electrics"
	}
	switch code[2] {
	case '0', '1', '2':
		return "fuel"
	case '3':
		return "ignition"
	case '4':
		return "exhaust"
	case '5':
		return "air"
	case '6':
		return "sensors"
	}
	return "gearbox-auto"
}

// isCode reports whether a word, in lower case, has the form of a code.
func isCode(w string) bool {
	if len(w) != 5 || w[0] != 'p' && w[0] != 'c' && w[0] != 'b' && w[0] != 'u' || w[1] < '0' || w[1] > '3' {
		return false
	}
	for i := 2; i < 5; i++ {
		if !isDigit(w[i]) && (w[i] < 'a' || w[i] > 'f') {
			return false
		}
	}
	return true
}

// findCodes takes the trouble codes and the word "code" beside them.
func (t *turn) findCodes() {
	for i := range t.toks {
		k := &t.toks[i]
		first, last, w := i, i, k.norm
		if k.kind == tokenWord && len(w) == 1 && i+1 < len(t.toks) && t.toks[i+1].kind == tokenNumber && len(t.toks[i+1].norm) == 4 {
			w, last = w+t.toks[i+1].norm, i+1 // "P 0301"
		}
		if k.kind != tokenWord || !isCode(w) {
			continue
		}
		text := []byte(w)
		for j := range text {
			if text[j] >= 'a' {
				text[j] -= 'a' - 'A'
			}
		}
		c := Code{Text: string(text), Start: k.start, End: t.toks[last].end}
		c.System = codeSystem(c.Text)
		c.Parts = t.lx.circuits[w]
		if c.Text[:4] == "P030" && c.Text[4] >= '1' && c.Text[4] <= '9' {
			c.Item = "cylinder-" + c.Text[4:]
		}
		t.acc.Codes = append(t.acc.Codes, c)
		for first > 0 && t.toks[first-1].clause == k.clause && codeWords[t.toks[first-1].norm] {
			first--
		}
		t.useTokens(first, last)
		t.markNumber(last)
	}
}

var codeWords = set(`code codes fault error trouble dtc stored`)

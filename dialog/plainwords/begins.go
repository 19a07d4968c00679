package plainwords

import "strings"

// begins reports whether the "starts" at token k only says that something
// begins: "the hose starts getting warm", "it started straight after I ran it
// dry". It then tells of no engine that is started.
func (t *turn) begins(k int) bool {
	switch t.toks[k].norm {
	case "start", "starts", "started", "starting":
	default:
		return false
	}
	next := t.word(k, 1)
	if k > 0 && t.toks[k-1].norm == "engine" || k+1 >= len(t.toks) || t.toks[k+1].kind == tokenPunct {
		return false
	}
	if t.toks[k].norm == "started" {
		for j := 1; j <= 3; j++ {
			switch t.word(k, j) {
			case "straight", "right", "just", "soon", "shortly":
				continue
			case "after", "when", "since":
				return k == 0 || t.toks[k-1].clause != t.toks[k].clause || t.toks[k-1].norm == "this" || t.toks[k-1].norm == "all" || t.toks[k-1].norm == "trouble" || t.toks[k-1].norm == "problem"
			}
			break
		}
	}
	return strings.HasSuffix(next, "ing") && next != "running" && next != "firing" && next != "morning" && next != "something" && next != "anything"
}

// overBegins reports whether a match counts a word that only says that
// something begins as one of its own, and its wording does not.
func (t *turn) overBegins(m *match) bool {
	for _, u := range m.units {
		k := t.us[u].first
		if t.begins(k) && !strings.Contains(plain(m.phrase.said), t.toks[k].norm+" "+t.word(k, 1)) {
			return true
		}
	}
	return false
}

package plainwords

// segment marks sentences, segments and clauses. A sentence ends at a full
// stop, question mark or line end; a segment also at a word of contrast
// ("but", "except"); a clause also at a comma, a colon, a lone dash, "so",
// "because", and at an "and" that opens a new statement.
func segment(toks []token) {
	var sent, seg, clause int32
	past := -10 // where a clause of "since" or "after" began
	next := func(s, g bool) {
		clause++
		if s || g {
			seg++
		}
		if s {
			sent++
		}
	}
	for i := range toks {
		t := &toks[i]
		if t.kind == tokenWord && i > 0 {
			switch {
			case contrasts[t.norm]:
				next(false, true)
			case joins[t.norm]:
				next(false, false)
			case (t.norm == "it" || t.norm == "its") && i-past >= 3 && i-past < 9 && toks[past].clause == clause:
				next(false, false)
				past = -10
			case t.norm == "and" && opensStatement(toks, i+1):
				next(false, false)
			}
		}
		t.sent, t.seg, t.clause = sent, seg, clause
		if t.norm == "since" || t.norm == "after" {
			past = i
		}
		if t.kind != tokenPunct {
			continue
		}
		switch t.norm {
		case ".", "!", "?", ";", "\n":
			next(true, true)
		case ",", ":", "(", ")", "…":
			next(false, false)
		case "-":
			if !t.joined {
				next(false, false)
			}
		}
	}
}

var openers = set(`it its i im ive the then now no not only my we they he she when if you theres there still never also was had has got nothing`)

func opensStatement(toks []token, i int) bool {
	return i < len(toks) && (openers[toks[i].norm] || negators[toks[i].norm])
}

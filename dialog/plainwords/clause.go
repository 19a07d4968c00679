package plainwords

import "strings"

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
			case runsOn(toks, i, clause):
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

// subordinators open a clause of their own, so that the "it" after them begins
// no new statement.
var subordinators = set(`when if while once until till because cos as than that where whenever how what why whether like think thinks thought reckon reckons guess say says said know and but so or though although since after before unless then i to of for with on in at is was does did do has can will would could may might just only not by from about even`)

// runsOn reports whether a new statement begins at token i without a mark or
// a joining word, as people type: "fine in town its on the motorway its
// worst", "won't start just clicks", "fine on the open road only in traffic".
func runsOn(toks []token, i int, clause int32) bool {
	before, denied, verdict := 0, false, false
	for k := i - 1; k >= 0 && k >= i-14 && toks[k].clause == clause; k-- {
		if toks[k].kind == tokenPunct {
			return false
		}
		before++
		denied = denied || negators[toks[k].norm] && (toks[k].norm != "not" && toks[k].norm != "no" || k+1 < i && strings.HasSuffix(toks[k+1].norm, "ing"))
		verdict = verdict || fineWords[toks[k].norm]
	}
	prev := toks[i-1].norm
	switch toks[i].norm {
	case "its", "theres":
		return before >= 3 && !subordinators[prev] && !stopWords[prev] && !particles[prev] && !lightWords[stem(prev)] && !takesObject[stem(prev)]
	case "just", "only":
		if before < 2 || subordinators[prev] || stopWords[prev] && toks[i-1].kind == tokenWord && prev != "morning" && prev != "it" && prev != "all" && prev != "again" && prev != "now" && prev != "today" && prev != "at" {
			return false
		}
		if !denied && !verdict || i+1 >= len(toks) || toks[i+1].kind != tokenWord {
			return false
		}
		// "won't only just start" and "not just at idle" deny the word itself
		n := toks[i+1].norm
		return !negators[prev] && n != "about" && n != "enough" && n != "changed" && n != "fitted" && n != "had" && n != "now" && n != "yet"
	}
	return false
}

// takesObject are verbs whose object may be "its ...".
var takesObject = set(`lose chang check fit clean replac mak caus heat test take turn open see hear smell feel put has`)

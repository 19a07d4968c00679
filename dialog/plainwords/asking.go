package plainwords

import (
	"slices"
	"sort"
	"strings"
)

// findRequests reads what the person wants, clause by clause.
func (t *turn) findRequests() {
	for c, run := range t.runs {
		if len(run) == 0 || t.answersIn(int32(c)) && len(run) < 4 {
			continue
		}
		w, at, n := findWish(t.toks, run)
		if w == nil || !t.sincere(w, int32(c), run, at, n) {
			continue
		}
		from, to := run[at], run[at+n-1]
		about := ""
		if w.about {
			about, to = t.about(run, at+n, w.kind)
			if w.kind == "strike" && at+n < len(run) {
				to = run[at+n]
				about = t.toks[to].norm
			}
			if w.kind == "may-i" {
				about, to = t.restOf(run, at+n) // the whole deed, not the part alone
			}
			if w.kind == "change" && at+n >= len(run) && c+1 < len(t.runs) && t.voices[c+1].sent == t.voices[c].sent && len(t.runs[c+1]) > 0 {
				about, to = t.about(t.runs[c+1], 0, w.kind) // "no wait, the left one"
			}
			if to < 0 {
				to = run[at+n-1]
			}
		}
		if (w.kind == "opinion" || w.kind == "may-i") && about == "" {
			continue
		}
		if w.kind == "still" && t.answersStill(from, to) {
			continue
		}
		if w.kind == "no-tool" || w.kind == "cannot" || w.kind == "skip" {
			t.takeBack() // "can't, no meter" is no reading of nothing
		}
		kind := w.kind
		if kind == "fixed" && t.believed(run, at) {
			if !t.deniedNext(int32(c)) {
				continue // "thought it was fixed"
			}
			kind = "still"
		}
		r := Request{Kind: kind, About: about, Start: t.toks[from].start, End: t.toks[to].end}
		if w.kind == "may-i" {
			if part := t.toRenew(run[at+n:]); part != "" {
				r.Kind, r.About = "opinion", part // "should I just change the starter?"
			}
		}
		if w.kind == "why" {
			if part, last := t.suspectAsked(run, at); part != "" {
				r.Kind, r.About, r.End = "opinion", part, t.toks[last].end // "why not the discs"
			}
		}
		if w.kind == "undo" && c+1 < len(t.runs) && t.voices[c+1].sent == t.voices[c].sent && len(t.runs[c+1]) > 1 {
			r.Kind = "change" // "scrap that, it was 12.4"
		}
		if w.kind == "change" {
			r.Item, _ = t.itemAround(from, to, int32(c))
		}
		t.acc.Requests = append(t.acc.Requests, r)
		t.wished[int32(c)] = r.Kind
		if kind == "fixed" || w.kind == "still" || w.kind == "change" || w.kind == "thanks" || w.kind == "hello" || w.kind == "sometimes" || w.kind == "came-back" {
			delete(t.wished, int32(c)) // the clause may hold facts as well
		}
		t.useTokens(from, to)
		for _, k := range run {
			if k < from && t.toks[k].class == classStop {
				t.toks[k].state = SpanUsed
			}
		}
	}
}

// believing are the verbs after which a cure is only what somebody believed.
var believing = set(`thought hoped hoping told said says claimed claims reckoned supposed promised swore assumed meant`)

// believed reports whether a cure is told as what somebody thought or said.
func (t *turn) believed(run wordRun, at int) bool {
	for _, k := range run[:at] {
		if believing[t.toks[k].norm] {
			return true
		}
	}
	return false
}

// deniedNext reports whether the clause after, of this sentence or the next, does
// nothing but deny: "but no", "it hadn't".
func (t *turn) deniedNext(c int32) bool {
	for n := c + 1; int(n) < len(t.runs) && n <= c+2; n++ {
		denies := false
		for _, k := range t.runs[n] {
			w := &t.toks[k]
			denies = denies || negators[w.norm] || noWords[w.norm]
			if w.class == classContent && !negators[w.norm] && !noWords[w.norm] {
				return false
			}
		}
		if denies {
			return true
		}
	}
	return false
}

// answersStill takes "no difference" and "the same" as the answer to an open
// check that has such an outcome: what was tried changed nothing.
func (t *turn) answersStill(from, to int) bool {
	if t.asked == nil || t.answered(t.asked) || t.ctx.Asked.Repair != "" {
		return false
	}
	for _, id := range []string{"same", "no", "none", "still", "nothing"} {
		if t.asked.outcome(id) != nil {
			t.reply(t.asked, id, from, to, nil)
			return true
		}
	}
	return false
}

// takeBack drops an answer in words that was really a refusal.
func (t *turn) takeBack() {
	t.acc.Observations = slices.DeleteFunc(t.acc.Observations, func(o Observation) bool { return o.Answer && o.Reading == nil })
}

// longTurn is the number of words from which a turn is a story.
const longTurn = 50

func (t *turn) answersIn(c int32) bool {
	v := &t.voices[c]
	for _, a := range t.answers[:min(len(t.answers), 8)] {
		if a[0] >= t.toks[v.first].start && a[1] <= t.toks[v.last].end {
			return true
		}
	}
	return false
}

// sincere keeps out clauses that only look like the request.
func (t *turn) sincere(w *wish, c int32, run wordRun, at, n int) bool {
	v := &t.voices[c]
	content := 0
	for _, k := range run {
		if t.toks[k].class == classContent && t.toks[k].kind == tokenWord {
			content++
		}
	}
	switch w.kind {
	case "fixed":
		for _, k := range run[at : at+n] {
			if t.toks[k].under || t.toBe(k) {
				return false
			}
		}
		if v.question || v.hedge == "maybe" {
			return false
		}
		for k := run[at+n-1] + 1; k < len(t.toks) && k < run[at+n-1]+longestCheck && t.toks[k].sent == v.sent; k++ {
			if t.toks[k].norm == "still" {
				return false // "fixed by the garage, still smokes"
			}
		}
		// "has been replaced", "it's sorted after a jump": with a condition it
		// is a story
		return !t.hasPart(c) || t.ctx.Asked != nil && t.ctx.Asked.Repair != ""
	case "still":
		if c > 0 && t.voices[c-1].sent == v.sent && (t.conditionIn(c-1) || t.compares(c-1)) || t.namesConditions(c) {
			return false // "wet or dry, same", "no worse, no better", "no difference hot or cold"
		}
		for _, k := range run[:at] {
			if t.toks[k].class == classContent {
				return false // "blower doesn't work" tells a trouble
			}
		}
		return !t.hasPart(c) && len(run) <= 9 && !t.partBefore(c)
	case "change":
		if w := t.toks[run[at]].norm; w == "hang" || w == "wait" || w == "no" {
			for n := c; int(n) < len(t.runs) && n <= c+1; n++ {
				for _, k := range t.runs[n] {
					if q := t.toks[k].norm; (q == "why" || q == "what" || q == "how") && (k == t.runs[n][0] || n == c) {
						return false // "hang on, why do you want to know that"
					}
				}
			}
		}
	case "undo":
		return content <= 2 && at <= 1 && !t.hasPart(c)
	case "how":
		return v.question || at == 0 || len(run) <= 12
	case "why":
		return len(run) <= 9 && (!whyAlone(w) || at+n < len(run) && t.onlyPart(run, at+n))
	case "hello":
		return at <= 1 && (len(run) <= 2 || t.toks[run[0]].norm != "morning" && t.toks[run[0]].norm != "evening")
	case "opinion":
		if first := t.toks[run[at]].norm; at+n < len(run) && (first == "not" || first == "its" && n > 1 && t.toks[run[at+1]].norm == "not" || n == 1) {
			return t.onlyPart(run, at+n) && (first != "not" || !t.contrasted(c))
		}
		if t.saidToHave(run, at, n) {
			return false
		}
		if t.thinksOf(run, at, n) {
			return t.condemned(run, at+n)
		}
		return true
	case "cost":
		return content <= 6 && (v.question || len(run) <= 8)
	case "where-is":
		return v.question || at <= 1
	case "what-is":
		return v.question || at <= 1
	case "safe-to-drive":
		return v.question || len(run) <= 9
	case "stopgap":
		if at+n < len(run) && t.toks[run[at+n]].norm == "mode" {
			return false // "in limp home mode"
		}
		return v.question || len(run) <= 9
	case "dont-know":
		return content <= 4
	case "cannot":
		return content <= 6
	case "waiting":
		return !w.about || t.hasPart(c) || t.partWord(run)
	case "strike":
		return at+n < len(run) && t.toks[run[at+n]].kind == tokenNumber && at <= 1 && len(run) <= at+n+1
	case "past-cases":
		return content <= 4 && !t.hasPart(c)
	case "nothing-before":
		// "nothing changed" is what came of a check; "not that I know" answers
		// what was asked
		return t.ctx.Asked == nil && !t.hasPart(c) && !t.partBefore(c) && at <= 2 && content <= 5 ||
			t.ctx.Asked != nil && t.lx.renewVerbs[t.toks[run[at+n-1]].norm] && t.toks[run[at+n-1]].norm != "changed" && content <= 4
	case "may-i":
		return (v.question || at <= 1) && len(t.toks) <= longTurn // a story's questions are asked of its whole
	case "pause":
		return content <= 5 && !t.hasPart(c) && !v.question || len(run) <= 7 && v.question
	case "help":
		return true
	}
	return true
}

// namesConditions reports whether a clause names two conditions in single words.
func (t *turn) namesConditions(c int32) bool {
	n := 0
	for _, k := range t.runs[c] {
		if _, ok := t.lx.bare[t.toks[k].norm]; ok {
			n++
		}
	}
	return n > 1
}

// compares reports whether a clause names conditions in single words, or says
// itself that something is no worse or no better.
func (t *turn) compares(c int32) bool {
	for _, k := range t.runs[c] {
		w := t.toks[k].norm
		if _, ok := t.lx.bare[w]; ok || w == "worse" || w == "better" {
			return true
		}
	}
	return false
}

// partWord reports whether a clause speaks of a part without naming it.
func (t *turn) partWord(run wordRun) bool {
	for _, k := range run {
		switch t.toks[k].norm {
		case "part", "parts", "one", "replacement", "bits":
			return true
		}
	}
	return false
}

// toRenew is the part that a run of words speaks of renewing, or empty.
func (t *turn) toRenew(run wordRun) string {
	renew := false
	for _, k := range run {
		renew = renew || t.lx.renewVerbs[t.toks[k].norm] || t.toks[k].norm == "buy" || t.toks[k].norm == "order"
	}
	if !renew {
		return ""
	}
	i := sort.Search(len(t.parts), func(i int) bool { return t.us[t.parts[i].first].first >= run[0] })
	if i == len(t.parts) || t.us[t.parts[i].first].first > run[len(run)-1] {
		return ""
	}
	t.parts[i].opinion = true
	return t.parts[i].part
}

// restOf is the text of a run from a word on, and its last token.
func (t *turn) restOf(run wordRun, from int) (string, int) {
	content := false
	for _, k := range run[min(from, len(run)):] {
		content = content || t.toks[k].class == classContent
	}
	if !content {
		return "", -1
	}
	last := run[len(run)-1]
	return strings.TrimSpace(t.text[t.toks[run[from]].start:t.toks[last].end]), last
}

func (t *turn) hasPart(c int32) bool {
	return t.partAt[c]
}

// whyAlone reports whether a "why" says nothing of what it asks but its subject,
// "why the starter?", "why is it the coil?": with anything more than a part it
// tells a trouble, "why it cuts out".
func whyAlone(w *wish) bool {
	last := w.words[len(w.words)-1]
	return w.kind == "why" && w.about && slices.Contains(last, "that?")
}

// suspectAsked is the part of which a "why" asks whether it is the one: "why not
// the discs", "why do you think it's the coil", "why the starter". Empty where it
// asks for something else, "why check the discs".
func (t *turn) suspectAsked(run wordRun, at int) (part string, last int) {
	asks := false
	for _, k := range run[at:] {
		switch t.toks[k].norm {
		case "not", "isnt", "think", "suspect", "blame", "suspecting", "wouldnt", "cant", "couldnt":
			asks = true
		}
	}
	if !asks && (at+1 >= len(run) || !t.onlyPart(run, at+1)) {
		return "", 0
	}
	about, last := t.about(run, at+1, "opinion")
	return about, last
}

// partBefore reports whether a part was named in the clause before: its
// effect is that part's, not the case's.
func (t *turn) partBefore(c int32) bool {
	return t.partAt[c-1] || t.partAt[c-2]
}

// about names what the rest of a request is about: a part, cause, card or test
// if its words name one, else the words. It returns the last token taken.
func (t *turn) about(run wordRun, from int, kind string) (string, int) {
	if from >= len(run) {
		return "", -1
	}
	first, last := run[from], run[len(run)-1]
	i := sort.Search(len(t.parts), func(i int) bool { return t.us[t.parts[i].first].first >= first })
	for ; i < len(t.parts) && t.us[t.parts[i].first].first <= last; i++ {
		p := &t.parts[i]
		if t.us[p.last].last <= last {
			p.opinion = kind == "opinion"
			if c := t.causeIn(first, last); c != "" {
				return c, last
			}
			if len(p.others) > 0 && kind != "opinion" {
				break
			}
			return p.part, t.us[p.last].last
		}
	}
	if c := t.causeIn(first, last); c != "" {
		return c, last
	}
	for _, i := range t.named[t.toks[first].clause] {
		m := &t.matches[i]
		k := m.phrase.target.kind
		if (k == targetCard || k == targetTest || k == targetTool) && t.us[m.first].first >= first && t.us[m.last].last <= last && len(m.units) >= m.phrase.required {
			return m.phrase.target.id, t.us[m.last].last
		}
	}
	if kind == "opinion" {
		return "", -1
	}
	for from < len(run) && (t.toks[run[from]].norm == "the" || t.toks[run[from]].norm == "a" || t.toks[run[from]].norm == "an" || t.toks[run[from]].norm == "my" || t.toks[run[from]].norm == "is") {
		from++
	}
	content := false
	for _, k := range run[from:] {
		content = content || t.toks[k].class == classContent
	}
	if !content {
		return "", -1
	}
	return strings.TrimSpace(t.text[t.toks[run[from]].start:t.toks[last].end]), last
}

func (t *turn) causeIn(first, last int) string {
	for _, i := range t.named[t.toks[first].clause] {
		m := &t.matches[i]
		if m.phrase.target.kind == targetCause && t.us[m.first].first >= first && t.us[m.last].last <= last && m.score > 0.8 && len(m.units) >= 2 {
			return m.phrase.target.id
		}
	}
	return ""
}

// onlyPart reports whether the rest of a clause names a part and says hardly
// anything of it: "everyone says crank sensor", "not the pump".
func (t *turn) onlyPart(run wordRun, from int) bool {
	first, last := run[from], run[len(run)-1]
	i := sort.Search(len(t.parts), func(i int) bool { return t.us[t.parts[i].last].last >= first })
	if i >= len(t.parts) || t.us[t.parts[i].first].first > last {
		return false
	}
	p := &t.parts[i]
	for _, k := range run[from:] {
		if (k < t.us[p.first].first || k > t.us[p.last].last) && t.toks[k].class == classContent && t.toks[k].kind == tokenWord {
			return false
		}
	}
	return true
}

// thinksOf reports whether a request for an opinion is only a verb of thinking
// before its subject: "i think the fan comes on" tells, less surely, what was
// seen; "i think it's the fan" is an opinion.
func (t *turn) thinksOf(run wordRun, at, n int) bool {
	switch t.toks[run[at]].norm {
	case "think", "reckon", "guess", "assume", "assuming", "thinking", "guessing":
	case "said", "say":
		if t.word(run[at], -1) != "i" {
			return false
		}
	default:
		return false
	}
	for _, k := range run[at+1 : at+n] {
		switch t.toks[k].norm {
		case "its", "it", "is":
			return false
		}
	}
	return true
}

// condemned reports whether the rest of a clause says nothing of a part but
// that it is bad.
func (t *turn) condemned(run wordRun, from int) bool {
	if from >= len(run) {
		return false
	}
	first, last := run[from], run[len(run)-1]
	i := sort.Search(len(t.parts), func(i int) bool { return t.us[t.parts[i].last].last >= first })
	if i >= len(t.parts) || t.us[t.parts[i].first].first > last {
		return false
	}
	p := &t.parts[i]
	for _, k := range run[from:] {
		w := &t.toks[k]
		if (k < t.us[p.first].first || k > t.us[p.last].last) && w.class != classStop && w.kind == tokenWord && !t.lx.bad[w.norm] && w.norm != "way" && w.norm != "legs" && w.norm != "out" && !t.onLook(k) {
			return false
		}
	}
	return true
}

// onLook reports whether a token belongs to the words of a look.
func (t *turn) onLook(k int) bool {
	u := t.unitAt[k]
	at := sort.Search(len(t.looks), func(i int) bool { return t.matches[t.looks[i]].first >= u-6 })
	for ; u >= 0 && at < len(t.looks) && t.matches[t.looks[at]].first <= u; at++ {
		if m := &t.matches[t.looks[at]]; m.last >= u && m.phrase.target.kind == targetLook {
			return true
		}
	}
	return false
}

// contrasted reports whether a clause such as "not the radiator" only sets off
// what the one before it told.
func (t *turn) contrasted(c int32) bool {
	return c > 0 && t.voices[c-1].sent == t.voices[c].sent && t.partAt[c-1]
}

// saidToHave reports whether somebody is quoted on what the car has or does, and
// not on what is wrong: "told me it had a new clutch".
func (t *turn) saidToHave(run wordRun, at, n int) bool {
	if at+n >= len(run) || t.toks[run[at+n-1]].norm != "it" {
		return false
	}
	switch t.toks[run[at+n]].norm {
	case "had", "has", "did", "does", "made", "needed", "wants", "smells", "sounds", "cut", "cuts", "went", "goes", "never", "always", "keeps", "kept", "runs", "ran", "was":
		return t.toks[run[at+n]].norm != "was" || at+n+1 < len(run) && strings.HasSuffix(t.toks[run[at+n+1]].norm, "ing")
	}
	return false
}

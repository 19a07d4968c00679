package plainwords

import (
	"slices"
	"strings"

	"ruleout/kb"
)

var (
	yesWords     = set(`yes yeah yep yup ya yea aye affirmative correct indeed sure definitely y`)
	noWords      = set(`no nope nah negative n naw never`)
	ordinalWords = map[string]int{"first": 1, "1st": 1, "second": 2, "2nd": 2, "third": 3, "3rd": 3, "fourth": 4, "4th": 4, "fifth": 5, "former": 1, "latter": 2, "last": -1, "a": 1, "b": 2, "c": 3, "d": 4}
)

// answer reads the turn as a reply to the question just asked.
func (t *turn) answer() {
	a := t.ctx.Asked
	if a == nil || len(t.toks) == 0 || t.beginsAnew() {
		return
	}
	if len(a.Choices) > 0 && t.choose(a.Choices) {
		return
	}
	if len(a.Settles) > 0 {
		t.answerRound(a.Settles)
		return
	}
	if f := t.derivedLook(a.Finding); t.asked == nil && f != nil {
		t.answerWord(f)
		return
	}
	if t.asked == nil || len(t.asked.outcomes) == 0 {
		return
	}
	if t.asked.reading != nil && t.measures(0, len(t.us)-1) {
		return // the number is the answer
	}
	if t.answerOutcome(t.asked, 0.3) || len(t.acc.Mends) > 0 || t.guesses {
		return
	}
	n := len(t.acc.Observations) + len(t.acc.Requests)
	if t.answerWord(t.asked); len(t.acc.Observations)+len(t.acc.Requests) == n && !t.evades() {
		t.answerLoose(t.asked)
	}
}

// derivedLook is a look at a part that no article asks for ("is it leaking now?"),
// which the lexicon does not hold; nil for anything else.
func (t *turn) derivedLook(id string) *finding {
	f := t.base.Derive(id)
	if f == nil || f.Kind != kb.FindingPart || f.OutcomeIndex("yes") < 0 || f.OutcomeIndex("no") < 0 {
		return nil
	}
	return &finding{id: id, emit: id, title: f.Title, kind: f.Kind, outcomes: f.Outcomes}
}

// answerOutcome looks for the words of an outcome of the finding.
func (t *turn) answerOutcome(f *finding, least float64) bool {
	var best *match
	outcome := ""
	var others []Meaning
	for i := range t.matches {
		m := &t.matches[i]
		if m.phrase.target.kind != targetOutcome || m.phrase.target.id != f.id || m.score < least {
			continue
		}
		if t.ofMend(m) || t.voices[t.us[m.first].clause].asks {
			continue // "should I change the starter" answers nothing
		}
		if m.phrase.generic && t.aboutElse(m) {
			continue // "nothing done to it recently" is not "nothing"
		}
		if len(m.units) == 1 && t.inTimeOver(t.us[m.first].clause) {
			continue // "it was ok last year" is not "it is ok"
		}
		o := m.phrase.target.value
		if m.flipped {
			p, ok := opposite(f, o)
			if !ok {
				continue
			}
			o = p
		}
		if best == nil {
			best, outcome = m, o
			continue
		}
		if best.flipped && !m.flipped && m.score >= closeBy*best.score {
			best, outcome = m, o
			continue
		}
		if o != outcome && !m.flipped && m.score >= closeBy*best.score {
			others = addMeaning(others, Meaning{f.emit, o, m.score})
		}
	}
	// short phrases of stop words, and outcomes told in so many words
	text := plain(t.text)
	reply, n := "", 0
	for _, s := range t.lx.replies[f.id] {
		if len(s.words) > n && s.words != "" && (text == s.words || t.firstStatement() == s.words) {
			reply, n = s.outcome, len(s.words)
		}
	}
	if reply != "" && (best == nil || text == plainOf(t.lx.replies[f.id], reply, text)) {
		t.reply(f, reply, 0, len(t.toks)-1, nil)
		return true
	}
	if best == nil {
		return false
	}
	s, e := t.span(best)
	t.observe(Observation{Finding: f.emit, Outcome: outcome, Start: s, End: e, Answer: true, Others: others}, t.us[best.first].clause)
	t.use(best)
	t.useAnswerWord()
	return true
}

// aboutElse reports whether the clause of a general answer ("nothing", "never",
// "fine") goes on to speak of something that is no part of the answer.
func (t *turn) aboutElse(m *match) bool {
	v := &t.voices[t.us[m.first].clause]
	rest := 0
	for k := v.first; k <= v.last; k++ {
		w := &t.toks[k]
		if t.lx.renewVerbs[w.norm] {
			return true // what was done, or was not
		}
		u := t.unitAt[k]
		if w.kind != tokenWord || w.class != classContent || fineWords[w.norm] || t.lx.checkVerbs[w.norm] || u >= m.first && u <= m.last {
			continue
		}
		switch stem(w.norm) {
		case "happen", "change", "differenc", "bridg", "press", "turn":
			continue
		}
		rest++
	}
	return rest > 1
}

func plainOf(list []said, outcome, text string) string {
	for _, s := range list {
		if s.outcome == outcome && s.words == text {
			return text
		}
	}
	return ""
}

// useAnswerWord marks a leading yes or no as used.
func (t *turn) useAnswerWord() {
	for k := 0; k < len(t.toks) && k < 3; k++ {
		if yesWords[t.toks[k].norm] || noWords[t.toks[k].norm] && !t.toks[k].neg {
			t.toks[k].state = SpanUsed
		}
	}
}

func (t *turn) reply(f *finding, outcome string, first, last int, others []Meaning) {
	t.observe(Observation{Finding: f.emit, Outcome: outcome, Start: t.toks[first].start, End: t.toks[last].end, Answer: true, Others: others}, t.toks[first].clause)
	t.useTokens(first, last)
}

// firstStatement is the text up to the first mark or new clause.
func (t *turn) firstStatement() string {
	if len(t.runs) == 0 || len(t.runs[0]) == 0 {
		return ""
	}
	r := t.runs[0]
	return plain(t.text[t.toks[r[0]].start:t.toks[r[len(r)-1]].end])
}

// shortReply reports whether the first clause is no longer than an answer.
func (t *turn) shortReply() bool {
	return len(t.runs) > 0 && len(t.runs[0]) <= 4
}

// answerWord reads yes, no, both, neither, ordinals and outcome names.
func (t *turn) answerWord(f *finding) {
	for k := 0; k < len(t.toks) && k < 4; k++ {
		w := t.toks[k].norm
		if opensTurn[w] && !yesWords[w] && !noWords[w] || t.toks[k].kind == tokenPunct {
			continue
		}
		switch {
		case w == "not" && t.wordsAt(k, []string{"not", "that", "i"}):
			if o := polar(f, false); o != "" { // "not that I've noticed"
				t.reply(f, o, k, len(t.toks)-1, nil)
				t.acc.Observations[len(t.acc.Observations)-1].Hedge = "think"
			}
			return
		case noWords[w] && k+1 < len(t.toks) && (t.toks[k+1].norm == "idea" || t.toks[k+1].norm == "clue"):
			return // "no idea" is no answer
		case (yesWords[w] || noWords[w] && !t.toks[k].neg) && k+1 < len(t.toks) && (yesWords[t.toks[k+1].norm] || noWords[t.toks[k+1].norm] && !t.toks[k+1].neg):
			continue // "yeah no": the second word counts
		case (w == "definitely" || w == "sure" || w == "indeed" || w == "correct") && k+1 < len(t.toks) && t.toks[k+1].class == classContent:
			continue
		case yesWords[w]:
			if o := polar(f, true); o != "" {
				t.reply(f, o, k, k, nil)
			} else {
				t.wish("yes", k, k)
			}
			return
		case noWords[w] && t.toks[k].neg:
			return // "no warning light came on" denies and answers nothing
		case noWords[w]:
			if f.path != "" && t.toks[k].neg {
				return // "no fuel at the rail" denies the fuel, it answers nothing
			}
			if o := polar(f, false); o != "" {
				t.reply(f, o, k, k, nil)
			} else {
				t.wish("no", k, k)
			}
			return
		case (w == "both" || w == "all" || w == "either") && !t.shortReply():
			return // "all the bolts are tight" speaks of the bolts
		case w == "both" || w == "all" || w == "either":
			if o := saying(f, "both", "all", "everywhere", "either", "always"); o != "" {
				t.reply(f, o, k, k, nil)
			} else if w != "all" {
				t.wish("both", k, k)
			}
			return
		case w == "neither" || w == "none":
			if o := saying(f, "neither", "none", "nothing", "no"); o != "" {
				t.reply(f, o, k, k, nil)
			} else {
				t.wish("neither", k, k)
			}
			return
		}
		break
	}
	if n, first, last := t.ordinal(len(f.outcomes)); n > 0 {
		t.reply(f, f.outcomes[n-1].ID, first, last, nil)
		return
	}
	text := plain(t.text)
	for _, o := range f.outcomes {
		if text == plain(o.ID) || text == plain(o.Title) {
			t.reply(f, o.ID, 0, len(t.toks)-1, nil)
			return
		}
	}
	// "it does", "they are", "it doesn't": yes or no in a verb
	if len(t.toks) > 0 && t.runs[0] != nil && len(t.runs[0]) <= 3 && f.reading == nil {
		last := t.toks[t.runs[0][len(t.runs[0])-1]].norm
		switch last {
		case "does", "did", "is", "are", "do", "has", "have", "was", "can", "will", "it":
			if o := polar(f, true); o != "" && last != "it" {
				t.reply(f, o, t.runs[0][0], t.runs[0][len(t.runs[0])-1], nil)
			}
		case "doesnt", "didnt", "isnt", "arent", "dont", "hasnt", "havent", "wasnt", "cant", "wont", "not":
			if o := polar(f, false); o != "" {
				t.reply(f, o, t.runs[0][0], t.runs[0][len(t.runs[0])-1], nil)
			}
		}
	}
}

func (t *turn) wish(kind string, first, last int) {
	t.acc.Requests = append(t.acc.Requests, Request{Kind: kind, Start: t.toks[first].start, End: t.toks[last].end})
	t.useTokens(first, last)
}

// polar returns the outcome that a bare yes or no stands for: one that says
// so, else the first or second of two when the question asks for yes or no.
func polar(f *finding, yes bool) string {
	if f.path != "" {
		return polarAlong(f, yes)
	}
	want := map[bool][]string{true: {"yes", "present"}, false: {"no", "absent", "none"}}[yes]
	for _, w := range want {
		if f.outcome(w) != nil {
			return w
		}
	}
	lead := map[bool]string{true: "yes", false: "no"}[yes]
	found := ""
	for i := range f.outcomes {
		o := &f.outcomes[i]
		for _, s := range append([]string{o.Title}, o.Said...) {
			p := plain(s)
			if p == lead || p == "nope" && !yes || p == "yep" && yes {
				return o.ID
			}
			if strings.HasPrefix(p, lead+" ") && found == "" && !(lead == "no" && negatesNoun(s)) {
				found = o.ID
			}
		}
	}
	if found != "" {
		return found
	}
	if len(f.outcomes) == 2 && asksYesNo(f.ask) {
		if yes {
			return f.outcomes[0].ID
		}
		return f.outcomes[1].ID
	}
	if !yes && asksYesNo(f.ask) {
		return saying(f, "never", "nothing", "none")
	}
	return ""
}

// negatesNoun reports whether "no" in a phrase denies what follows ("no
// noise") rather than answering.
func negatesNoun(s string) bool {
	toks := scan(s)
	return len(toks) > 1 && toks[0].norm == "no" && toks[1].kind == tokenWord && !answersNo[toks[1].norm]
}

var asksWords = set(`does do did is are was were has have had can could will would any`)

// asksYesNo reports whether a question can be answered by yes or no.
func asksYesNo(ask string) bool {
	toks := scan(ask)
	start := true
	polar := false
	for _, t := range toks {
		if start && asksWords[t.norm] {
			polar = true
		}
		start = t.kind == tokenPunct
		if t.norm == "or" {
			return false
		}
	}
	return polar
}

// saying returns the first outcome whose id or wording has one of the words.
func saying(f *finding, words ...string) string {
	for _, w := range words {
		for i := range f.outcomes {
			o := &f.outcomes[i]
			if o.ID == w {
				return o.ID
			}
		}
	}
	for _, w := range words {
		for i := range f.outcomes {
			o := &f.outcomes[i]
			for _, s := range append([]string{o.Title}, o.Said...) {
				if containsWords(plain(s), w) {
					return o.ID
				}
			}
		}
	}
	return ""
}

// ordinal reads "the second one", "2", "number 3", "b" as a place among n.
func (t *turn) ordinal(n int) (place, first, last int) {
	words := 0
	for i := range t.toks {
		if t.toks[i].kind != tokenPunct {
			words++
		}
	}
	for k := 0; k < len(t.toks) && k < 8; k++ {
		w := t.toks[k].norm
		next := ""
		if k+1 < len(t.toks) {
			next = t.toks[k+1].norm
		}
		p, ok := ordinalWords[w]
		if len(w) == 1 && words > 2 {
			ok = false
		}
		if w == "last" && next != "one" && words > 2 {
			ok = false
		}
		if !ok && t.toks[k].kind == tokenNumber && (words == 1 || ordinalSuffix[next] || k > 0 && (t.toks[k-1].norm == "number" || t.toks[k-1].norm == "option" || t.toks[k-1].norm == "#")) && t.toks[k].value == float64(int(t.toks[k].value)) {
			p, ok = int(t.toks[k].value), true
		}
		if !ok || !(words <= 4 || next == "one") {
			continue
		}
		if p < 0 {
			p = n
		}
		if p >= 1 && p <= n {
			last := k
			if next == "one" || ordinalSuffix[next] {
				last = k + 1
			}
			return p, k, last
		}
	}
	return 0, 0, 0
}

// choose picks one of the meanings that were offered, by place or by name.
func (t *turn) choose(choices []Meaning) bool {
	emit := func(m Meaning, first, last int) {
		t.observe(Observation{Finding: m.Finding, Outcome: m.Outcome, Start: t.toks[first].start, End: t.toks[last].end, Answer: true}, t.toks[first].clause)
		t.useTokens(first, last)
	}
	if n, first, last := t.ordinal(len(choices)); n > 0 {
		emit(choices[n-1], first, last)
		return true
	}
	words := t.contentSet()
	best, score, tie := -1, 0.0, false
	for i, c := range choices {
		s := t.nameScore(c, words)
		switch {
		case s > score+1e-9:
			best, score, tie = i, s, false
		case s > 0 && s > score-1e-9:
			tie = true
		}
	}
	if best >= 0 && !tie && score >= 0.3 {
		// the words themselves are also read as usual
		emit(choices[best], 0, len(t.toks)-1)
		return true
	}
	if w := t.toks[0].norm; len(choices) == 1 && yesWords[w] {
		emit(choices[0], 0, 0)
		return true
	} else if noWords[w] || w == "neither" || w == "none" {
		t.wish("neither", 0, 0)
		return true
	} else if w == "both" || w == "all" {
		for _, c := range choices {
			emit(c, 0, 0)
		}
		return true
	}
	return false
}

// contentSet returns the words that may name a choice: not those of a list of
// what the vehicle is ("diesel estate, automatic" names no trouble of
// automatics), though one such mark alone may.
func (t *turn) contentSet() map[int32]bool {
	out := map[int32]bool{}
	for i := range t.us {
		if len(t.described) > 1 && slices.Contains(t.described, t.us[i].clause) {
			continue
		}
		if t.us[i].id >= 0 && t.us[i].class != classParticle {
			out[t.us[i].id] = true
		}
	}
	return out
}

// nameScore is the weight of a choice's words that the turn has.
func (t *turn) nameScore(c Meaning, words map[int32]bool) float64 {
	best := 0.0
	text := c.Finding
	f := t.lx.findings[c.Finding]
	var ways []string
	if f != nil {
		ways = append(ways, f.title)
		if o := f.outcome(c.Outcome); o != nil {
			ways = append(append(ways, o.Title), o.Said...)
		}
	}
	for _, s := range t.base.Symptoms {
		if s.ID == c.Finding {
			ways = append(ways, s.Said...)
		}
	}
	if len(ways) == 0 {
		ways = append(ways, strings.NewReplacer(":", " ", "-", " ").Replace(text))
	}
	for _, way := range ways {
		total, got := 0.0, 0.0
		for _, u := range t.lx.units(t.lx.parse(way), false) {
			if u.id < 0 || u.class == classParticle {
				continue
			}
			total += t.lx.weights[u.id]
			if words[u.id] {
				got += t.lx.weights[u.id]
			}
		}
		if total > 0 {
			best = max(best, got*got/total)
		}
	}
	return best
}

// ofTheCar are words of a verdict on the car, or on all but the trouble.
var ofTheCar = set(`otherwise drives drive driving runs elsewhere`)

// answerRound reads the ticks of a look-round: any outcome told of any of its
// findings, and "all fine".
func (t *turn) answerRound(settles []string) {
	any := false
	for _, id := range settles {
		if f := t.lx.findings[id]; f != nil && t.answerOutcome(f, 0.4) {
			any = true
		}
	}
	if any || len(t.voices) == 0 {
		return
	}
	v := &t.voices[0]
	text := plain(t.text)
	if len(t.voices) > 1 && len(t.runs[0]) > 5 || len(t.runs[0]) > 8 {
		return // a tale is no tick
	}
	for _, k := range t.runs[0] {
		if ofTheCar[t.toks[k].norm] {
			return // "otherwise the car drives fine" looked at nothing
		}
	}
	if !v.fine && !strings.HasPrefix(text, "nothing") && text != "none" && text != "no" {
		return
	}
	for _, id := range settles {
		f := t.lx.findings[id]
		if f == nil {
			continue
		}
		o := saying(f, "fine", "good", "ok", "sound", "right", "tight", "dry", "normal", "clean")
		if o == "" && f.ordered && len(f.outcomes) > 0 {
			o = f.outcomes[0].ID
		}
		if o == "" && f.outcome("no") != nil {
			o = "no"
		}
		if o != "" {
			t.reply(f, o, t.runs[0][0], t.runs[0][len(t.runs[0])-1], nil)
		}
	}
}

var _ = kb.FindingTest

// beginsAnew reports whether the turn is nothing but "start over": the fan that
// was asked about starts nothing.
func (t *turn) beginsAnew() bool {
	var words []string
	for i := range t.toks {
		if w := &t.toks[i]; w.kind != tokenPunct && w.norm != "please" && w.norm != "lets" {
			words = append(words, w.norm)
		}
	}
	return len(words) == 2 && words[0] == "start" && (words[1] == "over" || words[1] == "again" || words[1] == "afresh")
}

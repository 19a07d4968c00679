package plainwords

// voice is how a clause speaks: who says it, how surely, of which time, and
// which relation its words give to a condition.
type voice struct {
	hedge    string
	source   string
	era      string
	present  string
	only     bool
	fine     bool
	worse    bool
	better   bool
	same     bool
	never    bool // "doesn't do it"
	absent   bool // a symptom was denied in it
	past     bool
	question bool
	// asks is set where the words themselves ask: "should I change it".
	asks     bool
	supposed bool // "what if", "would it", "suppose"
	first    int  // tokens
	last     int
	seg      int32
	sent     int32
}

var telling = set(`says said told tells reckons reckon thinks think thought claims swears saying suggested suggests diagnosed tested checked recons`)
var pastWords = set(`was were had did used went started began came changed replaced fitted previously formerly`)
var seeing = set(`see saw seen looked look looks looking hear heard smell smelled felt feel watched noticed`)
var trying = set(`tried try tested test checked swapped bypassed`)

// voices reads the voice of every clause. The hedge of a segment's first
// clause covers the rest of it no further than the next boundary.
func (lx *lexicon) voices(toks []token, words []saidWord) []voice {
	if len(toks) == 0 {
		return nil
	}
	out := make([]voice, toks[len(toks)-1].clause+1)
	for i := range out {
		out[i] = voice{hedge: "plain", first: -1}
	}
	for i := range toks {
		t := &toks[i]
		v := &out[t.clause]
		if v.first < 0 {
			v.first, v.seg, v.sent = i, t.seg, t.sent
		}
		v.last = i
		if t.kind != tokenWord {
			continue
		}
		v.read(toks, i)
	}
	for i := range words {
		if w := &words[i]; w.kind == "relation" {
			out[toks[w.first].clause].relate(toks, w)
		}
	}
	question := map[int32]bool{}
	for i := range toks {
		if toks[i].norm == "?" {
			question[toks[i].sent] = true
		}
	}
	for i := range out {
		v := &out[i]
		v.asks = v.first >= 0 && inverted(toks, v)
		v.question = question[v.sent] || v.asks
		v.fine = v.fine && !v.question // "is that normal?"
		if i > 0 && out[i-1].sent == v.sent && out[i-1].supposed {
			v.supposed = true
		}
		if v.first >= 0 && supposes(toks, v.first) {
			v.supposed = true
		}
		if i > 0 && wouldBe(toks, &out[i-1], v) {
			out[i-1].supposed = true
		}
		if v.first >= 0 {
			v.settle(lx, toks)
		}
	}
	return out
}

// asking are the verbs that ask when their subject follows them. "Does it" and
// "did it" are left out: they tell as often as they ask.
var asking = set(`can could should shall may might would will is are was am do`)

// inverted reports whether a clause begins with a verb and its subject:
// "should I", "is it", "can you".
func inverted(toks []token, v *voice) bool {
	k := v.first
	for k < v.last && (opensTurn[toks[k].norm] || toks[k].kind == tokenPunct) {
		k++
	}
	if k >= v.last || !asking[toks[k].norm] {
		return false
	}
	switch toks[k+1].norm {
	case "i", "we", "you", "they":
		return true
	case "it", "that", "this", "there":
		return toks[k].norm != "do"
	}
	return false
}

// read takes in one word.
func (v *voice) read(toks []token, i int) {
	w := toks[i].norm
	word := func(k int) string {
		if k >= 0 && k < len(toks) && toks[k].clause == toks[i].clause {
			return toks[k].norm
		}
		return ""
	}
	if h, ok := hedgeWords[w]; ok && !(w == "could" && word(i+1) == "not") && !(w == "could" && (word(i+1) == "hear" || word(i+1) == "see" || word(i+1) == "smell")) {
		if v.hedge == "plain" || h == "maybe" {
			v.hedge = h
		}
	}
	if w == "sure" {
		switch word(i - 1) {
		case "not", "isnt":
			v.hedge = "maybe"
		case "pretty", "fairly", "quite", "nearly", "almost":
			v.hedge = "think"
		default:
			v.hedge = "sure"
		}
	}
	if (w == "sort" || w == "kind") && word(i+1) == "of" {
		v.hedge = "maybe"
	}
	if fineWords[w] && (w != "spot" || word(i+1) == "on") && (w != "well" || word(i-1) != "wheel" && word(i-1) != "as" && word(i-1) != "might") && (w != "normal" || word(i-1) != "as") && word(i+1) != "nothing" && !toks[i].under && !(w == "good" && (word(i-1) == "a" || word(i-1) == "any" || word(i+1) == "and")) {
		v.fine = true
	}
	if (w == "problem" || w == "problems" || w == "trouble" || w == "bother" || w == "issue" || w == "issues") && (word(i-1) == "no" || toks[i].under) {
		v.fine = true
	}
	if w == "wrong" && word(i-1) == "nothing" {
		v.fine = true
	}
	if asEver(w, word(i-1), word(i-2)) {
		v.fine = true
	}
	if onlyWords[w] && word(i-1) != "not" && word(i+1) != "did" && word(i+1) != "changed" {
		v.only = v.only || w == "only" || w == "purely" || w == "solely" || w == "exclusively" || w == "specifically" || w == "just" && v.first == i
	}
	switch w {
	case "same":
		v.same = true
	case "difference":
		v.same = v.same || word(i-1) == "no"
	case "do", "does", "happen", "happens", "occur", "show", "problem", "trouble", "issue", "it":
		if toks[i].under && w != "do" && w != "does" || toks[i].under && word(i+1) == "it" {
			v.never = true
		}
	case "previously", "formerly", "originally", "beforehand":
		v.era = "before"
	case "used":
		if word(i+1) == "to" {
			v.era = "before"
		}
	case "until", "till":
		if word(i+1) != "it" && word(i+1) != "i" {
			v.era = "before"
		}
	case "before":
		if n := word(i + 1); n == "this" || n == "that" || n == "it" || n == "" {
			v.era = "before"
		}
	case "ago", "yesterday":
		v.past = true
	case "last":
		v.past = true
	}
	if pastWords[w] {
		v.past = true
	}
	if w == "cos" || w == "because" {
		if v.first == i && v.hedge == "plain" {
			v.source = "" // a reason given is still what was observed
		}
	}
}

// supposes reports whether a clause opens a supposition: "what if the battery
// was flat", "suppose the pump has failed", "would it overheat if".
func supposes(toks []token, k int) bool {
	word := func(i int) string {
		if i < len(toks) && toks[i].sent == toks[k].sent {
			return toks[i].norm
		}
		return ""
	}
	for k < len(toks) && opensTurn[word(k)] {
		k++
	}
	switch word(k) {
	case "id":
		return word(k+1) == "rather" // "I'd rather it overheated"
	case "i":
		return word(k+1) == "wish" || word(k+1) == "would" && word(k+2) == "rather"
	case "what":
		return word(k+1) == "if"
	case "if":
		was := false
		for i := k + 1; i < k+14 && word(i) != ""; i++ {
			switch word(i) {
			case "was", "were":
				was = true
			case "would", "id", "wouldnt", "itd", "youd":
				return was // "if the fan was running i'd hear it"
			}
		}
	case "suppose", "supposing", "imagine", "say":
		return word(k+1) == "the" || word(k+1) == "my" || word(k+1) == "it" || word(k+1) == "i" || word(k+1) == "a"
	case "would", "could", "might":
		n := word(k + 1)
		return n == "it" || n == "a" || n == "the" || n == "that" || n == "this"
	}
	return false
}

// relate takes in a word that says how the trouble stands to a condition. A
// denied one says that it makes no difference: "no worse", "doesn't clear".
func (v *voice) relate(toks []token, w *saidWord) {
	if next := w.last + 1; next < len(toks) && !toks[next].joined && w.term == "eases then" && (toks[next].norm == "out" || toks[next].norm == "off" || toks[next].norm == "a" || toks[next].class == classContent) && toks[next].clause == toks[w.last].clause && toks[w.last].norm == "drops" {
		return // "drops out", "drops cylinders" is no easing
	}
	if toks[w.first].norm == "more" && w.first > 0 && (toks[w.first-1].norm == "any" || toks[w.first-1].norm == "no") {
		return // "any more" is a time
	}
	if toks[w.first].under || toks[w.last].under || w.first > 0 && toks[w.first-1].norm == "no" {
		v.same = v.same || w.value != "same"
		return
	}
	switch w.value {
	case "worse":
		v.worse = true
	case "better":
		v.better = true
	case "never":
		v.never = true
	case "same":
		v.same = true
	}
}

// settle decides the source once all words are known.
func (v *voice) settle(lx *lexicon, toks []token) {
	told, shop := false, false
	said, judged := false, false
	for i := v.first; i <= v.last; i++ {
		w := toks[i].norm
		if telling[w] {
			said = true
		}
		judged = judged || lx.judging[w]
		if lx.shops[w] {
			shop = true
		}
		if lx.tellers[w] {
			told = true
		}
		if seeing[w] {
			v.source = "seen"
		}
		if trying[w] && v.source == "" {
			v.source = "tried"
		}
	}
	switch {
	case shop && (said || judged):
		v.source = "shop"
	case told && said:
		v.source = "told"
	}
	for i := v.first; i <= v.last && i <= v.first+4; i++ {
		w := toks[i].norm
		next := ""
		if i+1 <= v.last {
			next = toks[i+1].norm
		}
		if (w == "so" || w == "therefore" || w == "meaning") && i == v.first {
			for k := i; k <= v.last && k < i+6; k++ {
				switch toks[k].norm {
				case "cant", "must", "cannot", "not", "rules", "means", "couldnt", "has":
					v.source = "deduction"
				case "wont":
					if k < v.last && (toks[k+1].norm == "be" || toks[k+1].norm == "have") {
						v.source = "deduction" // but "so it won't start" tells
					}
				}
			}
		}
		if w == "must" && next == "be" || (w == "cant" || w == "cannot" || w == "couldnt") && next == "be" {
			if v.source != "shop" && v.source != "told" {
				v.source = "deduction"
			}
		}
	}
	if v.source == "" {
		v.source = "seen"
		if v.past && v.era == "before" {
			v.source = "remembered"
		}
	}
}

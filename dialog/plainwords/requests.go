package plainwords

import "strings"

// wish is a pattern of words that asks for something. Words are separated by
// blanks, alternatives by "|"; "^" ties the pattern to the start of a clause,
// "$" to its end, "*" stands for what it is about.
type wish struct {
	kind  string
	words [][]string
	start bool
	end   bool
	about bool
}

// wishTable lists, in order of precedence, the ways of asking.
const wishTable = `
start-over: ^start over|again|afresh $
start-over: ^new case|problem|car $
start-over: start all|right over
start-over: ^from the beginning|top|start $
start-over: ^reset $
report: print|export|send|give|write|make me? a|the|my|it? report|summary|handover
report: ^report $
report: hand it? over to a|the|my garage|shop|mechanic
report: write|type it|this|that|everything all? up
report: something|sheet for the garage|shop|mechanic
noted: what have|did|do you noted|note|got|understood|understand|know|recorded|written
noted: what youve noted|got|understood
noted: ^summary|notes $
noted: what do we know
undo: ^undo
undo: undo that|it|the
undo: take that|it back
undo: scratch|strike|forget|scrap|ignore|disregard that
undo: scratch|strike|forget|scrap|ignore|delete the? last
undo: ^go back $
undo: that was|is a mistake
change: ^change *
change: ignore|forget|disregard|scrap|scratch what i said|told *
change: ^not left|right right|left $
change: ^other way round|about $
change: my mistake
change: i got that? wrong|muddled|mixed
change: i meant *
change: i mean *
change: ^correction *
change: ^no wait *
change: ^hang on *
change: ^wait no *
change: ^sorry i meant *
change: ^actually no *
change: make that *
change: got that wrong
change: that|thats wrong|incorrect
change: you misunderstood|misread
change: not what i said|meant
skip: ^skip
skip: skip this|that|it
skip: ^next $
skip: ^next question|one|test|check|step
skip: ^pass $
skip: move on
skip: ask me? something else
skip: something|anything else instead
skip: rather not
skip: dont want to do
skip: not doing that
skip: ^later $
cannot: cant|cannot|couldnt do that|this|it
cannot: cant|cannot|couldnt get to|at|near it|that|them|the?
cannot: cant|cannot|couldnt reach *
cannot: cant|cannot|couldnt check|test|measure|see that|it|this|there
cannot: unable to do? *
cannot: no way to do? *
cannot: not able to *
cannot: too hard|difficult|fiddly|tight
cannot: not possible|practical
unwired: no|without wiring? diagram
unwired: dont|havent have|got a|the|any wiring? diagram
safe-to-drive: safe|ok|okay|alright|fine to drive|use|carry
safe-to-drive: can|could|should|dare|may i still? drive|keep|carry *
safe-to-drive: can it be driven
safe-to-drive: is it safe|dangerous
safe-to-drive: is this|that safe|dangerous
safe-to-drive: keep|carry|still on? driving it
safe-to-drive: drivable|driveable|roadworthy
safe-to-drive: how|is|its risky|bad|dangerous is? it|this|that? to|if|drive|driving? *?
safe-to-drive: how much of? a? risk is? it|this|that? *?
safe-to-drive: can|could i still? use it *?
safe-to-drive: will|would|could|can|do i|it|this do|cause|be|doing any|more|some|serious|further|much? damage|harm
safe-to-drive: am|will|would i damage|damaging|ruin|ruining|wreck|wrecking anything|something|the|it|my *?
safe-to-drive: how far can|could|will|dare i|it|we
safe-to-drive: what|anything happens|happen|bad if i|we ignore|leave|keep|carry|just|drive|dont
safe-to-drive: ok|okay|safe|alright|fine to|for do? the|a|my|one|short? school|run|trip|commute|shop|shops|work|motorway|drive *?
safe-to-drive: get away with driving|it|using
safe-to-drive: risk it|driving|a
cost: how much *
cost: how much and|or|then
cost: ^how much
cost: what will|would|does|do it|that|this|they|a|the *? cost
cost: ^cost|price|money $
cost: cost me|to
cost: set|setting|sets me|us back
cost: ballpark $
cost: the? going rate|price
cost: is it|that expensive|dear|cheap|pricey
cost: worth fixing|repairing|mending|doing
stopgap: get me|us|it home
stopgap: how|way|enough to get home
stopgap: limp it? home
stopgap: stopgap|bodge|workaround
stopgap: temporary|temp|quick|roadside|emergency fix|repair|bodge|cure
stopgap: patch it up
stopgap: tide me over
stopgap: for now $
stopgap: until payday|spring|summer|winter|friday|monday|weekend
help: whats|what|is next|now|first $
help: what should|do|can|shall i|we do|check|try|look|test|measure|at? next|first|now
what-else: whats|what|is|has wrong|up|matter with? it|the|my|her *?
what-else: what do|would you|u reckon|think|suspect|say? it|its|thats|is|it'll|the *?
what-else: whats|what|is the|your verdict|diagnosis|best|guess|favourite|money *?
what-else: which|whats|what one|is? it|the? most? likely|likeliest
what-else: what is|could|might it then|probably|likely
what-else: so what is it $
what-else: what|anything|something else could|might|can|would|should|is|do
what-else: ^what else
what-else: ^anything else $
what-else: any other|more ideas|suggestions|causes|possibilities|options
what-else: what other *
what-else: other possibilities|causes|suspects
why: ^are you sure
why: ^you sure
why: who|what says|told you|says|makes so|that|this|think|sure?
why: dont|doesnt|cant|makes|make believe|trust|see|sense|no that|this|you|it|to|sense|how|why *?
why: doesnt|makes|dont|not make|no|making any|sense? sense
why: not convinced
why: how|why do you know|work|figure|come|reckon that|this|it? out?
why: ^why $
why: ^why that|this|not
why: ^why do|would|are|did you *
why: ^why should|do|would|must i *
why: ^what for $
why: whats|what the|is the? point
why: how|what does|would|will that|this|it help|tell
why: what will|does|would that|this tell|show|prove
why: ^why is? it|that? *
how: ^how do|can|should|would|must|does i|you|one|we *
how: ^how to *
how: ^how $
how: ^how exactly
how: ^how is that|this done
how: show|tell me how *
how: explain how *
how: whats|what is? the best|easiest|right way to *
how: which|what terminals|range|setting|scale|pin|pins|wire *
where-is: where|wheres is|are|can|do|would|might the? i? *
where-is: wheres *
where-is: ^where $
where-is: location of *
where-is: how do|can|would i find *
where-is: cant find the|my|it *
what-is: ^what is|are|was a|an|the *
what-is: ^whats a|an|the *
what-is: ^what does *
what-is: ^whats *
what-is: what do you mean by *
what-is: explain what? *
what-is: never heard of *
what-is: dont know what a|an|the *
opinion: ^is|was it|this|that just|probably|definitely? the|my|a|an *
opinion: could|can|might|would it|this|that be|mean *
opinion: could|can|might|would a|an|the|my *
opinion: do|would you|u think|reckon|suspect *
opinion: what|whats do|would|your you|u reckon|think|take|thoughts
opinion: thats|is|seems|sounds|looks too much|high|low|little $
opinion: should i just? do|change|replace|buy|get|fit all|both|the|new *
opinion: think|reckon|guess|suspect|suspecting|thinking|bet|hoping|worried|scared|afraid|fear|blaming|blame|guessing|assume|assuming its|it's|it|is? the|a|my|an *
opinion: must|has|gotta|got be|to|have be? the|a|my *
opinion: cant|cannot|couldnt|wont|wouldnt be the|a|my *
opinion: what about|if the|a|my *
opinion: says|said|reckons|thinks|claims|suspects|diagnosed|swears its|it|the|a|my is? *
opinion: told me|us its|it|the|a|my is? *
opinion: says|say|said|reckons|reckon|thinks|think|blames|blame|suspects|suspect|blaming *
opinion: ^its? not the|my|a *
opinion: wondering|wonder if|whether its|it|the|a|my is? *
opinion: ^rule|ruled out *
help: ^help $
help: ^help me
help: what can you do
help: how does this work
help: ^what now|next|then $
help: ^now what
help: what should i do|check|try|look
help: what do i do|check|try
help: where do|should i start
thanks: ^thanks|thank|cheers|ta
thanks: thank you
thanks: much appreciated
hello: ^hello|hi|hey|hiya|howdy|morning|evening|greetings|gday|afternoon|yo|alreet|wotcha
hello: ^good morning|afternoon|evening|day
dont-know: ^dunno
dont-know: ^idk $
dont-know: ^no idea|clue
dont-know: ^havent a clue
dont-know: i? dont|didnt know $
dont-know: ^i dont|didnt|couldnt know|remember|recall|notice|check|look|tell
dont-know: ^not sure $
dont-know: not sure about? that|it? $
dont-know: cant|couldnt tell|say|remember $
dont-know: ^dont|didnt know|remember|notice|check|look
dont-know: ^havent checked|looked|tried|noticed
dont-know: never|havent checked|looked|noticed|tried $
dont-know: ^no way of? knowing
dont-know: who knows
dont-know: ^unsure
dont-know: ^pass $
still: ^still doing|does|the|happening|there|same|broken|bad|not|no|got|overheats|wont
still: its|it still doing|does|the|happening|there|same|not|no
still: ^no change|difference|better|joy|luck|good|improvement
still: ^same again|thing|problem|fault|as|old
still: ^exactly? the? same $
still: ^same $
still: ^nope|no? still at it
still: spoke too soon
still: didnt|hasnt|doesnt|havent help|helped|fix|fixed|work|worked|cure|cured|change|changed|solve|solved|sort|sorted|do|done|make|made
still: not fixed|cured|sorted|solved|mended
still: ^no|nope it|that? hadnt|hasnt|isnt|wasnt|didnt
still: ^it|they hadnt|hasnt $
still: its|it back|came|come back? again
still: made no difference|odds|change
fixed: its|it|all|thats|that|problem|thats now? fixed|sorted|cured|mended|solved|repaired
fixed: that|this|which fixed|sorted|cured|solved|did it|the
fixed: ^fixed|sorted|cured|solved it?
fixed: has|have|is|was been? fixed|cured|solved
fixed: all good|fine|ok|sorted|well now|again
fixed: ^its|it|thats|everything|everythings|yes|yep|yeah? is? all good|fine|sorted|well $
fixed: problem|trouble|fault|noise has? gone
may-i: what if i|we|you *
may-i: what would|will|happens|does happen|it|that|happens? do|say|tell|mean? if i|we|you *
may-i: ^can|could|should|may|shall|would i|we|you just|simply|also|not|then? *
may-i: ok|okay|alright|safe|worth|bad|harm|sensible|wise if|to|in i|just? *
may-i: thinking|thought of|about *
may-i: tempted to *
may-i: do|should i need|have to *
may-i: any|is|be point|there|harm|use any|it|in? point|use|harm|in? in? *
fixed: working|works|runs|running fine|perfectly|great|again now|again
strike: strike|delete|remove|scrap|forget|drop out? number|note|item|no|the? *
`

var wishes = compileWishes()

func compileWishes() []wish {
	var out []wish
	for _, line := range strings.Split(caseWishes+wishTable, "\n") {
		kind, pattern, ok := strings.Cut(line, ": ")
		if !ok {
			continue
		}
		w := wish{kind: kind}
		for _, f := range strings.Fields(pattern) {
			if strings.HasPrefix(f, "^") {
				w.start = true
				f = f[1:]
			}
			switch f {
			case "$":
				w.end = true
				continue
			case "*", "*?":
				w.about = true
				continue
			}
			w.words = append(w.words, strings.Split(f, "|"))
		}
		out = append(out, w)
	}
	return out
}

// opensTurn are words that may stand before a request without changing it.
var opensTurn = set(`so and ok okay well but please yeah right oh um er hmm then mate sorry ah eh also hi hey yes no hello just now anyway`)

// wishIndex maps a first word to the wishes that may begin with it.
var wishIndex = func() map[string][]int {
	out := map[string][]int{}
	for i, w := range wishes {
		for k, alts := range w.words {
			optional := true
			for _, a := range alts {
				a, opt := strings.CutSuffix(a, "?")
				optional = optional && opt
				if l := out[a]; len(l) == 0 || l[len(l)-1] != i {
					out[a] = append(l, i)
				}
			}
			if !optional || k > 1 {
				break
			}
		}
	}
	return out
}()

// wordRun is a clause's words as indices of tokens.
type wordRun []int

// match reports how many words the wish takes at position at of the run,
// or 0.
func (w *wish) match(toks []token, run wordRun, at int) int {
	k := at
	for _, alts := range w.words {
		optional := strings.HasSuffix(alts[len(alts)-1], "?")
		hit := false
		if k < len(run) {
			n := toks[run[k]].norm
			for _, a := range alts {
				if strings.TrimSuffix(a, "?") == n {
					hit = true
					break
				}
			}
		}
		switch {
		case hit:
			k++
		case !optional:
			return 0
		}
	}
	if w.end && k < len(run) {
		for _, r := range run[k:] {
			if !opensTurn[toks[r].norm] && toks[r].norm != "tbh" && toks[r].norm != "really" {
				return 0
			}
		}
	}
	return k - at
}

// findWish finds what a clause asks for, by the order of the table. It returns
// the wish, the word of the run where it begins and how many words it takes.
func findWish(toks []token, run wordRun) (w *wish, at, n int) {
	first := 0
	for first < len(run) && opensTurn[toks[run[first]].norm] {
		first++
	}
	best := len(wishes)
	for k := range run {
		for _, i := range wishIndex[toks[run[k]].norm] {
			c := &wishes[i]
			if i >= best || c.start && k > first {
				continue
			}
			if c.kind == "change" && k > 0 && (toks[run[k-1]].norm == "no" || toks[run[k-1]].norm == "what") {
				continue // "no change", "if you see what i mean"
			}
			if m := c.match(toks, run, k); m > 0 {
				best, w, at, n = i, c, k, m
			}
		}
	}
	return w, at, n
}

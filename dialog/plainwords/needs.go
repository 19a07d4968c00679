package plainwords

// needed is a set of kinds of words that carry no meaning alone, but without
// which a short wording says something else: "dead by morning" is not "dead".
type needed uint16

const (
	needSpan  needed = 1 << iota // a span of time
	needShort                    // one of minutes at most
	needDay                      // a part of the day
	needAgain                    // again and again
	needGets                     // it becomes so, or too much so
	needThere                    // it is there
	needSelf                     // by itself
	needCount                    // on so many: "running on three"
	needRight                    // as it should be
	needOne                      // one and not all of them
	needAll                      // all of them
	needUnder                    // below it
)

var neededWords = func() map[string]needed {
	out := map[string]needed{}
	for w := range set(`second seconds sec secs minute minutes min mins moment instant`) {
		out[w] = needShort
	}
	for w := range set(`hour hours day days week weeks month months year years fortnight mile miles`) {
		out[w] = needSpan
	}
	for w := range set(`morning mornings night nights overnight evening evenings today yesterday tonight`) {
		out[w] = needDay
	}
	for w := range set(`again every each per weekly daily`) {
		out[w] = needAgain
	}
	out["there"] = needThere
	for w := range set(`itself themselves own alone untouched nobody without`) {
		out[w] = needSelf
	}
	for w := range set(`right well properly correctly straight perfectly true`) {
		out[w] = needRight
	}
	for w := range set(`one 1 single only some certain sometimes`) {
		out[w] = needOne
	}
	for w := range set(`all every both everything each`) {
		out[w] |= needAll
	}
	for w := range set(`under underneath beneath below`) {
		out[w] = needUnder
	}
	for w := range set(`gets getting get got too goes going runs running`) {
		out[w] = needGets
	}
	return out
}()

// oneSide are the words that say which of two it is.
var oneSide = set(`left right nearside offside ns os lh rh driver drivers passenger passengers front rear back`)

// needsReach is the number of tokens from a match at which a needed word may
// stand.
const needsReach = 6

func needsOf(text string) needed {
	var n needed
	state := false // "engine gets hot" is not "engine is hot"
	for _, t := range scan(text) {
		if stopWords[t.norm] || t.norm == "under" {
			n |= neededWords[t.norm]
		}
		state = state || t.norm == "hot" || t.norm == "warm"
	}
	if !state {
		n &^= needGets
	}
	for _, w := range []string{"two", "three", "five"} {
		if containsWords(plain(text), "on "+w) {
			n |= needCount
		}
	}
	if n &^= needSelf; containsWords(plain(text), "by itself") || containsWords(plain(text), "on its own") || containsWords(plain(text), "by themselves") {
		n |= needSelf
	}
	return n
}

// needsMet reports whether the needed kinds of words stand near a match.
func needsMet(n needed, toks []token, us []unit, m *match) bool {
	sent := toks[us[m.first].first].sent
	for k := max(0, us[m.first].first-needsReach); k < len(toks) && k <= us[m.last].last+needsReach; k++ {
		if toks[k].sent == sent {
			n &^= neededWords[toks[k].norm]
			if oneSide[toks[k].norm] {
				n &^= needOne // "the left headlight" is one of them
			}
			if toks[k].kind == tokenNumber || numerals[toks[k].norm] > 0 {
				n &^= needCount
			}
		}
	}
	return n == 0
}

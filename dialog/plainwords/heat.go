package plainwords

// How hot the engine was when something else was seen is no trouble: "7 psi at
// hot idle", "hot and running: nothing on the dipstick".

var (
	heatWords = set(`hot warm cold`)
	// turnedOver are words of an engine that runs or is started.
	turnedOver = set(`idle idling tickover running start starts starting startup restart restarts restarting`)
	// becomes are words before "hot" that say that something is too hot.
	becomes = set(`get gets getting got go goes going went run runs running is are was too very so red really bloody boiling stinking overheating`)
)

// heatSets reports whether a match says nothing but how hot the running engine
// was: its only words of meaning are the heat and what the engine did, which
// stand side by side.
func (t *turn) heatSets(m *match) bool {
	heat, beside := -1, -1
	for _, u := range m.units {
		k := t.us[u].first
		switch w := t.toks[k].norm; {
		case heatWords[w] && heat < 0:
			heat = k
		case turnedOver[w] && beside < 0:
			beside = k
		case t.us[u].class == classContent:
			return false
		}
	}
	if heat < 0 || beside < heat || heat > 0 && t.toks[heat-1].clause == t.toks[heat].clause && becomes[t.toks[heat-1].norm] {
		return false
	}
	together := beside == heat+1 || beside == heat+2 && t.toks[heat+1].norm == "and"
	return together && !containsWords(plain(m.phrase.said), t.toks[heat].norm+" "+t.toks[beside].norm)
}

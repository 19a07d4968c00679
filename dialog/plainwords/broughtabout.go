package plainwords

// currentDeeds bring current where it was not or take it round a part: what
// follows in the sentence is what that did, not how the car is.
var currentDeeds = set(`bridged bridge bridging jumpered jumpering hotwired earthed earthing grounded grounding fed feeding bypassed bypassing linked`)

// undone are words after which it is the car again: "bridged it and it still
// won't start".
var undone = set(`still but again without usually normally otherwise`)

// broughtAbout reports whether a match tells what came of current that somebody
// sent: "put a wire across the plug and the fan roars away" is no fan that runs
// all the time.
func (t *turn) broughtAbout(m *match) bool {
	first := t.us[m.first].first
	for k := first - 1; k >= 0 && k >= first-20 && t.toks[k].sent == t.toks[first].sent; k-- {
		w := &t.toks[k]
		if undone[w.norm] {
			return false
		}
		if u := t.unitAt[k]; !w.under && (currentDeeds[w.norm] || u >= 0 && t.us[u].first < t.us[u].last && t.us[u].id >= 0 && t.lx.name(t.us[u].id) == "bridg") {
			return true
		}
	}
	return false
}

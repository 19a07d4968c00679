package plainwords

import "strings"

// eventCues say that something came just before the trouble.
var eventCues = set(`since after following ever began started just ago last recently before weeks months years winter summer yesterday week weekend month easter christmas previous`)

// findEvents reads what happened to the car before the trouble began.
func (t *turn) findEvents() {
	taken := map[int]bool{}
	for i := range t.matches {
		m := &t.matches[i]
		if m.phrase.target.kind != targetEvent || m.flipped && m.phrase.denies || m.last-m.first > len(m.units)+1 || len(m.units) < m.phrase.required {
			continue
		}
		used, own := 0, 0
		for _, u := range m.units {
			own++
			if taken[u] || t.usedUnit[u] && (!t.loosely[u] || !t.eventCue(m) && !t.happenedIn(m)) && !(t.ofSymptom[u] && t.eventCue(m)) {
				used++
			}
		}
		busy := used*2 > own || used == own
		c := t.us[m.first].clause
		if t.us[m.last].clause != c || t.toks[t.us[m.first].first].norm == "left" && t.lx.items[t.word(t.us[m.first].first, -1)] != "" {
			continue // "front left, about a coin a night"
		}
		if w := t.toks[t.voices[c].first].norm; t.lx.handVerbs[w] && strings.HasSuffix(w, "ing") {
			continue // "taking the battery off cleared it" is a trial
		}
		v := &t.voices[c]
		if busy || v.question || t.wished[c] != "" || t.onPart(m.phrase.target.id) {
			continue
		}
		content := 0
		for _, w := range m.phrase.words {
			if w.class == classContent {
				content++
			}
		}
		cue := t.eventCue(m)
		if content < 3 && t.us[m.first].clause != t.us[m.last].clause || t.sideOf(m) {
			continue // "12.3 at the battery, same with it off", "the left brake light"
		}
		if content < 2 && !cue && len(m.units) == 1 && !t.literally(m) && t.us[m.first].first == t.us[m.first].last {
			continue // "a wet patch" is no soaking
		}
		if !cue && (t.triedWith(m) || t.inTrial(m)) {
			continue // "tried the spare key", "rotated the tyres, no difference"
		}
		if content < 2 && !cue && (!v.past || len(m.units) == 1 && len(m.phrase.rest) == 0 && !t.happened(m)) && !t.foundThere(m) || !cue && !v.past && !t.happened(m) || t.future(t.us[m.first].first) || t.presentOf(m) {
			continue
		}
		if e := t.event[m.phrase.target.id]; t.ctx.Asked != nil && !cue && e != nil && e.InChecks {
			continue // what is done for the check on the table was not before the trouble
		}
		if e := t.event[m.phrase.target.id]; e != nil && e.Long && t.hoursIn(c) {
			continue // "parked up for an hour"
		}
		o := Observation{Finding: "event:" + m.phrase.target.id, Outcome: "before"}
		o.Start, o.End = t.span(m)
		if m.flipped && (t.foundThere(m) || content < 2 || !t.us[m.first].under || t.deniedApart(m)) {
			continue // "there's no puddle" is no "it was not flooded", "doesn't overheat" no "it never overheated"
		}
		if m.flipped {
			o.Outcome = "no"
		} else if !cue && v.hedge == "plain" && !t.happened(m) {
			o.Hedge = "think"
		}
		for _, u := range m.units {
			taken[u] = true
		}
		t.use(m)
		t.observe(o, c)
	}
}

// hoursIn reports whether the clause tells of hours or minutes.
func (t *turn) hoursIn(c int32) bool {
	v := &t.voices[c]
	for k := v.first; k <= v.last; k++ {
		switch t.toks[k].norm {
		case "hour", "hours", "hr", "hrs", "minute", "minutes", "min", "mins":
			return true
		}
	}
	return false
}

func (t *turn) onPart(event string) bool {
	e := t.event[event]
	return e != nil && e.OnPart
}

func (t *turn) eventCue(m *match) bool {
	v := &t.voices[t.us[m.first].clause]
	for k := max(v.first, t.us[m.first].first-10); k <= min(v.last, t.us[m.last].last+8); k++ {
		if eventCues[t.toks[k].norm] {
			return true
		}
	}
	return t.nowFollows(m) || t.bygone(m)
}

// pastTense are irregular forms that tell what happened once.
var pastTense = set(`went drove hit ran left got put stood sat broke lost cut been done had was were did took gave lent fell bought blew froze new off fitted`)

// happened reports whether a match tells a thing done or undergone rather than
// what is so now: "hit a pothole", "washed it", "new pads".
func (t *turn) happened(m *match) bool {
	v := &t.voices[t.us[m.first].clause]
	for k := max(v.first, t.us[m.first].first-3); k <= t.us[m.last].last; k++ {
		w := t.toks[k].norm
		if pastTense[w] || len(w) > 4 && strings.HasSuffix(w, "ed") || w == "have" || w == "ive" || w == "weve" {
			return true
		}
	}
	return t.foundThere(m) || t.nowFollows(m)
}

// happenedIn reports whether the words of a match are themselves in the past.
func (t *turn) happenedIn(m *match) bool {
	for _, u := range m.units {
		if w := t.toks[t.us[u].first].norm; pastTense[w] && w != "off" && w != "new" || strings.HasSuffix(w, "ed") {
			return true
		}
	}
	return false
}

// foundThere reports whether the clause says that there is such a thing:
// "there's a nest of mice in the airbox".
func (t *turn) foundThere(m *match) bool {
	v := &t.voices[t.us[m.first].clause]
	for k := max(v.first, t.us[m.first].first-4); k < t.us[m.first].first; k++ {
		switch t.toks[k].norm {
		case "theres", "there", "found":
			return true
		}
	}
	return false
}

// nowFollows reports whether the next clause tells what is so since: "and now
// the idle hunts".
func (t *turn) nowFollows(m *match) bool {
	v := &t.voices[t.us[m.first].clause]
	for k := v.last + 1; k <= v.last+2 && k < len(t.toks); k++ {
		if t.toks[k].norm == "now" && t.toks[k].sent == t.toks[v.last].sent {
			return true
		}
	}
	return false
}

// deniedApart reports whether a denial before an event falls on another word:
// "not frightened of taking trim off".
func (t *turn) deniedApart(m *match) bool {
	for k := t.us[m.first].first - 1; k >= 0 && t.toks[k].clause == t.us[m.first].clause; k-- {
		switch {
		case t.toks[k].neg:
			return false
		case t.toks[k].class == classContent:
			return true
		}
	}
	return false
}

// inTrial reports whether the sentence goes on to tell what a deed changed: it was
// done to see, and not before the trouble.
func (t *turn) inTrial(m *match) bool {
	from := t.us[m.last].last
	if from+1 >= len(t.toks) || t.toks[from+1].sent != t.toks[from].sent || !t.happenedIn(m) {
		return false
	}
	effect, first, _ := t.effectOf(from + 1)
	return effect != "" && effect != "worse" && t.toks[first].sent == t.toks[from].sent
}

// triedWith reports whether the words of an event are the object of a trial.
func (t *turn) triedWith(m *match) bool {
	for k := t.us[m.first].first - 1; k >= 0 && t.toks[k].clause == t.us[m.first].clause; k-- {
		switch w := t.toks[k].norm; {
		case w == "tried", w == "try", w == "trying", w == "used", w == "using", w == "with":
			return true
		case !articles[w]:
			return false
		}
	}
	return false
}

// gonePast reports whether a wording holds a verb in the past.
func gonePast(text string) bool {
	for _, w := range strings.Fields(plain(text)) {
		if pastTense[w] || len(w) > 4 && strings.HasSuffix(w, "ed") {
			return true
		}
	}
	return false
}

// presentOf reports whether the phrase tells a thing gone by and the turn what
// is so each time: "the door opens" is not "the door was open", nor "when I fill
// it up" a fill-up.
func (t *turn) presentOf(m *match) bool {
	v := &t.voices[t.us[m.first].clause]
	for k := max(v.first, t.us[m.first].first-4); k < t.us[m.first].first && !v.past && !t.happenedIn(m); k++ {
		switch t.toks[k].norm {
		case "when", "whenever", "if", "while":
			return true
		}
	}
	for _, u := range m.units {
		w := t.toks[t.us[u].first].norm
		if k := t.us[u]; len(m.units) == 1 && k.first == k.last && !v.past && strings.HasSuffix(w, "s") && stem(w) != w && gonePast(m.phrase.said) {
			return true // "cooks itself after an hour" is no "boiled over once"
		}
		for _, s := range strings.Fields(plain(m.phrase.said)) {
			if stem(s) != stem(w) || s == w {
				continue
			}
			if pastTense[s] && !pastTense[w] && strings.HasSuffix(w, "s") && !v.past {
				return true // "sits at a third in winter" is not "sat all winter"
			}
			if w == s+"s" && t.toks[t.us[u].first].class == classContent && containsWords(plain(m.phrase.said), "was "+s) || strings.HasSuffix(s, "ed") && !strings.HasSuffix(w, "ed") && len(m.units) == 1 {
				return true
			}
		}
	}
	return false
}

// sideOf reports whether "left" in a match says which one and not that something
// was left: "the left brake light", "left headlight is out", not "left lights on".
func (t *turn) sideOf(m *match) bool {
	for _, u := range m.units {
		k := t.us[u].first
		if t.toks[k].norm != "left" {
			continue
		}
		switch t.word(k, -1) {
		case "the", "front", "rear", "back", "my", "on", "to", "both", "and":
			return true
		}
		n := t.unitAt[min(k+1, len(t.toks)-1)]
		if n > u && t.us[n].class == classContent && t.us[n].clause == t.us[u].clause {
			after := t.word(t.us[n].last, 1)
			return after != "on" && after != "open" && after != "running"
		}
	}
	return false
}

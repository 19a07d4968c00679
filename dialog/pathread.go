package dialog

import (
	"slices"
	"strings"

	"ruleout/dialog/plainwords"
	"ruleout/kb"
)

// What people say of a path names a place on it and whether something comes
// there: "no fuel at the end of the hose", "it does come out of the filter".
// It is read only over the paths that are in play. What comes out of a station
// came to every point before it; what does not come there comes to no point
// behind it.

var (
	flowing = guard(`\b(?:com(?:es?|ing) (?:out|through|to|from|at)|came (?:out|through|from)|squirt(?:s|ed|ing)?|flow(?:s|ed|ing)?|spurts?|gush(?:es|ed)?|gets? (?:to|there|through|any|to it)|getting (?:to|there|through|any)|reach(?:es|ed|ing)?|arriv(?:es?|ed|ing)|delivers?|delivered|pumps? out|sprays?|sprayed)\b`)
	lacking = guard(`\b(?:no|none|nothing|not|never|without|isn'?t|doesn'?t|does not|didn'?t|won'?t|can'?t get|dry)\b`)
	feeble  = guard(`\b(?:weak(?:ly)?|dribbl\w*|trickl\w*|ooz\w+|hardly|barely|only a (?:little|bit)|slow(?:ly)?|a few drops)\b`)
	// noMedium says that it is not there; what is heard is another matter.
	noMedium     = guard(`\b(?:no|any|without|zero) (?:fuel|petrol|gas|diesel|water|coolant|fluid|pressure|spark|air|vacuum|oil)\b`)
	pathPieceEnd = guard(`[,;!?\n]+|\.(?:\s|$)| but `)
	heardWord    = guard(`\b(?:sounds?|noise|hear|heard|hums?|humming|buzz\w*|clicks?|leak\w*|level|lamp|light|gauge)\b`)
	pouring      = guard(`\b(?:pour(?:ed|ing)?|hosed|hosing|spray(?:ed|ing)?|tipped|watering can|ran the hose)\b`)
	cameIn       = guard(`\b(?:(?:ran|came|comes|runs|dripp?(?:s|ed)|leak(?:s|ed)|gets|got) (?:in|inside|through|wet)|it'?s wet|wet inside|soaked)\b`)
	placeNo      = wordSet("the a an of at to in on it is and or with when i my out from for by end side that this does do any some no not nothing none comes come came coming get gets fuel petrol diesel water coolant fluid pressure spark air vacuum oil there good strong plenty pumps pump look see whether way one under into does doe doesn don didn t s isn pour poured pouring hosed hosing spray sprayed tipped")
)

// pathPlace is a place of a path that words may name: a point, or a station.
type pathPlace struct {
	point   *kb.PathPoint // nil for a station
	station int
	words   map[string]bool
	names   []string // of a station's part
}

// pathPlaces lists the places of a path with the words that name them.
func (e *Engine) pathPlaces(p *kb.Path) []pathPlace {
	var out []pathPlace
	add := func(k *kb.PathPoint, station int, texts ...string) {
		words := map[string]bool{}
		for _, t := range texts {
			for w := range wordsOf(t) {
				if !placeNo[w] {
					words[w] = true
				}
			}
		}
		out = append(out, pathPlace{point: k, station: station, words: words})
	}
	for i := range p.Points {
		k := &p.Points[i]
		texts := []string{k.Title}
		for _, way := range kb.PathWays {
			if l := k.Look(way); l != nil {
				for _, o := range l.Outcomes {
					texts = append(texts, o.Said...)
				}
			}
		}
		add(k, p.Station(k.After), texts...)
	}
	for i := range p.Stations {
		if part := e.base.Part(p.Stations[i].Part); part != nil {
			names := append([]string{part.Name}, part.Names...)
			add(nil, i, names...)
			out[len(out)-1].names = names
		}
	}
	return out
}

// placeNamed is the place that a piece names best; a word that names several
// counts less. It is nil where none is named, or two alike.
func placeNamed(places []pathPlace, piece string) *pathPlace {
	have := wordsOf(piece)
	share := map[string]float64{}
	for i := range places {
		for w := range places[i].words {
			share[w]++
		}
	}
	best, most, second := -1, 0.0, 0.0
	for i := range places {
		if wrongEnd(places[i].words, have) {
			continue
		}
		x := 0.0
		for k, name := range places[i].names {
			f := strings.Fields(asciiLower(name))
			if hasPhrase(piece, asciiLower(name)) {
				x = 1
			} else if k == 0 && have[f[len(f)-1]] && x == 0 {
				x = 0.5 // "the filter" for the fuel filter
			}
		}
		for _, w := range sortedKeys(places[i].words) {
			if have[w] {
				x += 1 / share[w]
			}
		}
		if x > most {
			best, most, second = i, x, most
		} else if x > second {
			second = x
		}
	}
	if best < 0 || most < 0.45 || most-second < 0.1 {
		return nil
	}
	return &places[best]
}

// wrongEnd reports whether a piece speaks of the other end of the car.
func wrongEnd(place, have map[string]bool) bool {
	front, rear := place["front"], place["rear"] || place["back"]
	return front && !rear && (have["rear"] || have["back"]) || rear && !front && have["front"]
}

// before reports whether one station stands on the way to another, or is it.
func before(p *kb.Path, a, b int) bool {
	for b >= 0 {
		if a == b {
			return true
		}
		if s := &p.Stations[b]; s.After != "" {
			b = p.Station(s.After)
		} else {
			b--
		}
	}
	return false
}

// pointFor is the point at which what was told of a place can be weighed: the
// place itself, the nearest before it where something comes, the nearest
// behind it where nothing does.
func pointFor(p *kb.Path, x *pathPlace, present bool) *kb.PathPoint {
	if x.point != nil {
		return x.point
	}
	var best *kb.PathPoint
	for i := range p.Points {
		k := &p.Points[i]
		at := p.Station(k.After)
		if k.Seen == nil || k.Seen.Test != "" || present && !before(p, at, x.station) || !present && !before(p, x.station, at) {
			continue
		}
		switch {
		case best == nil:
			best = k
		case present && before(p, p.Station(best.After), at), !present && at < p.Station(best.After):
			best = k
		}
	}
	return best
}

// passingWords are what people call what passes.
var passingWords = map[string][]string{
	"petrol": {"fuel", "gas", "it"}, "diesel": {"fuel", "it"}, "coolant": {"water", "antifreeze"}, "pressure": {"fluid"}, "water": {"fluid"}, "spark": {"sparks"},
}

// passesIn reports whether a piece speaks of what passes along the path.
func passesIn(p *kb.Path, piece string) bool {
	have := wordsOf(piece)
	for w := range wordsOf(p.Passes) {
		if have[w] || slices.ContainsFunc(passingWords[w], func(x string) bool { return have[x] }) {
			return true
		}
	}
	return false
}

// pathWords reads what a turn says of the paths in play, in place of what the
// general reader made of the same words.
func (e *Engine) pathWords(s *State, text string, acct *plainwords.Account) {
	lower := asciiLower(text)
	for from := 0; from < len(lower); {
		to, next := len(lower), len(lower)
		if m := pathPieceEnd.FindStringIndex(lower[from:]); m != nil {
			to, next = from+m[0], from+m[1]
		}
		if !strings.HasPrefix(lower[to:], "?") && !mayI.MatchString(lower[from:to]) {
			e.pathPiece(s, lower, from, to, acct)
		}
		from = max(next, from+1)
	}
}

func (e *Engine) pathPiece(s *State, text string, from, to int, acct *plainwords.Account) {
	piece := text[from:to]
	pours := pouring.MatchString(piece)
	if heardWord.MatchString(piece) || !pours && !flowing.MatchString(piece) && !noMedium.MatchString(piece) {
		return
	}
	for _, p := range e.base.Paths {
		if !e.inPlay(s, p.ID) || p.Unwanted != pours || e.applies(s, p.Applies) < 0.5 {
			continue
		}
		if !pours && !passesIn(p, piece) {
			continue
		}
		places := e.pathPlaces(p)
		if pours { // the place named first is where it was poured
			places = slices.DeleteFunc(places, func(x pathPlace) bool { return x.point == nil || x.point.Fed == nil })
			piece = partEnd.ReplaceAllString(strings.ReplaceAll(piece, " under the ", " | "), " | ")
			piece, _, _ = strings.Cut(piece, " | ")
		}
		x := placeNamed(places, piece)
		piece = text[from:to]
		if x == nil {
			continue
		}
		way, outcome := "seen", "good"
		switch {
		case pours:
			way, outcome = "fed", "works"
			if cameIn.MatchString(piece) && !lacking.MatchString(piece) {
				outcome = "same"
			} else if !lacking.MatchString(piece) {
				continue // poured, and nothing said of what came of it
			}
		case lacking.MatchString(piece):
			outcome = "bad"
		case feeble.MatchString(piece):
			outcome = "weak"
		case !flowing.MatchString(piece):
			continue
		}
		k := pointFor(p, x, outcome != "bad")
		if k == nil || k.Look(way) == nil || k.Look(way).Test != "" {
			continue
		}
		id := p.Finding(k, way)
		f := e.base.Finding(id)
		if f == nil || f.OutcomeIndex(outcome) < 0 {
			continue
		}
		within := func(start, end int) bool { return start < to && end > from }
		if slices.ContainsFunc(acct.Observations, func(o plainwords.Observation) bool {
			g := e.base.Finding(o.Finding)
			return within(o.Start, o.End) && (o.Reading != nil || g != nil && g.Path == "" && g.Kind == kb.FindingTest || o.Finding == id && o.Outcome == "wrong")
		}) {
			return // measured, a look of its own, or more than that something comes
		}
		acct.Observations = slices.DeleteFunc(acct.Observations, func(o plainwords.Observation) bool {
			return within(o.Start, o.End) && o.Finding != s.Chief
		})
		acct.Remarks = slices.DeleteFunc(acct.Remarks, func(r plainwords.Remark) bool { return within(r.Start, r.End) })
		acct.Observations = append(acct.Observations, plainwords.Observation{
			Finding: id, Outcome: outcome, Source: "seen", Hedge: "plain", Certainty: e.base.Lists.Derived.Sources["seen"], Start: from, End: to,
		})
		useSpan(acct, from, to)
		return
	}
}

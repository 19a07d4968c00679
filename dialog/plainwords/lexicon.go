package plainwords

import (
	"math"
	"sort"
	"strings"

	"ruleout/kb"
)

// targetKind says what a phrase of the lexicon stands for.
type targetKind uint8

const (
	targetSymptom targetKind = iota
	targetOutcome
	targetAxis
	targetEvent
	targetLook
	targetComeGo
	targetVehicle
	targetTool
	targetPart
	targetTest
	targetCard
	targetSystem
	targetCause
)

// target is the meaning of a phrase. For an outcome, id is the finding; for an
// axis value the axis; for a vehicle attribute the attribute.
type target struct {
	kind      targetKind
	id, value string
}

// word is one unit of a phrase.
type word struct {
	id     int32
	class  class
	under  bool
	meant  bool   // a word of meaning by itself
	form   string // as it is written in the phrase, where it is one word
	makes  bool   // a particle that makes the meaning of the light verb before it
	weight float64
}

// phrase is a way of saying something, ready to be matched.
type phrase struct {
	target target
	words  []word
	total  float64
	// required counts the words that must be present; alone marks a phrase of
	// one required word.
	required int
	said     string
	// rest holds the function words of a phrase with a single word of
	// meaning: most of them must stand near it.
	rest []string
	// generic marks an answer that could follow any question ("never", "all
	// of them"): it counts only when its own question was asked.
	generic bool
	// after is the word "after" or "before" in a condition, which must be there.
	after string
	// fine marks a phrase that says itself that all is well; denies one that
	// holds a negation.
	fine, denies bool
	// likens marks a phrase that is itself a comparison ("like the brakes are on").
	likens bool
	// bareNo marks a thing denied by "no" alone ("no horn").
	bareNo bool
	// turned marks a phrase in which something is turned, switched, put or shut.
	turned bool
	// outOf marks one with "out of": what is out of balance is not balanced.
	outOf bool
	// denial marks one whose denial falls on little words that are not kept
	// ("new bulbs don't last"): something must be denied near it.
	denial bool
	// only marks a phrase with a qualifier without which the words say something
	// else ("only one brake light works", "works sometimes").
	only bool
	// repeats marks a phrase that says a word several times ("click click").
	repeats bool
	// whole marks a wording of which no word may be missing: that of a trouble with
	// its circumstance, "goes flat while driving".
	whole bool
	// way marks one made of a pattern, letter one of which every word is there.
	way, letter bool
	// opens marks a condition whose wording begins with a word of time ("when it
	// is hot").
	opens bool
	// always marks a phrase that says that it never ends ("fan always on").
	always bool
	// other marks an outcome that speaks of both or of another one, which its
	// words must say.
	pair, other bool
	// needs are the kinds of words without meaning of their own that a short
	// wording hangs on ("within five minutes").
	needs needed
	// compound marks a wording of one meaning said in several words ("tappet
	// noise"), which a single word does not tell.
	compound bool
	// placed marks an outcome that only says where or when ("under the front").
	placed bool
}

// finding is what the reader needs to know of a question, symptom or test.
type finding struct {
	id, emit string // emit is the id under which it is observed
	title    string
	kind     kb.FindingKind
	system   string
	part     string
	path     string // the path article it follows from
	ask      string
	ordered  bool
	axis     string
	outcomes []kb.Outcome
	reading  *kb.Reading
	// symptoms are those whose talk brings this question, of the one that it
	// belongs to.
	symptoms map[string]bool
	of       string
	// topic holds the concepts that a question is about, by its title; about those
	// of the title of its symptom or test and of the part.
	topic map[int32]bool
	about map[int32]bool
	// bears holds the symptoms on which a test bears.
	bears map[string]bool
	// place holds the concepts that say where a reading was taken.
	place map[int32]float64
	// drop marks a voltage-drop test: its numbers come with that word.
	drop bool
	// when holds the plain words by which people say that what the reading
	// requires was so.
	when []string
	// rests marks a test of a battery at rest, charges one of its charging.
	rests, charges bool
	// ages are the outcomes as spans of time, of a question about an age.
	ages []ageBand
	// fails marks a symptom whose title says that something does not work, habit
	// one that tells of what happens again and again.
	fails, habit bool
	// fluids are those that the question is about.
	fluids []string
	// saidPlain are the plain words said with the number.
	saidPlain []string
}

func (f *finding) outcome(id string) *kb.Outcome {
	for i := range f.outcomes {
		if f.outcomes[i].ID == id {
			return &f.outcomes[i]
		}
	}
	return nil
}

// lexicon is everything that can be recognised, compiled once.
type lexicon struct {
	*vocabulary
	usage
	phrases []phrase
	ways    []way
	// wayAt holds the ways to look for at a concept.
	wayAt map[int32][]int32
	// nameWords holds the concepts of a part's names, by part.
	nameWords map[string]map[int32]bool
	// endsIn holds the concepts that a part's names end in, by part.
	endsIn   map[string]map[int32]bool
	endings  map[int32]bool            // what the names of parts end in
	nounOf   map[int32]map[string]bool // the systems of those parts
	anchors  [][]int32                 // phrases by concept of their rarest words
	weights  []float64                 // idf by concept
	findings map[string]*finding
	tests    []*finding         // with readings, in id order
	aged     []*finding         // questions about an age
	measured map[dimension]bool // what a meter is asked for
	replies  map[string][]said  // outcome phrases without content words, by finding
	profiles []profile
	profileOf
	withAxis           map[[2]string]bool            // symptoms with the axes of which their wordings speak
	brings             map[string][]string           // parts that bring a symptom, the likeliest first
	general            map[int32]bool                // systems, fluids and places, which name no part
	nouns              map[string][]int32            // what a symptom's wordings speak of
	heads              map[int32][]string            // parts by the concept of their head noun, the likeliest first
	modesOf, lookModes map[string]map[string]float64 // credible modes by part and by look
	rate               map[string]float64            // per thousand, by part
	bare               map[string][2]string          // axis and value by the word that says it alone ("hot" of "when hot")
	acts               map[string]string             // what is done to a part, by the verb that takes it as its object
}

// said is a wording and the outcome it stands for.
type said struct{ words, outcome string }

func newLexicon(b *kb.Base) *lexicon {
	lx := &lexicon{vocabulary: newVocabulary(b.Synonyms, b.Words), usage: newUsage(b.Usages), findings: map[string]*finding{}, replies: map[string][]said{}, measured: map[dimension]bool{dimVoltage: true, dimCurrent: true, dimResistance: true, dimPressure: true}}
	lx.intern(stem("work"))
	for _, words := range []map[string]bool{lx.vehicleNouns, lx.gadgets} {
		for w := range words {
			lx.known[w] = true
		}
	}
	lx.addFindings(b)
	lx.addBearings(b)
	lx.addTopics(b)
	lx.addLists(b)
	lx.addWays(b)
	lx.addCommonTopics(b)
	lx.weigh()
	lx.anchorWays()
	lx.addPlaces(b)
	lx.addAbout(b)
	lx.addFluids()
	lx.addProfiles(b)
	lx.addHeads(b)
	lx.addBrings(b)
	lx.addSaysItself(b)
	lx.addNouns()
	lx.finishSpelling()
	return lx
}

// parse prepares a text as both turns and phrases are read.
func (lx *lexicon) parse(text string) []token {
	toks := scan(text)
	segment(toks)
	for i := range toks {
		toks[i].class = classOf(&toks[i])
		if toks[i].kind == tokenPunct {
			toks[i].class = classStop
		}
	}
	for i := 1; i < len(toks); i++ {
		if toks[i].norm == "longer" && (toks[i-1].norm == "no" || toks[i-1].norm == "any") {
			toks[i].class = classStop
		}
		if toks[i-1].norm == "dead" && deadly[toks[i].norm] {
			toks[i-1].class = classStop
		}
		if toks[i-1].norm == "like" && likeMad[toks[i].norm] {
			toks[i].class = classStop
		}
	}
	negate(toks)
	return toks
}

// deadly are the words before which "dead" only makes them stronger.
var deadly = set(`slow slowly straight centre center central middle halfway level easy simple quiet calm cool cold hard heavy light keen set right certain sure tired old smooth good nice clean dry tight loose wrong careful gentle rough noisy loud`)

// likeMad are the words that after "like" only make what was said stronger.
var likeMad = set(`mad crazy hell anything billyo stink billio blazes`)

func (lx *lexicon) add(t target, text string) {
	lx.learn(text)
	p, reply := lx.phraseOf(t, text, true)
	if len(p.words) > 0 {
		lx.phrases = append(lx.phrases, p)
		if p.compound {
			lx.addApart(t, text)
		}
	} else if reply && t.kind == targetOutcome {
		lx.replies[t.id] = append(lx.replies[t.id], said{plain(text), t.value})
	}
}

// addApart adds a wording that is one synonym of several words also as those
// words, which people put apart: "clutch slip", "the clutch doesn't slip".
func (lx *lexicon) addApart(t target, text string) {
	toks := lx.parse(text)
	if p, _ := lx.phraseIn(t, text, toks, lx.unitsOf(toks, true, true)); len(p.words) > 1 {
		lx.phrases = append(lx.phrases, p)
	}
}

// phraseOf makes a phrase of a wording, without words where it holds none that
// could be looked for; reply reports whether it can still be an answer. With
// grow set, unknown words become concepts.
func (lx *lexicon) phraseOf(t target, text string, grow bool) (p phrase, reply bool) {
	toks := lx.parse(text)
	return lx.phraseIn(t, text, toks, lx.units(toks, grow))
}

func (lx *lexicon) phraseIn(t target, text string, toks []token, us []unit) (p phrase, reply bool) {
	p = phrase{target: t, said: text}
	for _, w := range strings.Fields(plain(text)) {
		p.only = p.only || qualifiers[w]
		p.likens = p.likens || w == "like"
		p.always = p.always || alwaysWords[w]
		p.turned = p.turned || byParticle[stem(w)]
	}
	p.outOf = strings.Contains(" "+plain(text)+" ", " out of ")
	if t.kind == targetOutcome {
		p.placed = opensPlace(text)
		for _, w := range strings.Fields(plain(text)) {
			p.pair, p.other = p.pair || pairWords[w], p.other || otherWords[w]
		}
	}
	p.generic = t.kind == targetOutcome && isGeneric(text)
	if t.kind == targetAxis {
		p.after = orderWord(text)
		first, _, _ := strings.Cut(plain(text), " ")
		p.opens = opensTime[first]
	}
	seen := map[int32]bool{}
	for i, u := range us {
		if seen[u.id] {
			if u.under {
				return phrase{}, false // "sliding door won't slide": without its denial it would say less than nothing
			}
			p.repeats = p.repeats || i > 0 && us[i-1].id == u.id
			continue
		}
		seen[u.id] = true
		if t.kind == targetAxis && u.class == classParticle && i > 0 && us[i-1].last+1 == u.first {
			u.class = classContent // "lights on" is not "lights off", "warmed up" not "warmed"
		}
		form := ""
		if u.first == u.last {
			form = toks[u.first].norm
		}
		p.words = append(p.words, word{id: u.id, class: u.class, under: u.under, meant: u.class == classContent, form: form})
		p.words[len(p.words)-1].makes = u.class == classParticle && i > 0 && us[i-1].class == classLight && us[i-1].last+1 == u.first
		p.denies = p.denies || u.under
		p.fine = p.fine || u.id >= 0 && fineWords[lx.name(u.id)] || t.kind == targetSymptom && t.value == "absent"
		if u.class == classContent {
			p.required++
		}
	}
	if len(p.words) == 0 {
		return phrase{}, true
	}
	// A phrase with fewer than two content words leans on its light words,
	// and one without any on its particles.
	if p.required < 2 {
		for i := range p.words {
			if p.words[i].class != classContent {
				p.words[i].class = classContent
				p.required++
			}
		}
	}
	p.denial = !p.denies && t.kind == targetSymptom && deniesLittle(text)
	p.bareNo = p.denies && strings.HasPrefix(text, "no ") && p.words[0].under && p.required == len(p.words) && len(p.words) <= 2
	p.compound = len(us) == 1 && us[0].last > us[0].first && t.kind == targetSymptom
	if p.required <= 2 && (t.kind == targetSymptom || t.kind == targetOutcome || t.kind == targetAxis) {
		p.needs = needsOf(text)
	}
	if len(p.words) == 1 {
		p.rest = restOf(lx, us[0], text)
	}
	if len(p.words) == 1 && isParticleOrLight(us[0].class) && !(p.denies && us[0].class == classLight) {
		return phrase{}, true
	}
	return p, false
}

// deniesLittle reports whether a wording of several words denies something by a
// word of its own.
func deniesLittle(text string) bool {
	toks := scan(text)
	for i := range toks {
		if i > 0 && toks[i].kind == tokenWord && (negators[toks[i].norm] || toks[i].norm == "nothing") {
			return true
		}
	}
	return false
}

// restOf returns the other words of a phrase of which only one unit has
// meaning.
func restOf(lx *lexicon, u unit, text string) []string {
	var out []string
	toks := lx.parse(text)
	for i := range toks {
		if toks[i].kind == tokenWord && (i < u.first || i > u.last) && !articles[toks[i].norm] && !toks[i].neg {
			out = append(out, toks[i].norm)
		}
	}
	return out
}

// pairWords speak of two, otherWords of another one.
var (
	pairWords  = set(`both two pair together neither`)
	otherWords = set(`other another different spare second swapped new`)
)

// qualifiers turn a good thing into a trouble.
var qualifiers = set(`only sometimes occasionally except`)

// alwaysWords say that something never ends.
var alwaysWords = set(`always constantly permanently continuously constant permanent continuous`)

// genericWords make up answers that could follow any question.
var genericWords = set(`used make makes made making all always never nothing none no not yes yeah yep nope both neither either every everything everywhere any anything anywhere some sometimes often rarely usually same change changes different difference fine good ok okay normal normally bad works work working does doesnt do dont did didnt is isnt it its the a an of them one time times about there still now only just most mostly much very well quite as at in on off up down to that this and or i we they he she cant wont never ever yet more less than before after since then right left first second last`)

// isGeneric reports whether every word of a phrase is generic.
func isGeneric(text string) bool {
	for _, t := range scan(text) {
		if t.kind == tokenNumber || t.kind == tokenWord && !genericWords[t.norm] {
			return false
		}
	}
	return true
}

// opensTime are the words with which a wording of a condition tells when.
var opensTime = set(`when whenever once while if as with after until`)

// orderWord returns the word of order in time that a condition hangs on.
func orderWord(text string) string {
	for _, t := range scan(text) {
		if t.norm == "after" || t.norm == "before" || t.norm == "until" {
			return t.norm
		}
	}
	return ""
}

// articles are the words that may always be left out.
var articles = set(`a an the my its it is i im ive just really very that this`)

func isParticleOrLight(c class) bool { return c == classParticle || c == classLight }

// plain returns the words of a text, normalised and joined by one blank.
func plain(text string) string {
	var w []string
	for _, t := range scan(text) {
		if t.kind != tokenPunct && t.norm != "" {
			w = append(w, t.norm)
		}
	}
	return strings.Join(w, " ")
}

func (lx *lexicon) addFindings(b *kb.Base) {
	for _, s := range b.Symptoms {
		f := &finding{id: s.ID, emit: s.ID, title: s.Title, kind: kb.FindingSymptom, system: s.System, outcomes: []kb.Outcome{{ID: "present"}, {ID: "absent"}}}
		lx.findings[s.ID] = f
		for _, k := range lx.parse(s.Title) {
			f.fails = f.fails || k.neg || k.norm == "dead"
			f.habit = f.habit || k.norm == "again" || k.norm == "keeps" || k.norm == "often"
		}
		from := len(lx.phrases)
		for _, text := range append([]string{s.Title}, s.Said...) {
			lx.add(target{targetSymptom, s.ID, "present"}, text)
		}
		for i := range lx.phrases[from:] {
			lx.phrases[from+i].whole = len(s.Of) > 0
		}
		for i := range s.Questions {
			q := &s.Questions[i]
			qf := &finding{id: q.ID, emit: q.ID, title: q.Ask, kind: kb.FindingQuestion, system: s.System, ask: q.Ask, axis: q.Axis, ordered: q.Ordered, outcomes: q.Outcomes, symptoms: map[string]bool{s.ID: true}, of: s.ID}
			lx.findings[q.ID] = qf
			lx.addOutcomes(q.ID, q.Outcomes)
			lx.learn(q.Ask)
			if qf.ages = ageBands(q.Outcomes); qf.ages != nil {
				lx.aged = append(lx.aged, qf)
			}
		}
	}
	for _, s := range b.Symptoms {
		for _, q := range s.Asks {
			if f := lx.findings[q]; f != nil && f.symptoms != nil {
				f.symptoms[s.ID] = true
			}
		}
	}
	for _, t := range b.Tests {
		f := &finding{id: t.ID, emit: t.ID, title: t.Title, kind: kb.FindingTest, system: t.System, part: t.Part, ask: t.Ask, ordered: t.Ordered, outcomes: t.Outcomes, reading: t.Reading}
		if t.Of != "" {
			f.emit = t.Of
			if of := lx.findings[t.Of]; of != nil && len(f.outcomes) == 0 {
				f.outcomes = of.outcomes
			}
		}
		f.path, f.symptoms = lx.alongPath(b, t)
		lx.findings[t.ID] = f
		if t.Reading != nil {
			lx.tests = append(lx.tests, f)
		}
		lx.addOutcomes(t.ID, t.Outcomes)
		lx.add(target{targetTest, t.ID, ""}, t.Title)
		lx.learn(t.Ask)
	}
}

func (lx *lexicon) addOutcomes(id string, outcomes []kb.Outcome) {
	for _, o := range outcomes {
		for _, text := range append([]string{o.Title}, o.Said...) {
			lx.add(target{targetOutcome, id, o.ID}, text)
		}
	}
}

func (lx *lexicon) addLists(b *kb.Base) {
	lx.bare = map[string][2]string{}
	for _, a := range b.Axes {
		for _, v := range a.Values {
			for _, text := range v.Said {
				if w, ok := strings.CutPrefix(text, "when "); ok && !strings.Contains(w, " ") {
					lx.bare[w] = [2]string{a.ID, v.ID}
				}
				lx.add(target{targetAxis, a.ID, v.ID}, text)
			}
		}
	}
	for _, e := range b.Events {
		for _, text := range e.Said {
			lx.add(target{targetEvent, e.ID, ""}, text)
		}
	}
	lx.modesOf, lx.lookModes = map[string]map[string]float64{}, map[string]map[string]float64{}
	for _, p := range b.Parts {
		lx.modesOf[p.ID] = p.Modes
	}
	for _, l := range b.Derived.Looks {
		lx.lookModes[l.ID] = l.Modes
		if l.Sound {
			lx.lookModes[l.ID] = nil
		}
		for _, text := range l.Said {
			lx.add(target{targetLook, l.ID, ""}, text)
		}
	}
	lx.acts = map[string]string{}
	for _, c := range b.Derived.ComeGo {
		for _, text := range c.Said {
			if verb, ok := strings.CutSuffix(text, " it"); ok && !strings.Contains(verb, " ") {
				lx.acts[verb] = c.ID
			}
			lx.add(target{targetComeGo, c.ID, ""}, text)
		}
	}
	for _, a := range b.Vehicle {
		for _, v := range a.Values {
			for _, text := range v.Said {
				lx.add(target{targetVehicle, a.ID, v.ID}, text)
			}
		}
	}
	for _, t := range b.Tools {
		for _, text := range append([]string{t.Title}, t.Said...) {
			lx.add(target{targetTool, t.ID, ""}, text)
		}
	}
	systems := map[string]string{}
	for _, p := range b.Parts {
		systems[p.ID] = p.System
		for _, text := range append([]string{p.Name}, p.Names...) {
			lx.add(target{targetPart, p.ID, p.System}, text)
		}
	}
	for _, w := range b.Words {
		for _, to := range w.PointsTo {
			kind, rest, _ := strings.Cut(to, ":")
			k, ok := phraseTargets[kind]
			if !ok {
				continue
			}
			id, value, _ := strings.Cut(rest, ":")
			if k == targetPart {
				value = systems[id]
			}
			for _, text := range append([]string{w.Term}, w.Forms...) {
				lx.add(target{k, id, value}, text)
			}
		}
	}
	for _, c := range b.Cards {
		for _, text := range append([]string{c.Title}, c.Said...) {
			lx.add(target{targetCard, c.ID, ""}, text)
		}
	}
	for _, c := range b.Causes {
		lx.add(target{targetCause, c.ID, c.Part}, c.Title)
	}
}

// weigh gives every concept its rarity among the phrases and anchors every
// phrase at its rarest words: one, or two when a word may be missing.
func (lx *lexicon) weigh() {
	// A word is counted once for every meaning that uses it, not for every
	// phrase: a symptom told in twenty ways does not make its own words common.
	df := make([]float64, len(lx.names))
	type use struct {
		target target
		word   int32
	}
	uses, meanings := map[use]bool{}, map[target]bool{}
	for i := range lx.phrases {
		p := &lx.phrases[i]
		meanings[p.target] = true
		for _, w := range p.words {
			if u := (use{p.target, w.id}); !uses[u] {
				uses[u] = true
				df[w.id]++
			}
		}
	}
	lx.countWays(df)
	n := float64(len(meanings)) + 1
	lx.weights = make([]float64, len(lx.names))
	for i := range lx.weights {
		lx.weights[i] = max(0.25, math.Log(n/(df[i]+1))/math.Log(n))
	}
	lx.anchors = make([][]int32, len(lx.names))
	for i := range lx.phrases {
		p := &lx.phrases[i]
		var order []int
		for k := range p.words {
			w := &p.words[k]
			w.weight = lx.weights[w.id]
			if w.class != classContent {
				w.weight = 0.12
			} else if !fineWords[lx.name(w.id)] || p.required == 1 {
				order = append(order, k) // "fine" may go unsaid
			}
			p.total += w.weight
		}
		sort.SliceStable(order, func(a, b int) bool { return p.words[order[a]].weight > p.words[order[b]].weight })
		keep := 1
		if p.required >= missingFrom {
			keep = 2
		}
		for _, k := range order[:min(keep, len(order))] {
			id := p.words[k].id
			lx.anchors[id] = append(lx.anchors[id], int32(i))
		}
	}
}

// addPlaces collects, for every test with a reading, the concepts by which
// people say what they measured: the words said with the number count most,
// those of the title and the part less, those of the terminals least.
func (lx *lexicon) addPlaces(b *kb.Base) {
	states := map[string][]string{}
	for i := range b.States {
		states[b.States[i].ID] = b.States[i].Said
	}
	requires := map[string][]string{}
	for _, t := range b.Tests {
		requires[t.ID] = t.Requires
	}
	for _, f := range lx.aged {
		f.place = map[int32]float64{}
		for _, u := range lx.units(lx.parse(f.title), false) {
			if u.id >= 0 && u.class == classContent && lx.name(u.id) != "ag" && lx.name(u.id) != "age" {
				f.place[u.id] = 1
			}
		}
	}
	for _, f := range lx.tests {
		f.place = map[int32]float64{}
		put := func(weight float64, texts ...string) {
			for _, text := range texts {
				for _, u := range lx.units(lx.parse(text), false) {
					if u.id >= 0 && u.class == classContent && !u.number && !lx.readingVerbs[lx.name(u.id)] && !timeOfDay[lx.name(u.id)] && f.place[u.id] < weight {
						f.place[u.id] = weight
					}
				}
			}
		}
		running := false
		for _, q := range requires[f.id] {
			running = running || q == "engine-running"
		}
		f.rests = f.part == "battery" && !running
		f.charges = f.part == "alternator" && running && len(requires[f.id]) <= 2 && f.reading.Unit == "V" && f.reading.Possible[0] >= 5
		put(1, f.reading.Said...)
		for _, s := range f.reading.Said {
			f.saidPlain = append(f.saidPlain, plain(s))
		}
		lx.measured[dimensionOf(f.reading.Unit)] = true
		put(0.6, f.title)
		put(0.25, f.reading.Terminals)
		f.drop = containsWords(plain(f.title), "drop")
		for i := range b.Parts {
			if b.Parts[i].ID == f.part {
				put(0.6, b.Parts[i].Name)
				put(0.6, b.Parts[i].Names...)
			}
		}
		for _, c := range f.reading.Context {
			for _, s := range c.Said {
				f.when = append(f.when, plain(s))
			}
		}
		for _, r := range requires[f.id] {
			for _, s := range states[r] {
				f.when = append(f.when, plain(s))
			}
		}
	}
}

func (lx *lexicon) finishSpelling() {
	words := make([]string, 0, len(lx.known))
	for w := range lx.known {
		words = append(words, w)
	}
	for w := range stopWords {
		lx.known[w] = true
	}
	for _, m := range []map[string]bool{lightWords, particles, negators, fineWords} {
		for w := range m {
			lx.known[w] = true
		}
	}
	for w := range unitWords {
		lx.known[w] = true
	}
	for w := range wishIndex {
		lx.known[w] = true
	}
	for form := range irregular {
		lx.known[form] = true
	}
	sort.Strings(words)
	lx.speller = newSpeller(words)
}

// spell corrects slips in words that nobody knows. A word that negates is
// never made out of one that does not, nor the other way round.
func (lx *lexicon) spell(toks []token) {
	for i := range toks {
		t := &toks[i]
		if t.kind != tokenWord || lx.known[t.norm] || lx.concept(lx.root(t.norm)) >= 0 || isEnglish(t.norm) {
			continue
		}
		if w, ok := lx.correct(t.norm); ok && !negators[w] {
			t.norm, t.fixed = w, true
			t.class = classOf(t)
		}
	}
}

package plainwords

import (
	"slices"
	"sort"
	"strings"

	"ruleout/kb"
)

// Reader turns what a person types into findings, requests and facts. It is
// made once for a knowledge base and is safe for concurrent use.
type Reader struct {
	base     *kb.Base
	lx       *lexicon
	symptom  map[string]*kb.Symptom
	systemBy map[string]string // of a part
	axis     map[string]*kb.Axis
	event    map[string]*kb.Event
	means    []meansWords
}

// meansWords are words for a way of testing.
type meansWords struct{ means, words string }

// NewReader compiles the lexicon of a knowledge base.
func NewReader(b *kb.Base) *Reader {
	r := &Reader{base: b, lx: newLexicon(b), symptom: map[string]*kb.Symptom{}, systemBy: map[string]string{}, axis: map[string]*kb.Axis{}, event: map[string]*kb.Event{}}
	for _, s := range b.Symptoms {
		r.symptom[s.ID] = s
	}
	for i := range b.Parts {
		r.systemBy[b.Parts[i].ID] = b.Parts[i].System
	}
	for i := range b.Axes {
		r.axis[b.Axes[i].ID] = &b.Axes[i]
	}
	for i := range b.Events {
		r.event[b.Events[i].ID] = &b.Events[i]
	}
	for _, m := range sortedKeys(b.Derived.MeansSaid) {
		for _, s := range b.Derived.MeansSaid[m] {
			if m != "unsaid" {
				r.means = append(r.means, meansWords{m, plain(s)})
			}
		}
	}
	return r
}

// turn is the work on one text.
type turn struct {
	*Reader
	ctx       Context
	text      string
	toks      []token
	us        []unit
	words     []saidWord // of the vocabulary, by place
	voices    []voice
	runs      []wordRun // words by clause
	matches   []match
	numbers   []number
	unitAt    []int // unit by token, or -1
	usedUnit  []bool
	symptoms  []placed // symptoms recognised, in order
	parts     []mention
	remarking bool             // remarks are being read
	wished    map[int32]string // request kind by clause
	acc       Account
	scores    map[int]float64 // of symptom observations, by index
	literal   map[int]bool    // of those, which were said to the letter
	attribute map[string]bool // of the vehicle, see attributes
	names     []match         // of parts by place, see onlyName
	index
	asides
	described  []int32        // clauses, see describing
	butFor     []int32        // clauses that deny a trouble but for an exception
	guesses    bool           // "I thought it was the fuse"
	mendedIn   map[int32]bool // clauses in which something was put right
	mendedUnit map[int]bool   // units that told it
	// asked is the finding just asked about, or nil.
	asked *finding
}

// placed is a symptom and the unit where it was said.
type placed struct {
	id   string
	unit int
	seg  int32
}

// Read returns everything the reader makes of one turn. It accepts any bytes,
// takes time linear in the length of the text, and the same text, context and
// knowledge base always give the same account.
func (r *Reader) Read(text string, ctx Context) Account { return r.read(text, ctx).acc }

func (r *Reader) read(text string, ctx Context) *turn {
	t := &turn{Reader: r, ctx: ctx, text: text, acc: Account{Text: text}, wished: map[int32]string{}, scores: map[int]float64{}, literal: map[int]bool{}, mendedIn: map[int32]bool{}, mendedUnit: map[int]bool{}}
	t.toks = r.lx.parse(text)
	r.lx.spell(t.toks)
	negate2(t.toks)
	t.us = r.lx.units(t.toks, false)
	t.words = r.lx.findWords(t.toks)
	t.prepare()
	if ctx.Asked != nil {
		t.asked = r.lx.findings[ctx.Asked.Finding]
	}
	t.numbers = quantities(text, t.toks)
	t.matches = r.lx.matches(t.toks, t.us)
	t.addCarried()
	t.matches = slices.DeleteFunc(t.matches, func(m match) bool { return t.awaited(&m) })
	t.findAsides()
	t.leaveAsides()
	t.leaveHeadless()
	t.setDescriptionAside()
	sortMatches(t.matches)
	t.indexMatches()

	t.findSymptoms()
	t.findParts()
	t.indexParts()
	t.findMends()
	t.answer()
	t.indexAnswers()
	t.findRequests()
	t.findOutcomes()
	t.findVehicle()
	t.partStates()
	t.pronounParts()
	t.findTools()
	t.findCodes()
	t.findCircumstances()
	t.indexTold()
	t.findConditions()
	t.findEvents()
	t.findMoves()
	t.findAges()
	t.attachNumbers()
	t.findRemarks()
	if n := len(t.parts); n > 0 {
		t.acc.Part = t.parts[n-1].part
	}
	t.dropEchoes()
	t.toldBothWays()
	t.tidy()
	t.addItems()
	t.spans()
	return t
}

// negate2 repeats the scoping after spelling, when a corrected word may have
// changed its class.
func negate2(toks []token) {
	fixed := false
	for i := range toks {
		fixed = fixed || toks[i].fixed
	}
	if !fixed {
		return
	}
	for i := range toks {
		toks[i].neg, toks[i].under, toks[i].affirmed = false, false, false
	}
	negate(toks)
}

func (t *turn) prepare() {
	t.voices = t.lx.voices(t.toks, t.words)
	t.runs = make([]wordRun, len(t.voices))
	t.unitAt = make([]int, len(t.toks))
	for i := range t.toks {
		t.unitAt[i] = -1
		if t.toks[i].kind != tokenPunct {
			c := t.toks[i].clause
			t.runs[c] = append(t.runs[c], i)
		}
	}
	for u := range t.us {
		for k := t.us[u].first; k <= t.us[u].last; k++ {
			t.unitAt[k] = u
		}
	}
	t.usedUnit = make([]bool, len(t.us))
}

// use marks the units of a match as used.
func (t *turn) use(m *match) {
	for _, u := range m.units {
		t.useUnit(u)
	}
	for k := t.firstToken(m); k < t.us[m.first].first; k++ {
		if t.toks[k].neg {
			t.toks[k].state = SpanUsed
		}
	}
}

func (t *turn) useUnit(u int) {
	t.usedUnit[u] = true
	for k := t.us[u].first; k <= t.us[u].last; k++ {
		t.toks[k].state = SpanUsed
	}
}

func (t *turn) useTokens(first, last int) {
	for k := first; k <= last; k++ {
		t.toks[k].remarked = t.remarking && t.toks[k].state != SpanUsed
		t.toks[k].state = SpanUsed
		if u := t.unitAt[k]; u >= 0 {
			t.usedUnit[u] = true
		}
	}
}

// span returns the bytes a match covers.
func (t *turn) span(m *match) (start, end int) {
	return t.toks[t.firstToken(m)].start, t.toks[t.us[m.last].last].end
}

// firstToken is the first token of a match, or the negation just before it.
func (t *turn) firstToken(m *match) int {
	first := t.us[m.first].first
	if !t.us[m.first].under {
		return first
	}
	for k := first - 1; k >= 0 && k >= first-3 && t.toks[k].clause == t.toks[first].clause; k-- {
		if t.toks[k].neg {
			return k
		}
		if t.toks[k].class == classContent {
			break
		}
	}
	return first
}

// observe adds an observation with the voice of the clause it stands in.
func (t *turn) observe(o Observation, clause int32) *Observation {
	v := &t.voices[clause]
	if o.Hedge == "" {
		o.Hedge = v.hedge
	}
	if o.Source == "" {
		o.Source = v.source
	}
	if o.Era == "" {
		o.Era = v.era
	}
	if o.Present == "" {
		o.Present = v.present
	}
	o.Certainty = t.certainty(o.Source, o.Hedge)
	t.acc.Observations = append(t.acc.Observations, o)
	return &t.acc.Observations[len(t.acc.Observations)-1]
}

// Reliabilities where the derived table gives none. Basis: memory.
var (
	sourceDefault = map[string]float64{"measured": 0.95, "seen": 0.95, "tried": 0.9, "remembered": 0.75, "told": 0.6, "shop": 0.4}
	hedgeDefault  = map[string]float64{"sure": 1, "plain": 1, "think": 0.85, "maybe": 0.7}
)

func (t *turn) certainty(source, hedge string) float64 {
	s, ok := t.base.Derived.Sources[source]
	if !ok {
		s = sourceDefault[source]
	}
	h, ok := t.base.Derived.Hedges[hedge]
	if !ok {
		h = hedgeDefault[hedge]
	}
	return float64(s * h)
}

// words returns the text of the clause.
func (t *turn) clauseText(c int32) (string, int, int) {
	v := &t.voices[c]
	s, e := t.toks[v.first].start, t.toks[v.last].end
	return strings.TrimSpace(t.text[s:e]), s, e
}

// tidy drops what a correction replaced and repeats, and orders the
// observations by their place in the turn.
func (t *turn) tidy() {
	obs := t.acc.Observations
	sort.SliceStable(obs, func(i, j int) bool {
		if obs[i].Start != obs[j].Start {
			return obs[i].Start < obs[j].Start
		}
		return obs[i].Finding < obs[j].Finding
	})
	type key struct{ finding, outcome, item, era, written string }
	seen := map[key]int{} // 1 + place among those kept
	lastOf := map[string]int{}
	fix := t.corrections()
	keep := obs[:0]
	for _, o := range obs {
		k := key{o.Finding, o.Outcome, o.Item, o.Era, ""}
		if o.Reading != nil {
			k.written = o.Reading.Written
		}
		if at := seen[k]; at > 0 {
			keep[at-1].Answer = keep[at-1].Answer || o.Answer
			continue
		}
		ik := o.Finding + "\x00" + o.Era
		if at, ok := lastOf[ik]; ok && correctedBetween(fix, keep[at].End, o.Start) {
			keep[at] = o
			seen[k] = at + 1
			continue
		}
		seen[k] = len(keep) + 1
		lastOf[ik] = len(keep)
		keep = append(keep, o)
	}
	t.acc.Observations = keep
	sort.SliceStable(t.acc.Requests, func(i, j int) bool { return t.acc.Requests[i].Start < t.acc.Requests[j].Start })
}

// corrections returns the byte offsets at which the person corrects what was
// just said.
func (t *turn) corrections() []int {
	var out []int
	for i := 0; i+1 < len(t.toks); i++ {
		a, b := t.toks[i].norm, t.toks[i+1].norm
		switch {
		case a == "no" && b == "wait", a == "i" && b == "meant", a == "sorry" && b == "i", a == "correction", a == "scrap" && b == "that", a == "no" && b == "sorry", a == "make" && b == "that", a == "wait" && b == "no", a == "hang" && b == "on":
			out = append(out, t.toks[i].start)
		}
	}
	return out
}

func correctedBetween(fix []int, from, to int) bool {
	i := sort.SearchInts(fix, from)
	return i < len(fix) && fix[i] <= to
}

// spans accounts for every byte of the turn.
func (t *turn) spans() {
	for i := range t.toks {
		k := &t.toks[i]
		if k.state == SpanUsed {
			continue
		}
		k.state = SpanUnread
		if k.kind == tokenPunct || k.class != classContent || t.isManner(i) {
			k.state = SpanFiller
		}
	}
	if t.nothing() {
		for i := range t.toks {
			if t.toks[i].kind == tokenWord {
				t.toks[i].state = SpanUnread // said openly rather than dropped
			}
		}
	}
	put := func(start, end int, kind SpanKind) {
		if start >= end {
			return
		}
		if n := len(t.acc.Spans); n > 0 && t.acc.Spans[n-1].Kind == kind {
			t.acc.Spans[n-1].End = end
			return
		}
		t.acc.Spans = append(t.acc.Spans, Span{start, end, kind})
	}
	at := 0
	for i := range t.toks {
		put(at, t.toks[i].start, SpanFiller)
		put(t.toks[i].start, t.toks[i].end, t.toks[i].state)
		at = t.toks[i].end
	}
	put(at, len(t.text), SpanFiller)
	for c := range t.voices {
		v := &t.voices[c]
		unread, neg := 0, false
		if v.first < 0 {
			continue
		}
		for i := v.first; i <= v.last; i++ {
			if (t.toks[i].state == SpanUnread || t.toks[i].remarked && t.toks[i].class == classContent && !t.isManner(i)) && t.toks[i].kind == tokenWord {
				unread++
			}
			neg = neg || t.toks[i].neg
		}
		if unread == 0 || t.wished[int32(c)] != "" && unread < 2 {
			continue
		}
		text, s, e := t.clauseText(int32(c))
		t.acc.Unplaced = append(t.acc.Unplaced, Unplaced{Text: text, Start: s, End: e, Negated: neg})
	}
}

// reported reports whether a token's clause tells what somebody else said.
func (t *turn) reported(i int) bool {
	v := &t.voices[t.toks[i].clause]
	return v.source == "shop" || v.source == "told"
}

// isManner reports words that colour a statement but say nothing by
// themselves: they were taken in as its voice.
func (t *turn) isManner(i int) bool {
	w := t.toks[i].norm
	_, hedge := hedgeWords[w]
	return hedge || fineWords[w] || t.related(i) || onlyWords[w] || (t.lx.shops[w] || t.lx.tellers[w]) && t.reported(i) || negators[w] || telling[w] || w == "same" || w == "difference" || w == "problem"
}

// related reports whether a token is a word of relation ("worse", "eases off").
func (t *turn) related(i int) bool {
	at := sort.Search(len(t.words), func(k int) bool { return t.words[k].first > i-4 })
	for ; at < len(t.words) && t.words[at].first <= i; at++ {
		if w := &t.words[at]; w.kind == "relation" && i <= w.last {
			return true
		}
	}
	return false
}

// leastTold is the number of words a telling has; a shorter turn that says nothing
// is a sigh.
const leastTold = 4

// nothing reports whether a turn of several words came to nothing at all, not
// even words that were not used.
func (t *turn) nothing() bool {
	a := &t.acc
	if len(a.Observations)+len(a.Requests)+len(a.Vehicle)+len(a.Tools)+len(a.Codes)+len(a.Circumstances)+len(a.Remarks)+len(a.Mends)+len(a.Numbers) > 0 {
		return false
	}
	words := 0
	for i := range t.toks {
		if t.toks[i].state == SpanUnread || t.toks[i].state == SpanUsed {
			return false
		}
		words += b2i(t.toks[i].kind == tokenWord)
	}
	return words >= leastTold
}

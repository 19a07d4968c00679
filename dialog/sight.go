package dialog

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"ruleout/dialog/belief"
	"ruleout/dialog/circuit"
	"ruleout/kb"
)

// sight is a finding of which a circuit predicts what it shows: a check of the
// circuit itself, or a test or question that the circuit knows as one.
type sight struct {
	w *wiring
	// key names the check, the same for a finding that is this check under
	// another name; of a finding that is several checks it is its own id.
	key     string
	finding *kb.Finding
	// check is what a number reads and x what it shows under each variant;
	// x is nil where nothing is read.
	check circuit.Check
	x     []float64
	// shows is P(outcome | variant).
	shows [][]float64
	// table is the finding with nothing else known of the circuit.
	table *belief.Finding
	// own is true for a check of the circuit itself.
	own bool
	// mapping is how an article's finding is seen, for the others.
	mapping mapped
	pairs   pairSight
}

// absent is the outcome of looking for what the car does not have.
const absent = "no-such"

// sightSlip is the share of outcomes that are seen or told wrongly. Basis:
// memory; readings have their own (circuit.Slip).
const sightSlip = 0.03

// sightsKept is the most checks in states that no article lists that are kept.
const sightsKept = 4000

// sight returns what a circuit knows of a finding, or nil. Its first use
// solves the circuit; it is kept, since it depends on the articles alone.
func (e *Engine) sight(id string) *sight {
	if x, ok := e.sights.Load(id); ok {
		return x.(*sight)
	}
	var x *sight
	if m, ok := e.mapped[id]; ok {
		x = e.mappedSight(id, m)
	} else if strings.HasPrefix(id, circuitPrefix) {
		x = e.ownSight(id)
	}
	if x == nil {
		return nil
	}
	x.table = e.tableOf(x, nil)
	if e.sightCount.Add(1) <= sightsKept {
		e.sights.Store(id, x)
	}
	return x
}

// ownSight makes the finding of one check.
func (e *Engine) ownSight(id string) *sight {
	w, ch, ok := e.parseCheck(id)
	if !ok {
		return nil
	}
	x, err := w.predict(id, ch)
	if err != nil {
		return nil
	}
	s := &sight{w: w, key: w.key(ch), check: ch, x: x, own: true}
	f := &kb.Finding{ID: id, Kind: kb.FindingTest, Article: w.article.ID, System: w.article.System, Title: w.checkTitle(ch), Order: "measure"}
	s.finding = f
	bands := bandsOf(ch.What, x)
	for _, b := range bands {
		o := kb.Outcome{ID: bandID(ch.What, b), Title: circuit.BandWords(ch.What, b)}
		if ch.What == circuit.Works || ch.What == circuit.Clicks {
			o.Title = w.c.EffectWords(ch.Element, circuit.Effect(b))
		}
		f.Outcomes = append(f.Outcomes, o)
	}
	lacks := slices.ContainsFunc(x, math.IsNaN)
	if lacks {
		f.Outcomes = append(f.Outcomes, kb.Outcome{ID: absent, Title: w.lackWords(ch, x)})
	}
	f.Ask = w.askWords(ch)
	if unit := unitOf(ch.What); unit != "" {
		f.Reading = w.readingOf(ch, bands, unit)
	}
	for _, v := range x {
		s.shows = append(s.shows, bandShows(ch.What, bands, lacks, v))
	}
	return s
}

// lackWords says of a car that it has not what a check needs: the part that
// every wiring with it has and no wiring without it: what is pulled, else a relay
// first.
func (w *wiring) lackWords(ch circuit.Check, x []float64) string {
	has := map[int]bool{}
	for v, value := range x {
		if a := w.c.ArrangementAt(v); !math.IsNaN(value) {
			has[a] = true
		}
	}
	best := ""
	for i := range w.article.Elements {
		el := &w.article.Elements[i]
		tells := true
		for a := range w.article.Arrangements {
			tells = tells && w.c.Has(a, el.ID) == has[a]
		}
		if !tells {
			continue
		}
		if el.Type == "relay" || el.ID == ch.Element || w.pulls(ch.Setup, el.ID) {
			return "it has no " + el.Title
		}
		if best == "" && (el.Type == "switch" || el.Type == "sender") {
			best = "it has no " + el.Title
		}
	}
	switch {
	case best != "":
		return best
	case len(ch.Setup.Pulled) > 0:
		return "it has nothing there to unplug"
	}
	return "it has no such wire or plug"
}

// pulls reports whether a part is pulled in a state.
func (w *wiring) pulls(s circuit.Setup, element string) bool {
	return slices.ContainsFunc(s.Pulled, func(id string) bool {
		p := w.pull(id)
		return p != nil && slices.Contains(p.Elements, element)
	})
}

// bandShows is P(outcome) of a check that shows a value; lacks says that there
// is an outcome for what the car has not.
func bandShows(what circuit.What, bands []int, lacks bool, v float64) []float64 {
	n := len(bands)
	at := slices.Index(bands, circuit.Band(what, v))
	if lacks {
		n++
		if math.IsNaN(v) {
			at = n - 1
		}
	}
	p := make([]float64, n)
	for o := range p {
		p[o] = sightSlip / float64(n)
		if o == at {
			p[o] += 1 - sightSlip
		}
	}
	return p
}

// bandsOf lists the bands a check may be told in: for a meter all that it can
// show up to the greatest predicted, for a part what it can do.
func bandsOf(w circuit.What, x []float64) []int {
	switch w {
	case circuit.Volts:
		out := []int{0, 1, 2, 3, 4, 5, 6, 7}
		for _, v := range x {
			if b := circuit.Band(w, v); b > 7 {
				return append(out, circuit.Band(w, -1))
			}
		}
		return out
	case circuit.Works, circuit.Clicks:
		out := []int{int(circuit.Nothing), int(circuit.Full)}
		for _, v := range x {
			if b := circuit.Band(w, v); b >= 0 && !slices.Contains(out, b) {
				out = append(out, b)
			}
		}
		if w == circuit.Works && !slices.Contains(out, int(circuit.Weak)) {
			out = append(out, int(circuit.Weak))
		}
		slices.Sort(out)
		return out
	}
	top := 0
	for _, v := range x {
		if b := circuit.Band(w, v); b >= 0 && b != circuit.BandOpen {
			top = max(top, b)
		}
	}
	var out []int
	for b := 0; b <= top; b++ {
		out = append(out, b)
	}
	if w != circuit.Amps {
		out = append(out, circuit.BandOpen)
	}
	return out
}

func bandID(w circuit.What, band int) string {
	if w == circuit.Works || w == circuit.Clicks {
		return [...]string{"nothing", "weak", "full", "reverse", "buzzes"}[band]
	}
	if band == circuit.BandOpen {
		return "open"
	}
	return fmt.Sprintf("band-%d", band)
}

// unitOf is the unit of the check's number in the articles' writing, or "".
func unitOf(w circuit.What) string {
	switch w {
	case circuit.Volts:
		return "V"
	case circuit.Amps:
		return "A"
	case circuit.Ohms, circuit.Bench:
		return "ohm"
	}
	return ""
}

// readingOf describes the number that a check of a circuit yields.
func (w *wiring) readingOf(ch circuit.Check, bands []int, unit string) *kb.Reading {
	r := &kb.Reading{Unit: unit, Basis: "memory", Terminals: w.leads(ch)}
	switch unit {
	case "V":
		r.Quantity, r.Meter, r.Possible = "voltage", "20 V DC", [2]float64{-20, 20}
	case "A":
		r.Quantity, r.Meter, r.Possible = "current", "10 A DC, in line; a clamp meter above that", [2]float64{0, 2000}
	default:
		r.Quantity, r.Meter, r.Possible = "resistance", "200 Ω, one range up if it shows OL", [2]float64{0, 1e9}
	}
	for _, b := range bands {
		if b == circuit.BandMissing {
			continue
		}
		low, high := circuit.BandRange(ch.What, b)
		k := kb.Band{Outcome: bandID(ch.What, b)}
		if !math.IsInf(low, -1) && low > 0 {
			k.From = &low
		}
		if !math.IsInf(high, 1) && b != circuit.BandOpen {
			k.To = &high
		}
		r.Bands = append(r.Bands, k)
	}
	return r
}

// ways are the ways in which a circuit may be: its variants, or two causes
// together.
type ways struct {
	n           int
	arrangement func(way int) int
	predict     func(id string, ch circuit.Check) ([]float64, error)
}

// alone are the variants: no fault, or one.
func (w *wiring) alone() ways { return ways{w.c.Variants(), w.c.ArrangementAt, w.predict} }

// mappedSight makes the sight of a test or question of another article.
func (e *Engine) mappedSight(id string, m mapped) *sight {
	f := e.base.Finding(id)
	if f == nil {
		return nil
	}
	s := &sight{w: m.w, key: id, finding: f, mapping: m}
	var single map[string]bool
	if s.shows, single = e.mappedShows(f, m, m.w.alone()); s.shows == nil {
		return nil
	}
	if ch, ok := m.number(f); ok {
		s.check = ch
		s.x, _ = m.w.predict(m.w.checkID(ch), ch)
	}
	if len(single) == 1 {
		for id := range single {
			s.key = id
		}
	}
	return s
}

// number is the one check whose number a mapped finding reads.
func (m mapped) number(f *kb.Finding) (circuit.Check, bool) {
	if m.o.Reading == "" || f.Reading == nil {
		return circuit.Check{}, false
	}
	k, err := kb.ParseCircuitSight(m.o.Reading)
	if err != nil {
		return circuit.Check{}, false
	}
	chs := m.w.checksOf(k)
	if len(chs) != 1 {
		return circuit.Check{}, false
	}
	return chs[0], true
}

// mappedShows is P(outcome) of a mapped finding in each way, with the keys of
// the checks it is made of; nil where the circuit can tell nothing of it.
func (e *Engine) mappedShows(f *kb.Finding, m mapped, in ways) ([][]float64, map[string]bool) {
	w := m.w
	score := map[int][]float64{} // by outcome, over the ways
	single := map[string]bool{}
	// weigh adds one way to come to an outcome: all of its sights together.
	weigh := func(outcome int, texts []string) {
		way := slices.Repeat([]float64{1}, in.n)
		for _, text := range texts {
			k, err := kb.ParseCircuitSight(text)
			if err != nil {
				return
			}
			l, ids := e.sightScore(w, k, in)
			if l == nil {
				return
			}
			for _, id := range ids {
				single[id] = true
			}
			for v := range l {
				way[v] *= l[v]
			}
		}
		if score[outcome] == nil {
			score[outcome] = make([]float64, len(way))
		}
		for v := range way {
			score[outcome][v] += way[v]
		}
	}
	if m.o.Reading != "" && f.Reading != nil {
		k, err := kb.ParseCircuitSight(m.o.Reading)
		if err == nil {
			for _, b := range f.Reading.Bands {
				if len(m.o.Outcomes[b.Outcome]) > 0 {
					continue
				}
				k.Low, k.High, k.Valued = -math.MaxFloat64, math.MaxFloat64, true
				if b.From != nil {
					k.Low = *b.From
				}
				if b.To != nil {
					k.High = *b.To
				}
				if l, ids := e.sightScore(w, k, in); l != nil {
					for _, id := range ids {
						single[id] = true
					}
					score[f.OutcomeIndex(b.Outcome)] = l
				}
			}
		}
	}
	for _, o := range sortedKeys(m.o.Outcomes) {
		texts := m.o.Outcomes[o]
		for from := 0; from < len(texts); {
			to := from
			for to < len(texts) && texts[to] != kb.CircuitOr {
				to++
			}
			weigh(f.OutcomeIndex(o), texts[from:to])
			from = to + 1
		}
	}
	if len(score) == 0 {
		return nil, nil
	}
	free := 0.0 // of the outcomes that say nothing of the circuit
	for o, b := range f.Base {
		if score[o] == nil {
			free += b
		}
	}
	var shows [][]float64
	for v := range in.n {
		p := make([]float64, len(f.Outcomes))
		sum := 0.0
		for o := range p {
			if score[o] != nil {
				sum += score[o][v]
			}
		}
		for o := range p {
			switch {
			case score[o] == nil:
				p[o] = f.Base[o]
			case sum > 0:
				p[o] = (1 - free) * (score[o][v]/sum*(1-sightSlip) + sightSlip/float64(len(score)))
			default:
				p[o] = (1 - free) / float64(len(score))
			}
		}
		shows = append(shows, p)
	}
	return shows, single
}

// checksOf lists the checks that a sight means: one, or one for each element
// where several are named.
func (w *wiring) checksOf(k kb.CircuitSight) []circuit.Check {
	setup, ok := w.state(k.Setup)
	if !ok {
		return nil
	}
	b := k.B
	if b == "" {
		b = w.article.Ground
	}
	switch k.What {
	case "volts":
		return []circuit.Check{{Setup: setup, What: circuit.Volts, A: k.A, B: b}}
	case "ohms":
		return []circuit.Check{{Setup: setup, What: circuit.Ohms, A: k.A, B: b}}
	}
	var out []circuit.Check
	for _, id := range k.Elements {
		ch := circuit.Check{Setup: setup, Element: id}
		switch {
		case k.What == "bench":
			ch.What, ch.A, ch.B = circuit.Bench, k.A, k.B
		case k.What == "amps":
			ch.What = circuit.Amps
		case w.element(id) != nil && w.element(id).Type == "relay" && !setup.Acts():
			ch.What = circuit.Clicks
		default: // of a relay, in which state it is then, not whether it moved
			ch.What = circuit.Works
		}
		out = append(out, ch)
	}
	return out
}

// sightScore is how likely a sight is in each way, on any scale, with
// the ids of its checks; nil where the circuit can't have it.
func (e *Engine) sightScore(w *wiring, k kb.CircuitSight, in ways) ([]float64, []string) {
	var out []float64
	var ids []string
	for _, ch := range w.checksOf(k) {
		if w.c.Valid(ch) != nil {
			return nil, nil
		}
		id := w.checkID(ch)
		x, err := in.predict(id, ch)
		if err != nil {
			return nil, nil
		}
		ids = append(ids, w.key(ch))
		if out == nil {
			out = make([]float64, len(x))
		}
		for v := range x {
			// The element that the arrangement has is meant.
			if p := w.c.Within(ch, x[v], k.Low, k.High); !math.IsNaN(x[v]) && out[v] == 0 {
				out[v] = max(p, 1e-9)
			}
			if math.IsNaN(x[v]) && k.What == "works" && k.Low == 0 && len(k.Elements) == 1 && !w.c.Has(in.arrangement(v), ch.Element) {
				out[v] = 1 // what is not there does nothing
			}
		}
	}
	return out, ids
}

// likes is how likely what was told is where the check shows the values x, if
// it shows a number, and the outcomes as in shows, relative to something that
// tells nothing.
func (x *sight) likes(n *observed, lambda []float64, r float64, values []float64, shows [][]float64) []float64 {
	if values != nil && n.quantity != nil {
		value := n.quantity.Value
		o := circuit.Observation{Check: x.check, Value: value, Reliability: r}
		switch {
		case n.quantity.Infinite:
			o.Value = circuit.OpenOhms
		case n.quantity.High > n.quantity.Low:
			o.Low, o.High = n.quantity.Low, n.quantity.High
		}
		if l, err := x.w.c.Likes(o, values); err == nil {
			return l
		}
	}
	out := make([]float64, len(shows))
	for v, p := range shows {
		for o, l := range lambda {
			out[v] += float64(p[o] * l)
		}
		out[v] *= float64(len(lambda))
	}
	return out
}

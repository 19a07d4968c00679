package dialog

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"ruleout/dialog/belief"
	"ruleout/dialog/circuit"
)

// standing is what is known of one circuit in one case: everything that was
// seen of it, taken together over arrangement, fault and size of the fault.
type standing struct {
	w      *wiring
	shares map[string]float64
	seen   []seen
	stand  *circuit.Stand
	// vars is P(variant | hypothesis, all seen).
	vars []float64
	keys map[string]bool // of the checks that were seen
	// weights is the likelihood of all seen by hypothesis (nil: nothing seen).
	weights *circuit.Weights
	// upto is L(cause) over L(sound) after each thing seen.
	upto []map[int]float64
	// inBoth is the likelihood by arrangement under two causes together.
	inBoth map[[2]int][]float64
	// arrangement and hypothesis hold the posterior; filled by believe.
	arrangement []float64
	hypothesis  []float64
}

// seen is one finding of the circuit as it was told.
type seen struct {
	note  int // its place in State.Notes
	sight *sight
	like  []float64 // by variant
	both  []float64 // by what the sight can show with two causes together
	// others is what it says of causes that are no fault of the circuit,
	// against a sound one.
	others map[int]float64
	observed
}

// wired is what is known of how a vehicle is wired.
type wired struct {
	Arrangement string
	Probability float64
}

// standings gathers what was seen of each circuit, in the order of ids. Notes
// that they take are no evidence of their own.
func (e *Engine) standings(s *State) ([]*standing, map[int]bool) {
	taken := map[int]bool{}
	by := map[*wiring]*standing{}
	last := map[string]int{} // the newest note of each check and source
	for i := range s.Notes {
		n := &s.Notes[i]
		if n.struck || !n.Weighs || n.Era == "before" {
			continue
		}
		x := e.sight(n.Finding)
		if x == nil {
			continue
		}
		taken[i] = true
		if n.present == "no" || n.era < s.era() && e.disturbed(s, x.w, n.era) {
			continue // history
		}
		last[x.w.article.ID+"|"+x.key] = i
	}
	order := make([]int, 0, len(last))
	for _, i := range last {
		order = append(order, i)
	}
	slices.Sort(order)
	for _, i := range order {
		n := &s.Notes[i]
		x := e.sight(n.Finding)
		st := by[x.w]
		if st == nil {
			st = e.standingOf(s, x.w)
			by[x.w] = st
		}
		e.see(s, st, i, x)
	}
	var out []*standing
	for _, w := range e.circuits {
		if st := by[w]; st != nil {
			st.vars = st.stand.Variants()
			out = append(out, st)
		}
	}
	return out, taken
}

// standingOf begins with nothing seen.
func (e *Engine) standingOf(s *State, w *wiring) *standing {
	st := &standing{w: w, shares: e.arrangementShares(s, w), keys: map[string]bool{}}
	stand, err := w.c.Stand(st.shares)
	if err != nil {
		// No arrangement fits this vehicle: then any may be.
		st.shares = nil
		stand, _ = w.c.Stand(nil)
	}
	st.stand = stand
	st.vars = stand.Variants()
	return st
}

// see takes in one note.
func (e *Engine) see(s *State, st *standing, i int, x *sight) {
	n := &s.Notes[i]
	r := math.Min(n.Certainty, 0.99)
	if r <= 0 {
		return
	}
	f := x.finding
	var lambda []float64
	if x.x == nil || n.quantity == nil {
		if lambda = e.lambda(s, f, n); lambda == nil {
			return
		}
	}
	sn := seen{note: i, sight: x, like: x.likes(n, lambda, r, x.x, x.shows), observed: *n}
	p := e.paired(x)
	sn.both = x.likes(n, lambda, r, p.values, p.shows)
	if !x.own {
		sn.others = e.othersSay(s, x, n)
	}
	st.stand.Saw(sn.like)
	st.weights = st.stand.Weights()
	st.upto = append(st.upto, st.ratios(st.weights, &sn))
	st.seen = append(st.seen, sn)
	st.keys[x.key] = true
}

// othersSay is what a test of an article says of causes that are no fault of
// the circuit, as the article has it.
func (e *Engine) othersSay(s *State, x *sight, n *observed) map[int]float64 {
	t := e.findings[x.finding.ID]
	lambda := e.lambda(s, x.finding, n)
	if t == nil || lambda == nil {
		return nil
	}
	base := 0.0
	for o, l := range lambda {
		base += float64(t.Base[o] * l)
	}
	out := map[int]float64{}
	for _, row := range t.Rows {
		if _, mine := x.w.of[row.Cause]; mine || base <= 0 {
			continue
		}
		p := 0.0
		for o, l := range lambda {
			p += float64(max(row.P[o], 1e-4) * l)
		}
		out[row.Cause] = p / base
	}
	return out
}

// disturbed reports whether something that is a fault of the circuit was
// mended with an effect since the era.
func (e *Engine) disturbed(s *State, w *wiring, era int) bool {
	for i := range s.Notes {
		n := &s.Notes[i]
		if n.struck || !n.Weighs || n.era <= era || n.Outcome == "same" || n.Outcome == "" {
			continue
		}
		if !strings.HasSuffix(n.Finding, ":replaced") && !strings.HasPrefix(n.Finding, "repair:") {
			continue
		}
		_, t := e.finding(n.Finding, n.means)
		if t != nil && slices.ContainsFunc(t.Rows, func(r belief.Row) bool { _, mine := w.of[r.Cause]; return mine }) {
			return true
		}
	}
	return false
}

// arrangementShares is P(arrangement | vehicle).
func (e *Engine) arrangementShares(s *State, w *wiring) map[string]float64 {
	out := map[string]float64{}
	total := 0.0
	for i := range w.article.Arrangements {
		a := &w.article.Arrangements[i]
		out[a.ID] = a.Share * e.applies(s, a.Applies)
		total += out[a.ID]
	}
	if total <= 0 {
		return nil
	}
	for _, a := range w.article.Arrangements {
		out[a.ID] /= total
	}
	// What an earlier case on this vehicle found.
	if g, ok := s.Wired[w.article.ID]; ok && out[g.Arrangement] > 0 && out[g.Arrangement] < 1 {
		rest := 1 - out[g.Arrangement]
		for _, a := range w.article.Arrangements {
			if a.ID != g.Arrangement {
				out[a.ID] *= (1 - g.Probability) / rest
			}
		}
		out[g.Arrangement] = g.Probability
	}
	return out
}

// composite is the standing as evidence: the likelihood of everything seen
// under each cause, in place of one piece of evidence a finding.
func (st *standing) composite() belief.Evidence {
	w := st.w
	c := &belief.Composite{ID: circuitPrefix + w.article.ID, Base: st.likelihood(0)}
	single := map[int]float64{}
	for h, n := range w.cause {
		if n >= 0 {
			single[n] = st.likelihood(h)
		}
	}
	for _, n := range w.kin {
		single[n] = w.mixed(n, st.likelihood)
	}
	for _, n := range st.otherCauses() {
		l := c.Base
		for _, sn := range st.seen {
			if r, ok := sn.others[n]; ok {
				l *= r
			}
		}
		single[n] = l
	}
	for _, n := range sortedCauses(single) {
		c.Singles = append(c.Singles, belief.Local{Cause: n, L: single[n]})
	}
	c.Pairs = st.coupled()
	// With a cause outside of the circuit, of which no netlist tells: where one
	// of the two shows nothing they weigh as the other alone, which is what the
	// composite does without being told.
	var telling []int
	for _, s := range c.Singles {
		if slices.Contains(w.kin, s.Cause) {
			continue
		}
		if r := s.L / c.Base; r > 1.2 || r < 0.8 {
			telling = append(telling, s.Cause)
		}
	}
	ways := make([][][]way, len(telling))
	for i, a := range telling {
		ways[i] = st.ways(a)
	}
	for i, a := range telling {
		for k := i + 1; k < len(telling); k++ {
			b := telling[k]
			if _, known := st.inBoth[[2]int{a, b}]; !known {
				c.Pairs = append(c.Pairs, belief.LocalPair{A: a, B: b, L: st.pair(a, b, ways[i], ways[k])})
			}
		}
	}
	st.withKin(c)
	slices.SortFunc(c.Pairs, func(p, q belief.LocalPair) int { return cmp.Or(p.A-q.A, p.B-q.B) })
	return belief.Evidence{Composite: c, Label: c.ID}
}

// otherCauses lists the causes outside of the circuit that what was seen
// speaks of.
func (st *standing) otherCauses() []int {
	set := map[int]float64{}
	for _, sn := range st.seen {
		for n := range sn.others {
			set[n] = 1
		}
	}
	return sortedCauses(set)
}

// way is one way in which a hypothesis can be there: a variant with its
// weight within the arrangement.
type way struct {
	variant int
	weight  float64
}

// ways lists by arrangement the ways of a cause; of one outside the circuit
// the sound variant.
func (st *standing) ways(cause int) [][]way {
	w := st.w
	out := make([][]way, len(w.sound))
	of, mine := w.of[cause]
	if !mine {
		for a, v := range w.sound {
			out[a] = []way{{v, 1}}
		}
		return out
	}
	for _, x := range of {
		for _, v := range w.c.VariantsOf(x.hypothesis) {
			a := w.c.ArrangementAt(v)
			out[a] = append(out[a], way{v, float64(x.share * w.c.WeightOf(v))})
		}
	}
	return out
}

// pair is the likelihood of all that was seen under two causes together, of
// which at most one is a fault of the circuit or which no arrangement can have
// both. What one of them alone leaves as it is in a sound circuit is as the
// other makes it; what both change is as either makes it, with even chance.
// Sizes and arrangements are summed over jointly.
func (st *standing) pair(a, b int, wa, wb [][]way) float64 {
	w := st.w
	sum, mass := 0.0, 0.0
	for arr := range w.sound {
		share := st.stand.Prior(arr)
		if len(wa[arr]) == 0 || len(wb[arr]) == 0 || share == 0 {
			continue
		}
		mass += share
		for _, x := range wa[arr] {
			for _, y := range wb[arr] {
				l := float64(x.weight * y.weight)
				for i := range st.seen {
					sn := &st.seen[i]
					l0 := sn.like[w.sound[arr]]
					la, lb := sn.of(a, x.variant), sn.of(b, y.variant)
					switch {
					case alike(la, l0):
						l *= lb
					case alike(lb, l0):
						l *= la
					default:
						l *= (la + lb) / 2
					}
				}
				sum += float64(share * l)
			}
		}
	}
	if mass == 0 {
		return math.Pow(circuit.Slip, float64(len(st.seen)))
	}
	return sum / mass
}

// of is the likelihood under a cause in one of its ways.
func (sn *seen) of(cause, variant int) float64 {
	if r, ok := sn.others[cause]; ok {
		return sn.like[variant] * r
	}
	return sn.like[variant]
}

func alike(a, b float64) bool { return math.Abs(a-b) <= 1e-9*math.Max(a, b) }

// believe works out the posterior of hypotheses and arrangements from that of
// the causes.
func (st *standing) believe(post *belief.Posterior) {
	w := st.w
	st.hypothesis = make([]float64, len(w.cause))
	rest := 1.0
	for h, n := range w.cause {
		if n >= 0 {
			st.hypothesis[h] = post.Singles[n]
		}
	}
	for _, n := range w.kin {
		st.add(n, post.Singles[n])
	}
	var couples []belief.Pair
	for _, p := range post.Pairs {
		if _, known := st.inBoth[[2]int{p.A, p.B}]; known {
			couples = append(couples, p)
			rest -= p.P
			continue
		}
		for _, n := range []int{p.A, p.B} {
			st.add(n, p.P/2)
		}
	}
	for _, p := range st.hypothesis {
		rest -= p
	}
	st.hypothesis[0] = max(rest, 0)
	st.arrangement = make([]float64, len(w.sound))
	total := 0.0
	for v, p := range st.vars {
		x := float64(p * st.hypothesis[w.c.HypothesisOf(v)])
		st.arrangement[w.c.ArrangementAt(v)] += x
		total += x
	}
	for _, p := range couples {
		by := st.inBoth[[2]int{p.A, p.B}]
		sum := 0.0
		for _, x := range by {
			sum += x
		}
		for a, x := range by {
			if sum > 0 {
				st.arrangement[a] += float64(p.P * x / sum)
				total += float64(p.P * x / sum)
			}
		}
		st.add(p.A, p.P/2)
		st.add(p.B, p.P/2)
	}
	for a := range st.arrangement {
		if total > 0 {
			st.arrangement[a] /= total
		}
	}
}

// likelihood is that of all seen under a hypothesis.
func (st *standing) likelihood(hypothesis int) float64 {
	switch {
	case st == nil || st.weights == nil:
		return 1
	case hypothesis == 0:
		return st.weights.Sound
	}
	return st.weights.Causes[hypothesis-1].L
}

// add gives what a cause of the circuit is seen as its probability: kin by what
// was seen of each.
func (st *standing) add(cause int, p float64) {
	w := st.w
	of := w.of[cause]
	sum := w.mixed(cause, st.likelihood)
	for _, x := range of {
		share := x.share
		if len(of) > 1 && sum > 0 {
			share *= st.likelihood(x.hypothesis) / sum
		}
		st.hypothesis[x.hypothesis] += float64(p * share)
	}
}

// likeliest is the arrangement of greatest probability.
func (st *standing) likeliest() (int, float64) {
	best := 0
	for a, p := range st.arrangement {
		if round9(p) > round9(st.arrangement[best]) {
			best = a
		}
	}
	return best, st.arrangement[best]
}

// after is the arrangements' posterior by id.
func (st *standing) after() map[string]float64 {
	out := map[string]float64{}
	for a, p := range st.arrangement {
		out[st.w.article.Arrangements[a].ID] = p
	}
	return out
}

// tableOf is what a finding of the circuit shows under each cause, given all
// that was seen (nil: nothing).
func (e *Engine) tableOf(x *sight, st *standing) *belief.Finding {
	w := x.w
	var vars []float64
	if st != nil {
		vars = st.vars
	} else {
		stand, _ := w.c.Stand(nil)
		vars = stand.Variants()
	}
	k := len(x.finding.Outcomes)
	t := &belief.Finding{ID: x.finding.ID, Ordered: x.finding.Ordered}
	by := make([][]float64, len(w.cause))
	mass := make([]float64, len(w.cause))
	for v, p := range vars {
		h := w.c.HypothesisOf(v)
		if by[h] == nil {
			by[h] = make([]float64, k)
		}
		mass[h] += p
		for o, q := range x.shows[v] {
			by[h][o] += float64(p * q)
		}
	}
	t.Base = normalised(by[0])
	rows := map[int][]float64{}
	for h, n := range w.cause {
		if n >= 0 && mass[h] > 0 {
			rows[n] = normalised(by[h])
		}
	}
	for _, n := range w.kin {
		if row := st.rowOf(w, n, func(h int) []float64 { return rows[w.cause[h]] }); row != nil {
			rows[n] = row
		}
	}
	if old := e.findings[x.finding.ID]; old != nil && !x.own {
		// Causes outside of the circuit keep what the article says of them
		// against the baseline.
		for _, r := range old.Rows {
			if _, mine := w.of[r.Cause]; mine {
				continue
			}
			p := make([]float64, k)
			for o := range p {
				p[o] = t.Base[o] * max(r.P[o], 1e-4) / max(old.Base[o], 1e-4)
			}
			rows[r.Cause] = normalised(p)
		}
	}
	for _, n := range sortedCauses(rows) {
		t.Rows = append(t.Rows, belief.Row{Cause: n, P: rows[n]})
	}
	_ = t.Prepare() // a table that is not prepared is only slower
	return t
}

func normalised(p []float64) []float64 {
	sum := 0.0
	for _, x := range p {
		sum += x
	}
	for i := range p {
		if sum > 0 {
			p[i] /= sum
		} else {
			p[i] = 1 / float64(len(p))
		}
	}
	return p
}

func sortedCauses[V any](m map[int]V) []int {
	out := make([]int, 0, len(m))
	for n := range m {
		out = append(out, n)
	}
	slices.Sort(out)
	return out
}

// standingFor is the standing among those of the turn, or a fresh one.
func (e *Engine) standingFor(s *State, j *judged, w *wiring) *standing {
	for _, st := range j.standings {
		if st.w == w {
			return st
		}
	}
	st := e.standingOf(s, w)
	st.believe(j.post)
	return st
}

// followed reports whether the conversation is about the circuit itself: it
// was asked about, or something was seen of it that no article's test is.
func (s *State) followed(w *wiring, j *judged) bool {
	if s.Circuit == w.article.ID {
		return true
	}
	for _, st := range j.standings {
		if st.w == w {
			return slices.ContainsFunc(st.seen, func(sn seen) bool { return sn.sight.own })
		}
	}
	return false
}

// circuitTable is a finding as its circuit predicts it in this case, or nil
// where the circuit is not followed: then the article's own figures stand.
func (e *Engine) circuitTable(s *State, j *judged, id string) *belief.Finding {
	if !s.followed(e.mapped[id].w, j) {
		return nil
	}
	x := e.sight(id)
	if x == nil {
		return nil
	}
	for _, st := range j.standings {
		if st.w == x.w {
			return e.tableOf(x, st)
		}
	}
	return e.tableSeen(s, x, e.standingOf(s, x.w))
}

// tableSeen is tableOf, kept where nothing was seen of the circuit: then only
// the vehicle matters.
func (e *Engine) tableSeen(s *State, x *sight, st *standing) *belief.Finding {
	if len(st.seen) > 0 || len(s.Wired) > 0 {
		return e.tableOf(x, st)
	}
	key := x.finding.ID + "|" + fmt.Sprint(st.shares)
	if t, ok := e.tables.Load(key); ok {
		return t.(*belief.Finding)
	}
	t := e.tableOf(x, st)
	e.tables.Store(key, t)
	return t
}

// ratios is L(cause) over L(sound) with one more thing seen.
func (st *standing) ratios(weights *circuit.Weights, sn *seen) map[int]float64 {
	out := map[int]float64{}
	for i, x := range weights.Causes {
		if n := st.w.cause[i+1]; n >= 0 {
			out[n] = x.L / weights.Sound
		}
	}
	for _, n := range st.w.kin {
		out[n] = st.w.mixed(n, st.likelihood) / weights.Sound
	}
	if k := len(st.upto); k > 0 {
		for n, r := range st.upto[k-1] {
			if _, mine := st.w.of[n]; !mine {
				out[n] = r
			}
		}
	}
	for n, r := range sn.others {
		if was, ok := out[n]; ok {
			r *= was
		}
		out[n] = r
	}
	return out
}

// told splits the weight of a circuit for one cause against another into what
// each thing seen brought, in the order of telling, in decibans.
func (st *standing) told(cause, against int) []float64 {
	at := func(i, n int) float64 {
		if i < 0 {
			return 0
		}
		if r, ok := st.upto[i][n]; ok {
			return decibans(max(r, 1e-300))
		}
		return 0
	}
	out := make([]float64, len(st.seen))
	for i := range st.seen {
		out[i] = at(i, cause) - at(i-1, cause) - at(i, against) + at(i-1, against)
	}
	return out
}

// standingOfWeight is the standing that a weight is of, or nil.
func (j *judged) standingOfWeight(w belief.Weight) *standing {
	for _, st := range j.standings {
		if w.Circuit != nil && circuitPrefix+st.w.article.ID == w.Circuit.ID {
			return st
		}
	}
	return nil
}

// ruledBy names the thing seen of a circuit that did most against a cause.
func (st *standing) ruledBy(cause, against int) (id, title, outcome string) {
	best, most := 0, math.Inf(1)
	for i, d := range st.told(cause, against) {
		if d < most-1e-9 {
			best, most = i, d
		}
	}
	n := &st.seen[best].observed
	return n.Finding, n.Title, n.shown()
}

// shown is what was read or seen, without what it was of.
func (n *observed) shown() string {
	if n.quantity == nil {
		return n.OutcomeTitle
	}
	return readingWords(n)
}

package dialog

import (
	"cmp"
	"math"
	"slices"
	"strconv"
	"strings"

	"ruleout/dialog/belief"
	"ruleout/kb"
)

// steadiness is the chance that a fault shows when it is looked for while the
// trouble is absent (reasoning section 3). Basis: memory.
var steadiness = map[string]float64{"": 1, "constant": 1, "daily": 0.5, "rare": 0.1}

// Derived causes take part only while something told makes them likelier:
// liftLeast nats above the baseline, the derivedMost likeliest of them. The
// others are as good as nothing and lie in "none of these". Basis: memory.
const (
	liftLeast   = 0.7
	derivedMost = 60
)

// model gives every cause its weight for this vehicle: its frequency, times
// the share of vehicles it applies to as far as that is unknown.
func (e *Engine) model(s *State, ev []belief.Evidence) *belief.Model {
	if key := vehicleKey(s.Vehicle); s.weights == nil || s.weightsOf != key {
		s.weights, s.weightsOf = e.vehicleWeights(s), key
	}
	weights := slices.Clone(s.weights)
	for i, derived := range e.isDerived {
		if derived {
			weights[i] = 0
		}
	}
	for _, c := range e.lifted(ev) {
		weights[c] = s.weights[c]
	}
	if s.model != nil && slices.Equal(s.modelWeights, weights) {
		return s.model
	}
	// The frequencies were checked when they were loaded, and shares of
	// vehicles lie between 0 and 1.
	if m, err := e.carOf(s).With(weights); err == nil {
		s.model, s.modelWeights = m, weights
		return m
	}
	return e.anyCar
}

// vehicleWeights returns the weight of every cause for a vehicle like this.
func (e *Engine) vehicleWeights(s *State) []float64 {
	out := make([]float64, len(e.base.Causes))
	for i, c := range e.base.Causes {
		out[i] = s.frequency(i, c) * e.applies(s, c.Applies)
	}
	return out
}

// compileModel lays out the causes with all that does not depend on a case.
func (e *Engine) compileModel() (*belief.Model, error) {
	m := &belief.Model{Options: belief.DefaultOptions, Causes: make([]belief.Cause, len(e.base.Causes))}
	for i, c := range e.base.Causes {
		t := belief.Cause{
			ID: c.ID, System: c.System,
			Weight: c.Frequency.PerThousand,
			Group:  c.Part + "/" + e.base.PlaceOf(c),
			Steady: steadiness[c.Comes],
		}
		for _, id := range c.With {
			if k, ok := e.number[id]; ok {
				t.With = append(t.With, k)
			}
		}
		for _, id := range sortedKeys(c.LeadsTo) {
			if k, ok := e.number[id]; ok {
				t.LeadsTo = append(t.LeadsTo, belief.Link{To: k, Share: c.LeadsTo[id]})
			}
		}
		m.Causes[i] = t
	}
	return m, m.Prepare()
}

// lifted returns the derived causes, ascending, that what was told makes
// clearly likelier than the baseline does.
func (e *Engine) lifted(ev []belief.Evidence) []int {
	lift := make([]float64, len(e.isDerived))
	for _, x := range ev {
		if x.Composite != nil {
			for _, l := range x.Composite.Singles {
				if e.isDerived[l.Cause] {
					lift[l.Cause] += math.Log(max(l.L, 1e-300) / x.Composite.Base)
				}
			}
			continue
		}
		base := 0.0
		for o, l := range x.Lambda {
			base += float64(x.Finding.Base[o] * l)
		}
		if base <= 0 {
			continue
		}
		// Most rows are of few kinds: the last ratio often is the next one too.
		last, log := 1.0, 0.0
		for i := range x.Finding.Rows {
			r := &x.Finding.Rows[i]
			if !e.isDerived[r.Cause] {
				continue
			}
			p := 0.0
			for o, l := range x.Lambda {
				p += float64(r.P[o] * l)
			}
			if ratio := max(p, 1e-12) / base; ratio != last {
				last, log = ratio, math.Log(ratio)
			}
			lift[r.Cause] += log
		}
	}
	type candidate struct {
		cause int
		by    float64
	}
	var all []candidate
	for c, l := range lift {
		if l >= liftLeast {
			all = append(all, candidate{c, round9(l + math.Log(e.base.Causes[c].Frequency.PerThousand))})
		}
	}
	slices.SortFunc(all, func(a, b candidate) int {
		return cmp.Or(cmp.Compare(b.by, a.by), a.cause-b.cause)
	})
	all = all[:min(len(all), derivedMost)]
	out := make([]int, len(all))
	for i, c := range all {
		out[i] = c.cause
	}
	slices.Sort(out)
	return out
}

// vehicleKey names what is known of a vehicle.
func vehicleKey(v map[string]string) string {
	var b strings.Builder
	for _, k := range sortedKeys(v) {
		b.WriteString(k + "=" + v[k] + ";")
	}
	return b.String()
}

// applies returns the share of vehicles, among those like this one, to which
// something applies: 0 or 1 where the vehicle is known well enough.
func (e *Engine) applies(s *State, a kb.Applies) float64 {
	share := 1.0
	if len(a.Vehicle) == 0 && len(a.Years) == 0 {
		return share // most apply to every vehicle
	}
	for _, attribute := range sortedKeys(a.Vehicle) {
		allowed := a.Vehicle[attribute]
		if v, ok := s.Vehicle[attribute]; ok {
			if !slices.Contains(allowed, v) {
				return 0
			}
			continue
		}
		share *= e.shareOf(s, attribute, allowed)
	}
	if len(a.Years) == 2 {
		if y, err := strconv.Atoi(s.Vehicle["year"]); err == nil && (y < a.Years[0] || y > a.Years[1]) {
			return 0
		}
	}
	return share
}

func sortedKeys[V any](m map[string]V) []string {
	keys := make([]string, 0, len(m))
	for k := range m {
		keys = append(keys, k)
	}
	slices.Sort(keys)
	return keys
}

// action is one repair job with all causes it cures.
type action struct {
	id       string
	do       string
	causes   []int
	minutes  float64
	money    float64
	access   []string
	ways     []int  // access by number
	finding  string // the id of the repair's finding
	needs    []string
	shopOnly bool
	lead     *kb.Cause // the most frequent of the causes: its text is shown
}

// compileActions gathers the repair jobs in id order.
func (e *Engine) compileActions() []*action {
	byID := map[string]*action{}
	for i, c := range e.base.Causes {
		id := c.Repair.Action
		if id == "" {
			id = c.ID
		}
		a := byID[id]
		if a == nil {
			a = &action{id: id, finding: "repair:" + id}
			byID[id] = a
		}
		a.causes = append(a.causes, i)
		if a.lead == nil || c.Frequency.PerThousand > a.lead.Frequency.PerThousand {
			a.lead = c
			a.do, a.minutes = c.Repair.Do, c.Repair.Minutes
			a.money = (c.Repair.Money.Low + c.Repair.Money.High) / 2
			a.access, a.needs = c.Repair.Access, c.Repair.Needs
			a.shopOnly = c.Repair.Difficulty == "shop"
		}
	}
	out := make([]*action, 0, len(byID))
	for _, id := range sortedKeys(byID) {
		byID[id].ways = e.ways(byID[id].access)
		out = append(out, byID[id])
	}
	return out
}

// numberAccesses gives every access its number in the plan, and that of the
// access it lies inside, or -1.
func (e *Engine) numberAccesses() {
	e.accesses = map[string]int{}
	for i, a := range e.base.Lists.Access {
		e.accesses[a.ID] = i
	}
	for _, a := range e.base.Lists.Access {
		inside, ok := e.accesses[a.Inside]
		if !ok {
			inside = -1
		}
		e.insides = append(e.insides, inside)
	}
}

// ways are the accesses named, by number.
func (e *Engine) ways(ids []string) []int {
	var out []int
	for _, id := range ids {
		if k, ok := e.accesses[id]; ok {
			out = append(out, k)
		}
	}
	return out
}

// actionOf returns the number of the job that cures the cause.
func (e *Engine) actionOf(cause int) int {
	for i := range e.actions {
		if slices.Contains(e.actions[i].causes, cause) {
			return i
		}
	}
	return -1
}

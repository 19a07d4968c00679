package dialog

import (
	"fmt"
	"strings"
	"sync"
	"sync/atomic"

	"ruleout/dialog/belief"
	"ruleout/dialog/plainwords"
	"ruleout/dialog/plan"
	"ruleout/kb"
)

// Settings are what a user may set.
type Settings struct {
	// MinuteCost is what a minute of one's own time counts, in the currency of
	// the articles; Shop what handing over to a shop costs.
	MinuteCost float64
	Shop       float64
	// Explain adds the numbers behind each reply.
	Explain bool
}

// DefaultSettings: 15 an hour for one's own time, 350 for a shop that finds
// and mends it. Basis: memory.
var DefaultSettings = Settings{MinuteCost: 0.25, Shop: 350}

// Engine holds what all conversations over one knowledge base share. It is
// read-only after New and may serve any number of conversations at once.
type Engine struct {
	base     *kb.Base
	reader   *plainwords.Reader
	matcher  Matcher
	settings Settings
	findings map[string]*belief.Finding
	authored []*kb.Finding // in id order
	number   map[string]int
	// isDerived marks the causes that nobody wrote; commonTools tells of every
	// tool whether most people have it.
	isDerived   []bool
	causes      []byCause
	systems     map[string]int // the systems of the causes, numbered
	commonTools map[string]bool
	// common is how often each symptom is there among all troubles.
	common map[string]float64
	// questionsOf lists, for each symptom, the questions it brings.
	questionsOf map[string][]string
	actions     []*action
	// accesses numbers them for the plan; insides are the numbers of those that
	// each lies inside, or -1.
	accesses map[string]int
	insides  []int
	anyCar   *belief.Model // of any vehicle, derived causes included
	vehicle  map[string]asked
	// derived keeps findings that follow by themselves, once made: they depend
	// on the articles alone.
	derived sync.Map
	// circuits are in id order; mapped files the findings that they know.
	circuits []*wiring
	mapped   map[string]mapped
	// sights keeps findings of circuits once solved, tables what they show in
	// the arrangements that a vehicle may have.
	sights, tables sync.Map
	sightCount     atomic.Int64
	// harmful keeps what actions harm once solved, see harmOf.
	harmful   sync.Map
	harmCount atomic.Int64
	// meetings keeps at which shared points which troubles meet, once looked for.
	meetings sync.Map
	// scratch is the plan's working memory, one for each turn under way.
	scratch sync.Pool
}

// New compiles the knowledge base. The matcher may be nil: then clauses that
// the reader can't place are only listed.
func New(b *kb.Base, m Matcher, set Settings) (*Engine, error) {
	if set.MinuteCost <= 0 || set.Shop <= 0 {
		return nil, fmt.Errorf("settings: minute cost and shop must be above zero, got %g and %g", set.MinuteCost, set.Shop)
	}
	e := &Engine{
		base: b, matcher: m, settings: set,
		reader:      plainwords.NewReader(b),
		findings:    map[string]*belief.Finding{},
		number:      map[string]int{},
		questionsOf: map[string][]string{},
		vehicle:     map[string]asked{},
		commonTools: map[string]bool{},
		scratch:     sync.Pool{New: func() any { return new(plan.Scratch) }},
	}
	e.isDerived = make([]bool, len(b.Causes))
	for i, c := range b.Causes {
		e.number[c.ID], e.isDerived[i] = i, c.Derived
	}
	for _, t := range b.Lists.Tools {
		e.commonTools[t.ID] = t.Common
	}
	if err := e.compileCircuits(); err != nil {
		return nil, err
	}
	e.takeKin()
	e.compileCauses()
	rows := e.rows()
	e.authored = b.Findings()
	for _, f := range e.authored {
		e.findings[f.ID] = &belief.Finding{ID: f.ID, Base: f.Base, Ordered: f.Ordered, Rows: rows[f.ID]}
	}
	for _, f := range b.Findings() {
		if f.Because != "" {
			e.findings[f.ID].Parent = e.findings[f.Because]
			e.findings[f.ID].Given = f.Given
		}
	}
	for _, a := range b.Lists.Vehicle {
		if f, t := e.vehicleFinding(vehiclePrefix + a.ID); f != nil {
			e.vehicle[f.ID] = asked{f, t}
		}
	}
	for _, f := range b.Findings() {
		if err := e.findings[f.ID].Prepare(); err != nil {
			return nil, fmt.Errorf("%s: %w", f.ID, err)
		}
	}
	for _, s := range b.Symptoms {
		qs := append([]string(nil), s.Asks...)
		for _, q := range s.Questions {
			qs = append(qs, q.ID)
		}
		e.questionsOf[s.ID] = qs
	}
	e.numberAccesses()
	e.actions = e.compileActions()
	e.common = e.commonness()
	var err error
	if e.anyCar, err = e.compileModel(); err != nil {
		return nil, err
	}
	return e, nil
}

// Base returns the knowledge base the engine was made from.
func (e *Engine) Base() *kb.Base { return e.base }

// rows gathers what each cause makes of each authored finding, causes
// ascending.
func (e *Engine) rows() map[string][]belief.Row {
	out := map[string][]belief.Row{}
	for i, c := range e.base.Causes {
		for _, id := range e.base.Speaks(c) {
			f := e.base.Finding(id)
			if f == nil {
				continue
			}
			if p, ok := e.base.Likelihood(c, f); ok {
				out[id] = append(out[id], belief.Row{Cause: i, P: p, Blocks: contains(c.Blocks, id)})
			}
		}
	}
	return out
}

// finding returns the authored or derived finding with what belief needs; nil
// when the id names none.
func (e *Engine) finding(id, means string) (*kb.Finding, *belief.Finding) {
	if f := e.base.Finding(id); f != nil {
		return f, e.findings[id]
	}
	if v, ok := e.vehicle[id]; ok {
		return v.finding, v.table
	}
	if strings.HasPrefix(id, circuitPrefix) {
		if x := e.sight(id); x != nil {
			return x.finding, x.table
		}
		return nil, nil
	}
	key := id + "|" + means
	if a, ok := e.derived.Load(key); ok {
		return a.(asked).finding, a.(asked).table
	}
	f, t := e.derive(id, means)
	if t != nil {
		// A table that is not prepared is only slower; the lists are checked.
		_ = t.Prepare()
		e.derived.Store(key, asked{f, t})
	}
	return f, t
}

// derive makes a finding that nobody authored.
func (e *Engine) derive(id, means string) (*kb.Finding, *belief.Finding) {
	if strings.HasPrefix(id, "repair:") {
		return e.repairFinding(id)
	}
	d := e.base.Derive(id)
	if d == nil {
		return nil, nil
	}
	if d.Kind == kb.FindingPart && means != "" && d.OutcomeIndex("good") >= 0 {
		d = e.base.Tested(id, e.base.Part(d.Article), strings.Split(means, "+")...)
	}
	if d.Replaced && means != "" {
		d = e.base.Renewed(id, e.base.Part(d.Article), means)
	}
	t := &belief.Finding{ID: id, Base: d.Base, NoneIsBase: true}
	if !d.Near && !d.Replaced {
		t.LimitDB = e.base.Lists.Derived.LimitDerived
	}
	if d.Replaced {
		t.Rule, t.Split = belief.PairReplaced, d.Split
	}
	for _, r := range d.Rows {
		t.Rows = append(t.Rows, belief.Row{Cause: e.number[r.Cause.ID], P: r.P, InPart: r.InPart})
	}
	return &d.Finding, t
}

func contains(list []string, s string) bool {
	for _, v := range list {
		if v == s {
			return true
		}
	}
	return false
}

package kb

import (
	"fmt"
	"slices"
)

// Effect is what a failure does to the car whatever the part: a load that
// stays on, a cut in the starter's signal, coolant that gets out. From it the
// derived causes have what they show of symptoms, questions and tests that
// articles define.
type Effect struct {
	ID    string `yaml:"id" json:"id"`
	Title string `yaml:"title" json:"title"`
	// Shows maps a finding to the likelihood of each outcome, as in a cause.
	Shows map[string]map[string]Likelihood `yaml:"shows" json:"shows"`
	// From lists the parts in the modes that do this.
	From  []EffectFrom `yaml:"from" json:"from"`
	Basis Basis        `yaml:"basis" json:"basis"`
}

// EffectFrom is one part, in all its modes or the named ones.
type EffectFrom struct {
	Part  string   `yaml:"part" json:"part"`
	Modes []string `yaml:"modes,omitempty" json:"modes,omitempty"`
	// Share is the share of the part's places, or of the cars that have it, in
	// which its failure does this; 0 means all: one fuse in ten is the fan's.
	Share float64 `yaml:"share,omitempty" json:"share,omitempty"`
}

// of returns in which share of its places the part in the mode does this; 0 if
// it never does.
func (x *Effect) of(part, mode string) float64 {
	for _, f := range x.From {
		if f.Part == part && (len(f.Modes) == 0 || slices.Contains(f.Modes, mode)) {
			if f.Share > 0 {
				return f.Share
			}
			return 1
		}
	}
	return 0
}

// EffectsOfCause returns what the failure of a derived cause does to the car,
// in id order.
func (b *Base) EffectsOfCause(c *Cause) []*Effect {
	var out []*Effect
	for i := range b.Effects {
		if x := &b.Effects[i]; x.of(c.Part, c.Mode) > 0 {
			out = append(out, x)
		}
	}
	return out
}

// affect lets a derived cause show what its failure does to the car. A finding
// of which several effects speak shows their mean.
func (b *Base) affect(c *Cause) {
	rows := map[string][][]float64{}
	for _, x := range b.EffectsOfCause(c) {
		for _, id := range sortedKeys(x.Shows) {
			if f := b.findings[id]; f != nil && !b.writtenUse(c, id) {
				if row, ok := f.Distribution(x.Shows[id]); ok {
					share := x.of(c.Part, c.Mode)
					for o := range row {
						row[o] = f.Base[o] + share*(row[o]-f.Base[o])
					}
					rows[id] = append(rows[id], row)
				}
			}
		}
	}
	for _, id := range sortedKeys(rows) {
		f := b.findings[id]
		mean := make([]float64, len(f.Outcomes))
		for _, row := range rows[id] {
			for o, v := range row {
				mean[o] += v / float64(len(rows[id]))
			}
		}
		c.Shows[id] = f.written(mean)
	}
}

// writtenUse reports whether an authored cause tells what a part that is
// everywhere shows in this use: the fan's fuse has its article, what is derived
// of fuses stands for the others.
func (b *Base) writtenUse(c *Cause, finding string) bool {
	return slices.ContainsFunc(b.Causes, func(a *Cause) bool {
		return !a.Derived && a.Part == c.Part && a.Mode == c.Mode && a.System != c.System && b.rows[a.ID][finding] != nil
	})
}

// leastWritten keeps what a derived row hardly ever shows possible.
const leastWritten = 0.0005

// written is a distribution as an author would write it.
func (f *Finding) written(p []float64) map[string]Likelihood {
	out := map[string]Likelihood{}
	for o, v := range p {
		out[f.Outcomes[o].ID] = Likelihood(fmt.Sprintf("%.4f", max(v, leastWritten)))
	}
	return out
}

// checkEffect checks one effect and its references.
func (c *checker) checkEffect(e *entry, x *Effect) {
	c.text(e, p("title"), x.Title)
	c.basis(e, p("basis"), x.Basis)
	if len(x.Shows) == 0 || len(x.From) == 0 {
		c.fail(e, p("id"), "say what it shows and from which parts", "the effect does nothing, or comes from nothing")
	}
	for _, id := range sortedKeys(x.Shows) {
		c.cut(e, p("shows", id), func() bool {
			f := c.finding(e, p("shows", id), id)
			if f == nil {
				return false
			}
			for _, o := range sortedKeys(x.Shows[id]) {
				c.outcome(e, p("shows", id, o), f, o)
				c.likelihood(e, p("shows", id, o), x.Shows[id][o])
			}
			return !e.bad
		})
	}
	for i, from := range x.From {
		c.share(e, p("from", i, "share"), from.Share)
		if !c.ref(e, p("from", i, "part"), "parts", from.Part) {
			continue
		}
		for k, m := range from.Modes {
			if part := c.base.Part(from.Part); c.ref(e, p("from", i, "modes", k), "modes", m) && part != nil && part.Modes[m] == 0 {
				c.warn(e, p("from", i, "modes", k), "add it to the part's modes", "part %q is not said to fail as %q", from.Part, m)
			}
		}
	}
}

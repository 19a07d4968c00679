package kb

import "slices"

// Renewed is the finding "what renewing the part changed". spare says what was
// put in: known-good, second-hand or, as a rule, a new part ("").
func (b *Base) Renewed(id string, p *Part, spare string) *DerivedFinding {
	d := &DerivedFinding{Finding: Finding{ID: id, Kind: FindingPart, System: p.System, Article: p.ID,
		Title: p.Name + " renewed", Ask: "What did the new " + p.Name + " change?",
		Outcomes: titled("same", "no change", "better", "better, not gone", "cured", "cured it", "worse", "worse")}}
	table := func(key string) []float64 {
		out := make([]float64, len(Effects))
		for i, e := range Effects {
			out[i] = b.Lists.Derived.Replaced[key][e]
		}
		if bad, ok := b.Lists.Derived.Spare[spare]; ok && key == "in-part" {
			// The one put in is bad with this chance, then nothing changes.
			out = spread(normalised(out), slices.Index(Effects, "same"), bad)
		}
		return normalised(out)
	}
	d.Base = table("elsewhere")
	d.Replaced = true
	d.Split = table("split")
	for _, c := range b.Causes {
		if c.Part != p.ID {
			continue
		}
		key, in := "in-part", true
		if b.PlaceOf(c) != "part" {
			key, in = "connector", false
		}
		d.Rows = append(d.Rows, Row{Cause: c, P: table(key), InPart: in})
	}
	return d
}

// swapOutcomes are where the trouble is after a part was changed over with its
// twin.
var swapOutcomes = []string{
	"moved", "moved with the part", "stayed", "stayed where it was", "gone", "gone since", "unclear", "unclear",
}

// deriveSwap is the finding "where the trouble was after the part was changed
// over". Moved with the part is near proof, so its weight has no limit.
func (b *Base) deriveSwap(id string, p *Part) *DerivedFinding {
	d := &DerivedFinding{Near: true, Finding: Finding{ID: id, Kind: FindingPart, System: p.System, Article: p.ID,
		Title: p.Name + " changed over", Ask: "Did the trouble move with the " + p.Name + "?", Outcomes: titled(swapOutcomes...)}}
	table := func(key string) []float64 {
		var out []float64
		for _, o := range d.Outcomes {
			out = append(out, b.Lists.Derived.Swapped[key][o.ID])
		}
		return normalised(out)
	}
	d.Base = table("elsewhere")
	for _, c := range b.Causes {
		if c.Part != p.ID {
			continue
		}
		key := "in-part"
		switch {
		case b.PlaceOf(c) != "part":
			key = "connector"
		case b.isKind(p.ID, []string{"relay"}):
			key = "relay"
		}
		d.Rows = append(d.Rows, Row{Cause: c, P: table(key)})
	}
	return d
}

// MaySwap reports whether a part may be changed over with its twin to find
// out: it exists more than once or is a relay, and it is not in the systems
// where that is never done.
func (b *Base) MaySwap(p *Part) bool {
	twin := p.Items != "" && p.Items != "lamp" || b.isKind(p.ID, []string{"relay"})
	return twin && !slices.Contains(b.Lists.Derived.NeverSwapped, p.System)
}

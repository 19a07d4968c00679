package dialog

import (
	"slices"
	"strings"

	"ruleout/dialog/belief"
	"ruleout/kb"
)

// An observation about one item of a part that exists several times speaks of
// that item alone. The cause may sit at any of them; so under it the item
// observed shows what the fault shows with the chance that it is this item,
// and otherwise what a healthy one shows.

// cylinders is how many a car has when nobody said. Basis: memory.
const cylinders = 4

// sideOf names the dimension of each word that says which one.
var sideOf = map[string]string{"front": "axle", "rear": "axle", "left": "side", "right": "side", "nearside": "country", "offside": "country", "driver": "seat", "passenger": "seat", "inner": "depth", "outer": "depth", "upper": "height", "lower": "height"}

// placeOfItem reads an item as its words by dimension.
func placeOfItem(item string) map[string]string {
	if c, ok := strings.CutPrefix(item, "cylinder-"); ok {
		return map[string]string{"cylinder": c}
	}
	out := map[string]string{}
	for _, w := range strings.Split(item, "-") {
		if d := sideOf[w]; d != "" {
			out[d] = w
		}
	}
	return out
}

// itemShare is the chance that the item observed is the one the complaint is
// about, where item says which was observed and about where the complaint is.
func itemShare(item, about string) float64 {
	place, known := placeOfItem(item), placeOfItem(about)
	share := 1.0
	for _, d := range sortedKeys(place) {
		switch {
		case known[d] == place[d]:
		case known[d] != "":
			return 0
		case d == "cylinder":
			share /= cylinders
		default:
			share /= 2
		}
	}
	return share
}

// complaintItem is where the trouble is, as far as it was told.
func (s *State) complaintItem() string {
	item := ""
	for i := range s.Notes {
		n := &s.Notes[i]
		if !n.struck && n.Finding == s.Chief && n.Item != "" {
			item = n.Item
		}
	}
	return item
}

// several reports whether the finding is about a part that exists more than
// once.
func (e *Engine) several(f *kb.Finding) bool {
	if f.Kind != kb.FindingPart {
		return false
	}
	p := e.base.Part(f.Article)
	return p != nil && p.Items != ""
}

// onItem is the finding as the item shows it, when a cause sits at this item
// with the chance that share gives for it.
func onItem(t *belief.Finding, share func(cause int) float64) *belief.Finding {
	u := &belief.Finding{ID: t.ID, Base: t.Base, NoneIsBase: t.NoneIsBase, LimitDB: t.LimitDB, Rule: t.Rule, Split: t.Split}
	for _, r := range t.Rows {
		w := share(r.Cause)
		if w == 0 {
			continue
		}
		p := make([]float64, len(r.P))
		for o := range p {
			p[o] = float64(w*r.P[o]) + float64((1-w)*t.Base[o])
		}
		r.P = p
		u.Rows = append(u.Rows, r)
	}
	return u
}

// itemised turns the evidence on several items of one part into evidence that
// can be multiplied: each is taken given those before it, so that two new
// front pads that changed nothing clear the front pads, and no item clears
// another.
func itemised(ev []itemEvidence) []belief.Evidence {
	var out []belief.Evidence
	// By finding and cause: how much likelier the items not yet seen have
	// become by what the others showed.
	grown := map[string]map[int]float64{}
	for _, x := range ev {
		t := x.Finding
		if grown[t.ID] == nil {
			grown[t.ID] = map[int]float64{}
		}
		g := grown[t.ID]
		now := func(cause int) float64 {
			if v, ok := g[cause]; ok {
				return min(1, x.share*v)
			}
			return x.share
		}
		u := onItem(t, now)
		if len(u.Rows) == 0 {
			continue // another item than the one in trouble
		}
		base := dotOf(t.Base, x.Lambda)
		for _, r := range u.Rows {
			if mixed := dotOf(r.P, x.Lambda); mixed > 0 {
				if _, ok := g[r.Cause]; !ok {
					g[r.Cause] = 1
				}
				g[r.Cause] *= base / mixed
			}
		}
		x.Finding = u
		out = append(out, x.Evidence)
	}
	return out
}

// itemEvidence is evidence on one item with the chance that it is the one.
type itemEvidence struct {
	belief.Evidence
	share float64
}

func dotOf(p, l []float64) float64 {
	sum := 0.0
	for i := range p {
		sum += float64(p[i] * l[i])
	}
	return sum
}

// joinedMeans is the key of tests of one part by several means.
func joinedMeans(means []string) string {
	m := slices.Clone(means)
	slices.Sort(m)
	return strings.Join(slices.Compact(m), "+")
}

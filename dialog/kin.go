package dialog

import (
	"slices"

	"ruleout/dialog/belief"
	"ruleout/kb"
)

// seenAs is a hypothesis of a circuit that a cause is seen as, with its share
// of the ways in which it shows.
type seenAs struct {
	hypothesis int
	share      float64
}

// takeKin lets causes of which no netlist tells be seen as the faults of their
// own part that show the same: a corroded fuse holder reads like a blown fuse
// or like a bad contact. What clears the one clears the other.
func (e *Engine) takeKin() {
	for _, w := range e.circuits {
		for n, c := range e.base.Causes {
			if _, mine := w.of[n]; mine || !e.isDerived[n] || c.Part == "" {
				continue
			}
			hs := e.shownBy(w, c)
			for _, h := range hs {
				w.of[n] = append(w.of[n], seenAs{h, 1 / float64(len(hs))})
			}
			if len(hs) > 0 {
				w.kin = append(w.kin, n)
			}
		}
	}
}

// shownBy lists the hypotheses of a circuit whose faults a cause shows as.
func (e *Engine) shownBy(w *wiring, c *kb.Cause) []int {
	var hs []int
	for i := range w.article.Elements {
		x := &w.article.Elements[i]
		for _, f := range x.Faults {
			n, ok := e.number[f.CauseID()]
			if ok && !x.IsOf(c.Part) && e.base.Causes[n].Part != c.Part {
				continue // neither the element nor the part this fault is of
			}
			// An article tells of its fault in full, and speaks for its part.
			if !ok || !e.isDerived[n] || !kb.ShowsAs(c.Mode, f.Fault) {
				continue
			}
			if h := w.of[n][0].hypothesis; !slices.Contains(hs, h) {
				hs = append(hs, h)
			}
		}
	}
	return hs
}

// causes lists the causes that are seen in the circuit.
func (w *wiring) causes() []int {
	var out []int
	for _, n := range w.cause {
		if n >= 0 {
			out = append(out, n)
		}
	}
	return append(out, w.kin...)
}

// mixed is the mean over what a cause is seen as.
func (w *wiring) mixed(cause int, of func(hypothesis int) float64) float64 {
	sum := 0.0
	for _, x := range w.of[cause] {
		sum += float64(x.share * of(x.hypothesis))
	}
	return sum
}

// rowOf is what is shown under a cause that is seen as several, by what was
// seen of each.
func (st *standing) rowOf(w *wiring, cause int, of func(hypothesis int) []float64) []float64 {
	var row []float64
	for _, x := range w.of[cause] {
		part := of(x.hypothesis)
		if part == nil { // no arrangement that is left can have it
			continue
		}
		if row == nil {
			row = make([]float64, len(part))
		}
		for o, q := range part {
			row[o] += float64(x.share * st.likelihood(x.hypothesis) * q)
		}
	}
	if row == nil {
		return nil
	}
	return normalised(row)
}

// withKin adds to the pairs those with kin: a pair is as the pairs of what the
// two are seen as, and where both are seen as one fault, as that alone.
func (st *standing) withKin(c *belief.Composite) {
	w := st.w
	if len(w.kin) == 0 {
		return
	}
	single := map[int]float64{}
	for _, x := range c.Singles {
		single[x.Cause] = x.L
	}
	known := map[[2]int]float64{}
	for _, p := range c.Pairs {
		known[[2]int{p.A, p.B}] = p.L
	}
	likelihood := func(a, b int) float64 {
		if a == b {
			return single[a]
		}
		if l, ok := known[[2]int{min(a, b), max(a, b)}]; ok {
			return l
		}
		return single[a] * single[b] / c.Base
	}
	for i, k := range w.kin {
		for _, x := range c.Singles {
			if x.Cause == k || slices.Contains(w.kin[:i], x.Cause) {
				continue
			}
			l := w.mixed(k, func(a int) float64 {
				if _, mine := w.of[x.Cause]; !mine {
					return likelihood(w.cause[a], x.Cause)
				}
				return w.mixed(x.Cause, func(b int) float64 { return likelihood(w.cause[a], w.cause[b]) })
			})
			c.Pairs = append(c.Pairs, belief.LocalPair{A: min(k, x.Cause), B: max(k, x.Cause), L: l})
		}
	}
}

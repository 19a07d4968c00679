package dialog

import (
	"encoding/binary"
	"math"
	"slices"
	"sync"

	"ruleout/dialog/belief"
	"ruleout/dialog/circuit"
)

// pairSight is what a sight shows with two causes of its circuit together. It
// is solved when the sight is first told of, and kept: what can be shown, once
// each, and which of it in each way of the wiring's couples.
type pairSight struct {
	solve  sync.Once
	values []float64
	shows  [][]float64
	at     []int32
}

// couples lists the pairs of causes of the circuit, once, with the numbers of
// their causes; pairs of which one is no cause of the articles are left with
// -1.
func (w *wiring) couples() (*circuit.Couples, [][2]int) {
	w.couple.Do(func() {
		w.both = w.c.Couples()
		number := map[string]int{}
		for h, hyp := range w.c.Hypotheses() {
			number[hyp.Cause] = w.cause[h]
		}
		for _, p := range w.both.Pairs {
			w.bothOf = append(w.bothOf, [2]int{number[p.A], number[p.B]})
		}
	})
	return w.both, w.bothOf
}

// together are two causes at a time.
func (w *wiring) together() ways {
	both, _ := w.couples()
	return ways{both.Ways(), both.ArrangementAt, func(_ string, ch circuit.Check) ([]float64, error) { return both.Predict(ch) }}
}

// paired solves the sight with two causes together.
func (e *Engine) paired(x *sight) *pairSight {
	p := &x.pairs
	p.solve.Do(func() {
		in := x.w.together()
		var values []float64
		var shows [][]float64
		if x.x != nil {
			values, _ = in.predict("", x.check)
		}
		if x.own {
			lacks := slices.ContainsFunc(x.x, math.IsNaN)
			bands := bandsOf(x.check.What, x.x)
			shows = make([][]float64, len(values))
			for v, value := range values {
				shows[v] = bandShows(x.check.What, bands, lacks, value)
			}
		} else {
			shows, _ = e.mappedShows(x.finding, x.mapping, in)
		}
		known := map[string]int32{}
		var key []byte
		for v := range shows {
			key = key[:0]
			if values != nil {
				key = binary.LittleEndian.AppendUint64(key, math.Float64bits(values[v]))
			}
			for _, q := range shows[v] {
				key = binary.LittleEndian.AppendUint64(key, math.Float64bits(q))
			}
			k, ok := known[string(key)]
			if !ok {
				k = int32(len(p.shows))
				known[string(key)] = k
				p.shows = append(p.shows, shows[v])
				if values != nil {
					p.values = append(p.values, values[v])
				}
			}
			p.at = append(p.at, k)
		}
	})
	return p
}

// coupled is the likelihood of all that was seen under every two causes of the
// circuit together, in the order of their numbers.
func (st *standing) coupled() []belief.LocalPair {
	both, numbers := st.w.couples()
	like := slices.Repeat([]float64{1}, both.Ways())
	for i := range st.seen {
		sn := &st.seen[i]
		for w, k := range sn.sight.pairs.at {
			like[w] *= sn.both[k]
		}
	}
	var out []belief.LocalPair
	st.inBoth = map[[2]int][]float64{}
	for i, n := range numbers {
		if n[0] < 0 || n[1] < 0 {
			continue
		}
		l, by := st.stand.Couple(both, i, like)
		p := belief.LocalPair{A: min(n[0], n[1]), B: max(n[0], n[1]), L: l}
		st.inBoth[[2]int{p.A, p.B}] = by
		out = append(out, p)
	}
	return out
}

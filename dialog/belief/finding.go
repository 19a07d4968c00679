package belief

import (
	"errors"
	"fmt"
	"math"
	"sync/atomic"
)

// kinds is what a finding's rows come to. Rows of the same figures are of one
// kind: a table of hundreds of rows written in the words of one scale has few.
type kinds struct {
	list  []kind
	row   []int // the kind of each row
	table *Table
	// weighed is what the finding came to when it was last recorded; after it,
	// what it came to where just one outcome was possible, by outcome.
	weighed []atomic.Pointer[weighed]
}

// kind is the effect of a cause on a finding: with chance q it does nothing
// and the baseline shows, else d shows.
type kind struct {
	p, d   []float64
	q      float64
	blocks bool
	inPart bool
	shown  float64 // chance that the fault shows at all, 1 unless mixed
}

// newKind returns the kind of a row: q is the greatest share of the baseline
// that the row can hold, d the distribution of the rest.
func newKind(r *Row, base []float64) kind {
	k := kind{p: r.P, q: 1, blocks: r.Blocks, inPart: r.InPart, shown: 1}
	for o, b := range base {
		if b > 0 {
			k.q = min(k.q, r.P[o]/b)
		}
	}
	k.d = make([]float64, len(base))
	if 1-k.q < 1e-12 { // as good as silent
		k.q = 1
		copy(k.d, base)
		return k
	}
	sum := 0.0
	for o := range k.d {
		k.d[o] = max(0, r.P[o]-float64(k.q*base[o]))
		sum += k.d[o]
	}
	for o := range k.d {
		k.d[o] /= sum
	}
	return k
}

func (k *kind) same(r *Row) bool {
	if k.blocks != r.Blocks || k.inPart != r.InPart {
		return false
	}
	for o, v := range k.p {
		if v != r.P[o] {
			return false
		}
	}
	return true
}

// mixed returns the kind when the fault shows only with chance d.
func (k kind) mixed(d float64, base []float64) kind {
	p := make([]float64, len(base))
	for o := range p {
		p[o] = float64(d*k.p[o]) + float64((1-d)*base[o])
	}
	k.p, k.shown = p, d
	k.q = 1 - float64(d*(1-k.q))
	return k
}

// Prepare checks the finding, and those it follows from, and makes its use
// fast. It returns all that is wrong. The causes of its rows are checked
// against the model by Model.Check.
func (f *Finding) Prepare() error {
	if err := f.check(); err != nil {
		return err
	}
	f.kinds = f.compute()
	f.kinds.table = f.lay(true)
	f.kinds.weighed = make([]atomic.Pointer[weighed], 1+len(f.Base))
	return nil
}

func (f *Finding) compute() *kinds {
	ks := &kinds{row: make([]int, len(f.Rows))}
rows:
	for i := range f.Rows {
		r := &f.Rows[i]
		for j := range ks.list {
			if ks.list[j].same(r) {
				ks.row[i] = j
				continue rows
			}
		}
		ks.row[i] = len(ks.list)
		ks.list = append(ks.list, newKind(r, f.Base))
	}
	return ks
}

// prepared returns the kinds, computed anew if Prepare was not called.
func (f *Finding) prepared() *kinds {
	if f.kinds != nil {
		return f.kinds
	}
	return f.compute()
}

func (f *Finding) check() error {
	var errs []error
	bad := func(format string, a ...any) {
		errs = append(errs, fmt.Errorf("belief: finding %q: "+format, append([]any{f.ID}, a...)...))
	}
	if len(f.Base) < 2 {
		bad("has %d outcomes, fewer than two", len(f.Base))
	}
	distribution := func(p []float64, of string) {
		if len(p) != len(f.Base) {
			bad("%s has %d figures for %d outcomes", of, len(p), len(f.Base))
			return
		}
		if !sumsToOne(p) {
			bad("%s %v is no distribution", of, p)
		}
	}
	distribution(f.Base, "the baseline")
	for i := range f.Rows {
		r := &f.Rows[i]
		if r.Cause < 0 || i > 0 && f.Rows[i-1].Cause >= r.Cause {
			bad("row %d, of cause %d, is not in the order of causes", i, r.Cause)
		}
		distribution(r.P, fmt.Sprintf("the row of cause %d", r.Cause))
	}
	switch f.Rule {
	case PairMeet:
	case PairReplaced:
		distribution(f.Split, "Split")
	default:
		bad("unknown rule %d", f.Rule)
	}
	if !(f.LimitDB >= 0) {
		bad("limit %v is negative", f.LimitDB)
	}
	if f.Parent == nil && f.Given != nil {
		bad("has Given without Parent")
	}
	if f.Parent != nil {
		if len(f.Given) != len(f.Parent.Base) {
			bad("Given has %d rows for the %d outcomes of %q", len(f.Given), len(f.Parent.Base), f.Parent.ID)
		}
		for o := range f.Given {
			distribution(f.Given[o], fmt.Sprintf("Given for outcome %d", o))
		}
		if f.cyclic() {
			bad("follows from itself")
		} else if err := f.Parent.check(); err != nil {
			errs = append(errs, err)
		}
	}
	return errors.Join(errs...)
}

// cyclic tells whether following Parent never ends.
func (f *Finding) cyclic() bool {
	slow, fast := f, f
	for fast != nil && fast.Parent != nil {
		slow, fast = slow.Parent, fast.Parent.Parent
		if slow == fast {
			return true
		}
	}
	return false
}

func sumsToOne(p []float64) bool {
	sum := 0.0
	for _, v := range p {
		if !(v >= 0 && v <= 1+1e-9) {
			return false
		}
		sum += v
	}
	return math.Abs(sum-1) <= 1e-6
}

// row returns the number of the cause's row, or -1 if it is silent.
func (f *Finding) row(cause int) int {
	lo, hi := 0, len(f.Rows)
	for lo < hi {
		mid := (lo + hi) / 2
		if f.Rows[mid].Cause < cause {
			lo = mid + 1
		} else {
			hi = mid
		}
	}
	if lo < len(f.Rows) && f.Rows[lo].Cause == cause {
		return lo
	}
	return -1
}

// Check returns what is wrong with the evidence: lambdas of the wrong length
// or sign, unsound findings, rows of causes that the model does not have.
// Update leaves out the evidence that Check rejects.
func (m *Model) Check(ev []Evidence) error {
	var errs []error
	for i := range ev {
		if err := m.checkOne(&ev[i]); err != nil {
			errs = append(errs, err)
		}
	}
	return errors.Join(errs...)
}

func (m *Model) checkOne(e *Evidence) error {
	if e.Composite != nil {
		return e.Composite.check(len(m.Causes))
	}
	if e.Finding == nil {
		return fmt.Errorf("belief: evidence %q has no finding", e.Label)
	}
	f := e.Finding
	if f.kinds == nil {
		if err := f.check(); err != nil {
			return err
		}
	}
	for g := f; g != nil; g = g.Parent {
		if n := len(g.Rows); n > 0 && g.Rows[n-1].Cause >= len(m.Causes) {
			return fmt.Errorf("belief: finding %q speaks of cause %d of %d", g.ID, g.Rows[n-1].Cause, len(m.Causes))
		}
	}
	if len(e.Lambda) != len(f.Base) {
		return fmt.Errorf("belief: evidence %q has %d lambdas for the %d outcomes of %q", e.Label, len(e.Lambda), len(f.Base), f.ID)
	}
	most := 0.0
	for _, v := range e.Lambda {
		if !(v >= 0) || math.IsInf(v, 0) {
			return fmt.Errorf("belief: evidence %q on %q has lambda %v", e.Label, f.ID, v)
		}
		most = max(most, v)
	}
	if most == 0 || !(e.Uniform >= 0) || math.IsInf(e.Uniform, 0) {
		return fmt.Errorf("belief: evidence %q on %q is impossible whatever the outcome", e.Label, f.ID)
	}
	return nil
}

package plan

// spread is how a check's findings spread over the hypotheses that any of
// them speaks of; the others show every baseline.
type spread struct {
	index    int // of the check
	check    *Check
	findings []table
	hyps     []hyp
	// like holds, for each finding, one row of outcomes a hypothesis.
	like [][]float64
	// use are the findings by which the check is valued.
	use []int
}

// hyp is a single cause (pair -1) or a listed pair.
type hyp struct{ a, b, pair int }

// reach fills sp with the hypotheses of the check, without likelihoods.
func (s *Scratch) reach(sp *spread, check int) {
	sp.index, sp.check = check, &s.p.Checks[check]
	sp.findings = s.tables.of(check)
	sp.hyps = sp.hyps[:0]
	s.here++
	for i := range sp.findings {
		for _, a := range sp.findings[i].Causes {
			if s.seen[a] == s.here {
				continue
			}
			s.seen[a] = s.here
			if !s.faint[a] {
				sp.hyps = append(sp.hyps, hyp{a, -1, -1})
			}
		}
	}
	for k, h := range s.pairs {
		if s.seen[h.A] == s.here || s.seen[h.B] == s.here {
			sp.hyps = append(sp.hyps, hyp{h.A, h.B, k})
		}
	}
}

// spread fills sp for the check.
func (s *Scratch) spread(sp *spread, check int) {
	s.reach(sp, check)
	s.tables.fill(check)
	for len(sp.like) < len(sp.findings) {
		sp.like = append(sp.like, nil)
	}
	for i, h := range sp.hyps {
		if h.pair < 0 {
			s.place[h.a] = i
		}
	}
	m := s.p.Belief.Model
	for i := range sp.findings {
		t := &sp.findings[i]
		k := len(t.Base)
		like := resize(sp.like[i], k*len(sp.hyps))
		for h := range sp.hyps {
			copy(like[h*k:], t.Base)
		}
		for j, a := range t.Causes {
			if !s.faint[a] {
				copy(like[s.place[a]*k:], t.Row(j))
			}
		}
		for h, x := range sp.hyps {
			if x.pair >= 0 {
				m.Shows(like[h*k:h*k:(h+1)*k], sp.check.Findings[i], x.a, x.b)
			}
		}
		sp.like[i] = like
	}
}

// bind is a spread over one stage: where the weight of each hypothesis goes.
type bind struct {
	sp *spread
	st *stage
	w  []float64 // by hypothesis, before the check
	// slots are the repairs that the hypotheses bear on, by place; a and b are
	// the parts of each hypothesis for its causes, b of the pairs alone, which
	// come last.
	slots []int
	a, b  []part
	// rest is what each slot keeps of hypotheses that are not spoken of,
	// silent the mass of those, others the sum of all other repairs.
	rest           []float64
	silent, others float64
	// changes are the slots' repairs with what they cure after an outcome.
	changes []change
	// plain means that hypothesis i is a cause alone and slot i all of its own.
	plain  bool
	levels [][]float64
	next   outcome // visited next
}

// part is the share of a hypothesis's weight that counts for a slot, or -1.
type part struct {
	slot  int
	share float64
}

// bind fills b for the values that are then seen through the layout.
func (s *Scratch) bind(b *bind, sp *spread, st *stage, lay *layout) {
	n := len(sp.hyps)
	b.sp, b.st = sp, st
	b.w, b.a, b.b = resize(b.w, n), resize(b.a, n), b.b[:0]
	b.slots, b.rest = b.slots[:0], b.rest[:0]
	b.silent, b.others = st.mass-st.none, st.sum
	s.here++
	slot := func(cause int, share float64) part {
		r := st.cure[cause]
		if r < 0 {
			return part{-1, 0}
		}
		if s.slotSeen[r] != s.here {
			s.slotSeen[r] = s.here
			s.slotOf[r] = len(b.slots)
			b.slots = append(b.slots, r)
			b.rest = append(b.rest, st.prob[r])
			b.others -= st.prob[r]
		}
		return part{s.slotOf[r], share * s.keep[r]}
	}
	lose := func(x part, w float64) {
		if x.slot >= 0 {
			b.rest[x.slot] -= float64(w * x.share)
		}
	}
	for i, h := range sp.hyps {
		if h.pair < 0 {
			b.w[i] = st.single[h.a]
			b.a[i] = slot(h.a, 1)
		} else {
			b.w[i] = st.pair[h.pair]
			b.a[i] = slot(h.a, 0.5)
			b.b = append(b.b, slot(h.b, 0.5))
		}
		b.silent -= b.w[i]
		lose(b.a[i], b.w[i])
		if h.pair >= 0 {
			lose(b.b[len(b.b)-1], b.w[i])
		}
	}
	// What subtraction leaves of nothing is nothing.
	b.silent, b.others = noise(b.silent, st.mass), noise(b.others, st.mass)
	for k := range b.rest {
		b.rest[k] = noise(b.rest[k], st.prob[b.slots[k]])
	}
	b.changes = resize(b.changes, len(b.slots))
	b.plain = len(b.slots) == n && len(b.b) == 0
	for k, r := range b.slots {
		b.changes[k] = s.change(st, lay, r)
		b.plain = b.plain && b.rest[k] == 0 && b.a[k].slot == k
	}
}

// noise returns x, or 0 where it is a rounding error of whole.
func noise(x, whole float64) float64 {
	if x < 1e-14*whole {
		return 0
	}
	return x
}

// shift sets b.changes to what the slots' repairs cure after an outcome that
// multiplied the silent hypotheses by scale, left w of those spoken of and none
// of "none of these"; mass is its mass, sum what all repairs cure.
func (b *bind) shift(scale float64, w []float64, none float64) (mass, sum float64) {
	mass = none + float64(scale*b.silent)
	sum = float64(scale * b.others)
	if b.plain {
		a, changes := b.a[:len(w)], b.changes[:len(w)]
		for i, x := range w {
			p := x * a[i].share
			mass += x
			sum += p
			changes[i].p = p
		}
		return mass, sum
	}
	changes := b.changes
	for k, rest := range b.rest {
		changes[k].p = scale * rest
	}
	gain := func(x part, w float64) {
		if x.slot >= 0 {
			changes[x.slot].p += float64(w * x.share)
		}
	}
	alone := len(w) - len(b.b)
	for i, x := range w[:alone] {
		mass += x
		gain(b.a[i], x)
	}
	for i, x := range w[alone:] {
		mass += x
		gain(b.a[alone+i], x)
		gain(b.b[i], x)
	}
	for k := range b.changes {
		sum += b.changes[k].p
	}
	return mass, sum
}

// value is V after the outcome.
func (s *Scratch) value(b *bind, v *view, scale float64, w []float64, none float64) (value, mass float64) {
	mass, sum := b.shift(scale, w, none)
	return s.valueAfter(v, b.changes, scale, mass, sum), mass
}

// outcome is one joint outcome of the findings valued.
type outcome struct {
	number      int
	scale, none float64
	w           []float64 // valid during the visit
}

// each visits the joint outcomes of the findings named in use, in order.
func (b *bind) each(use []int, visit func(o *outcome)) {
	for len(b.levels) < len(use) {
		b.levels = append(b.levels, nil)
	}
	n := len(b.w)
	for i := range use {
		b.levels[i] = resize(b.levels[i], n)
	}
	b.next = outcome{}
	b.descend(use, 0, b.w, 1, b.st.none, visit)
}

// descend visits the outcomes of the findings from the level on.
func (b *bind) descend(use []int, level int, w []float64, scale, none float64, visit func(o *outcome)) {
	if level == len(use) {
		o := &b.next
		o.scale, o.none, o.w = scale, none, w
		visit(o)
		o.number++
		return
	}
	t, like := &b.sp.findings[use[level]], b.sp.like[use[level]]
	k := len(t.Base)
	next := b.levels[level]
	for j := range k {
		at := j
		for h, x := range w[:len(next)] {
			next[h] = x * like[at]
			at += k
		}
		b.descend(use, level+1, next, scale*t.Base[j], none*t.none[j], visit)
	}
}

// least is what Σ_o V(b_o) can't be below, whatever the check tells. V of a sum
// is at least the sum of the Vs, so the belief is cut in three: what the check
// does not speak of, with the share of none that behaves as it does, keeps its
// V; each hypothesis spoken of costs at least its own repair with nothing else
// tried; the rest of none costs the shop.
func (s *Scratch) least(b *bind, v *view) float64 {
	p := s.p
	cheapest := func(cause int) float64 {
		r := b.st.cure[cause]
		if r < 0 {
			return p.Shop
		}
		return float64(s.keep[r]*min(s.fullOf(v.lay, r), p.Shop)) + float64((1-s.keep[r])*p.Shop)
	}
	share := s.tables.left[b.sp.index]
	bound := float64((1 - share) * b.st.none * p.Shop)
	for i, h := range b.sp.hyps {
		if h.pair < 0 {
			bound += float64(b.w[i] * cheapest(h.a))
		} else {
			bound += float64(b.w[i] / 2 * (cheapest(h.a) + cheapest(h.b)))
		}
	}
	sum := b.others
	for k, rest := range b.rest {
		b.changes[k].p = rest
		sum += rest
	}
	return bound + s.valueAfter(v, b.changes, 1, b.silent+float64(share*b.st.none), sum)
}

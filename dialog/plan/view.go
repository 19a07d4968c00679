package plan

// item is a block of repairs that stay together: with mass left before it, it
// costs c·left - d and cures p.
type item struct {
	p, c, d float64
	ratio   float64
	// tag is the repair if it is free, or -1 - the outermost access.
	tag int
}

func single1(p, c float64, tag int) item { return item{p: p, c: c, ratio: ratio(p, c), tag: tag} }

// with is the block followed by another one.
func (a item) with(b item) item {
	p, c := a.p+b.p, a.c+b.c
	return item{p: p, c: c, d: a.d + b.d + float64(b.c*a.p), ratio: ratio(p, c), tag: a.tag}
}

// view is a stage seen through a layout: the repairs above the stage's floor,
// sorted into blocks.
type view struct {
	st  *stage
	lay *layout
	// direct holds the repairs by the access right before them, by falling
	// ratio; access a has direct[begin[a]:begin[a+1]].
	direct []item // tag is the repair
	begin  []int
	items  []item
	head   []int // by outermost access: its first item, or -1
	value  float64
}

// view returns the stage's view through the layout, computed once a stage.
func (s *Scratch) view(st *stage, lay *layout) *view {
	for _, v := range st.views {
		if v.lay == lay {
			return v
		}
	}
	v := s.newView(st, lay)
	st.views = append(st.views, v)
	return v
}

func (s *Scratch) newView(st *stage, lay *layout) *view {
	v := s.spare()
	v.st, v.lay = st, lay
	n := len(lay.outer)
	// Count, then place, keeping the order of byRatio.
	v.begin = resize(v.begin, n+2)
	clear(v.begin)
	free := s.free[:0]
	few := st.byRatio
	for i, r := range few {
		if st.ratios[r] <= st.floor {
			few = few[:i]
			break
		}
		if h := s.homeOf(lay, r); h >= 0 {
			v.begin[h+2]++
		} else {
			free = append(free, single1(st.prob[r], s.costOf(lay, r), r))
		}
	}
	for a := 2; a < n+2; a++ {
		v.begin[a] += v.begin[a-1]
	}
	v.direct = resize(v.direct, v.begin[n+1])
	for _, r := range few {
		if h := s.homeOf(lay, r); h >= 0 {
			v.direct[v.begin[h+1]] = single1(st.prob[r], s.costOf(lay, r), r)
			v.begin[h+1]++
		}
	}
	s.free = free
	v.items = append(v.items[:0], sorted(free)...)
	s.lists = resize(s.lists, n)
	for _, a := range lay.nodes {
		s.lists[a] = append(s.lists[a][:0], sorted(v.direct[v.begin[a]:v.begin[a+1]])...)
	}
	for _, a := range lay.nodes {
		s.fuse(lay, a)
		if lay.outer[a] < 0 {
			v.items = s.merged(v.items, s.lists[a])
		}
	}
	v.head = resize(v.head, n)
	for a := range v.head {
		v.head[a] = -1
	}
	for i := len(v.items) - 1; i >= 0; i-- {
		if t := v.items[i].tag; t < 0 {
			v.head[-1-t] = i
		}
	}
	v.value = s.valueAfter(v, nil, 1, st.mass, st.sum)
	return v
}

// sorted puts the items into falling ratio; they nearly are.
func sorted(x []item) []item {
	for i := 1; i < len(x); i++ {
		it := x[i]
		j := i
		for ; j > 0 && x[j-1].ratio < it.ratio; j-- {
			x[j] = x[j-1]
		}
		x[j] = it
	}
	return x
}

// fuse finishes the list behind access a, which must hold all that lies behind
// it, and adds it to that of the next access outside.
func (s *Scratch) fuse(lay *layout, a int) {
	list := s.lists[a]
	if len(list) == 0 {
		return
	}
	tag := -1 - lay.top[a]
	head := item{c: s.p.Accesses[a].Cost, tag: tag}
	n := 0
	for n < len(list) && (n == 0 || list[n].ratio > head.ratio) {
		head = head.with(list[n])
		n++
	}
	for i := n; i < len(list); i++ {
		list[i].tag = tag
	}
	list[0] = head
	list = append(list[:1], list[n:]...)
	s.lists[a] = list
	if o := lay.outer[a]; o >= 0 {
		s.lists[o] = s.merged(s.lists[o], list)
	}
}

// merged merges b into a, both by falling ratio.
func (s *Scratch) merged(a, b []item) []item {
	if len(b) == 0 {
		return a
	}
	s.mix = append(s.mix[:0], a...)
	a = a[:0]
	i, j := 0, 0
	for i < len(s.mix) && j < len(b) {
		if s.mix[i].ratio >= b[j].ratio {
			a = append(a, s.mix[i])
			i++
		} else {
			a = append(a, b[j])
			j++
		}
	}
	a = append(a, s.mix[i:]...)
	return append(a, b[j:]...)
}

// marks tells which repairs and outermost accesses are changed, and the
// greatest ratio that can lie behind such an access.
type marks struct {
	stamp        int
	repair, root []int
	most         []float64
}

func (m *marks) has(tag, stamp int) bool {
	if tag >= 0 {
		return m.repair[tag] == stamp
	}
	return m.root[-1-tag] == stamp
}

// cutoff is the ratio p/c up to which a repair or block can never pay: with at
// least mass-sum always left, trying it costs c·(mass-sum) or more and saves no
// more than p·shop.
func cutoff(mass, sum, shop float64) float64 {
	if shop <= 0 {
		return inf
	}
	return max(0, mass-sum) / shop
}

package plan

import (
	"cmp"
	"slices"
)

// job is one repair of the order with the accesses it is the first to open.
type job struct {
	repair int
	p, c   float64
}

// block is a run of jobs that stay together, linked by order's next.
type block struct {
	p, c        float64
	rank        int64 // of p/c
	first, last int
}

// order puts the repairs in the order in which they are tried: prob holds the
// chance of each to cure, open what needs no access. Repairs that cannot cure
// are left out.
func (p *Problem) order(prob []float64, open opened) []job {
	// lists[a+1] holds the blocks behind access a, lists[0] the free ones.
	lists := make([][]block, len(p.Accesses)+1)
	lists[0] = make([]block, 0, len(prob))
	next := make([]int, len(prob))
	cost := make([]float64, len(prob))
	var rest opened
	for r := range p.Repairs {
		if prob[r] <= 0 {
			continue
		}
		home, extra := -1, 0.0
		if access := p.Repairs[r].Access; len(access) > 0 {
			home, extra, rest = p.home(open, access, rest)
		}
		c := p.Repairs[r].Cost + extra
		cost[r], next[r] = c, -1
		lists[home+1] = append(lists[home+1], block{prob[r], c, rank(ratio(prob[r], c)), r, r})
	}
	// Deepest accesses first, so that each is whole before it joins its own.
	var nodes []int
	for a := range p.Accesses {
		if !open[a] {
			nodes = append(nodes, a)
		}
	}
	slices.SortStableFunc(nodes, func(a, b int) int { return p.depth(open, b) - p.depth(open, a) })
	for _, a := range nodes {
		list := sortBlocks(lists[a+1])
		if len(list) == 0 {
			continue
		}
		// The block of greatest ratio: while the next one has a better ratio
		// than the block so far, it raises it.
		head := list[0]
		head.c += p.Accesses[a].Cost
		head.rank = rank(ratio(head.p, head.c))
		n := 1
		for ; n < len(list) && list[n].rank > head.rank; n++ {
			head.p += list[n].p
			head.c += list[n].c
			head.rank = rank(ratio(head.p, head.c))
			next[head.last], head.last = list[n].first, list[n].last
		}
		cost[head.first] += p.Accesses[a].Cost
		outer := p.Accesses[a].Inside
		if outer >= 0 && open[outer] {
			outer = -1
		}
		lists[outer+1] = append(append(lists[outer+1], head), list[n:]...)
	}
	jobs := make([]job, 0, len(prob))
	for _, b := range sortBlocks(lists[0]) {
		for r := b.first; r >= 0; r = next[r] {
			jobs = append(jobs, job{r, prob[r], cost[r]})
		}
	}
	return jobs
}

// sortBlocks sorts by falling p/c, ties by the first repair's id.
func sortBlocks(list []block) []block {
	slices.SortFunc(list, func(a, b block) int {
		return cmp.Or(cmp.Compare(b.rank, a.rank), a.first-b.first)
	})
	return list
}

// payment is the least expected cost of trying the jobs in order, with total
// the mass of the belief, and the number of them that are tried before the
// shop. All prefixes count: a repair that does not pay by itself can pay
// together with the next.
func payment(jobs []job, total, shop float64) (cost float64, pays int) {
	cost = float64(total * shop)
	spent, left := 0.0, total
	for i, j := range jobs {
		spent += float64(j.c * left)
		left -= j.p
		all := spent + float64(left*shop)
		if rank(all) < rank(cost) {
			pays = i + 1
		}
		cost = min(cost, all)
	}
	return cost, pays
}

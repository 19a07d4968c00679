package plan

import "sort"

// job is one repair of the order with the accesses it is the first to open.
type job struct {
	repair int
	p, c   float64
}

// block is a run of jobs that stay together.
type block struct {
	p, c float64
	jobs []job
}

// order puts the repairs in the order in which they are tried: prob holds the
// chance of each to cure, open what needs no access. Repairs that cannot cure
// are left out.
func (p *Problem) order(prob []float64, open opened) []job {
	// lists[a+1] holds the blocks behind access a, lists[0] the free ones.
	lists := make([][]block, len(p.Accesses)+1)
	for r := range p.Repairs {
		if prob[r] <= 0 {
			continue
		}
		home, extra, _ := p.home(open, p.Repairs[r].Access, nil)
		c := p.Repairs[r].Cost + extra
		lists[home+1] = append(lists[home+1], block{prob[r], c, []job{{r, prob[r], c}}})
	}
	// Deepest accesses first, so that each is whole before it joins its own.
	var nodes []int
	for a := range p.Accesses {
		if !open[a] {
			nodes = append(nodes, a)
		}
	}
	sort.SliceStable(nodes, func(i, j int) bool { return p.depth(open, nodes[i]) > p.depth(open, nodes[j]) })
	for _, a := range nodes {
		list := sortBlocks(lists[a+1])
		if len(list) == 0 {
			continue
		}
		// The block of greatest ratio: while the next one has a better ratio
		// than the block so far, it raises it.
		head := block{c: p.Accesses[a].Cost}
		n := 0
		for n < len(list) && (n == 0 || rank(ratio(list[n].p, list[n].c)) > rank(ratio(head.p, head.c))) {
			head.p += list[n].p
			head.c += list[n].c
			head.jobs = append(head.jobs, list[n].jobs...)
			n++
		}
		head.jobs[0].c += p.Accesses[a].Cost
		outer := p.Accesses[a].Inside
		if outer >= 0 && open[outer] {
			outer = -1
		}
		lists[outer+1] = append(append(lists[outer+1], head), list[n:]...)
	}
	var jobs []job
	for _, b := range sortBlocks(lists[0]) {
		jobs = append(jobs, b.jobs...)
	}
	return jobs
}

// sortBlocks sorts by falling p/c, ties by the first repair's id.
func sortBlocks(list []block) []block {
	sort.Slice(list, func(i, j int) bool {
		a, b := rank(ratio(list[i].p, list[i].c)), rank(ratio(list[j].p, list[j].c))
		if a != b {
			return a > b
		}
		return list[i].jobs[0].repair < list[j].jobs[0].repair
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

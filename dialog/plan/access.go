package plan

// opened is the set of accesses that are open, by number.
type opened []bool

// openNow is what is open at the start.
func (p *Problem) openNow() opened {
	o := make(opened, len(p.Accesses))
	for i, a := range p.Accesses {
		o[i] = a.Open
	}
	return o
}

// open opens the accesses and all they lie inside and returns what that costs.
func (p *Problem) open(o opened, need []int) float64 {
	var cost float64
	for _, a := range need {
		for ; a >= 0 && !o[a]; a = p.Accesses[a].Inside {
			o[a] = true
			cost += p.Accesses[a].Cost
		}
	}
	return cost
}

// depth counts the accesses to open before one is through a, itself included.
func (p *Problem) depth(o opened, a int) int {
	n := 0
	for ; a >= 0 && !o[a]; a = p.Accesses[a].Inside {
		n++
	}
	return n
}

// home returns the deepest unopened access that the repair lies behind, or -1,
// and the cost of those that lie on other branches. Ties go to the lower
// number.
func (p *Problem) home(o opened, r int) (home int, extra float64) {
	home = -1
	deepest := 0
	for _, a := range p.Repairs[r].Access {
		if d := p.depth(o, a); d > deepest || d == deepest && d > 0 && a < home {
			home, deepest = a, d
		}
	}
	if home < 0 || len(p.Repairs[r].Access) == 1 {
		return home, 0
	}
	rest := append(opened(nil), o...)
	p.open(rest, []int{home})
	return home, p.open(rest, p.Repairs[r].Access)
}

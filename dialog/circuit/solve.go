package circuit

import (
	"errors"
	"fmt"
	"sort"
)

// ErrLacks means that an arrangement has not the part or point that a setup
// names.
var ErrLacks = errors.New("there is no such part or point")

// newSolver returns the scratch for one goroutine.
func (c *Circuit) newSolver() *solver { return &solver{c: c} }

func (c *Circuit) arrangement(id string) (*wired, error) {
	for i := range c.Arrangements {
		if c.Arrangements[i].ID == id {
			return c.wired[i], nil
		}
	}
	return nil, fmt.Errorf("circuit: %s has no arrangement %q", c.Netlist.ID, id)
}

// Solve brings the circuit in one arrangement into the state of the setup,
// starting from rest, with the faults in it. The error is ErrLacks where the
// arrangement has not what the setup names, a *FloatError where a node hangs
// on nothing at all.
func (c *Circuit) Solve(arrangement string, s Setup, faults ...Faulted) (*Solution, error) {
	w, err := c.arrangement(arrangement)
	if err != nil {
		return nil, err
	}
	if err := c.checkUse(&s, faults); err != nil {
		return nil, err
	}
	sc := c.scene(w, &s, false)
	if !sc.ok {
		return nil, fmt.Errorf("circuit: %q in arrangement %q: %w", s.ID, arrangement, ErrLacks)
	}
	sv := c.newSolver()
	on, chatter, err := sv.settle(sc, faults, 0)
	if err != nil {
		return nil, err
	}
	return sv.solution(sc, on, chatter), nil
}

// checkUse reports a setup or fault that does not fit the circuit.
func (c *Circuit) checkUse(s *Setup, faults []Faulted) error {
	nodes := map[string]bool{}
	for _, w := range c.wired {
		for _, n := range w.nodes {
			nodes[n] = true
		}
		for n := range w.alias {
			nodes[n] = true
		}
	}
	if ps := c.checkSetup(s, nodes); len(ps) > 0 {
		return ps[0]
	}
	for _, f := range faults {
		i, ok := c.element[f.Element]
		if !ok {
			return fmt.Errorf("circuit: there is no element %q", f.Element)
		}
		if !can(c.Elements[i].Kind, f.Fault) {
			return fmt.Errorf("circuit: a %s can't be %s", c.Elements[i].Kind, f.Fault)
		}
		if sized := f.Fault == High || f.Fault == Leak; sized && !(f.Ohms > 0 && f.Ohms <= OpenOhms) {
			return fmt.Errorf("circuit: %s of %s needs its ohms", f.Fault, f.Element)
		}
	}
	return nil
}

func can(k Kind, f FaultKind) bool {
	for _, x := range faultKinds[k] {
		if x == f {
			return true
		}
	}
	return false
}

func sortedKeys[V any](m map[string]V) []string {
	keys := make([]string, 0, len(m))
	for k := range m {
		keys = append(keys, k)
	}
	sort.Strings(keys)
	return keys
}

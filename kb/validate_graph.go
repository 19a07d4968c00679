package kb

import (
	"math"
	"reflect"
	"slices"
	"strings"
)

// checkFindingIDs reports findings that two articles define: an id names one
// finding in the whole base.
func (c *checker) checkFindingIDs() {
	owner := map[string]string{}
	for _, e := range c.set.inOrder(string(KindSymptom)) {
		for i, q := range e.value.(*Symptom).Questions {
			path := p("questions", i, "id")
			if a := c.set.articles[q.ID]; a != nil {
				c.fail(e, path, "rename it", "question %q has the id of a %s", q.ID, a.kind)
			}
			if other, ok := owner[q.ID]; ok {
				c.fail(e, path, "refer to it under asks: instead", "question %q is already asked by %q", q.ID, other)
				continue
			}
			owner[q.ID] = e.id
		}
	}
}

// checkCycles reports accesses inside one another and findings that depend on
// one another in a ring.
func (c *checker) checkCycles() {
	inside := map[string]string{}
	for _, a := range c.base.Access {
		inside[a.ID] = a.Inside
	}
	for _, e := range c.set.inOrder("access") {
		if ring := ringFrom(e.id, inside); ring != nil {
			c.fail(e, p("inside"), "", "access lies inside itself: %s", strings.Join(ring, " in "))
		}
	}
	because := map[string]string{}
	for id, f := range c.base.findings {
		because[id] = f.Because
	}
	for _, e := range c.set.inOrder(string(KindSymptom)) {
		for i, q := range e.value.(*Symptom).Questions {
			if ring := ringFrom(q.ID, because); q.Because != nil && ring != nil {
				c.fail(e, p("questions", i, "because"), "", "the finding depends on itself: %s", strings.Join(ring, " because of "))
			}
		}
	}
	for _, e := range c.set.inOrder(string(KindTest)) {
		if ring := ringFrom(e.id, because); e.value.(*Test).Because != nil && ring != nil {
			c.fail(e, p("because"), "", "the finding depends on itself: %s", strings.Join(ring, " because of "))
		}
	}
}

// ringFrom follows next from the id and returns the way back to it, or nil.
func ringFrom(id string, next map[string]string) []string {
	way := []string{id}
	for at := next[id]; at != ""; at = next[at] {
		way = append(way, at)
		if at == id {
			return way
		}
		if slices.Contains(way[:len(way)-1], at) {
			return nil // a ring further on, reported there
		}
	}
	return nil
}

// checkActions warns where causes cured by one job tell different things about
// it: only one of them can be right.
func (c *checker) checkActions() {
	first := map[string]*Cause{}
	for _, e := range c.set.inOrder(string(KindCause)) {
		a := e.value.(*Cause)
		r := a.Repair
		if r.Action == "" {
			continue
		}
		other := first[r.Action]
		if other == nil {
			first[r.Action] = a
			continue
		}
		if o := other.Repair; r.Minutes != o.Minutes || r.Money != o.Money || !slices.Equal(r.Access, o.Access) {
			c.warn(e, p("repair", "action"), "", "repair action %q has other minutes, money or access in cause %q", r.Action, other.ID)
		}
	}
}

// SameRow is the difference in every likelihood below which two causes count
// as not told apart: no number of answers brings them apart in practice.
const SameRow = 0.05

// checkTwins reports pairs of causes of one symptom that no finding tells
// apart. A pair whose bodies link to each other is admitted: its authors have
// said why.
func (c *checker) checkTwins() {
	// Only causes that show a finding in common need comparing; symptoms and
	// questions suffice, since every cause shows one.
	group := map[string][]string{}
	for _, e := range c.set.inOrder(string(KindCause)) {
		for _, id := range sortedKeys(c.base.rows[e.id]) {
			if f := c.base.findings[id]; f.Kind == FindingSymptom {
				group[id] = append(group[id], e.id)
			}
		}
	}
	done := map[[2]string]bool{}
	for _, id := range sortedKeys(group) {
		for i, a := range group[id] {
			for _, b := range group[id][i+1:] {
				if pair := [2]string{a, b}; !done[pair] {
					done[pair] = true
					c.checkTwin(id, c.base.causes[a], c.base.causes[b])
				}
			}
		}
	}
}

func (c *checker) checkTwin(symptom string, a, b *Cause) {
	switch {
	case !reflect.DeepEqual(a.When, b.When), !reflect.DeepEqual(a.Applies, b.Applies):
		return // conditions or the vehicle tell them apart
	case a.Circuit != nil && b.Circuit != nil && *a.Circuit != *b.Circuit:
		return // the circuit's solver does
	}
	rows := [2]map[string][]float64{c.base.rows[a.ID], c.base.rows[b.ID]}
	for k := range rows {
		for id, row := range rows[k] {
			other := rows[1-k][id]
			if other == nil {
				other = c.base.findings[id].Base
			}
			for i := range row {
				if math.Abs(row[i]-other[i]) > SameRow {
					return
				}
			}
		}
	}
	if slices.Contains(articleLinks(a.Body), b.ID) && slices.Contains(articleLinks(b.Body), a.ID) {
		return
	}
	e := c.set.articles[a.ID]
	c.flaw(e, p("shows"), "add a finding that differs, or say why in both bodies with links to each other",
		"nothing tells cause %q from %q, which also shows %q", a.ID, b.ID, symptom)
}

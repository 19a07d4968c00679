package chat

import (
	"ruleout/dialog/learn"
	"ruleout/server/casebook"
)

// teaching says whether and how closed cases count.
type teaching struct {
	on       bool
	strength float64
}

// Learn lets closed cases count in cases that are begun from now on; the
// authored frequencies together are worth strength of them. Without it, or
// with a strength of 0, the authored figures alone hold.
func (d *Desk) Learn(strength float64) { d.teaches = teaching{strength > 0, strength} }

// Ledger is what all closed cases taught, those of other garages too.
func (d *Desk) Ledger() (learn.Ledger, error) {
	_, known, err := d.refresh()
	if err != nil {
		return nil, err
	}
	foreign, err := d.book.Foreign()
	if err != nil {
		return nil, err
	}
	mine := learn.Ledger{}
	for id, l := range known {
		e := learn.Entry{Case: id, Turns: l.Turns, Closed: closedFor(l.State), Causes: l.Causes, Minutes: l.Minutes}
		if e.Closed || len(e.Minutes) > 0 || foreign[id].Case != "" {
			mine[id] = e
		}
	}
	return learn.Merge(foreign, mine), nil
}

// closedFor reports whether a case in this state counts: one that was cured,
// or closed as something that no article covers.
func closedFor(state string) bool { return state == "cured" || state == casebook.EndedElse }

// Counts sums the ledger up.
func (d *Desk) Counts() (learn.Counts, error) {
	l, err := d.Ledger()
	if err != nil {
		return learn.Counts{}, err
	}
	b := d.Engine().Base()
	return l.Count(d.teaches.strength, func(id string) bool { return b.Cause(id) != nil }), nil
}

// Learned are the counts for a case that begins now; nil when they don't
// count, or there are none.
func (d *Desk) Learned() (*learn.Counts, error) {
	if !d.teaches.on {
		return nil, nil
	}
	c, err := d.Counts()
	if err != nil || c.Cases == 0 && len(c.Checks) == 0 {
		return nil, err
	}
	return &c, nil
}

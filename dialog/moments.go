package dialog

import "slices"

// Moment is one event in the history of a case: an action on the car, a second
// thought, a proof. The history keeps what was taken back as well, so that the
// record shows each change of mind.
type Moment struct {
	// Turn is the number of the turn, counted from 1.
	Turn int `json:"turn"`
	// Kind is era, undone, started-over, struck, changed, supposed, kept,
	// dropped, split, waiting, arrived, armed, trial, reopened or closed.
	Kind string `json:"kind"`
	// Text says it in one line.
	Text string `json:"text"`
}

// mark adds an event of the present turn to the history.
func (s *State) mark(kind, text string) {
	s.History = append(slices.Clip(s.History), Moment{Turn: len(s.Turns), Kind: kind, Text: text})
}

// past returns the states of the turns in force, oldest first, the opening
// included and this state last.
func (s *State) past() []*State {
	var out []*State
	for at := s; at != nil; at = at.prev {
		out = append(out, at)
	}
	slices.Reverse(out)
	return out
}

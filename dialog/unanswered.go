package dialog

// A question that the person passes over twice, telling other things instead,
// is not put a third time: they have not looked, or do not want to say.
const putAtMost = 2

// letGo drops the question that was put often enough.
func (e *Engine) letGo(s *State, h *heard) {
	id := s.put.id
	if id == "" || s.put.times < putAtMost || len(h.requests) > 0 || len(h.notes)+len(h.facts)+len(h.remarks) == 0 || s.known(id) {
		return
	}
	s.Passed[id] = "asked twice, not answered"
	if s.Open != nil && (s.Open.id == id || s.Open.finding == id) {
		s.Open = nil
	}
}

// countPut counts how often in a row the same question was put.
func (s *State) countPut(n *Next) {
	switch {
	case n.Kind != "question" && n.Kind != "condition" && n.Kind != "look" || n.ID == "before":
		s.put.id, s.put.times = "", 0
	case n.ID == s.put.id:
		s.put.times++
	default:
		s.put.id, s.put.times = n.ID, 1
	}
}

package dialog

// held is the step that stays on the table because the turn changed nothing
// that is known: someone who asks why, or what a relay is, was in the middle
// of it. It is nil when the next step is to be chosen anew.
func (e *Engine) held(s *State, h *heard) *Next {
	if passes(h) {
		return nil
	}
	if s.prev != nil && s.Unwired != s.prev.Unwired {
		return nil // a circuit is to be worked out now
	}
	if s.supposed != nil || s.prev == nil || s.prev.last == nil || s.prev.last.Next == nil || changed(s.prev, s) || s.Closed != "" || len(s.Pending)+len(s.prev.Pending) > 0 {
		return nil
	}
	switch n := s.prev.last.Next; n.Kind {
	case "question", "test", "look-round", "repair", "proof":
		return n
	}
	return nil
}

// passes reports whether the turn passes on what is open.
func passes(h *heard) bool {
	for _, q := range h.requests {
		switch q.Kind {
		case "skip", "dont-know", "cannot", "no-tool":
			return true
		}
	}
	return false
}

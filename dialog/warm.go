package dialog

// Warm solves the circuits ahead: what every finding of an article that is seen
// in one shows there, under each fault and under two. Without it the first turn
// that tells of such a finding waits for that. It may run beside conversations;
// it ends early once stop reports true.
func (e *Engine) Warm(stop func() bool) {
	for _, w := range e.circuits {
		if stop() {
			return
		}
		w.tabulated()
	}
	for _, id := range sortedKeys(e.mapped) {
		if stop() {
			return
		}
		if x := e.sight(id); x != nil {
			e.paired(x)
		}
	}
}

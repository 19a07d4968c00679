package plainwords

// lacking reports whether "no" right before a number of volts says that there
// were none: "no 12v on the pump plug".
func (t *turn) lacking(n *number) bool {
	return n.dim == dimVoltage && n.first > 0 && t.toks[n.first-1].norm == "no" && t.toks[n.first-1].clause == t.toks[n.first].clause && t.word(n.last, 1) != "missing" && t.word(n.last, 1) != "lost"
}

// none is the quantity of which nothing was there.
func (q Quantity) none() Quantity {
	q.Value, q.Low, q.High, q.OpenLow, q.OpenHigh = 0, 0, 0, false, false
	q.Written = "no " + q.Written
	return q
}

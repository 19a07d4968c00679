package kb

// drawWhen are the times at which a load stays on.
var drawWhen = []string{"parked", "running", "both"}

// checkDraw checks a load: amperes ascending and possible, with a basis.
func (c *checker) checkDraw(e *entry, path []any, d *Draw) {
	if d == nil {
		return
	}
	c.text(e, under(path, "what"), d.What)
	c.oneOf(e, under(path, "when"), d.When, drawWhen...)
	c.basis(e, under(path, "basis"), d.Basis)
	if !(d.Amps[0] > 0 && d.Amps[0] <= d.Amps[1] && d.Amps[1] <= 500) {
		c.fail(e, under(path, "amps"), "", "%g to %g A is no range of a load, least first", d.Amps[0], d.Amps[1])
	}
}

// checkSpread checks a range of percent.
func (c *checker) checkSpread(e *entry, path []any, s *Spread) {
	if s == nil {
		return
	}
	c.basis(e, under(path, "basis"), s.Basis)
	if !(s.Low >= 0 && s.Low <= s.High && s.High <= 100) {
		c.fail(e, path, "", "%g to %g is no range of percent, least first", s.Low, s.High)
	}
}

package circuit

// bench is the setup as far as it matters to a part that lies on the bench:
// nothing else is joined to it.
func (s Setup) bench() Setup {
	s.Pulled, s.Bridged, s.Fed, s.Earthed = nil, nil, nil, nil
	return s
}

// alone is the resistance between two terminals of a part by itself, with no
// current in its coil: ohms, OpenOhms for no path, Missing where the part has
// no such pair. People call the contact that feeds the load 87 whether it
// rests open or closed, so where a relay has no 87 its 87a is meant.
func (s *solver) alone(part int, a, b string) float64 {
	for k, f := range s.fuses {
		if f == part && s.blown>>k&1 == 1 {
			return OpenOhms
		}
	}
	want := roleMain
	pair := a + " " + b
	switch pair {
	case "86 85", "85 86":
		want = roleCoil
	case "30 87a", "87a 30", "c rest", "rest c":
		want = roleRest
	}
	other := -1
	for i := range s.branches {
		x := &s.branches[i]
		if x.part != part {
			continue
		}
		if x.role == want {
			return min(1/x.g, OpenOhms)
		}
		if x.role == roleRest && (pair == "30 87" || pair == "87 30") {
			other = i
		}
	}
	if other >= 0 {
		return min(1/s.branches[other].g, OpenOhms)
	}
	return Missing
}

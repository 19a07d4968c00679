// Package circuit solves the control circuits of a car: it predicts what a
// meter shows, what runs, lights and clicks, under any fault and in any of the
// ways in which makers wire the same function. It is pure: values in, values
// out.
//
// # Use
//
// A Netlist is plain data: elements, the arrangements that join their
// terminals, controls (key, temperature), what can be pulled, and setups in
// which something is observed. Compile checks it and returns a Circuit:
//
//	c, problems := circuit.Compile(netlist)
//	s, err := c.Solve("ordinary", setup, circuit.Faulted{Element: "fan-ground", Fault: circuit.High, Ohms: 1})
//	v, ok := s.Volt("fan-")
//
// Predict gives what one Check shows under every hypothesis, Tabulate what all
// checks of the netlist show; make the table once and keep it. Weigh turns
// observations into one likelihood for each cause, for belief.Composite.
// Expect says what should be read, sound and under each cause; Explain what a
// reading means in each arrangement; Harm what an action would damage.
//
// A Mind follows one circuit by itself, for someone who does not know how it
// is wired: Begin, Next (the check that tells most), Saw or Lacks, Causes,
// Arrangements. Groups lists causes that no check tells apart.
//
// # Solving
//
// Every element is one or more conductances with a source in series. Their
// equations, one for each cut of the heaviest spanning tree (see mesh), are
// factorised by gonum; the tests compare with the nodal equations in
// fractions, with circuits solved by hand and with a circuit simulator. What
// is open has 1e12 Ω. Around that, from the inside out: filaments (Newton),
// diodes and rectifiers (one at a time), the alternator's regulator (secant),
// relays, motors and drivers (repeated until nothing changes; a state that
// comes back is chatter), fuses (the worst first, from FuseShare of the
// rating). Relays and motors start from rest: a relay pulls in at PullIn and
// lets go below DropOut, a motor turns once its stalled current reaches PullIn
// and then has its running resistance.
//
// # Belief
//
// With s a local hypothesis (sound, or one cause), A an arrangement and m a
// size of the fault,
//
//	L(s) = Σ_A P(A | s) Σ_m P(m) Π_o P(o | s, A, m)
//
// over all observations o together, exactly. P(A | s) is the share of the
// arrangement among those in which s can be. Sizes not known are five points
// on a log scale, shared by all observations.
package circuit

package circuit

import (
	"fmt"
	"math"
	"strings"
)

// FuseShare is the current, as a share of its rating, at which a fuse is taken
// to blow. Basis: published: ISO 8820-3 (from memory): 110 % is carried for a
// hundred hours, 135 % blows within half an hour.
const FuseShare = 1.35

// solver holds the scratch of one worker.
type solver struct {
	c        *Circuit
	m        mesh
	branches []branch
	mods     []mod
	extras   []branch
	main     []int // branch of each part that carries its current
	coil     []int // branch whose current works a bistable part
	diode    []int // branches that pass one way
	lamps    []int
	fuses    []int
	volts    []float64
	lampV    []float64
	passing  uint64 // diodes that conduct, by place in diode
	emf      float64
	blown    uint64 // fuses, by place in fuses
	gen      int    // part of the alternator, -1 for none
	sense    int    // node at which it is regulated
}

// Solution is a circuit at rest in one state. Volts are against ground.
type Solution struct {
	Nodes []string
	Volts []float64
	// Amps is the current through each part from its first terminal to its
	// second: contacts of a relay from 30 to 87, output of an alternator.
	Amps []float64
	// On tells of relays that they are pulled in, of motors that they turn,
	// of drivers that they conduct, of alternators that they charge.
	On    []bool
	Parts []string
	// Blown and Chatters name elements.
	Blown, Chatters []string

	w *wired
}

// Volt returns the volts of a node against ground; false if there is no such
// node in the arrangement.
func (s *Solution) Volt(node string) (float64, bool) {
	i, ok := s.w.index[node]
	if !ok {
		return 0, false
	}
	return s.Volts[i], true
}

// Amp returns the current through an element.
func (s *Solution) Amp(element string) (float64, bool) {
	for i, id := range s.Parts {
		if id == element {
			return s.Amps[i], true
		}
	}
	return 0, false
}

// IsOn reports whether a relay, motor, driver or alternator is on.
func (s *Solution) IsOn(element string) bool {
	for i, id := range s.Parts {
		if id == element {
			return s.On[i]
		}
	}
	return false
}

// FloatError names nodes that nothing joins to ground.
type FloatError struct{ Nodes []string }

func (e *FloatError) Error() string {
	return "circuit: nothing joins to ground: " + strings.Join(e.Nodes, ", ")
}

func series(ohms, more float64) float64 {
	if ohms >= OpenOhms {
		return 1 / OpenOhms
	}
	return 1 / min(max(ohms, leastOhms)+more, OpenOhms)
}

// build lays out the branches of the scene with everything at rest.
func (s *solver) build(sc *scene, faults []Faulted) {
	w := sc.w
	s.extras = append(s.extras[:0], sc.extras...)
	s.mods, s.extras = s.c.mods(sc, faults, s.mods, s.extras)
	s.branches, s.main, s.coil = s.branches[:0], s.main[:0], s.coil[:0]
	s.diode, s.lamps, s.fuses = s.diode[:0], s.lamps[:0], s.fuses[:0]
	s.passing, s.blown, s.gen = 0, 0, -1
	add := func(p, a, b int, r role, g, emf float64) int {
		s.branches = append(s.branches, branch{a: a, b: b, part: p, role: r, g: g, emf: emf})
		return len(s.branches) - 1
	}
	for i := range w.parts {
		p, m := &w.parts[i], &s.mods[i]
		e := p.e
		cut := sc.open[i] || m.open
		ohms, emf := e.Ohms, 0.0
		main, coil := -1, -1
		switch e.Kind {
		case Battery:
			emf = e.Volts
			if m.flat {
				ohms, emf = flatOhms, flatVolts
			}
			if cut {
				ohms = OpenOhms
				emf = 0
			}
			main = add(i, p.at[0], p.at[1], roleMain, series(ohms, m.series), emf)
		case Switch:
			shut := (sc.closed[i] || m.stuckClosed) && !m.stuckOpen && !cut
			main = add(i, p.at[0], p.at[1], roleMain, contact(shut, e.Contact, m.series), 0)
		case Changeover:
			worked := (sc.closed[i] || m.stuckClosed) && !m.stuckOpen
			if p.at[2] >= 0 {
				main = add(i, p.at[0], p.at[2], roleMain, contact(worked && !cut, e.Contact, m.series), 0)
			}
			if p.at[1] >= 0 {
				rest := add(i, p.at[0], p.at[1], roleRest, contact(!worked && !cut, e.Contact, m.series), 0)
				if main < 0 {
					main = rest
				}
			}
		case Relay:
			coilOhms := e.Ohms
			if m.coilShort {
				coilOhms = shortOhms * 50 // shorted turns leave half an ohm
			}
			if m.coilOpen || cut {
				coilOhms = OpenOhms
			}
			coil = add(i, p.at[0], p.at[1], roleCoil, series(coilOhms, 0), 0)
			if p.at[3] >= 0 {
				main = add(i, p.at[2], p.at[3], roleMain, 1/OpenOhms, 0)
			}
			if p.at[4] >= 0 {
				rest := add(i, p.at[2], p.at[4], roleRest, 1/OpenOhms, 0)
				if main < 0 {
					main = rest
				}
			}
		case Driver:
			main = add(i, p.at[0], p.at[1], roleMain, 1/OpenOhms, 0)
			if p.at[2] >= 0 {
				add(i, p.at[2], p.at[1], roleSense, 1/senseOhms, 0)
			}
		case Alternator:
			main = add(i, p.at[0], p.at[1], roleGenerat, 1/OpenOhms, 0)
			s.diode = append(s.diode, main)
			s.gen, s.sense = i, p.at[0]
			if p.at[2] >= 0 {
				field := e.Ohms
				if m.open || cut {
					field = OpenOhms
				}
				coil = add(i, p.at[2], p.at[1], roleField, series(field, 0), 0)
			}
			if p.at[3] >= 0 {
				add(i, p.at[3], p.at[1], roleSense, 1/senseOhms, 0)
				s.sense = p.at[3]
			}
			s.emf = e.Volts
		default:
			switch {
			case e.Kind == Motor:
				ohms = e.Stall
			case e.Kind == Sender:
				ohms = sc.ohms[i]
			}
			if m.short {
				ohms = shortOhms
			}
			if cut {
				ohms = OpenOhms
			}
			main = add(i, p.at[0], p.at[1], roleMain, series(ohms, m.series), 0)
			switch {
			case cut || m.short:
			case e.Kind == Diode:
				s.diode = append(s.diode, main)
				s.branches[main].g = 1 / OpenOhms
			case e.Kind == Lamp:
				s.lamps = append(s.lamps, main)
			case e.Kind == Fuse:
				s.fuses = append(s.fuses, i)
			case e.Kind == Motor:
				coil = main
			}
		}
		s.main = append(s.main, main)
		s.coil = append(s.coil, coil)
	}
	s.branches = append(s.branches, s.extras...)
	s.lampV = s.lampV[:0]
	for range s.lamps {
		s.lampV = append(s.lampV, 12)
	}
	if n := len(w.nodes); len(s.volts) != n {
		s.volts = make([]float64, n)
	}
}

func contact(shut bool, ohms, more float64) float64 {
	if !shut {
		return 1 / OpenOhms
	}
	return series(ohms, more)
}

// amps is the current of a branch at the volts found.
func (s *solver) amps(b int) float64 {
	x := &s.branches[b]
	return x.g * (s.volts[x.a] - s.volts[x.b] - x.emf)
}

// factor puts the branches into the mesh and factorises it.
func (s *solver) factor(w *wired) error {
	s.m.reset(len(w.nodes))
	for i := range s.branches {
		if b := &s.branches[i]; b.a != b.b {
			s.m.join(b.a, b.b, b.g, b.emf)
		}
	}
	if loose := s.m.factor(); loose != nil {
		e := &FloatError{}
		for _, k := range loose {
			e.Nodes = append(e.Nodes, w.nodes[k])
		}
		return e
	}
	return nil
}

// linear solves with the branches as they are.
func (s *solver) linear(w *wired) error {
	if err := s.factor(w); err != nil {
		return err
	}
	s.m.solve(s.volts)
	return nil
}

// show sets the branches to the state of the bistable parts.
func (s *solver) show(sc *scene, on uint64) {
	for i := range sc.w.parts {
		p, m := &sc.w.parts[i], &s.mods[i]
		if p.bit < 0 {
			continue
		}
		is := on>>p.bit&1 == 1
		switch p.e.Kind {
		case Relay:
			if sc.open[i] || m.open {
				continue
			}
			// Welded contacts hold the armature: the break contact stays open.
			make, rest := is, !is
			if m.stuckClosed {
				make, rest = s.branches[s.main[i]].role == roleMain, s.branches[s.main[i]].role == roleRest
			}
			if m.stuckOpen {
				make, rest = false, false
			}
			for b := s.coil[i] + 1; b < len(s.branches) && s.branches[b].part == i; b++ {
				shut := make
				if s.branches[b].role == roleRest {
					shut = rest
				}
				s.branches[b].g = contact(shut, p.e.Contact, m.series)
			}
		case Motor:
			if sc.open[i] || m.open || m.short {
				continue
			}
			ohms := p.e.Stall
			if is {
				ohms = p.e.Ohms
			}
			s.branches[s.main[i]].g = series(ohms, m.series)
		case Driver:
			shut := (is || m.stuckClosed) && !m.stuckOpen && !sc.open[i]
			s.branches[s.main[i]].g = contact(shut, p.e.Contact, m.series)
		case Alternator:
			if f := s.coil[i]; f >= 0 {
				s.branches[f].emf = 0
				if is {
					s.branches[f].emf = s.emf
				}
			}
			s.branches[s.main[i]].emf = 0
		}
	}
}

// next returns the state of the bistable parts that follows from the volts.
func (s *solver) next(sc *scene, on uint64) uint64 {
	out := uint64(0)
	for i := range sc.w.parts {
		p, m := &sc.w.parts[i], &s.mods[i]
		if p.bit < 0 {
			continue
		}
		was, is := on>>p.bit&1 == 1, false
		e := p.e
		switch e.Kind {
		case Relay, Motor:
			limit := e.PullIn
			if was {
				limit = e.DropOut
			}
			is = s.coil[i] >= 0 && math.Abs(s.amps(s.coil[i])) >= limit && !m.seized && !m.short && !m.coilShort
		case Driver:
			if p.at[2] < 0 {
				is = sc.closed[i]
				break
			}
			v := s.volts[p.at[2]] - s.volts[p.at[1]]
			is = e.Below > 0 && v < e.Below || e.Above > 0 && v > e.Above
			if len(e.Closed) > 0 {
				is = is && sc.closed[i]
			}
		case Alternator:
			limit := e.PullIn
			// Once it charges it feeds its own field.
			field := s.coil[i] < 0 || was || s.amps(s.coil[i]) >= limit
			is = sc.closed[i] && field && !m.stuckOpen && !m.open && !sc.open[i]
		}
		if is {
			out |= 1 << p.bit
		}
	}
	return out
}

// shape sets the branches that depend on the volts: filaments as the tangent
// of their curve, diodes and rectifiers open or conducting.
func (s *solver) shape(sc *scene, on uint64) {
	for k, b := range s.lamps {
		e, v := sc.w.parts[s.branches[b].part].e, math.Abs(s.lampV[k])
		if hot := e.lampOhms(v); hot > e.Cold {
			amps := v / hot
			s.branches[b].g = (1 - lampExponent) * amps / v
			s.branches[b].emf = s.lampV[k] * (1 - 1/(1-lampExponent))
		} else {
			s.branches[b].g, s.branches[b].emf = 1/e.Cold, 0
		}
	}
	for k, b := range s.diode {
		x := &s.branches[b]
		pass := s.passing>>k&1 == 1
		x.g, x.emf = 1/OpenOhms, 0
		switch {
		case !pass:
		case x.role == roleGenerat:
			x.g, x.emf = series(alternatorOhms, s.mods[x.part].series), s.emf
		default:
			x.g, x.emf = 1/diodeOhms, diodeVolts
		}
	}
	if s.gen >= 0 && s.coil[s.gen] >= 0 && on>>sc.w.parts[s.gen].bit&1 == 1 {
		s.branches[s.coil[s.gen]].emf = s.emf
	}
}

// lampOhms is the resistance of a filament at the volts across it.
func (e *Element) lampOhms(v float64) float64 {
	if v <= 0 {
		return e.Cold
	}
	return max(e.Cold, e.Ohms*math.Pow(v/e.Volts, lampExponent))
}

// within is how close the volts of a filament or regulator must come.
const within = 1e-11

// bend solves with the bistable parts as they are: filaments by Newton's
// method, then diodes one at a time in order (which always ends), then the
// regulator.
func (s *solver) bend(sc *scene, on uint64) error {
	lastE, lastF := 0.0, 0.0
	tries := 0
	for round := 0; round < 400; round++ {
		s.shape(sc, on)
		if err := s.linear(sc.w); err != nil {
			return err
		}
		settled := true
		for k, b := range s.lamps {
			v := s.volts[s.branches[b].a] - s.volts[s.branches[b].b]
			if math.Abs(v-s.lampV[k]) > within*(1+math.Abs(v)) {
				settled = false
			}
			if round > 30 {
				v = (v + s.lampV[k]) / 2
			}
			s.lampV[k] = v
		}
		if !settled {
			continue
		}
		flipped := false
		for k, b := range s.diode {
			x := &s.branches[b]
			pass := s.passing>>k&1 == 1
			across := s.volts[x.a] - s.volts[x.b]
			want := across > diodeVolts
			if pass {
				want = s.amps(b) > 0
			}
			if x.role == roleGenerat {
				want = on>>sc.w.parts[x.part].bit&1 == 1
				if pass {
					want = want && s.amps(b) <= 0
				} else {
					want = want && across < s.emf
				}
			}
			if want != pass {
				s.passing ^= 1 << k
				flipped = true
				break
			}
		}
		if flipped {
			tries = 0
			continue
		}
		if s.gen < 0 || on>>sc.w.parts[s.gen].bit&1 == 0 {
			return nil
		}
		target := sc.w.parts[s.gen].e.Volts
		f := s.volts[s.sense] - s.volts[sc.w.parts[s.gen].at[1]] - target
		if s.mods[s.gen].stuckClosed {
			f = -target
		}
		if math.Abs(f) < 1e-9 || f < 0 && s.emf >= alternatorMax || f > 0 && s.emf <= 0 {
			return nil
		}
		slope := 1.0
		if tries > 0 && s.emf != lastE && f != lastF {
			slope = (f - lastF) / (s.emf - lastE)
		}
		if !(slope > 0.05) {
			slope = 0.05
		}
		lastE, lastF = s.emf, f
		s.emf = min(max(s.emf-f/slope, 0), alternatorMax)
		tries++
	}
	return fmt.Errorf("circuit: %s: filaments and rectifiers do not settle", s.c.Netlist.ID)
}

// settle iterates relays, motors, drivers and fuses to a fixed point.
func (s *solver) settle(sc *scene, faults []Faulted, from uint64) (on uint64, chatter uint64, err error) {
	s.build(sc, faults)
	on = from
	for {
		var seen []uint64
		for {
			s.show(sc, on)
			if err := s.bend(sc, on); err != nil {
				return on, 0, err
			}
			next := s.next(sc, on)
			if next == on {
				break
			}
			if k := indexOf(seen, next); k >= 0 {
				for _, x := range seen[k:] {
					chatter |= x ^ next
				}
				return on, chatter | on ^ next, nil
			}
			seen = append(seen, on)
			on = next
		}
		worst, at := FuseShare, -1
		for k, i := range s.fuses {
			if s.blown>>k&1 == 1 {
				continue
			}
			if share := math.Abs(s.amps(s.main[i])) / sc.w.parts[i].e.Rating; share >= worst {
				worst, at = share, k
			}
		}
		if at < 0 {
			return on, 0, nil
		}
		s.blown |= 1 << at
		s.branches[s.main[s.fuses[at]]].g = 1 / OpenOhms
	}
}

func indexOf(xs []uint64, x uint64) int {
	for i := range xs {
		if xs[i] == x {
			return i
		}
	}
	return -1
}

// solution copies what the solver found.
func (s *solver) solution(sc *scene, on, chatter uint64) *Solution {
	w := sc.w
	out := &Solution{Nodes: w.nodes, w: w, Volts: append([]float64(nil), s.volts...)}
	for i := range w.parts {
		p := &w.parts[i]
		out.Parts = append(out.Parts, p.e.ID)
		a := 0.0
		if s.main[i] >= 0 {
			a = s.amps(s.main[i])
			if p.e.Kind == Alternator {
				a = -a
			}
		}
		out.Amps = append(out.Amps, a)
		out.On = append(out.On, p.bit >= 0 && on>>p.bit&1 == 1)
		if p.bit >= 0 && chatter>>p.bit&1 == 1 {
			out.Chatters = append(out.Chatters, p.e.ID)
		}
	}
	for k, i := range s.fuses {
		if s.blown>>k&1 == 1 {
			out.Blown = append(out.Blown, w.parts[i].e.ID)
		}
	}
	return out
}

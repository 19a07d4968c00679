package dialog

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"ruleout/dialog/circuit"
)

// The requests about a circuit: what should be read or happen, may something
// be done, and something was done (then only harm is spoken of).
const (
	askCircuit = "ask-circuit"
	mayCircuit = "may-circuit"
	didCircuit = "did-circuit"
	// drawCircuit asks for the drawing.
	drawCircuit = "draw-circuit"
)

// Limits of what is said of a circuit.
const (
	sayArrangements = 3
	sayArrangedFrom = 0.05 // an arrangement this likely is spoken of
	saySuspected    = 4
	suspectedFrom   = 0.02
	harmSuspects    = 0.05 // suspects under which harm is judged
)

// serveCircuit answers a request about a circuit.
func (e *Engine) serveCircuit(s *State, kind, id string, j *judged) (string, []string) {
	w, ch, ok := e.parseCheck(id)
	if !ok {
		return "", nil
	}
	if _, why := w.c.AtRestraint(ch); why != "" {
		return "**Don't do that.** " + why, []string{w.article.ID}
	}
	if kind != didCircuit {
		s.askedOf = askedOf{id, len(s.Turns)}
	}
	st := e.standingFor(s, j, w)
	var texts []string
	if harm := e.harmWords(st, ch.Setup, kind); harm != "" {
		texts = append(texts, harm)
	}
	if kind != didCircuit {
		texts = append(texts, e.expectWords(st, ch))
	}
	if len(texts) == 0 {
		return "", nil
	}
	return strings.Join(texts, "\n"), []string{w.article.ID}
}

// suspected lists the causes of the circuit that are in play, likeliest first.
func (e *Engine) suspected(st *standing, from float64, most int) []int {
	var hs []int
	for h, n := range st.w.cause {
		if n >= 0 && st.hypothesis[h] >= from {
			hs = append(hs, h)
		}
	}
	slices.SortStableFunc(hs, func(a, b int) int {
		switch x, y := round9(st.hypothesis[a]), round9(st.hypothesis[b]); {
		case x > y:
			return -1
		case x < y:
			return 1
		}
		return a - b
	})
	return hs[:min(len(hs), most)]
}

// arranged lists the arrangements worth speaking of, likeliest first.
func (st *standing) arranged() []int {
	var out []int
	for a, p := range st.arrangement {
		if p >= sayArrangedFrom {
			out = append(out, a)
		}
	}
	slices.SortStableFunc(out, func(a, b int) int {
		switch x, y := round9(st.arrangement[a]), round9(st.arrangement[b]); {
		case x > y:
			return -1
		case x < y:
			return 1
		}
		return a - b
	})
	return out[:min(len(out), sayArrangements)]
}

// expectWords says what a check should show: sound, and under each suspect
// that is left, in each arrangement that the car may have.
func (e *Engine) expectWords(st *standing, ch circuit.Check) string {
	w := st.w
	var names []string
	suspects := e.suspected(st, suspectedFrom, saySuspected)
	for _, h := range suspects {
		names = append(names, w.c.Hypotheses()[h].Cause)
	}
	// The sound circuit always comes along; without a suspect only it does.
	if len(names) == 0 {
		names = []string{""}
	}
	all, err := w.c.Expect(ch, names...)
	if err != nil {
		return ""
	}
	var b strings.Builder
	fmt.Fprintf(&b, "**%s**", upperFirst(w.checkTitle(ch)))
	if unitOf(ch.What) != "" {
		fmt.Fprintf(&b, ": %s.", w.leads(ch))
	}
	type line struct {
		text  string
		title []string
		p     float64
	}
	var lines []line
	lacks := func(text string) bool { return strings.HasPrefix(text, "this wiring") }
	some := slices.ContainsFunc(st.arranged(), func(a int) bool { return !lacks(e.expectedIn(st, ch, a, all)) })
	for _, a := range st.arranged() {
		text := e.expectedIn(st, ch, a, all)
		if some && lacks(text) {
			continue
		}
		arr := &w.article.Arrangements[a]
		k := slices.IndexFunc(lines, func(l line) bool { return l.text == text })
		if k < 0 {
			k = len(lines)
			lines = append(lines, line{text: text})
		}
		lines[k].title = append(lines[k].title, arr.Title)
		lines[k].p += st.arrangement[a]
	}
	for _, l := range lines {
		if len(lines) == 1 && l.p > 0.9 {
			fmt.Fprintf(&b, "\n- %s", l.text)
			continue
		}
		fmt.Fprintf(&b, "\n- Wired like this: %s (%s): %s", strings.Join(l.title, "; or: "), plain(l.p), l.text)
	}
	return b.String()
}

// expectedIn words one arrangement: the sound value, then what each suspect
// makes of it.
func (e *Engine) expectedIn(st *standing, ch circuit.Check, a int, all []circuit.Expected) string {
	w := st.w
	id := w.article.Arrangements[a].ID
	say := func(x circuit.Expected) string {
		if x.Missing {
			return "this wiring has no such point"
		}
		if ch.What == circuit.Works || ch.What == circuit.Clicks {
			if x.Low == x.High {
				return "the " + w.c.Say(ch, x.Low)
			}
			return "the " + w.c.Say(ch, x.Low) + " or " + w.c.EffectWords(ch.Element, circuit.Effect(x.High))
		}
		return x.Words(ch.What)
	}
	sound := ""
	var same []string
	var differ []string // what is shown, each with the causes that show it
	causes := map[string][]string{}
	for _, x := range all {
		if x.Arrangement != id {
			continue
		}
		if x.Cause == "" {
			sound = say(x)
			continue
		}
		n, ok := e.number[x.Cause]
		if !ok {
			continue
		}
		title := lowerFirst(brief(e.base.Causes[n].Title))
		if t := say(x); t == sound {
			same = append(same, title)
		} else {
			if causes[t] == nil {
				differ = append(differ, t)
			}
			causes[t] = append(causes[t], title)
		}
	}
	text := sound + " if nothing is wrong"
	if strings.HasPrefix(sound, "this wiring") {
		return sound + "."
	}
	for i, t := range differ {
		differ[i] = t + " with " + strings.Join(causes[t], " or ")
	}
	if len(differ) > 0 {
		text += "; " + strings.Join(differ, "; ")
	}
	if len(same) > 0 {
		text += "; no different with " + strings.Join(same, ", ")
	}
	return text + "."
}

// harms solves an action in every arrangement that the car may have.
func (e *Engine) harms(st *standing, s circuit.Setup) []circuit.Harm {
	if len(s.Bridged)+len(s.Fed)+len(s.Earthed)+len(s.Pulled)+len(s.Swapped) == 0 {
		return nil
	}
	var causes []string
	for _, h := range e.suspected(st, harmSuspects, saySuspected) {
		causes = append(causes, st.w.c.Hypotheses()[h].Cause)
	}
	out, err := e.harmOf(st, s, causes...)
	if err != nil {
		return nil
	}
	return out
}

// harmWords says what an action would damage, the worst first. Nothing is said
// of an action that harms nothing, unless it was asked.
func (e *Engine) harmWords(st *standing, s circuit.Setup, kind string) string {
	hs := e.harms(st, s)
	w := st.w
	// What is harmless at rest may not be once the key is turned: the action is
	// solved in every state that the article lists.
	done := map[string]bool{w.rawState(s): true}
	for _, x := range w.c.Setups {
		if len(hs) > 0 || len(s.Bridged)+len(s.Fed)+len(s.Earthed) == 0 {
			break
		}
		other := s
		other.ID, other.Set = "", x.Set
		if raw := w.rawState(other); !done[raw] {
			done[raw] = true
			more, err := e.harmOf(st, other)
			if err != nil {
				continue
			}
			for _, h := range more {
				h.Text += " once this is so: " + w.stateWords(circuit.Setup{Set: x.Set})
				hs = append(hs, h)
			}
		}
	}
	type group struct {
		text   string
		stop   bool
		titles []string
		p      float64
	}
	// Of the leads the one that carries most speaks for all.
	most := map[bool]float64{}
	for _, h := range hs {
		most[h.Stop] = max(most[h.Stop], h.Lead)
	}
	texts := map[bool]string{}
	for _, h := range hs {
		if h.Lead > 0 && h.Lead == most[h.Stop] {
			texts[h.Stop] = h.Text
		}
	}
	var groups []group
	for _, h := range hs {
		if h.Lead > 0 {
			h.Text = texts[h.Stop]
		}
		text := sentence(upperFirst(h.Text))
		if n, ok := e.number[h.Under]; ok {
			text = fmt.Sprintf("With %s, %s: then that is the fault.", lowerFirst(brief(e.base.Causes[n].Title)), strings.TrimSuffix(h.Text, "."))
		}
		k := slices.IndexFunc(groups, func(g group) bool { return g.text == text })
		if k < 0 {
			k = len(groups)
			groups = append(groups, group{text: text, stop: h.Stop})
		}
		for a := range w.article.Arrangements {
			if arr := &w.article.Arrangements[a]; arr.ID == h.Arrangement && !slices.Contains(groups[k].titles, arr.Title) {
				groups[k].titles = append(groups[k].titles, arr.Title)
				groups[k].p += st.arrangement[a]
			}
		}
	}
	slices.SortStableFunc(groups, func(a, b group) int {
		if a.stop != b.stop {
			if a.stop {
				return -1
			}
			return 1
		}
		return 0
	})
	var lines []string
	for _, g := range groups {
		where := ""
		if g.p < 0.97 {
			where = fmt.Sprintf(" (if it is wired like this: %s; %s)", strings.Join(g.titles, "; or: "), plain(g.p))
		}
		switch {
		case !g.stop && kind == didCircuit:
			continue // it is done, and nothing is to be undone
		case g.stop && fedByName(s):
			lines = append(lines, "⚠ Only with its plug off: with it on, "+lowerFirst(strings.TrimSuffix(g.text, "."))+where+".")
		case g.stop && kind == didCircuit:
			lines = append(lines, "⚠ Take that away again: "+lowerFirst(strings.TrimSuffix(g.text, "."))+where+".")
		case g.stop:
			lines = append(lines, "**Don't do that.** "+strings.TrimSuffix(g.text, ".")+where+".")
		default:
			lines = append(lines, "⚠ "+strings.TrimSuffix(g.text, ".")+where+".")
		}
		if len(lines) == 3 {
			break
		}
	}
	if su := w.setup(w.stateID(s)); su != nil && kind == mayCircuit && len(su.Cautions) > 0 && !strings.HasPrefix(strings.Join(lines, ""), "**") {
		for _, c := range su.Cautions {
			lines = append(lines, "⚠ "+sentence(c))
		}
		if len(lines) == len(su.Cautions) {
			lines = slices.Insert(lines, 0, "By the circuit that harms nothing, done like this:")
		}
	}
	if len(lines) == 0 && kind == mayCircuit {
		if len(s.Bridged)+len(s.Fed)+len(s.Earthed) > 0 {
			return fmt.Sprintf("By the circuit that harms nothing, with a lead fused at %g A and only at the points named; yellow plugs (airbag) and control units stay untouched.", circuit.JumperFuse(0.75))
		}
		return "By the circuit that harms nothing."
	}
	return strings.Join(lines, "\n")
}

// fedByName reports whether a part is fed by both its terminals: that is done
// with its own plug off.
func fedByName(s circuit.Setup) bool {
	return len(s.Fed) == 1 && len(s.Earthed) == 1 && strings.Contains(s.Fed[0], ".") && strings.Contains(s.Earthed[0], ".")
}

// stopped reports whether an action must not be proposed.
func (e *Engine) stopped(st *standing, s circuit.Setup) bool {
	return slices.ContainsFunc(e.harms(st, s), func(h circuit.Harm) bool { return h.Stop })
}

// meaning says what was just seen of a circuit means in the arrangements that
// the car may have: "the contacts are closed at rest, so ...".
func (e *Engine) meaning(s *State, j *judged, h *heard) (string, []string) {
	if j == nil {
		return "", nil // an earlier reply is said once more
	}
	for _, st := range j.standings {
		var now *seen
		for i := range st.seen {
			if slices.Contains(h.notes, s.Notes[st.seen[i].note].Number) {
				now = &st.seen[i]
			}
		}
		if now == nil || !now.sight.own && !s.followed(st.w, j) {
			continue
		}
		w := st.w
		a, p := st.likeliest()
		arr := &w.article.Arrangements[a]
		var b strings.Builder
		if len(w.article.Arrangements) > 1 {
			said := w.article.ID + "|" + arr.ID
			if p >= arrangementSure {
				said += "|sure"
			}
			switch {
			case s.drawn == w.article.ID, s.toldWiring == said: // said before
			case p >= arrangementSure:
				fmt.Fprintf(&b, "So it is wired like this: %s (%s). %s ", arr.Title, plain(p), sentence(arr.Tells))
			default:
				fmt.Fprintf(&b, "Most likely wiring: %s (%s). If so: %s ", arr.Title, plain(p), lowerFirst(sentence(arr.Tells)))
			}
		}
		if s.toldWiring = w.article.ID + "|" + arr.ID; p >= arrangementSure {
			s.toldWiring += "|sure"
		}
		b.WriteString(e.fitWords(st, now, a))
		b.WriteString(e.alikeWords(s, st))
		return strings.TrimSpace(b.String()), []string{w.article.ID}
	}
	return "", nil
}

// alikeFrom is the probability of each, and together, from which causes that
// look alike are spoken of. Basis: memory.
const (
	alikeFrom     = 0.05
	alikeTogether = 0.4
)

// alikeWords says, once, that no reading of the circuit tells apart the causes
// that lead.
func (e *Engine) alikeWords(s *State, st *standing) string {
	w := st.w
	w.tabulated()
	for _, g := range w.alike {
		var names []string
		sum := 0.0
		for h, n := range w.cause {
			if n >= 0 && st.hypothesis[h] >= alikeFrom && slices.Contains(g, w.c.Hypotheses()[h].Cause) {
				names = append(names, lowerFirst(brief(e.base.Causes[n].Title)))
				sum += st.hypothesis[h]
			}
		}
		if key := strings.Join(names, "|"); len(names) > 1 && sum >= alikeTogether && s.toldAlike != key {
			s.toldAlike = key
			return " No reading that can be taken tells " + strings.Join(names, " from ") + ": they go as one, a look at the parts or a trial repair tells them apart."
		}
	}
	return ""
}

// fitWords says which of the circuit's suspects fit what was seen in an
// arrangement, and which it speaks against.
func (e *Engine) fitWords(st *standing, sn *seen, a int) string {
	w := st.w
	like := func(h int) float64 {
		sum, mass := 0.0, 0.0
		for _, v := range w.c.VariantsOf(h) {
			if w.c.ArrangementAt(v) == a {
				sum += float64(w.c.WeightOf(v) * sn.like[v])
				mass += w.c.WeightOf(v)
			}
		}
		if mass == 0 {
			return math.NaN()
		}
		return sum / mass
	}
	var fit, not []string
	sound := like(0)
	for _, h := range e.suspected(st, suspectedFrom/4, len(w.cause)) {
		l := like(h)
		title := lowerFirst(brief(e.base.Causes[w.cause[h]].Title))
		switch {
		case math.IsNaN(l):
		case l >= 1 && len(fit) < 3:
			fit = append(fit, title)
		case l < 0.5 && len(not) < 2:
			not = append(not, title)
		}
	}
	switch {
	case sound >= 1 && len(not) > 0:
		return "A sound circuit shows this too; it speaks against " + list(not) + "."
	case sound >= 1:
		return "A sound circuit shows this too."
	case len(fit) == 0:
		return "No fault I know of in this circuit makes it so: measure it once more."
	case len(not) > 0:
		return "That is not as it should be: it fits " + list(fit) + ", not " + list(not) + "."
	}
	return "That is not as it should be: it fits " + list(fit) + "."
}

package dialog

import (
	"maps"
	"slices"

	"ruleout/dialog/belief"
	"ruleout/dialog/plainwords"
)

// State is where a conversation stands. It is a value: Step never changes the
// state it is given, so an earlier one stays good for undo and for tests.
type State struct {
	// Turns are all turns so far, undone ones included: what a case stores.
	Turns []Turn
	// InForce are the numbers of the turns that remain after undo and dropped
	// suppositions, ascending; History is what happened to the case, turns
	// taken back included.
	InForce []int
	History []Moment
	// Notes are the observations in the order of telling, struck ones included.
	Notes   []observed
	Vehicle map[string]string
	Tools   map[string]bool
	// Part is the part named last in the last turn.
	Part string
	// Chief is the symptom the case is about; Also are others that were told.
	Chief string
	Also  []string
	// Open is what the person was just asked to do or say.
	Open *open
	// Pending are questions about what was said, asked before anything else.
	Pending []pending
	// Asked counts questions since the last act; Put lists every finding that
	// was put, most recent first; Passed those the person can't or won't do.
	Asked  int
	Put    []string
	Passed map[string]string
	// Settled keeps which of several meanings was meant, by the words.
	Settled map[string]string
	Eras    []Era
	// Done are the actions that mended one trouble while another was left.
	Done []string
	// Tried maps repair actions to what they changed: same, better, worse,
	// cured.
	Tried map[string]string
	// Proving is the cause whose cure is being proven.
	Proving string
	Closed  string
	// Solved is the cause that was proven, or is on trial.
	Solved string
	// Warned lists dangers already said, so that they are said once.
	Warned map[string]bool
	// Pointed is what trouble codes point to: by cause, how strongly.
	Pointed map[int]float64
	// Story is what was told, turn after turn, and Like, for each cause, how much
	// it is like the stories of those who had it (stories.go).
	Story string
	Like  []float64
	// About weighs the symptoms that the complaint may be about.
	About map[string]float64
	// OneOf marks symptoms of which the words told one, see meansOneOf.
	OneOf bool
	// Faint is how strongly the words point to each outcome, see faintKey.
	Faint map[string]float64
	// OpenAsked is set once "what was done just before?" has been asked.
	OpenAsked bool
	// care is the trial of a cure, armed checks, a part on order.
	care care
	// put is the question of the last reply and how often in a row it was put
	// without an answer.
	put struct {
		id    string
		times int
	}
	// wanted is the check that this turn asked for, "none" if there is no such.
	wanted string
	// supposed is the fork the case is seen under, if it is.
	supposed *supposition
	// Wired is how circuits of this vehicle are known to be wired, by circuit.
	Wired map[string]wired
	// Circuit is the circuit that is talked about, Unwired the one whose wiring
	// is being worked out, if any; drawn is the one to draw in this reply.
	Circuit, Unwired, drawn string
	askedOf                 askedOf
	// worked is the circuit that was worked out and is gone on with.
	worked string
	// toldWiring is the arrangement that the last meaning was told in.
	toldWiring string
	// toldAlike are the causes of which it was said that no reading tells them
	// apart.
	toldAlike string
	// talk are the parts in talk at the end of the last turn, see mended.go.
	talk []string
	// last is the reply that was given; effect says that the last turn changed
	// something, prev the state before it.
	last *Reply
	// weights are those of a vehicle known as weightsOf; model has
	// modelWeights, which leave out what nothing told points to.
	weights      []float64
	weightsOf    string
	model        *belief.Model
	modelWeights []float64
	effect       bool
	prev         *State
	// given is what the case began with, learned what it makes of the figures.
	given   Given
	learned *learned
}

// observed is one observation with what the reply does not show.
type observed struct {
	Noted
	quantity *plainwords.Quantity
	present  string
	means    string
	struck   bool
	era      int
}

// open is the question, check or repair on the table.
type open struct {
	kind    string // question, test, look-round, repair, proof, complaint, before
	id      string
	finding string
}

// pending is a question about what was said.
type pending struct {
	kind    string // which, effect, context, surprise, unit
	ask     string
	note    int // the observation it is about, 0 for none
	choices []choice
	words   string
}

// choice is one answer to a pending question.
type choice struct {
	text    string
	finding string
	outcome string
	symptom string // that is new since an action
	none    bool   // nothing follows
	drop    bool   // the observation is not to be used
	keep    bool   // the observation counts as told
}

func (s *State) clone() *State {
	n := *s
	n.Turns = slices.Clone(s.Turns)
	n.InForce = slices.Clone(s.InForce)
	n.Notes = slices.Clone(s.Notes)
	n.Vehicle = cloned(s.Vehicle)
	n.Tools = cloned(s.Tools)
	n.Also = slices.Clone(s.Also)
	n.Pending = slices.Clone(s.Pending)
	n.Put = slices.Clone(s.Put)
	n.Passed = cloned(s.Passed)
	n.Settled = cloned(s.Settled)
	n.Eras = slices.Clone(s.Eras)
	n.Tried = cloned(s.Tried)
	n.Warned = cloned(s.Warned)
	n.Pointed = cloned(s.Pointed)
	n.Faint = cloned(s.Faint)
	n.About = cloned(s.About)
	n.care = s.care.clone()
	n.Wired = cloned(s.Wired)
	n.drawn, n.wanted = "", ""
	n.prev, n.effect = s, false
	return &n
}

func cloned[K comparable, V any](m map[K]V) map[K]V {
	if m == nil {
		return map[K]V{}
	}
	return maps.Clone(m)
}

// told reports whether the person has told this finding's outcome.
func (s *State) told(finding, outcome string) bool {
	for i := range s.Notes {
		n := &s.Notes[i]
		if !n.struck && n.Weighs && n.Finding == finding && n.Outcome == outcome {
			return true
		}
	}
	return false
}

// known reports whether anything that weighs was told of the finding in the
// current era.
func (s *State) known(finding string) bool {
	for i := range s.Notes {
		n := &s.Notes[i]
		if !n.struck && n.Weighs && n.Finding == finding {
			return true
		}
	}
	return false
}

// era is the number of the current era.
func (s *State) era() int { return len(s.Eras) }

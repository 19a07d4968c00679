package kb

import "slices"

// Word is one entry of lists/vocabulary.yaml: a term with the other forms in
// which people say it, and what it points to. Where a word could mean several
// things all are named, and the dialogue asks.
//
// A target is a kind, or a kind and what it names:
//
//	part:PART system:SYSTEM look:LOOK action:ACTION axis:AXIS:VALUE
//	event:EVENT tool:TOOL vehicle:ATTRIBUTE:VALUE
//	    more ways of saying an entry of those lists
//	relation:RELATION   of a trouble to a condition (Relations)
//	effect:EFFECT       of an action (Effects)
//	verdict:good|bad    on a part
//	item:ITEM           which one of several (Items)
//	circumstance:KIND   the person's situation (Circumstances)
//	source:shop|told    somebody else who says something
//	circuit:PART        for a trouble code: the circuit it names, not the part
//	sound smell feel colour fluid place
//	    the term itself: what was heard, smelt, felt or seen, and where
//	thing               a noun of the car, of which the next clause may go on to
//	                    speak without saying it again
//	which-one           a noun that alone must bring "which one?"
//	fails               the thing named does not work
//	deed                what somebody does to a car
//	car                 what kind of car it is, where none of its attributes is told
type Word struct {
	Term     string   `yaml:"term" json:"term"`
	Forms    []string `yaml:"forms" json:"forms"`
	PointsTo []string `yaml:"points_to" json:"points_to"`
	Basis    Basis    `yaml:"basis" json:"basis"`
}

// Items are the ways of saying which one is meant; corners are put together
// of them.
var Items = []string{"front", "rear", "left", "right", "nearside", "offside", "driver", "passenger", "inner", "outer", "upper", "lower", "all", "other"}

// Circumstances are the kinds of situation that steer plan and tone.
var Circumstances = []string{"alone", "roadside", "raining", "dark", "no-money", "afraid", "first-time", "hurry"}

// bareTargets are the kinds of target that name nothing further.
var bareTargets = []string{"sound", "smell", "feel", "colour", "fluid", "place", "thing", "which-one", "fails", "deed", "car"}

// listTargets maps the kinds of target that name an entry to its list.
var listTargets = map[string]string{"part": "parts", "system": "systems", "event": "events", "circuit": "parts", "tool": "tools"}

// choiceTargets maps the kinds of target with a fixed set of names to it.
var choiceTargets = map[string][]string{
	"relation": Relations, "effect": Effects, "verdict": {"good", "bad"}, "item": Items, "circumstance": Circumstances, "source": {"shop", "told"},
}

func targetKinds() []string {
	out := append(slices.Clone(bareTargets), sortedKeys(listTargets)...)
	return append(append(out, sortedKeys(choiceTargets)...), "look", "action", "axis", "vehicle")
}

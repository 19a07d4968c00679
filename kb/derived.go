package kb

// Derived is the authored table behind everything that no article has to
// say: what a replaced part, a tested part, a look, a condition or an event
// tells about a cause, from the cause's part and mode alone. Starting values
// are from memory and say so.
type Derived struct {
	Basis Basis `yaml:"basis" json:"basis"`
	// Sources maps a source (measured, seen, tried, remembered, told, shop)
	// to its reliability; Hedges maps a hedge (sure, plain, think, maybe) to
	// a factor on it.
	Sources map[string]float64 `yaml:"sources" json:"sources"`
	Hedges  map[string]float64 `yaml:"hedges" json:"hedges"`
	// Replaced: distribution over the outcomes same, better, cured, worse
	// after a part was renewed, by where the cause sits.
	Replaced map[string]map[string]float64 `yaml:"replaced" json:"replaced"`
	// Swapped: distribution over moved, stayed, gone, unclear after a part was
	// changed over with its twin, by where the cause sits. NeverSwapped are the
	// systems in which that is never proposed.
	Swapped      map[string]map[string]float64 `yaml:"swapped" json:"swapped"`
	NeverSwapped []string                      `yaml:"never_swapped" json:"never_swapped"`
	// OneOfSeveral are the symptoms that sit at one of several alike.
	OneOfSeveral []string `yaml:"one_of_several" json:"one_of_several"`
	// Spare is the chance that what was put in is bad itself (known-good,
	// second-hand); SpareSaid the words for it.
	Spare     map[string]float64  `yaml:"spare" json:"spare"`
	SpareSaid map[string][]string `yaml:"spare_said" json:"spare_said"`
	// Means maps a way of testing (beep, volts-open, ohms, by-hand, by-eye,
	// counter, swap, run, scan, unsaid) to the chance that it shows a fault,
	// by mode; "" is the entry for any other mode.
	Means map[string]map[string]float64 `yaml:"means" json:"means"`
	// MeansSaid maps a way of testing to the words for it.
	MeansSaid map[string][]string `yaml:"means_said" json:"means_said"`
	// Together is the question of shared points.
	Together Together `yaml:"together" json:"together"`
	// Again is what a repeat failure tells.
	Again Again `yaml:"again" json:"again"`
	// GoodElsewhere is P(part tests good) when the fault is elsewhere.
	GoodElsewhere float64 `yaml:"good_elsewhere" json:"good_elsewhere"`
	// Looks maps what can be seen on a part to the modes it shows, with the
	// chance to see it when the part has that mode, and the base on healthy
	// old cars where a part does not say its own.
	Looks []Look `yaml:"looks" json:"looks"`
	// ComeGo maps an action on the part (tap, wiggle, ...) to modes with the
	// chance that the trouble goes.
	ComeGo []ComeGo `yaml:"come_go" json:"come_go"`
	// Conditions gives, by axis and value, the modes, systems and parts whose
	// trouble shows mainly then.
	Conditions []ConditionRule `yaml:"conditions" json:"conditions"`
	// ConditionBase is the baseline of the relations only, worse, same,
	// better, never.
	ConditionBase map[string]float64 `yaml:"condition_base" json:"condition_base"`
	// Paths is what a look at a point of a path tells by position.
	Paths PathTable `yaml:"paths" json:"paths"`
	// Limits of weight, in decibans.
	LimitDerived   float64 `yaml:"limit_derived" json:"limit_derived"`
	LimitMentioned float64 `yaml:"limit_mentioned" json:"limit_mentioned"`
}

// Look is something seen on a part.
type Look struct {
	ID    string   `yaml:"id" json:"id"`
	Title string   `yaml:"title" json:"title"`
	Said  []string `yaml:"said" json:"said"`
	Base  float64  `yaml:"base" json:"base"`
	// Near marks looks that are near proof: broken, missing, unplugged,
	// leaking now.
	Near  bool               `yaml:"near,omitempty" json:"near,omitempty"`
	Sound bool               `yaml:"sound,omitempty" json:"sound,omitempty"`
	Modes map[string]float64 `yaml:"modes" json:"modes"`
}

// ComeGo is an action that makes a trouble come or go.
type ComeGo struct {
	ID      string             `yaml:"id" json:"id"`
	Title   string             `yaml:"title" json:"title"`
	Said    []string           `yaml:"said" json:"said"`
	Caution string             `yaml:"caution,omitempty" json:"caution,omitempty"`
	Base    float64            `yaml:"base" json:"base"`
	Modes   map[string]float64 `yaml:"modes" json:"modes"`
	// Brings is, by mode, the share of the effect that brings the trouble on;
	// the rest sends it off. ForAWhile is the share of that which comes back.
	// "" stands for any other mode.
	Brings    map[string]float64 `yaml:"brings,omitempty" json:"brings,omitempty"`
	ForAWhile map[string]float64 `yaml:"for_a_while,omitempty" json:"for_a_while,omitempty"`
	// Of says what it does to kinds of part to which it means something else; the
	// first that has the part counts.
	Of []ComeGoOf `yaml:"of,omitempty" json:"of,omitempty"`
	// Reaches says which parts it reaches when no part is named: those of Kinds
	// (""), those that are electrical by their failure too, or any.
	Reaches string `yaml:"reaches,omitempty" json:"reaches,omitempty"`
	// Isolates means that it takes the part out of play, or feeds it past
	// everything else: then it may weigh more than other derived findings.
	Isolates bool `yaml:"isolates,omitempty" json:"isolates,omitempty"`
	// Kinds are the kinds of part for which it is proposed as a check, Never
	// the systems in which it is not.
	Kinds   []string `yaml:"kinds,omitempty" json:"kinds,omitempty"`
	Never   []string `yaml:"never,omitempty" json:"never,omitempty"`
	Minutes float64  `yaml:"minutes,omitempty" json:"minutes,omitempty"`
	// Steps take the part's name in place of %s.
	Steps []string `yaml:"steps,omitempty" json:"steps,omitempty"`
	// Acts means that it changes the car: an era ends with it.
	Acts bool `yaml:"acts,omitempty" json:"acts,omitempty"`
}

// ComeGoOf is what an action does to parts of some kinds, in place of what it
// does to others.
type ComeGoOf struct {
	Kinds     []string           `yaml:"kinds" json:"kinds"`
	Base      float64            `yaml:"base" json:"base"`
	Modes     map[string]float64 `yaml:"modes" json:"modes"`
	Brings    map[string]float64 `yaml:"brings,omitempty" json:"brings,omitempty"`
	ForAWhile map[string]float64 `yaml:"for_a_while,omitempty" json:"for_a_while,omitempty"`
	// Lead is the same where the fault is a lead to the part that is shorted.
	Lead float64 `yaml:"lead,omitempty" json:"lead,omitempty"`
	// Proposed means that it is proposed as a check of them, with these cautions
	// and steps.
	Proposed bool     `yaml:"proposed,omitempty" json:"proposed,omitempty"`
	Caution  string   `yaml:"caution,omitempty" json:"caution,omitempty"`
	Minutes  float64  `yaml:"minutes,omitempty" json:"minutes,omitempty"`
	Steps    []string `yaml:"steps,omitempty" json:"steps,omitempty"`
	Why      string   `yaml:"why" json:"why"`
}

// ConditionRule gives the relation that causes of the named modes, systems
// or parts show on one value of an axis.
type ConditionRule struct {
	Axis     string   `yaml:"axis" json:"axis"`
	Value    string   `yaml:"value" json:"value"`
	Modes    []string `yaml:"modes,omitempty" json:"modes,omitempty"`
	Systems  []string `yaml:"systems,omitempty" json:"systems,omitempty"`
	Parts    []string `yaml:"parts,omitempty" json:"parts,omitempty"`
	Relation string   `yaml:"relation" json:"relation"`
	How      float64  `yaml:"how" json:"how"`
}

package kb

import "sort"

// Lists are the shared vocabularies to which articles refer, one YAML file
// each under lists/.
type Lists struct {
	Systems   []System    `yaml:"-" json:"systems"`
	Parts     []Part      `yaml:"-" json:"parts"`
	Modes     []Mode      `yaml:"-" json:"modes"`
	Axes      []Axis      `yaml:"-" json:"axes"`
	Events    []Event     `yaml:"-" json:"events"`
	Vehicle   []Attribute `yaml:"-" json:"vehicle"`
	Tools     []Tool      `yaml:"-" json:"tools"`
	Access    []Access    `yaml:"-" json:"access"`
	States    []State     `yaml:"-" json:"states"`
	Hazards   []Hazard    `yaml:"-" json:"hazards"`
	Synonyms  []Synonym   `yaml:"-" json:"synonyms"`
	Words     []Word      `yaml:"-" json:"vocabulary"`
	Usages    []Usage     `yaml:"-" json:"usage"`
	Signs     []Sign      `yaml:"-" json:"signs"`
	Effects   []Effect    `yaml:"-" json:"effects"`
	Ways      []Ways      `yaml:"-" json:"ways"`
	Tellings  []Telling   `yaml:"-" json:"tellings"`
	Histories []History   `yaml:"-" json:"histories"`
	Derived   Derived     `yaml:"-" json:"derived"`
	Follows
}

// System is one system of the car (cooling, starting, ...).
type System struct {
	ID    string   `yaml:"id" json:"id"`
	Title string   `yaml:"title" json:"title"`
	Said  []string `yaml:"said" json:"said"`
}

// Part is one part of a car.
type Part struct {
	ID     string   `yaml:"id" json:"id"`
	Name   string   `yaml:"name" json:"name"`
	System string   `yaml:"system" json:"system"`
	Place  string   `yaml:"place" json:"place"`
	Names  []string `yaml:"names" json:"names"`
	// Items says how the part is repeated: corner, side, cylinder, lamp,
	// several, or empty for one.
	Items      string   `yaml:"items,omitempty" json:"items,omitempty"`
	Neighbours []string `yaml:"neighbours,omitempty" json:"neighbours,omitempty"`
	FedBy      []string `yaml:"fed_by,omitempty" json:"fed_by,omitempty"`
	EarthedAt  []string `yaml:"earthed_at,omitempty" json:"earthed_at,omitempty"`
	SignalsTo  []string `yaml:"signals_to,omitempty" json:"signals_to,omitempty"`
	// Shares maps a kind (fuse, earth, belt, fluid, vacuum) to a named thing
	// that this part has in common with others.
	Shares map[string]string `yaml:"shares,omitempty" json:"shares,omitempty"`
	// Applies says which vehicles have it; empty means all. It limits every cause
	// and test of the part.
	Applies Applies `yaml:"applies,omitempty" json:"applies,omitzero"`
	// Modes maps credible failure modes to their share of this part's faults.
	Modes map[string]float64 `yaml:"modes" json:"modes"`
	// Called maps a mode to what a mechanic calls this part when it has failed
	// so, where that is not the mode's own title: a fuse is blown, not burnt.
	Called map[string]string `yaml:"called,omitempty" json:"called,omitempty"`
	// Looks maps a look (corroded, loose, ...) to the share of healthy old
	// cars that show it.
	Looks    map[string]float64 `yaml:"looks,omitempty" json:"looks,omitempty"`
	Access   []string           `yaml:"access,omitempty" json:"access,omitempty"`
	Severity string             `yaml:"severity,omitempty" json:"severity,omitempty"`
	// PerThousand is how often this part, in any mode, is the one, of a thousand
	// older cars of any kind with trouble, whether they have it or not.
	PerThousand float64 `yaml:"per_thousand" json:"per_thousand"`
	Basis       Basis   `yaml:"basis" json:"basis"`
}

// Mode is one way in which a part fails.
type Mode struct {
	ID    string   `yaml:"id" json:"id"`
	Title string   `yaml:"title" json:"title"`
	Said  []string `yaml:"said" json:"said"`
	// Place is where the fault sits as a rule: part, connector or lead.
	Place string `yaml:"place" json:"place"`
	// ComesAndGoes and UnderLoad tell what a check can miss.
	ComesAndGoes bool `yaml:"comes_and_goes,omitempty" json:"comes_and_goes,omitempty"`
	UnderLoad    bool `yaml:"under_load,omitempty" json:"under_load,omitempty"`
	// Electrical marks modes that only electrical parts can have.
	Electrical bool `yaml:"electrical,omitempty" json:"electrical,omitempty"`
}

// Axis is one kind of condition under which a trouble shows or not.
type Axis struct {
	ID    string `yaml:"id" json:"id"`
	Title string `yaml:"title" json:"title"`
	// Ask takes the symptom's title in place of %s.
	Ask    string      `yaml:"ask" json:"ask"`
	Values []AxisValue `yaml:"values" json:"values"`
	// Trial is a two-minute way to find out, with its caution.
	Trial *Trial `yaml:"trial,omitempty" json:"trial,omitempty"`
}

// AxisValue is one condition on an axis, for example "stopped".
type AxisValue struct {
	ID    string   `yaml:"id" json:"id"`
	Title string   `yaml:"title" json:"title"`
	Said  []string `yaml:"said" json:"said"`
	// Opposite is the value that must be absent when this one is "only".
	Opposite string `yaml:"opposite,omitempty" json:"opposite,omitempty"`
}

// Trial is a short way to try a condition on purpose.
type Trial struct {
	Do      string  `yaml:"do" json:"do"`
	Minutes float64 `yaml:"minutes" json:"minutes"`
	Caution string  `yaml:"caution" json:"caution"`
}

// Event is something that happened to the car.
type Event struct {
	ID    string   `yaml:"id" json:"id"`
	Title string   `yaml:"title" json:"title"`
	Said  []string `yaml:"said" json:"said"`
	// OnPart means that the event names a part ("work on P").
	OnPart bool `yaml:"on_part,omitempty" json:"on_part,omitempty"`
	// Stays means that it is a fact about the vehicle for ever.
	Stays bool `yaml:"stays,omitempty" json:"stays,omitempty"`
	// InChecks means that checks are made of the same deeds, so that while one
	// is on the table only a word of time makes it an event.
	InChecks bool `yaml:"in_checks,omitempty" json:"in_checks,omitempty"`
	// Long means that it takes days at least: what lasted hours is something else.
	Long bool `yaml:"long,omitempty" json:"long,omitempty"`
	// Base is how often a car with unrelated trouble has it just before.
	Base float64 `yaml:"base" json:"base"`
	// Raises lists the causes that the event makes likelier.
	Raises []Raise `yaml:"raises,omitempty" json:"raises,omitempty"`
	Basis  Basis   `yaml:"basis" json:"basis"`
}

// Raise says how often the event came just before, when the cause is one of
// the named parts (or systems) in one of the named modes; empty means any.
type Raise struct {
	Parts   []string `yaml:"parts,omitempty" json:"parts,omitempty"`
	Systems []string `yaml:"systems,omitempty" json:"systems,omitempty"`
	Modes   []string `yaml:"modes,omitempty" json:"modes,omitempty"`
	Before  float64  `yaml:"before" json:"before"`
}

// Attribute is one fact about a vehicle with its possible values.
type Attribute struct {
	ID    string `yaml:"id" json:"id"`
	Title string `yaml:"title" json:"title"`
	Ask   string `yaml:"ask" json:"ask"`
	// Known is the share of owners who can answer; 0 means nearly all.
	Known  float64          `yaml:"known,omitempty" json:"known,omitempty"`
	Values []AttributeValue `yaml:"values" json:"values"`
	Basis  Basis            `yaml:"basis" json:"basis"`
}

// AttributeValue is one value with its share among older cars.
type AttributeValue struct {
	ID    string   `yaml:"id" json:"id"`
	Title string   `yaml:"title" json:"title"`
	Said  []string `yaml:"said" json:"said"`
	Share float64  `yaml:"share" json:"share"`
	// ByYear gives the share by model year where it changed a lot: pairs of a
	// year and the share in it, in order of years; between two of them it runs
	// straight, before the first and after the last it stays.
	ByYear [][2]float64 `yaml:"by_year,omitempty" json:"by_year,omitempty"`
	// Implies sets other attributes ("diesel" implies "ignition: glow").
	Implies map[string]string `yaml:"implies,omitempty" json:"implies,omitempty"`
}

// ShareIn is the share of the value among cars of a model year, or among all
// where the year is not known (0).
func (v *AttributeValue) ShareIn(year int) float64 {
	n := len(v.ByYear)
	if year == 0 || n == 0 {
		return v.Share
	}
	y := float64(year)
	at := sort.Search(n, func(i int) bool { return v.ByYear[i][0] >= y })
	switch at {
	case 0:
		return v.ByYear[0][1]
	case n:
		return v.ByYear[n-1][1]
	}
	a, b := v.ByYear[at-1], v.ByYear[at]
	return a[1] + (b[1]-a[1])*(y-a[0])/(b[0]-a[0])
}

// Tool is something a check needs.
type Tool struct {
	ID    string   `yaml:"id" json:"id"`
	Title string   `yaml:"title" json:"title"`
	Said  []string `yaml:"said" json:"said"`
	// Common means that it is assumed at hand until the person says not.
	Common bool `yaml:"common,omitempty" json:"common,omitempty"`
}

// Access is work that opens the way to others behind it.
type Access struct {
	ID      string  `yaml:"id" json:"id"`
	Title   string  `yaml:"title" json:"title"`
	Minutes float64 `yaml:"minutes" json:"minutes"`
	// Inside names the access that must be open first.
	Inside   string   `yaml:"inside,omitempty" json:"inside,omitempty"`
	Hazards  []string `yaml:"hazards,omitempty" json:"hazards,omitempty"`
	Cautions []string `yaml:"cautions,omitempty" json:"cautions,omitempty"`
}

// State is a state of the car that a test requires.
type State struct {
	ID    string `yaml:"id" json:"id"`
	Title string `yaml:"title" json:"title"`
	// Do says how to bring it about; Minutes what that costs.
	Do      string   `yaml:"do" json:"do"`
	Minutes float64  `yaml:"minutes" json:"minutes"`
	Said    []string `yaml:"said" json:"said"`
}

// Hazard is a way to be hurt, with the caution that stands before the step.
type Hazard struct {
	ID      string `yaml:"id" json:"id"`
	Title   string `yaml:"title" json:"title"`
	Caution string `yaml:"caution" json:"caution"`
}

// Synonym is a set of words that mean the same to owners.
type Synonym struct {
	Term  string   `yaml:"term" json:"term"`
	Forms []string `yaml:"forms" json:"forms"`
	// Before limits it to forms that stand before one of these words: who turns
	// a key turns no corner.
	Before []string `yaml:"before,omitempty" json:"before,omitempty"`
	Basis  Basis    `yaml:"basis" json:"basis"`
}

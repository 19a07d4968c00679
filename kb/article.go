package kb

// Kind says what an article is. Symptoms, causes and tests carry the
// diagnosis; cards, circuits and paths are supporting pages.
type Kind string

// The kinds of article.
const (
	KindSymptom Kind = "symptom"
	KindCause   Kind = "cause"
	KindTest    Kind = "test"
	KindCard    Kind = "card"
	KindCircuit Kind = "circuit"
	KindPath    Kind = "path"
)

// Symptom is one trouble as an owner notices it. Its own finding has the
// article's id and the outcomes "present" and "absent", unless Of names other
// findings: then the symptom is only a way of saying those.
type Symptom struct {
	Kind   Kind   `yaml:"kind" json:"kind"`
	ID     string `yaml:"id" json:"id"`
	Title  string `yaml:"title" json:"title"`
	System string `yaml:"system" json:"system"`
	// KnownBy is how the trouble shows itself: felt, seen, heard, smelled,
	// gauge, lamp, code, meter, inspection or works (something does not work).
	KnownBy string `yaml:"known_by" json:"known_by"`
	// Said holds at least twelve ways owners say it.
	Said []string `yaml:"said" json:"said"`
	// Of maps findings to the outcome that this symptom's presence stands for.
	Of map[string]string `yaml:"of,omitempty" json:"of,omitempty"`
	// Base is the share of cars with some other trouble that show this too.
	Base   Likelihood `yaml:"base,omitempty" json:"base,omitempty"`
	Danger *Danger    `yaml:"danger,omitempty" json:"danger,omitempty"`
	// Questions are the clarifying questions this symptom brings.
	Questions []Question `yaml:"questions,omitempty" json:"questions,omitempty"`
	// Asks names questions of other symptoms that clarify this one as well.
	Asks []string `yaml:"asks,omitempty" json:"asks,omitempty"`
	// LooksLike names symptoms that owners mix up with this one.
	LooksLike []string `yaml:"looks_like,omitempty" json:"looks_like,omitempty"`
	// Derived marks a page that nobody authored: it follows from a sign.
	Derived bool   `yaml:"-" json:"derived,omitempty"`
	Body    string `yaml:"body" json:"body"`
}

// Danger is what must be said before anything else.
type Danger struct {
	// Severity is injury, damage or nuisance.
	Severity string `yaml:"severity" json:"severity"`
	// Stop is what to do at once, in a few short sentences.
	Stop string `yaml:"stop" json:"stop"`
	// When names findings and the outcome that brings the danger; empty means
	// that the symptom alone does.
	When map[string]string `yaml:"when,omitempty" json:"when,omitempty"`
}

// Question is a finding that the person can tell without tools. Its id is the
// id of its finding and is unique in the knowledge base.
type Question struct {
	ID string `yaml:"id" json:"id"`
	// Title is a short name for lists ("radiator fan when hot"); without one
	// the words of the id serve.
	Title string `yaml:"title,omitempty" json:"title,omitempty"`
	Ask   string `yaml:"ask" json:"ask"`
	// Why is the reason in half a sentence, said with the question.
	Why string `yaml:"why" json:"why"`
	// Order is the place in the order of talk: safe, what, since, when, odd,
	// tried, look.
	Order string `yaml:"order" json:"order"`
	// Axis names a condition axis whose statements are witnesses of this
	// question (see Outcome.Is).
	Axis string `yaml:"axis,omitempty" json:"axis,omitempty"`
	// Ordered means that the outcomes run from harmless to worst.
	Ordered bool `yaml:"ordered,omitempty" json:"ordered,omitempty"`
	// Because names the one finding on which this one depends, if any.
	Because  *Because  `yaml:"because,omitempty" json:"because,omitempty"`
	Outcomes []Outcome `yaml:"outcomes" json:"outcomes"`
}

// Because makes a finding follow from another one: under every cause that
// does not speak of it itself it depends only on that finding's outcome.
type Because struct {
	Finding string `yaml:"finding" json:"finding"`
	// Given maps each outcome of that finding to a distribution of this one's.
	Given map[string]map[string]Likelihood `yaml:"given" json:"given"`
}

// Outcome is one value that a finding can take.
type Outcome struct {
	ID    string `yaml:"id" json:"id"`
	Title string `yaml:"title" json:"title"`
	// Said holds ways in which people say this outcome, unprompted or as an
	// answer.
	Said []string `yaml:"said,omitempty" json:"said,omitempty"`
	// Base is the baseline: how often a car shows it that has none of the
	// causes that speak of this finding. The bases of a finding sum to one.
	Base Likelihood `yaml:"base" json:"base"`
	// Is lists condition statements "value relation" (for example
	// "stopped only", "fast never") that amount to this outcome.
	Is []string `yaml:"is,omitempty" json:"is,omitempty"`
	// Means says in one line what this outcome tells.
	Means string `yaml:"means,omitempty" json:"means,omitempty"`
}

// Cause is one failed thing: a part in a failure mode.
type Cause struct {
	Kind   Kind   `yaml:"kind" json:"kind"`
	ID     string `yaml:"id" json:"id"`
	Title  string `yaml:"title" json:"title"`
	System string `yaml:"system" json:"system"`
	// Part and Mode name entries of the lists; Place is where the fault sits:
	// part, connector or lead.
	Part string `yaml:"part" json:"part"`
	Mode string `yaml:"mode" json:"mode"`
	// Covers names further modes of the part for which this article stands as
	// well: nothing is derived of them. Modes that a look or a hand's work tells
	// by itself (telltale) keep a page of their own.
	Covers []string `yaml:"covers,omitempty" json:"covers,omitempty"`
	Place  string   `yaml:"place,omitempty" json:"place,omitempty"`
	// Frequency is how often it is the one.
	Frequency Frequency `yaml:"frequency" json:"frequency"`
	Applies   Applies   `yaml:"applies,omitempty" json:"applies,omitempty"`
	// Shows maps a finding to the likelihood of each outcome under this cause.
	// Outcomes left unsaid share the rest in proportion to the baseline.
	Shows map[string]map[string]Likelihood `yaml:"shows" json:"shows"`
	// When states under which conditions its symptoms show.
	When []Condition `yaml:"when,omitempty" json:"when,omitempty"`
	// Events names what often happened just before, with the share of cases.
	Events map[string]Likelihood `yaml:"events,omitempty" json:"events,omitempty"`
	// Blocks lists findings on which this cause alone decides when two causes
	// meet.
	Blocks []string `yaml:"blocks,omitempty" json:"blocks,omitempty"`
	// Comes is how steadily it shows: constant, daily or rare.
	Comes string `yaml:"comes,omitempty" json:"comes,omitempty"`
	// Severity is injury, damage or nuisance; Driving says how bad it is to go
	// on driving.
	Severity string `yaml:"severity" json:"severity"`
	Driving  string `yaml:"driving" json:"driving"`
	// LeadsTo maps a cause to the share of this cause's cases that bring it.
	LeadsTo  map[string]float64 `yaml:"leads_to,omitempty" json:"leads_to,omitempty"`
	KilledBy []string           `yaml:"killed_by,omitempty" json:"killed_by,omitempty"`
	// With lists causes of the same part that can be present together with
	// this one; otherwise two modes of one part exclude each other.
	With    []string      `yaml:"with,omitempty" json:"with,omitempty"`
	Circuit *CircuitFault `yaml:"circuit,omitempty" json:"circuit,omitempty"`
	Repair  Repair        `yaml:"repair" json:"repair"`
	Stopgap *Stopgap      `yaml:"stopgap,omitempty" json:"stopgap,omitempty"`
	// Draws is the load that the fault itself leaves on.
	Draws *Draw `yaml:"draws,omitempty" json:"draws,omitempty"`
	Proof Proof `yaml:"proof" json:"proof"`
	// Inspect says what else must be looked at once this cause is found.
	Inspect []string `yaml:"inspect,omitempty" json:"inspect,omitempty"`
	// Derived marks a page that nobody authored: it follows from the part and
	// its mode.
	Derived bool   `yaml:"-" json:"derived,omitempty"`
	Body    string `yaml:"body" json:"body"`
}

// Frequency is a rate with its basis.
type Frequency struct {
	// PerThousand counts cars, of a thousand with trouble to which the cause
	// applies, in which it is the one.
	PerThousand float64 `yaml:"per_thousand" json:"per_thousand"`
	Basis       Basis   `yaml:"basis" json:"basis"`
}

// Applies says to which vehicles a cause or test applies; empty means all.
type Applies struct {
	// Vehicle maps an attribute of the vehicle list (fuel, gearbox,
	// fan-drive, ...) to the values it needs.
	Vehicle map[string][]string `yaml:"vehicle,omitempty" json:"vehicle,omitempty"`
	// Years is the first and last model year.
	Years []int `yaml:"years,omitempty" json:"years,omitempty"`
}

// Condition is one statement about when symptoms show.
type Condition struct {
	// Symptom limits the statement to one symptom; empty means all that the
	// cause makes.
	Symptom string `yaml:"symptom,omitempty" json:"symptom,omitempty"`
	Axis    string `yaml:"axis" json:"axis"`
	Value   string `yaml:"value" json:"value"`
	// Relation is only, worse, same, better or never.
	Relation string `yaml:"relation" json:"relation"`
	// How is how likely a car with this cause is to behave so.
	How Likelihood `yaml:"how" json:"how"`
}

// CircuitFault ties a cause to a fault of one element of a circuit.
type CircuitFault struct {
	Circuit string `yaml:"circuit" json:"circuit"`
	Element string `yaml:"element" json:"element"`
	Fault   string `yaml:"fault" json:"fault"`
}

// Repair is the proper cure.
type Repair struct {
	// Action is the name of the job; causes cured by the same job share it.
	// Empty means a job of this cause alone, named by the cause's id.
	Action string `yaml:"action,omitempty" json:"action,omitempty"`
	// Do is the job in one line, in the imperative.
	Do         string   `yaml:"do" json:"do"`
	Minutes    float64  `yaml:"minutes" json:"minutes"`
	Money      Money    `yaml:"money" json:"money"`
	Parts      []string `yaml:"parts,omitempty" json:"parts,omitempty"`
	Difficulty string   `yaml:"difficulty" json:"difficulty"` // easy, medium, hard, shop
	Access     []string `yaml:"access,omitempty" json:"access,omitempty"`
	Needs      []string `yaml:"needs,omitempty" json:"needs,omitempty"`
	Hazards    []string `yaml:"hazards,omitempty" json:"hazards,omitempty"`
	Cautions   []string `yaml:"cautions,omitempty" json:"cautions,omitempty"`
	Steps      []string `yaml:"steps" json:"steps"`
}

// Money is a range of cost for parts, in units of the demo's currency.
type Money struct {
	Low   float64 `yaml:"low" json:"low"`
	High  float64 `yaml:"high" json:"high"`
	Basis Basis   `yaml:"basis" json:"basis"`
}

// Draw is a load that stays on: what draws how many amperes, least and most,
// and whether that is parked (engine off), running, or both.
type Draw struct {
	What  string     `yaml:"what" json:"what"`
	Amps  [2]float64 `yaml:"amps" json:"amps"`
	When  string     `yaml:"when" json:"when"`
	Basis Basis      `yaml:"basis" json:"basis"`
}

// Spread is a range with its basis.
type Spread struct {
	Low   float64 `yaml:"low" json:"low"`
	High  float64 `yaml:"high" json:"high"`
	Basis Basis   `yaml:"basis" json:"basis"`
}

// Stopgap is a way to get home or through the season, with its limits.
type Stopgap struct {
	Do     string `yaml:"do" json:"do"`
	Limits string `yaml:"limits" json:"limits"`
	Until  string `yaml:"until" json:"until"`
	Watch  string `yaml:"watch,omitempty" json:"watch,omitempty"`
	// Wears says what it wears or risks while it lasts.
	Wears string `yaml:"wears,omitempty" json:"wears,omitempty"`
	// Draws is the load it leaves on; ExtraFuel what it burns more, in percent;
	// Pressure the cap's gauge pressure in kPa that is lost meanwhile.
	Draws     *Draw    `yaml:"draws,omitempty" json:"draws,omitempty"`
	ExtraFuel *Spread  `yaml:"extra_fuel,omitempty" json:"extra_fuel,omitempty"`
	Pressure  *float64 `yaml:"pressure,omitempty" json:"pressure,omitempty"`
	Hazards   []string `yaml:"hazards,omitempty" json:"hazards,omitempty"`
	Cautions  []string `yaml:"cautions,omitempty" json:"cautions,omitempty"`
}

// Proof says how the cure is proven.
type Proof struct {
	// Do is what to do and what must be seen.
	Do string `yaml:"do" json:"do"`
	// Test names a test and the outcome that proves the cure, if there is one.
	Test    string `yaml:"test,omitempty" json:"test,omitempty"`
	Outcome string `yaml:"outcome,omitempty" json:"outcome,omitempty"`
	// ShowsAfter is when a cure can show at the earliest: "at once",
	// "next warm-up", "next cold start", "next rain", "next frost",
	// "after standing overnight", "after a week".
	ShowsAfter string `yaml:"shows_after" json:"shows_after"`
}

// Test is a check done on the car. Its finding has the article's id unless Of
// names another finding with the same outcomes.
type Test struct {
	Kind   Kind   `yaml:"kind" json:"kind"`
	ID     string `yaml:"id" json:"id"`
	Title  string `yaml:"title" json:"title"`
	System string `yaml:"system" json:"system"`
	// Ask is the question in one line.
	Ask string `yaml:"ask" json:"ask"`
	// Of names the finding (a question's or a test's) that this test settles,
	// where the same state can be known in several ways.
	Of string `yaml:"of,omitempty" json:"of,omitempty"`
	// Settles makes the test a look-round: one action that settles all these
	// findings by eye and hand. It then has no outcomes of its own.
	Settles []string `yaml:"settles,omitempty" json:"settles,omitempty"`
	// Part is the part that is tested, if it is one part; Means is how.
	Part    string   `yaml:"part,omitempty" json:"part,omitempty"`
	Applies Applies  `yaml:"applies,omitempty" json:"applies,omitempty"`
	Needs   []string `yaml:"needs,omitempty" json:"needs,omitempty"`
	Minutes float64  `yaml:"minutes" json:"minutes"`
	// Difficulty is easy, medium, hard or shop.
	Difficulty string   `yaml:"difficulty" json:"difficulty"`
	Access     []string `yaml:"access,omitempty" json:"access,omitempty"`
	// Requires names states of the car (engine-cold, key-off, ...).
	Requires []string `yaml:"requires,omitempty" json:"requires,omitempty"`
	Hazards  []string `yaml:"hazards,omitempty" json:"hazards,omitempty"`
	Cautions []string `yaml:"cautions,omitempty" json:"cautions,omitempty"`
	Steps    []string `yaml:"steps" json:"steps"`
	// Helper says how to do it with a second person and how alone.
	Helper *Helper `yaml:"helper,omitempty" json:"helper,omitempty"`
	// Spoils names what the test uses up: cold-start, leak-trace, codes, ...
	Spoils []string `yaml:"spoils,omitempty" json:"spoils,omitempty"`
	// Disturbs names parts whose bad contact the test may cure by touch.
	Disturbs []string  `yaml:"disturbs,omitempty" json:"disturbs,omitempty"`
	Ordered  bool      `yaml:"ordered,omitempty" json:"ordered,omitempty"`
	Because  *Because  `yaml:"because,omitempty" json:"because,omitempty"`
	Outcomes []Outcome `yaml:"outcomes,omitempty" json:"outcomes,omitempty"`
	Reading  *Reading  `yaml:"reading,omitempty" json:"reading,omitempty"`
	// Path is the path article from which the test follows; empty for one that
	// somebody wrote.
	Path string `yaml:"-" json:"path,omitempty"`
	Body string `yaml:"body" json:"body"`
}

// Helper says whether a second person is needed and what to do without one.
type Helper struct {
	Needed bool   `yaml:"needed" json:"needed"`
	Alone  string `yaml:"alone" json:"alone"`
}

// Reading describes the number that a meter test yields.
type Reading struct {
	// Quantity is voltage, resistance, current, temperature, pressure, speed,
	// time, length, charge or count; Unit is the unit in which Bands are given (V, ohm, A,
	// degC, kPa, rpm, s, mm, Ah).
	Quantity string `yaml:"quantity" json:"quantity"`
	Unit     string `yaml:"unit" json:"unit"`
	// Meter is the range to select; Terminals where the leads go.
	Meter     string `yaml:"meter" json:"meter"`
	Terminals string `yaml:"terminals" json:"terminals"`
	// Said holds the places and things people name with the number.
	Said []string `yaml:"said,omitempty" json:"said,omitempty"`
	// Expect is the reading if nothing is wrong, said before it is taken.
	Expect string `yaml:"expect" json:"expect"`
	Bands  []Band `yaml:"bands" json:"bands"`
	// Possible is the span of readings that the meter can show at all.
	Possible [2]float64 `yaml:"possible" json:"possible"`
	// Context lists what must be known before the reading means anything.
	Context []Context `yaml:"context,omitempty" json:"context,omitempty"`
	// Traps are ways in which the number misleads.
	Traps []string `yaml:"traps,omitempty" json:"traps,omitempty"`
	Basis Basis    `yaml:"basis" json:"basis"`
}

// Band ties a range of readings to an outcome. A missing end is open.
type Band struct {
	Outcome string   `yaml:"outcome" json:"outcome"`
	From    *float64 `yaml:"from,omitempty" json:"from,omitempty"`
	To      *float64 `yaml:"to,omitempty" json:"to,omitempty"`
}

// Context is one thing that must hold for a reading to be used.
type Context struct {
	// Ask is a yes-or-no question; yes means that the reading counts.
	Ask string `yaml:"ask" json:"ask"`
	// Said holds words that answer it with yes unasked; Against with no.
	Said    []string `yaml:"said" json:"said"`
	Against []string `yaml:"against,omitempty" json:"against,omitempty"`
}

// Card is a reference page: terminal numbers, meter use, wire colours.
type Card struct {
	Kind   Kind   `yaml:"kind" json:"kind"`
	ID     string `yaml:"id" json:"id"`
	Title  string `yaml:"title" json:"title"`
	System string `yaml:"system" json:"system"`
	// Said holds the words by which people ask for it.
	Said []string `yaml:"said" json:"said"`
	// Picture names an SVG drawing among the web room's pictures.
	Picture string `yaml:"picture,omitempty" json:"picture,omitempty"`
	Body    string `yaml:"body" json:"body"`
}

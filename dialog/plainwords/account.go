package plainwords

// Account is everything the reader makes of one turn. Every byte of the turn
// lies in exactly one span.
type Account struct {
	Text         string
	Spans        []Span
	Observations []Observation
	Requests     []Request
	Vehicle      []VehicleFact
	Tools        []ToolFact
	// Codes are the trouble codes named; Circumstances the person's situation.
	Codes         []Code
	Circumstances []Circumstance
	// Describes is set where the turn only says what the vehicle is.
	Describes bool
	// Part is the part named last, or empty.
	Part string
	// Mends are what was put right, told in passing.
	Mends []Mend
	// Remarks are statements understood that no finding takes up.
	Remarks []Remark
	// Numbers with a unit that belong to no test: the dialogue may ask what
	// was measured. Their words count as unread.
	Numbers []Number
	// Clauses that the reader could not place by itself; the full-text index
	// is asked about them.
	Unplaced []Unplaced
}

// SpanKind says what became of a piece of the turn.
type SpanKind string

// The kinds of span.
const (
	SpanUsed   SpanKind = "used"   // became an observation, request or fact
	SpanFiller SpanKind = "filler" // function words, greetings, punctuation, blanks
	SpanUnread SpanKind = "unread" // words that were not used
)

// Span is a piece of the turn, byte offsets into the text, end exclusive.
type Span struct {
	Start int      `json:"start"`
	End   int      `json:"end"`
	Kind  SpanKind `json:"kind"`
}

// Observation is one time a finding was told. See the package comment for
// the ids of derived findings. A condition whose symptom is "*" belongs to
// the chief complaint.
type Observation struct {
	Finding string
	Outcome string // empty for a reading
	Reading *Quantity
	// Item is which one: a corner, side, cylinder or lamp; empty if unsaid.
	Item string
	// Era is "before" for what was so before the trouble began, "after:ACTION"
	// or empty for now.
	Era string
	// Present says whether the trouble was there: yes, no or empty.
	Present string
	// Means is how it is known (measured, beep, by-eye, by-hand, counter,
	// swap, ...); Source is measured, seen, tried, remembered, told, shop,
	// deduction, opinion or excuse. The last three weigh nothing.
	Means  string
	Source string
	// Hedge is sure, plain, think or maybe; Certainty the reliability that
	// source and hedge give, between 0 and 1.
	Hedge     string
	Certainty float64
	// Start and End are the byte offsets of the words it came from.
	Start, End int
	// Ready is true when the words say that what a reading requires was so.
	Ready bool
	// Answer is true when it answers the question just asked.
	Answer bool
	// Others are other meanings about as likely (finding, outcome); the
	// dialogue asks which.
	Others []Meaning
}

// Meaning is one way to understand words, with its score.
type Meaning struct {
	Finding, Outcome string
	Score            float64
}

// Quantity is a number with its unit, converted to the canonical unit of its
// dimension (V, A, ohm, degC, kPa, rpm, km/h, mm, s, km, L, N·m, %).
type Quantity struct {
	Value float64
	Unit  string
	// Low and High bound a range ("between 11 and 12"); equal to Value
	// otherwise. OpenLow and OpenHigh mark "under 2" and "over 2".
	Low, High         float64
	OpenLow, OpenHigh bool
	// Infinite marks "OL", "open", "infinite" on an ohm meter.
	Infinite bool
	// Written is the number and unit as typed; UnitGiven whether one was.
	Written   string
	UnitGiven bool
}

// Number is a quantity that no test claims.
type Number struct {
	Quantity
	Start, End int
}

// Request is something the person wants from the conversation.
type Request struct {
	// Kind is why, how, what-is, where-is, what-else, noted, undo, change,
	// skip, cannot, no-tool, safe-to-drive, cost, stopgap, fixed, still,
	// start-over, report, hello, thanks, help, opinion, dont-know, unwired,
	// yes, no, both or neither where no outcome says so, nonsense.
	Kind string
	// About is the part, article, finding, cause or tool it is about, or the words.
	About string
	// Item is which one a correction says it is ("i meant the left one").
	Item       string
	Start, End int
}

// VehicleFact is an attribute of the vehicle told in passing. Attribute is an
// id of the vehicle list, or year, mileage, engine-litres, make-unknown.
type VehicleFact struct {
	Attribute, Value string
	Start, End       int
}

// ToolFact says that a tool or a helper is at hand or not.
type ToolFact struct {
	Tool       string
	Have       bool
	Start, End int
}

// Unplaced is a clause the reader could not place.
type Unplaced struct {
	Text       string
	Start, End int
	Negated    bool
}

// Context is what the reader knows of the conversation.
type Context struct {
	// Asked is the finding just asked about, or nil.
	Asked *Asked
	// Earlier are findings asked before, most recent first, for answers to an
	// earlier question.
	Earlier []string
	// Part is the part named last in the turn before, or empty.
	Part string
	// Chief is the symptom the case is about, or empty.
	Chief string
	// Talk are the parts in talk: that of the open check, then those of the
	// suspects, the likeliest first. Empty before there is a case.
	Talk []string
	// Has tells whether the vehicle can have a part; nil: any.
	Has func(part string) bool
}

// Asked is the open question or check.
type Asked struct {
	// Finding is the id; for a look-round Settles lists the findings to tick.
	Finding string
	Settles []string
	// Choices are the symptoms or meanings offered, in order, when the tool
	// asked "which of these?"; answers by ordinal or by name pick one.
	Choices []Meaning
	// Repair is the repair action proposed or under way; "fixed" and
	// "no change" are then its outcome.
	Repair string
}

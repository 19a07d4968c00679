package dialog

// Reply is the answer to one turn. The terminal's -json mode, the HTTP
// interface and the WebSocket all speak this object.
type Reply struct {
	Turn int `json:"turn"`
	// Noted is what this turn brought; SoFar all that stands in the case.
	Noted []Noted `json:"noted"`
	SoFar []Noted `json:"so_far"`
	// Unread are the words of the turn that were not used.
	Unread []Words `json:"unread"`
	// Suspects are the first ten, ordered; they, Pairs, the suspects left out
	// and NoneOfThese sum to one.
	Suspects    []Suspect `json:"suspects"`
	Pairs       []Pair    `json:"pairs"`
	NoneOfThese float64   `json:"none_of_these"`
	// NoneBySystem splits NoneOfThese.
	NoneBySystem []SystemShare `json:"none_by_system,omitempty"`
	RuledOut     []RuledOut    `json:"ruled_out"`
	Next         *Next         `json:"next"`
	// Path is the path in play, with what is cleared on it.
	Path *PathState `json:"path,omitempty"`
	// Text is the reply in words (Markdown without links but for
	// [title](article:ID)).
	Text  string   `json:"reply"`
	Cites []string `json:"cites"`
	Stop  *Stop    `json:"stop"`
	// Spans account for every byte of the turn.
	Spans []SpanOut `json:"spans"`
	// Chief is the symptom the case is about.
	Chief string `json:"chief,omitempty"`
	// Vehicle and Tools are what is known of the vehicle and the tools.
	Vehicle map[string]string `json:"vehicle,omitempty"`
	Tools   map[string]bool   `json:"tools,omitempty"`
	Eras    []Era             `json:"eras,omitempty"`
	// Arrangements are the circuits of which it is known, more or less, how
	// they are wired, by circuit; Drawing is one to show.
	Arrangements map[string]Arranged `json:"arrangements,omitempty"`
	Drawing      *Drawing            `json:"drawing,omitempty"`
	// Closed says that the case is cured, handed over or on trial.
	Closed string `json:"closed,omitempty"`
	// Supposing is what the case is seen under until it is kept or dropped.
	Supposing *Supposing `json:"supposing,omitempty"`
	// Recap is three lines on where the case stands, when that was asked.
	Recap []string `json:"recap,omitempty"`
	// Trial is how far the cure of a trouble that comes and goes is proven;
	// Armed are the checks prepared for the moment it shows.
	Trial *Trial       `json:"trial,omitempty"`
	Armed []ArmedCheck `json:"armed,omitempty"`
	// Decision weighs repair, stopgap and shop, when that was asked.
	Decision *Decision `json:"decision,omitempty"`
	Explain  *Explain  `json:"explain,omitempty"`
}

// Words are a piece of a turn.
type Words struct {
	Words string `json:"words"`
	Start int    `json:"start"`
	End   int    `json:"end"`
}

// SpanOut is a piece of a turn and what became of it; Noted is the number of
// the observation it became, or 0.
type SpanOut struct {
	Start int    `json:"start"`
	End   int    `json:"end"`
	Kind  string `json:"kind"`
	Noted int    `json:"noted,omitempty"`
}

// Noted is one observation of the case. Number identifies it for striking.
type Noted struct {
	Number       int    `json:"number"`
	Turn         int    `json:"turn"`
	Finding      string `json:"finding"`
	Title        string `json:"title"`
	Outcome      string `json:"outcome,omitempty"`
	OutcomeTitle string `json:"outcome_title,omitempty"`
	// Value and Unit are set for a reading; Value is null otherwise.
	Value     *float64 `json:"value,omitempty"`
	Unit      string   `json:"unit,omitempty"`
	Item      string   `json:"item,omitempty"`
	Era       string   `json:"era,omitempty"`
	Source    string   `json:"source,omitempty"`
	Certainty float64  `json:"certainty"`
	Words     string   `json:"words"`
	Start     int      `json:"start"`
	End       int      `json:"end"`
	// Weighs is false for opinions, excuses and what awaits an answer; Note
	// says why.
	Weighs bool   `json:"weighs"`
	Note   string `json:"note,omitempty"`
}

// Suspect is a cause in play.
type Suspect struct {
	ID     string `json:"id"`
	Title  string `json:"title"`
	System string `json:"system"`
	Part   string `json:"part"`
	Mode   string `json:"mode"`
	// Derived marks a cause without an article of its own.
	Derived     bool     `json:"derived,omitempty"`
	Probability float64  `json:"probability"`
	Plain       string   `json:"plain"` // "about 7 in 10"
	For         []Weight `json:"for,omitempty"`
	Against     []Weight `json:"against,omitempty"`
}

// Pair is two causes together.
type Pair struct {
	A           string  `json:"a"`
	B           string  `json:"b"`
	Title       string  `json:"title"`
	Probability float64 `json:"probability"`
}

// SystemShare is the part of "none of these" that lies in one system.
type SystemShare struct {
	System      string  `json:"system"`
	Probability float64 `json:"probability"`
}

// Weight is what one finding says for or against a suspect, in decibans
// against the leader.
type Weight struct {
	Finding  string  `json:"finding"`
	Title    string  `json:"title"`
	Outcome  string  `json:"outcome"`
	Decibans float64 `json:"decibans"`
	// Rests is what a likelihood that follows by itself rests on: an article, or
	// the row of a table as ID#ROW; empty where the article of the cause says it.
	// Basis is where its figure comes from.
	Rests string `json:"rests,omitempty"`
	Basis string `json:"basis,omitempty"`
}

// RuledOut is a cause made negligible and the finding that did it.
type RuledOut struct {
	ID        string `json:"id"`
	Title     string `json:"title"`
	By        string `json:"by"`
	ByTitle   string `json:"by_title"`
	ByOutcome string `json:"by_outcome"`
	// Rests is as in Weight.
	Rests string `json:"rests,omitempty"`
}

// Next is the one thing to do next.
type Next struct {
	// Kind is question, test, look-round, repair, proof, which (one of
	// several meanings), context (of a reading), complaint, trial (of a cure),
	// waiting (for a part), hand-over or none.
	Kind    string  `json:"kind"`
	ID      string  `json:"id"`
	Title   string  `json:"title"`
	Why     string  `json:"why"`
	Minutes float64 `json:"minutes"`
	// Article is the article to read about it.
	Article  string        `json:"article,omitempty"`
	Needs    []string      `json:"needs,omitempty"`
	Access   []string      `json:"access,omitempty"`
	Requires []string      `json:"requires,omitempty"`
	Cautions []string      `json:"cautions,omitempty"`
	Steps    []string      `json:"steps,omitempty"`
	Alone    string        `json:"alone,omitempty"`
	Reading  *ReadingAsked `json:"reading,omitempty"`
	Quick    []Quick       `json:"quick"`
	Ticks    []Tick        `json:"ticks,omitempty"`
	// Splits shows how the outcomes divide the leading suspects; Saves is the
	// average saving in minutes.
	Splits []Split `json:"splits,omitempty"`
	Saves  float64 `json:"saves,omitempty"`
}

// ReadingAsked is a number to be typed.
type ReadingAsked struct {
	Quantity  string     `json:"quantity"`
	Unit      string     `json:"unit"`
	Meter     string     `json:"meter"`
	Terminals string     `json:"terminals"`
	Expect    string     `json:"expect"`
	Possible  [2]float64 `json:"possible"`
	// Basis is where the figures expected come from.
	Basis string `json:"basis,omitempty"`
}

// Quick is an answer to tap. Text is what is shown and kept as the turn's
// words; Tap is what it means.
type Quick struct {
	Text string `json:"text"`
	Tap  Tap    `json:"tap"`
}

// Tick is one line of a look-round.
type Tick struct {
	Finding string  `json:"finding"`
	Ask     string  `json:"ask"`
	Quick   []Quick `json:"quick"`
}

// Split is what one outcome would leave of the suspects.
type Split struct {
	Outcome     string        `json:"outcome"`
	Probability float64       `json:"probability"`
	Leaves      []SystemShare `json:"leaves"` // here System holds the cause's title
}

// Stop is a danger that comes before everything else.
type Stop struct {
	Severity string `json:"severity"`
	Text     string `json:"text"`
	Article  string `json:"article"`
}

// Era is the time between two actions on the car.
type Era struct {
	Number int    `json:"number"`
	Began  string `json:"began"`
	Turn   int    `json:"turn"`
	// Symptoms says what became of each symptom since: same, less, worse, gone,
	// moved or new.
	Symptoms map[string]string `json:"symptoms,omitempty"`
}

// Turn is one message of the person: words, or a tap, or both. It is all that
// a case stores.
type Turn struct {
	Text string `json:"text"`
	Tap  *Tap   `json:"tap,omitempty"`
}

// Tap is a turn whose meaning is exact: a quick answer, a tick list, a
// reading, a struck or changed observation, or a request.
type Tap struct {
	Finding string       `json:"finding,omitempty"`
	Outcome string       `json:"outcome,omitempty"`
	Value   *float64     `json:"value,omitempty"`
	Unit    string       `json:"unit,omitempty"`
	Ticks   []TickAnswer `json:"ticks,omitempty"`
	// Strike is the number of an observation to drop; with Finding and
	// Outcome set it is changed to those.
	Strike int `json:"strike,omitempty"`
	// Request is one of the kinds of plainwords.Request.
	Request string `json:"request,omitempty"`
	About   string `json:"about,omitempty"`
	// Choice picks a meaning or symptom that was offered, counted from 1; -1
	// means none of them.
	Choice int `json:"choice,omitempty"`
}

// TickAnswer is one ticked line of a look-round.
type TickAnswer struct {
	Finding string `json:"finding"`
	Outcome string `json:"outcome"`
}

// Explain holds the numbers behind a reply.
type Explain struct {
	Rows   []ExplainRow   `json:"rows"`
	Checks []ExplainCheck `json:"checks"`
	Reads  []ExplainRead  `json:"reads,omitempty"`
}

// ExplainRow is one cause with its prior, posterior and decibans by finding.
type ExplainRow struct {
	ID        string   `json:"id"`
	Prior     float64  `json:"prior"`
	Posterior float64  `json:"posterior"`
	Weights   []Weight `json:"weights"`
}

// ExplainCheck is one step considered with what it is worth.
type ExplainCheck struct {
	ID    string  `json:"id"`
	Kind  string  `json:"kind"`
	Cost  float64 `json:"cost"`
	Worth float64 `json:"worth"`
	Total float64 `json:"total"`
}

// ExplainRead is what a clause most likely tells.
type ExplainRead struct {
	Words  string   `json:"words"`
	Likely []Likely `json:"likely"`
}

// Matcher finds articles for words that the reader could not place. The
// dialogue does not know how.
type Matcher interface {
	// Match returns articles for the words, best first, ties by id. Kinds
	// limits them ("symptom", "cause", "test", "card"); none means all.
	Match(words string, limit int, kinds ...string) ([]Candidate, error)
	// Complaint returns the symptoms that the words are most likely a telling
	// of, likeliest first, ties by id, with probabilities among all symptoms.
	Complaint(words string, limit int) ([]Likely, error)
	// Told does the same among symptoms and outcomes of questions and tests.
	Told(words string, limit int) ([]Likely, error)
	// Histories returns, for each cause in the order of the base, the logarithm of
	// how much likelier the words are in the story of somebody whose car has it
	// than in anybody's; nil if they say nothing.
	Histories(words string) ([]float64, error)
}

// Likely is an outcome, "present" for a symptom, that a telling may be of.
type Likely struct {
	Finding string  `json:"finding"`
	Outcome string  `json:"outcome"`
	P       float64 `json:"probability"`
}

// Candidate is one article that may be meant.
type Candidate struct {
	ID    string  `json:"id"`
	Kind  string  `json:"kind"`
	Title string  `json:"title"`
	Score float64 `json:"score"`
	// Share is the part of the total score of all candidates.
	Share float64 `json:"share"`
	// Cover is the share of the words asked for that the article has.
	Cover float64 `json:"cover"`
	// Why lists the words that matched, with what they contributed.
	Why []string `json:"why,omitempty"`
}

package kb

// FindingKind says what sort of knowledge a finding is.
type FindingKind string

// The kinds of finding. The last three are derived: nobody authors them.
const (
	FindingSymptom   FindingKind = "symptom"
	FindingQuestion  FindingKind = "question"
	FindingTest      FindingKind = "test"
	FindingPart      FindingKind = "part"      // part:PART:replaced, part:PART:tested, part:PART:LOOK, part:PART:ACTION
	FindingCondition FindingKind = "condition" // cond:SYMPTOM:AXIS:VALUE
	FindingEvent     FindingKind = "event"     // event:EVENT or event:EVENT:PART
)

// Finding is one thing that can be known about a car, with its outcomes.
type Finding struct {
	ID    string
	Kind  FindingKind
	Title string
	// Article is the article that defines it: a symptom (for its questions
	// too), a test, or the list entry of a derived finding.
	Article string
	// Path is the path article that the finding follows from, if any.
	Path    string
	System  string
	Ask     string
	Why     string
	Order   string
	Axis    string
	Ordered bool
	// Outcomes and Base have the same length; Base sums to one.
	Outcomes []Outcome
	Base     []float64
	// Because and Given (parent outcome × own outcome) are set together.
	Because string
	Given   [][]float64
	Reading *Reading
}

// OutcomeIndex returns the position of the outcome with the id, or -1.
func (f *Finding) OutcomeIndex(id string) int {
	for i := range f.Outcomes {
		if f.Outcomes[i].ID == id {
			return i
		}
	}
	return -1
}

package web

import "html/template"

// Jobs lists the cases, newest first, by where they stand.
type Jobs struct {
	Frame
	// Query is what was searched for, if anything; Found then holds the cases.
	Query    string
	Found    []FoundJob
	Groups   []JobGroup
	Vehicles []Choice
	// Wrong says what was wrong with what was sent, Done what was done.
	Wrong, Done string
}

// JobGroup is the jobs that stand alike.
type JobGroup struct {
	ID, Title string
	Jobs      []Job
}

// Job is one case in a list.
type Job struct {
	ID, Title, When, State string
	Turns                  int
	Recap                  []string
	Vehicle, Sheet         string
	Armed                  []string
	Closed                 bool
}

// FoundJob is a case that was searched for; Snippet alternates plain and
// marked pieces.
type FoundJob struct {
	Job
	Snippet []Piece
}

// Choice is something to choose.
type Choice struct {
	Value, Text string
	Chosen      bool
}

// JobFile is all that belongs to a case beside its conversation.
type JobFile struct {
	Frame
	Job
	Known       []Fact
	SheetName   string
	Corrections []JobCorrection
	Turns       []Choice
	Attached    []Attached
	Like        []FoundJob
	// Ended says that it was closed on this page, not in the conversation.
	Ended       bool
	Wrong, Done string
}

// JobCorrection is a fact that the case knows otherwise than its sheet.
type JobCorrection struct{ Attribute, Title, Case, Sheet string }

// Attached is a note or photo.
type Attached struct {
	Number            int
	When, Where, Note string
	Photo             string // its address
	Width, Height     int
}

// Report is the record of a case, to be read and printed.
type Report struct {
	Frame
	ID       string
	Shop     bool
	Made     string
	Body     template.HTML
	Circuit  template.HTML
	Attached []Attached
}

// Vehicles lists the vehicle sheets.
type Vehicles struct {
	Frame
	Vehicles []VehicleLine
	Form     SheetForm
	Wrong    string
}

// VehicleLine is one sheet in a list.
type VehicleLine struct {
	ID, Name, Facts string
	Jobs            int
}

// VehiclePage is one vehicle sheet with its jobs.
type VehiclePage struct {
	Frame
	ID, Name, Changed string
	Form              SheetForm
	Jobs              []Job
	Wrong, Done       string
}

// SheetForm is the form of a vehicle sheet.
type SheetForm struct {
	Action, Name, Notes string
	From                string
	Free                []SheetField
	Chosen              []SheetChoice
	// Arrangements are how its circuits are wired, as far as that is known.
	Arrangements []SheetChoice
}

// SheetField is a fact to be typed.
type SheetField struct{ ID, Title, Value, Hint string }

// SheetChoice is a fact to be chosen.
type SheetChoice struct {
	ID, Title string
	Options   []Choice
}

// Learned shows what closed cases taught.
type Learned struct {
	Frame
	On            bool
	Strength      string
	Cases, None   int
	NonePrior     string
	Causes        []LearnedRow
	Checks        []LearnedRow
	MinutesWeight string
	Wrong, Done   string
}

// LearnedRow is one figure beside the authored one.
type LearnedRow struct{ ID, Title, Authored, Here, Now string }

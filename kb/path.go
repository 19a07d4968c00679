package kb

import "slices"

// Path is the ordered line of parts through which something passes to do its
// job, with the points where a person can see it, feed it in or shut it off.
// Nobody writes what a look at a point tells of each cause: it follows from
// where the cause's part sits on the line and from what its failure does to
// what passes (see PathTable). An example, cut short:
//
//	kind: path
//	id: washer-water
//	title: Washer water, from the bottle to the screen
//	system: body-electrics
//	said: [washer path, way of the washer water]
//	passes: washer water
//	from: the bottle
//	to: the screen
//	serves: [washers-dead]
//	stations:
//	  - {part: washer-bottle, does: holds the water}
//	  - {part: washer-pump, commands: [fuse], does: pushes it on}
//	points:
//	  - id: pump-outlet
//	    title: at the pump's outlet pipe
//	    after: washer-pump
//	    seen:
//	      title: Look for water at the pump's outlet
//	      ask: Does water come out of the pump when the pipe is pulled off it?
//	      minutes: 5
//	      difficulty: easy
//	      steps: [...]
//	      reliable: nearly always
//	      basis: memory
//	      outcomes:
//	        - {id: good, title: water squirts out, said: [...]}
//	        - {id: bad, title: no water, said: [...]}
//	body: ...
type Path struct {
	Kind   Kind     `yaml:"kind" json:"kind"`
	ID     string   `yaml:"id" json:"id"`
	Title  string   `yaml:"title" json:"title"`
	System string   `yaml:"system" json:"system"`
	Said   []string `yaml:"said" json:"said"`
	// Passes is what passes, From and To where it comes from and goes.
	Passes string `yaml:"passes" json:"passes"`
	From   string `yaml:"from" json:"from"`
	To     string `yaml:"to" json:"to"`
	// Unwanted means that it should not pass at all (rain on its way in): to
	// see none is then good.
	Unwanted bool    `yaml:"unwanted,omitempty" json:"unwanted,omitempty"`
	Applies  Applies `yaml:"applies,omitempty" json:"applies,omitempty"`
	// Serves names the symptoms that bring the path into play.
	Serves   []string      `yaml:"serves" json:"serves"`
	Stations []PathStation `yaml:"stations" json:"stations"`
	Points   []PathPoint   `yaml:"points" json:"points"`
	Body     string        `yaml:"body" json:"body"`
}

// PathStation is one place on the line: a part, with the parts that sit at
// the same place and those that drive or command it.
type PathStation struct {
	// ID names the station; without one it is the part's.
	ID   string `yaml:"id,omitempty" json:"id,omitempty"`
	Part string `yaml:"part" json:"part"`
	// Does is what the station does to what passes, in half a sentence.
	Does string   `yaml:"does" json:"does"`
	Also []string `yaml:"also,omitempty" json:"also,omitempty"`
	// Commands are the parts that feed, drive or switch the station.
	Commands []string `yaml:"commands,omitempty" json:"commands,omitempty"`
	// After is the station before it, where that is not the one above: there
	// the line branches.
	After string `yaml:"after,omitempty" json:"after,omitempty"`
	// Effects maps failure modes to what they do here, where that is not what
	// the table says: cut, weak, leak, wrong or none.
	Effects map[string]string `yaml:"effects,omitempty" json:"effects,omitempty"`
}

// PathPoint is a place between two stations where a person can get at what
// passes: behind the station After, before whatever follows.
type PathPoint struct {
	ID    string `yaml:"id" json:"id"`
	Title string `yaml:"title" json:"title"`
	After string `yaml:"after" json:"after"`
	// Joins are further stations from which it comes together at this point.
	Joins []string  `yaml:"joins,omitempty" json:"joins,omitempty"`
	Seen  *PathLook `yaml:"seen,omitempty" json:"seen,omitempty"`
	Fed   *PathLook `yaml:"fed,omitempty" json:"fed,omitempty"`
	Shut  *PathLook `yaml:"shut,omitempty" json:"shut,omitempty"`
	// Opened lets it out at the point, past all that lies behind.
	Opened *PathLook `yaml:"opened,omitempty" json:"opened,omitempty"`
}

// PathLook is one way to find out at a point. Either it is done as told here,
// or Test names an article that tells it.
type PathLook struct {
	// Test names a test article; Is maps its outcomes to those of the way.
	Test       string            `yaml:"test,omitempty" json:"test,omitempty"`
	Is         map[string]string `yaml:"is,omitempty" json:"is,omitempty"`
	Title      string            `yaml:"title,omitempty" json:"title,omitempty"`
	Ask        string            `yaml:"ask,omitempty" json:"ask,omitempty"`
	Applies    Applies           `yaml:"applies,omitempty" json:"applies,omitempty"`
	Needs      []string          `yaml:"needs,omitempty" json:"needs,omitempty"`
	Minutes    float64           `yaml:"minutes,omitempty" json:"minutes,omitempty"`
	Difficulty string            `yaml:"difficulty,omitempty" json:"difficulty,omitempty"`
	Access     []string          `yaml:"access,omitempty" json:"access,omitempty"`
	Requires   []string          `yaml:"requires,omitempty" json:"requires,omitempty"`
	Hazards    []string          `yaml:"hazards,omitempty" json:"hazards,omitempty"`
	Cautions   []string          `yaml:"cautions,omitempty" json:"cautions,omitempty"`
	Steps      []string          `yaml:"steps,omitempty" json:"steps,omitempty"`
	Helper     *Helper           `yaml:"helper,omitempty" json:"helper,omitempty"`
	// Reliable is the chance that the look shows what is there; what is left
	// of it shows the baseline.
	Reliable Likelihood `yaml:"reliable,omitempty" json:"reliable,omitempty"`
	// Base overrides the baseline of the way, by outcome: what a car shows
	// whose trouble lies elsewhere.
	Base map[string]float64 `yaml:"base,omitempty" json:"base,omitempty"`
	// Sees limits the look to these parts of the path, Tells to these effects:
	// a look along a hose for splits tells nothing of a blocked filter before
	// it. Empty means all.
	Sees     []string      `yaml:"sees,omitempty" json:"sees,omitempty"`
	Tells    []string      `yaml:"tells,omitempty" json:"tells,omitempty"`
	Outcomes []PathOutcome `yaml:"outcomes,omitempty" json:"outcomes,omitempty"`
	Basis    Basis         `yaml:"basis" json:"basis"`
}

// PathOutcome is one result of a look. Its id is fixed by the way (see
// PathOutcomes); the words are the author's.
type PathOutcome struct {
	ID    string   `yaml:"id" json:"id"`
	Title string   `yaml:"title" json:"title"`
	Said  []string `yaml:"said" json:"said"`
}

// PathWays are the ways to find out at a point, in order: what passes is seen
// there; it is fed in there, past all that lies before; it is shut off there
// from what lies behind; or the line is opened there, which leaves out what
// lies behind.
var PathWays = []string{"seen", "fed", "shut", "opened"}

// PathOutcomes are the outcomes that each way can have. Seen is good, weak,
// missing (bad), or passes when or where it should not (wrong); fed in, shut
// off or opened, the trouble is gone, eases or stays. The last stands for what two
// faults at once show.
var PathOutcomes = map[string][]string{
	"seen":   {"good", "weak", "bad", "wrong"},
	"fed":    {"works", "part", "same"},
	"shut":   {"gone", "less", "same"},
	"opened": {"gone", "less", "same"},
}

// PathEffects are what a failure does to what passes: stops it, leaves little
// of it, lets it out (or air in), lets it pass when or where it should not.
var PathEffects = []string{"cut", "weak", "leak", "wrong"}

// PathTable is the authored table behind every path: what a failure mode does
// to what passes, and what a look at a point shows then.
type PathTable struct {
	Basis Basis `yaml:"basis" json:"basis"`
	// Effects maps a mode to its effects with their shares; what is left of
	// one does nothing to what passes. Commanded overrides it for parts that
	// only command: contacts that stay open are no valve that stays open.
	Effects   map[string]map[string]float64 `yaml:"effects" json:"effects"`
	Commanded map[string]map[string]float64 `yaml:"commanded" json:"commanded"`
	// Ways maps a way to its tables.
	Ways map[string]PathWay `yaml:"ways" json:"ways"`
}

// PathWay says what one way shows: on a car whose trouble lies off the path
// (Base), and by effect for a fault before and behind the point. An effect
// that is not named shows the baseline.
type PathWay struct {
	Base   map[string]float64            `yaml:"base" json:"base"`
	Before map[string]map[string]float64 `yaml:"before,omitempty" json:"before,omitempty"`
	Behind map[string]map[string]float64 `yaml:"behind,omitempty" json:"behind,omitempty"`
}

// Name is the station's id.
func (s *PathStation) Name() string {
	if s.ID != "" {
		return s.ID
	}
	return s.Part
}

// Parts are all parts of the station: its own, those beside it and those that
// command it.
func (s *PathStation) Parts() []string {
	return slices.Concat([]string{s.Part}, s.Also, s.Commands)
}

// Station returns the position of the station with the id, or -1.
func (p *Path) Station(id string) int {
	return slices.IndexFunc(p.Stations, func(s PathStation) bool { return s.Name() == id })
}

// Prior returns the position of the station before station i, or -1 for the
// first of the line.
func (p *Path) Prior(i int) int {
	if p.Stations[i].After != "" {
		return p.Station(p.Stations[i].After)
	}
	return i - 1
}

// Before reports whether station i lies before the point: what passes has gone
// through it by then.
func (p *Path) Before(i int, point *PathPoint) bool {
	for _, id := range append([]string{point.After}, point.Joins...) {
		at := p.Station(id)
		for n := 0; at >= 0 && n <= len(p.Stations); n++ {
			if at == i {
				return true
			}
			at = p.Prior(at)
		}
	}
	return false
}

// Behind reports whether station i lies behind the point: what passes the
// point goes on to it. What is neither before nor behind is on another branch.
func (p *Path) Behind(i int, point *PathPoint) bool {
	for n := 0; i >= 0 && n <= len(p.Stations); n++ {
		i = p.Prior(i)
		if i >= 0 && (p.Stations[i].Name() == point.After || slices.Contains(point.Joins, p.Stations[i].Name())) {
			return true
		}
	}
	return false
}

// Look returns the look of a way, or nil.
func (k *PathPoint) Look(way string) *PathLook {
	switch way {
	case "seen":
		return k.Seen
	case "fed":
		return k.Fed
	case "shut":
		return k.Shut
	case "opened":
		return k.Opened
	}
	return nil
}

// Finding is the id of the finding that a way at a point settles.
func (p *Path) Finding(k *PathPoint, way string) string {
	if l := k.Look(way); l != nil && l.Test != "" {
		return l.Test
	}
	return "path:" + p.ID + ":" + k.ID + ":" + way
}

package kb

// Sign is a trouble of a part of the car for which nobody has written
// articles yet: how owners say it and which parts in which modes bring it.
// From signs and the list of parts the knowledge base derives short symptom
// and cause pages for the long tail; they are marked as derived.
type Sign struct {
	ID     string `yaml:"id" json:"id"`
	Title  string `yaml:"title" json:"title"`
	System string `yaml:"system" json:"system"`
	// KnownBy is as in Symptom.
	KnownBy string   `yaml:"known_by" json:"known_by"`
	Said    []string `yaml:"said" json:"said"`
	// Base is the share of cars with unrelated trouble that show it too.
	Base   float64 `yaml:"base" json:"base"`
	Danger *Danger `yaml:"danger,omitempty" json:"danger,omitempty"`
	// From lists the parts that bring it.
	From  []SignFrom `yaml:"from" json:"from"`
	Basis Basis      `yaml:"basis" json:"basis"`
}

// SignFrom is one part, in all its modes or the named ones, with how often
// its failure shows the sign.
type SignFrom struct {
	Part  string     `yaml:"part" json:"part"`
	Modes []string   `yaml:"modes,omitempty" json:"modes,omitempty"`
	How   Likelihood `yaml:"how" json:"how"`
	// When says under which conditions the sign shows then, as
	// "axis/value relation", for example "braking/braking only".
	When []string `yaml:"when,omitempty" json:"when,omitempty"`
}

// partsOnly reports whether the sign leaves all but its parts to an article.
func (g *Sign) partsOnly() bool {
	return g.Title == "" && g.System == "" && g.KnownBy == "" && len(g.Said) == 0 && g.Base == 0
}

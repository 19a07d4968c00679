package kb

import "sort"

// Head is what all articles have in common.
type Head struct {
	Kind   Kind   `json:"kind"`
	ID     string `json:"id"`
	Title  string `json:"title"`
	System string `json:"system"`
	Body   string `json:"-"`
	// Derived marks a page that nobody authored.
	Derived bool `json:"derived,omitempty"`
	// Minor marks a derived page that no search should bring up by itself: a
	// rare fault of a part whose likelier ones have pages, or one about several
	// parts, which would be near to everything.
	Minor bool `json:"-"`
}

// Base is a validated set of lists and articles. It is never changed after
// loading, so any number of conversations may read it at once. All slices are
// in id order.
type Base struct {
	Lists
	Symptoms []*Symptom
	Causes   []*Cause
	Tests    []*Test
	Cards    []*Card
	Circuits []*Circuit
	Paths    []*Path
	// Digest names the content: equal digests, equal bases.
	Digest string

	heads     map[string]Head
	symptoms  map[string]*Symptom
	causes    map[string]*Cause
	tests     map[string]*Test
	cards     map[string]*Card
	circuits  map[string]*Circuit
	paths     map[string]*Path
	findings  map[string]*Finding
	parts     map[string]*Part
	modes     map[string]*Mode
	kinds     map[string][]string // kinds of a part
	backlinks map[string][]string
	// rows holds P(outcome | cause) by cause and finding.
	rows map[string]map[string][]float64
	// looksAt are the looks along paths that settle a finding.
	looksAt map[string][]lookAt
}

// Head returns the head of the article with the id.
func (b *Base) Head(id string) (Head, bool) { h, ok := b.heads[id]; return h, ok }

// Heads returns the heads of all articles in id order.
func (b *Base) Heads() []Head {
	out := make([]Head, 0, len(b.heads))
	for _, h := range b.heads {
		out = append(out, h)
	}
	sort.Slice(out, func(i, j int) bool { return out[i].ID < out[j].ID })
	return out
}

// Symptom, Cause, Test and Card return the article with the id, or nil.
func (b *Base) Symptom(id string) *Symptom { return b.symptoms[id] }

// Cause returns the cause with the id, or nil.
func (b *Base) Cause(id string) *Cause { return b.causes[id] }

// Test returns the test with the id, or nil.
func (b *Base) Test(id string) *Test { return b.tests[id] }

// Card returns the card with the id, or nil.
func (b *Base) Card(id string) *Card { return b.cards[id] }

// Circuit returns the circuit with the id, or nil.
func (b *Base) Circuit(id string) *Circuit { return b.circuits[id] }

// Path returns the path with the id, or nil.
func (b *Base) Path(id string) *Path { return b.paths[id] }

// Part returns the part with the id, or nil.
func (b *Base) Part(id string) *Part { return b.parts[id] }

// Mode returns the failure mode with the id, or nil.
func (b *Base) Mode(id string) *Mode { return b.modes[id] }

// Finding returns the authored finding with the id: a symptom's, a question's
// or a test's. Derived findings are made by Derive.
func (b *Base) Finding(id string) *Finding { return b.findings[id] }

// Findings returns the authored findings in id order.
func (b *Base) Findings() []*Finding {
	out := make([]*Finding, 0, len(b.findings))
	for _, f := range b.findings {
		out = append(out, f)
	}
	sort.Slice(out, func(i, j int) bool { return out[i].ID < out[j].ID })
	return out
}

// Backlinks returns the ids of the articles that link to or refer to the id,
// in order.
func (b *Base) Backlinks(id string) []string { return b.backlinks[id] }

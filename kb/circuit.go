package kb

import (
	"fmt"
	"slices"
	"strings"
)

// Circuit is the electrical arrangement behind a group of causes and tests, in
// a form that can be solved. An example, cut short:
//
//	kind: circuit
//	id: horn-circuit
//	title: Horn
//	system: body-electrics
//	ground: "31"
//	supply: "30"
//	controls:
//	  - {id: push, title: horn push, settings: ["out", "in"], default: "out"}
//	elements:
//	  - {id: horn-fuse, title: horn fuse, kind: fuse, part: fuse, rating: 15, basis: common practice, faults: [{fault: open, cause: horn-fuse-blown}]}
//	  - {id: horn-relay, title: horn relay, kind: relay, part: horn-relay, ohms: 80, basis: memory, faults: [{fault: coil-open, derived: true}]}
//	arrangements:
//	  - {id: relay, title: relay, share: 0.6, basis: memory, tells: ..., joins: {horn-fuse: 30 f, horn-relay: "86:f 85:p 30:f 87:h"}}
//	points:
//	  - {node: h, title: horn plug, feed side, terminal: "87", reach: back}
//	pulls:
//	  - {id: pull-relay, title: pull the horn relay, elements: [horn-relay]}
//	setups:
//	  - {id: pressed, title: horn pushed, set: {push: "in"}, volts: [h], watch: [horn]}
//	observed:
//	  - {finding: horn-relay-click, outcomes: {clicks: [pushed horn-relay full], silent: [pushed horn-relay nothing]}}
//	body: ...
type Circuit struct {
	Kind   Kind     `yaml:"kind" json:"kind"`
	ID     string   `yaml:"id" json:"id"`
	Title  string   `yaml:"title" json:"title"`
	System string   `yaml:"system" json:"system"`
	Said   []string `yaml:"said" json:"said"`
	// Ground and Supply are the nodes of the battery's posts.
	Ground       string               `yaml:"ground" json:"ground"`
	Supply       string               `yaml:"supply" json:"supply"`
	Controls     []CircuitControl     `yaml:"controls,omitempty" json:"controls,omitempty"`
	Elements     []CircuitElement     `yaml:"elements" json:"elements"`
	Arrangements []CircuitArrangement `yaml:"arrangements" json:"arrangements"`
	Points       []CircuitPoint       `yaml:"points" json:"points"`
	Pulls        []CircuitPull        `yaml:"pulls,omitempty" json:"pulls,omitempty"`
	Setups       []CircuitSetup       `yaml:"setups" json:"setups"`
	Observed     []CircuitObserved    `yaml:"observed,omitempty" json:"observed,omitempty"`
	Body         string               `yaml:"body" json:"body"`
}

// CircuitControl is something that can be set: the key, a temperature.
type CircuitControl struct {
	ID    string `yaml:"id" json:"id"`
	Title string `yaml:"title" json:"title"`
	// Settings are its words; without any it is a number in Unit.
	Settings []string `yaml:"settings,omitempty" json:"settings,omitempty"`
	Unit     string   `yaml:"unit,omitempty" json:"unit,omitempty"`
	Default  string   `yaml:"default" json:"default"`
	// Said holds, by setting, how people say that it is set so.
	Said map[string][]string `yaml:"said,omitempty" json:"said,omitempty"`
}

// CircuitElement is one element with its values: volts, ohms, amperes, watts,
// mm², metres.
type CircuitElement struct {
	ID    string `yaml:"id" json:"id"`
	Title string `yaml:"title" json:"title"`
	Type  string `yaml:"kind" json:"kind"`
	// Part names the part of the list that it is, if it is one.
	Part string `yaml:"part,omitempty" json:"part,omitempty"`

	Volts   float64 `yaml:"volts,omitempty" json:"volts,omitempty"`
	Ohms    float64 `yaml:"ohms,omitempty" json:"ohms,omitempty"`
	Stall   float64 `yaml:"stall,omitempty" json:"stall,omitempty"`
	Contact float64 `yaml:"contact,omitempty" json:"contact,omitempty"`
	Watts   float64 `yaml:"watts,omitempty" json:"watts,omitempty"`
	Cold    float64 `yaml:"cold,omitempty" json:"cold,omitempty"`
	Rating  float64 `yaml:"rating,omitempty" json:"rating,omitempty"`
	PullIn  float64 `yaml:"pull_in,omitempty" json:"pull_in,omitempty"`
	DropOut float64 `yaml:"drop_out,omitempty" json:"drop_out,omitempty"`
	Area    float64 `yaml:"area,omitempty" json:"area,omitempty"`
	Length  float64 `yaml:"length,omitempty" json:"length,omitempty"`
	Beta    float64 `yaml:"beta,omitempty" json:"beta,omitempty"`
	PerUnit float64 `yaml:"per_unit,omitempty" json:"per_unit,omitempty"`
	Below   float64 `yaml:"below,omitempty" json:"below,omitempty"`
	Above   float64 `yaml:"above,omitempty" json:"above,omitempty"`
	// Tolerance is how far the part's values may be off, as a share.
	Tolerance float64 `yaml:"tolerance,omitempty" json:"tolerance,omitempty"`
	Basis     Basis   `yaml:"basis" json:"basis"`

	Control string   `yaml:"control,omitempty" json:"control,omitempty"`
	Closed  []string `yaml:"closed,omitempty" json:"closed,omitempty"`
	Over    *float64 `yaml:"over,omitempty" json:"over,omitempty"`
	Under   *float64 `yaml:"under,omitempty" json:"under,omitempty"`

	// Keep says why it must never be bridged, fed or probed.
	Keep   string              `yaml:"keep,omitempty" json:"keep,omitempty"`
	Faults []CircuitPartFailed `yaml:"faults,omitempty" json:"faults,omitempty"`
}

// CircuitPartFailed is one fault an element can have and where it belongs: to
// a cause, or where nobody wrote one to what is derived from Part and Mode.
type CircuitPartFailed struct {
	Fault string `yaml:"fault" json:"fault"`
	Cause string `yaml:"cause,omitempty" json:"cause,omitempty"`
	// Derived names part and mode of a fault without a cause article.
	Derived *CircuitDerived `yaml:"derived,omitempty" json:"derived,omitempty"`
	At      string          `yaml:"at,omitempty" json:"at,omitempty"`
	Weight  float64         `yaml:"weight,omitempty" json:"weight,omitempty"`
	// Only limits it to these arrangements.
	Only []string `yaml:"only,omitempty" json:"only,omitempty"`
	// From and To bound an unknown magnitude in ohms.
	From float64 `yaml:"from,omitempty" json:"from,omitempty"`
	To   float64 `yaml:"to,omitempty" json:"to,omitempty"`
}

// CircuitDerived is a part in a mode.
type CircuitDerived struct {
	Part string `yaml:"part" json:"part"`
	Mode string `yaml:"mode" json:"mode"`
}

// CauseID returns the id of the cause the fault belongs to, authored or
// derived.
func (f *CircuitPartFailed) CauseID() string {
	if f.Cause == "" && f.Derived != nil {
		return f.Derived.Part + "-is-" + f.Derived.Mode
	}
	return f.Cause
}

// CircuitArrangement is one way in which makers wire the function.
type CircuitArrangement struct {
	ID    string  `yaml:"id" json:"id"`
	Title string  `yaml:"title" json:"title"`
	Share float64 `yaml:"share" json:"share"`
	Basis Basis   `yaml:"basis" json:"basis"`
	// Applies says to which vehicles it belongs.
	Applies Applies `yaml:"applies,omitempty" json:"applies,omitempty"`
	// Tells says what is peculiar to it.
	Tells string `yaml:"tells" json:"tells"`
	// Joins gives the nodes of each element's terminals: in the order of its
	// kind ("f m"), or by name ("86:s 85:g 30:f 87:m").
	Joins map[string]string `yaml:"joins" json:"joins"`
}

// CircuitPoint is a node where a person can put a probe.
type CircuitPoint struct {
	Node  string `yaml:"node" json:"node"`
	Title string `yaml:"title" json:"title"`
	// Terminal is its number by DIN 72552, if it has one.
	Terminal string `yaml:"terminal,omitempty" json:"terminal,omitempty"`
	// Reach is probe (bare), back (from behind a plug) or none.
	Reach string `yaml:"reach" json:"reach"`
	// Said holds further names that people give it.
	Said []string `yaml:"said,omitempty" json:"said,omitempty"`
}

// CircuitPull is something that can be unplugged or pulled out.
type CircuitPull struct {
	ID       string   `yaml:"id" json:"id"`
	Title    string   `yaml:"title" json:"title"`
	Elements []string `yaml:"elements" json:"elements"`
}

// CircuitSetup is a state in which something is observed.
type CircuitSetup struct {
	ID     string            `yaml:"id" json:"id"`
	Title  string            `yaml:"title" json:"title"`
	Set    map[string]string `yaml:"set,omitempty" json:"set,omitempty"`
	Pulled []string          `yaml:"pulled,omitempty" json:"pulled,omitempty"`
	// Swapped are elements changed for known good ones; only what can be
	// pulled can be swapped.
	Swapped []string    `yaml:"swapped,omitempty" json:"swapped,omitempty"`
	Bridged [][2]string `yaml:"bridged,omitempty" json:"bridged,omitempty"`
	Fed     []string    `yaml:"fed,omitempty" json:"fed,omitempty"`
	Earthed []string    `yaml:"earthed,omitempty" json:"earthed,omitempty"`
	Volts   []string    `yaml:"volts,omitempty" json:"volts,omitempty"`
	Across  [][2]string `yaml:"across,omitempty" json:"across,omitempty"`
	Ohms    [][2]string `yaml:"ohms,omitempty" json:"ohms,omitempty"`
	// A node may be named by a part's terminal too, "relay.87": it may differ
	// between arrangements.
	// Bench are elements taken out with the two terminals read: [relay, "30", "87"].
	Bench   [][3]string `yaml:"bench,omitempty" json:"bench,omitempty"`
	Amps    []string    `yaml:"amps,omitempty" json:"amps,omitempty"`
	Watch   []string    `yaml:"watch,omitempty" json:"watch,omitempty"`
	Minutes float64     `yaml:"minutes,omitempty" json:"minutes,omitempty"`
	// Cautions stand before the step.
	Cautions []string `yaml:"cautions,omitempty" json:"cautions,omitempty"`
}

// circuitKinds lists the kinds of element: terminals in order, how many of
// them may be left out from the end, and the faults each can have.
var circuitKinds = map[string]struct {
	terminals []string
	spare     []string
	faults    []string
}{
	"battery":    {[]string{"+", "-"}, nil, []string{"flat", "open", "high"}},
	"motor":      {[]string{"+", "-"}, nil, []string{"open", "high", "seized", "short"}},
	"fuse":       {[]string{"a", "b"}, nil, []string{"open", "high"}},
	"wire":       {[]string{"a", "b"}, nil, []string{"open", "high", "leak", "grounded"}},
	"connector":  {[]string{"a", "b"}, nil, []string{"open", "high", "leak"}},
	"ground":     {[]string{"a", "b"}, nil, []string{"open", "high"}},
	"resistor":   {[]string{"a", "b"}, nil, []string{"open", "high", "short"}},
	"heater":     {[]string{"a", "b"}, nil, []string{"open", "short"}},
	"sender":     {[]string{"a", "b"}, nil, []string{"open", "short", "high", "grounded"}},
	"lamp":       {[]string{"a", "b"}, nil, []string{"open", "short"}},
	"diode":      {[]string{"a", "k"}, nil, []string{"open", "short", "leak"}},
	"switch":     {[]string{"a", "b"}, nil, []string{"stuck-open", "stuck-closed", "high", "grounded"}},
	"changeover": {[]string{"c", "rest", "worked"}, []string{"rest", "worked"}, []string{"stuck-open", "stuck-closed", "high", "open"}},
	"relay":      {[]string{"86", "85", "30", "87", "87a"}, []string{"87", "87a"}, []string{"coil-open", "coil-short", "stuck-open", "stuck-closed", "high"}},
	"driver":     {[]string{"out", "com", "sense"}, []string{"sense"}, []string{"stuck-open", "stuck-closed", "high"}},
	"alternator": {[]string{"B+", "B-", "D+", "S"}, []string{"D+", "S"}, []string{"open", "stuck-open", "stuck-closed", "leak", "high"}},
}

// Terminals returns the node of each terminal that the arrangement gives an
// element. The error says what is wrong with how it is written.
func (a *CircuitArrangement) Terminals(e *CircuitElement) (map[string]string, error) {
	kind, ok := circuitKinds[e.Type]
	if !ok {
		return nil, fmt.Errorf("there is no kind of element %q", e.Type)
	}
	out := map[string]string{}
	for i, word := range strings.Fields(a.Joins[e.ID]) {
		terminal, node, named := strings.Cut(word, ":")
		if !named {
			if i >= len(kind.terminals) {
				return nil, fmt.Errorf("a %s has only the terminals %s", e.Type, strings.Join(kind.terminals, ", "))
			}
			terminal, node = kind.terminals[i], word
		}
		switch {
		case !slices.Contains(kind.terminals, terminal):
			return nil, fmt.Errorf("a %s has no terminal %q, but %s", e.Type, terminal, strings.Join(kind.terminals, ", "))
		case out[terminal] != "":
			return nil, fmt.Errorf("terminal %q is joined twice", terminal)
		case node == "":
			return nil, fmt.Errorf("terminal %q is joined to nothing", terminal)
		}
		out[terminal] = node
	}
	for _, t := range kind.terminals {
		if out[t] == "" && !slices.Contains(kind.spare, t) {
			return nil, fmt.Errorf("terminal %q is not joined", t)
		}
	}
	return out, nil
}

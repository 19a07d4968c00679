package plainwords

import (
	"fmt"
	"os"
	"slices"
	"strings"
	"testing"

	"gopkg.in/yaml.v3"

	"ruleout/kb"
)

// independentTurn is one entry of the independent corpus; testdata/plainwords/README.md
// tells the form.
type independentTurn struct {
	file string
	Text string `yaml:"text"`
	// Held entries are for measuring only.
	Held    bool     `yaml:"held"`
	Asked   string   `yaml:"asked"`
	Settles []string `yaml:"settles"`
	Repair  string   `yaml:"repair"`
	Earlier []string `yaml:"earlier"`
	Chief   string   `yaml:"chief"`

	Expect        []expected       `yaml:"expect"`
	Requests      []expectedWord   `yaml:"requests"`
	Vehicle       []expectedWord   `yaml:"vehicle"`
	Tools         []expectedWord   `yaml:"tools"`
	Circumstances []expectedWord   `yaml:"circumstances"`
	Codes         []string         `yaml:"codes"`
	Unread        *[]string        `yaml:"unread"`
	May           []expectedMember `yaml:"may"`
	Not           []expectedMember `yaml:"not"`
}

// expected is one observation: a finding with an outcome or a reading, or any
// one of several that say the same.
type expected struct {
	expectedMember `yaml:",inline"`
	AnyOf          []expectedMember `yaml:"any_of"`
	Item           string           `yaml:"item"`
	Era            string           `yaml:"era"`
	Present        string           `yaml:"present"`
	Source         string           `yaml:"source"`
	Means          string           `yaml:"means"`
	// Certainty is sure, plain, think or maybe; plain if left out.
	Certainty string `yaml:"certainty"`
	Words     string `yaml:"words"`
}

func (e expected) members() []expectedMember {
	if len(e.AnyOf) > 0 {
		return e.AnyOf
	}
	return []expectedMember{e.expectedMember}
}

// expectedMember names a finding with an outcome ("*" for any) or a reading.
// Under may and not the finding may also be a vehicle attribute, "?request",
// "+tool", "-tool" or "circ:circumstance".
type expectedMember struct {
	Finding string           `yaml:"finding"`
	Outcome string           `yaml:"outcome"`
	Reading *expectedReading `yaml:"reading"`
}

// expectedReading is in the canonical unit of its dimension. A range has low
// and high, an open range one of them alone.
type expectedReading struct {
	Value    *float64 `yaml:"value"`
	Unit     string   `yaml:"unit"`
	Low      *float64 `yaml:"low"`
	High     *float64 `yaml:"high"`
	Infinite bool     `yaml:"infinite"`
}

// expectedWord is a request, vehicle fact, tool or circumstance; Value "*"
// stands for any spelling of it.
type expectedWord struct {
	Kind      string `yaml:"kind"`
	About     string `yaml:"about"`
	Attribute string `yaml:"attribute"`
	Value     string `yaml:"value"`
	Tool      string `yaml:"tool"`
	Have      bool   `yaml:"have"`
	Words     string `yaml:"words"`
}

func independent(t *testing.T) []independentTurn {
	t.Helper()
	var out []independentTurn
	for _, name := range []string{"independent.yaml", "independent-adversarial.yaml"} {
		f, err := os.Open("../../testdata/plainwords/" + name)
		if err != nil {
			t.Fatal(err)
		}
		defer f.Close()
		d := yaml.NewDecoder(f)
		d.KnownFields(true)
		var turns []independentTurn
		if err := d.Decode(&turns); err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		for _, e := range turns {
			e.file = name
			out = append(out, e)
		}
	}
	return out
}

var (
	requestKinds      = strings.Fields("why how what-is where-is what-else noted undo change skip cannot no-tool safe-to-drive cost stopgap fixed still start-over report hello thanks help opinion dont-know unwired yes no both neither nonsense")
	circumstanceKinds = strings.Fields("alone roadside raining dark no-money afraid first-time hurry")
	otherAttributes   = strings.Fields("year mileage engine-litres make-unknown")
	canonicalUnits    = strings.Fields("V A ohm degC kPa rpm km/h mm s km L N·m %")
)

// TestIndependentIsSound checks the corpus itself: every id exists in the
// embedded base, every quoted piece of text stands in it, no expectation
// forbids itself.
func TestIndependentIsSound(t *testing.T) {
	base, problems := kb.Embedded()
	if base == nil {
		t.Fatal(problems)
	}
	seen := map[string]bool{}
	for _, e := range independent(t) {
		bad := func(format string, a ...any) {
			t.Errorf("%s: %q: %s", e.file, e.Text, fmt.Sprintf(format, a...))
		}
		context := e.Text + "|" + e.Asked + "|" + e.Chief
		if seen[context] {
			bad("stands there twice")
		}
		seen[context] = true
		if e.Asked != "" && knownFinding(base, e.Asked) == nil {
			bad("asked: no finding %q", e.Asked)
		}
		if e.Chief != "" && base.Symptom(e.Chief) == nil {
			bad("chief: no symptom %q", e.Chief)
		}
		for _, id := range append(slices.Clone(e.Earlier), e.Settles...) {
			if knownFinding(base, id) == nil {
				bad("no finding %q", id)
			}
		}
		words := func(w string) {
			if w == "" || !strings.Contains(e.Text, w) {
				bad("%q does not stand in the text", w)
			}
		}
		var wanted []expectedMember
		for _, x := range e.Expect {
			words(x.Words)
			if (x.Finding != "") == (len(x.AnyOf) > 0) {
				bad("give a finding or any_of, not both: %+v", x)
			}
			if !slices.Contains([]string{"", "sure", "plain", "think", "maybe"}, x.Certainty) {
				bad("certainty %q", x.Certainty)
			}
			for _, m := range x.members() {
				if why := unknownMember(base, m, false); why != "" {
					bad("%s", why)
				}
				wanted = append(wanted, m)
			}
		}
		for _, m := range slices.Concat(e.May, e.Not) {
			if why := unknownMember(base, m, true); why != "" {
				bad("%s", why)
			}
		}
		for _, n := range e.Not {
			for _, m := range slices.Concat(wanted, e.May) {
				if n.Reading == nil && m.Reading == nil && n == m {
					bad("%s=%s both wanted and forbidden", n.Finding, n.Outcome)
				}
			}
		}
		for _, x := range slices.Concat(e.Requests, e.Vehicle, e.Tools, e.Circumstances) {
			words(x.Words)
		}
		for _, x := range e.Requests {
			if !slices.Contains(requestKinds, x.Kind) {
				bad("no request %q", x.Kind)
			}
		}
		for _, x := range e.Circumstances {
			if !slices.Contains(circumstanceKinds, x.Kind) {
				bad("no circumstance %q", x.Kind)
			}
		}
		for _, x := range e.Vehicle {
			if !knownAttribute(base, x.Attribute, x.Value) {
				bad("no vehicle fact %s=%s", x.Attribute, x.Value)
			}
		}
		for _, x := range e.Tools {
			if !knownTool(base, x.Tool) {
				bad("no tool %q", x.Tool)
			}
		}
		if e.Unread != nil {
			for _, w := range *e.Unread {
				words(w)
			}
		}
	}
}

// knownFinding returns the authored or derived finding with the id. The symptom
// "*" of a condition is the chief complaint.
func knownFinding(b *kb.Base, id string) *kb.Finding {
	if f := b.Finding(id); f != nil {
		return f
	}
	if f := strings.Split(id, ":"); len(f) == 4 && f[0] == "cond" && f[1] != "*" && b.Symptom(f[1]) == nil {
		return nil
	}
	if d := b.Derive(id); d != nil {
		return &d.Finding
	}
	return nil
}

func knownAttribute(b *kb.Base, id, value string) bool {
	if slices.Contains(otherAttributes, id) {
		return true
	}
	for _, a := range b.Vehicle {
		for _, v := range a.Values {
			if a.ID == id && (value == "*" || v.ID == value) {
				return true
			}
		}
	}
	return false
}

func knownTool(b *kb.Base, id string) bool {
	return slices.ContainsFunc(b.Tools, func(t kb.Tool) bool { return t.ID == id })
}

// unknownMember says what of the member does not exist, or "". With loose it may
// also be a request, tool, circumstance or vehicle attribute.
func unknownMember(b *kb.Base, m expectedMember, loose bool) string {
	if loose {
		id := m.Finding
		switch {
		case strings.HasPrefix(id, "?") && slices.Contains(requestKinds, id[1:]),
			strings.HasPrefix(id, "circ:") && slices.Contains(circumstanceKinds, id[5:]),
			(strings.HasPrefix(id, "+") || strings.HasPrefix(id, "-")) && knownTool(b, id[1:]),
			knownFinding(b, id) == nil && knownAttribute(b, id, m.Outcome):
			return ""
		}
	}
	f := knownFinding(b, m.Finding)
	switch {
	case f == nil:
		return fmt.Sprintf("no finding %q", m.Finding)
	case m.Reading != nil && m.Outcome != "":
		return fmt.Sprintf("%s: outcome and reading", m.Finding)
	case m.Reading != nil && f.Reading == nil:
		return fmt.Sprintf("%s takes no reading", m.Finding)
	case m.Reading != nil && (f.Reading.Unit != m.Reading.Unit || !slices.Contains(canonicalUnits, m.Reading.Unit)):
		return fmt.Sprintf("%s: unit %q, want %q", m.Finding, m.Reading.Unit, f.Reading.Unit)
	case m.Reading == nil && m.Outcome != "*" && f.OutcomeIndex(m.Outcome) < 0:
		return fmt.Sprintf("%s has no outcome %q", m.Finding, m.Outcome)
	}
	return ""
}

package kb

import (
	"math"
	"testing"
)

// A part that only some cars have makes causes that apply to those alone, and
// are as much more frequent among them.
func TestDerivedCausesApplyAsTheirPart(t *testing.T) {
	b, problems := Embedded()
	if b == nil {
		t.Fatal(problems)
	}
	c := b.Cause("carburettor-is-blocked")
	if c == nil {
		t.Fatal("no such cause")
	}
	p := b.Part(c.Part)
	share := b.shareOf(p.Applies)
	if share <= 0 || share >= 1 {
		t.Fatalf("carburettors are in %v of all cars", share)
	}
	if got := c.Applies.Vehicle["fuel-feed"]; len(got) != 1 || got[0] != "carburettor" {
		t.Errorf("it applies to %v", got)
	}
	if most := p.PerThousand * p.Modes[c.Mode] / share; c.Frequency.PerThousand > most+1e-9 {
		t.Errorf("%v of a thousand, at most %v", c.Frequency.PerThousand, most)
	}
	if math.Abs(b.shareOf(Applies{})-1) > 1e-12 {
		t.Error("what applies to every car has another share than 1")
	}
}

// A mechanic's name for a part that failed so comes before the mode's title.
func TestDerivedTitles(t *testing.T) {
	b, problems := Embedded()
	if b == nil {
		t.Fatal(problems)
	}
	for id, want := range map[string]string{"fuse-is-burnt": "Fuse: blown", "fuse-is-corroded": "Fuse: corroded"} {
		if c := b.Cause(id); c == nil || c.Title != want {
			t.Errorf("%s is called %v, not %q", id, c, want)
		}
	}
}

// A sign of parts alone adds to a symptom that has an article and takes
// nothing from it.
func TestSignsAddToWrittenSymptoms(t *testing.T) {
	b, problems := Embedded()
	if b == nil {
		t.Fatal(problems)
	}
	s := b.Symptom("wont-start")
	if s == nil || s.Derived || len(s.Said) == 0 {
		t.Fatalf("the article is gone: %+v", s)
	}
	c := b.Cause("ignition-module-is-open")
	if c == nil || c.Shows[s.ID]["present"] == "" {
		t.Fatalf("a dead ignition module does not keep it from starting: %+v", c)
	}
	for _, c := range b.Causes {
		if _, shown := c.Shows["cranks-wont-fire"]; shown {
			t.Errorf("%s shows a symptom that is made of findings", c.ID)
		}
	}
}

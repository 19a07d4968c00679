package dialog

import (
	"strings"
	"testing"

	"ruleout/kb"
)

// What moved a suspect though no article says it leads to the row it rests on,
// with the basis of the figure: asked of the step, and of the suspect.
func TestWhyLeadsToTheRow(t *testing.T) {
	e := engine(t)
	for _, x := range []struct {
		told []string
		ask  string
		want []string
	}{
		{[]string{"front left wheel has a hum that rises with road speed", "worse turning right"}, "why", []string{"(article:table-conditions#row-turning-right-1)", "basis: memory"}},
		{[]string{"slow crank", "new battery, no change"}, "why the battery?", []string{"(article:table-renewed#row-in-the-part)", "basis: memory"}},
		{[]string{"clunk over bumps at the front", "the drop link is loose"}, "why is it the drop link", []string{"(article:table-looks#row-loose)"}},
		{[]string{"misfires in the wet", "dried the ignition coil and it went"}, "why the coil", []string{"(article:table-come-go#row-drying-it)"}},
	} {
		s, r := e.Start()
		for _, w := range append(x.told, x.ask) {
			s, r = e.Step(s, Turn{Text: w})
		}
		for _, w := range x.want {
			if !strings.Contains(r.Text, w) {
				t.Errorf("%q, %q: no %s in\n%s", x.told, x.ask, w, r.Text)
			}
		}
		for _, sus := range r.Suspects {
			for _, w := range append(sus.For, sus.Against...) {
				page, _, _ := strings.Cut(w.Rests, "#")
				if _, ok := e.base.Head(page); w.Rests != "" && (!ok || w.Basis == "") {
					t.Errorf("%q: %s of %s rests on %q, basis %q", x.told, w.Finding, sus.ID, w.Rests, w.Basis)
				}
				if strings.HasPrefix(w.Finding, "part:") && !strings.HasSuffix(w.Finding, kb.AgainSuffix) && w.Rests == "" {
					t.Errorf("%q: %s of %s rests on nothing", x.told, w.Finding, sus.ID)
				}
			}
		}
	}
}

package plainwords

import (
	"testing"

	"ruleout/kb"
)

// TestSaidIsNotDenied reads every wording that an article or list gives for a
// symptom: none may be read as the symptom's absence.
func TestSaidIsNotDenied(t *testing.T) {
	base := looseBase(t)
	r := NewReader(base)
	for _, s := range base.Symptoms {
		if len(s.Of) > 0 {
			continue // stands for other findings
		}
		for _, said := range s.Said {
			present, absent := false, false
			for _, o := range r.Read(said, Context{}).Observations {
				if f := r.lx.findings[o.Finding]; f != nil && f.kind == kb.FindingSymptom && o.Finding == s.ID {
					present = present || o.Outcome == "present"
					absent = absent || o.Outcome == "absent"
				}
			}
			if absent && !present {
				t.Errorf("%q, a wording of %s, is read as its absence", said, s.ID)
			}
		}
	}
}

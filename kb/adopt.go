package kb

import "slices"

// showsAs lists, for each fault of a circuit's element, the modes of its part
// that show so, the plainest first. Basis: common practice; what a worn contact
// or brush comes to is open or too much resistance.
var showsAs = map[string][]string{
	"open":         {"open", "broken", "burnt", "worn", "unplugged", "detached", "missing", "cracked-solder", "corroded", "gnawed"},
	"high":         {"high-resistance", "corroded", "poor-contact-under-load", "loose", "burnt", "worn", "cracked-solder", "contaminated"},
	"short":        {"shorted", "burnt", "will-not-sleep"},
	"grounded":     {"shorted", "chafed", "gnawed", "damaged"},
	"leak":         {"wet-inside", "leaking-inside", "shorted", "corroded"},
	"flat":         {"low", "worn", "shorted", "empty"},
	"seized":       {"seized", "trapped-object", "sticking", "overheated"},
	"stuck-open":   {"stuck-open", "open", "worn", "burnt", "broken", "out-of-adjustment", "unplugged", "corroded", "cracked-solder", "locked-out", "poor-contact-under-load"},
	"stuck-closed": {"stuck-closed", "shorted", "will-not-sleep", "left-on", "sticking", "burnt", "out-of-adjustment", "wet-inside", "misfitted"},
	"coil-open":    {"open", "broken", "burnt", "corroded", "cracked-solder"},
	"coil-short":   {"shorted", "burnt"},
}

// sortOf names, for the kinds of element that are no part of their own in every
// circuit, the part of the list that stands for all of their sort.
var sortOf = map[string]string{
	"ground":    "body-earth-point",
	"connector": "connector",
	"wire":      "wiring-loom",
	"fuse":      "fuse",
	"relay":     "relay-socket",
}

// IsOf reports whether the element is the part, or one of the sort that the
// part stands for.
func (x *CircuitElement) IsOf(part string) bool {
	return x.Part == part || sortOf[x.Type] == part
}

// ShowsAs reports whether a part that failed in the mode shows the fault in its
// circuit.
func ShowsAs(mode, fault string) bool { return slices.Contains(showsAs[fault], mode) }

// adoptable reports whether a fault that belongs to no cause article may belong
// to what is derived of its element's part.
func adoptable(p *Part, fault string) bool {
	return p != nil && slices.ContainsFunc(showsAs[fault], func(mode string) bool { return p.Modes[mode] > 0 })
}

// adoptFaults gives every fault without a cause to the derived causes of its
// element's part that show so: nobody wrote the article, or it was taken out,
// but the part can fail that way all the same.
func (b *Base) adoptFaults() {
	for _, a := range b.Circuits {
		for i := range a.Elements {
			x := &a.Elements[i]
			var faults []CircuitPartFailed
			for _, f := range x.Faults {
				if f.CauseID() != "" {
					faults = append(faults, f)
					continue
				}
				for _, mode := range showsAs[f.Fault] {
					f.Derived = &CircuitDerived{Part: x.Part, Mode: mode}
					if c := b.causes[f.CauseID()]; c != nil && c.Derived {
						faults = append(faults, f)
					}
				}
			}
			x.Faults = faults
		}
	}
}

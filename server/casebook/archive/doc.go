// Package archive writes cases to be read, kept and carried to another
// machine, and reads them back with suspicion. Start at WriteCase and
// ReadCase for one case, Write and Read for all.
//
// A case is a YAML file that can be read like a letter. Its format, version 1:
//
//	ruleout-case: 1              # this format
//	id: k3jv6x2aqm5c             # the same case has the same id everywhere
//	begun: 2026-03-01T09:12:00Z
//	vehicle: {sheet: …, facts: {fuel: petrol, year: "1999"}}
//	counts: {…}                  # what closed cases had taught when it began
//	turns:
//	  - when: 2026-03-01T09:12:30Z
//	    key: a1b2                # the sender's name for the turn, if any
//	    says: it gets hot in traffic
//	    tap: {…}                 # the exact meaning of a tapped answer, if any
//	    answer: |                # for reading only; import works it out anew
//	      Understood: …
//	attached:
//	  - {turn: 1, when: …, note: the fuse was the blue one}
//	  - {turn: 1, when: …, photo: 0c1f….jpg, width: 1600, height: 1200}
//
// An archive is a ZIP file with a README.txt, cases/ID.yaml, vehicles.yaml,
// learned.yaml and photos/NAME, and nothing else.
package archive

// Package plainwords turns what a person types into findings, readings,
// requests and facts, each with the words it came from, and lists what it did
// not use. It is deterministic and knows only the articles.
//
// Start at NewReader and Reader.Read.
//
// Derived findings have ids of their own (see kb.FindingKind):
//
//	part:PART:replaced   outcomes same, better, cured, worse
//	part:PART:tested     outcomes good, bad
//	part:PART:LOOK       outcomes yes, no (a look of the derived table)
//	part:PART:ACTION     outcomes goes, comes, none (tap, wiggle, ...)
//	cond:SYMPTOM:AXIS:VALUE  outcomes only, worse, same, better, never
//	event:EVENT[:PART]   outcomes before, no
package plainwords

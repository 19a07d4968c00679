// Package plainwords turns what a person types into findings, readings,
// requests and facts, each with the words it came from, and lists what it did
// not use. It is deterministic and knows only the articles.
//
// Start at NewReader and Reader.Read.
//
// # How a turn is read
//
// scan cuts the text into tokens with their byte offsets; segment marks
// sentences, segments (ended by a word of contrast) and clauses; spell corrects
// slips in words that nobody knows (english.txt and every word of the lexicon are
// known); negate marks what lies in the scope of a
// negation; voices reads who says a clause, how surely, of which time and with
// which relation. What carries meaning becomes units: concepts, after stemming
// and synonyms of one or more words.
//
// The lexicon holds every wording of the knowledge base in the same form, each
// anchored at its rarest words, so a unit looks only at phrases that could be
// meant. A match is scored by the rarity of its words, how much of the phrase
// is there, how close together and in which order. Every content word of a
// short phrase must be present and its negation must agree; otherwise the
// match is "flipped" and may say the opposite outcome, never the same one.
// Patterns of wordings (ways.go) are matched slot by slot and become a phrase
// only where every slot is filled; they count neither for the rarity of a word
// nor for what is typical of a symptom.
// A clause that leaves its noun out is matched once more with the noun named before
// it or that of the complaint (carried.go).
// Symptoms told in no known phrase are read by their typical words (profile.go),
// with hedge "think".
//
// A condition counts only where it is said of the trouble (circumstance.go), a
// number goes to the test whose place is named or which the complaint suggests
// (readings.go), work before the trouble is an event of its part (work.go).
//
// Comparisons, other cars and the person's own things make no findings (aside.go).
// What was done to a part tells by what it changed (acts.go); conditions are also
// read from one word or a speed (bareconditions.go).
//
// Then parts, the answer to the question asked, requests, outcomes, vehicle
// facts, part states, tools, conditions, events and readings are taken in that
// order; a word taken is "used". Content words that nobody took are unread.
//
// Derived findings have ids of their own (see kb.FindingKind):
//
//	part:PART:replaced   outcomes same, better, cured, worse
//	part:PART:tested     outcomes good, bad
//	part:PART:LOOK       outcomes yes, no (a look of the derived table)
//	part:PART:ACTION     outcomes goes, comes, none (tap, wiggle, ...)
//	cond:SYMPTOM:AXIS:VALUE  outcomes only, worse, same, better, never
//	event:EVENT[:PART]   outcomes before, no (work-on and fitted name the part)
package plainwords

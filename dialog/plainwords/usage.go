package plainwords

import (
	"strings"

	"ruleout/kb"
)

// usage holds the words of the trade and of owners by what they are used for; see
// kb.Usage for each of them. What is grammar stands where it is used.
type usage struct {
	handVerbs, handWork, workDone, sprayed, swapVerbs, adders                    map[string]bool // what people do
	renewVerbs, renewedVerbs, mendVerbs, checkVerbs, looking, judging            map[string]bool
	effects, badVerbs, comesBack, bringsOn, fallen, killing, failing             map[string]bool // what the trouble does
	marks, faults, culprits, functions, judgedFine, measurands, readingVerbs     map[string]bool // what is found
	vehicleNouns, gadgets, agents, holders, casings, plainQualities, afterLitres map[string]bool // things
	wentSaid, againSaid, movedSaid, stayedSaid, twinSaid                         [][]string
	// ownWork are the verbs of a thing that does what it is for, with the second
	// words that make them so; none where none is needed.
	ownWork map[string]map[string]bool
}

func newUsage(list []kb.Usage) usage {
	words, sayings := map[string]map[string]bool{}, map[string][][]string{}
	for _, u := range list {
		words[u.Use] = map[string]bool{}
		for _, w := range u.Words {
			words[u.Use][w] = true
			sayings[u.Use] = append(sayings[u.Use], strings.Fields(w))
		}
	}
	own := map[string]map[string]bool{}
	for _, s := range sayings["own-work"] {
		if own[s[0]] == nil {
			own[s[0]] = map[string]bool{}
		}
		if len(s) > 1 {
			own[s[0]][s[1]] = true
		}
	}
	return usage{
		measurands:     words["measured"],
		marks:          words["mark"],
		faults:         words["fault"],
		plainQualities: words["quality"],
		workDone:       words["worked"],
		handWork:       words["hand-opens"],
		sprayed:        words["put-on"],
		handVerbs:      words["hand"],
		effects:        words["shows"],
		vehicleNouns:   words["car-noun"],
		gadgets:        words["gadget"],
		agents:         words["agent"],
		renewVerbs:     words["renew"],
		checkVerbs:     words["check"],
		looking:        words["inspect"],
		comesBack:      words["recovers"],
		bringsOn:       words["provokes"],
		holders:        words["held-by"],
		mendVerbs:      words["mend"],
		renewedVerbs:   words["renewed"],
		badVerbs:       words["falters"],
		adders:         words["add"],
		swapVerbs:      words["swap"],
		afterLitres:    words["after-litres"],
		readingVerbs:   words["reads"],
		killing:        words["kills"],
		failing:        words["failed"],
		fallen:         words["fell"],
		casings:        words["casing"],
		judgedFine:     words["fine-of-all"],
		functions:      words["function"],
		judging:        words["judge"],
		culprits:       words["culprit"],
		wentSaid:       sayings["went"],
		againSaid:      sayings["went-back"],
		movedSaid:      sayings["moved"],
		stayedSaid:     sayings["stayed"],
		twinSaid:       sayings["twin"],
		ownWork:        own,
	}
}

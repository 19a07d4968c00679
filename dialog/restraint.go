package dialog

import (
	"slices"
	"strings"

	"ruleout/dialog/plainwords"
)

// restraint is what a turn says of doing something to the wiring of airbags or
// belt tensioners: the sentence that says it, whether it is done or only
// proposed, and whether it brought a reading.
type restraint struct {
	start, end int
	done, read bool
}

// restraintSystem is the system of airbags and belts, of whose parts nothing is
// proposed to be looked at or handled.
const restraintSystem = "safety-restraint"

// restraintCard is the page that says why they are left alone.
const restraintCard = "airbag-wiring"

var (
	// restraintThing names such wiring. A lamp or a message of the airbag is no
	// wiring: those words are taken out first.
	restraintThing = guard(`\b(?:air ?bags?|airbags?|srs|squibs?|clock ?springs?|spiral (?:cable|spring)s?|slip ring (?:in|of|behind) the (?:steering )?wheel|seat ?-?belt (?:pre-?)?tensioners?|pre-?tensioners?|seat ?-?belt (?:buckle )?(?:plug|connector|wiring)s?|(?:side|seat|occupancy) (?:airbag )?(?:plug|connector|sensor mat)s?|yellow(?: \w+)? (?:plug|connector|plugs|connectors|sleeve|sheath|conduit|loom|harness))\b`)
	// underSeat is a plug under a front seat; the fuel pump's under the back
	// seat is none of them.
	underSeat    = guard(`\b(?:plug|connector|wiring|wires|loom)s?\b[^.?!;]{0,30}\bunder (?:the |my |that |his |her )?(?:(?:front|driver'?s?|passenger'?s?) (?:side )?)?seats?\b|\bunder (?:the |my )?(?:(?:front|driver'?s?|passenger'?s?) (?:side )?)?seats?\b[^.?!;]{0,30}\b(?:plug|connector|wiring|wires|loom)s?\b`)
	otherSeat    = guard(`\b(?:back|rear|bench|pump|tank|battery|ecu|computer)\b`)
	restraintSay = guard(`\b(?:air ?bags?|srs|(?:seat ?-?)?belt)(?: system| warning| fault)? (?:light|lamp|warning|symbol|sign|telltale|code|fault|message|indicator|chime)s?\b`)
	// restraintAct is something done to it; whatever a shop does is its own.
	restraintAct = guard(`\b(?:un ?plug\w*|disconnect\w*|pull(?:ed|ing)?|take|took|taking|remov\w+|undo|undid|undone|bridg\w+|jump(?:er)?(?:ed|ing)?|short(?:ed|ing)?|(?:back-?)?prob\w+|measur\w+|test(?:ed|ing)?|check(?:ed|ing)?|meter(?:ed)?|multimeter|ohms?|feed|fed|power(?:ed)?|cut|splic\w+|(?:re)?connect(?:ed|ing)?|plugg?(?:ed|ing)|swap\w*|replac\w+|chang(?:e|ed|ing)|open(?:ed|ing)?|wiggl\w+|earth(?:ed|ing)?|ground(?:ed|ing)?|wire|put|stick|poke|clean(?:ed|ing)?|fit(?:ted)?|got \d)\b`)
	// restraintOff is what opens the steering wheel, or is done at the horn push
	// in it.
	restraintOff = guard(`\b(?:take|took|taking|pull(?:ed|ing)?|get|got|remov\w+|undo|undid)\b[^.?!;]{0,25}\b(?:steering wheel|horn pad|wheel cent(?:re|er))\b|\b(?:bridg(?:e|ed|ing)|jump(?:ed|ing)?|unplug(?:ged|ging)?|open(?:ed|ing)?|earth(?:ed|ing)?|ground(?:ed|ing)?|prob(?:e|ed|ing)|undo|undid) (?:the |my |both )?(?:pins? of the |terminals? of the )?horn (?:push|button|pad|contact|switch)\b`)
	hornPush     = guard(`\b(?:at|across|behind) (?:the |my |both )?(?:pins? of the |terminals? of the )?horn (?:push|button|pad|contact|switch)\b`)
	shopDid      = guard(`\b(?:shop|garage|dealer|mechanic|workshop|body ?shop|specialist)\b`)
	leftAlone    = guard(`\b(?:not|never|without|nobody|haven'?t|havent|didn'?t|didnt|won'?t|wont|don'?t|dont|stayed away)\b`)
	proposed     = guard(`\?|\b(?:can|could|may|should|shall|must|might) (?:i|we)\b|\bi(?:'ll| will| could| can| might| want to| am going to|'m going to|'d like to)\b|\bwhat (?:if|should|do)\b|\bgoing to\b|\bis it (?:ok|okay|safe)\b`)
)

// restraintIn finds what a text says of doing something to that wiring, in the
// first sentence that does; nil if none does.
func restraintIn(text string) *restraint {
	at := 0
	for at < len(text) {
		end := at
		for end < len(text) && !strings.ContainsRune(".?!;\n", rune(text[end])) {
			end++
		}
		// The mark tells a question; a point within a number ends nothing.
		for end < len(text) && text[end] == '.' && end+1 < len(text) && text[end+1] >= '0' && text[end+1] <= '9' {
			for end++; end < len(text) && !strings.ContainsRune(".?!;\n", rune(text[end])); end++ {
			}
		}
		stop := min(end+1, len(text))
		said := asciiLower(text[at:stop])
		bare := restraintSay.ReplaceAllString(said, " ")
		push := hornPush.MatchString(bare) && (restraintAct.MatchString(bare) || strings.Contains(bare, " read "))
		thing := restraintThing.MatchString(bare) || underSeat.MatchString(bare) && !otherSeat.MatchString(bare)
		if asks := proposed.MatchString(said); !shopDid.MatchString(said) && (asks || !leftAlone.MatchString(said)) &&
			(push || thing && restraintAct.MatchString(bare) || restraintOff.MatchString(bare)) {
			return &restraint{start: at, end: stop, done: !asks}
		}
		at = stop
	}
	return nil
}

// stopRestraint is the answer to it, before everything else.
func (e *Engine) stopRestraint(x *restraint) *Stop {
	text := "Don't do that: yellow plugs, the clock spring and the plugs under the front seats fire airbags and belt tensioners, and the small current of a meter can be enough. Leave them plugged in; a licensed shop reads and mends them"
	if x.done {
		text = "No further there: yellow plugs, the clock spring and the plugs under the front seats fire airbags and belt tensioners, and the small current of a meter can be enough. Ignition off, nobody in front of the bag, leave it as it is now; a licensed shop sees to it"
		if x.read {
			text += ". What you read there I leave out"
		}
	}
	stop := &Stop{Severity: "injury", Text: text}
	if e.base.Card(restraintCard) != nil {
		stop.Article = restraintCard
	}
	return stop
}

// restraintWords takes readings, requests and answers out of what was read in
// such a sentence: nothing is weighed and no other answer given that was got there.
func restraintWords(x *restraint, acct *plainwords.Account) {
	within := func(start, end int) bool { return start >= x.start && end <= x.end }
	acct.Observations = slices.DeleteFunc(acct.Observations, func(o plainwords.Observation) bool {
		got := within(o.Start, o.End) && o.Reading != nil || o.Start <= x.start && o.End >= x.end
		x.read = x.read || got
		return got
	})
	acct.Requests = slices.DeleteFunc(acct.Requests, func(q plainwords.Request) bool { return within(q.Start, q.End) })
	acct.Requests = append(acct.Requests, plainwords.Request{Kind: "restraint", Start: x.start, End: x.end})
	useSpan(acct, x.start, x.end)
}

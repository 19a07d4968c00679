package dialog

import (
	"fmt"
	"slices"
	"strings"

	"ruleout/dialog/circuit"
	"ruleout/dialog/plainwords"
)

// A deed is something that people do to the electrics, or ask whether they may,
// that harms however the circuit is wired: no netlist has to be solved for it.
// What depends on the wiring is solved (circuitask.go); airbags have a file of
// their own (restraint.go). The rules are common practice.
type deed struct {
	act, thing guarded // both in one sentence
	but        guarded // unless, its zero value for none
	diesel     bool    // only on a diesel
	why        func() string
	article    string // that tells what to do in its place, "" for none
}

func words(s string) guarded { return guard(`\b(?:` + s + `)\b`) }

func because(s string) func() string { return func() string { return s } }

// anyAct are the verbs of taking hold of something, in any form.
const anyAct = `(?:dis)?connect\w*|un ?(?:do|did|plug\w*)|pull(?:ed|ing)?|take|took|taking|remov\w+|lift\w*|bridg\w+|jump(?:ed|er|ered|ing)?|short(?:ed|ing)?|flash\w*|spark\w*|tap(?:ped|ping)?|earth(?:ed|ing)?|ground(?:ed|ing)?|join\w*|link\w*|touch\w*|feed|fed|feeding|power(?:ed|ing)?|appl\w+|put|putting|stick|stuck|giv\w+|gave|run|ran|running|hook\w*|wir(?:e|ed|ing)|us(?:e|ed|ing)|fit(?:ted|ting)?|wrap\w*|swap\w*|replac\w+|chang\w+|spray\w*|squirt\w*|prob\w+|poke\w*|cross\w*|lay|laid|leav\w+|left`

var deeds = []deed{
	{
		act:   words(`(?:dis)?connect\w*|pull(?:ed|ing)?|take|took|taking|remov\w+|undo|undid|lift\w*|unhook\w*|off`),
		thing: guard(`\bbattery\b.*\b(?:while|with|when|if)\b.{0,25}\b(?:run\w*|idling|going)\b|\b(?:running|idling)\b.{0,30}\bbattery\b.{0,20}\b(?:off|out|lead|terminal|clamp|cable|disconnected)\b|\bengine running\b.{0,40}\bbattery\b`),
		but:   words(`radio|heater|blower|fan|flat|dead|died|dies|light|lamp`),
		why: because("the battery is what holds the alternator's voltage down: without it it jumps to many times 14 V for an instant, enough for the regulator, the computers and every lamp that is lit. " +
			"A meter across the battery posts with the engine running tells the same: about 14 V if it charges"),
		article: "charging-voltage",
	},
	{
		act:   words(`fit(?:ted|ting)?|put|putting|us(?:e|ed|ing)|chang\w+|swap\w*|replac\w+|try|tried|go(?:ing)?|went|with|bigger`),
		thing: guard(`\b(?:bigger|larger|higher|stronger|heavier|uprated|next size up|more amps?)\b[^.?!]{0,30}\bfuse\b|\bfuse\b[^.?!]{0,30}\b(?:bigger|larger|higher|stronger|heavier|next size up|more amps?)\b|\b\d+ ?a(?:mps?)?\b[^.?!]{0,20}\binstead of\b`),
		why: because("the fuse is there for the wire: with a bigger one the wire is the weakest part, and it burns inside the loom. " +
			"The size printed on the lid or in the handbook, never more; if that blows again, something touches earth or is stuck and that has to be found"),
		article: "reading-a-fuse",
	},
	{
		act:   words(anyAct),
		thing: guard(`\bfuse\b[^.?!]{0,40}\b(?:foil|tin ?foil|nail|coin|paper ?clip|staple|silver paper|bolt|bit of wire|piece of wire|strand)\b|\b(?:foil|tin ?foil|nail|coin|paper ?clip|silver paper|bolt|bit of wire|piece of wire|strand)\b[^.?!]{0,40}\bfuse\b|\bbridg\w* the fuse\b|\bwire across the fuse\b`),
		why: because("with that in its place nothing stops the current, and the wire behind it burns inside the loom. Out with it; a fuse of the size that is printed. " +
			"If it blows again, a lamp of 21 W in the fuse's place limits the current while you unplug one thing after the other: the one that puts the lamp out is at fault"),
		article: "reading-a-fuse",
	},
	{
		act:   words(`feed|fed|feeding|power(?:ed|ing)?|appl\w+|put|putting|stick|stuck|giv\w+|gave|run|ran|hook\w*|connect\w*|jump(?:ed|ing)?|touch\w*|bridg\w+`),
		thing: guard(`(?:\b(?:12|twelve|battery|power|live|positive|plus)\b|\b12 ?v\w*)[^.?!]{0,45}\b(?:sensors?|ecu|ecm|pcm|engine computer|computer|control units?|(?:control|engine) modules?|injectors?|signal wire|data wire|(?:can|data) bus|diagnostic (?:plug|socket)|5 ?v(?:olts?)?)\b|\b(?:sensors?|ecu|ecm|pcm|computer|control units?|injectors?)\b[^.?!]{0,40}(?:\b(?:12|twelve)\b|\b12 ?v\w*|\b(?:to|from|on|off) (?:the )?battery\b)`),
		but:   words(`should|read|reads|reading|got|get|measure\w*|meter|is there|have|has`),
		why: because("sensors and control units live on 5 V or on less, and their outputs only pull to earth: 12 V from the battery destroys them at once, without a sign from outside. " +
			"They are only measured, with a meter on volts from behind the plug, or unplugged"),
	},
	{
		act:   words(anyAct + `|test`),
		thing: guard(`\b(?:test|filament) ?-?(?:lamp|light|bulb)\b.*\b(?:sensors?|ecu|ecm|computer|control units?|modules?)\b|\b(?:sensors?|ecu|ecm|computer|control units?|modules?)\b.*\b(?:test|filament) ?-?(?:lamp|light|bulb)\b`),
		why:   because("a test lamp draws some hundred times what such a wire carries and can burn the output behind it. Take a meter on volts, it draws next to nothing"),
	},
	{
		act:   words(anyAct),
		thing: guard(`\b(?:short(?:ed|ing)?|flash(?:ed|ing)?|spark(?:ed|ing)?|earth(?:ed|ing)?|ground(?:ed|ing)?|bridg(?:e|ed|ing)|touch(?:ed|ing)?|cross(?:ed|ing)?)(?: out| across)? (?:the |my |its |that )?(?:thick |big |main |output )?(?:alternator|dynamo|b\+|charge (?:wire|cable|lead)|field)`),
		but:   words(`bolts?|strap|mounting|bracket|d\+|lamp wire|earth cable|ground cable|bad|corroded|good|is`),
		why: because("its thick terminal hangs on the battery straight: a touch to earth is hundreds of amperes, a burn, perhaps a battery that bursts, and the diodes are gone. A field that is shorted charges without limit. " +
			"Volts at the posts with the engine running, then at the alternator's terminal, tell the same"),
		article: "charging-voltage",
	},
	{
		act:   words(`bridg\w+|jump(?:ed|ing)?|short(?:ed|ing)?|cross\w*|across|touch\w*|arc\w*`),
		thing: guard(`\b(?:screwdriver|spanner|wrench|pliers)\b.*\b(?:starter|solenoid|relay|terminals?)\b|\b(?:starter|solenoid|relay|terminals?)\b.*\b(?:screwdriver|spanner|wrench|pliers)\b|\b(?:two|both) (?:big|thick|large|heavy) (?:terminals?|posts?|studs?|bolts?)\b`),
		why: because("across thick terminals a tool welds itself on in an arc of hundreds of amperes, the battery in full behind it, and in gear the car drives over whoever does it. " +
			"Out of gear, handbrake on and wheels chocked, a lead with a switch or fuse from the battery to the thin terminal (50) tells whether starter and solenoid work"),
		article: "feed-starter-direct",
	},
	{
		act:    words(`spray\w*|squirt\w*|us(?:e|ed|ing)|try|tried|put|give|gave`),
		thing:  words(`ether|easy ?start|quick ?start|cold ?start spray|start(?:er|ing)? (?:fluid|spray)|brake cleaner|carb(?:urett?or)? cleaner`),
		diesel: true,
		why: because("on a diesel with glow plugs or a heater in the intake it lights too early, in the intake even: broken pistons, a burst manifold, burns. " +
			"What is wrong with glow or fuel is found without it"),
	},
	{
		act:   words(`bridg\w+|jump(?:ed|ing)?|feed|fed|hot ?wir\w+|wir(?:e|ed)|straight`),
		thing: guard(`\bpump\b.*\b(?:driv\w+|leav\w+|left|home|for good|permanent\w*|get me)\b`),
		why:   because("a pump that is fed past its relay goes on pumping when the engine stops or after a crash, and feeds a fire. For a test of seconds, with the car standing and a fused lead, yes; never to drive"),
	},
	{
		act:   words(`bridg\w+|jump(?:ed|ing)?|feed|fed|wir(?:e|ed)|straight|put`),
		thing: guard(`\bglow ?plugs?\b.*\b(?:leav\w+|left|stay\w*|for (?:a few |some |\d+ )?minutes?|permanent\w*|all the time)\b`),
		why:   because("glow plugs that stay on burn out, and the lead carries some 15 A for each of them. Fed for a few seconds, one at a time, with a fused lead that is clipped on"),
	},
	{
		act:   words(`jump(?:er|ed|ing)?|bridg\w+|lead|us(?:e|ed|ing)`),
		thing: words(`(?:thin|fine|skinny|small|little|bell|speaker|phone|telephone|doorbell|headphone)(?: \w+){0,3} (?:wire|cable|lead|flex)|paper ?clip`),
		but:   words(`sensor|solenoid|trigger|signal|red|green|blue|black|yellow|brown|white|dead|broken`),
		why:   thinLead,
	},
	{
		act:   words(anyAct + `|cut|open\w*|measur\w*`),
		thing: words(`orange (?:cables?|wires?|leads?|plugs?|connectors?|sleeves?)|high voltage (?:cables?|battery|plugs?|side)|traction battery`),
		why:   because("orange cables carry hundreds of volts, enough to kill, with the car switched off too. Only people trained and equipped for it touch them"),
	},
}

// thinLead says what becomes of a thin lead and what is taken in its place; the
// figures are those of the wire's own heat.
func thinLead() string {
	const bell, amps = 0.2, 15.0 // mm², and what a fan takes
	area, fuse, ok := circuit.LeadFor(amps)
	text := fmt.Sprintf("at the %g A of a fan or lamps the insulation of a wire of %g mm² goes soft after about %.2g s, and it burns what it touches", amps, bell, circuit.WireSeconds(bell, amps))
	if ok {
		text += fmt.Sprintf(". At least %g mm², with a fuse of %g A in it, clipped on", area, fuse)
	}
	return text
}

// harmful is a deed found in a turn.
type harmful struct {
	deed       *deed
	start, end int
	done       bool
}

// deedIn finds the first sentence of a turn that tells of a deed or proposes
// one; nil if none does. What was left undone or a shop did is none.
func deedIn(text string, diesel bool) *harmful {
	lower := asciiLower(text)
	for at := 0; at < len(lower); {
		end := at
		for end < len(lower) && !(strings.ContainsRune(".?!;\n", rune(lower[end])) && (end+1 == len(lower) || lower[end+1] == ' ' || lower[end] != '.')) {
			end++
		}
		stop := min(end+1, len(lower))
		said := lower[at:stop]
		asks := proposed.MatchString(said)
		if !shopDid.MatchString(said) && (asks || !leftAlone.MatchString(said)) {
			for i := range deeds {
				d := &deeds[i]
				if d.act.MatchString(said) && d.thing.MatchString(said) && (d.but.Regexp == nil || !d.but.MatchString(said)) &&
					(!d.diesel || diesel || strings.Contains(lower, "diesel") || strings.Contains(lower, "glow plug")) {
					return &harmful{d, at, stop, !asks}
				}
			}
		}
		at = stop
	}
	return nil
}

// harmWord says why a deed is left, and what does in its place.
func (e *Engine) harmWord(x *harmful) string {
	text := "**Don't do that:** "
	if x.done {
		text = "**No more of that:** "
	}
	text += sentence(x.deed.why())
	if h, ok := e.base.Head(x.deed.article); ok {
		text += fmt.Sprintf(" ([%s](article:%s))", h.Title, h.ID)
	}
	return text
}

// deedWords takes readings and requests out of what was read in such a
// sentence: no other answer is given to it.
func deedWords(x *harmful, acct *plainwords.Account) {
	within := func(start, end int) bool { return start >= x.start && end <= x.end }
	acct.Observations = slices.DeleteFunc(acct.Observations, func(o plainwords.Observation) bool { return within(o.Start, o.End) && o.Reading != nil })
	acct.Requests = slices.DeleteFunc(acct.Requests, func(q plainwords.Request) bool { return within(q.Start, q.End) })
	acct.Remarks = slices.DeleteFunc(acct.Remarks, func(r plainwords.Remark) bool { return within(r.Start, r.End) })
	acct.Requests = append(acct.Requests, plainwords.Request{Kind: "harmful", Start: x.start, End: x.end})
	useSpan(acct, x.start, x.end)
}

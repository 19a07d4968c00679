package plainwords

import "strings"

// class says how much a word matters to the meaning of a phrase.
type class uint8

const (
	classContent  class = iota // must be present
	classStop                  // function words, greetings: ignored
	classLight                 // verbs such as come, go, get: helpful, not needed
	classParticle              // on, off, up, down: not needed, but must not contradict
)

func set(words string) map[string]bool {
	out := map[string]bool{}
	for _, w := range strings.Fields(words) {
		out[w] = true
	}
	return out
}

// stopWords carry grammar, courtesy or emphasis only.
var stopWords = set(`
a an the this that these those it its itself he she they them their his her him we us our i im ive id ill my me mine you your youre youve
is are was were be been being am isnt wasnt arent werent aint s t d m ll ve re
do does did doing done has have had having dont doesnt didnt hasnt havent hadnt wont wouldnt cant couldnt shouldnt cannot will would can could should shall may might must
not no nor never none without neither
and or but so because cos cause coz as if then than that when while whenever where which who whom whose what how why though although however yet unless except until till since after before during once whereas
of to in at by for from with into onto about around round through via per like between among against across along near
very really quite just too also even still already again now today yesterday tonight morning evening week weeks month months year years day days hour hours minute minutes min mins second seconds sec secs ago last next time times ever often usually sometimes maybe perhaps probably possibly definitely certainly actually basically literally honestly obviously clearly apparently seems seem seemed think thinks thought reckon reckons guess guessing suppose believe sure
there here theres heres some any all each every either both other others another same such own much many more most less least few lot lots bit little kind sort one ones thing things stuff something anything everything someone anyone everyone somebody nobody anybody
please thanks thank cheers hi hello hey right well yeah yes yep yup nope nah oh ah um er erm hmm eh lol mate pal folks guys sorry anyway btw ps fyi ta
car van truck vehicle old wife husband dad mum mom son daughter friend neighbour
let lets gonna wanna gotta got gets getting get say says said saying tell told tells know knows knew want wants wanted need needs try tries trying tried
only mine thats whats whos dunno idea
two three four five six seven eight nine ten eleven twelve couple half dozen
`)

// lightWords are verbs too general to decide a meaning.
var lightWords = set(`always go keep put work run do get start stop seem look use happen`)

// turningWords are forms of light verbs that tell what became of something and
// are meant: "goes flat", "went yellow".
var turningWords = set(`goes went going gone kept`)

// requiredLight are light words that carry the meaning when nothing else does.
var particles = set(`on off up down out over under back in`)

// contradicts names the particle that must not stand in its place.
var contradicts = map[string]string{"on": "off", "off": "on", "up": "down", "down": "up"}

// places are the particles of place, of which one does not stand for another:
// "on the line" is not "under the line".
var places = set(`on under over in out`)

// negators turn the meaning of what follows.
var negators = set(`
not no non never none nothing nowt nobody neither nor without wo hardly barely scarcely
isnt wasnt arent werent aint dont doesnt didnt hasnt havent hadnt wont wouldnt cant couldnt shouldnt cannot nt refuses refused refuse fails failed rarely
`)

// contrasts end a segment: what follows speaks of something else.
var contrasts = set(`but except although though however yet whereas unless otherwise apart`)

// joins begin a new clause inside a sentence.
var joins = set(`so because cos coz cause then`)

// scopeEnds end a negation once it has covered a word.
var scopeEnds = set(`in at on with when if while because after before until unless from by for since under over into as than then whenever even during through but and so like unless though`)

// prepositions may open a condition.
var prepositions = set(`in at on when with under over from after while if during once until before off sat sit stuck stopped standing whenever every by around unless between above below doing driving`)

// fineWords say that all is well.
var fineWords = set(`fine ok okay good great perfect perfectly normal normally well alright allright happy brilliant brilliantly sound lovely sweet clear smooth smoothly spot`)

// onlyWords narrow a condition to one value.
var onlyWords = set(`only just purely solely specifically exclusively mainly mostly`)

// hedgeWords and their strength.
var hedgeWords = map[string]string{
	"definitely": "sure", "certain": "sure", "certainly": "sure", "absolutely": "sure", "positive": "sure", "swear": "sure",
	"think": "think", "reckon": "think", "probably": "think", "seems": "think", "seem": "think", "seemed": "think", "believe": "think", "suppose": "think", "ish": "think", "roughly": "think", "apparently": "think", "imagine": "think", "assume": "think", "likely": "think",
	"maybe": "maybe", "perhaps": "maybe", "possibly": "maybe", "might": "maybe", "could": "maybe", "guess": "maybe", "guessing": "maybe", "wondering": "maybe", "unsure": "maybe",
}

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
very really quite just too also even still already again now today yesterday tonight morning evening week weeks month months year years day days hour hours minute minutes min mins second seconds sec secs ago last next time times ever always often usually sometimes maybe perhaps probably possibly definitely certainly actually basically literally honestly obviously clearly apparently seems seem seemed think thinks thought reckon reckons guess guessing suppose believe sure
there here theres heres some any all each every either both other others another same such own much many more most less least few lot lots bit little kind sort one ones thing things stuff something anything everything someone anyone everyone somebody nobody anybody
please thanks thank cheers hi hello hey right well yeah yes yep yup nope nah oh ah um er erm hmm eh lol mate pal folks guys sorry anyway btw ps fyi ta
car van truck vehicle old wife husband dad mum mom son daughter friend neighbour
let lets gonna wanna gotta got gets getting get say says said saying tell told tells know knows knew want wants wanted need needs try tries trying tried
only mine thats whats whos dunno idea
two three four five six seven eight nine ten eleven twelve couple half dozen
`)

// lightWords are verbs too general to decide a meaning.
var lightWords = set(`come go make keep take put give work run do get start stop seem look use happen`)

// requiredLight are light words that carry the meaning when nothing else does.
var particles = set(`on off up down out over under back in`)

// contradicts names the particle that must not stand in its place.
var contradicts = map[string]string{"on": "off", "off": "on", "up": "down", "down": "up"}

// negators turn the meaning of what follows.
var negators = set(`
not no never none nothing nowt nobody neither nor without wo hardly barely scarcely
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

var worseWords = set(`worse worst more louder stronger quicker faster especially particularly mostly mainly`)
var betterWords = set(`better less improves improved improve quieter easier cools settles recovers drops calms`)

// hedgeWords and their strength.
var hedgeWords = map[string]string{
	"definitely": "sure", "certain": "sure", "certainly": "sure", "absolutely": "sure", "positive": "sure", "swear": "sure",
	"think": "think", "reckon": "think", "probably": "think", "seems": "think", "seem": "think", "seemed": "think", "believe": "think", "suppose": "think", "ish": "think", "roughly": "think", "apparently": "think", "imagine": "think", "assume": "think", "likely": "think",
	"maybe": "maybe", "perhaps": "maybe", "possibly": "maybe", "might": "maybe", "could": "maybe", "guess": "maybe", "guessing": "maybe", "wondering": "maybe", "unsure": "maybe",
}

// ordinaryWords are correctly spelled words that are no terms of the trade;
// a spelling is never corrected over one of them.
var ordinaryWords = set(`
horse house hours nose rose close those whose please place plate plant paint point print price prize state story store stone style south shout short shore share shape shade sharp sheet shell shift shirt shoot sight since skill sleep slice slide small smart smile solid solve sorry sorts sound space spare speak spend spent split sport stage stair stamp stand start steel stick still stock stuff sugar suite table taste teach thank theme there these thick thing third three throw title today total touch tower track trade trail trend trial trick truck truly trust truth twice uncle under union until upper urban usual value video visit voice waste watch where which while white whole woman world worry worth would write wrong wrote young
bread break bring broad brown build buyer cable carry catch chain chair cheap check chest chief child china civil claim class clean clear clock coach coast count cover crazy cream cross crowd crown dance death delay depth doubt dozen draft drama dream dress drink eager early earth eight empty enemy enjoy enter equal error event every exact exist extra faith false fault fever field fifth fifty fight final first flash fleet floor focus force forty found frame fresh front fruit fully funny giant given glass grand grant grass great green group guard guess guest guide happy heart heavy hello hence hotel human ideal image index inner issue joint judge known large later laugh layer learn least leave legal level light limit local logic loose lower lucky lunch magic major maker march match maybe mayor meant media metal model money month moral motor mount mouse mouth movie music never newly night north noted novel nurse ocean offer often order other ought party peace phase phone photo piece pilot pitch plain plane plate power press pride prime prior proof proud prove queen quick quiet quite radio raise range rapid ratio reach ready refer right river roman rough round route royal rural scale scene scope score sense serve seven shall sheep
weather whether farmer corner former warmer border bother brother mother father another gather rather bigger better bitter butter button bottom cotton matter letter little middle minute moment mostly nearly number office online orange people period person planet player plenty police policy prefer pretty prince public purple random rarely reason recent record remain remove repeat result return review school screen search second secret select series settle should silent silver simple single sister sleeve slight smooth social source speech spirit spread spring square stable steady strong studio summer supply surely switch system taught tender thanks theory thirty though thread ticket travel trying turned twenty unable unless useful valley vision visual volume wanted window winter within wonder wooden worked worker writer yellow
brothers boating baking coaling staring stating stirring string sting charming changing chasing looking booking cooking hooking working walking talking waking leaning learning leaving living loving moving missing mission passing pressing dressing crossing freezer feeling filling falling failing fooling pulling pushing rolling selling telling calling boring bowling
`)

package plainwords

import "strings"

// irregular maps inflected forms that the rules of stem would miss.
var irregular = withBases(mapOf(`
run: running ran runs
go: went goes going
take: took taken takes taking
give: gave given gives giving
make: made makes making
keep: kept keeps keeping
tear: torn tore tears tearing
bend: bent bends bending
catch: caught catches catching
hold: held holds holding
sink: sank sunk sinks sinking
swing: swung swings swinging
die: dying dies died
lose: losing lost loses
blow: blown blew blows blowing
break: broke broken breaks breaking
stick: stuck sticks sticking
turn: turned turning turns
spin: spun spins spinning
ring: rang rung
stand: stood stands standing
sit: sat sits sitting
burn: burnt burned burns burning
leak: leaky leaks leaking leaked
rise: rose rises rising risen
fall: fell fallen falls falling
drop: dropped drops dropping
climb: climbs climbing climbed
drive: drove driven drives driving
read: reads reading
see: saw seen sees seeing
come: came comes coming
tape: taped tapes taping
show: shown showed shows showing
feel: felt feels feeling
hear: heard hears hearing
smell: smelt smelled smells smelling smelly
find: found finds finding
freeze: froze frozen freezes freezing
wear: wore worn wears wearing
shake: shook shaken shakes shaking shaky
tap: tapped taps tapping
bite: bite bites biting bitten
wet: wetter
hot: hotter hottest
cold: colder coldest
warm: warmer warms warmed warming
slow: slowly slower slows
loud: louder loudest loudly
noisy: noise noises noisily
bad: badly
light: lights
tyre: tyres tire tires
swap: swapped swaps swapping
stop: stopped stops stopping
cut: cuts cutting
charge: charges charging charged
jump: jumped jumps jumping
fit: fitted fits fitting
go: went goes going
take: took taken takes taking
give: gave given gives giving
keep: kept keeps keeping
make: made makes making
throw: threw thrown throws throwing
drink: drank drunk drinks drinking
eat: ate eaten eats eating
sink: sank sunk sinks sinking
hang: hung hangs hanging
swing: swung swings swinging
spit: spat spits spitting
creep: crept creeps creeping
sweep: swept sweeps sweeping
bend: bent bends bending
sweet: sweetish
oily: oil
foam: foamy foaming
mayo: mayonnaise mayonaise
droppings: droppings
volt: volts voltage
mile: mile miles
leaf: leaves
fume: fume fumes
amp: amps
degree: degrees deg
battery: batteries
gauge: gage guage gauges
`))

// stem strips the common endings of a word so that its forms meet. It is a
// light stemmer: a wrong merge is worse than a missed one.
func stem(w string) string {
	if s, ok := irregular[w]; ok {
		return s
	}
	n := len(w)
	if n < 4 {
		return w
	}
	switch {
	case strings.HasSuffix(w, "ies") && n > 4:
		w = w[:n-3] + "y"
	case strings.HasSuffix(w, "sses"), strings.HasSuffix(w, "shes"), strings.HasSuffix(w, "ches"), strings.HasSuffix(w, "xes"):
		w = w[:n-2]
	case strings.HasSuffix(w, "s") && !strings.HasSuffix(w, "ss") && !strings.HasSuffix(w, "us") && !strings.HasSuffix(w, "is"):
		w = w[:n-1]
		if strings.HasSuffix(w, "ing") && len(w) > 5 {
			return stem(w) // "bearings", "the steering's"
		}
	case strings.HasSuffix(w, "ing") && n > 5 && hasVowel(w[:n-3]):
		w = undouble(w[:n-3])
	case strings.HasSuffix(w, "ed") && n > 4 && hasVowel(w[:n-2]) && w[n-3] != 'e':
		w = undouble(w[:n-2])
	}
	if len(w) > 3 && strings.HasSuffix(w, "e") {
		w = w[:len(w)-1]
	}
	if s, ok := irregular[w]; ok {
		return s
	}
	return w
}

// withBases maps the bases of a table of forms to themselves, so that "charge"
// meets "charging".
func withBases(forms map[string]string) map[string]string {
	bases := make([]string, 0, len(forms))
	for _, b := range forms {
		bases = append(bases, b)
	}
	for _, b := range bases {
		if forms[b] == "" {
			forms[b] = b
		}
	}
	delete(forms, "drive") // "in drive" is no driving
	return forms
}

func hasVowel(s string) bool { return strings.ContainsAny(s, "aeiouy") }

func undouble(s string) string {
	n := len(s)
	if n > 3 && s[n-1] == s[n-2] && !strings.ContainsRune("lsz", rune(s[n-1])) {
		return s[:n-1]
	}
	return s
}

// mapOf reads lines "base: form form" into a map from form to base.
func mapOf(lines string) map[string]string {
	out := map[string]string{}
	for _, line := range strings.Split(lines, "\n") {
		base, forms, ok := strings.Cut(line, ":")
		if !ok {
			continue
		}
		base = strings.TrimSpace(base)
		for _, f := range strings.Fields(forms) {
			out[f] = base
		}
	}
	return out
}

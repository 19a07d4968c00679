package plainwords

import "strings"

// Circumstance is what the person's situation is: it steers the plan and the
// tone and says nothing about the car.
type Circumstance struct {
	// Kind is alone, roadside, raining, dark, no-money, afraid, first-time or
	// hurry.
	Kind       string
	Start, End int
}

// circumstanceTable lists, by kind, the ways of telling it; "|" separates.
var circumstanceTable = compileCircumstances(map[string]string{
	"alone":      "on my own|by myself|all alone|nobody to help|no one to help|no helper|home alone|im alone|single handed",
	"roadside":   "hard shoulder|side of the road|roadside|by the road|in a layby|in a lay by|broken down|stranded|stuck on the motorway|stuck on the road|stuck at the lights|lay-by|in the middle of nowhere|waiting for recovery|waiting for the breakdown",
	"raining":    "its raining|its pouring|raining now|chucking it down|tipping it down|bucketing down|lashing down|its snowing|its freezing out",
	"dark":       "its dark|getting dark|middle of the night|no light out here",
	"no-money":   "skint|broke at the moment|no money|cant afford|on a budget|money is tight|moneys tight|until payday|tight budget|short of cash|not much money",
	"afraid":     "im scared|im afraid|im worried|bit scared|scared to|scared of|afraid to|nervous about|terrified|dont trust myself|frightened",
	"first-time": "never done this|never done this before|total beginner|complete beginner|complete novice|im a novice|im new to this|new to all this|no clue about cars|dont know much about cars|not mechanical|first time doing|not very mechanical",
	"hurry":      "in a hurry|need it for work|need it tomorrow|need it tonight|need it for the morning|need the car tomorrow|have to be at work|no time",
})

// circumstanceWords is a run of words that tells a circumstance.
type circumstanceWords struct {
	kind  string
	words []string
}

// compileCircumstances sorts the ways by their first word.
func compileCircumstances(table map[string]string) map[string][]circumstanceWords {
	out := map[string][]circumstanceWords{}
	for _, kind := range sortedKeys(table) {
		for _, way := range strings.Split(table[kind], "|") {
			w := strings.Fields(plain(way))
			out[w[0]] = append(out[w[0]], circumstanceWords{kind, w})
		}
	}
	return out
}

// findCircumstances reads the situation, each kind once; a denied one ("not
// scared") is none.
func (t *turn) findCircumstances() {
	seen := map[string]bool{}
	for i := range t.toks {
		best := circumstanceWords{}
		for _, c := range circumstanceTable[t.toks[i].norm] {
			if len(c.words) > len(best.words) && t.wordsAt(i, c.words) {
				best = c
			}
		}
		if n := len(best.words); n > 0 && !seen[best.kind] && !t.toks[i+n-1].under || n > 0 && best.words[0] == "no" || n > 1 && negators[best.words[0]] {
			if seen[best.kind] {
				continue
			}
			seen[best.kind] = true
			t.acc.Circumstances = append(t.acc.Circumstances, Circumstance{best.kind, t.toks[i].start, t.toks[i+n-1].end})
			t.useTokens(i, i+n-1)
		}
	}
}

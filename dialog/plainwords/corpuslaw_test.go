package plainwords

import (
	"maps"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// Laws that hold for every authored turn of the corpus, whatever it says.

// sayings are the turns of the corpus that ask nothing and need no context.
func sayings(tb testing.TB) []corpusLine {
	return slices.DeleteFunc(corpus(tb), func(l corpusLine) bool {
		return l.context != "- -" || strings.ContainsAny(l.text, "?\"")
	})
}

// saidFacts are the facts of a turn without what was left unread.
func saidFacts(r *Reader, s string) map[string]bool {
	out := facts(r.Read(s, Context{}))
	maps.DeleteFunc(out, func(k string, _ bool) bool { return strings.HasPrefix(k, "unread:") })
	return out
}

func sameFacts(a, b map[string]bool) bool { return maps.Equal(a, b) }

// Capitals, blanks and the mark at the end change nothing of what is told. Names of
// cars hang on their capitals and are left out.
func TestCorpusInOtherDress(t *testing.T) {
	r := NewReader(looseBase(t))
	for _, l := range corpus(t) {
		if strings.Contains(strings.Join(l.expected, " "), "make-unknown") {
			continue
		}
		c := contextOf(t, l.context)
		told := func(s string) map[string]bool {
			out := facts(r.Read(s, c))
			maps.DeleteFunc(out, func(k string, _ bool) bool { return strings.HasPrefix(k, "unread:") || strings.HasPrefix(k, "code:") })
			return out
		}
		want := told(l.text)
		dresses := []string{strings.ToUpper(l.text[:1]) + l.text[1:], "  " + strings.ReplaceAll(l.text, " ", "  ") + " "}
		if last := l.text[len(l.text)-1]; last != '?' && last != '.' && last != '!' {
			dresses = append(dresses, l.text+".", l.text+"!")
		}
		if !strings.ContainsAny(l.text, "0123456789Ω") {
			dresses = append(dresses, strings.ToUpper(l.text))
		}
		for _, s := range dresses {
			if got := told(s); !sameFacts(got, want) {
				t.Errorf("%q says %v, %q %v", l.text, sortedKeys(want), s, sortedKeys(got))
			}
		}
	}
}

// takesNoun reports whether what was read of a turn rests on a noun that a clause
// took over from the one before: "gearbox whines. goes into limp mode" is of
// automatics, and such clauses are not independent.
func takesNoun(r *Reader, text string) bool {
	t := r.read(text, Context{})
	return slices.ContainsFunc(t.matches, func(m match) bool {
		return m.carried && slices.ContainsFunc(t.acc.Observations, func(o Observation) bool { return o.Finding == m.phrase.target.id })
	})
}

// Two troubles told one after the other say the same in either order, where each
// alone says one thing.
func TestOrderOfTroubles(t *testing.T) {
	r := NewReader(looseBase(t))
	var alone []string
	for _, l := range sayings(t) {
		f := saidFacts(r, l.text)
		if len(f) == 1 && len(l.expected) == 1 && f[l.expected[0]] && strings.HasSuffix(l.expected[0], "=present") && !strings.ContainsAny(l.text, ".,;:") {
			alone = append(alone, l.text)
		}
	}
	if len(alone) < 80 {
		t.Fatalf("only %d turns that tell one trouble", len(alone))
	}
	for i, a := range alone {
		for _, b := range alone[:i] {
			x, y := saidFacts(r, a+". "+b+"."), saidFacts(r, b+". "+a+".")
			if !sameFacts(x, y) && !takesNoun(r, a+". "+b+".") && !takesNoun(r, b+". "+a+".") {
				t.Errorf("%q before %q says %v, after it %v", a, b, sortedKeys(x), sortedKeys(y))
			}
		}
	}
}

// A "not" after the verb of a turn that tells a trouble takes it back, or leaves
// nothing that can be told; it never leaves the trouble.
func TestNotTakesBack(t *testing.T) {
	r := NewReader(looseBase(t))
	tried := 0
	for _, l := range sayings(t) {
		f := saidFacts(r, l.text)
		for _, verb := range []string{" is ", " are ", " was "} {
			if strings.Count(l.text, verb) != 1 || strings.ContainsAny(l.text, ".,;:") || len(f) != 1 {
				continue
			}
			told := sortedKeys(f)[0]
			if !strings.HasSuffix(told, "=present") || contrastIn(l.text) {
				continue
			}
			tried++
			s := strings.Replace(l.text, verb, verb+"not ", 1)
			if got := saidFacts(r, s); got[told] {
				t.Errorf("%q and %q both say %s", l.text, s, told)
			}
		}
	}
	if tried < 15 {
		t.Errorf("only %d turns tried", tried)
	}
}

func contrastIn(s string) bool {
	for _, w := range strings.Fields(plain(s)) {
		if contrasts[w] || joins[w] || negators[w] {
			return true
		}
	}
	return false
}

// A quantity is the same in whatever spelling of its unit.
func TestSpellingsOfUnits(t *testing.T) {
	r := NewReader(looseBase(t))
	for _, same := range [][]string{
		{"fuel pressure is 3 bar", "fuel pressure is 3bar", "fuel pressure is 3.0 BAR", "fuel pressure is 300 kPa"},
		{"it gets to 95 C", "it gets to 95c", "it gets to 95 degrees c", "it gets to 95 °C", "it gets to 95 celsius"},
		{"12.6 volts at rest", "12.6V at rest", "12,6 v at rest", "12.6 Volts at rest"},
		{"draws 50 mA parked", "draws 50ma parked", "draws 0.05 A parked", "draws 50 milliamps parked"},
		{"sender reads 2 kohm", "sender reads 2k ohms", "sender reads 2000 ohms", "sender reads 2 kΩ"},
	} {
		want := r.Read(same[0], Context{Chief: "battery-flat"})
		for _, s := range same[1:] {
			got := r.Read(s, Context{Chief: "battery-flat"})
			if !sameFacts(quantified(want), quantified(got)) {
				t.Errorf("%q says %v, %q %v", same[0], sortedKeys(quantified(want)), s, sortedKeys(quantified(got)))
			}
		}
	}
}

// quantified are the facts of an account with the numbers that no test claimed.
func quantified(a Account) map[string]bool {
	out := facts(a)
	maps.DeleteFunc(out, func(k string, _ bool) bool { return strings.HasPrefix(k, "unread:") })
	for _, n := range a.Numbers {
		out["number:"+n.Unit+":"+trimmed(n.Value)] = true
	}
	return out
}

func trimmed(v float64) string { return strconv.FormatFloat(v, 'g', 6, 64) }

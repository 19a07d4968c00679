package plainwords

import (
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// pieces are fragments from which the laws' turns are put together.
var pieces = []string{"it overheats", "only in traffic", "fan never comes on", "the fan comes on", "not losing water", "new thermostat, no change", "12.4 volts at the battery", "i think", "but", "and", "garage says it's the head gasket", "won't start", "cranks fine", "why this one", "0,9 A", "between 11 and 12 V", "no", "yes", "left one", "1999 Tolland Carrier 1.9 petrol", "no multimeter", "gribble", "ok on the highway", "undo", "battery is flat after a weekend", ".", ",", "?"}

func someTurn(t *rapid.T) string {
	return strings.Join(rapid.SliceOfN(rapid.SampledFrom(pieces), 0, 9).Draw(t, "pieces"), " ")
}

func TestEveryByteInOneSpan(t *testing.T) {
	r := NewReader(looseBase(t))
	rapid.Check(t, func(t *rapid.T) {
		checkAccount(t, r.Read(someTurn(t)+rapid.String().Draw(t, "noise"), Context{Chief: "overheats"}))
	})
}

// Capitals, doubled blanks and a closing full stop say nothing.
func TestCaseAndBlanksChangeNothing(t *testing.T) {
	r := NewReader(looseBase(t))
	told := func(s string) string {
		var out []string
		for _, o := range r.Read(s, Context{}).Observations {
			out = append(out, o.Finding+"="+o.Outcome)
		}
		return strings.Join(out, " ")
	}
	rapid.Check(t, func(t *rapid.T) {
		s := someTurn(t)
		if a, b := told(s), told(strings.ToUpper(s)); a != b {
			t.Fatalf("%q\n%s\n%s", s, a, b)
		}
		if a, b := told(s), told(strings.ReplaceAll(s, " ", "  ")); a != b {
			t.Fatalf("%q\n%s\n%s", s, a, b)
		}
		if strings.HasSuffix(s, "?") {
			return
		}
		if a, b := told(s), told(s+" ."); a != b {
			t.Fatalf("%q\n%s\n%s", s, a, b)
		}
	})
}

// TestSameTurnSameAccount holds for two readers of one base.
func TestSameTurnSameAccount(t *testing.T) {
	a, b := NewReader(looseBase(t)), NewReader(looseBase(t))
	rapid.Check(t, func(t *rapid.T) {
		s := someTurn(t)
		x, y := a.Read(s, Context{Chief: "overheats"}), b.Read(s, Context{Chief: "overheats"})
		if len(x.Observations) != len(y.Observations) || len(x.Requests) != len(y.Requests) {
			t.Fatalf("%q: %v and %v", s, x, y)
		}
		for i := range x.Observations {
			if p, q := x.Observations[i], y.Observations[i]; p.Finding != q.Finding || p.Outcome != q.Outcome || p.Start != q.Start {
				t.Fatalf("%q: %v and %v", s, p, q)
			}
		}
	})
}

// TestNotNeverKeepsTheOutcome puts a denial in front of every single phrase of
// symptoms and outcomes: what the phrase says must not be read from it.
func TestNotNeverKeepsTheOutcome(t *testing.T) {
	r := NewReader(looseBase(t))
	kept, tried := 0, 0
	for i := range r.lx.phrases {
		p := &r.lx.phrases[i]
		k := p.target.kind
		if k != targetSymptom && k != targetOutcome || p.denies || p.fine || p.required > 2 || strings.ContainsAny(p.said, ",;:.") {
			continue
		}
		two := false // "starts but cuts out" says two things, of which one is denied
		for _, w := range strings.Fields(plain(p.said)) {
			two = two || contrasts[w] || joins[w]
		}
		if two {
			continue
		}
		if f := strings.Fields(p.said); opensTurn[f[0]] || answersNo[f[0]] || isNegator(f[0]) || contrasts[f[0]] {
			continue
		}
		tried++
		for _, o := range r.Read("it is not "+p.said, Context{}).Observations {
			f := r.lx.findings[p.target.id]
			s := r.symptom[p.target.id]
			if s != nil && len(s.Of) > 0 {
				continue
			}
			if o.Finding == f.emit && o.Outcome == p.target.value {
				kept++
				t.Logf("%q kept %s=%s", p.said, o.Finding, o.Outcome)
			}
		}
	}
	if tried < 100 {
		t.Fatalf("only %d phrases tried", tried)
	}
	if kept > 0 {
		t.Errorf("%d of %d denied phrases kept their outcome", kept, tried)
	}
	t.Logf("%d of %d denied phrases kept their outcome", kept, tried)
}

func isNegator(w string) bool { return negators[normal(w)] }

// TestSpellingLeavesKnownWords: no word that is spelled correctly is changed.
func TestSpellingLeavesKnownWords(t *testing.T) {
	lx := NewReader(looseBase(t)).lx
	for _, w := range strings.Fields(englishText + ` costing lit parked chatting hotter boating holes stared trimmed piled draws cared loosely filthiest`) {
		toks := lx.parse(w)
		lx.spell(toks)
		if toks[0].fixed {
			t.Errorf("%q became %q", w, toks[0].norm)
		}
	}
	for slip, want := range map[string]string{"thermostst": "thermostat", "alternater": "alternator", "raditaor": "radiator", "overheting": "overheating", "battrey": "battery"} {
		toks := lx.parse(slip)
		lx.spell(toks)
		if stem(toks[0].norm) != stem(want) && lx.root(toks[0].norm) != lx.root(want) {
			t.Errorf("%q became %q, want %q", slip, toks[0].norm, want)
		}
	}
}

// What is only a picture of the trouble, another car's or a thing of the
// person's tells nothing of this car, whatever the words.
func TestAsidesTellNothing(t *testing.T) {
	r := NewReader(looseBase(t))
	tried := 0
	for i := range r.lx.phrases {
		p := &r.lx.phrases[i]
		if p.target.kind != targetSymptom && p.target.kind != targetEvent || p.likens || strings.ContainsAny(p.said, ",;:.?!-") || containsWords(plain(p.said), "mine") || containsWords(plain(p.said), "own") {
			continue
		}
		two := false
		for _, w := range strings.Fields(plain(p.said)) {
			two = two || contrasts[w] || joins[w] || likenessEnds[w] || w == "like" || w == "and" || w == "it" || w == "its" || w == "theres" || w == "just" || w == "only"
		}
		if two {
			continue
		}
		tried++
		for _, s := range []string{"it rocks as if " + p.said, "my other car " + p.said} {
			for _, o := range r.Read(s, Context{}).Observations {
				if o.Finding == p.target.id || o.Finding == "event:"+p.target.id {
					t.Errorf("%q tells %s=%s", s, o.Finding, o.Outcome)
				}
			}
		}
	}
	if tried < 100 {
		t.Fatalf("only %d phrases tried", tried)
	}
}

// A second denial takes the first one back.
func TestDenialOfADenial(t *testing.T) {
	r := NewReader(looseBase(t))
	for _, s := range []string{"can't say it doesn't overheat", "it's not that it doesn't overheat", "there's no way it doesn't overheat"} {
		if !facts(r.Read(s, Context{}))["overheats=present"] {
			t.Errorf("%q says %v", s, facts(r.Read(s, Context{})))
		}
	}
	for _, s := range []string{"it never fails to start", "never had any trouble starting it", "not once has it failed to start"} {
		if facts(r.Read(s, Context{}))["wont-start=present"] {
			t.Errorf("%q says that it does not start", s)
		}
	}
}

// Typographic apostrophes and closing marks say no more than plain ones.
func TestMarksChangeNothing(t *testing.T) {
	r := NewReader(looseBase(t))
	rapid.Check(t, func(t *rapid.T) {
		s := someTurn(t)
		if strings.HasSuffix(s, "?") {
			return
		}
		want := facts(r.Read(s, Context{Chief: "overheats"}))
		for _, other := range []string{strings.ReplaceAll(s, "'", "\u2019"), s + " !", s + " ..."} {
			got := facts(r.Read(other, Context{Chief: "overheats"}))
			if len(got) != len(want) {
				t.Fatalf("%q says %v, %q %v", s, want, other, got)
			}
			for k := range want {
				if !got[k] {
					t.Fatalf("%q says %v, %q %v", s, want, other, got)
				}
			}
		}
	})
}

// Sentences that have nothing to do with each other say the same in either
// order.
func TestOrderOfSentences(t *testing.T) {
	r := NewReader(looseBase(t))
	alone := []string{"the fan never comes on", "new thermostat, no change", "it is a diesel", "battery reads 12.4 volts", "the horn doesn't work", "code P0301", "i'm on my own", "the water pump isn't leaking", "it has done 98,000 miles", "what's a relay?"}
	rapid.Check(t, func(t *rapid.T) {
		a, b := rapid.SampledFrom(alone).Draw(t, "a"), rapid.SampledFrom(alone).Draw(t, "b")
		x, y := facts(r.Read(a+". "+b+".", Context{Chief: "overheats"})), facts(r.Read(b+". "+a+".", Context{Chief: "overheats"}))
		for k := range x {
			if !y[k] {
				t.Fatalf("%q before %q says %s, after it %v", a, b, k, y)
			}
		}
		if len(x) != len(y) {
			t.Fatalf("%q, %q: %v and %v", a, b, x, y)
		}
	})
}

// The same quantity in another spelling is the same reading.
func TestUnitSpellingChangesNothing(t *testing.T) {
	r := NewReader(looseBase(t))
	for _, same := range [][]string{
		{"battery reads 12.4v", "battery reads 12.4 V", "battery reads 12,4 volts", "battery reads 12400 mV", "battery reads twelve point four volts"},
		{"it draws 0.9 A", "it draws 0.9 amps", "it draws 900 mA", "it draws 900 milliamps"},
		{"coil primary is 1.2 ohms", "coil primary is 1.2Ω", "coil primary is 1,2 ohm"},
	} {
		want := facts(r.Read(same[0], Context{Chief: "battery-flat"}))
		if len(want) == 0 {
			t.Errorf("%q says nothing", same[0])
		}
		for _, s := range same[1:] {
			if got := facts(r.Read(s, Context{Chief: "battery-flat"})); len(got) != len(want) {
				t.Errorf("%q says %v, %q %v", same[0], want, s, got)
			} else {
				for k := range want {
					if !got[k] {
						t.Errorf("%q says %v, %q %v", same[0], want, s, got)
					}
				}
			}
		}
	}
}

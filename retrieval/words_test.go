package retrieval

import (
	"math"
	"slices"
	"strings"
	"testing"
)

func ids(t testing.TB, x *Index, words string, kinds ...string) []string {
	t.Helper()
	hits, err := x.Match(words, 10, kinds...)
	if err != nil {
		t.Fatal(err)
	}
	out := []string{}
	for _, h := range hits {
		out = append(out, h.ID)
	}
	return out
}

// A query in any of the words that mean the same finds the same. A form that
// an earlier entry of the list has claimed belongs to that one.
func TestSynonymsBothWays(t *testing.T) {
	x := mustOpen(t)
	claimed := map[string]bool{}
	for _, s := range embedded(t).Lists.Synonyms {
		if len(s.Before) > 0 {
			continue // a sense, which the index leaves to the words beside it
		}
		claimed[strings.Join(stems(s.Term), " ")] = true
		want := ids(t, x, s.Term)
		for _, f := range s.Forms {
			if key := strings.Join(stems(f), " "); claimed[key] {
				continue
			} else {
				claimed[key] = true
			}
			if got := ids(t, x, f); !slices.Equal(got, want) {
				t.Errorf("%q finds %v, %q finds %v", s.Term, want, f, got)
			}
		}
	}
}

func TestTermsKeptWhole(t *testing.T) {
	a := newAnalyzer(embedded(t))
	for text, want := range map[string]string{
		"P0300": "p0300", "B+ and D+": "b+ d+", "87a": "87a",
		"no fan, not on, never off": "no fan not on never off",
		"melting melts melted":      "melt melt melt",
	} {
		if got := joined(a.terms(text)); got != want {
			t.Errorf("%q gives %q, want %q", text, got, want)
		}
	}
	if one, two := joined(a.terms("head-gasket")), joined(a.terms("head gasket")); one != two || strings.Contains(one, " ") {
		t.Errorf("head-gasket gives %q, head gasket %q", one, two)
	}
}

func TestOneAway(t *testing.T) {
	for _, c := range []struct {
		a, b string
		want bool
	}{{"bonet", "bonnet", true}, {"bonnet", "bonet", true}, {"raidator", "radiator", true}, {"fan", "fun", true}, {"fan", "fan", false}, {"fan", "fence", false}, {"abcd", "badc", false}, {"", "a", true}} {
		if got := oneAway(c.a, c.b); got != c.want {
			t.Errorf("oneAway(%q, %q) = %v", c.a, c.b, got)
		}
	}
}

// With any one letter of the word left out, doubled, or swapped with the next,
// the article of the right word still leads, unless that makes another word.
func TestSlipsFindTheArticle(t *testing.T) {
	x := mustOpen(t)
	tried, found := 0, 0
	for _, word := range []string{"thermostat", "radiator", "alternator", "solenoid", "immobiliser", "distributor", "starter", "viscous", "hydrolocked"} {
		want := ids(t, x, word)
		for i := 1; i < len(word)-1; i++ {
			for _, slip := range []string{word[:i] + word[i+1:], word[:i] + word[i:i+1] + word[i:], word[:i] + word[i+1:i+2] + word[i:i+1] + word[i+2:]} {
				if x.analyzer.knows(splitWords(slip)[0]) {
					continue
				}
				tried++
				if got := ids(t, x, slip); len(got) > 0 && got[0] == want[0] {
					found++
				} else {
					t.Logf("%q for %q finds %v", slip, word, got)
				}
			}
		}
	}
	t.Logf("%d of %d slips lead to the article", found, tried)
	if tried < 150 || found*100 < tried*95 {
		t.Errorf("%d of %d slips lead to the article", found, tried)
	}
}

// A known word is never guessed at: all terms looked for are its own.
func TestExactWordIsNeverDisplaced(t *testing.T) {
	x := mustOpen(t)
	for _, w := range x.analyzer.sorted {
		own := x.analyzer.join(splitWords(w))
		for _, a := range x.ask(w, false).wants {
			if a.weight != 1 || !slices.ContainsFunc(own, func(o term) bool { return o.text == a.term }) {
				t.Errorf("%q looks for %q at weight %v", w, a.term, a.weight)
			}
		}
	}
}

func TestContributionsAddUp(t *testing.T) {
	x := mustOpen(t)
	for _, q := range queries(t) {
		for _, kinds := range [][]string{nil, {"cause"}, {"symptom", "test"}} {
			hits, err := x.Match(q.words, 10, kinds...)
			if err != nil {
				t.Fatal(err)
			}
			for _, h := range hits {
				sum := 0.0
				for _, c := range h.Terms {
					sum += c.Value
				}
				if len(h.Terms) == 0 || len(h.Why) != len(h.Terms) || math.Abs(sum-h.Score) > 1e-8*h.Score {
					t.Errorf("%q %s: score %v, contributions %v", q.words, h.ID, h.Score, h.Terms)
				}
				if len(kinds) > 0 && !slices.Contains(kinds, h.Kind) {
					t.Errorf("%q with %v finds a %s", q.words, kinds, h.Kind)
				}
				if h.Cover <= 0 || h.Cover > 1 || h.Share <= 0 || h.Share > 1 {
					t.Errorf("%q %s: cover %v, share %v", q.words, h.ID, h.Cover, h.Share)
				}
			}
		}
	}
	if hits, err := x.Match("thermostat", 1); err != nil || len(hits) == 0 || len(hits[0].Why) == 0 {
		t.Errorf("one word: %v %v", hits, err)
	}
}

// Small talk covers too little to be taken for a symptom (the dialogue takes a
// clause at half); a told symptom covers more.
func TestCoverTellsTalkFromSymptom(t *testing.T) {
	x := mustOpen(t)
	cover := func(words string) float64 {
		hits, err := x.Match(words, 1, "symptom")
		if err != nil {
			t.Fatal(err)
		}
		if len(hits) == 0 {
			return 0
		}
		t.Logf("%q: %s %.2f %v", words, hits[0].ID, hits[0].Cover, hits[0].Why)
		return hits[0].Cover
	}
	if c := cover("kids and wife both moaning"); c >= 0.5 {
		t.Errorf("small talk is covered at %v", c)
	}
	if c := cover("gets proper hot sat at the lights"); c < 0.5 {
		t.Errorf("a symptom is covered at only %v", c)
	}
}

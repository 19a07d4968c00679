package retrieval

import "ruleout/kb"

// concepts finds the words of the vocabulary list in a text: "soggy" and
// "sodden" are one thing to it, so that what is known of a telling with the one
// is known of one with the other.
type concepts struct{ analyzer }

func (a *analyzer) concepts(b *kb.Base) concepts {
	c := concepts{analyzer{split: a.split, phrases: map[string]string{}, longest: map[string]int{}, words: map[string]int{}}}
	for _, w := range b.Lists.Words {
		one := "c_" + w.Term
		c.learn(w.Term, one)
		for _, f := range w.Forms {
			c.learn(f, one)
		}
	}
	c.split, c.words = nil, nil
	return c
}

// in returns the concepts in the words of a text, the longest wording at each
// place.
func (c concepts) in(ws []term) []term {
	var out []term
	for i := 0; i < len(ws); {
		n, one := c.phraseAt(ws, i)
		if n == 0 {
			n, one = 1, c.phrases[ws[i].text]
		}
		if one != "" {
			out = append(out, term{text: one, start: ws[i].start, end: ws[i+n-1].end})
		}
		i += n
	}
	return out
}

package retrieval

import "ruleout/kb"

// Constants of the word statistics of histories. Basis: memory; chosen on the
// cases in testdata.
const (
	causePrior = 10.0 // stories' worth of belief that a cause is told in the words of all others
	partPrior  = 20.0 // the same of a part
	partShare  = 0.6  // how much the stories of the whole part count beside those of the cause
)

// histories knows how often the histories of each cause use each word, and
// those of each part together.
type histories struct {
	causes, parts *counted
	// partOf is the part of each cause by number.
	partOf []int32
}

// histories counts the words of all histories. What the causes of a part, or
// what is of no part, are told with, is counted for the part as well: two modes
// of a part are told alike, and each has but a few histories.
func (s *spoken) histories(b *kb.Base) *histories {
	told := map[string][]string{}
	for _, h := range b.Lists.Histories {
		told[h.For] = h.Told
	}
	if len(told) == 0 {
		return nil
	}
	h := &histories{}
	var ofPart []string // parts in order of their first cause
	causesOf := map[string][]int32{}
	for i, c := range b.Causes {
		part := c.Part
		if part == "" {
			part = c.ID
		}
		if causesOf[part] == nil {
			ofPart = append(ofPart, part)
		}
		causesOf[part] = append(causesOf[part], int32(i))
	}
	h.partOf = make([]int32, len(b.Causes))
	var inCauses, inParts []sighting
	causes, parts := make([]float64, len(b.Causes)), make([]float64, len(ofPart))
	for p, part := range ofPart {
		whole := map[feature]int32{}
		tallies := make([]map[feature]int32, len(causesOf[part]))
		for k, c := range causesOf[part] {
			texts := told[b.Causes[c].ID]
			h.partOf[c], causes[c] = int32(p), float64(len(texts))
			parts[p] += causes[c]
			tallies[k] = s.tally(texts)
			for f, n := range tallies[k] {
				whole[f] += n
			}
		}
		for f, n := range whole {
			if n == 1 && f>>32 != 0 {
				continue // two words side by side in one story of the part alone
			}
			inParts = append(inParts, sighting{f, int32(p), n})
			for k, c := range causesOf[part] {
				if n := tallies[k][f]; n > 0 {
					inCauses = append(inCauses, sighting{f, c, n})
				}
			}
		}
	}
	h.causes, h.parts = countWords(inCauses, causes, causePrior), countWords(inParts, parts, partPrior)
	return h
}

// Histories returns ln(P(words | cause)/P(words)) of each cause in the order of
// the base, as far as its histories and those of its part tell; nil if the words
// say nothing. An index of cases knows no histories.
func (x *Index) Histories(words string) []float64 {
	h := x.histories
	if h == nil {
		return nil
	}
	asked := x.spoken.asked(words)
	sums, known := h.causes.sums(asked, len(h.partOf))
	if !known {
		return nil
	}
	parts, _ := h.parts.sums(asked, len(h.parts.floor))
	for i, p := range h.partOf {
		sums[i] = (1-partShare)*sums[i] + partShare*parts[p]
	}
	return sums
}

package retrieval

import "ruleout/kb"

// KindCase is the kind of a past case among hits.
const KindCase = "case"

// CaseText is what is looked at of a past case: what it is about, what was
// said, and what was found.
type CaseText struct{ ID, Title, Said, Found string }

// OpenCases makes an index over past cases, in memory, with the language of
// the articles: the same synonyms, part names, stems and guesses at slips. A
// hit's id is that of the case.
func OpenCases(b *kb.Base, cases []CaseText) (*Index, error) {
	docs := make([]document, len(cases))
	for i, c := range cases {
		docs[i] = document{head: kb.Head{ID: c.ID, Kind: KindCase, Title: c.Title}, title: c.Title, said: c.Said, body: c.Found}
	}
	return build(newAnalyzer(b), docs, "")
}

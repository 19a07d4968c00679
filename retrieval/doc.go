// Package retrieval finds articles for words: a full-text index over the
// knowledge base. Start at Open, then Match for the dialogue and Search for
// people. No type of the index library shows in what it exports.
//
// Text goes through an analysis chain of this language's own (analyze.go):
// words and codes, owners' synonyms and part names made one term, stems. The
// index then sees terms only, so that any other implementation of the ranking
// can be fed the same.
//
// Beside the index stand the word statistics (wordcounts.go) of owners' tellings
// (tellings.go), which say what a message is likely to tell: Complaint and Told;
// and of owners' histories (histories.go), which say what cause a whole story is
// like: Histories.
package retrieval

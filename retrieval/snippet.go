package retrieval

import "strings"

const snippetBytes = 180

// snippet cuts the piece of an article with the most matching terms and marks
// them.
func (x *Index) snippet(id string, ask asked) (string, [][2]int) {
	text := x.docs[id].whole()
	want := ask.set()
	var hits []term
	for _, t := range x.analyzer.terms(text) {
		if want[t.text] {
			hits = append(hits, t)
		}
	}
	start := 0
	best := 0
	for i := range hits {
		n := 0
		for _, h := range hits[i:] {
			if h.end-hits[i].start > snippetBytes-40 {
				break
			}
			n++
		}
		if n > best {
			best, start = n, hits[i].start
		}
	}
	// Begin at the sentence or word before the first match.
	from := max(0, start-40)
	if cut := strings.LastIndexAny(text[from:start], ".\n"); cut >= 0 {
		from += cut + 1
	} else if from > 0 {
		if cut := strings.IndexByte(text[from:], ' '); cut >= 0 && from+cut < start {
			from += cut + 1
		}
	}
	for from < len(text) && text[from] == ' ' {
		from++
	}
	to := min(len(text), from+snippetBytes)
	if to < len(text) {
		if cut := strings.LastIndexByte(text[from:to], ' '); cut > 0 {
			to = from + cut
		}
	}
	piece := strings.ReplaceAll(text[from:to], "\n", " ")
	marks := [][2]int{}
	for _, h := range hits {
		if h.start >= from && h.end <= to && (len(marks) == 0 || h.start-from >= marks[len(marks)-1][1]) {
			marks = append(marks, [2]int{h.start - from, h.end - from})
		}
	}
	return strings.ToValidUTF8(piece, " "), marks
}

package kb

import "strconv"

// nearest returns the candidate closest to the word, or "" when none is close
// enough to be a slip of the pen: at most a third of the word's letters may
// differ (at least two). Ties go to the earlier candidate.
func nearest(word string, candidates []string) string {
	best, least := "", max(2, len(word)/3)+1
	for _, c := range candidates {
		if d := editDistance(word, c, least); d < least {
			best, least = c, d
		}
	}
	return best
}

// NearestArticle is the id of the article that is meant by a slip of the pen, or
// "".
func (b *Base) NearestArticle(id string) string { return nearest(id, sortedKeys(b.heads)) }

// didYouMean returns the fix that names the nearest candidate, or "".
func didYouMean(word string, candidates []string) string {
	if n := nearest(word, candidates); n != "" {
		return "did you mean " + strconv.Quote(n) + "?"
	}
	return ""
}

// editDistance counts the insertions, deletions, replacements and swaps of
// neighbours that turn a into b (optimal string alignment), or returns limit
// when it is not less than that.
func editDistance(a, b string, limit int) int {
	s, t := []rune(a), []rune(b)
	if d := len(s) - len(t); d >= limit || -d >= limit {
		return limit
	}
	before, above, row := make([]int, len(t)+1), make([]int, len(t)+1), make([]int, len(t)+1)
	for j := range above {
		above[j] = j
	}
	for i := 1; i <= len(s); i++ {
		row[0] = i
		for j := 1; j <= len(t); j++ {
			cost := 1
			if s[i-1] == t[j-1] {
				cost = 0
			}
			row[j] = min(above[j]+1, row[j-1]+1, above[j-1]+cost)
			if i > 1 && j > 1 && s[i-1] == t[j-2] && s[i-2] == t[j-1] {
				row[j] = min(row[j], before[j-2]+1)
			}
		}
		before, above, row = above, row, before
	}
	return min(above[len(t)], limit)
}

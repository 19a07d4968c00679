package plainwords

import (
	"hash/fnv"
	"iter"
	"slices"
	"strings"
)

// speller finds the known word that a slip of the fingers was meant to be. It
// keeps every known word under all its forms with one letter left out (and
// two, for long words), so that a look-up costs no walk over the vocabulary.
type speller struct {
	right []string
	// spelt holds a hash of each form of each word, above the word's number, in
	// order: a fifth of what a map of them would take.
	spelt []uint64
}

// shortest is the length below which a word is never corrected, and
// longFrom the length from which two slips are allowed.
const (
	shortest = 4
	longFrom = 8
	tooLong  = 20
)

func newSpeller(words []string) speller {
	s := speller{right: words}
	for n, w := range words {
		if len(w) < shortest || len(w) > tooLong {
			continue
		}
		for _, d := range dropLetters(w) {
			s.spelt = append(s.spelt, hashed(d)|uint64(n))
		}
	}
	slices.Sort(s.spelt)
	s.spelt = slices.Clone(s.spelt)
	return s
}

// hashed is a hash of a form (FNV-1a) in the upper half.
func hashed(form string) uint64 {
	h := fnv.New32a()
	h.Write([]byte(form))
	return uint64(h.Sum32()) << 32
}

// having returns the words with a form; by chance a word without it, which then
// is too far from what it is compared with.
func (s *speller) having(form string) iter.Seq[string] {
	return func(yield func(string) bool) {
		h := hashed(form)
		i, _ := slices.BinarySearch(s.spelt, h)
		for ; i < len(s.spelt) && s.spelt[i]>>32 == h>>32; i++ {
			if !yield(s.right[uint32(s.spelt[i])]) {
				return
			}
		}
	}
}

// dropLetters returns the word and its forms with one letter less (two for
// long words), without repeats.
func dropLetters(w string) []string {
	out := []string{w}
	seen := map[string]bool{w: true}
	from := 0
	rounds := 1
	if len(w) >= longFrom {
		rounds = 2
	}
	for ; rounds > 0; rounds-- {
		end := len(out)
		for ; from < end; from++ {
			for i := range len(out[from]) {
				d := out[from][:i] + out[from][i+1:]
				if !seen[d] {
					seen[d] = true
					out = append(out, d)
				}
			}
		}
	}
	return out
}

// correct returns the nearest known word, and false when there is none near
// enough or two are as near. The first letter must agree unless the first two
// changed places.
func (s *speller) correct(w string) (string, bool) {
	if len(w) < shortest || len(w) > tooLong || !isASCIILetters(w) {
		return "", false
	}
	limit := 1.0
	if len(w) >= longFrom {
		limit = 2.0
	}
	best, bestCost, tie := "", limit+0.01, false
	for _, d := range dropLetters(w) {
		for cand := range s.having(d) {
			if cand == best || cand[0] != w[0] && (cand[0] != w[1] || cand[1] != w[0]) {
				continue
			}
			if len(w) < 5 && len(cand) < len(w) {
				continue
			}
			c := slipCost(w, cand)
			switch {
			case c < bestCost-1e-9:
				best, bestCost, tie = cand, c, false
			case c <= bestCost+1e-9 && stem(cand) != stem(best):
				tie = true
				if cand < best {
					best = cand
				}
			}
		}
	}
	if len(w) == shortest && bestCost > 0.6 {
		return "", false // four letters: only a transposition, a doubling or a neighbouring key
	}
	return best, best != "" && !tie
}

func isASCIILetters(w string) bool {
	for i := 0; i < len(w); i++ {
		if w[i] < 'a' || w[i] > 'z' {
			return false
		}
	}
	return true
}

var keyRows = []string{"qwertyuiop", "asdfghjkl", "zxcvbnm"}

// nearKeys reports whether two letters are neighbours on the keyboard.
func nearKeys(a, b byte) bool {
	ra, ca := keyAt(a)
	rb, cb := keyAt(b)
	dr, dc := ra-rb, ca-cb
	return dr*dr <= 1 && dc*dc <= 1
}

func keyAt(c byte) (row, col int) {
	for r, keys := range keyRows {
		if i := strings.IndexByte(keys, c); i >= 0 {
			return r, i
		}
	}
	return 9, 9
}

// slipCost is the edit distance with transpositions, in which a neighbouring
// key, a doubled letter or two letters swapped cost half.
func slipCost(a, b string) float64 {
	var rows [3][tooLong + 3]float64
	for j := range len(b) + 1 {
		rows[0][j] = float64(j)
	}
	for i := 1; i <= len(a); i++ {
		cur, prev, before := &rows[i%3], &rows[(i+2)%3], &rows[(i+1)%3]
		cur[0] = float64(i)
		for j := 1; j <= len(b); j++ {
			sub := 1.0
			if a[i-1] == b[j-1] {
				sub = 0
			} else if nearKeys(a[i-1], b[j-1]) {
				sub = 0.6
			}
			del, ins := 1.0, 1.0
			if i > 1 && a[i-1] == a[i-2] {
				del = 0.5
			}
			if j > 1 && b[j-1] == b[j-2] {
				ins = 0.5
			}
			c := min(prev[j-1]+sub, prev[j]+del, cur[j-1]+ins)
			if i > 1 && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1] {
				c = min(c, before[j-2]+0.5)
			}
			cur[j] = c
		}
	}
	return rows[len(a)%3][len(b)]
}
